//! Pieces and photos as the record keeps them.

use kurbo::Shape;

use crate::geometry::{self, FLATTENING, Ring, path_data};
use crate::layout::{self, Layout, PlacedPhoto, PlacedPiece, Window};
use crate::model::{Count, PATH_DECIMALS, Rect, rounded};
use crate::plan::Plan;
use crate::record::{
    Finished, LineOnPiece, Offcut, Opening, Photo, Piece, Raised, ThinPlace, Torn, Tucked,
};

use super::sheet::area;
use super::{inches, page_name, paper_name, print, size};

/// A piece.
pub(super) fn piece(plan: &Plan, piece: &PlacedPiece) -> Piece {
    let layout = &plan.spread;
    let path = &piece.drawing.outline;
    let on_grid = |ring: Ring| ring.into_iter().map(|point| point.map(rounded)).collect();
    let lines = piece.drawing.lines.iter().map(|line| LineOnPiece {
        process: line.process,
        path: path_data(&line.path, PATH_DECIMALS),
        fold: line.fold,
    });
    let middles = piece.windows.iter().filter(|window| window.opening.is_none());
    let gutted = middles.map(|window| {
        let area = area(window.area);
        Offcut { id: window.id.clone(), at: area.at, size: area.size, count: Count::default() }
    });
    Piece {
        id: piece.id.clone(),
        kind: piece.kind.to_owned(),
        paper: paper_name(layout, piece.paper),
        tool: piece.tool,
        size: size(piece.size),
        area: rounded(path.area().abs()),
        page: page_name(layout, piece.page),
        at: piece.at.map(rounded),
        turn: piece.turn,
        folded: piece.finished.as_deref().filter(|one| one.torn.is_none()).map(Finished::of),
        torn: piece.finished.as_deref().and_then(Torn::of),
        tucked: piece.tucked.as_ref().map(tucked),
        raised: piece.raised.as_deref().and_then(raised),
        turns: piece.turns,
        together: piece.together.clone(),
        runs_on: piece.runs_on,
        copies: piece.copies,
        kit: piece.kit.clone(),
        outline: geometry::rings(path, FLATTENING).into_iter().map(on_grid).collect(),
        path: path_data(path, PATH_DECIMALS),
        lines: lines.collect(),
        notes: piece.notes.clone(),
        order: piece.order,
        gutted: gutted.collect(),
        opened: piece.windows.iter().filter_map(|window| opening(plan, window)).collect(),
        thin: thin(layout, &piece.id),
        print: piece.print.as_deref().map(print::print),
    }
}

/// How something is tucked under another.
fn tucked(tucked: &layout::Tucked) -> Tucked {
    Tucked {
        under: tucked.under.clone(),
        side: tucked.side.name().to_owned(),
        shows: inches(tucked.shows),
    }
}

/// The foam under something; nothing where it lies flat on a raised part.
fn raised(raised: &layout::Raised) -> Option<Raised> {
    (!raised.at.is_empty()).then(|| Raised {
        height: inches(raised.height),
        square: inches(raised.square),
        at: raised.at.iter().map(|at| at.map(rounded)).collect(),
    })
}

/// A window as an opening, if it is one, with what is cut in it.
fn opening(plan: &Plan, window: &Window) -> Option<Opening> {
    let path = window.opening.as_ref()?;
    let Rect { at, size } = Rect::from(path.bounding_box()).rounded();
    Some(Opening {
        at,
        size,
        path: path_data(path, PATH_DECIMALS),
        holds: plan.held.get(&window.id).cloned().unwrap_or_default(),
    })
}

/// The thin places of a piece.
fn thin(layout: &Layout, id: &str) -> Vec<ThinPlace> {
    let own = layout.thin.iter().filter(|(piece, _)| piece == id);
    own.flat_map(|(_, places)| places)
        .map(|thin| ThinPlace {
            at: thin.at.map(rounded),
            width: rounded(thin.width),
            length: rounded(thin.length),
        })
        .collect()
}

/// A photo.
pub(super) fn photo(layout: &Layout, photo: &PlacedPhoto) -> Photo {
    Photo {
        id: photo.id.clone(),
        name: photo.name.clone(),
        copies: Count::of(photo.copies),
        page: page_name(layout, photo.page),
        at: photo.at.map(rounded),
        size: size(photo.size),
        border: inches(photo.border),
        turn: photo.turn,
        looks: photo.facing,
        order: photo.order,
        tucked: photo.tucked.as_ref().map(tucked),
        raised: photo.raised.as_deref().and_then(raised),
        picture: layout.picture(&photo.name).map(|framed| print::picture(&framed.excerpt())),
    }
}
