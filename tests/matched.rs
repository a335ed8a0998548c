//! Strips over both pages whose pattern runs on over the gutter.

use cutleaf::model::length::{Length, Size};
use cutleaf::model::{PatternKind, Repeat};
use cutleaf::nest::{Effort, Form, Item, Job, Rules, Together, Tool, Turns};
use cutleaf::record::{Piece, Record};
use proptest::prelude::*;

use crate::patterned::{placed, record_in, scanned, turned};
use crate::support::replay::check;
use crate::support::spreads::{layout_of, record_of};
use cutleaf::plan::{self, Chain};

/// Where no difference of colour is looked at, in inches: a pattern may be off by as much.
const UNSEEN: f64 = 1.0 / 64.0;

/// A strip over both pages, of a paper with a pattern.
fn over_the_gutter(pattern: &str, width: &str, page: &str, sheet: &str, more: &str) -> String {
    let (kerf, keys) = more.split_once('|').unwrap_or(("0", more));
    format!(
        "name: Picnic\npage: {page}\ncutting: {{kerf: {kerf}, effort: quick}}\npapers:\n  \
         cream: {{color: \"#fbf6ea\", sheets: {{{page}: 2}}}}\n  \
         cloth: {{color: \"#f7f3ea\", pattern: {pattern}, sheets: {{{sheet}: 2}}}}\n\
         left:\n  base: cream\n\
         right:\n  base: cream\n  pieces:\n    \
         - strip: {{id: band, paper: cloth, width: {width}, across: spread, at: {{top: 2}}, {keys}}}\n"
    )
}

/// Where the halves of the strip lie, and how the sheet is that both are cut from.
fn halves(record: &Record) -> [(&Piece, cutleaf::record::Placed); 2] {
    ["left.band", "right.band"].map(|id| {
        let piece = record.pieces.iter().find(|piece| piece.id == id).unwrap();
        let placed = record.sheets.iter().flat_map(|sheet| &sheet.placed);
        (piece, placed.clone().find(|placed| placed.piece == id).unwrap().clone())
    })
}

/// Places of the pattern, beyond the gutter and before it, that are of other colours on the one half than on
/// the other.
fn broken_at_the_gutter(record: &Record) -> usize {
    let paper = record.papers.iter().find(|paper| paper.name == "cloth").unwrap();
    let mut pattern = paper.pattern.clone().unwrap();
    if pattern.kind == PatternKind::Wood {
        // Planks are looked at by their seams, which lie as stripes do.
        pattern.kind = PatternKind::Stripe;
    }
    let [(left, on_left), (right, on_right)] = halves(record);
    assert_eq!(on_left.turn, on_right.turn);
    let color = |piece, place, lies: &cutleaf::record::Placed| {
        let on_sheet = placed(piece, place, lies.turn, lies.at);
        pattern.color_at(paper.color, turned(on_sheet, -pattern.angle))
    };
    let all = (0..1600).filter(|step| {
        let [x, y] = [f64::from(step % 40), f64::from(step / 40)];
        let place = [(x - 20.0) * 0.0713, y * left.size[1] / 40.3];
        let near = [[0.0, 0.0], [UNSEEN, 0.0], [-UNSEEN, 0.0], [0.0, UNSEEN], [0.0, -UNSEEN]]
            .map(|[x, y]| [place[0] + x, place[1] + y]);
        let of_left = near.map(|[x, y]| color(left, [left.size[0] + x, y], &on_left));
        !of_left.contains(&color(right, place, &on_right))
    });
    all.count()
}

#[test]
fn a_pattern_that_is_to_match_runs_on_over_the_gutter() {
    // The pattern, the strip's width, page and sheet, the blade's kerf.
    for (pattern, width, page, sheet, kerf) in [
        ("{stripe: {pitch: 1/2}}", "1", "12 x 12", "12 x 12", "0"),
        ("{stripe: {pitch: 5/8}}", "1", "12 x 12", "12 x 12", "1/64"),
        ("{stripe: {pitch: 5/8}}", "1 1/8", "8 x 8", "12 x 12", "1/32"),
        ("{stripe: {pitch: 7/8, angle: 90}}", "1 1/4", "12 x 12", "12 x 12", "0.4 mm"),
        ("{gingham: {pitch: 1/2}}", "3/4", "12 x 12", "12 x 12", "1/64"),
        (
            "{gingham: {colors: [\"#c8553d\", \"#30475e\"], pitch: 0.7}}",
            "2",
            "8 x 8",
            "12 x 12",
            "1/32",
        ),
        ("{gingham: {pitch: 5/8, angle: -90}}", "1", "12 x 12", "13 x 13", "0"),
        (
            "{dot: {colors: [\"#30475e\", \"#f2b950\"], pitch: 3/8}}",
            "1 1/2",
            "12 x 12",
            "12 x 12",
            "0",
        ),
        (
            "{dot: {colors: [\"#30475e\", \"#f2b950\", \"#c8553d\"], pitch: 3/8}}",
            "1",
            "11 x 8 1/2",
            "12 x 12",
            "1/64",
        ),
        ("{chevron: {pitch: 1}}", "1 3/8", "12 x 12", "12 x 12", "1/16"),
        ("{plaid: {pitch: 1 1/2}}", "1", "12 x 12", "12 x 12", "1/64"),
        ("{grid: {pitch: 1/3}}", "7/8", "12 x 12", "12 x 12", "0"),
        ("{grid: {pitch: 9 mm}}", "22 mm", "150 mm x 150 mm", "12 x 12", "0.5 mm"),
        ("{wood: {pitch: 2}}", "3", "11 x 8 1/2", "12 x 12", "1/64"),
    ] {
        let yaml =
            |keys: &str| over_the_gutter(pattern, width, page, sheet, &format!("{kerf}|{keys}"));
        let record = record_of(&yaml("match pattern: true")).unwrap();
        let is_told = |record: &Record| record.warnings.iter().any(|one| one.kind == "not matched");
        let case = format!("{pattern} {width} {page} {kerf}");
        assert!(!is_told(&record), "{case}: {:?}", record.warnings);
        assert_eq!(broken_at_the_gutter(&record), 0, "{case}: {:?}", halves(&record));
        let plain = record_of(&yaml("match pattern: false")).unwrap();
        let asked_for_nothing = record_of(&yaml("")).unwrap();
        assert_eq!(plain.sheets, asked_for_nothing.sheets, "{case}");
        assert!(!is_told(&plain));
    }
}

#[test]
fn without_being_asked_patterns_break_at_the_gutter() {
    let yaml = over_the_gutter("{gingham: {pitch: 5/8}}", "1", "8 x 8", "12 x 12", "1/32|");
    assert!(broken_at_the_gutter(&record_of(&yaml).unwrap()) > 50);
}

/// Halves that were cut without a match are no match: `redo --changed` has both of them. What is no longer to
/// match may stay as it is cut.
#[test]
fn a_strip_that_is_to_match_since_the_build_is_cut_again() {
    let text = |more: &str| {
        let text = over_the_gutter(
            "{stripe: {colors: ['#b9473f'], pitch: 2}}",
            "1",
            "12 x 12",
            "12 x 12",
            more,
        );
        text.replace("sheets: {12 x 12: 2}", "sheets: {12 x 12: 4}")
    };
    let (plain, matched) = (text(""), text("match pattern: true"));
    let chain_of = |text: &str| Chain::of(record_of(text).expect("enough paper"));
    let changes = |before: &str, now: &str| {
        plan::changes(&chain_of(before), &layout_of(now).expect("sound")).expect("read")
    };
    let gained = changes(&plain, &matched);
    let told: Vec<(&str, &str)> =
        gained.changed.iter().map(|one| (one.id.as_str(), one.what.as_str())).collect();
    let what = "its pattern is to run on over the gutter";
    assert_eq!(told, [("left.band", what), ("right.band", what)]);
    assert_eq!(changes(&matched, &plain), plan::Changes::default());
    assert_eq!(changes(&matched, &matched), plan::Changes::default());
    // What is cut then matches, and nothing is left to do.
    let chain = chain_of(&plain);
    let spread = layout_of(&matched).expect("sound");
    let redo = plan::changed_layout(&chain, &spread, &gained).expect("a redo");
    let redo = plan::record(&redo).expect("enough paper");
    assert_eq!(broken_at_the_gutter(&redo), 0);
    let chain = chain.then(redo).expect("it follows");
    assert_eq!(plan::changes(&chain, &spread).expect("read"), plan::Changes::default());
}

#[test]
fn what_stands_in_the_way_of_a_match_is_told() {
    let gingham = "{gingham: {pitch: 5/8}}";
    for (pattern, page, keys, message) in [
        (gingham, "12 x 12", "match pattern: true", "need 12 1/8 x 2 1/4 in from one sheet"),
        (
            "{stripe: {pitch: 5/8}}",
            "12 x 12",
            "match pattern: true, cut turn: never",
            "need 12 1/8 x 2 in",
        ),
        ("{stripe: {angle: 30}}", "12 x 12", "match pattern: true", "lies at 30 degrees"),
        (gingham, "8 x 8", "match pattern: true, tool: machine", "the machine cuts"),
    ] {
        let yaml = |keys: &str| over_the_gutter(pattern, "1", page, "12 x 12", keys);
        let record = record_of(&yaml(keys)).unwrap();
        let told: Vec<_> = record.warnings.iter().filter(|one| one.kind == "not matched").collect();
        assert_eq!(told.len(), 1, "{keys}: {:?}", record.warnings);
        assert!(told[0].message.contains(message), "{message}: {told:?}");
        assert!(told[0].line.is_some() && told[0].help.contains("match pattern"), "{told:?}");
        let before = record_of(&yaml(&keys.replace("match pattern: true", "match pattern: false")));
        assert_eq!(record.sheets, before.unwrap().sheets, "{keys}");
    }
    let plain = over_the_gutter("{grid: {}}", "1", "8 x 8", "12 x 12", "match pattern: true")
        .replace(", pattern: {grid: {}}", "");
    let told = record_of(&plain).unwrap().warnings;
    assert!(
        told.iter().any(|one| one.message.contains("neither a pattern nor a picture")),
        "{told:?}"
    );
    let page = over_the_gutter(gingham, "1", "8 x 8", "12 x 12", "match pattern: true")
        .replace("across: spread", "across: page");
    assert!(record_of(&page).unwrap_err().to_string().contains("only a strip over both pages"));
}

#[test]
fn a_picture_runs_on_where_it_repeats_or_lies_in_one_piece() {
    // The fill, the page, the kerf, whether it can be matched.
    for (fill, page, kerf, matched) in [
        ("repeat", "10 x 10", "1/64", true),
        ("repeat", "12 x 12", "1/64", true),
        ("whole", "6 x 6", "0", true),
        ("whole", "6 x 6", "1/16", false),
        ("whole", "12 x 12", "0", false),
    ] {
        let folder = scanned("scan.png", [240, 240]);
        let keys = format!("picture: scan.png, picture size: 4 x 3, picture fill: {fill}, ");
        let yaml = over_the_gutter(
            "{grid: {}}",
            "1",
            page,
            "12 x 12",
            &format!("{kerf}|match pattern: true"),
        )
        .replace("pattern: {grid: {}}, ", &keys);
        let (record, _) = record_in(folder.path(), &yaml).unwrap();
        let told = record.warnings.iter().filter(|one| one.kind == "not matched").count();
        let [(left, one), (_, other)] = halves(&record);
        let case = format!("{fill} {page} {kerf}: {one:?} {other:?}");
        assert_eq!(told == 0, matched, "{case}: {:?}", record.warnings);
        assert_eq!(one.turn, other.turn, "{case}");
        let [along, across] = if one.turn == 0.0 { [0, 1] } else { [1, 0] };
        let off = |axis: usize| {
            other.at[axis] - one.at[axis] - if axis == along { left.size[0] } else { 0.0 }
        };
        let is_whole = |axis: usize| {
            let repeat = [4.0, 3.0][axis];
            let times = off(axis) / repeat;
            let times = if fill == "whole" { times } else { times - times.round() };
            (times * repeat).abs() < UNSEEN
        };
        assert_eq!(is_whole(along) && is_whole(across), matched, "{case}");
    }
}

/// Two pieces of one size from one sheet, a pattern that repeats after `repeats` sixteenths (0: all along
/// alike), and other pieces beside them.
fn any_matched_job() -> impl Strategy<Value = Job> {
    let pair = (16..190_i64, 4..60_i64, [0..40_i64, 0..40_i64], any::<bool>());
    let rest = prop::collection::vec((8..120_i64, 8..120_i64), 0..4);
    (pair, rest, 0..3_i64, 0..2_i64, 1..3_u32).prop_map(
        |((width, height, repeats, turns), rest, kerf, margin, copies)| {
            let sixteenths = |number: i64| Length::part(number, 16);
            let repeats = repeats.map(|every| match every {
                0 => Repeat::Plain,
                every => Repeat::Every(sixteenths(every)),
            });
            let item = |id: &str, [width, height]: [i64; 2], copies: u32| Item {
                id: id.to_owned(),
                form: Form::Rectangle(Size::new(sixteenths(width), sixteenths(height))),
                copies,
                tool: Tool::Trimmer,
                turns: if turns { Turns::Quarter } else { Turns::Never },
                together: None,
            };
            let runs_on = Some(repeats);
            let together = Some(Together { word: "band".to_owned(), runs_on });
            let half =
                |id: &str| Item { together: together.clone(), ..item(id, [width, height], copies) };
            let mut items = vec![half("left.band"), half("right.band")];
            items.extend(rest.into_iter().map(|(width, height)| item("kite", [width, height], 1)));
            let stock = [(12, 4), (14, 2)].map(|(side, count)| cutleaf::nest::Stock {
                size: Size::new(Length::part(side, 1), Length::part(side, 1)),
                count,
                ..Default::default()
            });
            let rules = Rules {
                kerf: Length::part(kerf, 32),
                trim_margin: Length::part(margin, 8),
                ..Rules::default()
            };
            Job { stock: stock.to_vec(), items, rules, effort: Effort::Quick }
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Cuts from edge to edge free both pieces, and where a sheet holds them the pattern runs on.
    #[test]
    fn halves_with_a_pattern_are_cut_as_told(job in any_matched_job()) {
        let nested = cutleaf::nest::nest(&job);
        check(&job, &nested);
        let Form::Rectangle(size) = &job.items[0].form else { return Ok(()) };
        let [width, _] = size.to_inches();
        let repeats = job.items[0].together.as_ref().and_then(|one| one.runs_on).unwrap();
        let room = job.room_to_run_on("band").unwrap().to_inches();
        let margin = job.rules.trim_margin.to_inches() * 2.0;
        // What the least room is too large for, another way may fit.
        let is_held = room.iter().all(|side| *side <= 14.0 - margin);
        for sheet in &nested.sheets {
            let of = |item: usize| sheet.placed.iter().filter(move |placed| placed.item == item);
            for (left, right) in of(0).flat_map(|left| of(1).map(move |right| (left, right))) {
                if left.copy != right.copy || !is_held {
                    continue;
                }
                prop_assert_eq!(left.turn, right.turn);
                let along = usize::from(left.turn != 0.0);
                for axis in [0, 1] {
                    let Repeat::Every(every) = repeats[axis] else { continue };
                    let every = every.to_inches();
                    let end = left.at[axis] + if axis == along { width } else { 0.0 };
                    let times = (right.at[axis] - end) / every;
                    prop_assert!((times - times.round()).abs() * every < UNSEEN, "{:?} {:?}", left, right);
                }
            }
        }
    }
}
