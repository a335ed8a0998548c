//! The ways to cut a story: so many strips, strips that follow a shape, one word a strip, a card; marked
//! words in their own faces.

use cutleaf::journal::{
    Align, Card, Face, Faces, LineCount, Lines, Story, best_lines, break_story, line_cost,
    paragraphs, set_card,
};
use cutleaf::lettering::fonts::{Font, FontBook};
use cutleaf::model::Color;
use kurbo::Shape;
use proptest::prelude::*;
use textwrap::core::Fragment;
use textwrap::wrap_algorithms::{Penalties, wrap_optimal_fit};

use crate::support::spreads::record_of;

fn font(name: &str) -> std::sync::Arc<Font> {
    FontBook::default().find(name).expect("built in")
}

fn story(text: &str, lines: Lines) -> Story {
    Story {
        text: text.to_owned(),
        strip_height: 0.3125,
        lines,
        pad: 0.125,
        type_size: 10.0,
        hyphens: false,
        most: None,
        ruler_mark: 1.0 / 32.0,
    }
}

fn width(words: &[f64], start: usize, end: usize) -> f64 {
    words[start..end].iter().sum::<f64>() + 0.05 * (end - start - 1) as f64
}

/// The least sum over every way to break, by trying them all; `cost` is that of a numbered line.
fn by_brute_force(
    words: usize,
    count: Option<usize>,
    cost: &impl Fn(usize, usize, usize) -> Option<f64>,
) -> f64 {
    let mut least = f64::INFINITY;
    for mask in 0..1_u32 << (words - 1) {
        let (mut sum, mut start, mut line) = (0.0, 0, 0);
        for end in 1..=words {
            if end == words || mask >> (end - 1) & 1 == 1 {
                sum += cost(line, start, end).unwrap_or(f64::INFINITY);
                (start, line) = (end, line + 1);
            }
        }
        if count.is_none_or(|count| count == line) {
            least = least.min(sum);
        }
    }
    least
}

struct Box(f64);

impl std::fmt::Debug for Box {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.fmt(formatter)
    }
}

impl Fragment for Box {
    fn width(&self) -> f64 {
        self.0
    }
    fn whitespace_width(&self) -> f64 {
        0.05
    }
    fn penalty_width(&self) -> f64 {
        0.0
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Strips of different widths: the cheapest breaks over all lines (Knuth & Plass 1981, by trial).
    #[test]
    fn lines_of_several_widths_are_as_cheap_as_any(
        words in prop::collection::vec(0.05_f64..0.6, 1..11),
        rooms in prop::collection::vec(0.6_f64..1.6, 1..5),
    ) {
        let last = words.len();
        let cost = |line: usize, start: usize, end: usize| {
            let room = rooms[line.min(rooms.len() - 1)];
            let cost = line_cost(width(&words, start, end) / room, end - start, end == last);
            cost.is_finite().then_some(cost)
        };
        let breaks = best_lines(last, LineCount::Any(rooms.len()), cost);
        let least = by_brute_force(last, None, &cost);
        prop_assert!(breaks.cost == least || (breaks.cost - least).abs() < 1e-9);
        if breaks.cost.is_finite() {
            let ends = [0].into_iter().chain(breaks.lines.iter().map(|line| line.1));
            prop_assert!(ends.eq(breaks.lines.iter().map(|line| line.0).chain([last])));
            let told: f64 = breaks.lines.iter().enumerate()
                .map(|(line, &(start, end))| cost(line, start, end).expect("no line is overfull"))
                .sum();
            prop_assert!((told - breaks.cost).abs() < 1e-9);
        }
    }

    /// So many strips: as even as any way to cut them.
    #[test]
    fn counted_lines_are_as_even_as_any(
        words in prop::collection::vec(0.05_f64..0.6, 1..11),
        chosen in any::<prop::sample::Index>(),
    ) {
        let count = 1 + chosen.index(words.len());
        let cost = |_: usize, start: usize, end: usize| Some(width(&words, start, end).powi(2));
        let breaks = best_lines(words.len(), LineCount::Exactly(count), cost);
        prop_assert_eq!(breaks.lines.len(), count);
        let least = by_brute_force(words.len(), Some(count), &cost);
        prop_assert!((breaks.cost - least).abs() < 1e-9);
    }

    /// Never worse, by our measure, than textwrap's optimal fit, a general-purpose breaker.
    #[test]
    fn breaks_are_no_worse_than_a_general_purpose_breaker_s(
        words in prop::collection::vec(0.05_f64..0.6, 1..40),
        rooms in prop::collection::vec(0.6_f64..1.6, 1..4),
    ) {
        let cost = |line: usize, start: usize, end: usize| {
            let room = rooms[line.min(rooms.len() - 1)];
            line_cost(width(&words, start, end) / room, end - start, end == words.len())
        };
        let ours = best_lines(words.len(), LineCount::Any(rooms.len()), |line, start, end| {
            Some(cost(line, start, end)).filter(|cost| cost.is_finite())
        });
        let boxes: Vec<Box> = words.iter().map(|word| Box(*word)).collect();
        let lines = wrap_optimal_fit(&boxes, &rooms, &Penalties::new()).expect("small numbers");
        let mut start = 0;
        let theirs: f64 = lines.iter().enumerate().map(|(number, line)| {
            let end = start + line.len();
            let cost = cost(number, start, end);
            start = end;
            cost
        }).sum();
        prop_assert!(ours.cost <= theirs + 1e-9, "{} against {}", ours.cost, theirs);
    }

    #[test]
    fn any_story_is_cut_into_the_strips_asked_for(
        words in prop::collection::vec("[a-z]{1,9}[,.]?", 3..60),
        chosen in any::<prop::sample::Index>(),
    ) {
        let font = font("text");
        let text = words.join(" ");
        let count = 1 + chosen.index(words.len().min(10));
        let strips = break_story(&story(&text, Lines::Count(count, None)), &Faces::alike(&font));
        let strips = strips.expect("enough words");
        prop_assert_eq!(strips.len(), count);
        let said: Vec<&str> = strips.iter().map(|strip| strip.text.as_str()).collect();
        prop_assert_eq!(said.join(" "), text);
    }
}

#[test]
fn strips_follow_a_list_of_widths() {
    let font = font("text");
    let text = "Up it went, over the dune, over the gulls, until it was a speck of coral.";
    let widths = vec![1.5, 2.0, 2.5, 1.25];
    let strips = break_story(&story(text, Lines::Widths(widths.clone())), &Faces::alike(&font));
    let strips = strips.expect("room");
    assert!(strips.len() >= 3);
    for (strip, width) in strips.iter().zip(widths.iter().chain(std::iter::repeat(&1.25))) {
        assert!((strip.size[0] - width).abs() < 1e-9);
        let ink: Vec<(f64, f64)> = strip
            .glyphs()
            .filter_map(|glyph| {
                let outline = font.outline(glyph.id).filter(|path| !path.elements().is_empty())?;
                let bounds = outline.bounding_box();
                Some((glyph.x + bounds.x0 * 10.0 / 72.0, glyph.x + bounds.x1 * 10.0 / 72.0))
            })
            .collect();
        let before = ink.iter().map(|one| one.0).fold(f64::INFINITY, f64::min);
        let after = width - ink.iter().map(|one| one.1).fold(0.0, f64::max);
        assert!((before - after).abs() < 1e-5 && before >= 0.125 - 1e-6, "{before} {after}");
    }
    let narrow = story("marram-grass-that-never-ends", Lines::Widths(vec![0.5]));
    assert!(break_story(&narrow, &Faces::alike(&font)).is_err());
}

#[test]
fn each_word_has_its_strip() {
    let font = font("text");
    let text = "Up it \u{2013}\nwent";
    let strips = break_story(&story(text, Lines::Words), &Faces::alike(&font));
    let strips = strips.expect("words");
    let said: Vec<&str> = strips.iter().map(|strip| strip.text.as_str()).collect();
    assert_eq!(said, ["Up", "it \u{2013}", "went"]);
}

#[test]
fn a_card_holds_its_lines() {
    let font = font("text");
    let card = Card {
        text: "Up it went, over the dune, over the gulls, until it was a speck.\nThen it fell."
            .into(),
        size: [3.0, 2.0],
        pad: 0.25,
        align: Align::Center,
        leading: 1.4,
        type_size: 11.0,
        hyphens: false,
    };
    let set = set_card(&card, &Faces::alike(&font)).expect("room");
    let mut lines: Vec<f64> = set.glyphs().map(|glyph| glyph.y).collect();
    lines.sort_by(f64::total_cmp);
    lines.dedup();
    assert!(lines.len() >= 3, "{lines:?}");
    for glyph in set.glyphs() {
        assert!(glyph.x >= 0.25 - 1e-6 && glyph.x + glyph.advance <= 2.75 + 1e-6, "{glyph:?}");
        let baseline = set.baseline - glyph.y;
        assert!(baseline > 0.25 && baseline < 1.75, "{baseline}");
    }
    let small = Card { size: [3.0, 0.7], ..card };
    assert!(
        set_card(&small, &Faces::alike(&font)).is_err_and(|error| error.message.contains("lines"))
    );
}

#[test]
fn the_offered_type_size_fits_the_card() {
    let font = font("text");
    let card = Card {
        text: "Up it went, over the dune, over the gulls, until it was a speck.".into(),
        size: [2.0, 1.0],
        pad: 0.125,
        align: Align::Left,
        leading: 1.4,
        type_size: 24.0,
        hyphens: false,
    };
    let error = set_card(&card, &Faces::alike(&font)).expect_err("too large");
    let offered: f64 =
        error.help.split_whitespace().find_map(|word| word.parse().ok()).expect("a size");
    assert!(set_card(&Card { type_size: offered, ..card.clone() }, &Faces::alike(&font)).is_ok());
    let more = Card { type_size: offered + 0.5, ..card };
    assert!(set_card(&more, &Faces::alike(&font)).is_err());
}

/// A long paragraph beside short ones: no way to cut is looked over because one line is long.
#[test]
fn a_counted_story_may_have_one_long_line() {
    let font = font("text");
    let long = vec!["dune"; 60].join(" ");
    let text = format!("One.\nTwo.\nThree.\nFour.\nFive.\nSix.\nSeven.\n{long}");
    let strips = break_story(&story(&text, Lines::Count(8, None)), &Faces::alike(&font));
    assert_eq!(strips.expect("a line each").len(), 8);
}

#[test]
fn stars_mark_words() {
    let read = |text: &str| paragraphs(text).expect("sound").remove(0);
    let marked = read("the *first* launch was **very, *very* high** 3 * 4 \\*so\\*");
    assert_eq!(marked.text, "the first launch was very, very high 3 * 4 *so*");
    let faces: Vec<(&str, Face)> = marked
        .stretches(0, marked.text.len())
        .into_iter()
        .map(|(bytes, face)| (&marked.text[bytes], face))
        .collect();
    assert_eq!(
        faces,
        [
            ("the ", Face::Plain),
            ("first", Face::Emphasis),
            (" launch was ", Face::Plain),
            ("very, ", Face::Strong),
            ("very", Face::StrongEmphasis),
            (" high", Face::Strong),
            (" 3 * 4 *so*", Face::Plain),
        ]
    );
    assert!(paragraphs("it *went\nup").is_err_and(|error| error.message.contains("`*` begins")));
}

const SPREAD: &str = "name: Kites
papers:
  chalk: {color: '#f4f1e8', sheets: {8.5 x 11: 3}}
  sand: {color: '#e8d5a8', sheets: {8.5 x 11: 3}}
single: {}
journaling:
  text: Up it went, *over* the dune, **over** the gulls, until it was a speck of coral.
";

fn told(more: &str) -> cutleaf::record::Record {
    record_of(&format!("{SPREAD}{more}")).expect("a good spec")
}

#[test]
fn marked_words_are_set_in_their_fonts() {
    let record = told("  paper: chalk\n  strip: {height: 5/16, widest: 3}\n");
    let families: Vec<&str> = record.fonts.iter().map(|font| font.family.as_str()).collect();
    assert_eq!(families.len(), 3, "{families:?}");
    let runs = record.strips.iter().flat_map(|strip| &strip.runs);
    let said = |font: usize| -> String {
        let of_font = runs.clone().filter(|run| run.font == font);
        of_font.flat_map(|run| &run.glyphs).map(|glyph| glyph.text.as_str()).collect()
    };
    let italic = families.iter().position(|name| name.contains("Italic")).expect("an italic");
    let bold = families.iter().position(|name| name.contains("Bold")).expect("a bold");
    assert_eq!((said(italic).trim(), said(bold).trim()), ("over", "over"));
    let text: Vec<&str> = record.strips.iter().map(|strip| strip.text.as_str()).collect();
    assert_eq!(
        text.join(" "),
        "Up it went, over the dune, over the gulls, until it was a speck of coral."
    );
}

#[test]
fn papers_take_turns_strip_by_strip() {
    let record = told("  paper: [chalk, sand]\n  strip: {height: 5/16, count: 5}\n");
    assert_eq!(record.strips.len(), 5);
    let paper = |number: usize| {
        let id = format!("journaling.{number}");
        record.strips.iter().find(|strip| strip.id == id).expect("a strip").paper.clone()
    };
    assert_eq!([1, 2, 3, 4, 5].map(paper), ["chalk", "sand", "chalk", "sand", "chalk"]);
    assert_eq!(record.printed.len(), 2);
}

#[test]
fn light_type_on_a_dark_ground_bleeds() {
    let dark = "  paper: chalk\n  background: '#2b5673'\n  strip: {height: 5/16, widest: 3}\n";
    let record = told(&format!("{dark}  ink: '#ffffff'\n"));
    assert!(record.strips.iter().all(|strip| strip.ground == Color::parse("#2b5673")));
    assert!(record.warnings.iter().all(|warning| warning.kind != "low contrast"));
    let record = told(dark);
    assert!(record.strips.iter().all(|strip| strip.ink == Color::WHITE), "no ink: the paper shows");
    let record = told(&format!("{dark}  ink: '#3a6583'\n"));
    assert!(record.warnings.iter().any(|warning| warning.kind == "low contrast"));
}

#[test]
fn what_is_wrong_with_a_story_is_told() {
    for (more, phrase) in [
        ("  paper: chalk\n", "how the story is cut"),
        ("  paper: chalk\n  strip: {height: 5/16}\n", "how wide"),
        (
            "  paper: chalk\n  strip: {height: 5/16, count: 3, one word: true}\n",
            "more than one way",
        ),
        ("  paper: chalk\n  strip: {height: 5/16, count: 0}\n", "no number of strips"),
        ("  paper: chalk\n  strip: {height: 5/16, count: 90}\n", "can't be cut into 90"),
        ("  paper: chalk\n  strip: {height: 5/16, count: 2, widest: 1}\n", "too few"),
        ("  paper: chalk\n  strip: {height: 5/16, widths: [1, 0]}\n", "no width"),
        ("  paper: chalk\n  strip: {height: 1/16, widest: 3}\n", "too tall"),
        ("  paper: chalk\n  card: {size: 3 x 1/2}\n", "room"),
        ("  paper: chalk\n  card: {size: 3 x 2, leading: 0}\n", "leading"),
        ("  paper: []\n  strip: {height: 5/16, widest: 3}\n", "no paper"),
    ] {
        let problems = record_of(&format!("{SPREAD}{more}")).expect_err(more);
        let told: Vec<&str> = problems.0.iter().map(|one| one.message.as_str()).collect();
        assert!(told.iter().any(|message| message.contains(phrase)), "{more}: {told:?}");
    }
}

#[test]
fn emphasis_takes_whatever_leaning_style_its_family_has() {
    // `tests/data/fonts/make.py` draws these families.
    let families = |font: &str, text: &str, more: &str| {
        let yaml = format!(
            "name: HI\npapers: {{chalk: {{color: '#f4f1e8', sheets: {{8.5 x 11: 3}}}}}}\nsingle: {{}}\njournaling: {{text: \"{text}\", font: {font}, {more}paper: chalk, strip: {{height: 1/2, widest: 3}}}}\n"
        );
        let spec = cutleaf::description::parse(&yaml).expect("a spec");
        let book = FontBook::new(vec!["tests/data/slanted".into()]);
        let layout = cutleaf::layout::lay_out(&spec, std::path::Path::new("."), &book);
        layout.map(|layout| {
            let told = layout.fonts.iter().skip(1).map(|font| {
                let axes: Vec<String> =
                    font.axes.iter().map(|(tag, value)| format!(" {tag} {value}")).collect();
                format!("{} {}{}", font.family, font.style, axes.concat())
            });
            told.collect::<Vec<_>>()
        })
    };
    for (font, text, wanted) in [
        ("Sample Leaning", "HI *HI*", "Sample Leaning Book Oblique"),
        ("Sample Leaning", "HI ***HI***", "Sample Leaning Bold Oblique"),
        ("Sample Slanted", "HI *HI*", "Sample Slanted Slanted"),
        ("Sample Axes", "HI *HI*", "Sample Axes Regular slnt -10"),
        ("Sample Axes", "HI **HI**", "Sample Axes Regular wght 700"),
        ("Sample Axes", "HI ***HI***", "Sample Axes Regular slnt -10 wght 700"),
    ] {
        assert_eq!(families(font, text, "").expect(font), [wanted], "{font}: {text}");
    }
    // What is marked both ways takes the font of one way where that is all there is.
    let both = families("Sample Slanted", "HI ***HI***", "strong: text bold, ").expect("sound");
    assert_eq!(both.len(), 1, "{both:?}");
    assert!(both[0].contains("Bold"), "{both:?}");
    let problems = families("Sample Slanted", "HI **HI**", "").expect_err("no bold");
    assert!(problems.0[0].message.contains("has no bold style"), "{problems:?}");
    assert!(problems.0[0].help.contains("strong: text bold"), "{problems:?}");
}
