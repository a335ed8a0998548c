//! `stock.yaml` and its ledger together: read, changed by one entry at a time, and taken back.

use crate::description::{Problem, Problems};
use crate::model::Color;
use crate::model::length::Size;

use super::ask::Ask;
use super::editing::{self, NewPaper};
use super::ledger::{self, Entry, EntryKind, Lot, Move, Spot, Use};
use super::on_hand::{Conflict, OnHand};
use super::paper::{Offcut, Stock};
use super::{LEDGER_NAME, STOCK_NAME};

/// The user's file and the ledger beside it, as texts and as what they mean.
#[derive(Clone, Debug)]
pub struct Shelf {
    text: String,
    stock: Stock,
    entries: Vec<Entry>,
    lines: Vec<String>,
    on_hand: OnHand,
    noticed: Option<u32>,
}

/// What is wrong, and in which of the two files.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadFault {
    /// Name of the file: [`STOCK_NAME`] or [`LEDGER_NAME`].
    pub file: &'static str,
    /// What is wrong.
    pub problems: Problems,
}

impl Shelf {
    /// Reads the user's file and the ledger, if there is one. What the file says otherwise than the ledger
    /// was written by hand: it becomes an entry ([`Self::noticed`]).
    pub fn read(text: &str, ledger: Option<&str>) -> Result<Self, ReadFault> {
        let of_stock = |problems| ReadFault { file: STOCK_NAME, problems };
        let of_ledger = |problems| ReadFault { file: LEDGER_NAME, problems };
        let stock = Stock::parse(text).map_err(of_stock)?;
        let (entries, lines) = match ledger {
            Some(ledger) => ledger::parse(ledger).map_err(of_ledger)?,
            None => {
                let opening = opening(text, &stock);
                (vec![opening.clone()], vec![opening.line()])
            }
        };
        let on_hand = OnHand::after(&entries).map_err(|(number, why)| {
            let message = format!("entry {number} of the ledger can't be: {why}");
            let help = "put back a copy of the ledger; without a ledger a new one begins with what \
                        stock.yaml says";
            of_ledger(Problem::input(message, help).into())
        })?;
        let mut shelf =
            Self { text: text.to_owned(), stock, entries, lines, on_hand, noticed: None };
        let moves = shelf.on_hand.differences(&shelf.stock);
        if !moves.is_empty() {
            let entry = Entry { by_hand: true, moves, ..shelf.next(EntryKind::Count) };
            shelf.noticed = Some(entry.number);
            shelf.enter(entry, None).map_err(|problem| of_stock(problem.into()))?;
        }
        Ok(shelf)
    }

    /// The user's file, as it should stand now.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The ledger as it should stand now; nothing where it holds no entry, and no file is needed.
    pub fn ledger_text(&self) -> Option<String> {
        (self.entries.len() > 1).then(|| self.whole_ledger())
    }

    /// The ledger with its opening, even where it holds no entry.
    pub fn whole_ledger(&self) -> String {
        self.lines.iter().flat_map(|line| [line.as_str(), "\n"]).collect()
    }

    /// A short name for a text, which another text does not have.
    pub fn text_name(text: &str) -> String {
        ledger::text_name(text)
    }

    /// Whether a text is the user's file as a ledger's last entry left it.
    pub fn is_shown_last(ledger: &str, text: &str) -> bool {
        let entries = ledger::parse(ledger).map(|(entries, _)| entries).unwrap_or_default();
        entries.last().is_some_and(|last| last.after == ledger::text_name(text))
    }

    /// What the user's file says.
    pub fn stock(&self) -> &Stock {
        &self.stock
    }

    /// What is on hand, and what is reserved of it.
    pub fn on_hand(&self) -> &OnHand {
        &self.on_hand
    }

    /// The entries, the oldest first, without the opening.
    pub fn entries(&self) -> &[Entry] {
        self.entries.get(1..).unwrap_or_default()
    }

    /// The entry of what the user had changed by hand, if she had.
    pub fn noticed(&self) -> Option<&Entry> {
        let number = self.noticed?;
        self.entries.iter().find(|entry| entry.number == number)
    }

    /// The paper that a spread can count on: what is on hand, less what other spreads have reserved.
    pub fn stock_for(&self, spec: &str) -> Stock {
        let mut stock = self.stock.clone();
        let others = self.on_hand.reserved.iter().filter(|(other, _)| *other != spec);
        others.flat_map(|(_, uses)| uses).for_each(|one| stock.take(one));
        stock
    }

    /// Sheets that were bought or given. A paper that isn't listed yet needs its colour.
    pub fn add(
        &mut self,
        asked: &str,
        count: u32,
        color: Option<Color>,
    ) -> Result<&Entry, Problem> {
        let (paper, size, fresh) = match (Ask::parse(asked, &self.stock), color) {
            (Ok(Ask::Sheets { paper, size }), _) => (paper, size, None),
            (Ok(Ask::Offcut { label }), _) => {
                let message = format!("the offcut `{label}` is on hand already");
                return Err(Problem::input(message, "name sheets, such as \"oat 8.5 x 11\""));
            }
            (Err(_), Some(color)) => {
                let units = self.stock.units;
                let (name, size) = Ask::split(asked, units).ok_or_else(|| {
                    let help = "write the name and the size, such as \"sage 12 x 12\"";
                    Problem::input(format!("`{asked}` doesn't end with a size"), help)
                })?;
                let fresh = NewPaper { name: name.clone(), color: color.to_string() };
                (name, size, Some(fresh))
            }
            (Err(problem), None) => {
                let help = "a new paper comes with its colour: add `--color \"#a3b18a\"`";
                return Err(Problem { help: format!("{}; {help}", problem.help), ..problem });
            }
        };
        let lot = Lot::Sheets { paper, size, count };
        let moves = vec![Move { from: Spot::Shop, to: Spot::OnHand, lot }];
        let entry = Entry { moves, ..self.next(EntryKind::Add) };
        self.enter(entry, fresh.as_ref())
    }

    /// Sheets or an offcut that are taken for something else.
    pub fn take(&mut self, asked: &str, count: u32) -> Result<&Entry, Problem> {
        self.remove(asked, count, EntryKind::Take, Spot::Taken)
    }

    /// Sheets or an offcut that were spoiled.
    pub fn spoil(&mut self, asked: &str, count: u32) -> Result<&Entry, Problem> {
        self.remove(asked, count, EntryKind::Spoil, Spot::Spoiled)
    }

    fn remove(
        &mut self,
        asked: &str,
        count: u32,
        kind: EntryKind,
        to: Spot,
    ) -> Result<&Entry, Problem> {
        let lot = match Ask::parse(asked, &self.stock)? {
            Ask::Sheets { paper, size } => self.sheets(&paper, size, count)?,
            Ask::Offcut { label } => {
                if count != 1 {
                    let message = format!("there is one offcut `{label}`, not {count}");
                    return Err(Problem::input(message, "leave out the number"));
                }
                Lot::Offcut(self.offcut(&label)?.clone())
            }
        };
        let moves = vec![Move { from: Spot::OnHand, to, lot }];
        let entry = Entry { moves, ..self.next(kind) };
        self.enter(entry, None)
    }

    /// What counting found. Nothing is entered where it is what was known.
    pub fn count(&mut self, asked: &str, count: u32) -> Result<Option<&Entry>, Problem> {
        let Ask::Sheets { paper, size } = Ask::parse(asked, &self.stock)? else {
            let help = "name sheets; an offcut that is gone is taken with `cutleaf stock take`";
            return Err(Problem::input("offcuts are not counted", help));
        };
        let known = self.on_hand.sheets(&paper, size);
        let lot = Lot::Sheets { paper, size, count: known.abs_diff(count) };
        let (from, to) = match known.cmp(&count) {
            std::cmp::Ordering::Less => (Spot::Counted, Spot::OnHand),
            std::cmp::Ordering::Greater => (Spot::OnHand, Spot::Counted),
            std::cmp::Ordering::Equal => return Ok(None),
        };
        let entry = Entry { moves: vec![Move { from, to, lot }], ..self.next(EntryKind::Count) };
        self.enter(entry, None).map(Some)
    }

    /// What a spread means to cut, in place of what it reserved before; nothing is entered where that is the
    /// same. Answers with what is now reserved beyond what is on hand.
    pub fn reserve(&mut self, spec: &str, uses: Vec<Use>) -> Result<Vec<Conflict>, Problem> {
        let uses = summed(uses);
        for one in &uses {
            match one {
                Use::Sheets { paper, size, .. } if self.stock.listed(paper, *size).is_none() => {
                    return Err(missing(&format!("{paper} {}", size.show(self.stock.units))));
                }
                Use::Offcut { label } if self.stock.offcut(label).is_none() => {
                    return Err(missing(label));
                }
                Use::Sheets { .. } | Use::Offcut { .. } => {}
            }
        }
        if self.on_hand.reserved_by(spec) != uses {
            let spec = Some(spec.to_owned());
            let entry = Entry { spec, uses, ..self.next(EntryKind::Reserve) };
            self.enter(entry, None)?;
        }
        Ok(self.on_hand.conflicts())
    }

    /// Gives free what a spread has reserved.
    pub fn release(&mut self, spec: &str) -> Result<(), Problem> {
        self.reserve(spec, Vec::new()).map(|_| ())
    }

    /// Everything that is reserved beyond what is on hand.
    pub fn conflicts(&self) -> Vec<Conflict> {
        self.on_hand.conflicts()
    }

    /// Takes the last entry back, and gives it.
    pub fn undo(&mut self) -> Result<Entry, Problem> {
        if self.entries.len() < 2 {
            let help = "the ledger holds no entry; `cutleaf stock history` lists them";
            return Err(Problem::input("there is nothing to take back", help));
        }
        let mut before = self.clone();
        let Some(last) = before.entries.pop() else { return Ok(opening(&self.text, &self.stock)) };
        before.lines.pop();
        let summed = OnHand::after(&before.entries);
        before.on_hand = summed.map_err(|(_, why)| {
            Problem::input(
                format!("what was before can't be: {why}"),
                "put back a copy of the ledger",
            )
        })?;
        let says_so =
            |text: &String| Stock::parse(text).is_ok_and(|stock| before.on_hand.is_shown(&stock));
        let edit = last.edit.as_ref();
        let unchanged = last.after == ledger::text_name(&self.text);
        let back =
            edit.filter(|_| unchanged).and_then(|edit| editing::taken_back(&self.text, edit));
        let back = back.filter(says_so).or_else(|| {
            let elsewhere = editing::taken_back_elsewhere(&self.text, edit?);
            elsewhere.filter(says_so)
        });
        before.text = match back {
            Some(text) => text,
            None => editing::shown(&self.text, &self.stock, &before.on_hand, None)?,
        };
        before.stock = Stock::parse(&before.text).map_err(first)?;
        if before.noticed == Some(last.number) {
            before.noticed = None;
        }
        *self = before;
        Ok(last)
    }

    /// The next entry, of which only the kind is known.
    pub(super) fn next(&self, kind: EntryKind) -> Entry {
        let number = self.entries.last().map_or(0, |entry| entry.number.saturating_add(1));
        Entry {
            number,
            kind,
            spec: None,
            by_hand: false,
            moves: Vec::new(),
            uses: Vec::new(),
            sheets: Vec::new(),
            edit: None,
            after: String::new(),
        }
    }

    /// Takes up an entry: what is on hand, the user's file and the ledger change together, or none does.
    pub(super) fn enter(
        &mut self,
        mut entry: Entry,
        fresh: Option<&NewPaper>,
    ) -> Result<&Entry, Problem> {
        let mut on_hand = self.on_hand.clone();
        on_hand.enter(&entry).map_err(|why| {
            Problem::input(
                format!("that can't be entered: {why}"),
                "`cutleaf stock` shows what is on hand",
            )
        })?;
        let text = editing::shown(&self.text, &self.stock, &on_hand, fresh)?;
        let stock = Stock::parse(&text).map_err(first)?;
        entry.edit = editing::edit(&self.text, &text);
        entry.after = ledger::text_name(&text);
        self.lines.push(entry.line());
        (self.text, self.stock, self.on_hand) = (text, stock, on_hand);
        let at = self.entries.len();
        self.entries.push(entry);
        Ok(&self.entries[at])
    }

    pub(super) fn offcut(&self, label: &str) -> Result<&Offcut, Problem> {
        self.stock.offcut(label).ok_or_else(|| missing(label))
    }

    /// Sheets on hand.
    fn sheets(&self, paper: &str, size: Size, count: u32) -> Result<Lot, Problem> {
        let lot = Lot::Sheets { paper: paper.to_owned(), size, count };
        self.is_enough(&[Move { from: Spot::OnHand, to: Spot::Table, lot: lot.clone() }])?;
        Ok(lot)
    }

    /// Whether there are as many sheets as leave.
    pub(super) fn is_enough(&self, moves: &[Move]) -> Result<(), Problem> {
        let mut left = self.on_hand.clone();
        for one in moves.iter().filter(|one| one.from == Spot::OnHand) {
            let Lot::Sheets { paper, size, count } = &one.lot else { continue };
            let shown = format!("{paper} {}", size.show(self.stock.units));
            let there = left.sheets.entry((paper.clone(), super::paper::key(*size))).or_default();
            let Some(rest) = there.checked_sub(*count) else {
                let all: u32 = moves
                    .iter()
                    .filter_map(|other| match &other.lot {
                        Lot::Sheets { paper: name, size: of, count }
                            if other.from == Spot::OnHand && name == paper && of == size =>
                        {
                            Some(*count)
                        }
                        Lot::Sheets { .. } | Lot::Offcut(_) | Lot::Area { .. } => None,
                    })
                    .sum();
                let on_hand = self.on_hand.sheets(paper, *size);
                let message = format!("{all} of {shown} should leave, and {on_hand} are on hand");
                let help = format!(
                    "if there are more, say so: `cutleaf stock add \"{shown}\" {}`",
                    all - on_hand
                );
                return Err(Problem::input(message, help).cannot_cut());
            };
            *there = rest;
        }
        Ok(())
    }
}

/// What is on hand when a ledger is begun.
fn opening(text: &str, stock: &Stock) -> Entry {
    let moves = OnHand::default().differences(stock);
    let moves = moves.into_iter().map(|one| Move { from: Spot::Before, ..one }).collect();
    Entry {
        number: 0,
        kind: EntryKind::Opening,
        spec: None,
        by_hand: false,
        moves,
        uses: Vec::new(),
        sheets: Vec::new(),
        edit: None,
        after: ledger::text_name(text),
    }
}

/// Uses in which each paper and size, and each offcut, stands once.
fn summed(uses: Vec<Use>) -> Vec<Use> {
    let mut summed: Vec<Use> = Vec::new();
    for one in uses {
        if let Use::Sheets { paper, size, count } = &one {
            if *count == 0 {
                continue;
            }
            let same = summed.iter_mut().find_map(|other| match other {
                Use::Sheets { paper: name, size: of, count } if name == paper && of == size => {
                    Some(count)
                }
                Use::Sheets { .. } | Use::Offcut { .. } => None,
            });
            if let Some(sum) = same {
                *sum = sum.saturating_add(*count);
                continue;
            }
        } else if summed.contains(&one) {
            continue;
        }
        summed.push(one);
    }
    summed
}

fn missing(what: &str) -> Problem {
    let help = "`cutleaf stock` shows what is on hand; build the spread anew if it has changed";
    Problem::input(format!("`{what}` is not in the stock"), help)
}

fn first(problems: Problems) -> Problem {
    let mut problems = problems.0.into_iter();
    problems.next().unwrap_or_else(|| Problem::input("stock.yaml can't be read", ""))
}
