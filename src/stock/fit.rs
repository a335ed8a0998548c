//! What on hand holds a piece of some size.

use crate::description::Problem;
use crate::model::Price;
use crate::model::length::{Length, Size};
use crate::model::naming::nearest;

use super::{Source, Stock};

/// Paper on hand that holds a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The sheet or offcut.
    pub source: Source,
    /// Name of its paper.
    pub paper: String,
    /// Where the piece lies on it.
    pub at: [Length; 2],
    /// Whether the piece lies turned.
    pub turned: bool,
    /// What is left of it, in square inches.
    pub left: f64,
    /// Its bounding box.
    pub size: Size,
    /// How many there are.
    pub count: u32,
    /// What a sheet costs; offcuts cost nothing any more.
    pub price: Option<Price>,
    /// The age of an offcut, as [`super::Offcut::added`].
    pub added: u32,
}

impl Stock {
    /// The offcuts that hold a piece, that with the least left over first, then the oldest; then the sheets,
    /// the smallest first. Paper with a grain or a direction is turned only as far as that lets.
    pub fn holding(&self, piece: Size, paper: Option<&str>) -> Result<Vec<Found>, Problem> {
        if let Some(name) = paper.filter(|name| self.paper(name).is_none()) {
            let names = || self.papers.iter().map(|paper| paper.name.as_str());
            let help = nearest(name, names()).map_or_else(
                || format!("there are: {}", names().collect::<Vec<_>>().join(", ")),
                |near| format!("did you mean `{near}`?"),
            );
            return Err(Problem::input(format!("there is no paper `{name}`"), help));
        }
        let mut offcuts = Vec::new();
        let mut sheets = Vec::new();
        let is_asked = |name: &str| paper.is_none_or(|asked| asked == name);
        for paper in self.papers.iter().filter(|paper| is_asked(&paper.name)) {
            let crosswise = paper.turns().crosswise();
            let ways = [(piece, false), (piece.turned(), true)];
            let ways = &ways[..if crosswise { 2 } else { 1 }];
            for offcut in self.offcuts.iter().filter(|offcut| offcut.paper == paper.name) {
                let place = |(size, turned): &(Size, bool)| {
                    offcut.shape.place_for(*size).map(|at| (at, *turned))
                };
                let Some((at, turned)) = ways.iter().find_map(place) else { continue };
                offcuts.push(Found {
                    source: Source::Offcut(offcut.label.clone()),
                    paper: paper.name.clone(),
                    at,
                    turned,
                    left: offcut.shape.area() - piece.area(),
                    size: offcut.shape.bounds(),
                    count: 1,
                    price: None,
                    added: offcut.added,
                });
            }
            for on_hand in paper.sheets.iter().filter(|sheets| sheets.count > 0) {
                let fits = |(size, _): &&(Size, bool)| on_hand.size.holds(*size);
                let Some((_, turned)) = ways.iter().find(fits) else { continue };
                sheets.push(Found {
                    source: Source::Sheet(on_hand.size),
                    paper: paper.name.clone(),
                    at: [Length::ZERO; 2],
                    turned: *turned,
                    left: on_hand.size.area() - piece.area(),
                    size: on_hand.size,
                    count: on_hand.count,
                    price: on_hand.price,
                    added: 0,
                });
            }
        }
        offcuts.sort_by(|one, other| {
            one.left.total_cmp(&other.left).then(one.added.cmp(&other.added))
        });
        sheets.sort_by(|one, other| one.left.total_cmp(&other.left));
        offcuts.extend(sheets);
        Ok(offcuts)
    }
}
