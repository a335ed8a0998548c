//! The quadratic parts of 50 fits of sketches and of 50 fits in specs (pieces in a line, photos that end
//! flush), as JSON for an outside solver: edges, relations, wishes, where the edges lie between marks and on
//! the ruler, and what each costs. `tests/outside/sketches.py` reads it.
//!
//! `cargo run --release --example sketch_problems`

use cutleaf::description::BankBy;
use cutleaf::layout::fit::flush::{Flush, Print};
use cutleaf::layout::fit::line::{Line, Member, Spacing};
use cutleaf::model::length::{Length, Size, Units};
use cutleaf::relations::{Relations, Settled};
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
    for (name, solved) in fits_in_specs() {
        for (relations, settled) in &solved {
            problems.push(serde_json::json!({
                "sketch": name, "relations": relations, "least": settled.least,
                "cost": settled.cost, "at": settled.all(),
            }));
        }
    }
    println!("{}", serde_json::to_string(&problems)?);
    Ok(())
}

/// Fits as specs ask for them: photos made alike in each way, with and without a length for the row, and
/// pieces between two ends.
fn fits_in_specs() -> Vec<(String, Vec<(Relations, Settled)>)> {
    let ways = [BankBy::Crop, BankBy::Enlarge, BankBy::Mat];
    let mut fits = Vec::new();
    let mut round = 0;
    while fits.len() < FITS && round < 1000 {
        let count = 2 + round % 5;
        let sizes = (0..count).map(|number| SIZES[(round * 7 + number * 3) % SIZES.len()]);
        let sizes: Vec<[Length; 2]> = sizes.map(|size| size.map(Length::inches)).collect();
        let natural: Length = sizes.iter().map(|[width, _]| *width).sum();
        let name = |number: usize| format!("`photo-{number}`");
        if round % 4 == 3 {
            let sizes = sizes.iter().enumerate();
            let members =
                sizes.map(|(number, [width, _])| Member { name: name(number), size: Some(*width) });
            let line = Line {
                axis: 0,
                ends: ["the left edge", "the right edge"].map(str::to_owned),
                room: natural + Length::part(1 + (round as i64 * 5) % 37, 16),
                margin: Length::ZERO,
                spacing: if round % 8 == 3 { Spacing::Even } else { Spacing::Gap(Length::ZERO) },
                members: members.collect(),
                units: Units::Inches,
            };
            if let Ok(placed) = line.solve() {
                fits.push((format!("line {round}"), vec![(placed.relations, placed.settled)]));
            }
        } else {
            let by = ways[round % 3];
            let change = natural / 64 * (1 + (round as i64 * 3) % 13);
            let long = match by {
                BankBy::Crop => natural - change,
                BankBy::Enlarge | BankBy::Mat => natural + change,
            };
            let sizes = sizes.iter().enumerate();
            let prints: Vec<Print> =
                sizes.map(|(number, size)| Print { name: name(number), size: *size }).collect();
            let flush = Flush {
                along: 0,
                by,
                gap: Length::ZERO,
                long: (round % 5 != 0).then_some(long),
                thick: None,
                units: Units::Inches,
            };
            if let Ok(line) = flush.line(&prints) {
                fits.push((format!("{by} {round}"), line.solved));
            }
        }
        round += 1;
    }
    fits
}
