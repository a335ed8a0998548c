//! Offcuts that are used, and what each saves.

use serde::{Deserialize, Serialize};

use super::StockLeft;
use crate::model::OffcutId;
use crate::model::length::{Size, Units};

/// An offcut from earlier that something is cut from, and what that saves: known by planning its paper again
/// without it. Where nothing is said of that, it wasn't.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct OffcutUsed {
    /// Its name.
    pub id: OffcutId,
    /// Its size.
    pub size: [f64; 2],
    /// Area of the pieces that are cut from it, in square inches.
    pub cut: f64,
    /// The new sheets that are used more without it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub saves: Vec<StockLeft>,
    /// Those that are used in their place with it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub takes: Vec<StockLeft>,
    /// What that saves, where all the prices are known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub price: Option<f64>,
    /// Where no new sheet is saved: where its pieces would have come from.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub instead_of: Vec<InsteadOf>,
}

/// Paper that an offcut takes the place of.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct InsteadOf {
    /// Another offcut; nothing for a new sheet that is cut into anyway.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub offcut: Option<OffcutId>,
    /// Area of the pieces, in square inches.
    pub area: f64,
}

impl OffcutUsed {
    /// What it saves, in words: `saves 1 new sheet of 12 x 12 in, worth 0.90`.
    pub fn told(&self, units: Units) -> String {
        let area = |inches: f64| match units {
            Units::Inches => format!("{inches:.1} in²"),
            Units::Millimetres => format!("{:.0} cm²", inches * 6.4516),
        };
        let sheets = |sheets: &[StockLeft], new: &str| {
            let told = sheets.iter().map(|one| {
                let word = if one.count == 1 { "sheet" } else { "sheets" };
                let [width, height] = one.size;
                format!("{} {new}{word} of {}", one.count, Size::inches(width, height).show(units))
            });
            told.collect::<Vec<_>>().join(" and ")
        };
        match (&self.saves[..], &self.takes[..], &self.instead_of[..]) {
            ([], _, []) => format!("{} is cut from it", area(self.cut)),
            ([], _, instead_of) => {
                let told = instead_of.iter().map(|one| match &one.offcut {
                    Some(id) => format!("{} that would have come from {id}", area(one.area)),
                    None => format!("{} that would have come from a new sheet", area(one.area)),
                });
                format!("takes {}", told.collect::<Vec<_>>().join(" and "))
            }
            (saves, [], _) => {
                let worth = self.price.map_or_else(String::new, |p| format!(", worth {p:.2}"));
                format!("saves {}{worth}", sheets(saves, "new "))
            }
            (saves, takes, _) => {
                let worth =
                    self.price.map_or_else(String::new, |p| format!(", which saves {p:.2}"));
                let (takes, saves) = (sheets(takes, "new "), sheets(saves, ""));
                format!("with it {takes} will do instead of {saves}{worth}")
            }
        }
    }
}
