//! The story in strips: best breaks, exact sizes, cuts that free every strip.

use crate::support::spreads;

use std::collections::BTreeSet;

use cutleaf::journal::{
    Faces, LineCount, Lines, Story, StoryStrip, arrange, best_lines, blank_from, break_story,
    line_cost,
};
use cutleaf::lettering::fonts::{Font, FontBook};
use cutleaf::model::length::{Length, Size};
use cutleaf::nest::worth::settings;
use cutleaf::nest::{self, Area, Cut, CutLine, Rules, SheetCut};
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

    /// Replays the cuts of a printed page by the parts in hand: each strip comes free, whole, and the fence
    /// is set once for each measure, save where the rim's happens to be that of a strip as well.
    #[test]
    fn cuts_free_every_strip(
        widths in prop::collection::vec(1_u32..96, 1..60),
        height in 6_u32..16,
        kerf in prop::sample::select(vec![0, 396_875, 762_000]),
    ) {
        let sizes: Vec<[f64; 2]> = widths
            .iter()
            .map(|width| [f64::from(*width) / 32.0 + 0.5, f64::from(height) / 32.0])
            .collect();
        let mut freed = 0;
        for (areas, cut) in pages(&sizes, Length::nanometres(kerf)) {
            let parts = replay(Size::inches(8.5, 11.0), &cut.cuts, Length::nanometres(kerf));
            for area in &areas {
                prop_assert!(parts.contains(area), "{area:?} of {parts:?}");
                freed += 1;
            }
            let rest = cut.offcuts.first();
            prop_assert!(rest.is_none_or(|rest| parts.contains(rest)), "{rest:?} of {parts:?}");
            let measures: BTreeSet<Length> = cut.cuts.iter().map(|cut| cut.fence).collect();
            let rim = 3;
            prop_assert!(settings(&cut.cuts) <= measures.len() + rim, "{:?}", cut.cuts);
        }
        prop_assert_eq!(freed, sizes.len());
    }
}

/// The printed pages of strips: where they lie, and the cuts.
fn pages(sizes: &[[f64; 2]], kerf: Length) -> Vec<(Vec<Area>, SheetCut)> {
    let (paper, margin) = (Size::inches(8.5, 11.0), Length::part(1, 4));
    let places = arrange(sizes, paper.to_inches(), margin.to_inches(), kerf.to_inches(), 0.0);
    let places = places.expect("strips fit the page");
    let rules = Rules { kerf, ..Rules::default() };
    let page = |page: usize| {
        let on_page = places.iter().zip(sizes).filter(|(place, _)| place.page == page);
        let areas: Vec<Area> = on_page
            .map(|(place, size)| Area {
                left: Length::inches(place.at[0]),
                top: Length::inches(place.at[1]),
                size: Size::inches(size[0], size[1]),
            })
            .collect();
        let bottom = areas.iter().map(|area| area.top + area.size.height).max().unwrap_or_default();
        let blank = blank_from(bottom, margin);
        let rest = paper.height - blank - kerf;
        let keeps = rest > Length::ZERO && rules.keeps(Size::new(paper.width, rest));
        let cut = nest::printed(paper, &areas, keeps.then_some(blank), &rules);
        (areas, cut)
    };
    (0..=places.iter().map(|place| place.page).max().unwrap_or(0)).map(page).collect()
}

/// All rows of a page are cut at one setting, then strips of one width at one each.
#[test]
fn the_fence_of_a_printed_page_is_set_as_seldom_as_can_be() {
    // So many strips of so many widths, in turn, from 4 in down by 1/8.
    let of = |strips: u32, widths: u32| -> Vec<[f64; 2]> {
        (0..strips).map(|strip| [4.0 - f64::from(strip % widths) / 8.0, 0.3125]).collect()
    };
    let narrow = |strips: u32, widths: u32| -> Vec<[f64; 2]> {
        of(strips, widths).into_iter().map(|[width, height]| [width - 1.5, height]).collect()
    };
    let cases = [
        // What is blank, the rim left and above, the column's width, the rows, and each width but the widest.
        ("24 strips, 16 lengths", of(24, 16), 1 + 2 + 1 + 24 + 22, 5 + 15),
        ("20 alike", of(20, 1), 1 + 2 + 1 + 20, 5),
        // Two columns: they are parted at one setting more, and both have their width at one.
        ("50 strips in two columns", narrow(50, 5), 2 + 1 + 2 + 50 + 40, 5 + 4),
        ("one", of(1, 1), 1 + 2 + 1 + 1, 5),
    ];
    for (name, sizes, cuts, wanted) in cases {
        let pages = pages(&sizes, Length::ZERO);
        assert_eq!(pages.len(), 1, "{name}");
        let (_, cut) = &pages[0];
        assert_eq!(
            (cut.cuts.len(), settings(&cut.cuts)),
            (cuts, wanted),
            "{name}: {:#?}",
            cut.cuts
        );
    }
}

/// What is blank below the strips is kept where the spec finds it worth keeping.
#[test]
fn the_blank_rest_of_a_page_is_kept_by_the_setting() {
    let spec = |setting: &str, strips: usize| {
        let text = vec!["Sand"; strips].join(" ");
        format!(
            "name: dune\n{setting}\npapers: {{chalk: {{color: '#f4efe3', sheets: {{8.5 x 11: 4}}}}}}\n\
             journaling: {{text: {text}, paper: chalk, strip: {{height: 1/2, one word: true}}}}\n\
             single: {{pieces: []}}\n"
        )
    };
    let cases = [
        ("", 15, Some([8.5, 1.625])),
        ("", 17, None),
        ("cutting: {worth keeping: 1/2 x 2}", 17, Some([8.5, 0.625])),
        ("cutting: {worth keeping: 3 x 4}", 15, None),
        ("cutting: {worth keeping: 3 x 9}", 10, None),
    ];
    for (setting, strips, wanted) in cases {
        let record = spreads::record_of(&spec(setting, strips)).expect("enough paper");
        let page = record.sheets.iter().find(|sheet| sheet.printed == Some(1)).expect("a page");
        let kept = page.offcuts.first().map(|offcut| offcut.size);
        assert_eq!(kept, wanted, "{strips} strips, {setting:?}");
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

/// The paper there is after cuts, each from edge to edge of the paper in hand.
fn replay(paper: Size, cuts: &[Cut], kerf: Length) -> Vec<Area> {
    let mut parts = vec![Area { size: paper, ..Area::default() }];
    for cut in cuts {
        let hand = parts.iter().position(|part| *part == cut.in_hand).expect("in hand");
        let part = parts.remove(hand);
        let (mut first, mut second) = (part, part);
        // What the fence holds is whole; the blade takes its kerf from the other side.
        let keeps_first = (cut.keeps.area.left, cut.keeps.area.top) == (part.left, part.top);
        let (at, start, length) = match cut.line {
            CutLine::Down(at) => (at, part.left, part.size.width),
            CutLine::Across(at) => (at, part.top, part.size.height),
        };
        let [end, begin] = if keeps_first { [at, at + kerf] } else { [at - kerf, at] };
        let [before, after] =
            [end - start, start + length - begin].map(|side| side.max(Length::ZERO));
        match cut.line {
            CutLine::Down(_) => {
                (first.size.width, second.left, second.size.width) = (before, begin, after);
            }
            CutLine::Across(_) => {
                (first.size.height, second.top, second.size.height) = (before, begin, after);
            }
        }
        let [keeps, drops] = if keeps_first { [first, second] } else { [second, first] };
        assert_eq!(cut.keeps.area, keeps, "{cut:?}");
        assert!(cut.drops.area.size == drops.size, "{cut:?}");
        let fence = match cut.line {
            CutLine::Down(_) => keeps.size.width,
            CutLine::Across(_) => keeps.size.height,
        };
        assert_eq!(cut.fence, fence, "{cut:?}");
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
