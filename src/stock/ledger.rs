//! The ledger: every move of paper as an entry, numbered, the oldest first; a line of JSON each.
//!
//! An entry has no date: the program has no clock. What leaves a place comes to another. Whole sheets and
//! offcuts move between the shop, the box and the table; what is cut becomes pieces, waste and offcuts, whose
//! areas come to that of the sheets.

use std::fmt;
use std::num::NonZeroU64;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::description::{Place, Problem, Problems};
use crate::model::choices;
use crate::model::length::{Length, Size};

use super::{Offcut, Shape};

/// The longest ledger that is read, in bytes: some 50 000 entries.
const LONGEST: usize = 50_000_000;
/// The longest side of paper, in inches; larger numbers are none.
const LONGEST_SIDE: f64 = 1_000.0;

choices! {
    /// What an entry records.
    pub enum EntryKind, "kind of entry" {
        /// What was on hand when the ledger was begun.
        Opening = "opening",
        /// Paper that was bought or given.
        Add = "add",
        /// Paper that was taken for something else.
        Take = "take",
        /// Paper that was spoiled.
        Spoil = "spoil",
        /// What was found when the paper was counted.
        Count = "count",
        /// What a build means to cut.
        Reserve = "reserve",
        /// Sheets of a spread that were cut.
        Cut = "cut",
        /// Sheets that were cut to redo something.
        Redo = "redo",
    }
}

/// Where paper is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Spot {
    /// Where it was before the ledger knew of it.
    #[serde(rename = "before")]
    Before,
    /// The shop, or whoever gave it.
    #[serde(rename = "shop")]
    Shop,
    /// The box of paper: on hand.
    #[serde(rename = "on hand")]
    OnHand,
    /// The table, while it is cut: nothing is left there at the end of an entry.
    #[serde(rename = "table")]
    Table,
    /// The pieces of a spread.
    #[serde(rename = "pieces")]
    Pieces,
    /// The bin: what is left of cutting and not worth keeping.
    #[serde(rename = "waste")]
    Waste,
    /// The bin: what went wrong.
    #[serde(rename = "spoiled")]
    Spoiled,
    /// Elsewhere: given away, or used for something that the program knows nothing of.
    #[serde(rename = "taken")]
    Taken,
    /// What counting found to be there or missing.
    #[serde(rename = "counted")]
    Counted,
}

/// Some paper that moves as a whole.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase", deny_unknown_fields)]
pub enum Lot {
    /// Sheets of one size.
    Sheets {
        /// The paper's name.
        paper: String,
        /// Size of a sheet; inches in the file.
        #[serde(with = "inches")]
        size: Size,
        /// How many.
        count: u32,
    },
    /// An offcut.
    Offcut(Offcut),
    /// Paper of no shape that matters.
    Area {
        /// The paper's name.
        paper: String,
        /// How much, in square inches.
        area: f64,
    },
}

impl Lot {
    /// Its area in square inches.
    pub fn area(&self) -> f64 {
        match self {
            Self::Sheets { size, count, .. } => size.area() * f64::from(*count),
            Self::Offcut(offcut) => offcut.shape.area(),
            Self::Area { area, .. } => *area,
        }
    }

    /// The name of its paper.
    pub fn paper(&self) -> &str {
        match self {
            Self::Sheets { paper, .. } | Self::Area { paper, .. } => paper,
            Self::Offcut(offcut) => &offcut.paper,
        }
    }
}

/// Paper that goes from one place to another.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Move {
    /// Where it was.
    pub from: Spot,
    /// Where it is now.
    pub to: Spot,
    /// What moves.
    pub lot: Lot,
}

/// Paper that a build means to cut.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase", deny_unknown_fields)]
pub enum Use {
    /// Sheets on hand.
    Sheets {
        /// The paper's name.
        paper: String,
        /// Size of a sheet; inches in the file.
        #[serde(with = "inches")]
        size: Size,
        /// How many.
        count: u32,
    },
    /// An offcut on hand.
    Offcut {
        /// Its label.
        label: String,
    },
}

impl Use {
    /// How many sheets of a paper and size it is.
    pub fn sheets_of(&self, paper: &str, size: Size) -> u32 {
        match self {
            Self::Sheets { paper: other, size: of, count } if other == paper && *of == size => {
                *count
            }
            Self::Sheets { .. } | Self::Offcut { .. } => 0,
        }
    }
}

/// A sheet of a spread's build or redo.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SheetOfRun {
    /// A name for what was decided, which another build does not have; empty where nobody said.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub run: String,
    /// The sheet's id, such as `oat-1`.
    pub id: String,
}

/// One entry of the ledger.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Its number, from 1; the opening's is 0.
    #[serde(rename = "entry")]
    pub number: u32,
    /// What it records.
    pub kind: EntryKind,
    /// The spread it belongs to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spec: Option<String>,
    /// Whether the user wrote it into `stock.yaml` by hand.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub by_hand: bool,
    /// The paper that moves.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub moves: Vec<Move>,
    /// Of a reservation, all that the spread means to cut; it takes the place of an earlier one of the
    /// spread.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub uses: Vec<Use>,
    /// The sheets that were cut, in the order of the moves.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sheets: Vec<SheetOfRun>,
    /// What it changed in `stock.yaml`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) edit: Option<Edit>,
    /// The first letters of the SHA-256 of `stock.yaml` after it.
    pub(super) after: String,
}

/// A part of a text that was replaced.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Edit {
    /// The byte where it begins.
    pub at: usize,
    /// What stood there.
    pub old: String,
    /// What stands there now.
    pub new: String,
    /// The text just before and just behind it, to find it again when other lines have changed.
    pub beside: [String; 2],
}

impl Entry {
    /// The area that went from one kind of place to another in square inches: that of all moves that
    /// `counts`.
    pub fn area(&self, counts: impl Fn(&Move) -> bool) -> f64 {
        self.moves.iter().filter(|one| counts(one)).map(|one| one.lot.area()).sum()
    }

    /// The entry as a line of the ledger, without its end.
    pub(super) fn line(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }
}

/// A name for a text: the first letters of its SHA-256.
pub(super) fn text_name(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}

/// Reads a ledger: its entries, the opening first, as numbers follow each other; and their lines.
pub(super) fn parse(text: &str) -> Result<(Vec<Entry>, Vec<String>), Problems> {
    let help = "put back a copy of the ledger; without a ledger a new one begins with what \
                stock.yaml says";
    if text.len() > LONGEST {
        return Err(Problem::input("the ledger is too long to be read", help).into());
    }
    let (mut entries, mut lines) = (Vec::new(), Vec::new());
    let (mut offset, mut number) = (0, 0);
    for whole in text.split_inclusive('\n') {
        let line = whole.trim_end_matches(['\n', '\r']);
        number += 1;
        let place = Place { line: NonZeroU64::new(number), offset, length: line.len().max(1) };
        let fault = |place, message: String| Problems::from(Problem::at(place, message, help));
        offset += whole.len();
        if line.trim().is_empty() {
            continue;
        }
        let entry: Entry = serde_json::from_str(line).map_err(|error| {
            let column = error.column().saturating_sub(1).min(line.len());
            let place = Place { offset: place.offset + column, length: 1, ..place };
            let message = error.to_string();
            let message = message.split(" at line ").next().unwrap_or_default().to_owned();
            fault(place, format!("this is no entry of a ledger: {message}"))
        })?;
        if usize::try_from(entry.number).ok() != Some(entries.len())
            || (entry.kind == EntryKind::Opening) != (entry.number == 0)
        {
            let message =
                format!("entry {} should stand here, not {}", entries.len(), entry.number);
            return Err(fault(place, message));
        }
        if let Some(why) = unsound(&entry) {
            return Err(fault(place, format!("entry {} can't be: {why}", entry.number)));
        }
        entries.push(entry);
        lines.push(line.to_owned());
    }
    if entries.is_empty() {
        return Err(Problem::input("the ledger is empty", help).into());
    }
    Ok((entries, lines))
}

/// What can't be in an entry, if anything: numbers that are no paper, or areas that don't come to each other.
fn unsound(entry: &Entry) -> Option<String> {
    let is_side = |side: Length| Length::ZERO < side && side.to_inches() <= LONGEST_SIDE;
    let is_paper = |lot: &Lot| match lot {
        Lot::Sheets { size, .. } => is_side(size.width) && is_side(size.height),
        Lot::Offcut(offcut) => {
            let Size { width, height } = offcut.shape.bounds();
            is_side(width) && is_side(height)
        }
        Lot::Area { area, .. } => area.is_finite() && *area >= 0.0,
    };
    if !entry.moves.iter().all(|one| is_paper(&one.lot)) {
        return Some("a size or an area in it is none".to_owned());
    }
    let off = entry.off_balance();
    (off.abs() > SAME_AREA).then(|| format!("{:.6} square inches are left on the table", off))
}

/// Areas that differ by less are the same, in square inches.
pub(super) const SAME_AREA: f64 = 1e-6;

impl Entry {
    /// What is left on the table after it, in square inches: nothing, or the entry is none.
    pub(super) fn off_balance(&self) -> f64 {
        let come = self.area(|one| one.to == Spot::Table);
        come - self.area(|one| one.from == Spot::Table)
    }
}

impl fmt::Display for Spot {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::Before => "before",
            Self::Shop => "shop",
            Self::OnHand => "on hand",
            Self::Table => "table",
            Self::Pieces => "pieces",
            Self::Waste => "waste",
            Self::Spoiled => "spoiled",
            Self::Taken => "taken",
            Self::Counted => "counted",
        })
    }
}

/// Sizes in inches.
mod inches {
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    use crate::model::length::Size;

    pub fn serialize<S: Serializer>(size: &Size, serializer: S) -> Result<S::Ok, S::Error> {
        size.to_inches().serialize(serializer)
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Size, D::Error> {
        <[f64; 2]>::deserialize(deserializer).map(Size::of_inches)
    }
}

/// Rings of corners in inches, the outline first.
impl From<Shape> for Vec<Vec<[f64; 2]>> {
    fn from(shape: Shape) -> Self {
        let inches = |ring: &Vec<[Length; 2]>| -> Vec<[f64; 2]> {
            ring.iter().map(|at| at.map(Length::to_inches)).collect()
        };
        shape.rings().map(inches).collect()
    }
}

impl TryFrom<Vec<Vec<[f64; 2]>>> for Shape {
    type Error = &'static str;

    fn try_from(rings: Vec<Vec<[f64; 2]>>) -> Result<Self, &'static str> {
        let lengths = |ring: Vec<[f64; 2]>| -> Vec<[Length; 2]> {
            ring.into_iter().map(|at| at.map(Length::inches)).collect()
        };
        if rings.iter().flatten().flatten().any(|number| number.abs() > LONGEST_SIDE) {
            return Err("it is larger than paper");
        }
        let mut rings = rings.into_iter().map(lengths);
        let corners = rings.next().unwrap_or_default();
        Self::new(corners, rings.collect())
    }
}
