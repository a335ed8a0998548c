//! A sheet, drawn once for guide and proof: what is cut from it, what is kept, what goes to the machine, and
//! the trimmer's cuts with their numbers. How it looks in each is a [`Look`].

use kurbo::{Affine, BezPath, Circle, Point, Rect};

use super::drawing::dashes;
use super::labels::Label;
use super::sheet_layout::{LaidCut, LaidPiece, SheetLayout, Style};
use crate::draw::Anchor;
use crate::draw::display_list::{Group, Item, Outline, Paint, Shape, Stroke, Text};
use crate::draw::patterns::DrawnPattern;
use crate::model::Tool;
use crate::model::length::Size;
use crate::record::{Record, Sheet};

/// How a sheet looks.
pub(super) struct Look<'a> {
    /// What the sheet, its pieces, its parts and its offcuts are filled with, the lowest first.
    pub paper: Vec<Paint<'a>>,
    pub piece: Vec<Paint<'a>>,
    pub part: Vec<Paint<'a>>,
    pub offcut: Vec<Paint<'a>>,
    /// The pattern of the paper, how the sheet that it begins on lies on this one, and the size of that.
    pub drawn: Option<(&'a DrawnPattern, Affine, [f64; 2])>,
    /// What lies over that on the sheet, so that its pieces stand out.
    pub veil: Paint<'a>,
    /// The edges of the sheet, of a sheet that has to be bought, of parts and of offcuts.
    pub edge: Stroke<'a>,
    pub edge_to_buy: [Stroke<'a>; 2],
    pub part_edge: Stroke<'a>,
    pub offcut_edge: Stroke<'a>,
    /// The edges of pieces by tool: trimmer, machine, hand.
    pub piece_edges: [Stroke<'a>; 3],
    /// The width of the other lines of pieces, which have the inks of the record; none if they aren't drawn.
    pub lines: Option<f64>,
    /// Names on pieces and beside them, on parts and on offcuts.
    pub names: Words<'a>,
    pub names_beside: Words<'a>,
    pub part_names: Words<'a>,
    pub offcut_names: Words<'a>,
    /// The edge of what goes to the machine, the legs and the ink of the triangle in the corner that lies in
    /// the mat's, and the type size of the words that tell when it goes, if any.
    pub machine: Stroke<'a>,
    pub corner: (f64, &'a str),
    /// Whether the sheet's edge lies over that of what goes to the machine.
    pub edge_over_machine: bool,
    pub machine_words: Option<f64>,
    /// The trimmer's cuts, the lowest line first; the line that leads to a number, and its disc.
    pub cuts: Vec<Stroke<'a>>,
    pub leader: Stroke<'a>,
    pub disc: (Paint<'a>, Stroke<'a>),
    /// A number's ink, and its type size by its disc's radius, for up to two figures and for more.
    pub figures: (&'a str, [f64; 2]),
}

/// The ink of words, and the ground that they bring with them.
#[derive(Clone, Copy)]
pub(super) struct Words<'a> {
    pub ink: &'a str,
    pub ground: Option<&'a str>,
}

/// Dashes of a line on a piece that is no fold.
const LINE_DASHES: [f64; 2] = [0.1, 0.06];
/// Radius of the corners of a name's ground.
const GROUND_CORNERS: f64 = 0.06;

/// A sheet as it was laid out in a style, from the lowest up.
pub(super) fn drawn<'a>(
    record: &'a Record,
    sheet: &'a Sheet,
    laid: &SheetLayout<'a>,
    style: &Style,
    look: &Look<'a>,
) -> Vec<Item<'a>> {
    let mut items = filled(&whole(sheet, laid.whole), &look.paper, None);
    let lay = Affine::translate((style.at[0], style.at[1])) * Affine::scale(style.scale);
    if let Some((drawn, on_sheet, size)) = look.drawn {
        let outline = whole(sheet, laid.whole);
        items.push(drawn.on(&outline, lay * on_sheet, size));
        items.extend(filled(&outline, std::slice::from_ref(&look.veil), None));
    }
    let named = |label: &Option<Label>, words: Words<'a>| {
        label.iter().map(|label| name(label, words, style.names.room)).collect::<Vec<_>>()
    };
    for one in &laid.offcuts {
        let size = Size::inches(one.offcut.size[0], one.offcut.size[1]);
        let title = format!("keep {}, {}", one.offcut.id, size.show(record.shown_units()));
        let outline = Outline::Rectangle(one.part, 0.0);
        let mut offcut = filled(&outline, &look.offcut, Some(look.offcut_edge));
        offcut.extend(named(&one.label, look.offcut_names));
        items.push(Group::titled(&title, offcut).into());
    }
    for one in &laid.parts {
        let outline = Outline::Rectangle(one.part, 0.0);
        let mut part = filled(&outline, &look.part, Some(look.part_edge));
        part.extend(named(&one.label, look.part_names));
        items.push(Group::titled(&one.told, part).into());
    }
    items.extend(laid.pieces.iter().map(|laid| piece(record, laid, lay, look)));
    for label in laid.pieces.iter().filter_map(|piece| piece.label.as_ref()) {
        let words = if label.outside { look.names_beside } else { look.names };
        items.push(name(label, words, style.names.room));
    }
    let (edge, machine) = (vec![edge(sheet, laid.whole, look)], machine(sheet, laid, style, look));
    let last_two = if look.edge_over_machine { [machine, edge] } else { [edge, machine] };
    items.extend(last_two.into_iter().flatten());
    for cut in &laid.cuts {
        items.extend(look.cuts.iter().map(|line| Shape::line(cut.from, cut.to, *line).into()));
    }
    items.extend(laid.cuts.iter().flat_map(|cut| number(cut, look)));
    items
}

/// The outline of a sheet that is drawn in a rectangle: that rectangle, or what of it is paper.
fn whole(sheet: &Sheet, drawn: Rect) -> Outline {
    if sheet.outline.is_empty() {
        return Outline::Rectangle(drawn, 0.0);
    }
    let lay = Affine::translate(drawn.origin().to_vec2())
        * Affine::scale(drawn.width() / sheet.size[0].max(f64::MIN_POSITIVE));
    let mut path = BezPath::new();
    for ring in &sheet.outline {
        for (number, &[x, y]) in ring.iter().enumerate() {
            let at = lay * Point::new(x, y);
            if number == 0 { path.move_to(at) } else { path.line_to(at) }
        }
        path.close_path();
    }
    Outline::Path(path)
}

/// An outline with each of some paints, the lowest with a line along it.
fn filled<'a>(
    outline: &Outline,
    paints: &[Paint<'a>],
    stroke: Option<Stroke<'a>>,
) -> Vec<Item<'a>> {
    let shape = |fill: Option<&Paint<'a>>, stroke| {
        let (outline, fill) = (outline.clone(), fill.cloned());
        Item::from(Shape { fill, stroke, ..Shape::new(outline) })
    };
    let lowest = (stroke.is_some() || !paints.is_empty()).then(|| shape(paints.first(), stroke));
    lowest.into_iter().chain(paints.iter().skip(1).map(|paint| shape(Some(paint), None))).collect()
}

/// The edge of a sheet; of one that has to be bought, dashes on a pale band, so that they are seen on any
/// colour.
fn edge<'a>(sheet: &Sheet, whole: Rect, look: &Look<'a>) -> Item<'a> {
    if sheet.to_buy {
        edge_to_buy(whole, look.edge_to_buy)
    } else {
        Shape::new(self::whole(sheet, whole)).stroked(look.edge).into()
    }
}

/// The edge of a sheet that has to be bought.
pub(super) fn edge_to_buy<'a>(whole: Rect, lines: [Stroke<'a>; 2]) -> Item<'a> {
    let lines = lines.map(|line| Shape::rectangle(whole).stroked(line).into());
    Group { class: "to-buy", ..Group::titled("to buy", lines.to_vec()) }.into()
}

/// A piece; `lay` is how the sheet is drawn.
fn piece<'a>(record: &'a Record, laid: &LaidPiece<'a>, lay: Affine, look: &Look<'a>) -> Item<'a> {
    let [trimmer, machine, hand] = look.piece_edges;
    let edge = match laid.placed.tool {
        Tool::Machine => machine,
        Tool::Hand => hand,
        Tool::Trimmer => trimmer,
    };
    let outline = Outline::Path(laid.outline.clone());
    let mut items = filled(&outline, &look.piece, Some(edge));
    if let Some((drawn, whole, size)) = look.drawn {
        items.push(drawn.on(&outline, lay * whole, size));
        items.push(Shape::new(outline).stroked(edge).into());
    }
    if let Some(width) = look.lines {
        items.extend(laid.lines.iter().map(|(process, fold, line)| {
            let ink = record.inks.of(*process).as_str();
            let dashes = if fold.is_some() { dashes(*fold) } else { &LINE_DASHES };
            let stroke = Stroke::new(ink, width).dashed(dashes);
            Shape::path(line.clone()).stroked(stroke).into()
        }));
    }
    Group::titled(&laid.name, items).into()
}

/// A name on its ground; one that runs up the sheet is turned.
fn name<'a>(label: &Label, words: Words<'a>, room: f64) -> Item<'a> {
    let middle = Label { upright: true, center: Point::ORIGIN, ..label.clone() };
    let ground = middle.bounds().inflate(room, room / 2.0);
    let ground = words.ground.map(|paper| {
        let ground = Shape::new(Outline::Rectangle(ground, GROUND_CORNERS));
        ground.filled(Paint::Ink(paper, 1.0)).into()
    });
    let text = text(&label.text, Point::new(0.0, label.baseline()), label.size, words.ink);
    Group::laid(label.lay(), ground.into_iter().chain([text.into()]).collect()).into()
}

fn text<'a>(words: &str, at: Point, size: f64, ink: &'a str) -> Text<'a> {
    Text::new(words, at, size, ink).anchored(Anchor::Middle)
}

/// The part that goes to the machine, and the corner of the paper that lies in the corner of the mat.
fn machine<'a>(
    sheet: &Sheet,
    laid: &SheetLayout<'a>,
    style: &Style,
    look: &Look<'a>,
) -> Vec<Item<'a>> {
    let Some(part) = laid.machine else { return Vec::new() };
    let mut items = vec![Shape::rectangle(part).stroked(look.machine).into()];
    if let Some(size) = look.machine_words.filter(|_| part != laid.whole) {
        let when = match (sheet.loaded().after, sheet.cuts.len()) {
            (_, 0) => "machine".to_owned(),
            (0, _) => "machine first".to_owned(),
            (after, _) => format!("machine after cut {after}"),
        };
        let at = Point::new(part.x1 - 0.1, part.y1 - 0.1);
        let words = text(&when, at, size, look.machine.ink);
        items.push(words.anchored(Anchor::End).into());
    }
    let lay = Affine::translate((style.at[0], style.at[1])) * Affine::scale(style.scale);
    let corner = Shape::path(corner(sheet, lay, look.corner.0));
    let corner = corner.filled(Paint::Ink(look.corner.1, 1.0));
    items.push(Shape { class: "corner", ..corner }.into());
    items
}

/// The triangle in the corner of the loaded paper that goes to the mat's corner, with legs in inches of the
/// drawing; `lay` is where the sheet is drawn.
pub(super) fn corner(sheet: &Sheet, lay: Affine, legs: f64) -> BezPath {
    let drawn = lay * sheet.loaded().onto_sheet();
    let leg = legs / drawn.determinant().abs().sqrt().max(1e-9);
    let mut triangle = BezPath::new();
    triangle.move_to(drawn * Point::ORIGIN);
    triangle.line_to(drawn * Point::new(leg, 0.0));
    triangle.line_to(drawn * Point::new(0.0, leg));
    triangle.close_path();
    triangle
}

/// A cut's number in its disc, with a line to its cut where it stands beside it.
fn number<'a>(cut: &LaidCut, look: &Look<'a>) -> Vec<Item<'a>> {
    let leader = cut.points_to.map(|point| Shape::line(point, cut.disc, look.leader).into());
    let (paint, stroke) = look.disc.clone();
    let disc = Shape::new(Outline::Disc(Circle::new(cut.disc, cut.radius)));
    let (ink, [few, many]) = look.figures;
    let number = cut.number.to_string();
    let size = cut.radius * if number.len() > 2 { many } else { few };
    let at = Point::new(cut.disc.x, cut.disc.y + size * 0.36);
    let words = Text { bold: true, ..text(&number, at, size, ink) };
    leader.into_iter().chain([disc.filled(paint).stroked(stroke).into(), words.into()]).collect()
}
