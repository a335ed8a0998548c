//! Advice with a good eye: what is seen, why, and the change that was tried.

use std::path::Path;

use cutleaf::description;
use cutleaf::layout::{Layout, advise, lay_out};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::{Advice, AdviceKind};

/// Papers and photos of every case; the two pages and what else is said come after it.
const HEAD: &str = "name: Orchard\npapers:\n  linen: {color: \"#f3ecdd\"}\n  moss: {color: \"#4d6b3c\"}\n  \
                    plum: {color: \"#5b2a4e\"}\n  pear: {color: \"#d9cf6a\"}\nphotos:\n  ladder: {size: 4 x 6}\n  \
                    basket: {size: 4 x 6}\n  bench: {size: 4 x 4}\n  wasp: {size: 4 x 6, facing: left}\n";

fn laid_out(text: &str) -> Layout {
    let text = format!("{HEAD}{text}");
    let spec = description::parse(&text).unwrap_or_else(|problems| panic!("{text}{problems}"));
    lay_out(&spec, Path::new("tests"), &FontBook::default())
        .unwrap_or_else(|problems| panic!("{text}{problems}"))
}

fn advice(text: &str) -> Vec<Advice> {
    advise(&laid_out(text), Path::new("tests"), &FontBook::default())
}

fn of(kind: AdviceKind, advice: &[Advice]) -> Vec<&Advice> {
    advice.iter().filter(|one| one.kind == kind).collect()
}

/// A kind, a spread that asks for it with the piece it is told of and what is written instead, and one that
/// doesn't.
struct Case {
    kind: AdviceKind,
    seen: &'static str,
    piece: &'static str,
    write: Option<&'static str>,
    unseen: &'static str,
}

const CASES: &[Case] = &[
    Case {
        kind: AdviceKind::Facing,
        seen: "left: {base: linen, pieces: [photo: {photo: wasp, at: [1, 3]}]}\n\
               right: {base: linen, pieces: [photo: {photo: ladder, at: [6, 3]}]}\n",
        piece: "left.wasp",
        write: Some("`wasp` in the place of `ladder`, and `ladder` in that of `wasp`"),
        unseen: "left: {base: linen, pieces: [photo: {photo: ladder, at: [1, 3]}]}\n\
                 right: {base: linen, pieces: [photo: {photo: wasp, at: [6, 3]}]}\n",
    },
    Case {
        kind: AdviceKind::LoneColor,
        seen: "left: {base: linen, pieces: [panel: {id: wall, paper: plum, size: 3 x 12, at: [0, 0]}, \
               circle: {paper: pear, diameter: 2, at: [5, 5]}]}\n\
               right: {base: linen, pieces: [panel: {id: foot, paper: pear, size: 3 x 4, at: {left: 1, bottom: 1}}, \
               circle: {id: apple, paper: pear, diameter: 2, at: [8, 4]}]}\n",
        piece: "left.wall",
        write: Some("paper: plum"),
        unseen: "left: {base: linen, pieces: [panel: {paper: plum, size: 3 x 12, at: [0, 0]}]}\n\
                 right: {base: linen, pieces: [panel: {paper: plum, size: 3 x 12, at: {right: 0}}]}\n",
    },
    Case {
        kind: AdviceKind::Clusters,
        seen: "left: {base: linen, pieces: [circle: {paper: plum, diameter: 1, at: [1, 5]}, \
               circle: {paper: pear, diameter: 1, at: [2, 5]}, circle: {paper: plum, diameter: 1, at: [9, 5]}]}\n\
               right: {base: linen, pieces: [circle: {id: last, paper: plum, diameter: 1, at: [8, 5]}]}\n",
        piece: "right.last",
        write: Some("top: 8"),
        unseen: "left: {base: linen, pieces: [circle: {paper: plum, diameter: 1, at: [1, 1]}, \
                 circle: {paper: plum, diameter: 1, at: [9, 10]}]}\n\
                 right: {base: linen, pieces: [circle: {paper: plum, diameter: 1, at: [8, 2]}]}\n",
    },
    Case {
        kind: AdviceKind::Contrast,
        seen: "single: {base: linen}\n\
               title: [{words: Pears, height: 1 1/2, paper: pear, at: [2, 2]}]\n",
        piece: "title.pears",
        write: Some("paper: plum"),
        unseen: "single: {base: linen}\n\
                 title: [{words: Pears, height: 1 1/2, paper: moss, at: [2, 2]}]\n",
    },
    Case {
        kind: AdviceKind::SmallText,
        seen: "single: {base: linen}\njournaling: {paper: pear, size: 8 pt, strip: {height: 3/8, widest: 4}, \
               at: [2, 2], text: The wasps were there before us.}\n",
        piece: "journaling",
        write: Some("size: 9 pt"),
        unseen: "single: {base: linen}\njournaling: {paper: pear, size: 9 pt, strip: {height: 3/8, widest: 4}, \
                 at: [2, 2], text: The wasps were there before us.}\n",
    },
    Case {
        kind: AdviceKind::OverPhoto,
        seen: "single: {base: linen, pieces: [photo: {photo: ladder, at: [4, 3]}]}\n\
               title: [{words: Pears, height: 1, paper: plum, at: [4, 6]}]\n",
        piece: "title.pears",
        write: Some("top: 9"),
        unseen: "single: {base: linen, pieces: [photo: {photo: ladder, at: [4, 3]}]}\n\
                 title: [{words: Pears, height: 1, paper: plum, at: [4, 1]}]\n",
    },
    Case {
        kind: AdviceKind::SameColor,
        seen: "single: {base: linen, pieces: [panel: {id: fence, paper: moss, size: 6 x 6, at: [3, 3]}, \
               circle: {id: apple, paper: moss, diameter: 2, at: [5, 5]}]}\n",
        piece: "single.apple",
        write: Some("paper: linen"),
        unseen: "single: {base: linen, pieces: [panel: {id: fence, paper: moss, size: 6 x 6, at: [3, 3]}, \
                 circle: {id: apple, paper: pear, diameter: 2, at: [5, 5]}]}\n",
    },
    Case {
        kind: AdviceKind::NearMiss,
        seen: "single: {base: linen, pieces: [photo: {photo: ladder, at: [1, 1]}, \
               photo: {id: low, photo: bench, at: [6, 1 1/16]}]}\n",
        piece: "single.low",
        write: Some("top: 1"),
        unseen: "single: {base: linen, pieces: [photo: {photo: ladder, at: [1, 1]}, \
                 photo: {photo: bench, at: [6, 1]}]}\n",
    },
    Case {
        kind: AdviceKind::Gap,
        seen: "single: {base: linen, pieces: [photo: {id: one, photo: bench, at: {left: 1/2, top: 3}}, \
               rectangle: {paper: moss, size: 1 x 1, at: [9, 9]}, \
               photo: {id: two, photo: bench, at: {right of: one, gap: 1/4}}, \
               photo: {id: three, photo: bench, at: {below: one, gap: 1/4}}, \
               photo: {id: four, photo: bench, at: {right of: three, gap: 3/8}}]}\n",
        piece: "single.four",
        write: Some("gap: 1/4"),
        unseen: "single: {base: linen, pieces: [photo: {id: one, photo: bench, at: {left: 1/2, top: 3}}, \
                 photo: {id: two, photo: bench, at: {right of: one, gap: 1/4}}, \
                 photo: {id: three, photo: bench, at: {below: one, gap: 1/4}}, \
                 photo: {id: four, photo: bench, at: {right of: three, gap: 1/4}}]}\n",
    },
    Case {
        kind: AdviceKind::Balance,
        seen: "left: {base: linen, pieces: [photo: {photo: ladder, at: [1, 1]}, photo: {photo: basket, at: [6, 1]}, \
               panel: {paper: moss, size: 12 x 4, at: {bottom: 0}}]}\n\
               right: {base: linen, pieces: [panel: {paper: moss, size: 1 x 12, at: [0, 0]}]}\n",
        piece: "",
        write: Some("`left.photo` under `right:` instead, at: [7, 1]"),
        unseen: "left: {base: linen, pieces: [photo: {photo: ladder, at: [1, 1]}]}\n\
                 right: {base: linen, pieces: [photo: {photo: basket, at: [1, 1]}]}\n",
    },
    Case {
        kind: AdviceKind::PageEdge,
        seen: "single: {base: linen, pieces: [strip: {id: hem, paper: moss, width: 2, down: page, at: {right: 1/16}}]}\n",
        piece: "single.hem",
        write: Some("right: 0"),
        unseen: "single: {base: linen, pieces: [panel: {id: mat, paper: moss, size: 11 7/8 x 11 7/8, at: center}]}\n",
    },
];

#[test]
fn advice_says_what_is_seen_and_what_was_tried() {
    let kinds: Vec<AdviceKind> = CASES.iter().map(|case| case.kind).collect();
    // What saves a sheet is known once the sheets are planned: `savings` has it.
    let seen = AdviceKind::ALL.into_iter().filter(|kind| *kind != AdviceKind::SavesASheet);
    assert_eq!(kinds, seen.collect::<Vec<_>>());
    let mut wrong = Vec::new();
    for case in CASES {
        let all = advice(case.seen);
        let found = of(case.kind, &all);
        let told: Vec<_> = found
            .iter()
            .map(|one| (one.piece.as_deref().unwrap_or_default(), one.write.as_deref()))
            .collect();
        if told != [(case.piece, case.write)] {
            wrong.push(format!("{}: {told:?} of {all:#?}", case.kind));
            continue;
        }
        assert!(!found[0].reason.is_empty());
        assert_eq!(found[0].line.is_some(), !case.piece.is_empty(), "{}", case.kind);
        let all = advice(case.unseen);
        if !of(case.kind, &all).is_empty() {
            wrong.push(format!("{} is not to be seen: {all:#?}", case.kind));
        }
        let off = advice(&format!("{}advice: {{without: [{}]}}\n", case.seen, case.kind));
        assert!(of(case.kind, &off).is_empty(), "{}", case.kind);
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What is tried where one element alone would not do, or could not be changed before.
#[test]
fn clusters_move_as_one_and_printed_words_grow() {
    let two = |id: &str, left: &str, right: &str| {
        format!(
            "circle: {{id: {id}-1, paper: plum, diameter: 1, at: [{left}, 5]}}, \
             circle: {{id: {id}-2, paper: pear, diameter: 1, at: [{right}, 5]}}"
        )
    };
    let one = |id: &str, left: &str| {
        format!(
            "cluster: {{id: {id}, at: [{left}, 5], pieces: [{{circle: {{paper: plum, diameter: 1}}}}, \
             {{circle: {{id: small, paper: pear, diameter: 1, at: {{offset: [3/4, 1/4]}}}}}}]}}"
        )
    };
    let spread = |first: String, second: String, third: String| {
        format!(
            "left: {{base: linen, pieces: [{first}, {second}]}}\nright: {{base: linen, pieces: [{third}]}}\n"
        )
    };
    let guessed = spread(two("a", "1", "2"), two("b", "9", "10"), two("c", "8", "9"));
    let told = spread(one("a", "1"), one("b", "9"), one("c", "8"));
    let tag = |size: &str| {
        format!(
            "single: {{base: linen, pieces: [tag: {{id: label, paper: pear, size: 3 x 2, at: [2, 2], \
             print: {{text: Pears, size: {size}}}}}]}}\n"
        )
    };
    let row = "single: {base: linen, pieces: [circle: {id: dot, paper: linen, diameter: 1, \
               repeat: {along: {from: [1, 5], to: [11, 5]}, count: 5}}]}\n";
    for (text, kind, piece, write) in [
        (&*guessed, AdviceKind::Clusters, "right.c-1", "`right.c-1` top: 8, `right.c-2` top: 8"),
        (&told, AdviceKind::Clusters, "right.c", "top: 8"),
        (&tag("7 pt"), AdviceKind::SmallText, "single.label", "size: 9 pt"),
        (row, AdviceKind::SameColor, "single.dot", "paper: "),
    ] {
        let all = advice(text);
        let found = of(kind, &all);
        let [found] = found[..] else { panic!("{text}: {all:#?}") };
        assert_eq!(found.piece.as_deref(), Some(piece), "{found:?}");
        if kind != AdviceKind::SameColor {
            assert_eq!(found.write.as_deref(), Some(write), "{found:?}");
        }
    }
    // Clusters that are written as such are known whatever lies between them.
    let triangle = spread(one("a", "1"), one("b", "9"), one("c", "8").replace(", 5]", ", 9]"));
    assert!(of(AdviceKind::Clusters, &advice(&triangle)).is_empty());
}

/// Contrast is told so that a stranger knows what to change.
#[test]
fn a_contrast_names_both_papers() {
    let all = advice(
        "single: {base: linen}\ntitle: [{words: Pears, height: 1 1/2, paper: pear, at: [2, 2]}]\n",
    );
    let found = of(AdviceKind::Contrast, &all);
    let [found] = found[..] else { panic!("{all:#?}") };
    assert_eq!(found.message, "`title.pears` is of pear and lies on linen: a contrast of 1.4 to 1");
    assert!(found.reason.contains("from 3 to 1 on"));
}

/// The starters follow their own advice.
#[test]
fn starters_follow_their_own_advice() {
    let folder = Path::new("templates");
    let told = ["kite-day", "beach-walk", "tide-pool"];
    for name in told {
        let text = std::fs::read_to_string(folder.join(format!("{name}.yaml"))).unwrap();
        let spec = description::parse(&text).unwrap();
        let layout = lay_out(&spec, folder, &FontBook::default()).unwrap();
        let advice = advise(&layout, folder, &FontBook::default());
        assert!(advice.is_empty(), "{name}: {advice:#?}");
    }
}
