//! The tables of the proof: pieces, shopping, papers.

use super::{Proof, counted, message, name, percent, section, text};
use crate::record::{Paper, Piece, ShoppingLine};

impl Proof<'_> {
    /// Every piece with a box to tick when it is cut.
    pub(super) fn pieces(&self) -> String {
        let pieces = self.record.pieces.iter().enumerate();
        let rows: String = pieces.map(|(place, piece)| self.piece(place + 1, piece)).collect();
        let columns = ["Cut", "No.", "Piece", "Paper", "Size", "Tool", "Sheet", "Notes"];
        let body = self.ticked() + &table(&columns, &rows);
        section("card pieces", "pieces", "The pieces", &body)
    }

    fn piece(&self, number: usize, piece: &Piece) -> String {
        let id = name(&piece.id);
        let copies = if piece.copies > 1 { format!(" × {}", piece.copies) } else { String::new() };
        format!(
            "<tr id=\"piece-{number}\"><td>{}</td>\
             <td class=\"count\">{number}</td><th scope=\"row\">{id}{copies}</th>\
             <td class=\"paper\">{}</td><td class=\"size\">{}</td><td>{}</td><td>{}</td><td>{}</td></tr>\n",
            self.tick("cut", &piece.id, "is cut"),
            self.paper(&piece.paper),
            self.size(piece.size),
            text(&piece.tool),
            self.sheets_of(&piece.id),
            piece.notes.iter().map(|note| message(note)).collect::<Vec<_>>().join("<br>"),
        )
    }

    /// Links to the sheets that a piece is cut from.
    fn sheets_of(&self, piece: &str) -> String {
        let sheets = self.record.sheets.iter().enumerate();
        let holds =
            |sheet: &crate::record::Sheet| sheet.placed.iter().any(|placed| placed.piece == piece);
        let links = sheets.filter(|(_, sheet)| holds(sheet)).map(|(place, sheet)| {
            format!("<a href=\"#sheet-{}\">{}</a>", place + 1, name(&sheet.id))
        });
        links.collect::<Vec<_>>().join(", ")
    }

    /// What to have at hand.
    pub(super) fn shopping(&self) -> String {
        let shopping = &self.record.totals.shopping;
        if shopping.is_empty() {
            return String::new();
        }
        let priced = shopping.iter().any(|line| line.price > 0.0);
        let rows: String = shopping.iter().map(|line| self.shopping_line(line, priced)).collect();
        let mut columns = vec!["Paper", "Sheet", "Needed", "On hand", "To buy"];
        if priced {
            columns.push("Price");
        }
        let missing = shopping.iter().any(|line| line.buy > 0);
        let heading = if missing { "Shopping list" } else { "What to lay out: nothing to buy" };
        section(
            "card",
            "shopping",
            heading,
            &(table(&columns, &rows) + &self.to_pay() + &self.photo_paper()),
        )
    }

    /// What the sheets to buy cost.
    fn to_pay(&self) -> String {
        let totals = &self.record.totals;
        if totals.buy == 0 {
            return String::new();
        }
        let unpriced = totals.shopping.iter().any(|line| line.buys_unpriced());
        let price = match (totals.buy_price > 0.0, unpriced) {
            (true, false) => format!(" for {:.2}", totals.buy_price),
            (true, true) => format!(" for {:.2} and what the unpriced ones cost", totals.buy_price),
            (false, _) => String::new(),
        };
        let sheets = counted(usize::try_from(totals.buy).unwrap_or(usize::MAX), "sheet", "sheets");
        format!(
            "\n<p>{sheets} to buy{price}: they are marked so and come last, after what can be cut at once.</p>"
        )
    }

    /// The photo paper, if nobody says how much is on hand: else it has a row.
    fn photo_paper(&self) -> String {
        let prints = &self.record.prints;
        let known = self.record.photo_paper.is_some_and(|paper| paper.left.is_some());
        let Some(first) = prints.first().filter(|_| !known) else { return String::new() };
        let sheets = counted(prints.len(), "sheet", "sheets");
        let size = self.size(first.size);
        format!("\n<p>And {}: {sheets} of {size}, for print/photos.pdf.</p>", text(&first.paper))
    }

    fn shopping_line(&self, line: &ShoppingLine, priced: bool) -> String {
        let missing = match line.buy {
            0 => "nothing".to_owned(),
            count if line.buys_unpriced() => format!("<strong>{count}</strong>"),
            count => format!("<strong>{count}</strong> for {:.2}", line.buy_price),
        };
        let price = match (priced, line.price > 0.0) {
            (false, _) => String::new(),
            (true, false) => "<td></td>".to_owned(),
            (true, true) => format!("<td>{:.2}</td>", line.price),
        };
        format!(
            "<tr><th scope=\"row\">{}</th><td class=\"size\">{}</td><td>{}</td><td>{}</td><td>{missing}</td>{price}</tr>\n",
            self.paper(&line.paper),
            self.size(line.size),
            line.uses,
            line.on_hand,
        )
    }

    /// What this run takes of each paper and what it leaves.
    pub(super) fn papers(&self) -> String {
        let papers = &self.record.papers;
        if papers.is_empty() {
            return String::new();
        }
        let rows: String = papers.iter().map(|paper| self.paper_row(paper)).collect();
        let columns = ["Paper", "New sheets", "Used", "Left on the shelf", "Notes"];
        section("card", "papers", "The papers", &table(&columns, &rows))
    }

    fn paper_row(&self, paper: &Paper) -> String {
        let fewest = match paper.new_sheets {
            0 => "none".to_owned(),
            used if used <= paper.bound => format!("{used}, the fewest possible"),
            used => format!("{used}"),
        };
        let whole = paper.left.iter().filter(|left| left.count > 0);
        let whole = whole.map(|left| format!("{} of {}", left.count, self.size(left.size)));
        let scraps = (!paper.offcuts_left.is_empty())
            .then(|| counted(paper.offcuts_left.len(), "leftover", "leftovers"));
        let left = whole.chain(scraps).collect::<Vec<_>>().join("<br>");
        let notes = paper.notes.iter().map(|note| message(note)).collect::<Vec<_>>().join("<br>");
        format!(
            "<tr><th scope=\"row\">{}</th><td>{fewest}</td><td>{}</td><td>{left}</td><td>{notes}</td></tr>\n",
            self.paper(&paper.name),
            percent(paper.used),
        )
    }
}

pub(super) fn table(columns: &[&str], rows: &str) -> String {
    let head: String =
        columns.iter().map(|name| format!("<th scope=\"col\">{name}</th>")).collect();
    format!(
        "<div class=\"wide\" tabindex=\"0\"><table>\n<thead><tr>{head}</tr></thead>\n<tbody>\n{rows}</tbody>\n</table></div>"
    )
}
