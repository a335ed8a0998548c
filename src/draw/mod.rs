//! Drawing: pictures and pages, whatever is on them.
//!
//! Nothing here knows a record or a piece. In come outlines, words and colours with their places in inches,
//! y down, or a whole picture as a list of these ([`display_list`]); out come SVG ([`svg`]), HTML that holds
//! it ([`html`]), and pages to print ([`pdf`]).

pub(crate) mod attributes;
pub mod display_list;
pub mod html;
pub(crate) mod lettering;
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
