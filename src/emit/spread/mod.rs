//! The spread as a picture: both pages side by side, at size, stacked as they will be glued.

mod finished;
pub(super) mod papers;
mod photo;

use std::sync::Arc;

use kurbo::{Affine, Circle, Point, Rect, Vec2};

use super::SmallCopies;
use super::drawing::{dashes, laying_rectangle, plain, readable};
use super::in_register::printed;
use super::pattern_places::of_piece;
use crate::draw::Anchor;
use crate::draw::display_list::{Group, Image, Item, Outline, Paint, Run, Shape, Stroke, Text};
use crate::draw::svg::{Letters, Means, Pictures, Svg};
use crate::geometry;
use crate::geometry::laying;
use crate::lettering::fonts::Font;
use crate::lettering::label::label_width;
use crate::model::length::narrow;
use crate::model::{PageName, Process};
use crate::record::{LineOnPiece, Photo, Piece, Print, Raised, Record, Strip};
use papers::Papers;

/// Room between the pages in inches: they are two sheets in an album, and each has its own edge.
const GUTTER: f64 = 0.14;
/// Table round the pages in inches.
const MARGIN: f64 = 0.5;
/// Type size of the pages' names in inches.
const PAGE_NAME: f64 = 0.24;
/// Copies that make a shadow: offset right and down in inches, and how dark. Light comes from the
/// top left; layered copies look alike in every viewer, which filters don't.
const SHADOW: [([f64; 2], f64); 3] =
    [([0.012, 0.016], 0.13), ([0.028, 0.04], 0.08), ([0.05, 0.075], 0.05)];
/// The same for what stands on foam: how far and how dark for each inch of its height. Foam of 1/8 in throws
/// a shadow about as far as it is high, and a soft one.
const RAISED: [(f64, f64); 6] =
    [(0.25, 0.07), (0.45, 0.06), (0.7, 0.05), (0.95, 0.04), (1.2, 0.03), (1.5, 0.02)];
const SHADE: &str = "#2e2418";
/// The light edge that cut paper shows.
const EDGE: Stroke<'static> = Stroke { opacity: 0.4, ..Stroke::new("#ffffff", 0.012) };
/// Radius of the ring round a thin place in inches, and its lines, the lower first.
const THIN_RING: f64 = 0.075;
const THIN: [Stroke<'static>; 2] = [Stroke::new("#ffffff", 0.035), Stroke::new("#c2185b", 0.016)];
/// Prefix of every id in this picture.
pub(super) const PREFIX: &str = "spread";

/// The spread of `record`.
///
/// `fonts` are those of [`Record::fonts`], in that order; strips whose font is missing stay blank.
/// `label_font` sets the names of photos and pages. Photos without a small copy are stand-ins. There is
/// no text element in the picture.
pub fn spread_svg(
    record: &Record,
    fonts: &[Arc<Font>],
    label_font: &Font,
    copies: &SmallCopies,
) -> Svg {
    pictured(record, fonts, label_font, copies, Letters::Shared)
}

/// The same for a page that draws it anew at each change.
pub fn spread_svg_for_page(
    record: &Record,
    fonts: &[Arc<Font>],
    label_font: &Font,
    copies: &SmallCopies,
) -> Svg {
    pictured(record, fonts, label_font, copies, Letters::Joined)
}

fn pictured(
    record: &Record,
    fonts: &[Arc<Font>],
    label_font: &Font,
    copies: &SmallCopies,
    letters: Letters,
) -> Svg {
    let label_fonts = label_font.with_its_stand_ins();
    let em = |text: &str| label_width(&label_fonts, &plain(text));
    let papers = Papers::new(record, Some(copies));
    let picture = Picture { record, copies, papers: &papers, em: &em };
    let [across, down] = Table::of(record.page, record.pages.len()).size;
    let table = Rect::new(0.0, 0.0, across, down);
    let ground = Shape::rectangle(table).filled(Paint::Ink("#e9e2d6", 1.0));
    let mut items = vec![Shape { class: "table", ..ground }.into()];
    items.extend(record.pages.iter().map(|name| picture.page(*name)));
    items.extend(on_pages(record).into_iter().map(|thing| picture.thing(thing)));
    let pictures = copies.addresses(record);
    let pictures = Pictures::Here(&pictures);
    let means = Means { prefix: PREFIX, label_font, fonts, pictures, letters };
    Svg::new(table).titled(&record.name).over(&items, means)
}

/// Rings round each place that is too thin to cut well, to lie over the spread, for those who look for
/// faults.
pub(super) fn thin_places(record: &Record) -> Vec<Item<'_>> {
    let pieces = record.drawn().filter(|piece| !piece.thin.is_empty());
    pieces.map(|piece| thin_places_of(record, piece)).collect()
}

/// What lies on the pages.
enum Thing<'a> {
    Piece(&'a Piece),
    Photo(usize, &'a Photo),
}

/// Pieces and photos from the lowest up.
fn on_pages(record: &Record) -> Vec<Thing<'_>> {
    let photos = record.photos.iter().enumerate();
    let photos = photos.map(|(number, photo)| Thing::Photo(number, photo));
    let mut things: Vec<Thing> = record.drawn().map(Thing::Piece).chain(photos).collect();
    things.sort_by_key(|thing| match thing {
        Thing::Piece(piece) => piece.order,
        Thing::Photo(_, photo) => photo.order,
    });
    things
}

struct Picture<'a> {
    record: &'a Record,
    copies: &'a SmallCopies,
    papers: &'a Papers<'a>,
    /// The width of a text at a type size of 1.
    em: &'a dyn Fn(&str) -> f64,
}

impl<'a> Picture<'a> {
    fn page(&self, name: PageName) -> Item<'a> {
        let ([left, top], [width, height]) = (corner(self.record, name), self.record.page);
        let page = Rect::new(left, top, left + width, top + height);
        let mut items = shadow(
            &Outline::Rectangle(page - Vec2::new(left, top), 0.0),
            Affine::translate((left, top)),
        );
        items.push(Shape::rectangle(page).filled(Paint::Ink("#fdfcf8", 1.0)).into());
        let below = (page.center().x, page.y1 + 0.34);
        let words = Text::new(name.name(), below, PAGE_NAME, "#6d6253").anchored(Anchor::Middle);
        let words = Text { class: "page-name", ..words };
        items.push(words.into());
        Group::new(items).into()
    }

    fn thing(&self, thing: Thing<'a>) -> Item<'a> {
        match thing {
            Thing::Piece(piece) => self.piece(piece),
            Thing::Photo(number, photo) => self.photo(number, photo),
        }
    }

    fn piece(&self, piece: &'a Piece) -> Item<'a> {
        let [x, y] = corner(self.record, piece.page);
        let seen = Arc::new(piece.seen());
        let place = laying(&seen, piece.turn, [x + piece.at[0], y + piece.at[1]]);
        let outline = Outline::Shared(Arc::clone(&seen));
        let on_paper = match piece.finished() {
            Some(finished) => vec![self.finished(piece, finished, &seen)],
            None => self.flat(piece, &outline),
        };
        let mut items = shadow_of(&outline, place, piece.raised.as_ref());
        items.push(Group::laid(place, on_paper).into());
        let title = format!("{}: {} of {}", piece.id, piece.kind, piece.paper);
        Group::titled(&title, items).into()
    }

    /// A flat piece with what is printed, drawn and written on it, in its own coordinates.
    fn flat(&self, piece: &'a Piece, outline: &Outline) -> Vec<Item<'a>> {
        let mut items = self.paper(piece, outline);
        if self.papers.drawn(&piece.paper).is_some() {
            items.push(Shape::new(outline.clone()).stroked(EDGE).into());
        } else if let Some(Item::Shape(paper)) = items.first_mut() {
            paper.stroke = Some(EDGE);
        }
        items.extend(piece.print.iter().map(|print| self.print(print, outline.clone())));
        items.extend(piece.lines.iter().filter_map(|line| drawn(line, self.record)));
        let strip = self.record.strips.iter().find(|strip| strip.id == piece.id);
        items.extend(strip.map(story));
        items
    }

    /// The paper of an outline in a piece's own coordinates: its colour, and its pattern if it has one, that
    /// part of it which the piece takes along from its sheet.
    fn paper(&self, piece: &Piece, outline: &Outline) -> Vec<Item<'a>> {
        let mut items = self.plain_paper(&piece.paper, outline);
        items.extend(self.papers.drawn(&piece.paper).map(|drawn| {
            let (on_sheet, whole) =
                of_piece(self.record, piece).unwrap_or((Affine::IDENTITY, piece.size));
            drawn.on(outline, on_sheet.inverse(), whole)
        }));
        items
    }

    /// Paper of an outline as it is wherever it lies on its sheet.
    fn plain_paper(&self, name: &str, outline: &Outline) -> Vec<Item<'a>> {
        let pattern = self.papers.pattern(name).map(Paint::Pattern);
        let paints =
            std::iter::once(Paint::Ink(self.papers.color(name).as_str(), 1.0)).chain(pattern);
        paints.map(|paint| Shape::new(outline.clone()).filled(paint).into()).collect()
    }

    /// What is printed on a piece of an outline.
    fn print(&self, print: &'a Print, outline: Outline) -> Item<'a> {
        let picture = print.picture.as_ref().and_then(|shown| {
            let number = self.record.photos.len() + self.copies.printed(&shown.picture)?;
            Some(Image::filling(number, shown.area.into()))
        });
        let items = printed(print, picture);
        Group { clip: Some(outline), printed: true, ..Group::new(items) }.into()
    }

    fn photo(&self, number: usize, photo: &'a Photo) -> Item<'a> {
        let [x, y] = corner(self.record, photo.page);
        let [width, height] = photo.size;
        let place = laying_rectangle(photo.size, photo.turn, [x + photo.at[0], y + photo.at[1]]);
        let outline = Outline::Rectangle(Rect::new(0.0, 0.0, width, height), 0.0);
        let print = Shape::new(outline.clone()).filled(Paint::Ink("#fffefb", 1.0));
        let mut on_paper = vec![print.stroked(EDGE).into()];
        match self.copies.get(&photo.id) {
            Some(_) => on_paper.push(Image::filling(number, photo.field().into()).into()),
            None => {
                let units = self.record.shown_units();
                on_paper.extend(photo::stand_in(photo, number, units, self.em));
            }
        }
        let mut items = shadow_of(&outline, place, photo.raised.as_ref());
        items.push(Group::laid(place, on_paper).into());
        Group::titled(&format!("photo {}", photo.name), items).into()
    }
}

/// The words of a strip in the strip's own coordinates.
fn story(strip: &Strip) -> Item<'_> {
    let ground =
        Shape::rectangle(Rect::from_origin_size(Point::ORIGIN, (strip.size[0], strip.size[1])));
    let colors = strip.ground.iter();
    let grounds = colors.map(|color| ground.clone().filled(Paint::Ink(color.as_str(), 1.0)).into());
    let mut items: Vec<Item<'_>> = grounds.collect();
    let (at, size) = (Point::new(0.0, strip.baseline), strip.type_size / 72.0);
    items
        .extend(strip.runs.iter().map(|run| Run { run, at, size, ink: strip.ink.as_str() }.into()));
    Group { printed: true, ..Group::new(items) }.into()
}

/// The shadow of what is laid on a page.
fn shadow<'a>(outline: &Outline, place: Affine) -> Vec<Item<'a>> {
    let copies = SHADOW.map(|(away, dark)| {
        let copy = Shape::new(outline.clone()).filled(Paint::Ink(SHADE, dark));
        Group::laid(Affine::translate(Vec2::new(away[0], away[1])) * place, vec![copy.into()])
            .into()
    });
    copies.into()
}

/// The shadow of what stands on foam, larger and softer.
fn raised_shadow<'a>(outline: &Outline, place: Affine, raised: &Raised) -> Vec<Item<'a>> {
    let copies = RAISED.map(|(away, dark)| {
        let away = Vec2::new(0.8, 1.0) * (raised.height.clamp(0.0, 0.5) * away);
        let copy = Shape::new(outline.clone()).filled(Paint::Ink(SHADE, dark));
        Group::laid(Affine::translate(away) * place, vec![copy.into()]).into()
    });
    copies.into_iter().chain(shadow(outline, place)).collect()
}

/// The shadow of a piece or photo.
fn shadow_of<'a>(outline: &Outline, place: Affine, raised: Option<&Raised>) -> Vec<Item<'a>> {
    match raised {
        Some(raised) => raised_shadow(outline, place, raised),
        None => shadow(outline, place),
    }
}

/// Where a page's top left lies in the picture.
fn corner(record: &Record, page: PageName) -> [f64; 2] {
    let place = record.pages.iter().position(|name| *name == page).unwrap_or(0);
    corner_of(record.page, place)
}

fn corner_of(page: [f64; 2], place: usize) -> [f64; 2] {
    [MARGIN + steps(place) * (page[0] + GUTTER), MARGIN]
}

/// The table on which the pages lie, in inches.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Its size, which is that of the picture.
    pub size: [f64; 2],
    /// The top left of each page on it.
    pub corners: Vec<[f64; 2]>,
}

impl Table {
    /// The table under pages of a size.
    pub fn of(page: [f64; 2], pages: usize) -> Self {
        let pages = pages.max(1);
        let across = steps(pages) * page[0] + steps(pages - 1) * GUTTER + 2.0 * MARGIN;
        let corners = (0..pages).map(|place| corner_of(page, place)).collect();
        Self { size: [across, page[1] + 2.0 * MARGIN], corners }
    }
}

/// A ring round each place of a piece that is too thin to cut well.
fn thin_places_of<'a>(record: &Record, piece: &Piece) -> Item<'a> {
    let [x, y] = corner(record, piece.page);
    let place = laying(&piece.curves(), piece.turn, [x + piece.at[0], y + piece.at[1]]);
    let rings = piece.thin.iter().map(|thin| {
        let ring = Circle::new(place * geometry::point(thin.at), THIN_RING);
        let ring = THIN.map(|line| Shape::new(Outline::Disc(ring)).stroked(line).into());
        let width = narrow(thin.width, record.shown_units());
        Group::titled(&format!("{}: {width} wide here", piece.id), ring.into()).into()
    });
    Group { class: "thin", ..Group::new(rings.collect()) }.into()
}

/// A line on a piece as it is drawn, scored or perforated.
fn drawn<'a>(on: &LineOnPiece, record: &'a Record) -> Option<Item<'a>> {
    let (width, dashes) = match on.process {
        Process::Pen | Process::Register | Process::Cut => (0.03, [].as_slice()),
        Process::Perforate => (0.02, [0.02, 0.07].as_slice()),
        Process::Score => (0.02, dashes(on.fold)),
    };
    let line = Stroke::new(record.inks.of(on.process).as_str(), width).dashed(dashes);
    Some(Shape::path(readable(&on.path)?).stroked(Stroke { round: true, ..line }).into())
}

/// A small count as a factor.
fn steps(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}
