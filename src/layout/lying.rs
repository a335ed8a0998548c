//! What lies on the pages, pieces and photos alike: what is needed to judge its place.

use std::num::NonZeroU64;

use kurbo::{BezPath, Rect, Shape as _};

use crate::description::Place;
use crate::geometry;

use super::{Layout, PlacedPhoto, PlacedPiece};

/// A piece or a photo where it lies.
pub(super) struct Thing<'a> {
    pub what: What<'a>,
    pub page: usize,
    pub order: u32,
    pub outline: BezPath,
    pub bounds: Rect,
}

/// What something is.
pub(super) enum What<'a> {
    Piece(&'a PlacedPiece),
    /// A photo, and its place among the layout's.
    Photo(usize, &'a PlacedPhoto),
}

impl Thing<'_> {
    /// Its id.
    pub fn id(&self) -> &str {
        match &self.what {
            What::Piece(piece) => &piece.id,
            What::Photo(_, photo) => &photo.id,
        }
    }

    /// Where it is described.
    pub const fn place(&self) -> Place {
        match &self.what {
            What::Piece(piece) => piece.place,
            What::Photo(_, photo) => photo.place,
        }
    }

    /// Its line in the spec.
    pub const fn line(&self) -> Option<NonZeroU64> {
        self.place().line
    }

    /// Its paper, by place among the layout's.
    pub fn paper(&self) -> Option<usize> {
        match &self.what {
            What::Piece(piece) => Some(piece.paper),
            What::Photo(..) => None,
        }
    }
}

/// Everything on the pages, lowest first.
pub(super) fn lying(layout: &Layout) -> Vec<Thing<'_>> {
    let piece = |piece: &'_ PlacedPiece| (piece.page, piece.order, piece.on_page());
    let print = |photo: &PlacedPhoto| {
        let [width, height] = photo.size.to_inches();
        let print = geometry::rectangle(width, height);
        (photo.page, photo.order, geometry::laying(&print, photo.turn, photo.at) * &print)
    };
    let thing = |what, (page, order, outline): (usize, u32, BezPath)| {
        let bounds = outline.bounding_box();
        Thing { what, page, order, outline, bounds }
    };
    // Of kits with names, the first is drawn.
    let first = layout.names.first();
    let is_drawn = |piece: &&PlacedPiece| piece.kit.is_none() || piece.kit.as_ref() == first;
    let pieces =
        layout.pieces.iter().filter(is_drawn).map(|one| thing(What::Piece(one), piece(one)));
    let photos = layout.photos.iter().enumerate();
    let photos = photos.map(|(number, one)| thing(What::Photo(number, one), print(one)));
    let mut all: Vec<Thing<'_>> = pieces.chain(photos).collect();
    all.sort_by_key(|thing| thing.order);
    all
}
