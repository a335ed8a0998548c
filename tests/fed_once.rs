//! Strips redone on what is blank of a sheet that went through the printer once (`redo --start`).

use std::fs;
use std::path::Path;
use std::process::Command;

use crate::support::spreads::record_of;
use cutleaf::description::Problem;
use cutleaf::layout::Layout;
use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::{Fall, SheetSource};
use cutleaf::plan::{self, Chain, Redo, below_start, redo_layout};
use cutleaf::record::{Record, Sheet};

/// A story of eight strips or more on paper of which there are three sheets.
const POOL: &str = "name: Pool
papers:
  kelp: {color: '#2b5673', sheets: {12 x 12: 3}}
  shell: {color: '#f4f1ea', sheets: {8.5 x 11: 3}}
cutting: {effort: quick}
single:
  base: kelp
journaling:
  paper: shell
  at: {left: 6, top: 1}
  strip: {height: 5/16, widest: 3 1/4}
  size: 9 pt
  text: >
    The tide went out before we had our boots on, and left the pools behind like small
    round windows. We counted seven crabs, one blenny, and a starfish that would not let
    go of its stone. When the water came back it came from the side, quietly, and we had
    to hop from rock to rock with the bucket held up high.
";

/// The margin that no printer of these tests reaches, in inches.
const MARGIN: f64 = 0.25;

fn in_millimetres() -> String {
    POOL.replace("name: Pool", "name: Pool\nunits: mm")
        .replace("12 x 12: 3", "305 x 305: 3")
        .replace("8.5 x 11: 3", "8.5 in x 11 in: 3")
        .replace("left: 6, top: 1", "left: 150, top: 25")
        .replace("height: 5/16, widest: 3 1/4", "height: 8, widest: 82")
}

/// All strips again.
fn story(record: &Record) -> Vec<Redo> {
    record.strips.iter().map(|strip| Redo::Piece(strip.id.clone())).collect()
}

fn layout(chain: &Chain, wanted: &[Redo], start: &str) -> Result<Layout, Problem> {
    let mut layout = redo_layout(chain, wanted, &FontBook::default()).expect("a redo");
    below_start(&mut layout, chain, start)?;
    Ok(layout)
}

fn redone(chain: &Chain, wanted: &[Redo], start: &str) -> Record {
    let layout = layout(chain, wanted, start).expect("a start");
    plan::record(&layout).expect("room for a strip")
}

/// What a command said, once it has left with `code`.
fn told(folder: &Path, arguments: &[&str], code: i32) -> String {
    let mut command = Command::new(assert_cmd::cargo::cargo_bin("cutleaf"));
    let output = command.current_dir(folder).env("NO_COLOR", "1").args(arguments).output();
    let output = output.expect("it runs");
    let text = [&output.stderr[..], &output.stdout[..]].concat();
    let text = String::from_utf8_lossy(&text).replace("\n  │", "").replace("\n        ", " ");
    assert_eq!(output.status.code(), Some(code), "{arguments:?}: {text}");
    text
}

/// The fed page: whole in size, its strips below `start` and within the margins, its sheet from nowhere.
fn check_fed(record: &Record, start: f64) {
    let page = &record.printed[0];
    assert_eq!(page.size, record.printer_paper());
    assert!(page.start.is_some_and(|told| (told - start).abs() < 1e-6), "{:?}", page.start);
    let sheet = record.sheets.iter().find(|sheet| sheet.id == page.sheet).expect("its sheet");
    assert!(matches!(record.source(sheet), SheetSource::FedOnce(_)));
    assert!(!sheet.to_buy && sheet.offcuts.is_empty() && sheet.size == page.size);
    for strip in record.strips.iter().filter(|strip| strip.page == 1) {
        let [left, top] = strip.at;
        let [right, bottom] = [0, 1].map(|axis| strip.at[axis] + strip.size[axis]);
        assert!(top > start && left > MARGIN, "{} at {:?}", strip.id, strip.at);
        assert!(right < page.size[0] - MARGIN && bottom < page.size[1] - MARGIN, "{}", strip.id);
    }
    // The first cut goes across there; what falls off above was printed before, and nothing else was.
    let cut = &sheet.cuts[0];
    let [from, to] = [cut.from, cut.to];
    assert!((from[1] - start).abs() < 1e-6 && (to[1] - start).abs() < 1e-6, "{cut:?}");
    assert!(from[0].abs() < 1e-9 && (to[0] - page.size[0]).abs() < 1e-9, "{cut:?}");
    let before: Vec<_> = leaves(sheet).filter(|(what, _)| *what == Fall::PrintedBefore).collect();
    assert_eq!(before.len(), 1);
    assert!((before[0].1 - page.size[0] * start).abs() < 1e-6, "{before:?}");
}

/// What the cuts of a sheet end in, with its area.
fn leaves(sheet: &Sheet) -> impl Iterator<Item = (Fall, f64)> {
    let falls = sheet.cuts.iter().flat_map(|cut| [&cut.keeps, &cut.drops]);
    let ends = falls.filter(|falls| falls.what != Fall::More);
    ends.map(|falls| (falls.what.clone(), falls.area.size[0] * falls.area.size[1]))
}

#[test]
fn strips_lie_below_the_start_and_within_the_margins() {
    for (spec, start, inches) in [
        (POOL.to_owned(), "4 1/2", 4.5),
        (POOL.to_owned(), "114 mm", 114.0 / 25.4),
        (POOL.to_owned(), "7.03", 7.03),
        (POOL.to_owned(), "3/8", 0.375),
        (in_millimetres(), "114", 114.0 / 25.4),
        (in_millimetres(), "4 1/2 in", 4.5),
    ] {
        let build = record_of(&spec).expect("enough paper");
        let strips = build.strips.len();
        assert!(strips >= 7, "{strips} strips");
        let chain = Chain::of(build);
        let redo = redone(&chain, &story(chain.build()), start);
        check_fed(&redo, inches);
        assert_eq!((redo.printed.len(), redo.strips.len()), (1, strips), "{start}");
        // Nothing is taken, bought or paid for.
        assert_eq!((redo.totals.new_sheets, redo.totals.buy), (0, 0), "{start}");
        let left = |record: &Record| record.papers[1].left.clone();
        assert_eq!(left(&redo), left(chain.build()), "{start}");
    }
}

#[test]
fn what_has_no_room_goes_on_new_sheets() {
    let build = record_of(POOL).expect("enough paper");
    let chain = Chain::of(build);
    let all = chain.build().strips.len();
    let redo = redone(&chain, &story(chain.build()), "8 1/2");
    check_fed(&redo, 8.5);
    let on_fed = redo.strips.iter().filter(|strip| strip.page == 1).count();
    assert!(on_fed > 0 && on_fed < all, "{on_fed} of {all}");
    assert_eq!((redo.printed.len(), redo.printed[1].start, redo.strips.len()), (2, None, all));
    assert_eq!((redo.totals.new_sheets, redo.papers[1].left[0].count), (1, 1));
    // A page like any other: it begins at the top, and keeps what is blank.
    let other = redo.sheets.iter().find(|sheet| sheet.id == redo.printed[1].sheet).expect("it");
    assert_eq!((redo.source(other), other.offcuts.len()), (SheetSource::New, 1));
    assert!(redo.strips.iter().any(|strip| strip.page == 2 && strip.at[1] < 2.0));
    let says = format!("of {all} strips {on_fed} have room below 8 1/2 in");
    assert!(redo.warnings.iter().any(|one| one.message.starts_with(&says)), "{:?}", redo.warnings);
    // More copies than a page holds, too: each once, none lost.
    let many = [Redo::Copies("journaling.2".into(), 40)];
    let redo = redone(&chain, &many, "4 1/2");
    check_fed(&redo, 4.5);
    let mut copies: Vec<u32> = redo.strips.iter().map(|strip| strip.copy.get()).collect();
    copies.sort_unstable();
    assert_eq!(copies, (1..=40).collect::<Vec<u32>>());
    assert!(redo.printed.len() > 1);
}

#[test]
fn what_can_t_be_printed_below_the_start_is_refused_with_what_it_takes() {
    let chain = Chain::of(record_of(POOL).expect("enough paper"));
    let strips = story(chain.build());
    for (start, says) in [
        ("9 1/2", "strips have a room of 0.300 in below 9 1/2 in, and one takes 0.312 in"),
        ("11", "strips have no room below 11 in"),
        ("500 in", "strips have no room"),
    ] {
        let layout = layout(&chain, &strips, start).expect("a length");
        let problems = plan::record(&layout).expect_err(start);
        assert!(problems.0[0].message.contains(says), "{start}: {problems:?}");
    }
    // A hair more room, and one strip lies there.
    check_fed(&redone(&chain, &strips[..1], "9 3/8"), 9.375);
    for (start, says) in [
        ("0", "nothing is printed on the first 1/4 in"),
        ("1/4", "nothing is printed on the first 1/4 in"),
        ("-1", "-1"),
        ("half", "half"),
        ("1/2 page", "is a share of the page"),
    ] {
        let problem = layout(&chain, &strips, start).expect_err(start);
        assert!(problem.message.contains(says), "{start}: {problem:?}");
    }
    let base = [Redo::Piece("single.base".into())];
    let problem = layout(&chain, &base, "4").expect_err("no strips");
    assert!(problem.message.contains("none is named"), "{problem:?}");
    // Strips of two papers.
    let mut mixed = redo_layout(&chain, &strips, &FontBook::default()).expect("a redo");
    mixed.strips[0].paper = 0;
    let problem = below_start(&mut mixed, &chain, "4").expect_err("two papers");
    assert!(problem.message.contains("several papers: kelp, shell"), "{problem:?}");
    assert_eq!(mixed.start, None);
}

#[test]
fn a_chain_with_sheets_that_were_fed_once_accounts_for_all_paper() {
    let mut chain = Chain::of(record_of(POOL).expect("enough paper"));
    let strips = story(chain.build());
    let steps: [(&[Redo], Option<&str>); 4] = [
        (&strips[2..3], Some("4 1/2")),
        (&strips, Some("8 1/2")),
        (&strips[..2], None),
        (&strips[..4], Some("5")),
    ];
    for (wanted, start) in steps {
        let redo = match start {
            Some(start) => redone(&chain, wanted, start),
            None => {
                let layout = redo_layout(&chain, wanted, &FontBook::default()).expect("a redo");
                plan::record(&layout).expect("enough paper")
            }
        };
        let mut counted = 0.0;
        for sheet in &redo.sheets {
            let whole = sheet.size[0] * sheet.size[1];
            let (mut all, mut before) = (0.0, 0.0);
            for (what, area) in leaves(sheet) {
                all += area;
                before += if what == Fall::PrintedBefore { area } else { 0.0 };
            }
            assert!((all - whole).abs() < 1e-6, "{}: {all} of {whole}", sheet.id);
            assert_eq!(before > 0.0, matches!(redo.source(sheet), SheetSource::FedOnce(_)));
            counted += whole - before;
        }
        assert!((redo.totals.sheet_area - counted).abs() < 1e-5, "{counted}");
        assert!(redo.papers[1].used <= 1.0);
        chain = chain.then(redo).expect("it follows");
    }
    // Three sheets: one for the build, one for what had no room, one for the redo without a start.
    assert_eq!(chain.latest().papers[1].left[0].count, 0);
    assert_eq!(chain.latest().totals.buy, 0);
    // The rest of an earlier page may be the very paper that is fed: that is said.
    let warned = |record: &Record| record.warnings.iter().any(|one| one.kind == "counted still");
    assert!(
        chain.redos().iter().zip(steps).all(|(redo, (_, start))| warned(redo) == start.is_some())
    );
}

#[test]
fn the_command_takes_nothing_from_the_stock_and_tells_how_to_feed() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path();
    let stock = "papers:\n  - {name: kelp, color: \"#2b5673\", sheets: [{size: 12 x 12, count: 3}]}\n  \
                 - {name: shell, color: \"#f4f1ea\", price: 0.4, sheets: [{size: 8.5 x 11, count: 3}]}\n";
    let spec = POOL
        .replace("kelp: {color: '#2b5673', sheets: {12 x 12: 3}}", "kelp: {color: '#2b5673'}")
        .replace("  shell: {color: '#f4f1ea', sheets: {8.5 x 11: 3}}\n", "");
    fs::write(path.join("stock.yaml"), stock).expect("written");
    fs::write(path.join("pool.yaml"), spec).expect("written");
    told(path, &["build", "pool.yaml"], 0);
    let before = told(path, &["stock"], 0);
    let redo = ["redo", "pool.yaml", "--piece", "journaling.3,5-7", "--start", "4 1/2"];
    let tried = told(path, &[&redo[..], &["--try"]].concat(), 0);
    assert!(tried.contains("printed once, free below 4 1/2 in"), "{tried}");
    let said = told(path, &redo, 0);
    assert!(said.contains("a sheet that was printed once") && !said.contains("worth"), "{said}");
    assert_eq!(told(path, &["stock"], 0), before);
    let text = fs::read_to_string(path.join("out/pool/redo-1/record.json")).expect("a record");
    let record: Record = serde_json::from_str(&text).expect("JSON");
    check_fed(&record, 4.5);
    assert_eq!(record.strips.len(), 4);
    // Only the build's sheets are entered as cut.
    told(path, &["cut", "pool.yaml"], 0);
    let cut = told(path, &["stock"], 0);
    told(path, &["cut", "pool.yaml", "--sheet", &record.sheets[0].id], 1);
    assert_eq!(told(path, &["stock"], 0), cut);
    // With what has no room, one sheet is taken.
    let more = ["redo", "pool.yaml", "--piece", "journaling", "--start", "8 1/2"];
    let said = told(path, &more, 0);
    assert!(said.contains("the others are printed on another sheet"), "{said}");
    told(path, &["redo", "pool.yaml", "--undo"], 0);
    assert_eq!(told(path, &["stock"], 0), cut);
    for other in [&["--sheet", "kelp-1"][..], &["--changed"], &["--undo"], &[]] {
        told(path, &[&["redo", "pool.yaml", "--start", "4"], other].concat(), 2);
    }
}
