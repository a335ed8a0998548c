//! Words on a tucked piece that its host covers.

use kurbo::{Affine, BezPath, Rect, Shape};

use crate::description::Edge;
use crate::geometry::boolean::polygon::Polygons;
use crate::geometry::{self, FLATTENING};
use crate::layout::blocks::Block;
use crate::layout::fit::line::mark;
use crate::layout::reading::Reader;
use crate::layout::{Layout, PlacedPiece};
use crate::model::length::{Length, Units};
use crate::model::{Run, Warning};

use super::{Tuck, along_side};

/// Of the boxes round the letters so much may be covered before it is told: a hair of one letter is not seen.
const COVERED: f64 = 0.01;

/// Warns where words on a tucked block lie beneath its host, wholly or in part; `[block, host]` are laid.
pub(in crate::layout) fn words_beneath(
    reader: &mut Reader<'_>,
    layout: &Layout,
    [block, host]: [&Block; 2],
    tuck: &Tuck,
) {
    let own: Vec<&PlacedPiece> = pieces_of(layout, block).collect();
    let boxes: Vec<BezPath> = own.iter().flat_map(|piece| letters(layout, piece)).collect();
    let Some(words) = boxes.iter().map(Shape::bounding_box).reduce(|all, one| all.union(one))
    else {
        return;
    };
    let letters = united(boxes);
    let covered = letters.within(&united(covers(layout, host))).area() / letters.area().max(1e-9);
    if covered < COVERED {
        return;
    }
    let whole = own.iter().map(|piece| piece.on_page().bounding_box());
    let whole = whole.reduce(|all, one| all.union(one)).unwrap_or(words);
    let on_host = host.parts.first().map_or(&*host.id, |part| &*part.id);
    let id = own.first().map_or(&*block.id, |piece| &*piece.id);
    let id = if id.starts_with("journaling.") { "journaling" } else { id };
    let partly = if covered < 1.0 - COVERED { "partly " } else { "" };
    let needed = needed(whole, words, tuck.side, reader.units);
    let help = if needed < along_side(block.turned_size(), tuck.side) {
        let needed = needed.show(reader.units);
        format!("all of them are seen with `shows: {needed}`; or move them by line breaks or `pad`")
    } else {
        "make it longer than its words that way, or lay it on top".to_owned()
    };
    reader.warn(Warning {
        kind: "hidden".to_owned(),
        message: format!(
            "the words on `{id}` lie {partly}beneath `{on_host}`, which it is tucked under"
        ),
        help,
        piece: Some(id.to_owned()),
        line: block.place.line,
    });
}

/// The pieces that a block became.
fn pieces_of<'a>(layout: &'a Layout, block: &'a Block) -> impl Iterator<Item = &'a PlacedPiece> {
    let is_part = |piece: &&PlacedPiece| block.parts.iter().any(|part| piece.id == part.id);
    layout.pieces.iter().filter(is_part)
}

/// What a host covers: its pieces, and its photos on them.
fn covers(layout: &Layout, host: &Block) -> Vec<BezPath> {
    let photos = layout.photos.iter();
    let photos = photos.filter(|photo| photo.page == host.page && photo.place == host.place);
    let photos = photos.map(|photo| {
        let [width, height] = photo.size.to_inches();
        let print = geometry::rectangle(width, height);
        geometry::laying(&print, photo.turn, photo.at) * print
    });
    pieces_of(layout, host).map(PlacedPiece::on_page).chain(photos).collect()
}

fn united(paths: Vec<BezPath>) -> Polygons {
    let paths = paths.into_iter().map(|path| Polygons::within_tolerance(&path, FLATTENING));
    paths.fold(Polygons::default(), |all, one| all.with(&one))
}

/// The boxes round the letters on a piece, printed on it or of a strip of the story, where they lie on the
/// page.
fn letters(layout: &Layout, piece: &PlacedPiece) -> Vec<BezPath> {
    let printed = piece.print.as_ref().and_then(|print| print.text.as_ref());
    let strip = || layout.strips.iter().find(|strip| strip.id == piece.id);
    let set = printed.map(|text| (&*text.runs, text.baseline, text.type_size));
    let set = set.or_else(|| strip().map(|strip| (&*strip.runs, strip.baseline, strip.type_size)));
    let Some((runs, baseline, type_size)) = set else { return Vec::new() };
    let boxes: Vec<Rect> =
        runs.iter().flat_map(|run| boxes(layout, run, baseline, type_size / 72.0)).collect();
    let lay = lay_of_words(piece, &boxes);
    boxes.into_iter().map(|one| lay * one.to_path(FLATTENING)).collect()
}

/// The boxes round the glyphs of a run in the piece's own frame; an em is `em` inches.
fn boxes(layout: &Layout, run: &Run, baseline: f64, em: f64) -> Vec<Rect> {
    let Some(font) = layout.fonts.get(run.font) else { return Vec::new() };
    let inked = run.glyphs.iter().filter_map(|glyph| {
        let outline = font.outline(glyph.id).filter(|outline| !outline.elements().is_empty())?;
        let at = Affine::translate((glyph.x, baseline - glyph.y)) * Affine::scale(em);
        Some((at * outline).bounding_box())
    });
    inked.collect()
}

/// How words on a piece come to lie on the page: on a folded or torn one with the face that holds them.
fn lay_of_words(piece: &PlacedPiece, boxes: &[Rect]) -> Affine {
    let Some(finished) = &piece.finished else {
        return geometry::laying(&piece.drawing.outline, piece.turn, piece.at);
    };
    let lay = geometry::laying(&finished.outline, piece.turn, piece.at);
    let first = boxes.first().map(Rect::center).unwrap_or_default();
    let faces = finished.drawn_on();
    let held = faces.iter().find(|(face, flat)| face.is_upright() && flat.winding(first) != 0);
    held.map_or(lay, |(face, _)| lay * face.from)
}

/// How much of a piece within `whole` is to show on a side for all of its words to show, on the ruler.
fn needed(whole: Rect, words: Rect, side: Edge, units: Units) -> Length {
    let needed = match side {
        Edge::Right => whole.x1 - words.x0,
        Edge::Left => words.x1 - whole.x0,
        Edge::Bottom => whole.y1 - words.y0,
        Edge::Top => words.y1 - whole.y0,
    };
    let mark = mark(units).to_inches();
    Length::inches((needed / mark - 1e-6).ceil() * mark)
}
