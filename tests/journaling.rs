//! The story in strips: best breaks, exact sizes, cuts that free every strip.

use cutleaf::journal::{
    Faces, LineCount, Lines, Story, StoryStrip, arrange, best_lines, blank_from, break_story, cuts,
    line_cost,
};
use cutleaf::outline::fonts::{Font, FontBook};
use cutleaf::record::{Area, Cut};
use kurbo::Shape;
use proptest::prelude::*;

fn story(text: &str) -> Story {
    Story {
        text: text.to_owned(),
        strip_height: 0.3125,
        lines: Lines::Widest(4.0),
        pad: 0.125,
        type_size: 10.0,
        hyphens: false,
        most: None,
        ruler_mark: 1.0 / 32.0,
    }
}

/// Breaks words of these widths, the spaces between them 0.05, in lines of width 1.
fn lines(words: &[f64]) -> Vec<(usize, usize)> {
    let breaks = best_lines(words.len(), LineCount::Any(1), |_, start, end| {
        let width = words[start..end].iter().sum::<f64>() + 0.05 * (end - start - 1) as f64;
        let cost = line_cost(width, end - start, end == words.len());
        cost.is_finite().then_some(cost)
    });
    breaks.lines
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn strips_hold_their_text(
        words in prop::collection::vec("[a-zA-Z]{1,9}[,.]?", 1..60),
        widest in 2.0_f64..6.0,
    ) {
        let font = FontBook::default().find("text").expect("built in");
        let text = words.join(" ");
        let story = Story { lines: Lines::Widest(widest), ..story(&text) };
        let strips = break_story(&story, &Faces::alike(&font)).expect("no word is that wide");
        let said: Vec<&str> = strips.iter().map(|strip| strip.text.as_str()).collect();
        prop_assert_eq!(said.join(" "), text);
        for strip in strips {
            prop_assert!(strip.size[0] <= widest + 1e-9);
            prop_assert_eq!(strip.size[1], 0.3125);
            let [left, right] = ink(&font, &strip, 10.0);
            let (before, after) = (left, strip.size[0] - right);
            prop_assert!((before - after).abs() < 1e-5, "padding {before} and {after}");
            prop_assert!((0.12499..=0.12501 + 1.0 / 64.0).contains(&before), "padding {before}");
        }
    }

    /// Letters that reach beyond their advance, as in an italic, take their room from the line.
    #[test]
    fn strips_hold_letters_that_reach_out(
        words in prop::collection::vec("[jf][a-z]{0,6}[fTj]", 1..30),
        widest in 2.5_f64..6.0,
    ) {
        let font = FontBook::default().find("text italic").expect("built in");
        let story = Story { lines: Lines::Widest(widest), ..story(&words.join(" ")) };
        for strip in break_story(&story, &Faces::alike(&font)).expect("no word is that wide") {
            let [left, right] = ink(&font, &strip, 10.0);
            prop_assert!(strip.size[0] <= widest + 1e-9);
            prop_assert!(left > 0.12499 && strip.size[0] - right > 0.12499, "{strip:?}");
        }
    }

    /// Replays the cuts of a printed page by the parts in hand: each strip comes free, whole.
    #[test]
    fn cuts_free_every_strip(
        widths in prop::collection::vec(1_u32..96, 1..60),
        height in 6_u32..16,
        kerf in prop::sample::select(vec![0.0, 1.0 / 64.0, 0.03]),
    ) {
        let paper = [8.5, 11.0];
        let sizes: Vec<[f64; 2]> = widths
            .iter()
            .map(|width| [f64::from(*width) / 32.0 + 0.5, f64::from(height) / 32.0])
            .collect();
        let places = arrange(&sizes, paper, 0.25, kerf, 0.0).expect("strips fit the page");
        let pages = places.iter().map(|place| place.page).max().unwrap_or(0);
        let mut freed = 0;
        for page in 0..=pages {
            let trims: Vec<(String, [f64; 2], [f64; 2])> = places
                .iter()
                .enumerate()
                .filter(|(_, place)| place.page == page)
                .map(|(index, place)| (index.to_string(), place.at, sizes[index]))
                .collect();
            let bottom = trims.iter().map(|(_, at, size)| at[1] + size[1]).fold(0.0, f64::max);
            let blank = blank_from(bottom, paper, 0.25).map(|from| (from, "blank"));
            let parts = replay(paper, &cuts(paper, &trims, blank, kerf), kerf);
            for (_, at, size) in &trims {
                let wanted = Area { at: *at, size: *size };
                prop_assert!(parts.iter().any(|part| same(part, &wanted)), "{wanted:?} of {parts:?}");
                freed += 1;
            }
        }
        prop_assert_eq!(freed, sizes.len());
    }
}

/// Where a strip's ink begins and ends, by the outlines of its letters.
fn ink(font: &Font, strip: &StoryStrip, size: f64) -> [f64; 2] {
    let bounds = strip.glyphs().filter_map(|glyph| {
        let outline = font.outline(glyph.id).filter(|path| !path.elements().is_empty())?;
        let bounds = outline.bounding_box();
        Some([glyph.x + bounds.x0 * size / 72.0, glyph.x + bounds.x1 * size / 72.0])
    });
    bounds.fold([f64::INFINITY, 0.0], |all, one| [all[0].min(one[0]), all[1].max(one[1])])
}

fn same(one: &Area, other: &Area) -> bool {
    (0..2).all(|axis| {
        (one.at[axis] - other.at[axis]).abs() < 1e-5
            && (one.size[axis] - other.size[axis]).abs() < 1e-5
    })
}

fn replay(paper: [f64; 2], cuts: &[Cut], kerf: f64) -> Vec<Area> {
    let mut parts = vec![Area { at: [0.0, 0.0], size: paper }];
    for cut in cuts {
        let hand = parts.iter().position(|part| same(part, &cut.in_hand)).expect("in hand");
        let part = parts.remove(hand);
        let down = (cut.from[0] - cut.to[0]).abs() < 1e-9;
        let axis = usize::from(!down);
        let length = (cut.from[1 - axis] - cut.to[1 - axis]).abs();
        assert!((length - part.size[1 - axis]).abs() < 1e-5, "edge to edge");
        // What the fence holds is whole; the blade takes its kerf from the other side.
        let (mut first, mut second) = (part, part);
        let keeps_first = (cut.keeps.area.at[axis] - part.at[axis]).abs() < 1e-6;
        let [end, start] = match keeps_first {
            true => [cut.from[axis], cut.from[axis] + kerf],
            false => [cut.from[axis] - kerf, cut.from[axis]],
        };
        first.size[axis] = end - part.at[axis];
        second.at[axis] = start;
        second.size[axis] = part.at[axis] + part.size[axis] - start;
        let [keeps, drops] = if keeps_first { [&first, &second] } else { [&second, &first] };
        assert!(same(&cut.keeps.area, keeps), "{cut:?}");
        assert!(same(&cut.drops.area, drops) || drops.size[axis] < 1e-6, "{cut:?}");
        assert!((cut.fence - cut.keeps.area.size[axis]).abs() < 1e-6);
        parts.extend([first, second]);
    }
    parts
}

#[test]
fn the_offered_type_size_fits() {
    let font = FontBook::default().find("text").expect("built in");
    let tall = Story { type_size: 30.0, ..story("Up it went") };
    let error = break_story(&tall, &Faces::alike(&font)).expect_err("too tall");
    let offered: f64 = error
        .help
        .split_whitespace()
        .find_map(|word| word.parse().ok())
        .expect("a size is offered");
    assert!(offered > 8.0, "{offered}");
    assert!(
        break_story(&Story { type_size: offered, ..story("Up it went") }, &Faces::alike(&font))
            .is_ok()
    );
    let more = Story { type_size: offered + 1.0, ..story("Up it went") };
    assert!(break_story(&more, &Faces::alike(&font)).is_err());
}

#[test]
fn what_can_not_be_set_is_told() {
    let font = FontBook::default().find("text").expect("built in");
    for (text, phrase) in [
        ("  \n ", "the story is empty"),
        ("שלום", "from right to left"),
        ("up \u{1FA81}", "U+1FA81"),
        (&"x".repeat(80), "is wider than the widest strip"),
    ] {
        let error = break_story(&story(text), &Faces::alike(&font)).expect_err(text);
        assert!(error.message.contains(phrase), "{text}: {}", error.message);
    }
}

#[test]
fn line_breaks_start_strips_and_hyphens_are_asked_for() {
    let font = FontBook::default().find("text").expect("built in");
    let strips = break_story(&story("One.\n\nTwo three."), &Faces::alike(&font)).expect("sound");
    let said: Vec<&str> = strips.iter().map(|strip| strip.text.as_str()).collect();
    assert_eq!(said, ["One.", "Two three."]);
    let narrow = Story { lines: Lines::Widest(1.0), ..story("understanding") };
    assert!(break_story(&narrow, &Faces::alike(&font)).is_err());
    let strips =
        break_story(&Story { hyphens: true, ..narrow }, &Faces::alike(&font)).expect("hyphenated");
    assert!(strips.len() > 1 && strips[0].text.ends_with('-'), "{strips:?}");
}

#[test]
fn a_last_word_is_left_alone_only_where_there_is_no_other_way() {
    // Three words that fill a line, and a short one: it takes the third with it.
    assert_eq!(lines(&[0.3, 0.3, 0.3, 0.1]), [(0, 2), (2, 4)]);
    // Words that fill a line each leave no other way.
    assert_eq!(lines(&[0.95, 0.95, 0.1]), [(0, 1), (1, 2), (2, 3)]);
}

#[test]
fn capitals_with_accents_must_fit_as_well() {
    let font = FontBook::default().find("text").expect("built in");
    let of = |text: &str| {
        let story = Story { type_size: 60.0, ..story(text) };
        let error = break_story(&story, &Faces::alike(&font)).expect_err("too tall");
        let size = error.help.split_whitespace().find_map(|word| word.parse::<f64>().ok());
        size.expect("a size is offered")
    };
    assert!(of("\u{c9}tretat") < of("Etretat"), "{} {}", of("\u{c9}tretat"), of("Etretat"));
    assert!(of("up") < of("as"), "{} {}", of("up"), of("as"));
}
