//! One sheet as a picture for the proof, in the colours of its papers and inks, with a ruler round it.

use kurbo::{BezPath, Point};
use svg::node::element::{Definitions, Path, Pattern, Title};

use super::drawing::{color, legible_on, plain, xml_name};
use super::sheet_drawing::{Look, Words, drawn};
use super::sheet_layout::{Style, lay_out};
use super::spread::papers::Papers;
use crate::draw::Anchor;
use crate::draw::display_list::{Item, Outline, Paint, Shape, Stroke, Text};
use crate::draw::lettering::Lettering;
use crate::draw::svg::{self as picture, Svg};
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
    sizes: &[0.34, 0.3, 0.27, 0.24, 0.21],
    room: 0.05,
    discs: &[0.19, 0.16],
    rim: 0.2,
    all_names: true,
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
    let place = record.sheets.iter().position(|other| other.id == sheet.id).unwrap_or(0);
    let prefix = format!("sheet-{}-{}", place + 1, xml_name(&sheet.id));
    let papers = Papers::new(record, &prefix);
    let fonts = label_font.with_its_stand_ins();
    let laid = lay_out(record, sheet, &STYLE, &|text| label_width(&fonts, &plain(text)));
    let look = look(record, sheet, &papers, &prefix);
    let mut items = drawn(record, sheet, &laid, &STYLE, &look);
    items.extend(ruler(record, sheet));
    let mut lettering = Lettering::new(&prefix, label_font);
    let body = picture::drawn(&items, &mut lettering);
    let definitions = papers.define(Definitions::new(), &[&sheet.paper]).add(hatching(&prefix));
    let [before, after] = margins(record);
    Svg::new([-before; 2], sheet.size.map(|side| side + before + after))
        .with(&Title::new(plain(&format!("{}: {}", record.name, sheet.id))))
        .with(&lettering.define(definitions))
        .with(&body)
}

/// How a sheet looks on a screen: pale, so that what is cut from it stands out.
fn look<'a>(record: &'a Record, sheet: &Sheet, papers: &Papers<'a>, prefix: &str) -> Look<'a> {
    let cut = color(&record.inks.cut);
    let paper = papers.color(&sheet.paper);
    let pattern = papers.pattern_name(&sheet.paper);
    let on_pale = Words { ink: DARK, ground: Some(PALE) };
    let names = match pattern {
        Some(_) => on_pale,
        None => Words { ink: legible_on(paper), ground: Some(paper) },
    };
    let plain_paper = Paint::Ink(paper, 1.0);
    Look {
        paper: vec![Paint::Ink(PALE, 1.0), Paint::Ink(paper, 0.3)],
        piece: std::iter::once(plain_paper.clone()).chain(pattern.map(Paint::Pattern)).collect(),
        part: vec![plain_paper],
        offcut: vec![Paint::Ink("#ffffff", 0.5), Paint::Pattern(format!("{prefix}-keep"))],
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
fn hatching(prefix: &str) -> Pattern {
    let hatch = Path::new().set("d", "M0 0V0.2").set("stroke", KEPT);
    Pattern::new()
        .set("id", format!("{prefix}-keep"))
        .set("width", "0.2")
        .set("height", "0.2")
        .set("patternUnits", "userSpaceOnUse")
        .set("patternTransform", "rotate(45)")
        .add(hatch.set("stroke-width", "0.05").set("stroke-opacity", "0.55"))
}

/// Inches or centimetres along the top and the left edge.
fn ruler<'a>(record: &Record, sheet: &Sheet) -> Vec<Item<'a>> {
    let (step, named, unit) = match record.shown_units() {
        Units::Inches => (Length::inches(1.0), 3, 1),
        Units::Millimetres => (Length::mm(10.0), 5, 10),
    };
    let mut marks = BezPath::new();
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
            marks.move_to(on_edge(at, 0.08));
            marks.line_to(on_edge(at, 0.08 + long));
            if count % named == 0 {
                let (at, anchor) = match axis {
                    0 => (Point::new(at, -0.33), Anchor::Middle),
                    _ => (Point::new(-0.32, at + RULER_TYPE * 0.36), Anchor::End),
                };
                let (words, size, ink) = ((count * unit).to_string(), RULER_TYPE, "#6d6253");
                let class = "ruler-text";
                items.push(Text { words, at, anchor, size, bold: false, ink, class }.into());
            }
        }
    }
    let marks = Shape::new(Outline::Path(marks)).stroked(Stroke::new(EDGE, 0.02));
    items.push(Shape { class: "ruler", ..marks }.into());
    items
}
