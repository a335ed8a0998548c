//! Drawing: pictures and pages, whatever is on them.
//!
//! Nothing here knows a record or a piece. In come outlines, words and colours with their places in inches,
//! y down, or a whole picture as a list of these ([`display_list`]); out come SVG ([`svg`]), HTML that holds
//! it ([`html`]), and pages to print ([`pdf`]).

pub(crate) mod attributes;
pub mod display_list;
pub mod html;
mod lettering;
pub mod patterns;
pub mod pdf;
pub mod svg;

/// Which point of a text lies at the given place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Its left end.
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// A layer of a page that a printer's or plotter's software can tell apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layer {
    /// Where paper is cut.
    Cut,
    /// Crop and registration marks, rulers: where trims lie, and how long things are.
    Marks,
    /// Notes and numbers outside the trim.
    Notes,
}
