//! What a spec leaves to be fitted: sizes, places between two things, rows and columns, banks that end flush.

use std::fs;
use std::process::Command;

use proptest::prelude::*;

use crate::support::spreads::{layout_of, record_of};
use cutleaf::layout::Layout;
use cutleaf::layout::fit::line::{Line, Member, Spacing, mark};
use cutleaf::model::FittedKind;
use cutleaf::model::length::{Length, Size, Units};

const PAPERS: &str = "name: Orchard
papers:
  moss: {color: '#5f7a4f', sheets: {12 x 12: 9}}
  rust: {color: '#b5573a', sheets: {12 x 12: 9}}
photos:
  ladder: {size: 4 x 6}
  basket: {size: 3 x 3}
  dog: {size: 3 1/2 x 5}
";

fn page(pieces: &str) -> String {
    format!("{PAPERS}single:\n  base: moss\n{pieces}")
}

/// Size and place of a piece, in inches.
fn lies(layout: &Layout, id: &str) -> ([f64; 2], [f64; 2]) {
    let id = format!("single.{id}");
    let piece = layout.pieces.iter().find(|piece| piece.id == id.as_str());
    let piece = piece.map(|piece| (piece.size, piece.at));
    let photo = layout.photos.iter().find(|photo| photo.id == id.as_str());
    let (size, at) = piece.or(photo.map(|photo| (photo.size, photo.at))).expect("it is there");
    (size.to_inches(), at)
}

#[test]
fn what_is_left_open_is_fitted() {
    // Pieces after a panel `sky` of 3 x 12 at the left; of `it` the size and the place.
    let cases = [
        ("size: fit x 5, at: {between: [sky, right edge], top: 1}", [9.0, 5.0], [3.0, 1.0]),
        ("size: fit x 5, at: {between: [right edge, sky], bottom: 1}", [9.0, 5.0], [3.0, 6.0]),
        ("size: fit x 5, at: {between: sky and right edge, margin: 1/4}", [8.5, 5.0], [3.25, 0.0]),
        ("size: 4 x fit, at: {left: 4, top: 1, bottom: 1/2}", [4.0, 10.5], [4.0, 1.0]),
        ("size: fit, at: between sky and right edge", [9.0, 12.0], [3.0, 0.0]),
        ("size: fit, at: {right of: sky, gap: 1/8}", [8.875, 12.0], [3.125, 0.0]),
        ("size: fit x 2, at: {left: 5, top: 1}", [7.0, 2.0], [5.0, 1.0]),
        ("size: fit x 2, at: {right: 5}", [7.0, 2.0], [0.0, 0.0]),
        ("size: fit, at: {on: sky, margin: 1/2}", [2.0, 11.0], [0.5, 0.5]),
        (
            "size: fit, at: {between: [sky and right edge, top edge and bottom edge], margin: 1}",
            [7.0, 10.0],
            [4.0, 1.0],
        ),
        (
            "size: fit x 1, at: {between: [left edge of sky, right edge of sky], top: 2}",
            [3.0, 1.0],
            [0.0, 2.0],
        ),
        // The middle of 9 in, on the ruler.
        ("size: 2 x 2, at: {between: [sky, right edge], top: 4}", [2.0, 2.0], [6.5, 4.0]),
        // 8.95 in are no ruler's length: 8 15/16, the rest at both ends.
        (
            "size: fit x 1, at: {between: [sky, right edge], margin: 0.025}",
            [8.9375, 1.0],
            [3.03125, 0.0],
        ),
        // A share of the page and a unit of its own beside what is fitted.
        ("size: fit x 1/4 page, at: {right of: sky}", [9.0, 3.0], [3.0, 0.0]),
        ("size: 50.8 mm x fit, at: {left: 4, top: 11}", [2.0, 1.0], [4.0, 11.0]),
    ];
    for (written, size, at) in cases {
        let yaml = page(&format!(
            "  pieces:\n    - panel: {{id: sky, paper: rust, size: 3 x 12}}\n    - panel: {{id: it, paper: rust, {written}}}\n"
        ));
        let layout = layout_of(&yaml).unwrap_or_else(|problems| panic!("{written}: {problems}"));
        let (found, place) = lies(&layout, "it");
        assert_eq!(found, size, "{written}");
        for axis in [0, 1] {
            assert!((place[axis] - at[axis]).abs() < 1e-6, "{written}: {place:?}, not {at:?}");
        }
        // What was decided says so.
        assert_eq!(layout.fitted.len(), 1, "{written}");
    }
}

#[test]
fn strips_and_shapes_are_fitted_too() {
    let pieces = "  pieces:
    - panel: {id: sky, paper: rust, size: 3 x 12}
    - strip: {id: ribbon, paper: rust, width: 1/2, length: fit, at: {right of: sky, top: 6}}
    - strip: {id: side, paper: rust, down: page, width: fit, length: 4, at: {between: [sky, right edge], top: 7}}
    - tag: {id: tag, paper: rust, size: 1 x fit, at: {left: 4, between: [ribbon, bottom edge], margin: 1/4}}
    - heart: {id: heart, paper: rust, size: fit x 1, at: {left: 4, right: 5, top: 1}, print: {text: ripe}}
";
    let layout = layout_of(&page(pieces)).unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(lies(&layout, "ribbon").0, [9.0, 0.5]);
    assert_eq!(lies(&layout, "side").0, [9.0, 4.0]);
    assert_eq!(lies(&layout, "tag").0, [1.0, 5.0]);
    assert_eq!(lies(&layout, "heart").0, [3.0, 1.0]);
    // A title goes between two things as well, and the story.
    let titled = format!(
        "{}title: [{{words: Plum, height: 1, paper: rust, at: {{between: [sky, right edge], top: 2}}}}]\n",
        page(pieces)
    );
    let titled = layout_of(&titled).unwrap_or_else(|problems| panic!("{problems}"));
    let letters = titled.pieces.iter().filter(|piece| piece.kind == "letter");
    let (from, to) = letters.fold((12.0_f64, 0.0_f64), |(from, to), letter| {
        (from.min(letter.at[0]), to.max(letter.at[0] + letter.size.to_inches()[0]))
    });
    assert!((from - 3.0 - (12.0 - to)).abs() < 0.13, "{from} to {to}");
    // What is printed on it is measured on what was fitted.
    assert!(layout.pieces.iter().any(|piece| piece.id == "single.heart" && piece.print.is_some()));
    let write = |id: &str| {
        let told = layout.fitted.iter().find(|one| one.pieces == [format!("single.{id}")]);
        told.and_then(|one| one.write.clone())
    };
    assert_eq!(write("ribbon").as_deref(), Some("length: 9"));
    assert_eq!(write("side").as_deref(), Some("width: 9"));
    assert_eq!(write("tag").as_deref(), Some("size: 1 x 5"));
}

#[test]
fn rows_and_columns_are_even() {
    let pieces = "  pieces:
    - panel: {id: sky, paper: rust, size: 3 x 12}
    - photo: {photo: basket, at: {top: 1}}
    - tag: {id: date, paper: rust, size: 1 1/2 x 3}
    - photo: {photo: dog, at: {left: 1}}
    - photo: {photo: ladder}
    - panel: {id: one, paper: rust, size: fit x 1, at: {top: 10}}
    - panel: {id: two, paper: rust, size: fit x 2}
  fit:
    - {row: [basket, date], between: [sky, right edge]}
    - {column: [dog, ladder], gap: 1/4, align: start}
    - {row: [one, two], between: [sky, right edge], margin: 1/2, gap: 1/4, align: end}
";
    let layout = layout_of(&page(pieces)).unwrap_or_else(|problems| panic!("{problems}"));
    // 9 in less 4 1/2 in are three gaps of 1 1/2 in.
    assert_eq!(lies(&layout, "basket").1, [4.5, 1.0]);
    assert_eq!(lies(&layout, "date").1, [9.0, 1.0]);
    // 11 1/4 in in the middle of 12 in.
    assert_eq!(lies(&layout, "dog").1, [1.0, 0.375]);
    assert_eq!(lies(&layout, "ladder").1, [1.0, 5.625]);
    // Two alike and 1/4 in between them take 8 in: 3 7/8 in each.
    assert_eq!(lies(&layout, "one"), ([3.875, 1.0], [3.5, 10.0]));
    assert_eq!(lies(&layout, "two"), ([3.875, 2.0], [7.625, 9.0]));
    let record = record_of(&page(pieces)).expect("enough paper");
    let rows: Vec<_> = record.fitted.iter().filter(|one| one.kind == FittedKind::Line).collect();
    assert_eq!(rows.len(), 3);
    assert_eq!((rows[0].gap, rows[0].at[1]), (Some(1.5), [9.0, 1.0]));
    assert_eq!(rows[0].write.as_deref(), Some("left: 4 1/2, 9"));
}

#[test]
fn on_a_metric_page_sizes_are_whole_millimetres() {
    let yaml = "name: Orchard\nunits: mm\npage: 210 x 297\npapers: {moss: {color: '#5f7a4f', sheets: {210 x 297: 9}}}
single:
  pieces:
    - panel: {id: sky, paper: moss, size: 60.5 x 297}
    - panel: {id: it, paper: moss, size: fit x 40, at: {between: [sky, right edge], margin: 5}}
";
    let layout = layout_of(yaml).unwrap_or_else(|problems| panic!("{problems}"));
    let it = layout.pieces.iter().find(|piece| piece.id == "single.it").expect("there");
    assert_eq!(it.size, Size::new(Length::mm(139.0), Length::mm(40.0)));
    assert!((it.at[0] - Length::mm(65.75).to_inches()).abs() < 1e-6);
    assert_eq!(layout.fitted[0].write.as_deref(), Some("size: 139 x 40"));
}

#[test]
fn what_can_t_be_fitted_says_why_on_its_line() {
    let cases = [
        // Pieces from line 12 on; what the message holds; its line.
        (
            "    - panel: {id: a, paper: rust, size: 7 x 12}\n    - panel: {id: b, paper: rust, size: 7 x 12, at: {right: 0}}\n    - panel: {id: it, paper: rust, size: fit x 1, at: {between: [a, b]}}\n",
            "`a` and `b` overlap: there is no room",
            14,
        ),
        (
            "    - panel: {id: a, paper: rust, size: 7 x 1}\n    - panel: {id: b, paper: rust, size: 7 x 1, at: {right: 0, top: 2}}\n    - panel: {id: it, paper: rust, size: fit x 1, at: {between: [a, left edge of b]}}\n",
            "`a` and the left edge of `b` overlap by 2 in",
            14,
        ),
        (
            "    - panel: {id: a, paper: rust, size: 6 x 12}\n    - panel: {id: b, paper: rust, size: 6 x 12, at: {right: 0}}\n    - panel: {id: it, paper: rust, size: fit x 1, at: {between: [a, b]}}\n",
            "there is no room between `a` and `b`: they meet; `it` is 1/16 in wide at least",
            14,
        ),
        (
            "    - panel: {id: a, paper: rust, size: fit x 1, at: {between: [left edge, b]}}\n    - panel: {id: b, paper: rust, size: fit x 1, at: {between: [a, right edge]}}\n",
            "depends on itself",
            12,
        ),
        (
            "    - panel: {id: a, paper: rust, size: 5 x 1}\n    - panel: {id: b, paper: rust, size: 7 x 1}\n  fit: [{row: [a, b], gap: 1/8, margin: 1/4}]\n",
            "from the left edge to the right edge there are 12 in",
            14,
        ),
        (
            "    - panel: {id: a, paper: rust, size: fit x 1}\n    - panel: {id: b, paper: rust, size: fit x 1}\n  fit: [{row: [a, b], gap: even}]\n",
            "the sizes and the gaps are both left open",
            14,
        ),
        (
            "    - panel: {id: a, paper: rust, size: fit x 1, turn: 4}\n",
            "a piece that is turned can't be fitted",
            12,
        ),
        (
            "    - panel: {id: a, paper: rust, size: fit x 1, at: {center: 6}}\n",
            "can't be fitted round a middle",
            12,
        ),
        (
            "    - panel: {id: a, paper: rust, size: 2 x 1, at: {left: 1, between: [left edge, right edge]}}\n",
            "is decided by `between`",
            12,
        ),
        (
            "    - panel: {id: a, paper: rust, size: 2 x 1, at: {left: 1}}\n  fit: [{row: [a]}]\n",
            "is decided by its row",
            12,
        ),
        (
            "    - panel: {id: a, paper: rust, size: 2 x 1}\n  fit: [{row: [a, a]}]\n",
            "`a` stands in a row already",
            13,
        ),
        (
            "    - panel: {id: a, paper: rust, size: 2 x 1}\n  fit: [{row: [a, bee]}]\n",
            "there is no piece `bee`",
            13,
        ),
        (
            "    - panel: {id: a, paper: rust, size: 2 x 1, at: {between: [left edge, bottom edge]}}\n",
            "one is across, the other down",
            12,
        ),
        (
            "    - panel: {id: a, paper: rust, size: 2 x 1}\n    - panel: {id: b, paper: rust, size: 2 x 1, at: {left: 9, top: 9}}\n    - panel: {id: c, paper: rust, size: 1 x 1, at: {between: [a, b]}}\n",
            "apart both across and down",
            14,
        ),
        ("    - panel: {id: a, paper: rust, size: 4 x fitt}\n", "fitt", 12),
    ];
    for (pieces, message, line) in cases {
        let problems = layout_of(&page(&format!("  pieces:\n{pieces}"))).err();
        let problems = problems.unwrap_or_else(|| panic!("accepted: {pieces}"));
        let told = problems.to_string();
        assert!(told.contains(message), "{message}: {told}");
        assert!(told.contains(&format!("line {line}:")), "line {line}: {told}");
    }
}

/// Whatever decides where a piece lies along a direction, another place that way is refused on its line; a
/// place the other way stays.
#[test]
fn a_piece_has_one_place_along_each_direction() {
    let told = |piece: &str, fit: &str| -> Option<String> {
        let yaml = page(&format!(
            "  pieces:
    - panel: {{id: sky, paper: rust, size: 2 x 3, at: {{top: 1}}}}
    - panel: {{id: host, paper: rust, size: 3 x 3, at: [4, 4]}}
    - panel: {{id: it, paper: rust, size: 2 x 1, {piece}}}
  fit: [{fit}]
"
        ));
        layout_of(&yaml).err().map(|problems| problems.to_string())
    };
    let tucked = "tucked under: host, side: right, shows: 1";
    let line = "along: {from: [1, 10], to: [11, 10]}";
    for (piece, fit, wanted) in [
        (format!("at: {{{tucked}, between: [sky, right edge]}}"), "", "decided by `between`"),
        (format!("at: {{{tucked}}}"), "{row: [sky, it]}", "decided by its row"),
        (format!("repeat: {{count: 3, {line}}}"), "{row: [sky, it]}", "has two places: its row"),
        ("at: {right of: host}".to_owned(), "{row: [sky, it]}", "decided by its row"),
        ("at: {between: [sky, right edge]}".to_owned(), "{row: [it]}", "decided by its row"),
        ("at: {below: host}".to_owned(), "{column: [it]}", "decided by its column"),
        ("at: {right of: host, between: [sky, right edge]}".to_owned(), "", "by `between`"),
        ("at: {left: 1, right of: host}".to_owned(), "", "two positions"),
        ("at: {left of: sky, right of: host}".to_owned(), "", "two positions"),
    ] {
        let told = told(&piece, fit).unwrap_or_else(|| panic!("accepted: {piece} {fit}"));
        assert!(told.contains(wanted) && told.contains("line 14:"), "{piece} {fit}: {told}");
    }
    for (piece, fit) in [
        (format!("at: {{{tucked}, between: [top edge, bottom edge]}}"), ""),
        (format!("at: {{{tucked}}}"), "{column: [it]}"),
        ("at: {below: host}".to_owned(), "{row: [it]}"),
        ("at: {left: 1, below: host}".to_owned(), ""),
        ("repeat: {count: 3, along: page}".to_owned(), "{column: [it]}"),
    ] {
        assert_eq!(told(&piece, fit), None, "{piece} {fit}");
    }
}

/// One piece of a row or of a cluster is what is measured from, where it is named.
#[test]
fn rooms_go_by_the_piece_that_is_named() {
    let layout = layout_of(&page(
        "  pieces:
    - panel: {id: flag, paper: rust, size: 1 x 1, repeat: {count: 2, along: {from: [0, 2], to: [12, 2]}, ends: 1}}
    - panel: {id: mast, paper: rust, size: 1 x 1, at: {between: [flag.1, flag.2]}}
    - cluster: {id: sparks, at: [1, 6], pieces: [{panel: {id: coal, paper: rust, size: 1 x 1}}, {panel: {id: ash, paper: rust, size: 2 x 2, at: {offset: [4, 0]}}}]}
    - panel: {id: smoke, paper: rust, size: fit x 1, at: {right of: sparks.coal}}
    - panel: {id: wind, paper: rust, size: 1 x fit, at: {below: sparks.coal, left: 0}}
",
    ))
    .unwrap_or_else(|problems| panic!("{problems}"));
    let flags = [0, 1].map(|flag| layout.pieces[1 + flag].at[0]);
    let (_, at) = lies(&layout, "mast");
    assert_eq!(at[0], f64::midpoint(flags[0], flags[1]));
    // The coal ends 2 in from the left and 7 1/2 in from the top.
    assert_eq!(lies(&layout, "smoke"), ([10.0, 1.0], [2.0, 6.5]));
    assert_eq!(lies(&layout, "wind"), ([1.0, 4.5], [0.0, 7.5]));
    let told = layout_of(&page(
        "  pieces:
    - cluster: {id: sparks, at: [1, 6], pieces: [{panel: {id: coal, paper: rust, size: 1 x 1}}]}
  fit: [{row: [sparks.coal]}]
",
    ));
    let told = told.err().map(|problems| problems.to_string()).unwrap_or_default();
    assert!(told.contains("is a piece of `sparks`") && told.contains("line 13:"), "{told}");
}

#[test]
fn a_redo_goes_by_what_was_fitted() {
    let folder = tempfile::tempdir().expect("a folder");
    let spec = page(
        "  pieces:\n    - panel: {id: sky, paper: rust, size: 3 x 12}\n    - panel: {id: it, paper: rust, size: fit x 5, at: {right of: sky}}\n",
    );
    fs::write(folder.path().join("orchard.yaml"), &spec).expect("written");
    let run = |arguments: &[&str]| {
        let mut command = Command::new(assert_cmd::cargo::cargo_bin("cutleaf"));
        let run = command.args(arguments).current_dir(folder.path()).output().expect("it runs");
        assert!(run.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&run.stderr));
        String::from_utf8(run.stdout).expect("text")
    };
    let told = run(&["build", "orchard.yaml", "--effort", "quick"]);
    assert!(told.contains("`it` is 9 in wide: what is left; to keep it: size: 9 x 5"), "{told}");
    let record =
        fs::read_to_string(folder.path().join("out/orchard/record.json")).expect("a record");
    assert!(record.contains("\"fitted\""));
    assert!(run(&["redo", "orchard.yaml", "--piece", "single.it"]).contains("1 piece"));
    // What is fitted follows what it goes by, which is a change.
    fs::write(folder.path().join("orchard.yaml"), spec.replace("3 x 12", "4 x 12"))
        .expect("written");
    let told = run(&["redo", "orchard.yaml"]);
    assert!(told.contains("single.it") && told.contains("single.sky"), "{told}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    /// Any line of pieces: they keep their sizes and order, gaps and open sizes are alike and whole marks,
    /// the whole fills its room, and the ends differ by as little as they can.
    #[test]
    fn lines_hold(
        sizes in prop::collection::vec(prop_oneof![
            (10_000_000_i64..60_000_000).prop_map(Some),
            (4_i64..40).prop_map(|marks| Some(marks * 1_587_500)),
            Just(None),
        ], 1..6),
        room in 100_000_000_i64..400_000_000,
        margin in prop_oneof![Just(0_i64), 1_000_000..12_000_000_i64],
        gap in prop_oneof![Just(None), (0_i64..9_000_000).prop_map(Some)],
        metric in any::<bool>(),
    ) {
        let units = if metric { Units::Millimetres } else { Units::Inches };
        let nm = Length::nanometres;
        let is_open = sizes.contains(&None);
        let spacing = match gap {
            None if !is_open => Spacing::Even,
            gap => Spacing::Gap(nm(gap.unwrap_or(0))),
        };
        let members: Vec<Member> = sizes.iter().enumerate()
            .map(|(number, size)| Member { name: format!("`{number}`"), size: size.map(nm) }).collect();
        let line = Line {
            axis: 0, ends: ["the left edge".to_owned(), "the right edge".to_owned()],
            room: nm(room), margin: nm(margin), spacing, members, units,
        };
        let mark = mark(units);
        match line.solve() {
            Ok(placed) => {
                prop_assert_eq!(placed.relations.broken(placed.settled.all()), None);
                let mut open = Vec::new();
                for (span, size) in placed.spans.iter().zip(&sizes) {
                    match size {
                        Some(size) => prop_assert_eq!(span[1], nm(*size)),
                        None => open.push(span[1]),
                    }
                }
                prop_assert!(open.windows(2).all(|pair| pair[0] == pair[1]));
                prop_assert!(open.iter().all(|size| size.to_nanometres() % mark.to_nanometres() == 0));
                for pair in placed.spans.windows(2) {
                    prop_assert_eq!(pair[1][0] - pair[0][0] - pair[0][1], placed.gap);
                }
                let inside: Length = placed.spans.iter().map(|span| span[1]).sum::<Length>()
                    + placed.gap * (placed.spans.len() as i64 - 1);
                prop_assert_eq!(inside + placed.ends[0] + placed.ends[1], nm(room));
                prop_assert!(placed.ends.iter().all(|end| *end >= nm(margin)));
                prop_assert!((placed.ends[0] - placed.ends[1]).abs() <= mark + nm(1));
                if spacing == Spacing::Even {
                    prop_assert_eq!(placed.gap.to_nanometres() % mark.to_nanometres(), 0);
                }
                if is_open {
                    // No mark more for each would fit.
                    let count = open.len() as i64;
                    prop_assert!(placed.ends[0] + placed.ends[1] - nm(2 * margin) < mark * count);
                }
            }
            Err(clash) => {
                let fixed: i64 = sizes.iter().flatten().sum();
                let open = sizes.iter().filter(|size| size.is_none()).count() as i64;
                let gaps = gap.unwrap_or(0) * (sizes.len() as i64 - 1);
                let needed = fixed + gaps + 2 * margin + open * mark.to_nanometres();
                prop_assert!(needed > room - mark.to_nanometres(), "{clash:?}");
                prop_assert!(!clash.chain.is_empty() && clash.excess > Length::ZERO);
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Pages at random, with panels that are no ruler's length: what is fitted is whole marks, keeps its
    /// margin, and leaves less than a mark at both ends together; what was there stays; the same each time.
    #[test]
    fn pages_hold(
        sky in 10_u32..500, band in 10_u32..400, margin in 0_u32..60, tag in 40_u32..200,
        widths in prop::collection::vec(30_u32..170, 1..4),
    ) {
        let inches = |hundredths: u32| f64::from(hundredths) / 100.0;
        let names: Vec<String> = (0..widths.len()).map(|number| format!("r{number}")).collect();
        let row: String = names.iter().zip(&widths)
            .map(|(name, width)| format!("    - panel: {{id: {name}, paper: rust, size: {} x 1/2, at: {{top: 1/4}}}}\n", inches(*width)))
            .collect();
        let yaml = page(&format!(
            "  pieces:
    - panel: {{id: sky, paper: rust, size: {} x 12}}
    - panel: {{id: band, paper: rust, size: 12 x {}, at: {{bottom: 0}}}}
    - panel: {{id: it, paper: rust, size: fit, at: {{between: [sky and right edge, top edge and band], margin: {}}}}}
    - tag: {{id: tag, paper: rust, size: {} x 2, at: {{between: [sky, right edge], top: 2}}}}
{row}  fit:
    - {{row: [{}], between: [sky, right edge]}}
",
            inches(sky), inches(band), inches(margin), inches(tag), names.join(", ")
        ));
        let layout = layout_of(&yaml).map_err(|problems| TestCaseError::fail(problems.to_string()))?;
        prop_assert_eq!(lies(&layout, "sky"), ([inches(sky), 12.0], [0.0, 0.0]));
        let (size, at) = lies(&layout, "it");
        let (from, to) = ([inches(sky), 0.0], [12.0, 12.0 - inches(band)]);
        for axis in [0, 1] {
            prop_assert_eq!((size[axis] * 16.0).fract(), 0.0);
            let before = at[axis] - from[axis] - inches(margin);
            let after = to[axis] - at[axis] - size[axis] - inches(margin);
            prop_assert!(before > -1e-6 && after > -1e-6 && (before - after).abs() < 1e-6);
            prop_assert!(before + after < 1.0 / 16.0 + 1e-6, "{before} {after}");
        }
        let (size, at) = lies(&layout, "tag");
        let ends = [at[0] - inches(sky), 12.0 - at[0] - size[0]];
        prop_assert!((ends[0] - ends[1]).abs() < 1.0 / 16.0 + 1e-6, "{ends:?}");
        let spans: Vec<[f64; 2]> = names.iter().map(|name| {
            let (size, at) = lies(&layout, name);
            [at[0], at[0] + size[0]]
        }).collect();
        let gaps: Vec<f64> = spans.windows(2).map(|pair| pair[1][0] - pair[0][1]).collect();
        prop_assert!(gaps.windows(2).all(|pair| (pair[0] - pair[1]).abs() < 1e-6), "{gaps:?}");
        let again = layout_of(&yaml).map_err(|problems| TestCaseError::fail(problems.to_string()))?;
        prop_assert_eq!(again.fitted, layout.fitted);
    }
}
