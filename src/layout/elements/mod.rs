//! Each element of a page measured: what pieces and photos it is made of, and how large.

use crate::model::Fault;
use std::path::Path;

use crate::description::{
    At, Bank, Banner, BannerEnd, CornersSpec, Element, Extent, LengthOrFit, Marked, Place,
    Rectangle, Shoulders, Strip, StripAcross, StripDown, Tag, Text, Where, Written, slug,
};
use crate::geometry::Drawing;
use crate::model::PageName;
use crate::model::length::{Length, LengthSum, Sides, Size};
use crate::shapes::{self, Corner, End};

use super::blocks::{Block, FitAsked, LEAST_SIDE, Part};
use super::fit::open::to_be_fitted;
use super::reading::{Along, Reader};
use super::{Layout, print, rows, stacking, stock_names};

mod cluster;
mod drawn;
mod finish;
mod flush;
mod folded;
pub(super) mod import;
mod library;
pub(super) mod lines;
mod matched;
mod photos;
mod torn;

/// Elements one page may hold; a full page has a few dozen.
const MOST_ELEMENTS: usize = 500;
/// Pieces and photos of all elements together, each mat one.
const MOST_PARTS: usize = 1_500;

/// The blocks of all pages, in stacking order within each page.
pub(super) fn blocks(reader: &mut Reader<'_>, layout: &Layout, folder: &Path) -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut count = 0;
    let spec = reader.spec;
    for (page, name) in layout.pages.iter().copied().enumerate() {
        let Some(written) = spec.page_named(name) else { continue };
        let mut names = Names { page: name, taken: Vec::new() };
        if let Some(base) = &written.base {
            let paper = reader.paper(base);
            let id = names.free(reader, "base", None, base.place);
            let part = Part::rectangle(format!("{name}.{id}"), "base", paper, layout.page);
            blocks.push(block(id, page, base.place, layout.page, vec![part]));
        }
        if written.pieces.len() > MOST_ELEMENTS {
            let message = format!("the page has more than {MOST_ELEMENTS} elements");
            reader.problem(spec.name.place, message, "split it into several specs");
            continue;
        }
        for (number, element) in written.pieces.iter().enumerate() {
            let id = {
                let (kind, id) = (element.value.kind(), element.value.common().id);
                names.free(reader, kind, id, place_of(element))
            };
            let block = match to_be_fitted(reader, element) {
                Some((axes, size)) => {
                    let mut block = self::block(id, page, place_of(element), size, Vec::new());
                    block.at = element.value.common().at.clone();
                    let is_bank = matches!(element.value, Element::Bank(_));
                    block.fit = Some(FitAsked { axes, element: number, is_bank });
                    only_on_a_page(reader, element);
                    Some(block)
                }
                None => self::element(reader, layout, folder, element, (&id, page)),
            };
            count += block.as_ref().map_or(0, |block| block.parts.len());
            if count > MOST_PARTS {
                let message = format!("the spread has more than {MOST_PARTS} pieces and photos");
                reader.problem(place_of(element), message, "split it into several specs");
                return blocks;
            }
            blocks.extend(block);
        }
    }
    blocks
}

/// The block of one element, by its name on its page; nothing when a problem was noted.
pub(super) fn element(
    reader: &mut Reader<'_>,
    layout: &Layout,
    folder: &Path,
    element: &Marked<Element>,
    (id, page): (&str, usize),
) -> Option<Block> {
    let prefix = format!("{}.{id}", layout.pages.get(page)?);
    let (size, parts) = parts(reader, layout, folder, element, (&prefix, page))?;
    let mut block = block(id.to_owned(), page, place_of(element), size, parts);
    block.cluster = matches!(element.value, Element::Cluster(_));
    tell_small(reader, &block);
    finish::finish(reader, layout, &mut block, element.value.common());
    if let Element::Strip(strip) = &element.value {
        block.across_spread = runs(reader, strip) == StripRun::Spread;
        block.other_page.clone_from(&strip.other_page);
        if let Some(written) = strip.other_page.as_ref().filter(|_| !block.across_spread) {
            stacking::only_across(reader, written.place);
        }
        matched::ask(reader, layout, &mut block, strip);
        if block.across_spread {
            torn::not_at_gutter(reader, &strip.torn);
        }
    }
    if let Element::Border(border) = &element.value {
        rows::border::prepare(reader, &mut block, border);
    }
    print::prepare(reader, &mut block, element.value.common());
    Some(block)
}

/// Notes a problem with a strip over both pages whose length is to be fitted.
fn only_on_a_page(reader: &mut Reader<'_>, element: &Marked<Element>) {
    if let Element::Strip(strip) = &element.value
        && let Some(length) =
            strip.length.as_ref().filter(|length| length.value == Ok(LengthOrFit::Fit))
        && runs(reader, strip) == StripRun::Spread
    {
        let message = "a strip across the spread is as long as the spread";
        reader.problem(length.place, message, "leave `length` out");
    }
}

fn block(id: String, page: usize, place: Place, size: Size, parts: Vec<Part>) -> Block {
    let at = At(Where::default());
    Block {
        id,
        page,
        at,
        turn: 0.0,
        size,
        parts,
        across_spread: false,
        match_pattern: false,
        other_page: None,
        raised: None,
        gut: None,
        turns: None,
        copies: 1,
        place,
        ..Block::default()
    }
}

/// Notes a piece or photo with a side that can't be cut or held.
fn tell_small(reader: &mut Reader<'_>, block: &Block) {
    let small = block.parts.iter().find(|part| part.size.width.min(part.size.height) < LEAST_SIDE);
    let Some(part) = small else { return };
    let least = LEAST_SIDE.show(reader.units);
    let message = format!("`{}` is too small to cut: a side is shorter than {least}", part.id);
    reader.problem(block.place, message, "write a larger size, and check its unit");
}

/// Where an element stands: its id if it has one, else its whole text.
fn place_of(element: &Marked<Element>) -> Place {
    element.value.common().id.map_or(element.place, |id| id.place)
}

/// The names taken on a page.
struct Names {
    page: PageName,
    taken: Vec<(String, Place)>,
}

impl Names {
    /// The name that is asked for, or one made from the kind and a number.
    fn free(
        &mut self,
        reader: &mut Reader<'_>,
        kind: &str,
        id: Option<&Marked<Text>>,
        place: Place,
    ) -> String {
        let taken = |name: &str| self.taken.iter().find(|(taken, _)| taken == name);
        let name = match id {
            Some(id) => {
                let name = slug(&id.value);
                if let Some((_, earlier)) = taken(&name) {
                    let page = self.page;
                    let line = stock_names::on_line(*earlier);
                    let message = format!(
                        "the id `{name}` is taken twice on the {page} page: here and before{line}"
                    );
                    reader.problem(id.place, message, "give each piece an id of its own");
                }
                name
            }
            None => std::iter::once(slug(kind))
                .chain((2..).map(|number| format!("{}-{number}", slug(kind))))
                .find(|name| taken(name).is_none())
                .unwrap_or_default(),
        };
        self.taken.push((name.clone(), place));
        name
    }
}

/// Size and parts of an element; nothing when a problem was noted.
fn parts(
    reader: &mut Reader<'_>,
    layout: &Layout,
    folder: &Path,
    element: &Marked<Element>,
    (id, page): (&str, usize),
) -> Option<(Size, Vec<Part>)> {
    match &element.value {
        Element::Panel(panel) => {
            let size = extent(reader, &panel.size)?;
            let paper = reader.paper(&panel.paper);
            Some((size, vec![Part::rectangle(id.to_owned(), "panel", paper, size)]))
        }
        Element::Strip(strip) => self::strip(reader, layout, strip, id),
        Element::Photo(photo) => photos::bank(
            reader,
            id,
            std::slice::from_ref(&photo.photo),
            photos::BankOrder::Across,
            Length::ZERO,
            &photo.mats,
        ),
        Element::Bank(bank) => from_bank(reader, id, bank),
        Element::Circle(circle) => {
            let diameter = reader.positive(&circle.diameter, Along::Width, "diameter");
            let drawing = shapes::circle(diameter.to_inches());
            let exact = Size::new(diameter, diameter);
            machine_cut(reader, &circle.paper, "circle", id, circle.diameter.place, exact, drawing)
        }
        Element::Ellipse(ellipse) => {
            let size = extent(reader, &ellipse.size)?;
            let [width, height] = size.to_inches();
            let drawing = shapes::ellipse(width, height);
            machine_cut(reader, &ellipse.paper, "ellipse", id, ellipse.size.place, size, drawing)
        }
        Element::Rectangle(rectangle) => self::rectangle(reader, rectangle, id),
        Element::Tag(tag) => self::tag(reader, tag, id),
        Element::Banner(banner) => self::banner(reader, banner, id),
        Element::Ring(ring) => drawn::ring(reader, ring, id),
        Element::Polygon(polygon) => drawn::polygon(reader, polygon, id),
        Element::Star(star) => drawn::star(reader, star, id),
        Element::Heart(heart) => drawn::heart(reader, heart, id),
        Element::Scallop(scallop) => drawn::scallop(reader, scallop, id),
        Element::ScallopEdge(element) => library::scallop_edge(reader, element, id),
        Element::Ticket(element) => library::ticket(reader, element, id),
        Element::Pennants(element) => library::pennants(reader, element, id),
        Element::Arrow(element) => library::arrow(reader, element, id),
        Element::Plaque(element) => library::plaque(reader, element, id),
        Element::Frame(element) => library::frame(reader, element, id),
        Element::Sunburst(element) => library::sunburst(reader, element, id),
        Element::Leaf(element) => library::leaf(reader, element, id),
        Element::Cloud(element) => library::cloud(reader, element, id),
        Element::Pocket(element) => folded::pocket(reader, element, id),
        Element::Envelope(element) => folded::envelope(reader, element, id),
        Element::Tent(element) => folded::tent(reader, element, id),
        Element::Accordion(element) => folded::accordion(reader, element, id),
        Element::Gatefold(element) => folded::gatefold(reader, element, id),
        Element::Step(element) => folded::step(reader, element, id),
        Element::PhotoCorner(element) => folded::photo_corner(reader, element, id),
        Element::Shape(shape) => import::shape(reader, folder, shape, id),
        Element::Cluster(cluster) => {
            cluster::pieces(reader, layout, folder, (cluster, place_of(element)), (id, page))
        }
        Element::Border(border) => rows::border::block(reader, border, id),
    }
}

/// The size of an element whose size could be fitted, once it is.
fn extent(reader: &mut Reader<'_>, written: &Written<Extent>) -> Option<Size> {
    let Some(size) = written.given() else {
        // As within a cluster, which is placed as one.
        let message = "the size of this piece can't be left to be fitted";
        reader.problem(written.place, message, "write it, as in `size: 4 x 6`");
        return None;
    };
    positive_size(reader, &size)
}

fn positive_size(reader: &mut Reader<'_>, text: &Written<Sides>) -> Option<Size> {
    let size = reader.size(text);
    (size.width > Length::ZERO && size.height > Length::ZERO).then_some(size)
}

/// A piece that the machine cuts, with its exact size kept.
fn machine_cut(
    reader: &mut Reader<'_>,
    paper: &Marked<Text>,
    kind: &'static str,
    id: &str,
    place: Place,
    exact: Size,
    drawing: Result<Drawing, Fault>,
) -> Option<(Size, Vec<Part>)> {
    let paper = reader.paper(paper);
    match drawing {
        Ok(drawing) => {
            let mut part = Part::drawn(id.to_owned(), kind, paper, drawing);
            part.size = exact;
            Some((exact, vec![part]))
        }
        Err(error) => {
            reader.problem(place, error.message, error.help);
            None
        }
    }
}

/// How a strip runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum StripRun {
    Across,
    Down,
    Spread,
}

fn runs(reader: &mut Reader<'_>, strip: &Strip) -> StripRun {
    if strip.down.is_some() {
        reader.choice(strip.down.as_ref(), StripDown::Page);
        if let Some(across) = &strip.across {
            let message = "a strip runs across or down, not both";
            reader.problem(across.place, message, "keep one of the two keys");
        }
        return StripRun::Down;
    }
    match reader.choice(strip.across.as_ref(), StripAcross::Page) {
        StripAcross::Page => StripRun::Across,
        StripAcross::Spread if reader.pages.len() == 2 => StripRun::Spread,
        StripAcross::Spread => {
            let place = strip.across.as_ref().map_or(Place::default(), |across| across.place);
            let message = "a strip across the spread needs both pages";
            reader.problem(place, message, "write `across: page` on a single page");
            StripRun::Across
        }
    }
}

fn strip(
    reader: &mut Reader<'_>,
    layout: &Layout,
    strip: &Strip,
    id: &str,
) -> Option<(Size, Vec<Part>)> {
    let run = runs(reader, strip);
    let (whole, along, beside) = match run {
        StripRun::Across | StripRun::Spread => (layout.page.width, Along::Width, Along::Height),
        StripRun::Down => (layout.page.height, Along::Height, Along::Width),
    };
    let open = [Some(&strip.width), strip.length.as_ref()].into_iter().flatten();
    if let Some(side) = open.into_iter().find(|side| side.value == Ok(LengthOrFit::Fit)) {
        let message = "the size of this piece can't be left to be fitted";
        reader.problem(side.place, message, "write it, as in `width: 1/2`");
    }
    let width = reader.positive(&strip.width.given()?, beside, "width");
    let length = match strip.length.as_ref().map(Written::<LengthOrFit>::given) {
        Some(None) => return None,
        Some(Some(text)) if run == StripRun::Spread => {
            let message = "a strip across the spread is as long as the spread";
            reader.problem(text.place, message, "leave `length` out");
            whole
        }
        Some(Some(text)) => reader.positive(&text, along, "length"),
        None => whole,
    };
    let paper = reader.paper(&strip.paper);
    let size = match run {
        StripRun::Across | StripRun::Spread => Size::new(length, width),
        StripRun::Down => Size::new(width, length),
    };
    let positive = size.width > Length::ZERO && size.height > Length::ZERO;
    positive.then(|| (size, vec![Part::rectangle(id.to_owned(), "strip", paper, size)]))
}

fn rectangle(
    reader: &mut Reader<'_>,
    rectangle: &Rectangle,
    id: &str,
) -> Option<(Size, Vec<Part>)> {
    let size = extent(reader, &rectangle.size)?;
    let Some(corners) = &rectangle.corners else {
        let paper = reader.paper(&rectangle.paper);
        return Some((size, vec![Part::rectangle(id.to_owned(), "rectangle", paper, size)]));
    };
    let corner = corner(reader, &corners.value);
    let [width, height] = size.to_inches();
    let drawing = shapes::rectangle(width, height, corner);
    machine_cut(reader, &rectangle.paper, "rectangle", id, corners.place, size, drawing)
}

/// The corners of a rectangle.
pub(super) fn corner(reader: &mut Reader<'_>, corners: &CornersSpec) -> Corner {
    let mut inches =
        |text: &Written<LengthSum>| reader.positive(text, Along::Width, "corner").to_inches();
    match corners {
        CornersSpec::Round(text) => Corner::Round(inches(text)),
        CornersSpec::Clipped(text) => Corner::Clipped(inches(text)),
        CornersSpec::Notched(text) => Corner::Notched(inches(text)),
    }
}

fn tag(reader: &mut Reader<'_>, tag: &Tag, id: &str) -> Option<(Size, Vec<Part>)> {
    let size = extent(reader, &tag.size)?;
    let hole = reader.distance(tag.hole.as_ref(), Length::part(1, 4), "hole");
    let shoulder = reader.distance(tag.shoulder.as_ref(), size.width / 4, "shoulder");
    let shoulders = reader.choice(tag.shoulders.as_ref(), Shoulders::Clipped);
    let corner = match (shoulder.to_inches(), shoulders) {
        (0.0, _) => Corner::Square,
        (reach, Shoulders::Round) => Corner::Round(reach),
        (reach, Shoulders::Clipped) => Corner::Clipped(reach),
    };
    let [width, height] = size.to_inches();
    let drawing = shapes::tag(width, height, corner, hole.to_inches());
    machine_cut(reader, &tag.paper, "tag", id, tag.size.place, size, drawing)
}

fn banner(reader: &mut Reader<'_>, banner: &Banner, id: &str) -> Option<(Size, Vec<Part>)> {
    let size = extent(reader, &banner.size)?;
    let depth = reader.distance(banner.depth.as_ref(), size.height / 2, "depth").to_inches();
    let mut end = |written: &Option<Written<BannerEnd>>, usual| match reader
        .choice(written.as_ref(), usual)
    {
        BannerEnd::Dovetail => End::Dovetail(depth),
        BannerEnd::Point => End::Point(depth),
        BannerEnd::Straight => End::Straight,
    };
    let left = end(&banner.left, BannerEnd::Straight);
    let right = end(&banner.right, BannerEnd::Dovetail);
    let [width, height] = size.to_inches();
    let drawing = shapes::banner(width, height, left, right);
    machine_cut(reader, &banner.paper, "banner", id, banner.size.place, size, drawing)
}

/// Size and parts of a bank.
fn from_bank(reader: &mut Reader<'_>, id: &str, bank: &Bank) -> Option<(Size, Vec<Part>)> {
    if bank.photos.is_empty() {
        let place = bank.id.as_ref().map_or(Place::default(), |id| id.place);
        reader.problem(place, "a bank has no photos", "name at least one photo");
        return None;
    }
    if let Some(align) = &bank.align {
        return flush::bank(reader, id, bank, align);
    }
    flush::only_with_align(reader, bank);
    photos::from_bank(reader, id, bank)
}
