//! A 20-letter title with backing and thin check on one core, and its nodes against the fonts' own.
//!
//! `cargo bench --bench titles [FONT...]`; the built-in `display` and `text bold` are always measured,
//! further fonts by family or file. Times are the median of 15 runs after one to warm up. The target is
//! 150 ms a title. Nodes are counted where a letter's own contours don't overlap: as many as in the
//! font, or at most 1.05 times that.

use std::time::Instant;

use cutleaf::geometry::boolean;
use cutleaf::geometry::offset::{Holes, outward};
use cutleaf::geometry::thin::thin_parts;
use cutleaf::lettering::fonts::{Font, FontBook};
use cutleaf::lettering::words::{Height, WordStyle, set_word};
use kurbo::{BezPath, PathEl};

/// 20 letters.
const TITLE: &str = "Kites over\nthe long dunes";
const RUNS: usize = 15;

fn main() {
    let book = FontBook::new(vec!["fonts".into()]);
    let named: Vec<String> =
        std::env::args().skip(1).filter(|argument| !argument.starts_with("--")).collect();
    let fonts = ["display".to_owned(), "text bold".to_owned()].into_iter().chain(named);
    println!(
        "{:<28} {:>8} {:>8} {:>8} {:>8}   nodes of font / cut",
        "font", "set", "backing", "thin", "total ms"
    );
    for name in fonts {
        match book.find(&name) {
            Ok(font) => measure(&name, &font),
            Err(error) => println!("{name}: {}; {}", error.message, error.help),
        }
    }
}

fn measure(name: &str, font: &Font) {
    let style = WordStyle { height: Height::Cap(1.0), ..WordStyle::default() };
    let mut times: Vec<[f64; 4]> = Vec::new();
    for _ in 0..=RUNS {
        let begun = Instant::now();
        let word = set_word(font, TITLE, &style).expect("the font has the letters");
        let set = begun.elapsed();
        let outlines: Vec<BezPath> = word.letters.iter().map(|one| one.outline.clone()).collect();
        let layer = outward(&boolean::union(&outlines), 0.125, Holes::Fill);
        let backed = begun.elapsed();
        let thin: usize = outlines.iter().map(|one| thin_parts(one, 1.0 / 16.0).len()).sum();
        let all = begun.elapsed();
        std::hint::black_box((layer, thin));
        let ms = |time: std::time::Duration| time.as_secs_f64() * 1e3;
        times.push([ms(set), ms(backed - set), ms(all - backed), ms(all)]);
    }
    times.remove(0);
    times.sort_by(|one, other| one[3].total_cmp(&other[3]));
    let [set, backing, thin, all] = times[RUNS / 2];
    let (own, cut) = nodes(font);
    println!(
        "{name:<28} {set:>8.1} {backing:>8.1} {thin:>8.1} {all:>8.1}   {own} / {cut} = {:.3}",
        cut as f64 / own as f64
    );
}

/// Nodes of letters whose contours don't overlap, in the font and as they are cut.
fn nodes(font: &Font) -> (usize, usize) {
    let (mut own, mut cut) = (0, 0);
    for letter in ('A'..='Z').chain('a'..='z').chain('0'..='9') {
        let Some(source) = font.glyph(letter).and_then(|glyph| font.outline(glyph)) else {
            continue;
        };
        let word = set_word(font, &letter.to_string(), &WordStyle::default()).expect("it has it");
        let one = &word.letters[0].outline;
        let contours = |path: &BezPath| boolean::subpaths(path).len();
        if contours(&source) == contours(one) {
            own += count(&source);
            cut += count(one);
        }
    }
    (own, cut)
}

/// Segments, closing lines of no length left out.
fn count(path: &BezPath) -> usize {
    let mut count = 0;
    let (mut start, mut here) = (kurbo::Point::ZERO, kurbo::Point::ZERO);
    for element in path.elements() {
        match element {
            PathEl::MoveTo(to) => (start, here) = (*to, *to),
            PathEl::ClosePath => count += usize::from(here.distance(start) > 1e-6),
            PathEl::LineTo(to) | PathEl::QuadTo(_, to) | PathEl::CurveTo(_, _, to) => {
                here = *to;
                count += 1;
            }
        }
    }
    count
}
