//! What is torn off a piece.

use serde::{Deserialize, Serialize};

use crate::model::Color;
use crate::model::length::{Length, Size};
use crate::shapes::finished;

use super::{Finished, rounded};

/// A torn piece: how it lies on its page, and how much larger it is cut.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Torn {
    /// How much is torn off, by side.
    pub allowance: Allowance,
    /// Colour of the paper's core, if it shows: it is seen of `outline` where no face is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub core: Option<Color>,
    /// What is left.
    #[serde(flatten)]
    pub finished: Finished,
}

/// Paper to tear off on each torn side.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Allowance {
    /// At the top, if that is torn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub top: Option<f64>,
    /// At the right.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub right: Option<f64>,
    /// At the bottom.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bottom: Option<f64>,
    /// At the left.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub left: Option<f64>,
}

impl Torn {
    /// A torn piece as the record keeps it; nothing for one that is folded.
    pub fn of(finished: &finished::Finished) -> Option<Self> {
        let torn = finished.torn.as_ref()?;
        let [top, right, bottom, left] =
            torn.off.map(|off| off.map(|off| rounded(off.to_inches())));
        let allowance = Allowance { top, right, bottom, left };
        Some(Self { allowance, core: torn.core, finished: Finished::of(finished) })
    }

    /// The torn piece that the record tells of, if its paths can be read.
    pub fn read(&self) -> Option<finished::Finished> {
        let Allowance { top, right, bottom, left } = self.allowance;
        let exact = |inches: f64| Size::of_inches([inches; 2]).width;
        let off: [Option<Length>; 4] = [top, right, bottom, left].map(|off| off.map(exact));
        let torn = Some(finished::Torn { off, core: self.core });
        Some(finished::Finished { torn, ..self.finished.read()? })
    }
}
