//! Drawing: pictures and pages, whatever is on them.
//!
//! Nothing here knows a record or a piece. In come outlines, words and colours with their places in inches,
//! y down; out come SVG ([`svg`]) and HTML that holds it ([`html`]).

pub(crate) mod attributes;
pub mod html;
pub mod svg;
