//! The published sets of irregular pieces on a strip (see tests/data/irregular/SOURCES.md): share of
//! the strip that the pieces cover, against the best known. Then a mix of craft shapes on a 12 in strip
//! and, with the spacing of a real job, on a 12x12 in sheet as the product packs it.
//!
//! `cargo bench --bench irregular -- [LOOKS in thousands] [SET… | mix]`

use cutleaf::model::Fault;
use std::time::Instant;

use cutleaf::geometry::{self, Drawing, Ring, ring_area};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::lettering::words::{Height, WordStyle, set_word};
use cutleaf::nest::irregular::{Container, Shape, StripPiece, pack, strip};
use cutleaf::nest::{Effort, Search, Turns};
use cutleaf::shapes::{self, Corner};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use kurbo::{BezPath, Shape as _};
use serde_json::Value;

/// Set, best density known (SOURCES.md), and what the leading optimiser reaches in 10 s on 2 cores.
const SETS: [(&str, f64, Option<f64>); 9] = [
    ("shirts", 89.91, Some(86.2)),
    ("swim", 78.37, Some(74.0)),
    ("jakobs1", 89.09, Some(86.1)),
    ("fu", 92.40, Some(89.0)),
    ("trousers", 91.82, Some(89.2)),
    ("albano", 89.54, Some(87.1)),
    ("blaz1", 85.49, None),
    ("jakobs2", 84.90, None),
    ("shapes0", 68.79, None),
];

/// Height of the strip and its pieces.
fn read(set: &str) -> (f64, Vec<StripPiece>) {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/irregular");
    let text = std::fs::read_to_string(format!("{folder}/{set}.json"))
        .expect("the sets lie in tests/data");
    let data: Value = serde_json::from_str(&text).expect("a set is JSON");
    let number = |value: &Value| value.as_f64().expect("a number");
    let mut pieces = Vec::new();
    for item in data["items"].as_array().expect("items") {
        let turns = item["allowed_orientations"]
            .as_array()
            .map_or(vec![0.0], |turns| turns.iter().map(number).collect());
        let points = item["shape"]["data"].as_array().expect("points");
        let ring: Ring = points[..points.len() - 1]
            .iter()
            .map(|point| [number(&point[0]), number(&point[1])])
            .collect();
        for _ in 0..item["demand"].as_u64().expect("a count") {
            pieces.push(StripPiece { ring: ring.clone(), turns: turns.clone() });
        }
    }
    (number(&data["strip_height"]), pieces)
}

/// The largest overlap of two pieces, as a share of the smaller.
fn worst_overlap(rings: &[Ring]) -> f64 {
    let area = |ring: &Ring| ring_area(ring).abs();
    let mut worst = 0.0_f64;
    for (index, one) in rings.iter().enumerate() {
        for other in &rings[index + 1..] {
            let shared = one.overlay(other, OverlayRule::Intersect, FillRule::NonZero);
            let shared: f64 = shared.iter().flatten().map(ring_area).sum::<f64>().abs();
            worst = worst.max(shared / area(one).min(area(other)));
        }
    }
    worst
}

/// Letters, circles, stars, tags and banners: 46 pieces.
fn craft_mix() -> Vec<BezPath> {
    let font = FontBook::default().find("display").expect("built in");
    let style = WordStyle { height: Height::Cap(2.0), ..WordStyle::default() };
    let word = set_word(&font, "KITESDUNESWINDSKYGULLSFOAM", &style).expect("the font has them");
    let mut mix: Vec<BezPath> = word.letters.into_iter().map(|letter| letter.outline).collect();
    let sizes = [1.0, 1.5, 2.0, 2.5, 3.0];
    let drawn = |drawing: Result<Drawing, Fault>| drawing.expect("sizes are sound").outline;
    for size in sizes {
        mix.push(drawn(shapes::circle(size)));
        mix.push(drawn(shapes::star(5, size, size * 0.25)));
        mix.push(drawn(shapes::tag(size, size * 1.6, Corner::Clipped(size * 0.2), size * 0.15)));
        let end = shapes::End::Dovetail(size * 0.3);
        mix.push(drawn(shapes::banner(size * 1.8, size * 0.6, shapes::End::Straight, end)));
    }
    mix
}

/// Length of a 12 in strip for the mix with quarter turns, as a density.
fn mix_on_a_strip(looks: u64) -> f64 {
    let mix = craft_mix();
    let turns = vec![0.0, 90.0, 180.0, 270.0];
    let pieces: Vec<StripPiece> = mix
        .iter()
        .map(|path| StripPiece {
            ring: geometry::rings(path, 0.005).swap_remove(0),
            turns: turns.clone(),
        })
        .collect();
    let area: f64 = pieces.iter().map(|piece| ring_area(&piece.ring).abs()).sum();
    let strip = strip(12.0, &pieces, looks).expect("the pieces fit the strip");
    100.0 * area / (12.0 * strip.length)
}

/// The part of 12x12 in sheets that the mix takes with `spacing` between the pieces, up to the lowest edge
/// on the last.
fn mix_on_sheets(effort: Effort, spacing: f64) -> f64 {
    let mix = craft_mix();
    let shapes: Vec<Shape<'_>> =
        mix.iter().map(|outline| Shape { outline, turns: Turns::Quarter }).collect();
    let sheets = [Container { size: [12.0, 12.0], cost: 1.0 }; 4];
    let placements = pack(&sheets, &shapes, spacing, effort, &Search::new());
    let mut ends = [0.0_f64; 4];
    for (path, placement) in mix.iter().zip(&placements) {
        let placement = placement.expect("there is room");
        let laid = geometry::laying(path, placement.turn, placement.at) * path;
        ends[placement.container] = ends[placement.container].max(laid.bounding_box().y1);
    }
    let used = ends.iter().filter(|end| **end > 0.0).count();
    let last = ends.iter().copied().filter(|end| *end > 0.0).fold(12.0, f64::min);
    let area: f64 = mix.iter().map(|path| path.area().abs()).sum();
    100.0 * area / (12.0 * (12.0 * (used as f64 - 1.0) + last))
}

fn main() {
    let words: Vec<String> =
        std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let thousands = words.first().and_then(|word| word.parse::<u64>().ok()).unwrap_or(6_000);
    let looks = thousands * 1_000;
    println!("density in %; {thousands} thousand places looked at");
    println!("set        pieces  reached  leader in 10 s  best known  seconds  worst overlap");
    for (set, best, leader) in SETS {
        let named = words.iter().any(|word| word == set);
        let any_named = words.iter().any(|word| word.parse::<u64>().is_err());
        if any_named && !named {
            continue;
        }
        let (height, pieces) = read(set);
        let begun = Instant::now();
        let strip = strip(height, &pieces, looks).expect("the pieces fit the strip");
        let seconds = begun.elapsed().as_secs_f64();
        let area: f64 = pieces.iter().map(|piece| ring_area(&piece.ring).abs()).sum();
        let reached = 100.0 * area / (height * strip.length);
        let leader = leader.map_or_else(|| "-".to_owned(), |leader| format!("{leader:.1}"));
        let worst = worst_overlap(&strip.rings);
        println!(
            "{set:10} {:6}  {reached:7.2}  {leader:>14}  {best:10.2}  {seconds:7.1}  {worst:.1e}",
            pieces.len()
        );
    }
    if words.iter().all(|word| word.parse::<u64>().is_ok())
        || words.iter().any(|word| word == "mix")
    {
        println!(
            "craft mix, 46 pieces, 12 in strip, quarter turns: {:.1} (leader in 10 s: 76.7)",
            mix_on_a_strip(looks)
        );
        for (name, effort) in
            [("quick", Effort::Quick), ("normal", Effort::Normal), ("long", Effort::Long)]
        {
            for (between, spacing) in [("nothing", 0.0), ("1/16 in", 1.0 / 16.0)] {
                let begun = Instant::now();
                let density = mix_on_sheets(effort, spacing);
                let seconds = begun.elapsed().as_secs_f64();
                println!(
                    "craft mix on 12x12 in sheets, {between} between, {name}: {density:.1} in {seconds:.1} s"
                );
            }
        }
    }
}
