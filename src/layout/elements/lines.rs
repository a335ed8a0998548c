//! Stitches and hatching on an element, measured.

use kurbo::BezPath;

use crate::description::{Common, HatchSpec, Marked, Place, StitchKind, StitchSpec};
use crate::geometry::hatch::hatch;
use crate::geometry::offset;
use crate::geometry::stitch::{Stitch, stitches};
use crate::geometry::{Drawing, Line};
use crate::model::Process;
use crate::model::Tool;
use crate::model::length::Length;
use crate::shapes::finished::Finished;

use super::super::reading::Reader;

/// Adds what the machine draws and pierces on a piece, and gives it to the machine. A folded thing is sewn
/// and hatched on the faces that are seen.
pub(super) fn add(
    reader: &mut Reader<'_>,
    common: Common<'_>,
    drawing: &mut Drawing,
    finished: Option<&Finished>,
    tool: &mut Tool,
) {
    let place = match (common.stitch, common.hatch) {
        (Some(stitch), _) => stitch.place,
        (None, Some(hatch)) => hatch.place,
        (None, None) => return,
    };
    give_to_the_machine(reader, common, tool, "stitches and hatching are made by the machine");
    if !common.torn.is_empty() {
        let message = "a piece with torn edges can't be stitched or hatched evenly";
        reader.problem(place, message, "leave `torn` out, or lay a smaller piece on it");
        return;
    }
    let seen = match finished {
        Some(finished) => finished.drawn_on().into_iter().flat_map(|(_, path)| path).collect(),
        None => drawing.outline.clone(),
    };
    if let Some(spec) = common.hatch {
        drawing.lines.extend(hatched(reader, spec, &seen));
    }
    if let Some(spec) = common.stitch {
        drawing.lines.extend(stitched(reader, spec, &seen));
    }
}

/// Has the machine cut a piece; notes `message` as a problem if the spec asks for another tool.
pub(in crate::layout) fn give_to_the_machine(
    reader: &mut Reader<'_>,
    common: Common<'_>,
    tool: &mut Tool,
    message: &str,
) {
    match (common.tool, *tool) {
        (None, _) => *tool = Tool::Machine,
        (Some(_), Tool::Machine) => {}
        (Some(asked), _) => {
            reader.problem(asked.place, message, "write `machine`, or leave `tool` out");
        }
    }
}

fn hatched(reader: &mut Reader<'_>, spec: &Marked<HatchSpec>, outline: &BezPath) -> Option<Line> {
    let angle = spec.value.angle.as_ref().map_or(-45.0, |angle| angle.value);
    let usual = Length::part(1, 16);
    let gap = reader.distance(spec.value.gap.as_ref(), usual, "gap").to_inches();
    let inset = reader.distance(spec.value.inset.as_ref(), usual, "inset").to_inches();
    let path = hatch(outline, angle, gap, inset);
    if path.elements().is_empty() {
        let message = "no hatching fits in the piece";
        reader.problem(spec.place, message, "give a smaller inset, and a gap of more than 0");
        return None;
    }
    Some(Line { process: Process::Pen, path, fold: None })
}

fn stitched(reader: &mut Reader<'_>, spec: &Marked<StitchSpec>, outline: &BezPath) -> Option<Line> {
    let StitchSpec { inset, length, gap, kind, diameter } = &spec.value;
    let mut inches = |text: &Option<_>, usual: Length, what: &str| {
        reader.distance(text.as_ref(), usual, what).to_inches()
    };
    let inset = inches(inset, Length::part(1, 8), "inset");
    let length = inches(length, Length::part(1, 8), "length of a stitch");
    let gap = inches(gap, Length::part(1, 16), "gap");
    let diameter = inches(diameter, Length::part(1, 32), "diameter");
    let kind = reader.choice(kind.as_ref(), StitchKind::Pen);
    let stitch = match kind {
        StitchKind::Holes => Stitch::Holes { diameter, apart: length + gap },
        StitchKind::Pen | StitchKind::Dashes => Stitch::Dashes { length, gap },
    };
    if !measures_fit(reader, spec.place, kind, [inset, length, gap, diameter]) {
        return None;
    }
    let along = if inset > 0.0 { offset::inward(outline, inset) } else { outline.clone() };
    match stitches(&along, stitch) {
        Some(path) if path.segments().next().is_some() => {
            let process = if kind == StitchKind::Pen { Process::Pen } else { Process::Cut };
            return Some(Line { process, path, fold: None });
        }
        Some(_) => {
            let message = "no line of stitches fits in the piece";
            reader.problem(spec.place, message, "give a smaller inset");
        }
        None => {
            let message = "the stitches are too many to sew";
            reader.problem(spec.place, message, "make them longer, or further apart");
        }
    }
    None
}

/// Whether stitches can be sewn with these measures; notes the problem if not.
fn measures_fit(
    reader: &mut Reader<'_>,
    place: Place,
    kind: StitchKind,
    [inset, length, gap, diameter]: [f64; 4],
) -> bool {
    let (message, help) = if length <= 0.0 {
        ("the stitches have no length", "give a `length` of more than 0")
    } else if kind != StitchKind::Pen && gap <= 0.0 {
        ("slits and holes without a gap cut the piece apart", "give a `gap` of more than 0")
    } else if kind == StitchKind::Holes && (diameter <= 0.0 || diameter >= length + gap) {
        ("the holes run into one another", "give a `diameter` less than length and gap together")
    } else if kind != StitchKind::Pen && inset <= diameter / 2.0 {
        ("slits and holes would run off the edge", "give a larger `inset`")
    } else {
        return true;
    };
    reader.problem(place, message, help);
    false
}
