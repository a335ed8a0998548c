//! The paper on hand as a picture: every sheet and offcut to one scale, in its colour, the newest offcut
//! first.

use std::sync::Arc;

use kurbo::{Affine, BezPath, Point, Rect};
use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::drawing::{is_printable, legible_on, plain};
use super::spread::papers::pattern;
use super::stock_pictures::PaperPictures;
use crate::draw::Anchor;
use crate::draw::display_list::{
    Group, Image, Item, Outline, Paint, Pattern, Shape as Drawn, Stroke, Text,
};
use crate::draw::html::inline;
use crate::draw::patterns::DrawnPattern;
use crate::draw::svg::{Means, Pictures, Svg};
use crate::lettering::fonts::Font;
use crate::lettering::label::label_width;
use crate::model::length::Length;
use crate::model::{Color, PictureFill};
use crate::stock::{PaperKind, Shape, Shelf, StockPaper};

/// Width of a picture on the table, in inches.
const WIDTH: f64 = 84.0;
/// Room between things, in inches.
const GAP: f64 = 2.0;
/// Type sizes in inches on the table: of names and of what stands below them.
const LARGE: f64 = 1.3;
const SMALL: f64 = 0.98;
/// Height of a line of small type.
const LINE: f64 = 1.25;
/// How far sheets of a pile lie apart, and how many of them are drawn at most.
const PILE: f64 = 0.3;
const MOST_IN_PILE: u32 = 6;
/// Paper of which no colour is known.
const UNKNOWN: Color = Color::new([0xd8, 0xd2, 0xc6]);
/// Inks: of edges, names, what stands below them, what is reserved.
const EDGE: &str = "#8a7f70";
const INK: &str = "#2f2a24";
const SOFT: &str = "#6d6253";
const RESERVED: &str = "#b5541c";

/// The look of the page.
const STYLE: &str = "\
body { margin: 0; background: #f4efe6; color: #2f2a24; \
font: 1rem/1.55 ui-rounded, Seravek, Ubuntu, Calibri, system-ui, sans-serif; }\n\
main { max-width: 84rem; margin: auto; padding: 1.5rem clamp(1rem, 3vw, 2.5rem); }\n\
h1, h2 { font-family: Palatino, P052, Georgia, serif; font-weight: 600; line-height: 1.15; }\n\
h1 { font-size: 2.4rem; margin: 0; }\n\
.lead { color: #6d6253; font-size: 1.1rem; margin: .3rem 0 1.4rem; }\n\
.card { background: #fffdf8; border-radius: 6px; padding: 1rem; margin: 0 0 1.6rem; \
box-shadow: 0 1px 2px rgb(60 45 25 / .10), 0 6px 18px rgb(60 45 25 / .08); }\n\
.card svg { display: block; width: 100%; height: auto; }\n\
.notes { border-left: 6px solid #d9a441; background: #fbf0dc; }\n\
.notes p { margin: .2rem 0; }\n\
@media print { body { background: none; } .card { box-shadow: none; break-inside: avoid; } }\n";

/// The paper on hand as one HTML file that opens from disk; `label_font` sets the words in the pictures, and
/// `notes` are told above them.
pub fn stock_html(
    shelf: &Shelf,
    pictures: &PaperPictures,
    label_font: &Font,
    notes: &[String],
) -> String {
    let stock = shelf.stock();
    let sheets: u64 = stock
        .papers
        .iter()
        .flat_map(|paper| &paper.sheets)
        .map(|sheets| u64::from(sheets.count))
        .sum();
    let lead = format!(
        "{}, {}. Everything here is drawn to one scale.",
        counted(sheets, "sheet"),
        counted(u64::try_from(stock.offcuts.len()).unwrap_or(0), "offcut")
    );
    let looks = Looks::of(shelf, pictures);
    let offcuts = offcuts(shelf);
    let addresses = pictures.addresses();
    let section = |heading: &str, things: Vec<Thing>, prefix: &str| -> Markup {
        let drawn = drawn(
            &things,
            &looks,
            heading,
            Means { pictures: Pictures::Here(&addresses), ..Means::lettered(prefix, label_font) },
        );
        html! {
            @if !things.is_empty() {
                h2 { (heading) }
                div class="card" { (inline(&drawn, heading, 1.0)) }
            }
        }
    };
    let page = html! {
        (DOCTYPE) "\n"
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "Paper on hand" }
                style { (PreEscaped(STYLE)) }
            }
            body {
                main {
                    h1 { "Paper on hand" }
                    p class="lead" { (lead) }
                    @if !notes.is_empty() {
                        div class="card notes" { @for note in notes { p { (note.replace('`', "")) } } }
                    }
                    (section("Offcuts, the newest first", offcuts, "offcuts"))
                    (section("Sheets", piles(shelf), "sheets"))
                }
            }
        }
        "\n"
    };
    page.into_string().replace(|letter| letter != '\n' && !is_printable(letter), " ")
}

/// Something on the table, with what stands below it.
struct Thing {
    /// Its outline, from 0, 0.
    outline: BezPath,
    /// How many lie on each other.
    pile: u32,
    size: [f64; 2],
    look: usize,
    /// What is written on it, where there is room.
    label: String,
    /// Where there is most room on it, and how wide that is.
    room: (Point, [f64; 2]),
    name: String,
    lines: Vec<String>,
    is_reserved: bool,
}

/// How a paper looks.
#[derive(Default)]
struct Look<'a> {
    color: Color,
    /// The place of its picture, and the size in inches that this shows.
    picture: Option<(usize, [f64; 2])>,
    /// What lies over its colour where it has no picture.
    pattern: Option<Arc<Pattern<'a>>>,
    /// The same, true to scale, where it is told what it is.
    drawn: Option<DrawnPattern>,
}

/// How the papers of a stock look, by place; the last is that of a paper that isn't listed.
struct Looks<'a>(Vec<Look<'a>>);

impl<'a> Looks<'a> {
    fn of(shelf: &Shelf, pictures: &PaperPictures) -> Self {
        let look = |(place, paper): (usize, &StockPaper)| {
            let (color, picture) = (paper.color.unwrap_or(UNKNOWN), pictures.place(&paper.name));
            let patterned = paper.pattern.is_some() || paper.kind == PaperKind::Patterned;
            let drawn = match (picture, &paper.picture_size) {
                (Some((number, size)), Some(_)) => {
                    let fill = paper.picture_fill.unwrap_or(PictureFill::Repeat);
                    Some(DrawnPattern::picture(number, size, fill))
                }
                (Some(_), None) => None,
                (None, _) => paper.drawn.as_ref().map(|pattern| DrawnPattern::new(pattern, color)),
            };
            // Of a known size it is drawn like a pattern.
            let picture = picture.filter(|_| drawn.is_none());
            let pattern = (patterned && picture.is_none() && drawn.is_none())
                .then(|| Arc::new(pattern(format!("paper-{place}"), place, &color)));
            Look { color, picture, pattern, drawn }
        };
        let papers = shelf.stock().papers.iter().enumerate().map(look);
        Self(papers.chain([Look { color: UNKNOWN, ..Look::default() }]).collect())
    }
}

fn look(shelf: &Shelf, paper: &str) -> usize {
    let papers = &shelf.stock().papers;
    papers.iter().position(|known| known.name == paper).unwrap_or(papers.len())
}

/// What a paper is besides its colour.
fn about(paper: &StockPaper) -> Option<String> {
    paper.pattern.clone().or_else(|| paper.picture.clone())
}

fn offcuts(shelf: &Shelf) -> Vec<Thing> {
    let (stock, units) = (shelf.stock(), shelf.stock().units);
    let thing = |offcut: &&crate::stock::Offcut| {
        let shape = &offcut.shape;
        let reserved = shelf.on_hand().reserved_offcut(&offcut.label);
        let mut lines = vec![offcut.paper.clone(), shape.bounds().show(units)];
        if !offcut.from.is_empty() {
            lines.push(format!("from {}", offcut.from));
        }
        lines.extend(reserved.iter().map(|spec| format!("reserved for {spec}")));
        Thing {
            outline: outline(shape),
            pile: 1,
            size: shape.bounds().to_inches(),
            look: look(shelf, &offcut.paper),
            label: offcut.label.clone(),
            room: room(shape),
            name: offcut.label.clone(),
            lines,
            is_reserved: !reserved.is_empty(),
        }
    };
    stock.oldest_first().iter().rev().map(thing).collect()
}

fn piles(shelf: &Shelf) -> Vec<Thing> {
    let units = shelf.stock().units;
    let mut things = Vec::new();
    for paper in &shelf.stock().papers {
        for sheets in paper.sheets.iter().filter(|sheets| sheets.count > 0) {
            let reserved = shelf.on_hand().reserved_sheets(&paper.name, sheets.size);
            let mut lines =
                vec![sheets.size.show(units), counted(u64::from(sheets.count), "sheet")];
            lines.extend(about(paper));
            if reserved > 0 {
                lines.push(format!("{reserved} reserved"));
            }
            let shape = Shape::rectangle(sheets.size);
            things.push(Thing {
                outline: outline(&shape),
                pile: sheets.count.min(MOST_IN_PILE),
                size: sheets.size.to_inches(),
                look: look(shelf, &paper.name),
                label: sheets.count.to_string(),
                room: room(&shape),
                name: paper.name.clone(),
                lines,
                is_reserved: reserved > 0,
            });
        }
    }
    things
}

fn outline(shape: &Shape) -> BezPath {
    let mut path = BezPath::new();
    for ring in shape.rings() {
        for (at, corner) in ring.iter().enumerate() {
            let [x, y] = corner.map(Length::to_inches);
            if at == 0 { path.move_to((x, y)) } else { path.line_to((x, y)) }
        }
        path.close_path();
    }
    path
}

/// The middle of the largest rectangle in a shape, and its size.
fn room(shape: &Shape) -> (Point, [f64; 2]) {
    let rooms = shape.largest_rectangles().into_iter();
    let largest = rooms.max_by(|one, other| one.1.area().total_cmp(&other.1.area()));
    let ([x, y], size) = largest.unwrap_or_default();
    let [width, height] = size.to_inches();
    let middle = Point::new(x.to_inches() + width / 2.0, y.to_inches() + height / 2.0);
    (middle, [width, height])
}

/// Things side by side, row below row, to one scale.
fn drawn(things: &[Thing], looks: &Looks<'_>, told: &str, means: Means<'_>) -> Svg {
    let fonts = means.label_font.with_its_stand_ins();
    let em = |text: &str| label_width(&fonts, &plain(text));
    let mut items: Vec<Item<'_>> = Vec::new();
    let (mut left, mut top, mut row) = (GAP, GAP, Vec::new());
    let mut bottom = top;
    for thing in things {
        let words = thing.lines.iter().map(|line| em(line) * SMALL);
        let words = words.fold(em(&thing.name) * LARGE, f64::max);
        let [width, height] = spread_out(thing);
        let cell = width.max(words);
        if left + cell + GAP > WIDTH && !row.is_empty() {
            bottom = set(&mut items, looks, &row, top, &em);
            (top, left) = (bottom + GAP, GAP);
            row.clear();
        }
        row.push((thing, left, height));
        left += cell + GAP;
    }
    if !row.is_empty() {
        bottom = set(&mut items, looks, &row, top, &em);
    }
    Svg::new(Rect::new(0.0, 0.0, WIDTH, bottom + GAP)).titled(told).over(&items, means)
}

/// The size of a thing with all sheets of its pile that are drawn.
fn spread_out(thing: &Thing) -> [f64; 2] {
    let more = f64::from(thing.pile.saturating_sub(1)) * PILE;
    thing.size.map(|side| side + more)
}

/// Sets a row: things stand on one line, with their words below; where the row ends.
fn set<'a>(
    items: &mut Vec<Item<'a>>,
    looks: &'a Looks<'_>,
    row: &[(&'a Thing, f64, f64)],
    top: f64,
    em: &dyn Fn(&str) -> f64,
) -> f64 {
    let tallest = row.iter().map(|(_, _, height)| *height).fold(0.0, f64::max);
    let line = top + tallest;
    let mut bottom = line;
    for (thing, left, height) in row {
        let mut group = Vec::new();
        let Some(look) = looks.0.get(thing.look) else { continue };
        for number in (0..thing.pile).rev() {
            let shift = f64::from(number) * PILE;
            let at = Point::new(left + shift, line - height + shift);
            group.extend(sheet(thing, look, at, number == 0));
        }
        let (middle, [width, height_of_room]) = thing.room;
        let size = LARGE.min(height_of_room * 0.6);
        if em(&thing.label) * size < width * 0.75 && size > SMALL * 0.7 {
            let at = Point::new(left + middle.x, line - height + middle.y + size * 0.35);
            let ink = match look.picture.is_some() || look.drawn.is_some() {
                // On a picture or a pattern a name has a ground of its own.
                true => {
                    group.push(ground(at, [em(&thing.label) * size, size]));
                    INK
                }
                false => legible_on(look.color),
            };
            group.push(words(&thing.label, at, Anchor::Middle, size, ink));
        }
        let mut below = line + LARGE * 1.15;
        let mut say = |text: &str, size, ink| {
            group.push(words(text, Point::new(*left, below), Anchor::Start, size, ink));
            below += LINE;
        };
        say(&thing.name, LARGE, INK);
        for line in &thing.lines {
            let is_reserved = thing.is_reserved && line.contains("reserved");
            say(line, SMALL, if is_reserved { RESERVED } else { SOFT });
        }
        bottom = f64::max(bottom, below);
        let told = format!("{}: {}", thing.name, thing.lines.join(", "));
        items.push(Group::titled(&plain(&told), group).into());
    }
    bottom
}

/// A sheet or offcut whose top left lies at a place; a picture and a pattern lie on it as on a whole sheet.
fn sheet<'a>(thing: &Thing, look: &'a Look<'_>, at: Point, is_upper: bool) -> Vec<Item<'a>> {
    let edge = match thing.is_reserved && is_upper {
        true => Stroke::new(RESERVED, 0.22).dashed(&[0.7, 0.45]),
        false => Stroke::new(EDGE, 0.08),
    };
    let outline = Affine::translate(at.to_vec2()) * &thing.outline;
    let fill = Paint::Ink(look.color.as_str(), 1.0);
    let mut items: Vec<Item<'a>> = vec![Drawn::path(outline.clone()).filled(fill).into()];
    if let Some(pattern) = &look.pattern {
        items.push(Drawn::path(outline.clone()).filled(Paint::Pattern(pattern.clone())).into());
    }
    if let Some(drawn) = look.drawn.as_ref().filter(|_| is_upper) {
        items.push(drawn.on(
            &Outline::Path(outline.clone()),
            Affine::translate(at.to_vec2()),
            thing.size,
        ));
    }
    if let (Some((number, whole)), true) = (look.picture, is_upper) {
        // Of an offcut that is larger than the sheet shown, the picture grows with it.
        let grown = [0, 1].map(|axis| thing.size[axis] / whole[axis]);
        let grown = grown.into_iter().fold(1.0, f64::max);
        let [width, height] = whole.map(|side| side * grown);
        let field = Rect::from_origin_size(at, (width, height));
        let image = Item::Image(Image::filling(number, field));
        let clip = Some(Outline::Path(outline.clone()));
        items.push(Group { clip, ..Group::new(vec![image]) }.into());
    }
    items.push(Drawn::path(outline).stroked(edge).into());
    items
}

/// What a name of some width and type size is written on, its middle on the baseline at a place.
fn ground<'a>(at: Point, [width, size]: [f64; 2]) -> Item<'a> {
    let middle = Point::new(at.x, at.y - size * 0.35);
    let field = Rect::from_center_size(middle, (width + size * 0.9, size * 1.5));
    let rounded = Drawn::new(Outline::Rectangle(field, size * 0.3));
    rounded.filled(Paint::Ink("#fffdf8", 0.86)).into()
}

fn words<'a>(text: &str, at: Point, anchor: Anchor, size: f64, ink: &'a str) -> Item<'a> {
    Text::new(text, at, size, ink).anchored(anchor).into()
}

fn counted(count: u64, one: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") }
}
