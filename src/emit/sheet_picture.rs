//! One sheet as a picture for the proof, in the colours of its papers and inks, with a ruler round it.

use std::sync::Arc;

use kurbo::{Point, Rect};

use super::SmallCopies;
use super::drawing::{legible_on, plain, xml_name};
use super::labels::Names;
use super::pattern_places::of_sheet;
use super::sheet_drawing::{Look, Words, drawn};
use super::sheet_layout::{Style, lay_out};
use super::spread::PREFIX;
use super::spread::papers::Papers;
use crate::draw::Anchor;
use crate::draw::display_list::{Item, Paint, Pattern, Shape, Stroke, Text};
use crate::draw::svg::{Means, Pictures, Svg};
use crate::lettering::fonts::Font;
use crate::lettering::label::label_width;
use crate::model::length::{Length, Units};
use crate::record::{Record, Sheet};

/// Type size of the ruler's numbers in inches.
const RULER_TYPE: f64 = 0.24;
/// How a sheet is laid out at its real size. It is shown at a third to a half of that, where the smallest
/// type is still read with ease.
const STYLE: Style = Style {
    at: [0.0; 2],
    scale: 1.0,
    names: Names { sizes: &[0.34, 0.3, 0.27, 0.24, 0.21], room: 0.05, rim: 0.2, all: true },
    discs: &[0.19, 0.16],
};
/// Ink of the trimmer's cuts and their numbers, and of what is kept.
const TRIMMER: &str = "#8c2f39";
const KEPT: &str = "#5d7f5a";
/// White that isn't hard on the eye, and a dark ink on it.
const PALE: &str = "#fffdf8";
const DARK: &str = "#2b2721";
/// Ink of the sheet's edge and of the ruler.
pub(super) const EDGE: &str = "#8a7f70";
/// The edge of a sheet that has to be bought.
pub(super) const EDGE_TO_BUY: [Stroke<'static>; 2] =
    [Stroke::new(PALE, 0.12), Stroke::new(DARK, 0.08).dashed(&[0.4, 0.25])];

/// Room round a sheet for the ruler in inches, left and top, right and bottom: for the figures of two places
/// that inches have, and the four of millimetres.
fn margins(record: &Record) -> [f64; 2] {
    match record.shown_units() {
        Units::Inches => [0.66, 0.2],
        Units::Millimetres => [0.94, 0.32],
    }
}

/// A picture of `sheet` with a ruler along its top and left edge.
///
/// Pieces bear their names where there is room and their numbers in [`Record::pieces`], from 1,
/// where there isn't. Trimmer cuts are numbered in order. There is no text element in the picture.
pub fn sheet_svg(record: &Record, sheet: &Sheet, label_font: &Font) -> Svg {
    with_pictures(record, sheet, label_font, None)
}

/// The same with the pictures of papers, which are those of the spread's picture in the same HTML.
pub(super) fn with_pictures(
    record: &Record,
    sheet: &Sheet,
    label_font: &Font,
    copies: Option<&SmallCopies>,
) -> Svg {
    let place = record.sheets.iter().position(|other| other.id == sheet.id).unwrap_or(0);
    let prefix = format!("sheet-{}-{}", place + 1, xml_name(&sheet.id));
    let papers = Papers::new(record, copies);
    let fonts = label_font.with_its_stand_ins();
    let laid = lay_out(record, sheet, &STYLE, &|text| label_width(&fonts, &plain(text)));
    let look = look(record, sheet, &papers);
    let mut items = drawn(record, sheet, &laid, &STYLE, &look);
    items.extend(ruler(record, sheet));
    let [before, after] = margins(record);
    let [width, height] = sheet.size;
    Svg::new(Rect::new(-before, -before, width + after, height + after))
        .titled(&format!("{}: {}", record.name, sheet.id))
        .over(
            &items,
            Means { pictures: Pictures::In(PREFIX), ..Means::lettered(&prefix, label_font) },
        )
}

/// How a sheet looks on a screen: pale, so that what is cut from it stands out.
fn look<'a>(record: &'a Record, sheet: &Sheet, papers: &'a Papers<'a>) -> Look<'a> {
    let cut = record.inks.cut.as_str();
    let paper = papers.color(&sheet.paper);
    let pattern = papers.pattern(&sheet.paper);
    let on_pale = Words { ink: DARK, ground: Some(PALE) };
    let drawn = papers.drawn(&sheet.paper);
    let names = match pattern {
        Some(_) => on_pale,
        None if drawn.is_some() => on_pale,
        None => Words { ink: legible_on(*paper), ground: Some(paper.as_str()) },
    };
    let plain_paper = Paint::Ink(paper.as_str(), 1.0);
    Look {
        paper: vec![Paint::Ink(PALE, 1.0), Paint::Ink(paper.as_str(), 0.3)],
        piece: std::iter::once(plain_paper.clone()).chain(pattern.map(Paint::Pattern)).collect(),
        part: vec![plain_paper],
        drawn: drawn.map(|drawn| {
            let (on_whole, whole) = of_sheet(record, sheet);
            (drawn, on_whole.inverse(), whole)
        }),
        veil: Paint::Ink(PALE, 0.68),
        offcut: vec![Paint::Ink("#ffffff", 0.5), Paint::Pattern(Arc::new(hatching()))],
        edge: Stroke::new(EDGE, 0.03),
        edge_to_buy: EDGE_TO_BUY,
        part_edge: Stroke::new("#5c5347", 0.02),
        offcut_edge: Stroke::new(KEPT, 0.02),
        piece_edges: [
            Stroke::new("#5c5347", 0.02),
            Stroke::new(cut, 0.03),
            Stroke::new("#7a5b3a", 0.03).dashed(&[0.1, 0.07]),
        ],
        lines: Some(0.03),
        names,
        names_beside: on_pale,
        part_names: on_pale,
        offcut_names: Words { ink: "#2f4a2d", ground: Some(PALE) },
        machine: Stroke::new(cut, 0.035).dashed(&[0.24, 0.1, 0.04, 0.1]),
        corner: (0.35, cut),
        edge_over_machine: false,
        machine_words: Some(RULER_TYPE),
        // A pale line below makes the cut stand out on dark paper.
        cuts: vec![
            Stroke { opacity: 0.75, ..Stroke::new(PALE, 0.06) },
            Stroke::new(TRIMMER, 0.035).dashed(&[0.2, 0.09]),
        ],
        leader: Stroke::new(TRIMMER, 0.02),
        disc: (Paint::Ink(PALE, 1.0), Stroke::new(TRIMMER, 0.03)),
        figures: (TRIMMER, [1.2, 0.9]),
    }
}

/// The pattern of paper that is kept.
fn hatching() -> Pattern<'static> {
    let hatch = Stroke { opacity: 0.55, ..Stroke::new(KEPT, 0.05) };
    let hatch = Shape::line((0.0, 0.0), (0.0, 0.2), hatch);
    Pattern { name: "keep".to_owned(), side: 0.2, turn: 45.0, items: vec![hatch.into()] }
}

/// Inches or centimetres along the top and the left edge.
fn ruler<'a>(record: &Record, sheet: &Sheet) -> Vec<Item<'a>> {
    let (step, named, unit) = match record.shown_units() {
        Units::Inches => (Length::inches(1.0), 3, 1),
        Units::Millimetres => (Length::mm(10.0), 5, 10),
    };
    let mut marks = Vec::new();
    let mut items = Vec::new();
    for axis in [0, 1] {
        let on_edge = |along: f64, off: f64| match axis {
            0 => Point::new(along, -off),
            _ => Point::new(-off, along),
        };
        // The last mark is at the end itself; a hundred marks are more than any sheet has.
        for count in 0..=100 {
            let at = (step * count).to_inches();
            if at > sheet.size[axis] + 1e-6 {
                break;
            }
            let long = if count % named == 0 { 0.2 } else { 0.11 };
            marks.push([on_edge(at, 0.08), on_edge(at, 0.08 + long)]);
            if count % named == 0 {
                let (at, anchor) = match axis {
                    0 => (Point::new(at, -0.33), Anchor::Middle),
                    _ => (Point::new(-0.32, at + RULER_TYPE * 0.36), Anchor::End),
                };
                let words = Text::new(&(count * unit).to_string(), at, RULER_TYPE, "#6d6253");
                items.push(Text { anchor, class: "ruler-text", ..words }.into());
            }
        }
    }
    let marks = Shape::lines(marks, Stroke::new(EDGE, 0.02));
    items.push(Shape { class: "ruler", ..marks }.into());
    items
}
