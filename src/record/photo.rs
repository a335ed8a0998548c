//! Photos in the record, and what is printed of their pictures.

use serde::{Deserialize, Serialize};

use super::nothing::or_empty;
use super::{Raised, Record, Sheet, StockLeft, Tucked};
use crate::model::{Count, Facing, PageName, PictureFormat, PieceId, Rect};

/// A photo on the spread.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Photo {
    /// Stable name, such as `left.launch`.
    pub id: PieceId,
    /// The name the spec gives it.
    pub name: String,
    /// How many are printed.
    #[serde(default, skip_serializing_if = "Count::is_one")]
    pub copies: Count,
    /// The page it lies on.
    pub page: PageName,
    /// Where its top left lies on that page.
    pub at: [f64; 2],
    /// Size of the whole print, border included.
    pub size: [f64; 2],
    /// Width of the white border, 0 for none.
    pub border: f64,
    /// Degrees clockwise on the page.
    pub turn: f64,
    /// The way people in it look, if it is known; in the file an empty text otherwise.
    #[serde(with = "or_empty")]
    pub looks: Option<Facing>,
    /// Place in the stacking order among pieces and photos.
    pub order: u32,
    /// How it is tucked under a piece, if it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tucked: Option<Tucked>,
    /// The foam it stands on, if it is raised.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub raised: Option<Raised>,
    /// What is printed, if the spec names a file.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub picture: Option<Picture>,
}

impl Photo {
    /// Where the picture lies within the print: the size less the border.
    pub fn field(&self) -> Rect {
        let size = self.size.map(|side| side - 2.0 * self.border);
        Rect { at: [self.border; 2], size }
    }
}

/// A picture from a file, and the part of it that is printed.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Picture {
    /// The file, by its path from the spec's folder.
    pub file: String,
    /// SHA-256 of the file, hexadecimal.
    pub sha256: String,
    /// What kind of file it is.
    pub format: PictureFormat,
    /// Width and height in dots, as stored.
    pub dots: [u32; 2],
    /// The EXIF orientation, 1 to 8; 1 for none.
    pub orientation: u8,
    /// What is printed of it, in dots of the picture as it is seen, once turned.
    pub crop: Rect,
    /// Dots an inch of the print.
    pub resolution: f64,
}

/// The paper that photos are printed on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct PhotoPaper {
    /// Its size.
    pub size: [f64; 2],
    /// Rim that the printer can't reach.
    pub margin: f64,
    /// Sheets of it that are left after this run; nothing where nobody says how many there were.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub left: Option<StockLeft>,
}

impl Record {
    /// The sheets of photo paper that no row of the shopping list counts: all of them, where nobody says how
    /// many are on hand.
    pub fn uncounted_photo_sheets(&self) -> &[Sheet] {
        let is_counted = self.photo_paper.is_some_and(|paper| paper.left.is_some());
        if is_counted { &[] } else { &self.prints }
    }
}
