//! Shapes of the library beyond the plain ones: edges, tickets, strings of pennants, plants and sky.

use schemars::JsonSchema;
use serde::Deserialize;

use super::super::{At, Distance, Edge, Extent, Marked, Text, Written};
use crate::model::length::{LengthSum, Sides};
use crate::model::{Notches, Pennant};

use super::{Common, CornersSpec, HatchSpec, ScoreLine, StitchSpec};

element! {
    /// A rectangle with scalloped edges: whole scallops that fit evenly.
    ScallopEdge {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height over all.
        size: Written<Extent>,
        /// Scalloped edges: `top`, `right`, `bottom`, `left`; the bottom if not given.
        #[serde(default)]
        edges: Vec<Written<Edge>>,
        /// Width of a scallop, as near as whole ones come to it; `1/2` if not given.
        scallop: Option<Written<Distance>>,
    }
}

element! {
    /// A ticket.
    Ticket {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height; `fit` for the room that is left, `4 x fit` or `fit x 3` for one side of it.
        size: Written<Extent>,
        /// Where it is notched: `ends` (the default) or `corners`.
        notches: Option<Written<Notches>>,
        /// Radius of the notches, an eighth of the height if not given.
        radius: Option<Written<Distance>>,
    }
}

element! {
    /// A string of pennants on one band.
    Pennants {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height over all.
        size: Written<Extent>,
        /// How many hang on it, 7 if not given.
        pennants: Option<Marked<u32>>,
        /// `point` (the default) or `dovetail`.
        form: Option<Written<Pennant>>,
        /// Height of the band, a sixth of the height if not given.
        band: Option<Written<Distance>>,
        /// Distance between pennants, 0 if not given.
        gap: Option<Written<Distance>>,
    }
}

element! {
    /// An arrow to the right.
    Arrow {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height over all.
        size: Written<Extent>,
        /// Length of the head; three quarters of the height if not given, at most half the width.
        head: Option<Written<Distance>>,
        /// Thickness of the shaft, two fifths of the height if not given.
        shaft: Option<Written<Distance>>,
    }
}

element! {
    /// A plaque with ends like curly brackets.
    Plaque {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height over all.
        size: Written<Extent>,
        /// Depth of the brackets, a quarter of the height if not given.
        depth: Option<Written<Distance>>,
    }
}

element! {
    /// A frame with one window or several.
    Frame {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height; `fit` for the room that is left, `4 x fit` or `fit x 3` for one side of it.
        size: Written<Extent>,
        /// Width x height of a window.
        window: Written<Sides>,
        /// Several windows in columns and rows.
        windows: Option<Box<Marked<WindowsSpec>>>,
        /// What its own corners are, square if not given.
        corners: Option<Marked<CornersSpec>>,
        /// What the windows' corners are, square if not given.
        #[serde(rename = "window corners")]
        window_corners: Option<Marked<CornersSpec>>,
    }
}

/// Several windows of a frame.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WindowsSpec {
    /// How many stand side by side, 1 if not given.
    pub columns: Option<Marked<u32>>,
    /// How many stand one below the other, 1 if not given.
    pub rows: Option<Marked<u32>>,
    /// Paper between two of them, `1/4` if not given.
    pub gap: Option<Written<Distance>>,
}

element! {
    /// A disc with rays.
    Sunburst {
        /// Its paper.
        paper: Marked<Text>,
        /// Diameter over all.
        diameter: Written<LengthSum>,
        /// How many rays it has, 12 if not given.
        rays: Option<Marked<u32>>,
        /// Diameter of the disc, two fifths of the whole if not given.
        middle: Option<Written<Distance>>,
    }
}

element! {
    /// A leaf with scored veins, its tip at the top.
    Leaf {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height; `fit` for the room that is left, `4 x fit` or `fit x 3` for one side of it.
        size: Written<Extent>,
        /// Pairs of side veins, 4 if not given.
        veins: Option<Marked<u32>>,
    }
}

element! {
    /// A cloud with a flat foot.
    Cloud {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height; `fit` for the room that is left, `4 x fit` or `fit x 3` for one side of it.
        size: Written<Extent>,
    }
}
