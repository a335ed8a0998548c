//! What print looks like on its paper: ink lets the paper through, and white is no ink at all.
//!
//! Seen colours are those of [`Color::on_paper`]. A warning names what shows, where it stands in the spec,
//! and the way out; one for each print and paper, however many pieces carry it.

pub(super) mod cause;

use crate::model::{Color, Warning};

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
pub(super) fn usual_ink(layout: &Layout, papers: &[usize], ground: Option<Color>) -> Color {
    let on = papers.iter().filter_map(|&paper| layout.papers.get(paper));
    let colors: Vec<Color> = on.map(|paper| paper.color).collect();
    let worst = |ink: Color, ground: Color| {
        let contrasts =
            colors.iter().map(|paper| ink.on_paper(*paper).contrast(ground.on_paper(*paper)));
        contrasts.fold(f64::INFINITY, f64::min)
    };
    let is_dark = |ground: Color| worst(NO_INK, ground) > worst(TYPE_INK, ground);
    if ground.is_some_and(is_dark) { NO_INK } else { TYPE_INK }
}

/// Warns of what won't show as it is written; what shows so for the same cause as another print is added to
/// that one's warning.
pub(super) fn tell(reader: &mut Reader<'_>, layout: &Layout, printed: &Printed<'_>) {
    let mut papers = printed.papers.to_vec();
    papers.sort_unstable();
    papers.dedup();
    for paper in papers {
        let Some(on) = layout.papers.get(paper) else { continue };
        let Some(cause) = Cause::look(printed, paper, on.color) else { continue };
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
            piece: Some(printed.piece.to_owned()),
            line: printed.line,
        });
        reader.prints.push(Alike { cause, ids, warning });
    }
}
