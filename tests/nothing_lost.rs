//! Nothing lost: runs in folders that stand, commands at once, disks that fail.

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use tempfile::TempDir;

use crate::support::folders::files;

/// A spread that is built in no time: one piece for the trimmer, one for the machine.
const GARDEN: &str = "name: Garden
papers: {leaf: {color: '#3d6b35', sheets: {12 x 12: 9}}}
cutting: {effort: quick}
single:
  pieces:
    - panel: {id: bed, paper: leaf, size: 5 x 6}
    - circle: {id: pond, paper: leaf, diameter: 2, at: {left: 7}}
";

fn cutleaf(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(assert_cmd::cargo::cargo_bin("cutleaf"));
    command.current_dir(folder).env("NO_COLOR", "1").args(arguments);
    command
}

/// What a command said, once it has left with `code`.
fn told(folder: &Path, arguments: &[&str], code: i32) -> String {
    let output = cutleaf(folder, arguments).output().expect("it runs");
    said(&output, code, &arguments.join(" "))
}

fn said(output: &Output, code: i32, what: &str) -> String {
    let text = [&output.stderr[..], &output.stdout[..]].concat();
    // Messages are broken into lines where they are long.
    let text = String::from_utf8_lossy(&text).replace("\n  │", "").replace("\n        ", " ");
    assert_eq!(output.status.code(), Some(code), "{what}: {text}");
    text
}

/// A folder with the garden's spec and its run.
fn with_garden() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("garden.yaml"), GARDEN).expect("written");
    told(folder.path(), &["build", "garden.yaml"], 0);
    folder
}

/// The names in a folder, hidden ones among them.
fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("a folder").flatten();
    let mut names: Vec<String> =
        entries.map(|entry| entry.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

fn write(path: &Path, text: &str) {
    fs::create_dir_all(path.parent().expect("a folder")).expect("made");
    fs::write(path, text).expect("written");
}

/// The garden with its pond gone, so that nothing is cut by the machine.
fn without_pond() -> String {
    GARDEN.lines().filter(|line| !line.contains("pond")).map(|line| format!("{line}\n")).collect()
}

#[test]
fn a_rebuild_leaves_what_it_did_not_write_and_takes_away_what_it_did() {
    let folder = with_garden();
    let run = folder.path().join("out/garden");
    assert!(run.join("cut/leaf-1.svg").is_file());
    let mine = [
        "notes.txt",
        "cut/mine.svg",
        "print/from the shop/receipt.txt",
        ".hidden",
        "proof.html.bak",
    ];
    for name in mine {
        write(&run.join(name), name);
    }
    fs::create_dir(run.join("swatches")).expect("made");
    #[cfg(unix)]
    std::os::unix::fs::symlink("notes.txt", run.join("link")).expect("linked");
    fs::write(folder.path().join("garden.yaml"), without_pond()).expect("written");
    told(folder.path(), &["build", "garden.yaml"], 0);
    for name in mine {
        assert_eq!(fs::read_to_string(run.join(name)).expect(name), name);
    }
    assert!(run.join("swatches").is_dir());
    #[cfg(unix)]
    assert_eq!(fs::read_link(run.join("link")).expect("a link"), Path::new("notes.txt"));
    assert!(!run.join("cut/leaf-1.svg").exists(), "a cut file of the former build stands");
    assert_eq!(names(&folder.path().join("out")), ["garden"]);
    // What the program did write is as in a folder of its own.
    told(folder.path(), &["build", "garden.yaml", "--out", "new"], 0);
    let mut built = files(&run);
    built.retain(|name, _| !mine.contains(&name.as_str()) && name != "link");
    assert!(built == files(&folder.path().join("new/garden")));
}

#[test]
fn a_file_that_is_in_the_way_of_a_run_is_not_written_over() {
    let folder = with_garden();
    let run = folder.path().join("out/garden");
    fs::write(folder.path().join("garden.yaml"), without_pond()).expect("written");
    told(folder.path(), &["build", "garden.yaml"], 0);
    for mine in ["cut/leaf-1.svg", "cut"] {
        write(&run.join(mine), "mine");
        fs::write(folder.path().join("garden.yaml"), GARDEN).expect("written");
        let message = told(folder.path(), &["build", "garden.yaml"], 1);
        assert!(
            message.contains(&format!("`out/garden/{mine}` was not written by Cutleaf")),
            "{message}"
        );
        assert_eq!(fs::read_to_string(run.join(mine)).expect("still there"), "mine");
        fs::remove_file(run.join(mine)).expect("removed");
        let _ = fs::remove_dir(run.join("cut"));
    }
    told(folder.path(), &["build", "garden.yaml"], 0);
}

#[test]
fn redos_stay_with_the_run_that_they_belong_to() {
    let folder = with_garden();
    let run = folder.path().join("out/garden");
    told(folder.path(), &["redo", "out/garden", "--piece", "single.pond"], 0);
    told(folder.path(), &["redo", "out/garden", "--piece", "single.bed"], 0);
    let redos = [files(&run.join("redo-1")), files(&run.join("redo-2"))];
    let stand = |run: &Path| {
        assert!(redos == [files(&run.join("redo-1")), files(&run.join("redo-2"))]);
    };
    // The same spec decides the same, comments or not: what the redos took is still true.
    fs::write(folder.path().join("garden.yaml"), format!("{GARDEN}# again\n")).expect("written");
    told(folder.path(), &["build", "garden.yaml"], 0);
    stand(&run);
    // So is it where only colours change.
    let paler = GARDEN.replace("#3d6b35", "#5d8b55");
    fs::write(folder.path().join("garden.yaml"), paler).expect("written");
    told(folder.path(), &["build", "garden.yaml"], 0);
    stand(&run);
    // Another one is refused.
    let before = files(&run);
    fs::write(folder.path().join("garden.yaml"), without_pond()).expect("written");
    let message = told(folder.path(), &["build", "garden.yaml"], 1);
    assert!(message.contains("`redo-1`, `redo-2` belong to the run in `out/garden`"), "{message}");
    assert!(
        message.contains("--set-aside") && message.contains("`out/garden-earlier-1`"),
        "{message}"
    );
    assert!(files(&run) == before);
    // The way out keeps the run whole.
    told(folder.path(), &["build", "garden.yaml", "--set-aside"], 0);
    assert!(files(&folder.path().join("out/garden-earlier-1")) == before);
    assert!(!run.join("redo-1").exists() && !run.join("cut").exists());
    assert_eq!(names(&folder.path().join("out")), ["garden", "garden-earlier-1"]);
    // And again, under the next name that is free.
    told(folder.path(), &["build", "garden.yaml", "--set-aside"], 0);
    assert_eq!(
        names(&folder.path().join("out")),
        ["garden", "garden-earlier-1", "garden-earlier-2"]
    );
}

/// From any folder: the record knows where the spec stands, and the photos with it.
#[test]
fn a_redo_finds_the_photos_beside_the_spec() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path();
    fs::create_dir_all(path.join("album/pictures")).expect("made");
    let gull = Path::new(env!("CARGO_MANIFEST_DIR")).join("templates/kite-day/gull.jpg");
    fs::copy(gull, path.join("album/pictures/gull.jpg")).expect("copied");
    let photo =
        "photos: {gull: {size: 3 x 4, file: pictures/gull.jpg, allow low resolution: true}}\n";
    let text = format!("{photo}{GARDEN}    - photo: {{photo: gull, at: {{top: 7}}}}\n");
    write(&path.join("album/garden.yaml"), &text);
    told(path, &["build", "album/garden.yaml"], 0);
    told(path, &["redo", "out/garden", "--piece", "single.gull"], 0);
    assert!(path.join("out/garden/redo-1/print/photos.pdf").is_file());
    fs::rename(path.join("album/pictures"), path.join("pictures")).expect("moved");
    let message = told(path, &["redo", "out/garden", "--piece", "single.gull"], 1);
    assert!(message.contains("--from"), "{message}");
    told(path, &["redo", "out/garden", "--piece", "single.gull", "--from", "."], 0);
}

#[test]
fn the_folder_of_another_spec_is_never_taken() {
    let folder = with_garden();
    let run = folder.path().join("out/garden");
    let before = files(&run);
    let other = GARDEN.replace("5 x 6", "5 x 7");
    let (path, refused) = (folder.path(), "was built from another spec");
    // Another file, one of the same name elsewhere, a name that only becomes the same folder.
    write(&path.join("roses.yaml"), &other);
    write(&path.join("sub/garden.yaml"), &other);
    write(&path.join("signs.yaml"), &other.replace("Garden", "garden!"));
    assert_ne!(other, GARDEN);
    for spec in ["roses.yaml", "sub/garden.yaml", "signs.yaml"] {
        let message = told(path, &["build", spec], 1);
        assert!(message.contains(refused) && message.contains("`garden.yaml`"), "{message}");
        assert!(message.contains("--set-aside") && message.contains("--out"), "{message}");
        assert!(files(&run) == before, "{spec}");
    }
    assert_eq!(names(&path.join("out")), ["garden"]);
    // Renamed and unchanged, it is the same spread; the run knows its new name from now on.
    fs::rename(path.join("garden.yaml"), path.join("beds.yaml")).expect("renamed");
    let message = told(path, &["build", "roses.yaml"], 1);
    assert!(message.contains("which is not there any more"), "{message}");
    told(path, &["build", "beds.yaml"], 0);
    write(&path.join("beds.yaml"), &other);
    told(path, &["build", "beds.yaml"], 0);
    // Moved with its runs, and seen from another folder.
    fs::create_dir(path.join("album")).expect("made");
    fs::rename(path.join("beds.yaml"), path.join("album/beds.yaml")).expect("moved");
    fs::rename(path.join("out"), path.join("album/out")).expect("moved");
    write(&path.join("album/beds.yaml"), GARDEN);
    told(path, &["build", "album/beds.yaml", "--out", "album/out"], 0);
    // The way out for one that was moved and changed.
    fs::rename(path.join("album/beds.yaml"), path.join("beds.yaml")).expect("moved");
    write(&path.join("beds.yaml"), &other);
    told(path, &["build", "beds.yaml", "--out", "album/out"], 1);
    told(path, &["build", "beds.yaml", "--out", "album/out", "--set-aside"], 0);
    assert_eq!(names(&path.join("album/out")), ["garden", "garden-earlier-1"]);
}

/// Runs of the version before said nothing of their spec and their files.
#[test]
fn a_run_of_an_earlier_version_is_replaced_by_its_own_spread_alone() {
    let folder = with_garden();
    let run = folder.path().join("out/garden");
    let text = fs::read_to_string(run.join("record.json")).expect("a record");
    let mut record: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let entries = record.as_object_mut().expect("an object");
    entries.remove("spec");
    entries.remove("files");
    let earlier = serde_json::to_string(&record).expect("JSON");
    write(&run.join("record.json"), &earlier);
    write(&run.join("cut/mine.svg"), "mine");
    write(&folder.path().join("signs.yaml"), &without_pond().replace("Garden", "garden!"));
    let message = told(folder.path(), &["build", "signs.yaml"], 1);
    assert!(message.contains("is the folder of the spread `Garden`"), "{message}");
    write(&folder.path().join("garden.yaml"), &without_pond());
    told(folder.path(), &["build", "garden.yaml"], 0);
    assert_eq!(names(&run.join("cut")), ["mine.svg"]);
    // A record that can't be read is nobody's: it is set aside whole, or stays.
    write(&run.join("record.json"), "{");
    let message = told(folder.path(), &["build", "garden.yaml"], 1);
    assert!(message.contains("is not a record") && message.contains("--set-aside"), "{message}");
    told(folder.path(), &["build", "garden.yaml", "--set-aside"], 0);
    let aside = folder.path().join("out/garden-earlier-1");
    assert_eq!(fs::read_to_string(aside.join("record.json")).expect("a file"), "{");
    assert_eq!(names(&folder.path().join("out")), ["garden", "garden-earlier-1"]);
}

#[test]
fn what_a_killed_command_left_is_cleared_by_the_next_and_nothing_else() {
    let folder = with_garden();
    let out = folder.path().join("out");
    let before = files(&out.join("garden"));
    write(&out.join(".garden.cutleaf-new-Ab12Cd/print/half.pdf"), "half");
    write(&out.join("garden/.redo-1.cutleaf-new-Ab12Cd/record.json"), "half");
    write(&out.join(".garden.cutleaf-lock"), "");
    // An old run that was replaced: its own files go, and a note that came last moves back.
    write(
        &out.join(".garden.cutleaf-swap-Ef34Gh/record.json"),
        &String::from_utf8_lossy(&before["record.json"]),
    );
    write(&out.join(".garden.cutleaf-swap-Ef34Gh/guide.pdf"), "old");
    write(&out.join(".garden.cutleaf-swap-Ef34Gh/notes/late.txt"), "late");
    // Not the garden's.
    write(&out.join(".new-Ab12Cd/letter.txt"), "mine");
    write(&out.join(".garden.cutleaf-new-note.txt"), "mine");
    told(folder.path(), &["build", "garden.yaml"], 0);
    assert_eq!(names(&out), [".garden.cutleaf-new-note.txt", ".new-Ab12Cd", "garden"]);
    let mut after = files(&out.join("garden"));
    assert_eq!(after.remove("notes/late.txt").as_deref(), Some(&b"late"[..]));
    assert!(after == before);
    // Killed between two renames, where the disk can't exchange folders.
    fs::rename(out.join("garden"), out.join(".garden.cutleaf-old-Ab12Cd")).expect("renamed");
    told(folder.path(), &["redo", "out/garden", "--piece", "single.bed"], 0);
    assert!(out.join("garden/redo-1/record.json").is_file());
    assert_eq!(names(&out), [".garden.cutleaf-new-note.txt", ".new-Ab12Cd", "garden"]);
}

#[test]
fn two_commands_at_once_wait_for_each_other() {
    let start = |folder: &Path, arguments: &[&str]| {
        let mut command = cutleaf(folder, arguments);
        command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("it starts")
    };
    let pairs: [[&[&str]; 2]; 3] = [
        [&["build", "garden.yaml"], &["redo", "out/garden", "--piece", "single.bed"]],
        [
            &["redo", "out/garden", "--piece", "single.pond"],
            &["redo", "out/garden", "--piece", "single.bed"],
        ],
        [&["build", "garden.yaml"], &["build", "garden.yaml"]],
    ];
    let folder = with_garden();
    let run = folder.path().join("out/garden");
    let before = files(&run);
    let mut redos = 0;
    for (pair, added) in pairs.iter().zip([1, 2, 0]) {
        for _ in 0..3 {
            let both = pair.map(|arguments| start(folder.path(), arguments));
            for (one, arguments) in both.into_iter().zip(pair) {
                said(&one.wait_with_output().expect("it ends"), 0, &arguments.join(" "));
            }
            redos += added;
            let mut after = files(&run);
            for number in 1..=redos {
                let name = format!("redo-{number}/record.json");
                let record = after.get(&name).unwrap_or_else(|| panic!("{name} is lost: {pair:?}"));
                serde_json::from_slice::<serde_json::Value>(record).expect("whole");
            }
            after.retain(|name, _| !name.starts_with("redo-"));
            assert!(after == before, "{pair:?}");
            assert_eq!(names(&folder.path().join("out")), ["garden"]);
            if redos > 6 {
                // Paper for the next ones.
                told(folder.path(), &["build", "garden.yaml", "--set-aside"], 0);
                fs::remove_dir_all(folder.path().join("out/garden-earlier-1")).expect("removed");
                redos = 0;
            }
        }
    }
}

/// Who has to wait says so, and goes on when the other has ended, however that ended.
#[test]
fn waiting_is_told() {
    let folder = with_garden();
    let odd = "od\u{202e}d";
    let cases: [(&str, &[&str], &str); 3] = [
        ("out", &["build", "garden.yaml"], "out/garden"),
        ("out", &["redo", "out/garden", "--piece", "single.bed"], "out/garden"),
        // A name is shown, never obeyed.
        (odd, &["build", "garden.yaml", "--out", odd], "od\\u{202e}d/garden"),
    ];
    for (out, arguments, shown) in cases {
        let lock = folder.path().join(out).join(".garden.cutleaf-lock");
        fs::create_dir_all(folder.path().join(out)).expect("made");
        let held = fs::File::create(&lock).expect("made");
        held.lock().expect("locked");
        let mut command = cutleaf(folder.path(), arguments);
        let mut waits =
            command.stdout(Stdio::null()).stderr(Stdio::piped()).spawn().expect("it starts");
        let stderr = waits.stderr.take().expect("piped");
        let mut line = String::new();
        std::io::BufRead::read_line(&mut std::io::BufReader::new(stderr), &mut line).expect("text");
        assert_eq!(line, format!("Waiting for another build or redo of `{shown}` to end.\n"));
        assert!(waits.try_wait().expect("asked").is_none(), "it did not wait");
        drop(held);
        assert!(waits.wait().expect("it ends").success());
        assert!(!lock.exists());
    }
}

#[test]
fn a_folder_that_can_not_be_written_is_said_and_the_old_run_stands() {
    let folder = with_garden();
    let path = folder.path();
    let before = files(&path.join("out/garden"));
    fs::write(path.join("file"), "mine").expect("written");
    fs::create_dir(path.join("taken")).expect("made");
    fs::write(path.join("taken/garden"), "mine").expect("written");
    let cases = [
        ("file", "`file` is a file"),
        ("file/below", "`file` is a file"),
        ("taken", "`taken/garden` is a file"),
    ];
    for (out, says) in cases {
        let message = told(path, &["build", "garden.yaml", "--out", out], 1);
        assert!(message.contains(says), "{message}");
    }
    // A spec that can't be cut leaves no folder behind.
    let large = GARDEN.replace("5 x 6", "13 x 14");
    write(&path.join("large.yaml"), &large);
    told(path, &["build", "large.yaml", "--out", "not/yet"], 3);
    assert!(!path.join("not").exists());
    #[cfg(unix)]
    {
        use std::os::unix::fs::{PermissionsExt, symlink};
        // Behind a link, the run is replaced where it is.
        fs::create_dir(path.join("disk")).expect("made");
        fs::rename(path.join("out/garden"), path.join("disk/garden")).expect("moved");
        symlink("../disk/garden", path.join("out/garden")).expect("linked");
        fs::write(path.join("disk/garden/notes.txt"), "mine").expect("written");
        told(path, &["build", "garden.yaml", "--set-aside"], 0);
        assert!(fs::symlink_metadata(path.join("out/garden")).expect("there").is_symlink());
        assert_eq!(names(&path.join("disk")), ["garden", "garden-earlier-1"]);
        assert!(path.join("disk/garden-earlier-1/notes.txt").is_file());
        symlink("nowhere", path.join("taken/link")).expect("linked");
        let link = GARDEN.replace("Garden", "link");
        write(&path.join("link.yaml"), &link);
        let message = told(path, &["build", "link.yaml", "--out", "taken"], 1);
        assert!(message.contains("it is a link that leads nowhere"), "{message}");
        let run = path.join("disk/garden");
        fs::set_permissions(&run, fs::Permissions::from_mode(0o555)).expect("set");
        for arguments in
            [&["build", "garden.yaml"][..], &["redo", "out/garden", "--piece", "single.bed"]]
        {
            let message = told(path, arguments, 1);
            assert!(message.contains("it is set to be read only"), "{message}");
        }
        fs::set_permissions(&run, fs::Permissions::from_mode(0o755)).expect("set");
        assert_eq!(files(&run).keys().collect::<Vec<_>>(), before.keys().collect::<Vec<_>>());
    }
}

/// A full disk behind standard output is a fault; a reader that has gone away is none.
#[cfg(target_os = "linux")]
#[test]
fn what_can_not_be_printed_is_a_fault() {
    let folder = with_garden();
    let cases: [&[&str]; 8] = [
        &["build", "garden.yaml"],
        &["build", "garden.yaml", "--json"],
        &["check", "garden.yaml"],
        &["check", "garden.yaml", "--json"],
        &["schema"],
        &["manual"],
        &["new"],
        &["--help"],
    ];
    for arguments in cases {
        let full = fs::File::options().write(true).open("/dev/full").expect("a full disk");
        let output = cutleaf(folder.path(), arguments)
            .stdout(full)
            .stderr(Stdio::piped())
            .output()
            .expect("it runs");
        let message = said(&output, 1, &arguments.join(" "));
        assert!(message.contains("the output can't be written: No space left"), "{message}");
        let mut gone = cutleaf(folder.path(), arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        drop(gone.stdout.take());
        let output = gone.wait_with_output().expect("it ends");
        assert_eq!(said(&output, 0, &arguments.join(" ")), "");
    }
}
