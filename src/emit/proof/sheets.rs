//! The sheets of the proof: a picture, what becomes of the sheet, the cuts in order.

use super::prints::prints_width;
use super::{Proof, counted, inline_at, name, percent, section, text};
use crate::emit::parts;
use crate::emit::sheet_picture::{picture_width, sheet_svg};
use crate::emit::work;
use crate::lettering::fonts::Font;
use crate::record::{Cut, Falls, Sheet};

impl Proof<'_> {
    /// Every sheet as a card.
    pub(super) fn sheets(&self, label_font: &Font) -> String {
        let sheets = &self.record.sheets;
        if sheets.is_empty() {
            return String::new();
        }
        let cards: String = sheets
            .iter()
            .enumerate()
            .map(|(place, sheet)| self.sheet(place + 1, sheet, label_font))
            .collect();
        let heading = match sheets.len() {
            1 => "The sheet to cut".to_owned(),
            count => format!("The {count} sheets to cut"),
        };
        let key = "<p>Numbers on and beside the pieces are those of the list of pieces. Dashed red \
                   lines are trimmer cuts, in the order of the numbers in the discs. The machine cuts \
                   within the dash-dotted frame; a dark triangle marks the corner of the paper that lies in \
                   the corner of its mat. Hatched paper is worth keeping.</p>";
        let to_buy = match sheets.iter().any(|sheet| sheet.to_buy) {
            true => {
                "\n<p>A sheet with a dashed black edge has to be bought first; those come last.</p>"
            }
            false => "",
        };
        let body = format!("{key}{to_buy}\n<div class=\"sheets\">\n{cards}</div>");
        section("sheets-part", "sheets", &heading, &body)
    }

    fn sheet(&self, number: usize, sheet: &Sheet, label_font: &Font) -> String {
        let picture = sheet_svg(self.record, sheet, label_font);
        let pieces = counted(sheet.placed.len(), "piece", "pieces");
        let told = format!("Sheet {} of {} with {pieces}", sheet.id, sheet.paper);
        let share = picture_width(self.record, sheet) / self.widest();
        format!(
            "<article class=\"card\" id=\"sheet-{number}\" aria-labelledby=\"sheet-{number}-name\">\n\
             <div class=\"head\">{}<h3 id=\"sheet-{number}-name\">{}</h3><span>{}</span></div>\n\
             <p class=\"facts\">{}</p>\n<figure class=\"picture\">{}</figure>\n{}{}</article>\n",
            self.tick("sheet", &sheet.id, "is cut"),
            name(&sheet.id),
            self.paper(&sheet.paper),
            self.facts(sheet, &pieces),
            inline_at(&picture, &told, share),
            self.cuts(sheet),
            self.work(sheet) + &self.gutted(sheet) + &self.kept(sheet),
        )
    }

    /// The width in inches of the widest picture of a sheet: all are shown at the scale at which it fits.
    pub(super) fn widest(&self) -> f64 {
        let sheets = self.record.sheets.iter().map(|sheet| picture_width(self.record, sheet));
        let prints = self.record.prints.iter().map(prints_width);
        sheets.chain(prints).fold(f64::MIN_POSITIVE, f64::max)
    }

    fn facts(&self, sheet: &Sheet, pieces: &str) -> String {
        let from = match sheet.from.as_str() {
            "new" | "" if sheet.to_buy => "<strong class=\"buy\">to buy</strong>".to_owned(),
            "new" | "" => "new".to_owned(),
            middle if self.record.gutted_for(sheet).is_some() => {
                format!("the {} (gutting)", name(middle))
            }
            whole if self.record.part_of(sheet).is_some() => {
                format!("cut from sheet {}", name(whole))
            }
            offcut => format!("the leftover {}", name(offcut)),
        };
        let mut facts = vec![self.size(sheet.size), from];
        match sheet.placed.is_empty() {
            true => facts.push("cut down for the printer".to_owned()),
            false => facts.push(pieces.to_owned()),
        }
        facts.push(format!("{} used", percent(sheet.used)));
        if sheet.printed > 0 {
            facts.push(format!("printed page {}", sheet.printed));
        }
        if sheet.in_register > 0 {
            facts.push(format!("printed first: page {} of in-register.pdf", sheet.in_register));
        }
        if sheet.placed.iter().any(|placed| placed.tool == "machine") {
            facts.push(goes_to_the_machine(sheet).to_owned());
        }
        facts.join(" · ")
    }

    /// A sheet's cuts in order.
    pub(super) fn cuts(&self, sheet: &Sheet) -> String {
        if sheet.cuts.is_empty() {
            return String::new();
        }
        let mut items = String::new();
        for (place, cut) in sheet.cuts.iter().enumerate() {
            if sheet.work.is_some() && sheet.loaded().after as usize == place {
                items += &self.machine_s_turn(sheet);
            }
            items += &self.cut(cut);
        }
        if sheet.work.is_some() && sheet.loaded().after as usize == sheet.cuts.len() {
            items += &self.machine_s_turn(sheet);
        }
        format!("<ol class=\"cuts\">\n{items}</ol>\n")
    }

    /// The machine's step among the cuts.
    fn machine_s_turn(&self, sheet: &Sheet) -> String {
        let paper = sheet.loaded();
        let how = if paper.is_turned() { ", turned by a quarter, its left edge up" } else { "" };
        format!(
            "<li class=\"machine\">The machine: load {}{how}, and cut cut/{}.svg</li>\n",
            self.size(paper.size),
            text(&sheet.id),
        )
    }

    fn cut(&self, cut: &Cut) -> String {
        format!(
            "<li value=\"{}\">Take {}, fence at <strong>{}</strong>: {}; rest: {}</li>\n",
            cut.number,
            self.size(cut.in_hand.size),
            self.length(cut.fence),
            self.fall(&cut.keeps),
            self.fall(&cut.drops),
        )
    }

    fn fall(&self, falls: &Falls) -> String {
        match falls.what.as_str() {
            "piece" => self.link(&falls.id),
            "offcut" => format!("keep {}", name(&falls.id)),
            "part" => text(&parts::told(self.record, &falls.id)),
            "machine" => "for the machine".to_owned(),
            "spent" => "what the machine has left".to_owned(),
            "more" => "to cut on".to_owned(),
            "scrap" => "scrap".to_owned(),
            other => text(other),
        }
    }

    /// How far the machine goes.
    fn work(&self, sheet: &Sheet) -> String {
        let told = work::told(self.record, sheet);
        told.map_or_else(String::new, |told| {
            format!("<p class=\"facts\">The machine: {}</p>\n", text(&told))
        })
    }

    /// The windows that are cut out of a sheet's pieces.
    fn gutted(&self, sheet: &Sheet) -> String {
        let mut told = String::new();
        for placed in &sheet.placed {
            let piece = self.record.pieces.iter().find(|piece| piece.id == placed.piece);
            for opening in piece.iter().flat_map(|piece| &piece.opened) {
                let held: Vec<String> = opening.holds.iter().map(|id| self.link(id)).collect();
                told += &format!(
                    "<p class=\"facts\">Gutting {}: the machine cuts its hidden middle out, and {} \
                     from that</p>\n",
                    self.link(&placed.piece),
                    held.join(", "),
                );
            }
            for middle in piece.iter().flat_map(|piece| &piece.gutted) {
                let by = if placed.tool == "machine" { "the machine cuts" } else { "cut" };
                told += &format!(
                    "<p class=\"facts\">Gutting {}: {by} out {}, {} from the left, {} from the top</p>\n",
                    self.link(&placed.piece),
                    self.size(middle.size),
                    self.length(middle.at[0]),
                    self.length(middle.at[1]),
                );
            }
        }
        told
    }

    fn kept(&self, sheet: &Sheet) -> String {
        if sheet.offcuts.is_empty() {
            return String::new();
        }
        let kept = sheet.offcuts.iter();
        let kept = kept.map(|offcut| format!("{} ({})", name(&offcut.id), self.size(offcut.size)));
        format!("<p class=\"facts\">Worth keeping: {}</p>\n", kept.collect::<Vec<_>>().join(", "))
    }
}

/// When the machine has its turn on a sheet.
fn goes_to_the_machine(sheet: &Sheet) -> &'static str {
    match (sheet.loaded().after as usize, sheet.cuts.len()) {
        (_, 0) => "goes to the machine",
        (0, _) => "goes to the machine first",
        (after, cuts) if after == cuts => "goes to the machine after the cuts",
        _ => "goes to the machine between the cuts",
    }
}
