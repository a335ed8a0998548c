//! What print looks like on its paper: ink lets the paper through, and white is no ink at all.
//!
//! Seen colours are those of [`color::on_paper`]. A warning names what shows, where it stands in the spec,
//! and the way out; one for each print and paper, however many pieces carry it.

pub(super) mod cause;

use crate::color;
use crate::model::Warning;

use super::Layout;
use super::ink::{NO_INK, TYPE_INK};
use super::reading::Reader;
use cause::Cause;

pub(super) use cause::{Alike, Impairment, Inked, Printed};

/// Kinds of the warnings: the ink is badly chosen, or no ink will do on that paper.
const LOW_CONTRAST: &str = "low contrast";
const UNLIKE: &str = "print and paper";

/// The ink of words and lines where none is written: dark, or none at all where that is told better from a
/// ground on all of these papers.
pub(super) fn usual_ink(layout: &Layout, papers: &[usize], ground: &str) -> &'static str {
    let on = papers.iter().filter_map(|&paper| layout.papers.get(paper));
    let colors: Vec<&str> = on.map(|paper| paper.color.as_str()).collect();
    let worst = |ink: &str| {
        let contrasts = colors.iter().map(|paper| {
            color::contrast(&color::on_paper(ink, paper), &color::on_paper(ground, paper))
        });
        contrasts.fold(f64::INFINITY, f64::min)
    };
    if !ground.is_empty() && worst(NO_INK) > worst(TYPE_INK) { NO_INK } else { TYPE_INK }
}

/// Warns of what won't show as it is written; what shows so for the same cause as another print is added to
/// that one's warning.
pub(super) fn tell(reader: &mut Reader<'_>, layout: &Layout, printed: &Printed<'_>) {
    let mut papers = printed.papers.to_vec();
    papers.sort_unstable();
    papers.dedup();
    for paper in papers {
        let Some(on) = layout.papers.get(paper) else { continue };
        let Some(cause) = Cause::look(printed, paper, &on.color) else { continue };
        if let Some(alike) = reader.prints.iter_mut().find(|alike| alike.cause == cause) {
            alike.ids.push(printed.id.to_owned());
            let (number, message) = (alike.warning, cause.message(&alike.ids, &on.name));
            reader.reword(number, message);
            continue;
        }
        let ids = vec![printed.id.to_owned()];
        let warning = reader.warn(Warning {
            kind: if cause.unlike { UNLIKE } else { LOW_CONTRAST }.to_owned(),
            message: cause.message(&ids, &on.name),
            help: cause.way_out.told(),
            piece: printed.piece.to_owned(),
            line: printed.line,
        });
        reader.prints.push(Alike { cause, ids, warning });
    }
}
