//! The papers of a spread and how much of each is on hand.

use crate::description::Place;
use crate::model::length::{Length, Size};
use crate::model::{Color, OffcutId, Pattern, PictureFill, Repeat, Stock, Turns};
use crate::stock::Shape;

use super::paper_pictures::PaperPicture;

/// An offcut that is no rectangle.
#[derive(Clone, Debug, Default)]
pub struct ShapedOffcut {
    /// Its name.
    pub id: OffcutId,
    /// Its outline.
    pub shape: Shape,
    /// How many rectangular offcuts of its paper are older.
    pub before: usize,
}

/// The sheet that papers are sold in where a paper lists no size: 12 x 12 in (common practice, no source).
pub(crate) const USUAL_SHEET: Size = Size::new(Length::part(12, 1), Length::part(12, 1));

/// A paper and how much of it is on hand.
#[derive(Clone, Debug, Default)]
pub struct PaperOnHand {
    /// Its name.
    pub name: String,
    /// Its colour, `#rrggbb`.
    pub color: Color,
    /// The pattern on it.
    pub pattern: Option<Pattern>,
    /// The picture on it.
    pub picture: Option<PaperPicture>,
    /// Colour of its core, if that shows where it is torn.
    pub core: Option<Color>,
    /// Whether a pattern forbids turning.
    pub directional: bool,
    /// How its pieces may be turned on a sheet, if the spec says so.
    pub turns: Option<Turns>,
    /// Narrowest stroke it can be cut to without tearing.
    pub thinnest: Length,
    /// Sheets and offcuts.
    pub stock: Vec<Stock>,
    /// Offcuts that are no rectangles, the oldest first.
    pub shaped: Vec<ShapedOffcut>,
    /// Those among them that a redo takes for sheets that are cut as they were.
    pub taken: Vec<Stock>,
    /// Whether these are those of the stock, not of the spec.
    pub from_stock: bool,
    /// Where it is described.
    pub place: Place,
}

impl PaperOnHand {
    /// The colours that are seen of it with their shares of its area, the largest first.
    pub fn shades(&self) -> Vec<(Color, f64)> {
        let plain = || vec![(self.color, 1.0)];
        if let Some(picture) = self.picture.as_ref().filter(|picture| !picture.shades.is_empty()) {
            return picture.shades.clone();
        }
        self.pattern.as_ref().map_or_else(plain, |pattern| pattern.shades(self.color))
    }

    /// After how much what is on it repeats across and down a sheet; nothing where a pattern lies at an
    /// angle.
    pub fn repeats(&self) -> Option<[Repeat; 2]> {
        if let Some(picture) = &self.picture {
            return Some(match picture.fill {
                PictureFill::Repeat => picture.size.map(Length::inches).map(Repeat::Every),
                PictureFill::Whole => [Repeat::Never; 2],
            });
        }
        self.pattern.as_ref().map_or(Some([Repeat::Plain; 2]), Pattern::repeats)
    }

    /// Its sheets and offcuts less those that are taken.
    pub fn free(&self) -> Vec<Stock> {
        let mut free = self.stock.clone();
        for taken in &self.taken {
            let same = |one: &&mut Stock| {
                one.offcut == taken.offcut && one.size == taken.size && one.count > 0
            };
            if let Some(one) = free.iter_mut().find(same) {
                one.count = one.count.saturating_sub(taken.count);
            }
        }
        free.retain(|one| one.offcut.is_none() || one.count > 0);
        free
    }
}
