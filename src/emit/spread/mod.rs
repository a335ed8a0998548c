//! The spread as a picture: both pages side by side, at size, stacked as they will be glued.

mod folded;
pub(super) mod papers;
mod photo;
mod print;

use std::sync::Arc;

use kurbo::{Affine, BezPath};
use svg::node::element::{Circle, Definitions, Group, Path, Title, Use};

use super::SmallCopies;
use super::drawing::{
    area, color, dashes, data, fixed, laying_rectangle, matrix, moved, plain, printed, readable,
};
use crate::draw::Anchor;
use crate::draw::attributes;
use crate::draw::lettering::Lettering;
use crate::draw::svg::Svg;
use crate::geometry::{laying, rectangle};
use crate::lettering::fonts::Font;
use crate::model::length::{Units, narrow};
use crate::model::{PageName, Process};
use crate::record::{Area, LineOnPiece, Photo, Piece, Record, Strip};
use papers::Papers;

/// Room between the pages in inches: they are two sheets in an album, and each has its own edge.
const GUTTER: f64 = 0.14;
/// Table round the pages in inches.
const MARGIN: f64 = 0.5;
/// Type size of the pages' names in inches.
const PAGE_NAME: f64 = 0.24;
/// Copies that make a shadow: offset right and down in inches, and how dark. Light comes from the
/// top left; layered copies look alike in every viewer, which filters don't.
const SHADOW: [([f64; 2], &str); 3] =
    [([0.012, 0.016], "0.13"), ([0.028, 0.04], "0.08"), ([0.05, 0.075], "0.05")];
/// Radius of the ring round a thin place in inches.
const THIN_RING: &str = "0.075";
/// Prefix of every id in this picture.
const PREFIX: &str = "spread";

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
    let mut picture = Picture {
        record,
        fonts,
        copies,
        papers: Papers::new(record, PREFIX),
        lettering: Lettering::new(PREFIX, label_font),
        shapes: Definitions::new(),
        defined: Vec::new(),
        units: record.shown_units(),
    };
    let pages = record.pages.len().max(1);
    let across = steps(pages) * record.page[0] + steps(pages - 1) * GUTTER + 2.0 * MARGIN;
    let table = Area { at: [0.0, 0.0], size: [across, record.page[1] + 2.0 * MARGIN] };
    let mut body = Group::new().add(area(&table).set("class", "table").set("fill", "#e9e2d6"));
    for (place, name) in record.pages.iter().enumerate() {
        body = body.add(picture.page(place, *name));
    }
    for item in items(record) {
        body = body.add(picture.item(&item));
    }
    Svg::new(table.at, table.size)
        .with(&Title::new(plain(&record.name)))
        .with(&picture.definitions())
        .with(&body)
}

/// Rings round each place that is too thin to cut well, to lie over the spread, for those who look for
/// faults.
pub fn thin_places(record: &Record) -> impl Iterator<Item = Group> {
    let pieces = record.pieces.iter().filter(|piece| !piece.thin.is_empty());
    pieces.map(|piece| thin_places_of(record, piece))
}

/// What lies on the pages.
enum Item<'a> {
    Piece(usize, &'a Piece),
    Photo(usize, &'a Photo),
}

/// Pieces and photos from the lowest up.
fn items(record: &Record) -> Vec<Item<'_>> {
    let pieces = record.pieces.iter().enumerate();
    let photos = record.photos.iter().enumerate();
    let mut items: Vec<Item> = pieces.map(|(number, piece)| Item::Piece(number, piece)).collect();
    items.extend(photos.map(|(number, photo)| Item::Photo(number, photo)));
    items.sort_by_key(|item| match item {
        Item::Piece(_, piece) => piece.order,
        Item::Photo(_, photo) => photo.order,
    });
    items
}

struct Picture<'a> {
    record: &'a Record,
    fonts: &'a [Arc<Font>],
    copies: &'a SmallCopies,
    papers: Papers<'a>,
    lettering: Lettering<'a>,
    shapes: Definitions,
    /// Pictures printed on pieces that are among the definitions.
    defined: Vec<usize>,
    units: Units,
}

impl Picture<'_> {
    fn definitions(&mut self) -> Definitions {
        let papers: Vec<&str> =
            self.record.pieces.iter().map(|piece| piece.paper.as_str()).collect();
        let shapes = std::mem::replace(&mut self.shapes, Definitions::new());
        self.lettering.define(self.papers.define(shapes, &papers))
    }

    fn corner(&self, page: PageName) -> [f64; 2] {
        corner(self.record, page)
    }

    fn page(&mut self, place: usize, name: PageName) -> Group {
        let at = self.corner(name);
        let shape = format!("{PREFIX}-page-{place}");
        let size = self.record.page;
        let below = [at[0] + size[0] / 2.0, at[1] + size[1] + 0.34];
        let words = self.lettering.words(name.name(), below, PAGE_NAME, Anchor::Middle);
        self.cast(&shape, &rectangle(size[0], size[1]), Affine::translate((at[0], at[1])))
            .add(area(&Area { at, size }).set("fill", "#fdfcf8"))
            .add(words.set("class", "page-name").set("fill", "#6d6253"))
    }

    fn item(&mut self, item: &Item) -> Group {
        match item {
            Item::Piece(number, piece) => match &piece.folded {
                Some(folded) => self.folded(*number, piece, folded),
                None => self.piece(*number, piece),
            },
            Item::Photo(number, photo) => self.photo(*number, photo),
        }
    }

    fn piece(&mut self, number: usize, piece: &Piece) -> Group {
        let [x, y] = self.corner(piece.page);
        let outline = piece.curves();
        let place = laying(&outline, piece.turn, [x + piece.at[0], y + piece.at[1]]);
        let shape = format!("{PREFIX}-piece-{number}");
        let paper = || used(&shape).set("fill-rule", "evenodd");
        let mut on_paper =
            moved(place).add(edged(paper().set("fill", self.papers.color(&piece.paper))));
        if let Some(pattern) = self.papers.pattern_name(&piece.paper) {
            on_paper = on_paper.add(paper().set("fill", format!("url(#{pattern})")));
        }
        if let Some(print) = &piece.print {
            on_paper = on_paper.add(self.print(number, print, &shape));
        }
        for line in &piece.lines {
            if let Some(path) = readable(&line.path) {
                on_paper = on_paper.add(drawn(&path, line, self.record));
            }
        }
        if let Some(strip) = self.record.strips.iter().find(|strip| strip.id == piece.id) {
            on_paper = on_paper.add(self.story(strip));
        }
        let title = format!("{}: {} of {}", piece.id, piece.kind, piece.paper);
        self.cast(&shape, &outline, place).add(on_paper).add(Title::new(plain(&title)))
    }

    fn photo(&mut self, number: usize, photo: &Photo) -> Group {
        let [x, y] = self.corner(photo.page);
        let place = laying_rectangle(photo.size, photo.turn, [x + photo.at[0], y + photo.at[1]]);
        let shape = format!("{PREFIX}-photo-{number}");
        let print = edged(used(&shape).set("fill", "#fffefb"));
        let field = match self.copies.get(&photo.id) {
            Some(copy) => {
                let id = picture_id(number);
                let image = photo::picture(photo, copy).set("id", id.as_str());
                self.shapes = std::mem::replace(&mut self.shapes, Definitions::new()).add(image);
                Group::new().add(used(&id))
            }
            None => photo::stand_in(photo, number, self.units, &mut self.lettering),
        };
        let title = format!("photo {}", photo.name);
        self.cast(&shape, &rectangle(photo.size[0], photo.size[1]), place)
            .add(moved(place).add(print).add(field))
            .add(Title::new(plain(&title)))
    }

    /// The words of a strip in the strip's own coordinates.
    fn story(&mut self, strip: &Strip) -> Group {
        let size = strip.type_size / 72.0;
        let mut group = printed(Group::new().set("fill", color(&strip.ink)));
        if !strip.ground.is_empty() {
            let ground = area(&Area { at: [0.0, 0.0], size: strip.size });
            group = group.add(ground.set("fill", color(&strip.ground)));
        }
        for run in &strip.runs {
            group = group.add(self.lettering.run(run, self.fonts, [0.0, strip.baseline], size));
        }
        group
    }

    /// Defines `shape` and begins a group with its shadow.
    fn cast(&mut self, shape: &str, outline: &BezPath, place: Affine) -> Group {
        let path = Path::new().set("id", shape).set("d", data(outline));
        self.shapes = std::mem::replace(&mut self.shapes, Definitions::new()).add(path);
        let mut group = Group::new();
        for ([right, down], dark) in SHADOW {
            let shadow = used(shape)
                .set("transform", matrix(Affine::translate((right, down)) * place))
                .set("fill", "#2e2418")
                .set("fill-opacity", dark)
                .set("fill-rule", "evenodd");
            group = group.add(shadow);
        }
        group
    }
}

/// Where a page's top left lies in the picture.
fn corner(record: &Record, page: PageName) -> [f64; 2] {
    let place = record.pages.iter().position(|name| *name == page).unwrap_or(0);
    [MARGIN + steps(place) * (record.page[0] + GUTTER), MARGIN]
}

/// A ring round each place of a piece that is too thin to cut well.
fn thin_places_of(record: &Record, piece: &Piece) -> Group {
    let [x, y] = corner(record, piece.page);
    let place = laying(&piece.curves(), piece.turn, [x + piece.at[0], y + piece.at[1]]);
    let mut group = Group::new().set("class", "thin").set("fill", "none");
    for thin in &piece.thin {
        let at = place * kurbo::Point::new(thin.at[0], thin.at[1]);
        let ring =
            || Circle::new().set("cx", fixed(at.x)).set("cy", fixed(at.y)).set("r", THIN_RING);
        let width = narrow(thin.width, record.shown_units());
        let title = format!("{}: {width} wide here", piece.id);
        group = group.add(
            Group::new()
                .add(Title::new(plain(&title)))
                .add(ring().set("stroke", "#ffffff").set("stroke-width", "0.035"))
                .add(ring().set("stroke", "#c2185b").set("stroke-width", "0.016")),
        );
    }
    group
}

/// The id of a photo's picture, by the photo's place in the record. It lies with the print's top left
/// corner at the origin.
pub(super) fn picture_id(number: usize) -> String {
    format!("{PREFIX}-picture-{number}")
}

fn used(shape: &str) -> Use {
    Use::new().set("href", format!("#{shape}"))
}

/// The light edge that cut paper shows.
fn edged(shape: Use) -> Use {
    shape.set("stroke", "#ffffff").set("stroke-opacity", "0.4").set("stroke-width", "0.012")
}

fn drawn(path: &BezPath, on: &LineOnPiece, record: &Record) -> Path {
    let line = Path::new()
        .set("d", data(path))
        .set("fill", "none")
        .set("stroke", color(record.inks.of(on.process)))
        .set("stroke-linecap", "round");
    match on.process {
        Process::Pen | Process::Register | Process::Cut => line.set("stroke-width", "0.03"),
        Process::Perforate => line.set("stroke-width", "0.02").set("stroke-dasharray", "0.02 0.07"),
        Process::Score => line
            .set("stroke-width", "0.02")
            .set("stroke-dasharray", attributes::dashes(dashes(on.fold))),
    }
}

/// A small count as a factor.
fn steps(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}
