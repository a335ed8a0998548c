//! What is nested of a paper, and what can't be cut from it.

use crate::description::Problem;
use crate::layout::{Layout, PlacedPiece};
use crate::model::length::Length;
use crate::model::{Stock, Tool};
use crate::nest::{Form, Item, Job, Nested};

use super::fault::at;
use super::on_mat;

/// A paper's nesting job, and the piece behind each of its items. Strips are cut from printed pages, and
/// printed pieces from sheets of their own: they are no part of it.
pub(super) fn job_of(layout: &Layout, paper: usize, stock: &[Stock]) -> (Job, Vec<usize>) {
    let pieces: Vec<usize> = (0..layout.pieces.len())
        .filter(|&index| layout.pieces[index].paper == paper)
        .filter(|&index| layout.pieces[index].kind != "journaling")
        .filter(|&index| layout.pieces[index].print.is_none())
        .filter(|&index| layout.copies_to_nest(&layout.pieces[index]) > 0)
        .collect();
    let items = pieces.iter().map(|&index| {
        let piece = &layout.pieces[index];
        let mut item = Item { copies: layout.copies_to_nest(piece), ..item(piece) };
        if let Some(together) = item.together.as_mut().filter(|_| piece.runs_on) {
            together.runs_on = layout.papers[paper].repeats();
        }
        item
    });
    let items = items.collect();
    let job = Job { stock: stock.to_vec(), items, rules: layout.rules, effort: layout.effort };
    (job, pieces)
}

pub(super) fn item(piece: &PlacedPiece) -> Item {
    let form = match piece.tool {
        Tool::Machine => Form::Outline(piece.drawing.outline.clone()),
        Tool::Trimmer | Tool::Hand => Form::Rectangle(piece.size),
    };
    Item {
        id: piece.id.to_string(),
        form,
        copies: piece.copies,
        tool: piece.tool,
        turns: piece.turns,
        together: piece.together.clone().map(Into::into),
    }
}

/// What can't be cut from one paper, told with what would help.
pub(super) fn missing(
    layout: &Layout,
    paper: usize,
    job: &Job,
    pieces: &[usize],
    nested: &Nested,
) -> Vec<Problem> {
    let name = &layout.papers[paper].name;
    let piece_of = |item: usize| &layout.pieces[pieces[item]];
    let mut problems = Vec::new();
    for left_out in nested.left_out.iter().filter(|left_out| left_out.too_large) {
        let piece = piece_of(left_out.item);
        if let Some(problem) = on_mat::larger_than_mat(layout, job.rules, piece) {
            problems.push(problem);
            continue;
        }
        let mut sheets: Vec<String> = Vec::new();
        for stock in &job.stock {
            let shown = stock.size.show(layout.units);
            if !sheets.contains(&shown) {
                sheets.push(shown);
            }
        }
        let have = if sheets.is_empty() {
            "there are none on hand".to_owned()
        } else {
            let rim = match piece.tool {
                Tool::Machine => job.rules.machine_margin,
                Tool::Trimmer | Tool::Hand => job.rules.trim_margin,
            };
            let less = if rim > Length::ZERO {
                format!(", less a rim of {} all round", rim.show(layout.units))
            } else {
                String::new()
            };
            let bought = job.stock.iter().any(|stock| stock.to_buy);
            let known = if bought { "on hand or to buy" } else { "on hand" };
            format!("{known}: {}{less}", sheets.join(", "))
        };
        problems.push(at(
            piece.place,
            format!(
                "`{}` is {} and fits no sheet of {name}",
                piece.id,
                piece.size.show(layout.units)
            ),
            format!("{have}; make it smaller, cut it in two, or add a larger sheet"),
        ));
    }
    let short: Vec<String> = nested
        .left_out
        .iter()
        .filter(|left_out| !left_out.too_large)
        .map(|left_out| {
            let piece = piece_of(left_out.item);
            match piece.copies {
                1 => piece.id.to_string(),
                copies => format!("{} of {copies} `{}`", left_out.copies, piece.id),
            }
        })
        .collect();
    if !short.is_empty() {
        let area: f64 = nested
            .left_out
            .iter()
            .filter(|left_out| !left_out.too_large)
            .map(|left_out| {
                let area = kurbo::Shape::area(&piece_of(left_out.item).drawing.outline).abs();
                area * f64::from(left_out.copies)
            })
            .sum();
        problems.push(at(
            layout.papers[paper].place,
            format!("there is not enough {name}: no room for {}", short.join(", ")),
            format!(
                "they need at least {area:.1} square inches more; add a sheet of {name}{}",
                on_mat::one_part_a_sheet(layout, job, nested)
            ),
        ));
    }
    problems
}
