//! What Oklab makes of colours, and how the colours of the pictures of folders gather, as JSON for an outside
//! check: `tests/outside/colors.py` reads it.
//!
//! `cargo run --release --example photo_colors templates/kite-day …`

use std::path::Path;

use cutleaf::model::Color;
use cutleaf::sketch::photo_colors::{CENTERS, from_oklab, oklab, points, settled, starts};
use cutleaf::sketch::wanted;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let steps = [0_u8, 13, 77, 128, 200, 255];
    let mut colors = Vec::new();
    for red in steps {
        for green in steps {
            for blue in steps {
                let color = Color::new([red, green, blue]);
                let (lab, back) = (oklab(color), from_oklab(oklab(color)));
                colors.push(serde_json::json!({
                    "color": color.as_str(), "oklab": lab, "back": back.as_str(),
                }));
            }
        }
    }
    let mut gathered = Vec::new();
    for folder in std::env::args().skip(1) {
        let photos =
            wanted::folder(Path::new(&folder), Path::new(&folder), &wanted::Notes::default())
                .map_err(|problem| problem.message.clone())?;
        let points = points(&photos);
        let starts = starts(&points, CENTERS);
        let centers: Vec<[f64; 3]> =
            settled(&points, &starts).iter().map(|center| center.lab).collect();
        gathered.push(serde_json::json!({
            "folder": folder,
            "points": points.iter().map(|point| point.lab).collect::<Vec<_>>(),
            "weights": points.iter().map(|point| point.weight).collect::<Vec<_>>(),
            "starts": starts,
            "centers": centers,
        }));
    }
    println!("{}", serde_json::json!({ "colors": colors, "gathered": gathered }));
    Ok(())
}
