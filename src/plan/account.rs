//! The account of one paper in a plan: what was on hand, what is taken, what has to be bought, what is left.
//!
//! Every sheet of the plan is entered once, whatever it serves: pieces, pages in register, the story or
//! photos. Counts and the shopping list are asked here, so that they can't disagree. What a search takes in
//! passing, to see what it would cost, is no entry.

use crate::model::length::Size;
use crate::model::{Price, SheetSource, Stock};

use super::sheet::Sheet;

/// The account of a paper.
#[derive(Clone, Debug, Default)]
pub struct Account {
    paper: String,
    /// New sheets: a line a size, those that were on hand or listed first.
    lines: Vec<ShoppingLine>,
    /// How many of the lines were there at the start.
    listed: usize,
    /// Offcuts and hidden middles that are not taken.
    offcuts: Vec<Stock>,
}

/// What is used of sheets of one paper and size.
#[derive(Clone, Debug)]
pub struct ShoppingLine {
    /// The paper's name.
    pub paper: String,
    /// Sheet size.
    pub size: Size,
    /// Sheets that are used.
    pub uses: u32,
    /// Sheets on hand before.
    pub on_hand: u32,
    /// Sheets of those used that are not on hand and have to be bought.
    pub buy: u32,
    /// Price of one, if it is known.
    pub price: Option<Price>,
}

impl Account {
    /// The account of a paper of which this is on hand.
    pub fn open(paper: &str, on_hand: &[Stock]) -> Self {
        let mut account = Self { paper: paper.to_owned(), ..Self::default() };
        for stock in on_hand {
            match (&stock.offcut, account.lines.iter().position(|line| line.size == stock.size)) {
                (Some(id), _) => {
                    let mut offcuts = account.offcuts.iter_mut();
                    match offcuts.find(|known| known.offcut.as_ref() == Some(id)) {
                        Some(known) => known.count += stock.count,
                        None => account.offcuts.push(stock.clone()),
                    }
                }
                (None, Some(place)) => account.lines[place].on_hand += stock.count,
                (None, None) => {
                    let line = account.line(stock.size, stock.price);
                    account.lines.push(ShoppingLine { on_hand: stock.count, ..line });
                }
            }
        }
        account.listed = account.lines.len();
        account
    }

    fn line(&self, size: Size, price: Option<Price>) -> ShoppingLine {
        ShoppingLine { paper: self.paper.clone(), size, uses: 0, on_hand: 0, buy: 0, price }
    }

    /// Adds hidden middles that are cut out of pieces of the plan; of an opening, which the machine cuts in
    /// the same pass, there are no sheets.
    pub fn add_middles(&mut self, middles: &[Stock]) {
        self.offcuts.extend(middles.iter().filter(|middle| middle.count > 0).cloned());
    }

    /// Enters a sheet: its paper is taken from what is on hand, or bought.
    pub fn enter(&mut self, sheet: &Sheet) {
        match &sheet.source {
            SheetSource::New => {
                let lies = |size: Size| self.lines.iter().position(|line| line.size == size);
                // The printer takes a sheet that is listed the other way round as its own.
                let place = lies(sheet.size).or_else(|| lies(sheet.size.turned()));
                let place = place.unwrap_or_else(|| {
                    self.lines.push(self.line(sheet.size, None));
                    self.lines.len() - 1
                });
                let count = sheet.count.get();
                self.lines[place].uses += count;
                self.lines[place].buy += if sheet.to_buy { count } else { 0 };
            }
            SheetSource::Offcut(id) | SheetSource::Middle(id) => {
                let taken = self.offcuts.iter_mut().filter(|one| one.offcut.as_ref() == Some(id));
                taken.for_each(|one| one.count = one.count.saturating_sub(sheet.count.get()));
                self.offcuts.retain(|one| one.count > 0);
            }
            // The paper of a part was entered with the sheet that it is a part of; one that was fed once is
            // in no count.
            SheetSource::Part { .. } | SheetSource::FedOnce(_) => {}
        }
    }

    /// Its lines of the shopping list.
    pub fn shopping(&self) -> &[ShoppingLine] {
        &self.lines
    }

    /// New sheets that are used.
    pub fn new_sheets(&self) -> u32 {
        self.lines.iter().map(|line| line.uses).sum()
    }

    /// Whole sheets that are left, a kind of those that were there at the start after the other.
    pub fn left(&self) -> impl Iterator<Item = Stock> {
        self.lines.iter().take(self.listed).map(|line| Stock {
            size: line.size,
            count: line.on_hand.saturating_sub(line.uses.saturating_sub(line.buy)),
            price: line.price,
            ..Stock::default()
        })
    }

    /// Offcuts that were on hand, and middles, that are not used.
    pub fn offcuts_left(&self) -> &[Stock] {
        &self.offcuts
    }
}
