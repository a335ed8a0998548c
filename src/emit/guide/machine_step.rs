//! The machine's step of a sheet: when it comes, what to load and how, in words and as a picture.
//!
//! The picture shows the mat with the paper on it as it lies, what is cut from it, and which way is up. One
//! corner of the paper bears a black triangle, in the picture and in the drawing of the sheet
//! ([`sheet_drawing::corner`]): it goes to the mat's top left corner.

use kurbo::{Affine, Rect};

use crate::emit::drawing::from_rings;
use crate::emit::sheet_drawing;
use crate::geometry;
use crate::model::Tool;
use crate::model::length::Units;
use crate::record::{Cut, OnMat, Record, Sheet};

use super::super::work;
use super::lines::broken;
use super::steps::numbered;
use super::{message, shown_size};
use crate::draw::display_list::{Item, Paint, Shape};
use crate::draw::pdf::Document;
use crate::emit::printed_page::{BLACK, BOLD, GREY, PLAIN, POINT, WHITE, line, words};

/// Shade of the mat, and of what is cut from the paper on it.
const MAT: &str = "#cccccc";
const PIECE: &str = "#e0e0e0";
/// Dashes of the cuts that come later, in inches.
const DASHES: [f64; 2] = [2.0 * POINT, 2.0 * POINT];
/// Type size of the picture's words in points, and the room of a line in inches.
const SMALL: f64 = 8.5;
const LINE: f64 = 0.15;
/// Lines below the picture, at most.
const LINES_BELOW: f64 = 3.0;
/// Legs of the black triangle in inches.
pub(super) const TRIANGLE: f64 = 0.16;

/// Whether the machine has a step on a sheet.
pub(super) fn is_due(sheet: &Sheet) -> bool {
    sheet.placed.iter().any(|placed| placed.tool == Tool::Machine)
}

/// The step's heading: which place it has among the trimmer's cuts.
pub(super) fn heading(sheet: &Sheet) -> String {
    match (sheet.loaded().after as usize, sheet.cuts.len()) {
        (_, 0) => "On the machine".to_owned(),
        (0, _) => "First the machine, before any cut".to_owned(),
        (after, cuts) if after == cuts => "Then the machine".to_owned(),
        (after, _) => format!("Now the machine, after cut {after}"),
    }
}

/// What to do, sentence by sentence: lay the paper on the mat, load the file, take the paper off.
pub(super) fn sentences(record: &Record, sheet: &Sheet) -> Vec<String> {
    let paper = sheet.loaded();
    let units = record.shown_units();
    let mut told = vec![lay(sheet, &paper, units)];
    told.push(format!(
        "Cut cut/{}.svg at its real size: its page is this paper, {}, and its top left corner the mat's. \
         Blade, pressure and speed: see the machine's own manual.",
        sheet.id,
        shown_size(paper.lying(), units),
    ));
    if sheet.in_register.is_some() {
        told.push("Line the machine up on the printed marks; its manual tells how.".to_owned());
    } else if !sheet.marks.is_empty() {
        told.push(
            "The marks in the file's group “register” are there to line up by: don't have them cut."
                .to_owned(),
        );
    }
    if let Some(work) = work::told(record, sheet) {
        told.push(format!("Its way: {work}."));
    }
    told.push(take_off(record, sheet, &paper));
    told.into_iter().map(|sentence| message(&sentence)).collect()
}

/// Which paper is laid on the mat, and how.
fn lay(sheet: &Sheet, paper: &OnMat, units: Units) -> String {
    let size = shown_size(paper.size, units);
    let what = if paper.size == sheet.size {
        format!("the whole sheet ({size})")
    } else {
        format!("what cut\u{a0}{} leaves for the machine ({size})", paper.after)
    };
    if paper.is_turned() {
        format!(
            "Lay {what} on the mat turned by a quarter: its lower left corner, with the black triangle, in \
             the mat's top left corner, its left edge up."
        )
    } else {
        format!(
            "Lay {what} on the mat as it is drawn: its top left corner, with the black triangle, in the \
             mat's top left corner, its top edge up."
        )
    }
}

/// What comes off the mat, and what comes next.
fn take_off(record: &Record, sheet: &Sheet, paper: &OnMat) -> String {
    let mut names: Vec<String> = Vec::new();
    for placed in sheet.placed.iter().filter(|placed| placed.tool == Tool::Machine) {
        let name = numbered(record, &placed.piece);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let mut later = sheet.cuts.iter().skip(paper.after as usize);
    let next = match later.find(|cut| within(paper, cut)) {
        Some(cut) => format!("; lift the rest off in one piece, for cut\u{a0}{}", cut.number),
        None => String::new(),
    };
    format!("Take off {}{next}.", names.join(", "))
}

/// The height of the picture in inches, if it may be `width` wide.
pub(super) fn height(record: &Record, sheet: &Sheet, width: f64) -> f64 {
    let [across, down] = mat_of(record, sheet);
    width / across * down + (1.0 + LINES_BELOW) * LINE
}

/// The mat's size; where none is told, the paper's own.
fn mat_of(record: &Record, sheet: &Sheet) -> [f64; 2] {
    let lying = sheet.loaded().lying();
    record.rules.mat.map_or(lying, |mat| [0, 1].map(|axis| mat[axis].max(lying[axis])))
}

/// The mat with the paper on it, `width` inches wide from the top left `at`.
pub(super) fn drawing<'a>(
    document: &Document,
    record: &Record,
    sheet: &Sheet,
    at: [f64; 2],
    width: f64,
) -> Vec<Item<'a>> {
    let paper = sheet.loaded();
    let mat = mat_of(record, sheet);
    let scale = width / mat[0];
    let [left, top] = [at[0], at[1] + LINE];
    let part = |size: [f64; 2]| {
        let [width, height] = size.map(|side| side * scale);
        Shape::rectangle(Rect::new(left, top, left + width, top + height))
    };
    let lay = Affine::translate((left, top)) * Affine::scale(scale) * paper.onto_mat();
    let pieces = sheet.placed.iter().filter(|placed| placed.tool == Tool::Machine);
    let pieces = pieces.filter_map(|placed| {
        let piece = Shape::path(lay * from_rings(&placed.rings)?);
        Some(piece.filled(Paint::Ink(PIECE, 1.0)).stroked(line(BLACK, 0.5)).into())
    });
    // The cuts that the trimmer makes afterwards, pale.
    let later = sheet.cuts.iter().skip(paper.after as usize).filter(|cut| within(&paper, cut));
    let later = later.map(|cut| [cut.from, cut.to].map(|end| lay * geometry::point(end)));
    let corner = Shape::path(sheet_drawing::corner(sheet, lay, TRIANGLE));
    let mut items: Vec<Item<'a>> = vec![
        words(BOLD, SMALL, [at[0], at[1] + LINE - 0.05], "On the mat").into(),
        part(mat).filled(Paint::Ink(MAT, 1.0)).into(),
        part(paper.lying()).filled(Paint::Ink(WHITE, 1.0)).into(),
    ];
    items.extend(pieces);
    items.extend([
        part(paper.lying()).stroked(line(BLACK, 1.2)).into(),
        Shape::lines(later, line(GREY, 0.5).dashed(&DASHES)).into(),
        part(mat).stroked(line(GREY, 0.8)).into(),
        corner.filled(Paint::Ink(BLACK, 1.0)).into(),
    ]);
    let told = format!(
        "paper {}, {}",
        shown_size(paper.lying(), record.shown_units()),
        if paper.is_turned() { "its left edge up" } else { "its top edge up" }
    );
    let mut base = top + mat[1] * scale;
    for told in broken(&|text| document.width(PLAIN, SMALL, text), &told, width) {
        base += LINE;
        items.push(words(PLAIN, SMALL, [left, base], &told).into());
    }
    items
}

fn within(paper: &OnMat, cut: &Cut) -> bool {
    let paper = Rect::from(paper.area()).inflate(1e-6, 1e-6);
    [cut.from, cut.to].into_iter().all(|end| paper.contains(geometry::point(end)))
}
