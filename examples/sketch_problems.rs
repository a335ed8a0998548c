//! The quadratic parts of 50 fits, as JSON for an outside solver: edges, relations, wishes, where the edges
//! lie between marks and on the ruler, and what each costs. `tests/outside/sketches.py` reads it.
//!
//! `cargo run --release --example sketch_problems`

use cutleaf::model::length::Size;
use cutleaf::sketch::wanted::Wanted;
use cutleaf::sketch::{self, Sketch};

/// Fits, of which each has a problem across and one down.
const FITS: usize = 50;
/// Sizes of prints in inches, one after the other in each list, from another one on each time.
const SIZES: [[f64; 2]; 11] = [
    [4.0, 6.0],
    [3.0, 3.0],
    [6.0, 4.0],
    [3.5, 5.0],
    [4.0, 4.0],
    [3.0, 4.0],
    [2.0, 2.0],
    [5.0, 7.0],
    [4.0, 3.0],
    [2.0, 3.0],
    [5.0, 3.5],
];

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let sketches: Result<Vec<Sketch>, _> =
        sketch::texts().iter().map(|text| Sketch::read(text)).collect();
    let sketches = sketches?;
    let mut problems = Vec::new();
    let mut round = 0;
    while problems.len() < 2 * FITS && round < 1000 {
        let count = 1 + round % 9;
        let photos: Vec<Wanted> = (0..count)
            .map(|number| {
                let [width, height] = SIZES[(round * 3 + number * 5) % SIZES.len()];
                Wanted::print(&format!("photo-{number}"), Size::inches(width, height), None)
            })
            .collect();
        // What is croppable has sizes to find, too.
        let photos: Vec<Wanted> = photos
            .into_iter()
            .map(|photo| {
                let bounds = [photo.size.map(|side| side - side / 8), photo.size];
                if round.is_multiple_of(2) { photo } else { Wanted { bounds, ..photo } }
            })
            .collect();
        for fit in sketch::offers(&sketches, Size::inches(12.0, 12.0), &photos).fits {
            for (relations, settled) in &fit.relations {
                problems.push(serde_json::json!({
                    "sketch": fit.sketch, "relations": relations, "least": settled.least,
                    "cost": settled.cost, "at": settled.all(),
                }));
            }
        }
        round += 1;
    }
    problems.truncate(2 * FITS);
    println!("{}", serde_json::to_string(&problems)?);
    Ok(())
}
