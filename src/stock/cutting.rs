//! Sheets that have been cut: what they become, and the labels of what is kept.

use crate::description::Problem;
use crate::model::Count;
use crate::model::length::Size;

use super::ledger::{Entry, EntryKind, Lot, Move, SAME_AREA, SheetOfRun, Spot};
use super::paper::Offcut;
use super::{Shape, Shelf, labels};

/// Where a piece of paper on the table comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Source {
    /// A whole sheet of this size.
    Sheet(Size),
    /// An offcut with this label.
    Offcut(String),
}

/// A sheet that has been cut.
#[derive(Clone, Debug, PartialEq)]
pub struct CutSheet {
    /// Its id in the spread's record, such as `oat-1`.
    pub id: String,
    /// Name of its paper.
    pub paper: String,
    /// Where it came from.
    pub source: Source,
    /// How many sheets were cut alike, all of them whole.
    pub count: Count,
    /// The area of the pieces cut from all of them, in square inches.
    pub pieces: f64,
    /// What was left of them all and is kept; the rest is waste.
    pub offcuts: Vec<Shape>,
}

impl Shelf {
    /// Sheets of a spread that have been cut: they leave, and are no longer reserved; the offcuts come in,
    /// with their labels in the order of the sheets.
    pub fn cut(&mut self, spec: &str, sheets: &[CutSheet]) -> Result<Vec<Offcut>, Problem> {
        self.cut_of_run(EntryKind::Cut, spec, "", sheets)
    }

    /// The same for sheets that were cut to redo something.
    pub fn redo(&mut self, spec: &str, sheets: &[CutSheet]) -> Result<Vec<Offcut>, Problem> {
        self.cut_of_run(EntryKind::Redo, spec, "", sheets)
    }

    /// The same for sheets of a run, by a name that another build or redo of the spread does not have.
    pub fn cut_of_run(
        &mut self,
        kind: EntryKind,
        spec: &str,
        run: &str,
        sheets: &[CutSheet],
    ) -> Result<Vec<Offcut>, Problem> {
        let mut moves: Vec<Move> = Vec::new();
        let mut kept: Vec<Offcut> = Vec::new();
        let added = self.stock().offcuts.iter().map(|offcut| offcut.added).max().unwrap_or(0);
        let added = added.max(self.next(kind).number - 1).saturating_add(1);
        let mut last = self.last_label();
        let name = std::path::Path::new(spec).file_stem().unwrap_or_default().to_string_lossy();
        for sheet in sheets {
            let CutSheet { id, paper, source, count, pieces, offcuts } = sheet;
            let lot = match source {
                Source::Sheet(size) => {
                    let count = count.get();
                    Lot::Sheets { paper: paper.clone(), size: *size, count }
                }
                Source::Offcut(label) => Lot::Offcut(self.offcut(label)?.clone()),
            };
            let whole = lot.area();
            let left: f64 = offcuts.iter().map(Shape::area).sum();
            let waste = whole - pieces - left;
            if !(waste >= -SAME_AREA && *pieces >= 0.0) {
                let message = format!(
                    "{pieces:.4} in² of pieces and {left:.4} in² of offcuts are more than the sheet \
                     `{id}` has, {whole:.4} in²"
                );
                return Err(Problem::input(message, "build the spread anew"));
            }
            moves.push(Move { from: Spot::OnHand, to: Spot::Table, lot });
            for shape in offcuts {
                let is_taken = |label: &str| {
                    self.stock()
                        .offcuts
                        .iter()
                        .chain(&kept)
                        .any(|other| other.label.eq_ignore_ascii_case(label))
                };
                let label = labels::free(is_taken, &last);
                last.clone_from(&label);
                let (paper, shape) = (paper.clone(), shape.clone());
                let from = format!("{name} {id}");
                let offcut = Offcut { label, paper, shape, from, added };
                let lot = Lot::Offcut(offcut.clone());
                moves.push(Move { from: Spot::Table, to: Spot::OnHand, lot });
                kept.push(offcut);
            }
            let rest = waste.max(0.0);
            // What rounding makes of the areas goes with the pieces.
            for (to, area) in [(Spot::Pieces, whole - left - rest), (Spot::Waste, rest)] {
                if area > 0.0 {
                    let lot = Lot::Area { paper: paper.clone(), area };
                    moves.push(Move { from: Spot::Table, to, lot });
                }
            }
        }
        self.is_enough(&moves)?;
        let of_run = |sheet: &CutSheet| SheetOfRun { run: run.to_owned(), id: sheet.id.clone() };
        let sheets = sheets.iter().map(of_run).collect();
        let entry = Entry { spec: Some(spec.to_owned()), moves, sheets, ..self.next(kind) };
        self.enter(entry, None)?;
        Ok(kept)
    }

    /// The label that was given last.
    fn last_label(&self) -> String {
        let moves = self.entries().iter().rev().flat_map(|entry| entry.moves.iter().rev());
        let given = moves.filter(|one| one.from == Spot::Table).find_map(|one| match &one.lot {
            Lot::Offcut(offcut) => Some(offcut.label.clone()),
            Lot::Sheets { .. } | Lot::Area { .. } => None,
        });
        given.unwrap_or_default()
    }
}
