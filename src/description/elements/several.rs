//! Elements of several pieces: clusters and borders.

use schemars::JsonSchema;
use serde::Deserialize;

use super::super::{At, BorderKeep, BorderSide, Distance, Marked, OneOrMany, Text, Written};
use super::{Common, Element, HatchSpec, ScoreLine, StitchSpec};
use crate::model::length::Sides;

element! {
    /// Several pieces round one anchor, placed and turned as one.
    Cluster {
        /// The pieces, the lowest first, each `at: {offset: [right, down]}`: from the anchor to its middle.
        pieces: Vec<Marked<Element>>,
    }
}

element! {
    /// A border of equal blocks that comes out even.
    Border {
        /// Its paper, or several taken in turn.
        papers: Marked<OneOrMany<Marked<Text>>>,
        /// How large a block is, about: width x height.
        block: Written<Sides>,
        /// Distance between blocks, about; 0 if not given.
        gap: Option<Written<Distance>>,
        /// Where it runs: `top`, `right`, `bottom`, `left`, several of them, or `round`.
        along: Marked<OneOrMany<Written<BorderSide>>>,
        /// The piece along whose edges it runs, inside of it; the page if not given.
        of: Option<Marked<Text>>,
        /// How far inside of the edge it lies, 0 if not given; less than 0 is outside.
        inset: Option<Written<Distance>>,
        /// What stays as it is written while the other is made to fit: `gap` (the default) or `block`.
        keep: Option<Written<BorderKeep>>,
    }
}
