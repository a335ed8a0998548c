//! The keys that every element has: place, turn, tool, score lines, torn edges.

use kurbo::{Affine, BezPath, Point, Shape};

use crate::description::{Common, Edge, ScoreLine, Written};
use crate::geometry::clip::Paper;
use crate::geometry::hatch::inside_at;
use crate::geometry::{self, Drawing, Line};
use crate::model::Process;
use crate::model::Tool;
use crate::shapes;

use super::super::blocks::{Block, Content};
use super::super::reading::{Along, Reader};
use super::lines;

/// Depth of a torn edge in inches: what tearing along a ruler leaves (common practice, no source).
const TORN_DEPTH: f64 = 0.125;

/// Applies the common keys to an element's block.
pub(super) fn finish(reader: &mut Reader<'_>, block: &mut Block, common: Common<'_>) {
    block.at = common.at.clone();
    block.turn = reader.turn(common.turn);
    block.gut = common.gut;
    block.turns = reader.turns(common.cut_turn);
    block.copies = reader.copies(common.copies);
    let torn = edges(reader, common.torn);
    let Some(part) = block.parts.first_mut() else { return };
    let exact = part.size;
    if let Content::Paper { tool, rectangle, drawing, folded, notes, .. } = &mut part.content {
        if let Some(asked) = common.tool {
            *tool = self::tool(reader, asked, *rectangle);
        }
        for (process, lines) in
            [(Process::Score, common.score), (Process::Perforate, common.perforate)]
        {
            for line in lines {
                straight(reader, (process, line), exact.to_inches(), drawing, notes);
            }
        }
        lines::add(reader, common, drawing, folded.as_deref(), tool);
        if torn.contains(&true) {
            if *rectangle {
                let [width, height] = exact.to_inches();
                let seed = part
                    .id
                    .bytes()
                    .fold(7, |seed: u64, byte| seed.wrapping_mul(31).wrapping_add(u64::from(byte)));
                let depth = TORN_DEPTH.min(width.min(height) / 4.0);
                let outline = match shapes::torn(width, height, torn, depth, seed) {
                    Ok(outline) => outline,
                    Err(error) => {
                        reader.problem(block.place, error.message, error.help);
                        return;
                    }
                };
                let outline = filling(outline, [width, height]);
                let mut lines = std::mem::take(&mut drawing.lines);
                let mut paper = Paper::of(&outline);
                for line in &mut lines {
                    if let Some(clipped) = paper.clip(&line.path) {
                        line.path = clipped.kept;
                    }
                }
                *drawing = Drawing { outline, lines };
                *rectangle = false;
                *tool = Tool::Hand;
                notes.push(torn_note(torn));
            } else {
                let place = common.torn.first().map_or(block.place, |edge| edge.place);
                let message = "only panels, strips and rectangles have edges that can be torn";
                reader.problem(place, message, "leave `torn` out");
            }
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

/// A torn outline stretched by a hair, so that its highest points reach the edges of its rectangle.
fn filling(outline: BezPath, size: [f64; 2]) -> BezPath {
    let bounds = outline.bounding_box();
    let stretch = Affine::scale_non_uniform(size[0] / bounds.width(), size[1] / bounds.height());
    stretch * Affine::translate((-bounds.x0, -bounds.y0)) * outline
}

/// Which edges are named: top, right, bottom, left.
pub(super) fn edges(reader: &mut Reader<'_>, written: &[Written<Edge>]) -> [bool; 4] {
    let edges: Vec<Edge> = written.iter().filter_map(|edge| reader.value(edge)).collect();
    Edge::ALL.map(|edge| edges.contains(&edge))
}

fn torn_note(torn: [bool; 4]) -> String {
    let edges = Edge::ALL.into_iter().zip(torn).filter(|(_, torn)| *torn);
    let edges: Vec<&str> = edges.map(|(edge, _)| edge.name()).collect();
    let edge = if edges.len() == 1 { "edge" } else { "edges" };
    format!(
        "cut the rectangle, then tear the {} {edge} by hand, up to 1/8 in deep",
        edges.join(" and ")
    )
}

/// Adds a score line or perforated line, from edge to edge of the outline.
fn straight(
    reader: &mut Reader<'_>,
    (process, line): (Process, &ScoreLine),
    [width, height]: [f64; 2],
    drawing: &mut Drawing,
    notes: &mut Vec<String>,
) {
    let name = process.name();
    let (text, along, side) = match line {
        ScoreLine::Across(text) => (text, Along::Height, height),
        ScoreLine::Down(text) => (text, Along::Width, width),
    };
    let length = reader.positive(text, along, &format!("{name} line"));
    let at = length.to_inches();
    if at >= side {
        let message = format!("the {name} line is off the piece");
        reader.problem(text.place, message, "write its distance from the piece's top or left");
        return;
    }
    let units = reader.units;
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
