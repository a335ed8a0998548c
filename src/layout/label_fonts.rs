//! Fonts for names: where the built-in text font lacks a letter of a paper's, piece's or photo's name, a
//! font that has it is looked up, so that guide and pictures can show the name.

use crate::lettering::fonts::{Font, FontBook};
use crate::lettering::label::lacking;
use crate::lettering::shaping::with_code_point;
use crate::model::Warning;

use super::Layout;
use super::title::used;

/// Letters that a warning names at most.
const MOST_NAMED: usize = 8;

/// Adds the fonts that the names of a layout need to its fonts, and says which letters no font has.
pub(crate) fn add(layout: &mut Layout, fonts: &FontBook) {
    let names = names(layout);
    let Ok(text) = fonts.find("text") else { return };
    let missing = |layout: &Layout| {
        let label = Font::clone(&text).with_stand_ins(&layout.fonts);
        lacking(&label.with_its_stand_ins(), &names)
    };
    let mut letters = missing(layout);
    while !letters.is_empty() {
        let Some(font) = fonts.with_most_letters(&letters) else { break };
        used(layout, &font);
        let left = missing(layout);
        if left.len() == letters.len() {
            break;
        }
        letters = left;
    }
    if letters.is_empty() {
        return;
    }
    let named: Vec<String> =
        letters.iter().take(MOST_NAMED).copied().map(with_code_point).collect();
    let more = if letters.len() > MOST_NAMED { " and others" } else { "" };
    layout.warnings.push(Warning {
        kind: "letters that no font has".into(),
        message: format!("names use letters that no font at hand has: {}{more}", named.join(", ")),
        help: "the guide and the pictures show code points instead; put a font that has them into `fonts`"
            .into(),
        ..Warning::default()
    });
}

/// Every name that a guide or picture may show.
fn names(layout: &Layout) -> String {
    let kits = layout.names.iter().map(String::as_str);
    let papers = layout.papers.iter().map(|paper| paper.name.as_str());
    let pieces = layout.pieces.iter().map(|piece| piece.id.as_str());
    let photos = layout.photos.iter().flat_map(|photo| [photo.id.as_str(), photo.name.as_str()]);
    let stock = layout.papers.iter().flat_map(|paper| &paper.stock);
    let offcuts = stock.filter_map(|stock| stock.offcut.as_deref());
    let whole = std::iter::once(layout.name.as_str());
    let names: Vec<&str> =
        whole.chain(kits).chain(papers).chain(offcuts).chain(pieces).chain(photos).collect();
    // Letters without a glyph of their own are no one's to draw.
    names.concat().chars().filter(|letter| !letter.is_control()).collect()
}
