//! `fonts`: the fonts that a title can use.

use std::fs;
use std::path::Path;

use cutleaf::description::Problem;
use cutleaf::emit::font_sheet::font_sheet;
use cutleaf::lettering::fonts::FontListing;
use cutleaf::model::length::{Units, narrow};

use super::args::FontsArguments;
use super::{Failure, files, progress, say, say_json};

/// Fonts on one sample sheet: more make a picture that viewers are slow to draw.
const MOST_SAMPLES: usize = 300;

/// Lists fonts, and draws a sheet of samples if one is asked for.
pub fn run(arguments: &FontsArguments) -> Result<(), Failure> {
    let book = files::font_book(Path::new("."));
    let name = arguments.name.as_deref().unwrap_or_default();
    let list = progress::with("reading fonts", || book.list(name));
    if list.is_empty() {
        let help = "`cutleaf fonts` lists them all; drop font files into `fonts`";
        return Err(Problem::input(format!("there is no font `{name}`"), help).into());
    }
    if let Some(file) = &arguments.sample {
        let label = book.find("text").map_err(Problem::from)?;
        let shown = &list[..list.len().min(MOST_SAMPLES)];
        fs::write(file, font_sheet(shown, &label, Units::Inches)).map_err(|error| {
            Problem::input(
                format!("`{}` can't be written: {error}", file.display()),
                "check the folder and its permissions",
            )
        })?;
    }
    if arguments.json {
        say_json(&list.iter().map(|(font, _)| row(font)).collect::<Vec<_>>());
        return Ok(());
    }
    say(format_args!(
        "{:<28} {:<16} {:>6}  {:<13} {:<18} from",
        "family", "style", "glyphs", "thinnest", "embedding"
    ));
    for (font, _) in &list {
        let axes = font.axes_told().map_or(String::new(), |axes| format!(" ({axes})"));
        say(format_args!(
            "{:<28} {:<16} {:>6}  {:<13} {:<18} {}{axes}",
            font.family,
            font.style,
            font.glyph_count,
            thinnest(font),
            font.embedding.to_string(),
            font.source
        ));
    }
    say("thinnest: the thinnest strokes of a few letters, at capitals 1 in high");
    if let Some(file) = &arguments.sample {
        say(format_args!("Samples drawn in {}", file.display()));
        if list.len() > MOST_SAMPLES {
            say(format_args!("(the first {MOST_SAMPLES} of {}; name a family)", list.len()));
        }
    }
    Ok(())
}

/// A width to the nearest 1/32 in, as the list shows it.
fn thinnest(font: &FontListing) -> String {
    let Some(width) = font.thinnest else { return "-".to_owned() };
    narrow(width, Units::Inches).trim_start_matches("about ").to_owned()
}

fn row(font: &FontListing) -> serde_json::Value {
    let axes: Vec<serde_json::Value> = font
        .axes
        .iter()
        .map(|axis| {
            serde_json::json!({
                "tag": axis.tag, "least": axis.least, "usual": axis.usual, "most": axis.most,
            })
        })
        .collect();
    serde_json::json!({
        "family": font.family, "style": font.style, "source": font.source,
        "glyphs": font.glyph_count, "embedding": font.embedding.to_string(),
        "thinnest": font.thinnest.map(cutleaf::record::rounded), "axes": axes,
    })
}
