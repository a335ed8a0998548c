//! Names that would meet, and what a redo knows of the build.

use std::collections::BTreeSet;
use std::fs;

use crate::support::line_number;
use crate::support::spreads::{layout_of, record_of};
use cutleaf::layout::hidden::{Gutting, When};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::PageName;
use cutleaf::model::length::Length;
use cutleaf::nest::{Effort, Turns};
use cutleaf::plan::{self, Chain, Redo, read_record, redo_layout};
use cutleaf::record::Record;

/// A spread of a pond, with the papers to test.
fn pond(papers: &str) -> String {
    format!(
        "name: Pond\npapers:\n{papers}single:\n  pieces:\n    - panel: {{id: water, paper: reed, size: 5 x 6}}\n"
    )
}

#[test]
fn papers_and_offcuts_whose_names_would_meet_are_refused_with_both_places() {
    const LONG: &str = "a paper with a name of more than forty let";
    let long = format!("  {LONG}ters: {{color: '#2b5673'}}\n  {LONG}ter: {{color: '#2b5673'}}\n");
    let cases = [
        (
            "signs and capitals",
            "  Reed: {color: '#2b5673'}\n  reed!: {color: '#2b5673'}\n",
            "`Reed` (line 4) and `reed!` would both have sheets called `reed-1`",
            5,
        ),
        (
            "letters that a disk may take for the same",
            "  Straße: {color: '#2b5673'}\n  strasse: {color: '#2b5673'}\n",
            "`Straße` (line 4) and `strasse` would both",
            5,
        ),
        ("the first forty letters", long.as_str(), "would both have sheets called", 5),
        (
            "a redo's sheets",
            "  reed-redo-1: {color: '#2b5673'}\n",
            "(line 3) and `reed-redo-1` would both have sheets called `reed-redo-1-1`",
            4,
        ),
        (
            "an offcut called new",
            "  moss: {color: '#2b5673', offcuts: [{size: 5 x 6, id: new}]}\n",
            "an offcut can't be called `new`",
            4,
        ),
        (
            "an offcut without a name",
            "  moss: {color: '#2b5673', offcuts: [{size: 5 x 6, id: ' '}]}\n",
            "an offcut can't be called ``",
            4,
        ),
        (
            "an id twice in one paper",
            "  moss:\n    color: '#2b5673'\n    offcuts:\n      - {size: 5 x 6, id: box}\n      - {size: 5 x 7, id: box}\n",
            "two offcuts are called `box`: this one and that (line 7)",
            8,
        ),
        (
            "an id twice in two papers",
            "  moss: {color: '#2b5673', offcuts: [{size: 5 x 6, id: box}]}\n  sand: {color: '#2b5673', offcuts: [{size: 5 x 6, id: box}]}\n",
            "two offcuts are called `box`: this one and that (line 4)",
            5,
        ),
    ];
    for (name, papers, says, line) in cases {
        let papers = format!("  reed: {{color: '#2b5673', sheets: {{12 x 12: 1}}}}\n{papers}");
        let problems = record_of(&pond(&papers)).expect_err(name);
        assert_eq!(problems.exit_code(), 1, "{name}");
        let found = problems.0.iter().find(|problem| problem.message.contains(says));
        let found = found.unwrap_or_else(|| panic!("{name}: {problems:?}"));
        assert_eq!(found.place.map(|place| line_number(place.line)), Some(line), "{name}");
        assert!(!found.help.is_empty(), "{name}");
    }
}

#[test]
fn names_that_only_look_alike_stay_apart() {
    let papers = "  reed: {color: '#2b5673', sheets: {12 x 12: 1}}
  reed 1: {color: '#2b5673', sheets: {12 x 12: 1}}
  photo paper: {color: '#ffffff'}
  moss:
    color: '#2b5673'
    offcuts: [{size: 2 x 3}, {size: 2 x 4, id: moss-offcut-1}, {size: 2 x 5}]
";
    let record = record_of(&pond(papers)).expect("names apart");
    let moss = record.papers.iter().find(|paper| paper.name == "moss").expect("the paper");
    let ids: Vec<&str> = moss.offcuts_left.iter().map(|left| left.id.as_str()).collect();
    assert_eq!(ids, ["moss-offcut-2", "moss-offcut-1", "moss-offcut-3"]);
}

/// An id that the guide of an earlier spread printed on a leftover names that one, never a new one.
#[test]
fn what_is_left_over_never_takes_the_name_of_paper_on_hand() {
    let papers = "  reed:
    color: '#2b5673'
    sheets: {12 x 12: 2}
    offcuts: [{size: 2 x 3, id: reed-1-offcut-1}, {size: 7 x 8, id: middle of single.water}]
photos: {heron: {size: 9 x 10}}
gutting: {when: always}
";
    let text = format!(
        "{}    - panel: {{id: bank, paper: reed, size: 10 x 11}}\n    - photo: {{photo: heron, at: {{left: 1/2, top: 1/2}}}}\n",
        pond(papers)
    );
    let record = record_of(&text).expect("enough paper");
    let mut names = BTreeSet::new();
    let on_hand = ["reed-1-offcut-1", "middle of single.water"];
    let left = record.sheets.iter().flat_map(|sheet| &sheet.offcuts);
    let middles = record.pieces.iter().flat_map(|piece| &piece.gutted);
    for offcut in left.chain(middles) {
        assert!(names.insert(&offcut.id), "{} twice", offcut.id);
        assert!(!on_hand.contains(&offcut.id.as_str()), "{} is on hand already", offcut.id);
    }
    assert!(names.iter().any(|name| name.starts_with("reed-1-offcut-1 (")), "{names:?}");
}

/// Every rule that has a say in nesting, none as it would be if it were not written.
const RULES: &str = "name: Reeds
page: 11 x 11
papers:
  reed: {color: '#2b5673', sheets: {12 x 12: {count: 9, price: 0.7}, 8.5 x 11: 9}, turn: half}
  wave: {color: '#e2725b', sheets: {12 x 12: 9}, turn: never}
cutting: {kerf: 1/64, trim margin: 1/8, spacing: 3/32, machine margin: 5/16, stages: 3, overcut: 1/32,
  machine speed: 3, lift time: 0.5, effort: quick}
gutting: {when: never, glue: 5/8, rim: 1}
marks: {kind: ring, inset: 1/2, arm: 3/8, weight: 1/64}
printer: {paper: 8 x 10, margin: 3/8, photo paper: 5 x 7, photo margin: 1/16}
left:
  base: wave
  pieces:
    - strip: {id: border, paper: wave, width: 1, across: spread, at: {bottom: 1}}
    - panel: {id: bank, paper: reed, size: 4 x 5, cut turn: never}
right:
  pieces:
    - circle: {id: sun, paper: reed, diameter: 2}
    - panel: {id: torn, paper: reed, size: 3 x 3, torn: [top]}
";

#[test]
fn a_redo_knows_every_rule_of_the_build() {
    for (effort, when) in [("quick", "never"), ("normal", "saves-a-sheet"), ("long", "always")] {
        let text = RULES.replace("effort: quick", &format!("effort: {effort}"));
        let text = text.replace("when: never", &format!("when: {when}"));
        let built = layout_of(&text).expect("a layout");
        let record = plan::record(&built).expect("enough paper");
        let json = serde_json::to_string(&record).expect("JSON");
        let record: Record = serde_json::from_str(&json).expect("a record");
        let all: Vec<Redo> =
            record.pieces.iter().map(|piece| Redo::Piece(piece.id.clone())).collect();
        let again =
            redo_layout(&Chain::of(record.clone()), &all, &FontBook::new(vec![])).expect("a redo");
        assert_eq!(again.rules, built.rules);
        assert_eq!(again.gutting, built.gutting);
        assert_eq!(again.effort, built.effort);
        assert_eq!(again.pace, built.pace);
        assert_eq!(again.marks, built.marks);
        assert_eq!(again.printer.paper, built.printer.paper);
        assert_eq!(again.printer.margin, built.printer.margin);
        for (again, built) in again.papers.iter().zip(&built.papers) {
            assert_eq!(
                (&again.name, again.turns, again.directional),
                (&built.name, built.turns, built.directional)
            );
        }
        assert_eq!(again.pieces.len(), built.pieces.len());
        for (again, built) in again.pieces.iter().zip(&built.pieces) {
            assert_eq!(
                (&again.id, again.kind, again.paper, again.tool, again.turns, &again.together),
                (&built.id, built.kind, built.paper, built.tool, built.turns, &built.together)
            );
            assert_eq!((again.size, again.page), (built.size, built.page), "{}", built.id);
        }
        let redone = plan::record(&again).expect("enough paper");
        assert_eq!(redone.rules, record.rules, "a redo's record says it in turn");
    }
    let built = layout_of(RULES).expect("a layout");
    assert_eq!((built.effort, built.gutting.when), (Effort::Quick, When::Never));
    assert_eq!(
        built.gutting,
        Gutting { when: When::Never, glue: Length::part(5, 8), rim: Length::part(1, 1) }
    );
    assert_eq!(built.papers[0].turns, Some(Turns::Half));
    assert_eq!(built.pieces.iter().filter(|piece| piece.together.is_some()).count(), 2);
}

#[test]
fn a_redo_of_half_a_strip_over_both_pages_names_the_other_half() {
    let record = record_of(RULES).expect("enough paper");
    let redo = |ids: &[&str]| {
        let wanted: Vec<Redo> = ids.iter().map(|id| Redo::Piece((*id).into())).collect();
        redo_layout(&Chain::of(record.clone()), &wanted, &FontBook::new(vec![]))
            .expect("a redo")
            .warnings
    };
    let warnings = redo(&["right.border"]);
    assert_eq!(warnings.len(), 1, "{warnings:?}");
    assert!(warnings[0].help.contains("redo `left.border` as well"), "{warnings:?}");
    assert!(redo(&["right.border", "left.border"]).is_empty());
    assert!(redo(&["right.sun"]).is_empty());
}

/// What a record says in a word that is not known is named, and nothing is taken in its place.
#[test]
fn words_of_a_record_that_are_not_known_are_named() {
    let cases = [
        ("/pieces/0/tool", "laser", "pieces[0].tool`: `laser` is not a tool; known are: trimmer, "),
        ("/pieces/0/turns", "quater", "pieces[0].turns`: `quater` is not a way to turn on a sheet"),
        ("/pieces/0/turns", "quater", "did you mean `quarter`?"),
        ("/pieces/0/page", "back", "pieces[0].page`: `back` is not a page; known are: left, "),
        ("/pages/0", "lft", "pages[0]`: `lft` is not a page; did you mean `left`?"),
        ("/rules/effort", "endless", "rules.effort`: `endless` is not a way to search"),
        ("/rules/gutting", "newer", "`newer` is not a time to gut; did you mean `never`?"),
        ("/papers/0/turns", "askew", "papers[0].turns`: `askew` is not a way to turn"),
        (
            "/papers/0/color",
            "#12345g",
            "papers[0].color`: `#12345g` is not a colour; write `#rrggbb`",
        ),
        ("/inks/cut", "red;url(x)", "inks.cut`: `red;url(x)` is not a colour"),
        ("/shown_in", "miles", "shown_in`: `miles` is not a unit"),
        (
            "/sheets/0/placed/0/tool",
            "hans",
            "sheets[0].placed[0].tool`: `hans` is not a tool; did you",
        ),
        ("/sheets/0/cuts/0/keeps/what", "peace", "did you mean `piece`?"),
    ];
    let text = serde_json::to_string(&record_of(RULES).expect("enough paper")).expect("JSON");
    let whole: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    for (field, word, says) in cases {
        let mut spoilt = whole.clone();
        *spoilt.pointer_mut(field).expect(field) = word.into();
        let problem = read_record("out/record.json", &spoilt.to_string()).expect_err(field);
        assert!(problem.message.contains(says), "{field}: {problem:?}");
        assert!(problem.message.starts_with("`out/record.json` can't be read"), "{problem:?}");
        assert!(problem.help.contains("changed by hand"), "{field}: {problem:?}");
    }
    // A record of an earlier version says nothing of effort and gutting: the usual is meant.
    let mut earlier = whole.clone();
    for field in ["effort", "gutting", "worth_keeping"] {
        earlier["rules"].as_object_mut().expect("rules").remove(field).expect(field);
    }
    let earlier = read_record("record.json", &earlier.to_string()).expect("a record");
    let wanted = [Redo::Piece("right.sun".into())];
    let layout = redo_layout(&Chain::of(earlier.clone()), &wanted, &FontBook::new(vec![]));
    let layout = layout.expect("a redo");
    assert_eq!((layout.effort, layout.gutting.when), (Effort::Normal, When::SavesASheet));
}

/// What a record links to that it does not have is named by the redo.
#[test]
fn kinds_papers_and_pages_that_a_record_does_not_have_are_named() {
    type Spoil = fn(&mut Record);
    let cases: [(Spoil, &str); 3] = [
        (|record| record.pieces[0].kind = "moon".into(), "the kind of `right.sun` is `moon`"),
        (|record| record.pieces[0].paper = "felt".into(), "the paper of `right.sun` is `felt`"),
        (|record| record.pieces[0].page = PageName::Single, "the page of `right.sun` is `single`"),
    ];
    let record = record_of(RULES).expect("enough paper");
    for (spoil, says) in cases {
        let mut record = record.clone();
        record.pieces.retain(|piece| piece.id == "right.sun");
        spoil(&mut record);
        let wanted = [Redo::Piece("right.sun".into())];
        let problems = redo_layout(&Chain::of(record.clone()), &wanted, &FontBook::new(vec![]))
            .expect_err(says);
        assert!(problems.0[0].message.contains(says), "{problems:?}");
        assert!(problems.0[0].help.contains("known are: "), "{problems:?}");
    }
}

/// Of the fonts that a record lists, a redo needs those in which its words are printed: letters that are
/// cut are curves in the record, and names can be shown in another font.
#[test]
fn a_redo_needs_only_the_fonts_of_its_printed_words() {
    let text = fs::read_to_string("templates/tide-pool.yaml").expect("a starter");
    let whole = record_of(&text).expect("enough paper");
    let printed = whole.strips[0].runs[0].font;
    let strip = || Redo::Piece(whole.strips[0].id.clone());
    let letter = whole.pieces.iter().find(|piece| piece.kind == "letter").expect("a title");
    let letter = || Redo::Piece(letter.id.clone());
    // A font for names, which stood before those of the words and is gone.
    let mut with_another = whole.clone();
    with_another.fonts.insert(
        0,
        cutleaf::record::FontUsed {
            sha256: "0".repeat(64),
            family: "Gone".into(),
            ..whole.fonts[printed].clone()
        },
    );
    for strip in &mut with_another.strips {
        strip.runs.iter_mut().for_each(|run| run.font += 1);
    }
    // The font of the words is gone.
    let mut without = whole.clone();
    without.fonts[printed].sha256 = "0".repeat(64);
    let cases = [
        ("nothing gone", &whole, strip(), true),
        ("a font of names gone, words", &with_another, strip(), true),
        ("a font of names gone, letter", &with_another, letter(), true),
        ("the words' font gone, words", &without, strip(), false),
        ("the words' font gone, letter", &without, letter(), true),
    ];
    for (name, record, redo, can) in cases {
        let made = redo_layout(&Chain::of(record.clone()), &[redo], &FontBook::new(vec![]));
        let layout = match made {
            Ok(layout) => layout,
            Err(problems) => {
                assert!(!can, "{name}: {problems:?}");
                assert!(problems.0[0].message.contains("has changed or is gone"), "{problems:?}");
                continue;
            }
        };
        assert!(can, "{name}");
        for (strip, before) in layout.strips.iter().zip(&whole.strips) {
            let font = |fonts: &[String], run: &cutleaf::record::Run| fonts[run.font].clone();
            let now: Vec<String> = layout.fonts.iter().map(|font| font.sha256.clone()).collect();
            let then: Vec<String> = whole.fonts.iter().map(|font| font.sha256.clone()).collect();
            assert_eq!(font(&now, &strip.runs[0]), font(&then, &before.runs[0]), "{name}");
        }
        let record = plan::record(&layout).expect("enough paper");
        cutleaf::emit::all(&record, &layout.fonts, &[]).expect("drawn");
    }
}

/// No cut file is written over another, and no sheet goes by the name of another.
#[test]
fn every_sheet_of_a_spread_has_a_name_of_its_own() {
    for starter in ["tide-pool", "printed"] {
        let text = fs::read_to_string(format!("templates/{starter}.yaml")).expect("a starter");
        let record = record_of(&text).expect("enough paper");
        let sheets = record.sheets.iter().chain(&record.prints).map(|sheet| sheet.id.as_str());
        let sheets: Vec<&str> = sheets.collect();
        let apart: BTreeSet<&str> = sheets.iter().copied().collect();
        assert_eq!(apart.len(), sheets.len(), "{starter}: {sheets:?}");
    }
}
