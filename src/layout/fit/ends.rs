//! What something may lie between: edges of the page, pieces, edges of pieces.

use super::super::blocks::Frame;
use super::asked::Room;

/// Words for the edges of something: axis, side, name.
const EDGES: [(usize, usize, &str); 4] =
    [(0, 0, "left edge"), (0, 1, "right edge"), (1, 0, "top edge"), (1, 1, "bottom edge")];

/// One of the two things between which something lies.
pub(super) enum End {
    /// An edge of the page, or of the piece that `on` names.
    Edge(usize, usize),
    /// An edge of a piece.
    EdgeOf(usize, usize, String),
    /// A piece: the edge of it that faces the other end.
    Piece(String),
}

impl End {
    pub fn of(text: &str) -> Self {
        for (axis, side, name) in EDGES {
            if text == name {
                return Self::Edge(axis, side);
            }
            if let Some(piece) = text.strip_prefix(name).and_then(|rest| rest.strip_prefix(" of "))
            {
                return Self::EdgeOf(axis, side, piece.trim().to_owned());
            }
        }
        Self::Piece(text.to_owned())
    }

    /// The axis along which it is an end, if it is an edge.
    pub const fn axis(&self) -> Option<usize> {
        match self {
            Self::Edge(axis, _) | Self::EdgeOf(axis, ..) => Some(*axis),
            Self::Piece(_) => None,
        }
    }
}

/// The name of the edge on a side of an axis.
pub(super) fn edge_name(axis: usize, side: usize) -> &'static str {
    EDGES.iter().find(|one| (one.0, one.1) == (axis, side)).map_or("edge", |one| one.2)
}

impl Frame {
    /// From edge to edge.
    pub(in crate::layout) fn room(&self, axis: usize) -> Room {
        let names = [0, 1].map(|side| format!("the {}", edge_name(axis, side)));
        Room { ends: [self.at[axis], self.at[axis] + self.size[axis]], names }
    }
}
