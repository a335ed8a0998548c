//! Kits in the record: the same spread several times over, and what is told of all of them.

use super::{Piece, Record, Sheet, Strip};

impl Record {
    /// The pieces that are drawn on the spread: of those that differ from kit to kit, the first kit's.
    pub fn drawn(&self) -> impl Iterator<Item = &Piece> {
        self.pieces.iter().filter(|piece| self.is_drawn(piece))
    }

    /// Whether a piece is drawn on the spread.
    pub fn is_drawn(&self, piece: &Piece) -> bool {
        piece.kit.as_ref().is_none_or(|kit| self.names.first() == Some(kit))
    }

    /// The strips of the story, each once however often it is printed.
    pub fn strips_once(&self) -> impl Iterator<Item = &Strip> {
        let mut known = std::collections::BTreeSet::new();
        self.strips.iter().filter(move |strip| known.insert(strip.id.as_str()))
    }

    /// How many strips are printed in all.
    pub fn strips_in_all(&self) -> usize {
        let copies = |strip: &Strip| {
            let page = self.printed.iter().find(|page| page.number == strip.page);
            page.map_or(1, |page| page.count.places())
        };
        self.strips.iter().map(copies).sum()
    }

    /// How many photos there are in all.
    pub fn photos_in_all(&self) -> usize {
        self.photos.iter().map(|photo| photo.copies.places()).sum()
    }
}

/// How many sheets there are, of those that are cut alike all.
pub fn in_all<'a>(sheets: impl IntoIterator<Item = &'a Sheet>) -> usize {
    sheets.into_iter().map(|sheet| sheet.count.places()).sum()
}
