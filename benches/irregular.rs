//! The published sets of irregular pieces on a strip (see tests/data/irregular/SOURCES.md): share of
//! the strip that the pieces cover, against the best known.
//!
//! `cargo bench --bench irregular -- [LOOKS in millions] [SET…]`

use std::time::Instant;

use cutleaf::nest::machine::{StripPiece, strip};
use cutleaf::outline::{Ring, ring_area};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
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
        let turns = item["allowed_orientations"].as_array().map_or(vec![0.0], |turns| {
            turns.iter().map(number).collect()
        });
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

fn main() {
    let words: Vec<String> =
        std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let millions = words.first().and_then(|word| word.parse::<f64>().ok()).unwrap_or(4.0);
    let looks = (millions * 1e6) as u64;
    println!("density in %; {millions} million places looked at");
    println!("set        pieces  reached  leader in 10 s  best known  seconds  worst overlap");
    for (set, best, leader) in SETS {
        let named = words.iter().any(|word| word == set);
        let any_named = words.iter().any(|word| SETS.iter().any(|(set, ..)| set == word));
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
}
