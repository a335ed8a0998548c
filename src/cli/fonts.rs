//! `fonts`: the fonts that a title can use.

use std::path::Path;

use super::args::FontsArguments;
use super::{Failure, files, progress, say};

/// Lists fonts.
pub fn run(arguments: &FontsArguments) -> Result<(), Failure> {
    let book = files::font_book(Path::new("."));
    let mut list = progress::with("reading fonts", || book.list());
    if let Some(name) = &arguments.name {
        let name = name.to_lowercase();
        list.retain(|font| font.family.to_lowercase().contains(&name));
    }
    if arguments.json {
        let rows: Vec<serde_json::Value> = list
            .iter()
            .map(|font| {
                serde_json::json!({
                    "family": font.family, "style": font.style, "source": font.source,
                    "glyphs": font.glyph_count, "embedding": font.embedding.to_string(),
                })
            })
            .collect();
        say(serde_json::Value::Array(rows));
        return Ok(());
    }
    say(format_args!("{:<32} {:<16} {:>7}  {:<18} from", "family", "style", "glyphs", "embedding"));
    for font in &list {
        say(format_args!(
            "{:<32} {:<16} {:>7}  {:<18} {}",
            font.family,
            font.style,
            font.glyph_count,
            font.embedding.to_string(),
            font.source
        ));
    }
    Ok(())
}
