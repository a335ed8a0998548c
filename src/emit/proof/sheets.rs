//! The sheets of the proof: a picture, what becomes of the sheet, the cuts in order.

use maud::{Markup, html};

use super::{Proof, counted, joined, name, percent, section};
use crate::draw::html::inline;
use crate::draw::svg::Svg;
use crate::emit::parts;
use crate::emit::work;
use crate::model::{SheetId, SheetSource, Tool};
use crate::record::{Cut, Fall, Falls, Sheet, in_all};

/// What the pictures of sheets show.
const KEY: &str = "Numbers on and beside the pieces are those of the list of pieces. Dashed red \
                   lines are trimmer cuts, in the order of the numbers in the discs. The machine cuts \
                   within the dash-dotted frame; a dark triangle marks the corner of the paper that lies in \
                   the corner of its mat. Hatched paper is worth keeping.";
/// Boxes for sheets that are cut alike at most.
const MOST_BOXES: usize = 200;
/// What they show of sheets to buy.
const TO_BUY: &str = "A sheet with a dashed black edge has to be bought first; those come last.";

impl Proof<'_> {
    /// Every sheet as a card.
    pub(super) fn sheets(&self) -> Markup {
        let sheets = &self.record.sheets;
        if sheets.is_empty() {
            return html! {};
        }
        let heading = match in_all(sheets) {
            1 => "The sheet to cut".to_owned(),
            count => format!("The {count} sheets to cut"),
        };
        let body = html! {
            p { (KEY) }
            @if sheets.iter().any(|sheet| sheet.to_buy) { p { (TO_BUY) } }
            div class="sheets" {
                @for ((sheet, picture), number) in sheets.iter().zip(&self.sheet_pictures).zip(1..) {
                    (self.sheet(number, sheet, picture))
                }
            }
        };
        section("sheets-part", "sheets", &heading, &body)
    }

    fn sheet(&self, number: u32, sheet: &Sheet, picture: &Svg) -> Markup {
        let pieces = counted(sheet.placed.len(), "piece", "pieces");
        let told = format!("Sheet {} of {} with {pieces}", sheet.id, sheet.paper);
        let below = html! {
            (self.cuts(sheet))
            (self.work(sheet))
            (self.gutted(sheet))
            (self.kept(sheet))
        };
        let (id, paper) =
            (format!("sheet-{number}"), html! { span { (self.paper(&sheet.paper)) } });
        self.card(
            &id,
            sheet,
            &paper,
            &self.facts(sheet, &pieces),
            &self.picture(picture, &told),
            &below,
        )
    }

    /// The card of a sheet: a box to tick, its name and what stands beside it, facts, its picture and what is
    /// told below.
    pub(super) fn card(
        &self,
        id: &str,
        sheet: &Sheet,
        beside: &Markup,
        facts: &Markup,
        picture: &Markup,
        below: &Markup,
    ) -> Markup {
        html! {
            article class="card" id=(id) aria-labelledby={ (id) "-name" } {
                div class="head" {
                    (self.tick("sheet", &sheet.id, "is cut"))
                    h3 id={ (id) "-name" } {
                        (name(&sheet.id))
                        @if let Some(last) = last_of(sheet) { " to " (name(&last)) }
                    }
                    (beside)
                }
                p class="facts" { (facts) }
                figure class="picture" { (picture) }
                (self.tally(sheet))
                (below)
            }
            "\n"
        }
    }

    /// A sheet's picture: all are shown at the scale at which the widest fits.
    pub(super) fn picture(&self, picture: &Svg, told: &str) -> Markup {
        let all = self.sheet_pictures.iter().chain(&self.print_pictures);
        let widest = all.map(Svg::width).fold(f64::MIN_POSITIVE, f64::max);
        inline(picture, told, picture.width() / widest)
    }

    fn facts(&self, sheet: &Sheet, pieces: &str) -> Markup {
        let from = match self.record.source(sheet) {
            SheetSource::New if sheet.to_buy => html! { strong class="buy" { "to buy" } },
            SheetSource::New => html! { "new" },
            SheetSource::Middle(middle) => html! { "the " (name(&middle)) " (gutting)" },
            SheetSource::Part { whole, .. } => html! { "cut from sheet " (name(&whole)) },
            SheetSource::Offcut(offcut) => html! { "the leftover " (name(&offcut)) },
            SheetSource::FedOnce(start) => {
                html! { "printed once before, free below " (self.length(start.to_inches())) }
            }
        };
        let mut facts = vec![html! { (self.size(sheet.size)) }, from];
        if !sheet.count.is_one() {
            facts.push(html! { strong { (sheet.count) " sheets like this" } });
        }
        match sheet.placed.is_empty() {
            true => facts.push(html! { "cut down for the printer" }),
            false => facts.push(html! { (pieces) }),
        }
        facts.push(html! { (percent(sheet.used)) " used" });
        if let Some(page) = sheet.printed {
            facts.push(html! { "printed page " (page) });
        }
        if let Some(page) = sheet.in_register {
            facts.push(html! { "printed first: page " (page) " of in-register.pdf" });
        }
        if sheet.placed.iter().any(|placed| placed.tool == Tool::Machine) {
            facts.push(html! { (goes_to_the_machine(sheet)) });
        }
        joined(facts, &" · ")
    }

    /// A box for each of the sheets that are cut alike.
    fn tally(&self, sheet: &Sheet) -> Markup {
        if sheet.count.is_one() || sheet.count.places() > MOST_BOXES {
            return html! {};
        }
        html! {
            p class="facts" {
                "Cut so far: "
                @for one in sheet.id.all(sheet.count) { (self.tick("cut alike", &one, "is cut")) " " }
            }
        }
    }

    /// A sheet's cuts in order.
    pub(super) fn cuts(&self, sheet: &Sheet) -> Markup {
        if sheet.cuts.is_empty() {
            return html! {};
        }
        let is_due = |place: usize| sheet.work.is_some() && sheet.loaded().after as usize == place;
        html! {
            ol class="cuts" {
                @for (place, cut) in sheet.cuts.iter().enumerate() {
                    @if is_due(place) { (self.machine_s_turn(sheet)) }
                    (self.cut(cut))
                }
                @if is_due(sheet.cuts.len()) { (self.machine_s_turn(sheet)) }
            }
        }
    }

    /// The machine's step among the cuts.
    fn machine_s_turn(&self, sheet: &Sheet) -> Markup {
        let paper = sheet.loaded();
        html! {
            li class="machine" {
                "The machine: load " (self.size(paper.size))
                @if paper.is_turned() { ", turned by a quarter, its left edge up" }
                ", and cut cut/" (sheet.id) ".svg"
            }
        }
    }

    fn cut(&self, cut: &Cut) -> Markup {
        html! {
            li value=(cut.number) {
                "Take " (self.size(cut.in_hand.size)) ", fence at "
                strong { (self.length(cut.fence)) }
                ": " (self.fall(&cut.keeps)) "; rest: " (self.fall(&cut.drops))
            }
        }
    }

    fn fall(&self, falls: &Falls) -> Markup {
        match &falls.what {
            Fall::Piece(id) => self.link(id),
            Fall::Offcut(id) => html! { "keep " (name(id)) },
            Fall::Part(id) => html! { (parts::told(self.record, id)) },
            Fall::Machine => html! { "for the machine" },
            Fall::Spent => html! { "what the machine has left" },
            Fall::More => html! { "to cut on" },
            Fall::Scrap => html! { "scrap" },
            Fall::PrintedBefore => html! { "what was printed before" },
        }
    }

    /// How far the machine goes.
    fn work(&self, sheet: &Sheet) -> Markup {
        html! {
            @if let Some(told) = work::told(self.record, sheet) {
                p class="facts" { "The machine: " (told) }
            }
        }
    }

    /// The windows that are cut out of a sheet's pieces.
    fn gutted(&self, sheet: &Sheet) -> Markup {
        let find = |id: &str| self.record.pieces.iter().find(|piece| piece.id == id);
        let pieces = sheet.placed.iter().filter_map(|placed| Some((placed, find(&placed.piece)?)));
        html! {
            @for (placed, piece) in pieces {
                @for opening in &piece.opened {
                    p class="facts" {
                        "Gutting " (self.link(&piece.id)) ": the machine cuts its hidden middle out, and "
                        (joined(opening.holds.iter().map(|id| self.link(id)), &", ")) " from that"
                    }
                }
                @for middle in &piece.gutted {
                    p class="facts" {
                        "Gutting " (self.link(&piece.id)) ": "
                        (if placed.tool == Tool::Machine { "the machine cuts" } else { "cut" })
                        " out " (self.size(middle.size)) ", " (self.length(middle.at[0]))
                        " from the left, " (self.length(middle.at[1])) " from the top"
                    }
                }
            }
        }
    }

    fn kept(&self, sheet: &Sheet) -> Markup {
        let kept = sheet.offcuts.iter();
        let kept =
            kept.map(|offcut| html! { (name(&offcut.id)) " (" (self.size(offcut.size)) ")" });
        html! {
            @if !sheet.offcuts.is_empty() {
                p class="facts" { "Worth keeping: " (joined(kept, &", ")) }
            }
        }
    }
}

/// The name of the last of the sheets that are cut alike, if there are several.
fn last_of(sheet: &Sheet) -> Option<SheetId> {
    sheet.id.all(sheet.count).last().filter(|last| *last != sheet.id)
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
