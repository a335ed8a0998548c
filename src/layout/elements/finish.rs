//! The keys that every element has: place, turn, tool, score lines, torn edges.

use kurbo::{BezPath, Point};

use crate::description::{Common, ScoreLine, Written};
use crate::geometry::hatch::inside_at;
use crate::geometry::{self, Drawing, Line};
use crate::model::Process;
use crate::model::Tool;
use crate::model::length::Length;

use super::super::Layout;
use super::super::blocks::{Block, Content, Part};
use super::super::raised;
use super::super::reading::{Along, Reader};
use super::lines;
use super::torn::{self, Tearing};

/// Applies the common keys to an element's block.
pub(super) fn finish(
    reader: &mut Reader<'_>,
    layout: &Layout,
    block: &mut Block,
    common: Common<'_>,
) {
    block.at = common.at.clone();
    block.turn = reader.turn(common.turn);
    block.raised = raised::height(reader, common.raised, common.gut);
    block.gut = common.gut;
    block.turns = reader.turns(common.cut_turn);
    block.copies = reader.copies(common.copies);
    block.repeat = common.repeat.cloned();
    let Some(part) = block.parts.first_mut() else { return };
    let Part { id, size, content, .. } = part;
    if let Content::Paper { paper, tool, rectangle, drawing, finished, notes, .. } = content {
        if let Some(asked) = common.tool {
            *tool = self::tool(reader, asked, *rectangle);
        }
        let tearing = Tearing::of(reader, layout, common, (id, *size, *paper));
        if tearing.is_some() && !*rectangle {
            let place = common.torn.place().unwrap_or(block.place);
            let message = "only panels, strips and rectangles have edges that can be torn";
            reader.problem(place, message, "leave `torn` out");
            return;
        }
        let mut frame = Frame { size: size.to_inches(), allowance: [0.0; 2] };
        if let Some(tearing) = &tearing {
            (*size, *drawing) = torn::as_cut(tearing);
            let [top, _, _, left] = tearing.allowances().map(Length::to_inches);
            frame.allowance = [left, top];
        }
        for (process, lines) in
            [(Process::Score, common.score), (Process::Perforate, common.perforate)]
        {
            for line in lines {
                straight(reader, (process, line), frame, drawing, notes);
            }
        }
        lines::add(reader, common, drawing, finished.as_deref(), tool);
        if let Some(tearing) = tearing {
            match tearing.torn() {
                Ok(torn) => *finished = Some(Box::new(torn)),
                Err(error) => {
                    reader.problem(block.place, error.message, error.help);
                    return;
                }
            }
            // The trimmer cuts it, and then it goes into her hands.
            if *tool == Tool::Trimmer {
                *tool = Tool::Hand;
            }
            notes.extend(tearing.notes(reader.units));
        }
    } else if common.works_on_paper() {
        let message = "a photo without a mat has nothing to cut, score, stitch or tear";
        reader.problem(block.place, message, "give it a mat, or leave the key out");
    }
}

fn tool(reader: &mut Reader<'_>, asked: &Written<Tool>, rectangle: bool) -> Tool {
    match reader.choice(Some(asked), Tool::Machine) {
        Tool::Trimmer if !rectangle => {
            let message = "the trimmer cuts rectangles only";
            reader.problem(asked.place, message, "write `machine` or `hand`");
            Tool::Machine
        }
        tool @ (Tool::Trimmer | Tool::Machine | Tool::Hand) => tool,
    }
}

/// A piece in which lines are measured, in inches.
#[derive(Clone, Copy)]
struct Frame {
    /// Width and height as it lies on its page.
    size: [f64; 2],
    /// How much larger it is cut at its left and its top.
    allowance: [f64; 2],
}

/// Adds a score line or perforated line, from edge to edge of the outline.
fn straight(
    reader: &mut Reader<'_>,
    (process, line): (Process, &ScoreLine),
    Frame { size: [width, height], allowance: [left, top] }: Frame,
    drawing: &mut Drawing,
    notes: &mut Vec<String>,
) {
    let name = process.name();
    let (text, along, side, allowance) = match line {
        ScoreLine::Across(text) => (text, Along::Height, height, top),
        ScoreLine::Down(text) => (text, Along::Width, width, left),
    };
    let length = reader.positive(text, along, &format!("{name} line"));
    let at = length.to_inches();
    if at >= side {
        let message = format!("the {name} line is off the piece");
        reader.problem(text.place, message, "write its distance from the piece's top or left");
        return;
    }
    let units = reader.units;
    let at = at + allowance;
    let length = length + Length::inches(allowance);
    let across = matches!(line, ScoreLine::Across(_));
    let direction = if across { "across, from the top" } else { "down, from the left" };
    notes.push(format!("{name} {direction}: {}", length.show(units)));
    for [from, to] in
        inside_at(&geometry::rings(&drawing.outline, geometry::FLATTENING), at, across)
    {
        let point = |along: f64| {
            if across { Point::new(along, at) } else { Point::new(at, along) }
        };
        let mut path = BezPath::new();
        path.move_to(point(from));
        path.line_to(point(to));
        drawing.lines.push(Line { process, path, fold: None });
    }
}
