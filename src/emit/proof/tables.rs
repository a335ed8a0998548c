//! The tables of the proof: pieces, shopping, papers.

use maud::{Markup, html};

use super::{Proof, counted, joined, lines, message, name, percent, section};
use crate::record::{Paper, Piece, ShoppingLine, in_all};

impl Proof<'_> {
    /// Every piece with a box to tick when it is cut.
    pub(super) fn pieces(&self) -> Markup {
        let columns = ["Cut", "No.", "Piece", "Paper", "Size", "Tool", "Sheet", "Notes"];
        let rows = html! {
            @for (piece, number) in self.record.pieces.iter().zip(1..) { (self.piece(number, piece)) }
        };
        let body = html! { (self.ticked()) (table(&columns, &rows)) };
        section("card pieces", "pieces", "The pieces", &body)
    }

    fn piece(&self, number: u32, piece: &Piece) -> Markup {
        html! {
            tr id={ "piece-" (number) } {
                td { (self.tick("cut", &piece.id, "is cut")) }
                td class="count" { (number) }
                th scope="row" {
                    (name(&piece.id))
                    @if piece.copies > 1 { " × " (piece.copies) }
                }
                td class="paper" { (self.paper(&piece.paper)) }
                td class="size" { (self.size(piece.size)) }
                td { (piece.tool) }
                td { (self.sheets_of(&piece.id)) }
                td { (lines(piece.notes.iter().map(|note| message(note)))) }
            }
        }
    }

    /// Links to the sheets that a piece is cut from.
    fn sheets_of(&self, piece: &str) -> Markup {
        let sheets = self.record.sheets.iter().zip(1..);
        let holds =
            |sheet: &crate::record::Sheet| sheet.placed.iter().any(|placed| placed.piece == piece);
        let links = sheets
            .filter(|(sheet, _)| holds(sheet))
            .map(|(sheet, number)| html! { a href={ "#sheet-" (number) } { (name(&sheet.id)) } });
        joined(links, &", ")
    }

    /// What to have at hand.
    pub(super) fn shopping(&self) -> Markup {
        let shopping = &self.record.totals.shopping;
        if shopping.is_empty() {
            return html! {};
        }
        let priced = shopping.iter().any(|line| line.price.is_some());
        let mut columns = vec!["Paper", "Sheet", "Needed", "On hand", "To buy"];
        if priced {
            columns.push("Price");
        }
        let missing = shopping.iter().any(|line| line.buy > 0);
        let heading = if missing { "Shopping list" } else { "What to lay out: nothing to buy" };
        let rows = html! { @for line in shopping { (self.shopping_line(line, priced)) } };
        let body =
            html! { (table(&columns, &rows)) (self.to_pay()) (self.photo_paper()) (self.foam()) };
        section("card", "shopping", heading, &body)
    }

    /// What the sheets to buy cost.
    fn to_pay(&self) -> Markup {
        let totals = &self.record.totals;
        if totals.buy == 0 {
            return html! {};
        }
        let unpriced = totals.shopping.iter().any(|line| line.buys_unpriced());
        let price = match (totals.buy_price, unpriced) {
            (Some(price), false) => format!(" for {price:.2}"),
            (Some(price), true) => format!(" for {price:.2} and what the unpriced ones cost"),
            (None, _) => String::new(),
        };
        let sheets = counted(usize::try_from(totals.buy).unwrap_or(usize::MAX), "sheet", "sheets");
        html! {
            p {
                (sheets) " to buy" (price)
                ": they are marked so and come last, after what can be cut at once."
            }
        }
    }

    /// The photo paper, if nobody says how much is on hand: else it has a row.
    fn photo_paper(&self) -> Markup {
        let prints = self.record.uncounted_photo_sheets();
        let Some(first) = prints.first() else { return html! {} };
        let sheets = counted(in_all(prints), "sheet", "sheets");
        html! {
            p {
                "And " (first.paper) ": " (sheets) " of " (self.size(first.size))
                ", for print/photos.pdf."
            }
        }
    }

    /// Foam squares for what is raised.
    fn foam(&self) -> Markup {
        let foam = &self.record.totals.foam;
        if foam.is_empty() {
            return html! {};
        }
        let told = foam.iter().map(|line| {
            let count = usize::try_from(line.count).unwrap_or(usize::MAX);
            let squares = counted(count, "foam square", "foam squares");
            format!("{squares} of {}, {} high", self.length(line.square), self.length(line.height))
        });
        html! { p { "And for what is raised: " (told.collect::<Vec<_>>().join("; ")) "." } }
    }

    fn shopping_line(&self, line: &ShoppingLine, priced: bool) -> Markup {
        html! {
            tr {
                th scope="row" { (self.paper(&line.paper)) }
                td class="size" { (self.size(line.size)) }
                td { (line.uses) }
                td { (line.on_hand) }
                td {
                    @match (line.buy, line.buy_price) {
                        (0, _) => "nothing",
                        (count, None) => strong { (count) },
                        (count, Some(price)) => { strong { (count) } (format!(" for {price:.2}")) },
                    }
                }
                @if priced {
                    td { @if let Some(price) = line.price { (format!("{price:.2}")) } }
                }
            }
        }
    }

    /// What this run takes of each paper and what it leaves.
    pub(super) fn papers(&self) -> Markup {
        let papers = &self.record.papers;
        if papers.is_empty() {
            return html! {};
        }
        let columns = ["Paper", "New sheets", "Used", "Left on the shelf", "Notes"];
        let rows = html! { @for paper in papers { (self.paper_row(paper)) } };
        section("card", "papers", "The papers", &table(&columns, &rows))
    }

    fn paper_row(&self, paper: &Paper) -> Markup {
        let fewest = match paper.new_sheets {
            0 => "none".to_owned(),
            used if used <= paper.bound => format!("{used}, the fewest possible"),
            used => format!("{used}"),
        };
        let whole = paper.left.iter().filter(|left| left.count > 0);
        let whole = whole.map(|left| format!("{} of {}", left.count, self.size(left.size)));
        let scraps = (!paper.offcuts_left.is_empty())
            .then(|| counted(paper.offcuts_left.len(), "leftover", "leftovers"));
        html! {
            tr {
                th scope="row" { (self.paper(&paper.name)) }
                td { (fewest) }
                td { (percent(paper.used)) }
                td { (lines(whole.chain(scraps))) }
                td { (lines(paper.notes.iter().map(|note| message(note)))) }
            }
        }
    }
}

/// A table with a head, over the width there is.
pub(super) fn table(columns: &[&str], rows: &Markup) -> Markup {
    html! {
        div class="wide" tabindex="0" {
            table {
                thead { tr { @for name in columns { th scope="col" { (name) } } } }
                tbody { (rows) }
            }
        }
    }
}
