//! The proof, the spread and the sheet pictures.

#[path = "support/kite_spread.rs"]
mod kite_spread;

use std::sync::Arc;

use cutleaf::emit::proof::proof_html;
use cutleaf::emit::raster::png;
use cutleaf::emit::sheet_picture::sheet_svg;
use cutleaf::emit::spread::spread_svg;
use cutleaf::outline::fonts::Font;
use cutleaf::record::Record;
use kite_spread::kite_spread;

fn fonts() -> Vec<Arc<Font>> {
    vec![Arc::new(Font::stub())]
}

#[test]
#[ignore = "writes pictures to look at"]
fn write_pictures_to_look_at() {
    let record = kite_spread();
    let fonts = fonts();
    let folder = std::env::var("CUTLEAF_LOOK").unwrap();
    let spread = spread_svg(&record, &fonts, &fonts[0]);
    let write = |name: &str, bytes: &[u8]| std::fs::write(format!("{folder}/{name}"), bytes).unwrap();
    write("spread.svg", spread.as_bytes());
    write("spread.png", &png(&spread, 60.0).unwrap());
    for sheet in &record.sheets {
        let svg = sheet_svg(&record, sheet, &fonts[0]);
        write(&format!("{}.png", sheet.id), &png(&svg, 60.0).unwrap());
    }
    write("proof.html", proof_html(&record, &fonts, &fonts[0]).as_bytes());
    for sheet in &record.sheets {
        if let Some(svg) = cutleaf::emit::cut_svg::cut_svg(&record, sheet) {
            write(&format!("cut-{}.svg", sheet.id), svg.as_bytes());
            write(&format!("cut-{}.png", sheet.id), &png(&svg, 60.0).unwrap());
        }
    }
}
