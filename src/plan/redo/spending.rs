//! What a build and its redos take from the stock, and what they give back to it.

use std::collections::{BTreeMap, BTreeSet};

use crate::description::Problem;
use crate::geometry::ring_area;
use crate::layout::{Layout, add_shaped};
use crate::model::length::Size;
use crate::model::{self, SheetSource};
use crate::record::{Record, Sheet};
use crate::stock::{self, CutSheet, Entry, EntryKind, Shape, Shelf, Source, Spot, Use};

use super::{Chain, Redo, lost_with, spoiled};

/// Letters of a run's name in the ledger.
const RUN_NAME: usize = 16;

/// A build and its redos beside the stock that they are cut from.
pub struct Spending<'a> {
    chain: &'a Chain,
    shelf: &'a Shelf,
    /// How the ledger calls the spread.
    spec: &'a str,
    /// The names of the chain's runs there, in order.
    runs: Vec<String>,
}

/// The sheets of one run that are to be entered as cut.
#[derive(Clone, Debug)]
pub struct RunCut {
    /// Whether it is the build or a redo.
    pub kind: EntryKind,
    /// The run's name.
    pub run: String,
    /// The sheets.
    pub sheets: Vec<CutSheet>,
}

impl<'a> Spending<'a> {
    /// A chain beside a stock, in whose ledger the spread is called `spec`.
    pub fn new(chain: &'a Chain, shelf: &'a Shelf, spec: &'a str) -> Self {
        Self { chain, shelf, spec, runs: chain.records().map(run_name).collect() }
    }

    /// The records of the chain, each with its run's name.
    fn runs(&self) -> impl Iterator<Item = (&'a Record, &str)> {
        self.chain.records().zip(self.runs.iter().map(String::as_str))
    }

    /// The spread's own entries in the ledger, the oldest first.
    fn own_entries(&self) -> impl DoubleEndedIterator<Item = &'a Entry> {
        self.shelf.entries().iter().filter(|entry| entry.spec.as_deref() == Some(self.spec))
    }

    /// What is still to be cut from the stock: what a build reserves.
    pub fn uses(&self) -> Vec<Use> {
        let mut uses = Vec::new();
        for (record, run) in self.runs() {
            for sheet in wholes(record).filter(|sheet| !self.is_cut(run, &sheet.id)) {
                match record.source(sheet) {
                    SheetSource::New if !sheet.to_buy => uses.extend(self.sheets(sheet)),
                    SheetSource::Offcut(id) if self.shelf.stock().offcut(&id).is_some() => {
                        uses.push(Use::Offcut { label: id.into() });
                    }
                    SheetSource::New
                    | SheetSource::Offcut(_)
                    | SheetSource::Middle(_)
                    | SheetSource::Part { .. }
                    | SheetSource::FedOnce(_) => {}
                }
            }
        }
        uses
    }

    /// One sheet as the stock lists it, if it lists such.
    fn sheets(&self, sheet: &Sheet) -> Option<Use> {
        let size = self.listed(sheet)?;
        Some(Use::Sheets { paper: sheet.paper.clone(), size, count: sheet.count.get() })
    }

    /// The size under which the stock lists a sheet: it may be listed the other way round.
    fn listed(&self, sheet: &Sheet) -> Option<Size> {
        let paper = self.shelf.stock().paper(&sheet.paper)?;
        let size = Size::of_inches(sheet.size);
        [size, size.turned()].into_iter().find(|size| paper.sheets_of(*size).is_some())
    }

    fn is_cut(&self, run: &str, id: &str) -> bool {
        self.own_entries().flat_map(|entry| &entry.sheets).any(|cut| cut.run == run && cut.id == id)
    }

    /// The stock as it was before sheets of this chain were entered as cut: what a build of the same spread
    /// plans with, so that it plans the same again.
    pub fn stock_before(&self) -> stock::Stock {
        let mut stock = self.shelf.stock_for(self.spec);
        let of_chain = |entry: &&Entry| entry.sheets.iter().any(|cut| self.runs.contains(&cut.run));
        for entry in self.own_entries().rev().filter(of_chain) {
            for one in &entry.moves {
                match (&one.lot, one.from, one.to) {
                    (stock::Lot::Offcut(offcut), Spot::Table, Spot::OnHand) => {
                        stock.offcuts.retain(|known| known.label != offcut.label);
                    }
                    (stock::Lot::Offcut(offcut), Spot::OnHand, Spot::Table) => {
                        stock.offcuts.push(offcut.clone());
                    }
                    (stock::Lot::Sheets { paper, size, count }, Spot::OnHand, Spot::Table) => {
                        let papers = stock.papers.iter_mut().filter(|known| known.name == *paper);
                        let sheets = papers.flat_map(|paper| &mut paper.sheets);
                        sheets
                            .filter(|sheets| sheets.size == *size)
                            .for_each(|sheets| sheets.count += count);
                    }
                    _ => {}
                }
            }
        }
        stock
    }

    /// The ids of the sheets that were entered as cut, of all runs or of the last alone.
    pub fn entered(&self, last_alone: bool) -> Vec<&str> {
        let from = if last_alone { self.runs.len().saturating_sub(1) } else { 0 };
        let of_run = |(record, run)| {
            let ids = wholes(record).map(|sheet| sheet.id.as_str());
            ids.filter(move |id| self.is_cut(run, id))
        };
        self.runs().skip(from).flat_map(of_run).collect()
    }

    /// The sheets to enter as cut next: those of the first run that has some left, or of `ids` alone. Nothing
    /// where all are cut; a fault where an id is none of a sheet from the stock.
    pub fn next_cut(&self, ids: &[String]) -> Result<Option<RunCut>, Problem> {
        let known = || self.chain.records().flat_map(wholes).map(|sheet| sheet.id.as_str());
        if let Some(id) = ids.iter().find(|id| known().all(|known| known != id.as_str())) {
            let all = self.chain.records().flat_map(wholes);
            if let Some(sheet) = all.into_iter().find(|sheet| sheet.stands_for(id)) {
                let message = format!("`{id}` is one of {} sheets that are cut alike", sheet.count);
                let help = format!("enter them together, with `--sheet {}`", sheet.id);
                return Err(Problem::input(message, help));
            }
            let known: Vec<&str> = known().collect();
            return Err(super::selection::unknown("sheet from the stock", id, &known));
        }
        for (number, (record, run)) in self.runs().enumerate() {
            let wanted = |sheet: &&Sheet| ids.is_empty() || ids.iter().any(|id| sheet.id == *id);
            let left = wholes(record).filter(|sheet| !self.is_cut(run, &sheet.id)).filter(wanted);
            // What has to be bought is cut once it was bought, and the spread built anew.
            let left = left.filter(|sheet| !sheet.to_buy);
            let sheets: Vec<CutSheet> =
                left.map(|sheet| self.cut_sheet(record, sheet)).collect::<Result<_, _>>()?;
            if !sheets.is_empty() {
                let kind = if number == 0 { EntryKind::Cut } else { EntryKind::Redo };
                return Ok(Some(RunCut { kind, run: run.to_owned(), sheets }));
            }
        }
        Ok(None)
    }

    fn cut_sheet(&self, record: &Record, sheet: &Sheet) -> Result<CutSheet, Problem> {
        let source = match record.source(sheet) {
            SheetSource::Offcut(id) => {
                let labels = self.labels().remove(id.as_str()).unwrap_or_default();
                let label = labels.get(self.taken_before(&id, &sheet.id)).copied();
                let label = label.map(str::to_owned);
                let label =
                    label.or_else(|| self.shelf.stock().offcut(&id).map(|one| one.label.clone()));
                Source::Offcut(label.ok_or_else(|| not_yet(self.chain, &id))?)
            }
            SheetSource::New
            | SheetSource::Middle(_)
            | SheetSource::Part { .. }
            | SheetSource::FedOnce(_) => {
                Source::Sheet(self.listed(sheet).ok_or_else(|| not_listed(sheet))?)
            }
        };
        let all = with_parts(record, sheet);
        let covered = all.iter().flat_map(|sheet| {
            let times = sheet.count.factor();
            sheet
                .placed
                .iter()
                .map(move |placed| placed.rings.iter().map(ring_area).sum::<f64>().abs() * times)
        });
        Ok(CutSheet {
            id: sheet.id.to_string(),
            paper: sheet.paper.clone(),
            source,
            count: sheet.count,
            pieces: covered.sum(),
            offcuts: offcuts(record, sheet).into_iter().map(|(_, shape)| shape).collect(),
        })
    }

    /// How many sheets of the chain came from an offcut before a sheet did: of sheets that are cut alike
    /// there are several with one id.
    fn taken_before(&self, offcut: &str, sheet: &str) -> usize {
        let sheets = self.chain.records().flat_map(|record| &record.sheets);
        let before = sheets.take_while(|one| one.id != sheet);
        before.filter(|one| one.from.as_deref() == Some(offcut)).count()
    }

    /// The labels that offcuts of this chain were given when they were entered, by their ids in the records.
    fn labels(&self) -> BTreeMap<&str, Vec<&str>> {
        let mut labels: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for entry in self.own_entries() {
            let given = entry.moves.iter().filter(|one| one.from == Spot::Table);
            let given = given.filter_map(|one| match &one.lot {
                stock::Lot::Offcut(offcut) => Some(offcut.label.as_str()),
                stock::Lot::Sheets { .. } | stock::Lot::Area { .. } => None,
            });
            let ids = entry.sheets.iter().flat_map(|cut| {
                let run = self.runs().find(|(_, run)| *run == cut.run);
                let sheet = run.and_then(|(record, _)| {
                    Some((record, record.sheets.iter().find(|sheet| sheet.id == cut.id)?))
                });
                let offcuts = sheet.map(|(record, sheet)| offcuts(record, sheet));
                offcuts.unwrap_or_default().into_iter().map(|(id, _)| id)
            });
            for (id, label) in ids.zip(given) {
                labels.entry(id).or_default().push(label);
            }
        }
        labels
    }

    /// Puts what the stock has now in the place of what a record knew to be left, for a redo: whole sheets
    /// and offcuts that no spread has reserved, this one's own among them; and of this spread's own offcuts
    /// those that are not entered yet. What is spoiled with a sheet is not offered.
    pub fn offer(&self, layout: &mut Layout, wanted: &[Redo]) {
        let whole = self.chain.whole();
        let lost = lost_with(whole, &spoiled(whole, wanted));
        let labels = self.labels();
        let lost_labels: BTreeSet<&str> =
            lost.iter().filter_map(|id| labels.get(id)?.last().copied()).collect();
        let stock = self.shelf.stock_for(self.spec);
        let own = self.shelf.on_hand().reserved_by(self.spec);
        let made: BTreeSet<&str> = self
            .chain
            .records()
            .flat_map(|record| &record.sheets)
            .flat_map(|sheet| &sheet.offcuts)
            .map(|offcut| offcut.id.as_str())
            .collect();
        let is_free = |offcut: &stock::Offcut| {
            let reserved = own.contains(&Use::Offcut { label: offcut.label.clone() });
            !reserved && !lost_labels.contains(offcut.label.as_str())
        };
        add_shaped(&mut layout.papers, &stock, is_free);
        for paper in layout.papers.iter_mut().filter(|paper| paper.from_stock) {
            let Some(known) = stock.paper(&paper.name) else { continue };
            paper.stock.retain(|one| {
                let id = one.offcut.as_deref();
                id.is_some_and(|id| made.contains(id) && !labels.contains_key(id))
            });
            for offcut in stock.oldest_first().into_iter().filter(|one| one.paper == paper.name) {
                let Some(size) = offcut.shape.as_rectangle() else { continue };
                if is_free(offcut) {
                    let offcut = Some(offcut.label.as_str().into());
                    paper.stock.push(model::Stock {
                        size,
                        count: 1,
                        offcut,
                        ..model::Stock::default()
                    });
                }
            }
            for sheets in &known.sheets {
                let reserved = own.iter().map(|one| one.sheets_of(&paper.name, sheets.size));
                let count = sheets.count.saturating_sub(reserved.sum::<u32>());
                let (size, price) = (sheets.size, sheets.price);
                paper.stock.push(model::Stock { size, count, price, ..model::Stock::default() });
            }
        }
    }
}

/// A name for what a run decided of its paper.
fn run_name(record: &Record) -> String {
    record.sheets_digest().chars().take(RUN_NAME).collect()
}

/// The sheets of a run that are taken as they are from paper of the stock; parts and middles come with them.
fn wholes(record: &Record) -> impl Iterator<Item = &Sheet> {
    let papers: BTreeSet<&str> = record
        .papers
        .iter()
        .filter(|paper| paper.from_stock)
        .map(|paper| paper.name.as_str())
        .collect();
    record.sheets.iter().filter(move |sheet| {
        papers.contains(sheet.paper.as_str())
            && matches!(record.source(sheet), SheetSource::New | SheetSource::Offcut(_))
    })
}

/// A sheet, and the sheets that are parts of it or middles of its pieces, each after the one it comes from.
fn with_parts<'a>(record: &'a Record, sheet: &'a Sheet) -> Vec<&'a Sheet> {
    let mut all = vec![sheet];
    let mut next = 0;
    while let Some(whole) = all.get(next).copied() {
        next += 1;
        let middles: BTreeSet<&str> = middles(record, whole).map(|(id, _)| id).collect();
        let comes_from = |sheet: &&Sheet| match record.source(sheet) {
            SheetSource::Part { whole: from, .. } => from == whole.id,
            SheetSource::Middle(middle) => middles.contains(middle.as_str()),
            SheetSource::New | SheetSource::Offcut(_) | SheetSource::FedOnce(_) => false,
        };
        let parts: Vec<&Sheet> = record.sheets.iter().filter(comes_from).collect();
        for part in parts {
            if all.iter().all(|known| known.id != part.id) {
                all.push(part);
            }
        }
    }
    all
}

/// The middles that are cut out of the pieces on a sheet, each with its size.
fn middles<'a>(record: &'a Record, sheet: &'a Sheet) -> impl Iterator<Item = (&'a str, Size)> {
    let pieces = sheet.placed.iter();
    let pieces = pieces.filter_map(|one| record.pieces.iter().find(|piece| piece.id == one.piece));
    pieces.flat_map(|piece| &piece.gutted).map(|one| (one.id.as_str(), Size::of_inches(one.size)))
}

/// What is left of a sheet and all that comes from it, and kept: each with its id in the record, as often as
/// there is one.
fn offcuts<'a>(record: &'a Record, sheet: &'a Sheet) -> Vec<(&'a str, Shape)> {
    let mut left: Vec<(&str, Shape)> = Vec::new();
    for part in with_parts(record, sheet) {
        let offcuts = part.offcuts.iter();
        for one in offcuts {
            let offcut = || (one.id.as_str(), Shape::rectangle(Size::of_inches(one.size)));
            left.extend((0..one.count.get()).map(|_| offcut()));
        }
        for (id, size) in middles(record, part) {
            let is_sheet = record.sheets.iter().any(|sheet| sheet.from.as_deref() == Some(id));
            if !is_sheet && left.iter().all(|(known, _)| *known != id) {
                left.push((id, Shape::rectangle(size)));
            }
        }
    }
    left
}

/// An offcut that is not in the stock: either its sheet has not been entered, or it has gone.
fn not_yet(chain: &Chain, id: &str) -> Problem {
    let sheets = chain.records().flat_map(|record| &record.sheets);
    let origin = sheets.into_iter().find(|sheet| sheet.offcuts.iter().any(|one| one.id == id));
    match origin {
        Some(sheet) => Problem::input(
            format!("`{id}` comes from the sheet `{}`, which is not entered as cut", sheet.id),
            format!("enter that first, with `--sheet {}`", sheet.id),
        ),
        None => Problem::input(
            format!("the offcut `{id}` is not in the stock any more"),
            "`cutleaf stock history` tells where it went; build the spread anew",
        ),
    }
}

fn not_listed(sheet: &Sheet) -> Problem {
    Problem::input(
        format!("the stock lists no sheets of {} in the size of `{}`", sheet.paper, sheet.id),
        "`cutleaf stock` shows what is on hand; build the spread anew if it has changed",
    )
}
