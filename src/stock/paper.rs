//! What stands in `stock.yaml`, with every value resolved.

use std::collections::BTreeMap;
use std::path::PathBuf;

use serde::{Deserialize, Serialize};

use crate::model::length::{Length, Size, Units};
use crate::model::{Color, Pattern, PictureFill, Price, Turns, choices};

use super::Shape;

choices! {
    /// What a paper is.
    pub enum PaperKind, "kind of paper", usual Cardstock {
        /// Plain cardstock, coloured through or with a white core.
        Cardstock = "cardstock",
        /// Thinner paper with a printed pattern.
        Patterned = "patterned",
        /// Translucent paper.
        Vellum = "vellum",
        /// Coated paper for photos.
        PhotoPaper = "photo paper",
    }
}

choices! {
    /// Which way the fibres of a paper run, on a sheet that lies as its size is written.
    pub enum Grain, "way for the grain to run", usual None {
        /// Along its height.
        Down = "down",
        /// Along its width.
        Across = "across",
        /// None that matters.
        None = "none",
    }
}

/// The paper on hand as the user's file tells it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stock {
    /// The unit of bare numbers, in which lengths are shown and written.
    pub units: Units,
    /// The papers, in the file's order.
    pub papers: Vec<StockPaper>,
    /// The offcuts, in the file's order.
    pub offcuts: Vec<Offcut>,
    /// The folder that pictures are seen from, if a spec is to take them over.
    pub folder: Option<PathBuf>,
}

/// A paper, and how many sheets of it there are.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StockPaper {
    /// Its name, which specs use.
    pub name: String,
    /// Its colour.
    pub color: Option<Color>,
    /// The colour of its core, if that shows where it is torn.
    pub core: Option<Color>,
    /// A picture of it: a file, seen from the stock's folder.
    pub picture: Option<String>,
    /// The picture's real size, if that is written.
    pub picture_size: Option<Size>,
    /// How the picture lies on a sheet, if that is written.
    pub picture_fill: Option<PictureFill>,
    /// What its pattern is called.
    pub pattern: Option<String>,
    /// The pattern itself, if it is told.
    pub drawn: Option<Pattern>,
    /// What it is.
    pub kind: PaperKind,
    /// Which way its fibres run.
    pub grain: Grain,
    /// How thick it is.
    pub caliper: Option<Length>,
    /// How its pieces may be turned on a sheet, if that is written.
    pub turn: Option<Turns>,
    /// The narrowest stroke it can be cut to, if that is written.
    pub thinnest: Option<Length>,
    /// Its sheets by size, in the file's order.
    pub sheets: Vec<Sheets>,
}

/// Sheets of one size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheets {
    /// Size of a sheet.
    pub size: Size,
    /// How many there are.
    pub count: u32,
    /// Price of one: its own, else the paper's.
    pub price: Option<Price>,
}

/// A piece of paper that was left over and kept.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Offcut {
    /// What is pencilled on its back, such as `B7`.
    pub label: String,
    /// The name of its paper.
    pub paper: String,
    /// Its outline, lying as it lay on its sheet.
    pub shape: Shape,
    /// Where it came from, such as `kite-day navy-2`.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub from: String,
    /// A number that grows with time, to use the oldest first; 0 where none is known.
    #[serde(default)]
    pub added: u32,
}

impl StockPaper {
    /// How its pieces may be turned: as written, else by its grain.
    pub fn turns(&self) -> Turns {
        self.turn.unwrap_or(match self.grain {
            Grain::Down | Grain::Across => Turns::Half,
            Grain::None => Turns::default(),
        })
    }

    /// The sheets of a size.
    pub fn sheets_of(&self, size: Size) -> Option<&Sheets> {
        self.sheets.iter().find(|sheets| sheets.size == size)
    }
}

impl Stock {
    /// A paper by its name.
    pub fn paper(&self, name: &str) -> Option<&StockPaper> {
        self.papers.iter().find(|paper| paper.name == name)
    }

    /// An offcut by its label.
    pub fn offcut(&self, label: &str) -> Option<&Offcut> {
        self.offcuts.iter().find(|offcut| offcut.label == label)
    }

    /// The offcuts, the oldest first; those whose age is not known are the oldest, and among equals labels
    /// decide, so that one that was taken and comes back is as old as before.
    pub fn oldest_first(&self) -> Vec<&Offcut> {
        let mut offcuts: Vec<&Offcut> = self.offcuts.iter().collect();
        offcuts.sort_by(|one, other| {
            one.added.cmp(&other.added).then_with(|| one.label.cmp(&other.label))
        });
        offcuts
    }

    /// What all sheets cost, and how many have no price.
    pub fn worth(&self) -> (f64, u32) {
        let sheets = self.papers.iter().flat_map(|paper| &paper.sheets);
        sheets.fold((0.0, 0), |(sum, unpriced), sheets| match sheets.price {
            Some(price) => (sum + price.amount() * f64::from(sheets.count), unpriced),
            None => (sum, unpriced + sheets.count),
        })
    }

    /// How many sheets of each paper and size there are.
    pub(super) fn counts(&self) -> BTreeMap<SheetKind, u32> {
        let papers = self.papers.iter();
        papers
            .flat_map(|paper| {
                let named =
                    move |sheets: &Sheets| ((paper.name.clone(), key(sheets.size)), sheets.count);
                paper.sheets.iter().map(named)
            })
            .collect()
    }
}

/// A paper's name and a size of its sheets that can be sorted.
pub(super) type SheetKind = (String, [i64; 2]);

/// A size that can be sorted, in nanometres.
pub(super) fn key(size: Size) -> [i64; 2] {
    [size.width, size.height].map(Length::to_nanometres)
}

/// A size from its sortable form.
pub(super) fn of_key([width, height]: [i64; 2]) -> Size {
    Size::new(Length::nanometres(width), Length::nanometres(height))
}
