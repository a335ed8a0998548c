//! What a page is called, how large it is, and its boxes.

use pdf_writer::Rect;

use super::points;

/// A page's size, names and boxes, in inches, y down.
///
/// ```
/// use cutleaf::draw::pdf::PageSetup;
/// let page = PageSetup::new([8.5, 11.0], "Page 1: chalk")
///     .labelled("strips 1")
///     .under("Strips")
///     .trimmed([1.0, 1.0], [4.0, 6.0], 0.125);
/// assert_eq!(page.bookmark, "Page 1: chalk");
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PageSetup {
    /// Width and height.
    pub size: [f64; 2],
    /// Its bookmark (ISO 32000-1, 12.3.3); none if empty.
    pub bookmark: String,
    /// The bookmark under which that of this and the neighbouring pages hang; empty for none.
    pub part: String,
    /// What a viewer calls the page (12.4.2); its number if empty.
    pub label: String,
    /// Top left and size of what is left of it once it is trimmed (14.11.2); all of it if not told.
    pub trim: Option<[[f64; 2]; 2]>,
    /// How far colour runs on beyond the trim.
    pub bleed: f64,
    /// Bookmarks of places on it, with how far these are from its top.
    pub places: Vec<(String, f64)>,
}

impl PageSetup {
    /// A page of a size with a bookmark.
    pub fn new(size: [f64; 2], bookmark: &str) -> Self {
        Self { size, bookmark: bookmark.to_owned(), ..Self::default() }
    }

    /// The same page with a label.
    pub fn labelled(self, label: &str) -> Self {
        Self { label: label.to_owned(), ..self }
    }

    /// The same page with its bookmark under another.
    pub fn under(self, part: &str) -> Self {
        Self { part: part.to_owned(), ..self }
    }

    /// The same page, trimmed, with colour running `bleed` over the trim.
    pub fn trimmed(self, at: [f64; 2], size: [f64; 2], bleed: f64) -> Self {
        Self { trim: Some([at, size]), bleed, ..self }
    }

    /// The same page with bookmarks of places on it, told by how far they are from its top.
    pub fn with_places(self, places: Vec<(String, f64)>) -> Self {
        Self { places, ..self }
    }

    /// The same page with its trim stretched about the middle of the page.
    pub(super) fn stretched(self, stretch: [f64; 2]) -> Self {
        let trim = self.trim.map(|[at, size]| {
            let at = [0, 1].map(|axis| {
                let middle = self.size[axis] / 2.0;
                middle + (at[axis] - middle) * stretch[axis]
            });
            [at, [0, 1].map(|axis| size[axis] * stretch[axis])]
        });
        Self { trim, ..self }
    }

    pub(super) fn trim_box(&self) -> Rect {
        self.grown(0.0)
    }

    pub(super) fn bleed_box(&self) -> Rect {
        self.grown(self.bleed)
    }

    /// The trim grown on all sides, within the page, in points, y up.
    fn grown(&self, by: f64) -> Rect {
        let [width, height] = self.size;
        let Some([[left, top], size]) = self.trim else {
            return Rect::new(0.0, 0.0, points(width), points(height));
        };
        let (right, bottom) = (left + size[0] + by, top + size[1] + by);
        Rect::new(
            points((left - by).max(0.0)),
            points((height - bottom).max(0.0)),
            points(right.min(width)),
            points((height - top + by).min(height)),
        )
    }
}
