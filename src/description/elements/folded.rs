//! Things that are cut flat, scored and folded. They lie on their page as they are folded.

use schemars::JsonSchema;
use serde::Deserialize;

use super::super::{At, Distance, Marked, ScoreEnd, Text, Written};
use super::{Common, HatchSpec, ScoreLine, StitchSpec};
use crate::model::length::{LengthSum, Sides};

element! {
    /// A pocket, open at the top, with glue tabs behind its sides and bottom.
    Pocket {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height of its face.
        size: Written<Sides>,
        /// Width of the glue tabs, `1/2` if not given.
        tab: Option<Written<Distance>>,
        /// Radius of the notch for a thumb, 0 (none) if not given.
        notch: Option<Written<Distance>>,
        /// Where score lines end: `short` (the default: 1/16 in from the edge) or `edge`.
        scores: Option<Written<ScoreEnd>>,
    }
}

element! {
    /// An envelope for a card.
    Envelope {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height of the card.
        card: Written<Sides>,
        /// Room to spare for the card each way, `1/8` if not given.
        clearance: Option<Written<Distance>>,
        /// Height of the flap, half the envelope's if not given.
        flap: Option<Written<Distance>>,
        /// Where score lines end: `short` (the default: 1/16 in from the edge) or `edge`.
        scores: Option<Written<ScoreEnd>>,
    }
}

element! {
    /// A tent tag: two faces that stand by themselves.
    Tent {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height of a face.
        size: Written<Sides>,
        /// Where score lines end: `short` (the default: 1/16 in from the edge) or `edge`.
        scores: Option<Written<ScoreEnd>>,
    }
}

element! {
    /// A strip of panels, folded to and fro.
    Accordion {
        /// Its paper.
        paper: Marked<Text>,
        /// How many panels it has, 4 if not given.
        panels: Option<Marked<u32>>,
        /// Width x height of a panel.
        size: Written<Sides>,
        /// Where score lines end: `short` (the default: 1/16 in from the edge) or `edge`.
        scores: Option<Written<ScoreEnd>>,
    }
}

element! {
    /// A card with two gates that meet in its middle.
    Gatefold {
        /// Its paper.
        paper: Marked<Text>,
        /// Width x height of the closed card.
        size: Written<Sides>,
        /// Distance between the closed gates, `1/32` if not given.
        gap: Option<Written<Distance>>,
        /// Where score lines end: `short` (the default: 1/16 in from the edge) or `edge`.
        scores: Option<Written<ScoreEnd>>,
    }
}

element! {
    /// A step of a pop-up, to be glued over a card's fold.
    Step {
        /// Its paper.
        paper: Marked<Text>,
        /// How wide it is.
        width: Written<LengthSum>,
        /// How high it stands.
        riser: Written<LengthSum>,
        /// How far it stands out, as `riser` if not given.
        tread: Option<Written<Distance>>,
        /// Width of the glue tabs, `3/8` if not given.
        tab: Option<Written<Distance>>,
        /// Where score lines end: `short` (the default: 1/16 in from the edge) or `edge`.
        scores: Option<Written<ScoreEnd>>,
    }
}

element! {
    /// A corner that holds a photo, folded behind it.
    PhotoCorner {
        /// Its paper.
        paper: Marked<Text>,
        /// Length of its sides.
        size: Written<LengthSum>,
        /// Width of the tabs, three eighths of the size if not given.
        tab: Option<Written<Distance>>,
        /// Where score lines end: `short` (the default: 1/16 in from the edge) or `edge`.
        scores: Option<Written<ScoreEnd>>,
    }
}
