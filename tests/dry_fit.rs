//! The dry-fit over HTTP: what is asked on the page, what is saved of it, and what it follows.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant, SystemTime};

use serde_json::{Value, json};
use tempfile::TempDir;

/// How long the page may take on a busy machine before it counts as stuck. No time is measured here.
const PATIENCE: Duration = Duration::from_secs(60);
/// How long nothing may happen where nothing is to happen.
const NOTHING: Duration = Duration::from_millis(1500);

/// A spec in a folder of its own, with its page.
struct Served {
    folder: TempDir,
    process: Child,
    host: String,
    word: String,
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

impl Served {
    fn of(text: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("a.yaml"), text).unwrap();
        Self::at(folder, &[]).unwrap()
    }

    /// Serves what is in a folder; nothing where that can't be.
    fn at(folder: TempDir, more: &[&str]) -> Option<Self> {
        let mut process = Command::new(assert_cmd::cargo::cargo_bin("cutleaf"))
            .args(["dry-fit", "a.yaml"])
            .args(more)
            .current_dir(folder.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let lines = BufReader::new(process.stdout.take().unwrap()).lines().map_while(Result::ok);
        let address = lines.into_iter().find_map(|line| {
            let (_, rest) = line.split_once("http://")?;
            let (host, word) = rest.split_once('/')?;
            Some((host.to_owned(), word.trim_end_matches('/').to_owned()))
        });
        match address {
            Some((host, word)) => Some(Self { folder, process, host, word }),
            None => {
                let _ = process.wait();
                None
            }
        }
    }

    fn file(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn text(&self) -> String {
        fs::read_to_string(self.file("a.yaml")).unwrap()
    }

    fn open(&self, method: &str, path: &str, body: &str, host: &str) -> TcpStream {
        let mut stream = TcpStream::connect(&self.host).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        let (word, long) = (&self.word, body.len());
        write!(
            stream,
            "{method} /{word}/{path} HTTP/1.1\r\nHost: {host}\r\nOrigin: http://{host}\r\nContent-Type: \
             application/json\r\nContent-Length: {long}\r\nConnection: close\r\n\r\n{body}"
        )
        .unwrap();
        stream
    }

    fn ask_as(&self, method: &str, path: &str, body: &str, host: &str) -> (u16, Value) {
        let mut answer = String::new();
        self.open(method, path, body, host).read_to_string(&mut answer).unwrap();
        let status = answer.split(' ').nth(1).unwrap().parse().unwrap();
        let (_, body) = answer.split_once("\r\n\r\n").unwrap();
        (status, serde_json::from_str(body).unwrap_or_default())
    }

    fn ask(&self, method: &str, path: &str, body: &Value) -> (u16, Value) {
        let body = if body.is_null() { String::new() } else { body.to_string() };
        self.ask_as(method, path, &body, &self.host)
    }

    fn state(&self) -> Value {
        self.ask("GET", "state", &Value::Null).1
    }

    fn version(&self) -> u64 {
        self.state()["version"].as_u64().unwrap()
    }

    fn change(&self, asked: &Value) -> (u16, Value) {
        self.ask("POST", "change", &json!({"version": self.version(), "asked": asked}))
    }

    /// Makes a change that is refused; what is said.
    fn refused(&self, asked: &Value) -> String {
        let before = self.text();
        let (status, told) = self.change(asked);
        assert_eq!((status, self.text()), (422, before), "{told}");
        format!("{}; {}", told["message"].as_str().unwrap(), told["help"].as_str().unwrap())
    }

    /// The news until some of it is what is waited for, or until there is none for a while.
    fn news(&self) -> BufReader<TcpStream> {
        BufReader::new(self.open("GET", "events", "", &self.host))
    }
}

fn until(what: &str, check: impl Fn() -> bool) {
    let start = Instant::now();
    while !check() {
        assert!(start.elapsed() < PATIENCE, "never so: {what}");
        std::thread::sleep(Duration::from_millis(20));
    }
}

const FEW: &str = "\
name: few
page: 6 x 6
papers:
  oat: {color: \"#eeddcc\", sheets: {12 x 12: 2}}
  moss: {color: \"#445533\", sheets: {12 x 12: 2}}
single:
  base: oat
  pieces:
    - rectangle: {id: thin, paper: moss, size: 1/32 x 1, at: [1, 1]}
    - circle: {id: sun, paper: moss, diameter: 1, at: [3, 3]}
";

const ALIASES: &str = "\
name: aliases
page: 6 x 6
papers:
  oat: {color: \"#eeddcc\", sheets: {12 x 12: 4}}
  moss: {color: \"#445533\", sheets: {12 x 12: 4}}
left:
  base: oat
  pieces: &same
    - circle: {id: sun, paper: moss, diameter: 1, at: &here [1, 1]}
    - rectangle: {id: map, paper: moss, size: 1 x 1, at: [3, 3]}
right:
  base: oat
  pieces: *same
";

#[test]
fn nothing_is_added_to_an_alias() {
    let served = Served::of(ALIASES);
    let keys = json!({"paper": "moss", "diameter": "1", "at": "[4, 4]"});
    let told = served.refused(&json!({"add": {"page": "right", "kind": "circle", "keys": keys}}));
    assert!(told.contains("`right: pieces` is an alias") && told.contains("anchor"), "{told}");
    let told = served.refused(&json!({"other-page": {"element": "left.map"}}));
    assert!(told.contains("`right: pieces` is an alias"), "{told}");
    let at = json!("{on: *here, left: 1}");
    let told = served.refused(&json!({"key": {"element": "left.sun", "key": "at", "value": at}}));
    assert!(told.contains("has an alias") && !told.contains("bracket"), "{told}");
    let at = json!("{on: map, left: 1");
    let told = served.refused(&json!({"key": {"element": "left.sun", "key": "at", "value": at}}));
    assert!(told.contains("bracket"), "{told}");
    let (status, told) =
        served.change(&json!({"add": {"page": "left", "kind": "circle", "keys": keys}}));
    assert_eq!(status, 200, "{told}");
    assert!(served.text().contains("diameter: 1, paper: moss}\nright:"), "{}", served.text());
}

#[test]
fn a_thin_side_stays_while_the_other_is_pulled() {
    let served = Served::of(FEW);
    let (status, told) = served.change(&json!({"pull": {"element": "single.thin", "by": [0, 1]}}));
    assert_eq!(status, 200, "{told}");
    assert_eq!(served.text(), FEW.replace("1/32 x 1", "1/32 x 2"));
    // What is thinner than anything is pulled to doesn't grow where it is pulled in.
    let pull = json!({"pull": {"element": "single.thin", "by": [-1.0 / 64.0, -9]}});
    let (status, told) = served.change(&pull);
    assert_eq!(status, 200, "{told}");
    assert_eq!(served.text(), FEW.replace("1/32 x 1", "1/32 x 1/16"));
}

#[test]
fn a_step_of_another_version_is_not_taken_back() {
    let served = Served::of(FEW);
    let first = served.version();
    served.change(&json!({"move": {"element": "single.sun", "by": [1, 0]}}));
    let moved = served.text();
    let (status, told) = served.ask("POST", "undo", &json!({"version": first}));
    assert_eq!((status, served.text()), (409, moved.clone()), "{told}");
    let (status, _) = served.ask("POST", "undo", &json!({"version": served.version()}));
    assert_eq!((status, served.text()), (200, FEW.to_owned()));
    let (status, _) = served.ask("POST", "redo", &json!({"version": first}));
    assert_eq!((status, served.text()), (409, FEW.to_owned()));
    for (body, text) in [(json!({}), &moved[..]), (json!({"version": "x"}), &moved)] {
        let (status, _) = served.ask("POST", "redo", &body);
        assert!(matches!(status, 200 | 422));
        assert_eq!(served.text(), text);
    }
    let (status, _) = served.ask("POST", "undo", &Value::Null);
    assert_eq!((status, served.text()), (200, FEW.to_owned()));
}

#[test]
fn what_a_save_left_behind_goes_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("a.yaml"), FEW).unwrap();
    let old = [
        ".cutleaf-aB3dE6",
        ".cutleaf-notes",
        ".cutleaf-a.b.c.",
        ".cutleaf-longer1",
        "cutleaf-aB3dE6",
    ];
    for name in old.into_iter().chain([".cutleaf-fresh1"]) {
        fs::write(folder.path().join(name), "x").unwrap();
    }
    for name in old {
        let file = fs::File::options().write(true).open(folder.path().join(name)).unwrap();
        file.set_modified(SystemTime::now() - Duration::from_secs(3600)).unwrap();
    }
    fs::create_dir(folder.path().join(".cutleaf-folder")).unwrap();
    let served = Served::at(folder, &[]).unwrap();
    let is_there = |name: &str| served.file(name).exists();
    let gone: Vec<_> = old.into_iter().filter(|name| !is_there(name)).collect();
    assert_eq!(gone, [".cutleaf-aB3dE6"]);
    assert!(is_there(".cutleaf-fresh1") && is_there(".cutleaf-folder"));
}

#[test]
fn what_the_spec_names_is_followed_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let drawing = |side: u32| {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\"><rect width=\"{side}\" height=\"9\"/></svg>"
        )
    };
    fs::create_dir(folder.path().join("pictures")).unwrap();
    fs::write(folder.path().join("pictures/kite.svg"), drawing(9)).unwrap();
    let shape =
        "    - shape: {id: kite, file: pictures/kite.svg, paper: moss, width: 1, at: [4, 1]}\n";
    fs::write(folder.path().join("a.yaml"), format!("{FEW}{shape}")).unwrap();
    let served = Served::at(folder, &[]).unwrap();
    let high = || {
        let elements = served.state()["elements"].clone();
        let all = elements.as_array().unwrap();
        all.iter().find(|one| one["id"] == "single.kite").unwrap()["size"][1].as_f64().unwrap()
    };
    let (first, before) = (served.version(), high());
    for name in ["notes.txt", "b.yaml", "kite.svg", "pictures/other.svg"] {
        fs::write(served.file(name), "x").unwrap();
    }
    std::thread::sleep(NOTHING);
    assert_eq!(served.version(), first);
    fs::write(served.file("pictures/kite.svg"), drawing(18)).unwrap();
    until("the drawing is the new one", || served.version() > first && high() < before * 0.6);
    // The stock, once there is one.
    let second = served.version();
    fs::write(served.file("stock.yaml"), "papers:\n  moss:\n    sheets: {12 x 12: 1}\n").unwrap();
    until("the stock is read", || served.version() > second);
    assert_eq!(served.state()["has_stock"], true);
    // A drawing that comes back.
    let third = served.version();
    fs::rename(served.file("pictures/kite.svg"), served.file("pictures/away.svg")).unwrap();
    until("it is missed", || served.version() > third && !served.state()["mistake"].is_null());
    fs::rename(served.file("pictures/away.svg"), served.file("pictures/kite.svg")).unwrap();
    until("it is back", || served.state()["mistake"].is_null());
}

#[test]
fn what_is_nested_is_not_nested_again_after_a_refusal() {
    let served = Served::of(FEW);
    let version = served.version();
    let mut news = served.news();
    let mut line = String::new();
    while !line.contains(&format!("\"advised\":{version}")) {
        line.clear();
        news.read_line(&mut line).unwrap();
    }
    let colour = json!({"key": {"element": "single.sun", "key": "paper", "value": "none"}});
    served.refused(&colour);
    news.get_ref().set_read_timeout(Some(NOTHING)).unwrap();
    let mut told = String::new();
    while news.read_line(&mut told).is_ok_and(|read| read > 0) {}
    assert!(!told.contains("data:"), "{told}");
    // A change that is made is nested.
    served.change(&json!({"move": {"element": "single.sun", "by": [1, 0]}}));
    until("it is nested", || {
        let sheets = served.ask("GET", "sheets", &Value::Null).1;
        sheets["version"].as_u64() > Some(version) && sheets["stage"] == "done"
    });
}

#[test]
fn the_port_of_http_goes_without_saying() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("a.yaml"), FEW).unwrap();
    let alone = |served: &Served| served.ask_as("GET", "state", "", "127.0.0.1").0;
    // Not everybody may open that port, and it may be taken.
    if let Some(served) = Served::at(folder, &["--port", "80"]) {
        assert_eq!(alone(&served), 200);
    }
    assert_eq!(alone(&Served::of(FEW)), 403);
}
