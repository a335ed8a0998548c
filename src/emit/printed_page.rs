//! What pages that are printed and then cut have in common: inks, crop marks, rulers, fonts.

use std::sync::Arc;

use crate::draw::pdf::{Canvas, Document, Ink};
use crate::lettering::fonts::{Font, FontBook};

/// Black for marks.
pub(super) const BLACK: Ink = [0.0, 0.0, 0.0];
/// No ink.
pub(super) const WHITE: Ink = [1.0, 1.0, 1.0];
/// The colour of trim lines: light, so that a cut that is off by a hair shows no dark edge.
pub(super) const TRIM: Ink = [0.6, 0.6, 0.6];
/// Length of a crop mark and its distance from the trim, in inches (common practice, no source).
pub(super) const CROP: [f64; 2] = [0.12, 0.05];
/// Points of the smallest print on a page: readable at arm's length.
pub(super) const SMALL: f64 = 7.5;
/// Places of fonts in a document of [`lettered`].
pub(super) const PLAIN: usize = 0;
pub(super) const BOLD: usize = 1;

/// A document whose fonts are that of labels and the built-in bold.
pub(super) fn lettered(title: &str, label_font: &Arc<Font>) -> Result<Document, String> {
    let bold = FontBook::default().find("text bold").map_err(|error| error.message)?;
    Ok(Document::new(title, &[Arc::clone(label_font), bold]))
}

/// The ticks of a ruler that runs across or down: `count` steps from `start`. Every other tick has the
/// second length; a negative length runs up or left.
pub(super) fn ticks(
    canvas: &mut Canvas<'_>,
    start: [f64; 2],
    across: bool,
    (step, count): (f64, u32),
    lengths: [f64; 2],
) {
    for tick in 0..=count {
        let along = step * f64::from(tick);
        let length = if tick % 2 == 0 { lengths[0] } else { lengths[1] };
        let [from, to] = if across {
            let x = start[0] + along;
            [[x, start[1]], [x, start[1] + length]]
        } else {
            let y = start[1] + along;
            [[start[0], y], [start[0] + length, y]]
        };
        canvas.line(from, to);
    }
}
