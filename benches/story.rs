//! Time to break a story of 2000 words and to draw a hundred pages of strips.
//!
//! `cargo bench --bench story`: each line is the fastest of five runs. The words are made up from
//! syllables by a fixed rule, so that every run has the same.

use std::sync::Arc;
use std::time::{Duration, Instant};

use cutleaf::emit::strips::strips_pdf;
use cutleaf::journal::{Faces, Lines, Story, StoryStrip, arrange, break_story};
use cutleaf::lettering::fonts::{Font, FontBook};
use cutleaf::record::{PrintedPage, Record, Rules, Run, Strip};

const WORDS: usize = 2000;
const PAGES: usize = 100;
const RUNS: usize = 5;
const PAPER: [f64; 2] = [8.5, 11.0];
const MARGIN: f64 = 0.25;

fn main() {
    let font = FontBook::default().find("text").expect("built in");
    for (name, lines, hyphens) in [
        ("no wider than 4 5/8 in", Lines::Widest(4.625), false),
        ("no wider than 4 5/8 in, with hyphens", Lines::Widest(4.625), true),
        ("90 strips, as even as can be", Lines::Count(90, None), false),
        ("widths of 3, 3 1/2, 4 and 5 in", Lines::Widths(vec![3.0, 3.5, 4.0, 5.0]), false),
        ("a strip a word", Lines::Words, false),
    ] {
        let story = story(WORDS, lines, hyphens);
        let (time, strips) = fastest(|| strips(&story, &font));
        println!("{WORDS} words, {name}: {} strips, {time:.1?}", strips.len());
    }
    // Enough words for more pages than are wanted; what is too much is cut off.
    let whole = story(WORDS * 15, Lines::Widest(4.625), false);
    let (time, (pages, bytes)) = fastest(|| {
        let record = record(strips(&whole, &font), &font);
        let bytes = strips_pdf(&record, &[Arc::clone(&font)], &font).expect("drawn");
        (record.printed.len(), bytes.len())
    });
    assert_eq!(pages, PAGES, "a story for {PAGES} pages");
    println!("{pages} pages of strips, broken and drawn: {} KB, {time:.1?}", bytes / 1000);
}

fn fastest<T>(run: impl Fn() -> T) -> (Duration, T) {
    let timed = || {
        let start = Instant::now();
        let result = run();
        (start.elapsed(), result)
    };
    (1..RUNS).map(|_| timed()).fold(timed(), |best, one| if one.0 < best.0 { one } else { best })
}

/// A story of made-up words, in sentences and paragraphs.
fn story(words: usize, lines: Lines, hyphens: bool) -> Story {
    const SYLLABLES: [&str; 12] =
        ["dune", "wa", "ter", "kite", "an", "le", "sand", "ro", "wind", "ming", "a", "gull"];
    let mut state = 1_u32;
    let mut next = |below: u32| {
        // Numbers that only have to look mixed (Numerical Recipes, "quick and dirty").
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 16) % below
    };
    let mut text = String::new();
    for number in 1..=words {
        for _ in 0..=next(3) {
            text.push_str(SYLLABLES[next(12) as usize]);
        }
        text.push_str(match number {
            number if number % 120 == 0 => ".\n",
            number if number % 12 == 0 => ". ",
            _ => " ",
        });
    }
    Story {
        text,
        strip_height: 0.3125,
        lines,
        pad: 0.125,
        type_size: 10.0,
        hyphens,
        most: None,
        ruler_mark: 1.0 / 32.0,
    }
}

fn strips(story: &Story, font: &Font) -> Vec<StoryStrip> {
    break_story(story, &Faces::alike(font)).expect("sound")
}

/// The strips on printed pages.
fn record(strips: Vec<StoryStrip>, font: &Font) -> Record {
    let sizes: Vec<[f64; 2]> = strips.iter().map(|strip| strip.size).collect();
    let places = arrange(&sizes, PAPER, MARGIN, 0.0, 0.0).expect("strips fit the page");
    let mut record = Record {
        name: "Bench".to_owned(),
        rules: Rules { printer_margin: MARGIN, ..Rules::default() },
        ..Record::default()
    };
    let placed = strips.into_iter().zip(places).enumerate();
    for (number, (strip, place)) in placed.filter(|(_, (_, place))| place.page < PAGES) {
        let page = u32::try_from(place.page + 1).expect("few pages");
        record.strips.push(Strip {
            id: format!("journaling.{}", number + 1).into(),
            text: strip.text,
            size: strip.size,
            page,
            at: place.at,
            baseline: strip.baseline,
            type_size: 10.0,
            runs: strip.runs.into_iter().map(|(_, glyphs)| Run { font: 0, glyphs }).collect(),
            ..Strip::default()
        });
        if record.printed.len() < place.page + 1 {
            let sheet = format!("bench-{page}");
            let paper = font.family.clone();
            record.printed.push(PrintedPage {
                number: page,
                paper,
                size: PAPER,
                sheet: sheet.into(),
                ..PrintedPage::default()
            });
        }
    }
    record
}
