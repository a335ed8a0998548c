//! The proof: one page to look at before a blade touches paper.
//!
//! A single HTML file that opens from disk: no fonts, pictures or scripts from elsewhere. It shows
//! the spread, every sheet with its pieces and cuts, the strips of the story, the list of pieces and
//! what to have at hand. Without scripts the closer look at the spread is missing, and ticks last as long as
//! the page.

mod prints;
mod sheets;
mod story;
mod tables;
mod ticks;

use std::num::NonZeroU64;

use maud::{DOCTYPE, Markup, PreEscaped, Render, html};

use super::SmallCopies;
use super::cautions::CAUTIONS;
use super::drawing::{fixed, is_printable};
use super::sheet_picture::with_pictures;
use super::spread::thin_places;
use crate::draw::html::inline;
use crate::draw::svg::{Means, Svg};
use crate::lettering::fonts::Font;
use crate::lettering::shaping::has_right_to_left;
use crate::model::Color;
use crate::model::length::{Length, Size, Units};
use crate::record::{Advice, Record, Warning};

/// The look.
const STYLE: &str = include_str!("proof.css");
/// Makes the spread larger, and keeps what is ticked.
const SCRIPT: &str = include_str!("proof.js");

/// The proof of `record` as one HTML file.
///
/// `spread` is the picture of the spread; `label_font` sets the words in the other pictures.
/// Photos without a small copy are stand-ins.
pub fn proof_html(
    record: &Record,
    spread: &Svg,
    label_font: &Font,
    copies: &SmallCopies,
) -> String {
    let sheets = record.sheets.iter();
    let prints = record.prints.iter();
    let page = Proof {
        record,
        units: record.shown_units(),
        sheet_pictures: sheets
            .map(|sheet| with_pictures(record, sheet, label_font, Some(copies)))
            .collect(),
        print_pictures: prints
            .map(|sheet| prints::print_picture(record, sheet, label_font, copies))
            .collect(),
    };
    let thin = thin_places(record);
    let marked = match thin.is_empty() {
        true => spread.clone(),
        false => spread.clone().over(&thin, Means::lettered("thin", label_font)),
    };
    let html = html! {
        (DOCTYPE) "\n"
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (record.name) ": proof" }
                style { (PreEscaped(STYLE)) }
            }
            body {
                a class="skip" href="#spread" { "Skip to the spread" }
                (page.header())
                (page.navigation())
                main data-ticks=(ticks::key(record)) {
                    (page.warnings())
                    (page.advice())
                    (page.spread(&marked, copies))
                    (page.fitted())
                    (page.sheets())
                    (page.prints())
                    (page.story())
                    (page.pieces())
                    (page.shopping())
                    (page.papers())
                    (cautions())
                }
                (page.footer())
                script { (PreEscaped(SCRIPT)) }
            }
        }
        "\n"
    };
    // What no HTML can hold, wherever it came from.
    html.into_string().replace(|letter| letter != '\n' && !is_printable(letter), " ")
}

/// A name: it may be broken after its dots, and keeps to itself whichever way it is read.
fn name(id: &str) -> Markup {
    let name = html! {
        @for part in id.split_inclusive('.') { (part) @if part.ends_with('.') { wbr; } }
    };
    if has_right_to_left(id) {
        html! { bdi { (name) } }
    } else {
        name
    }
}

/// A message; what it quotes in backticks becomes code.
fn message(message: &str) -> Markup {
    let parts: Vec<&str> = message.split('`').collect();
    let last = parts.len() - 1;
    html! {
        @for (place, part) in parts.iter().enumerate() {
            @match (place % 2, place == last) {
                (1, false) => code { (name(part)) },
                (1, true) => { "`" (part) },
                _ => (part),
            }
        }
    }
}

/// Things with something between each two of them.
fn joined<T: Render>(things: impl IntoIterator<Item = T>, between: &impl Render) -> Markup {
    html! {
        @for (place, thing) in things.into_iter().enumerate() {
            @if place > 0 { (between) }
            (thing)
        }
    }
}

/// Lines one below the other.
fn lines<T: Render>(lines: impl IntoIterator<Item = T>) -> Markup {
    joined(lines, &html! { br; })
}

/// A measure that a line break can't tear apart, but for the `x` of a size.
fn unbroken(measure: &str) -> String {
    measure.replace(' ', "\u{a0}").replace("\u{a0}x\u{a0}", " x\u{a0}")
}

/// A share as a percentage.
fn percent(share: f64) -> String {
    format!("{} %", fixed((share * 100.0).round()))
}

/// A count with its word, in the singular or the plural.
fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

fn section(class: &str, id: &str, heading: &str, body: &Markup) -> Markup {
    html! {
        section class=(class) id=(id) aria-labelledby={ (id) "-heading" } {
            h2 id={ (id) "-heading" } { (heading) }
            (body)
        }
        "\n"
    }
}

fn cautions() -> Markup {
    let list = html! { ul class="cautions" { @for caution in CAUTIONS { li { (caution) } } } };
    section("card cautions-part", "cautions", "Take care", &list)
}

struct Proof<'a> {
    record: &'a Record,
    units: Units,
    /// Pictures of the record's sheets, and of its sheets of photo paper.
    sheet_pictures: Vec<Svg>,
    print_pictures: Vec<Svg>,
}

impl Proof<'_> {
    fn length(&self, inches: f64) -> String {
        unbroken(&Length::inches(inches).show(self.units))
    }

    fn size(&self, size: [f64; 2]) -> String {
        unbroken(&Size::inches(size[0], size[1]).show(self.units))
    }

    /// A small square of a paper's colour and its name.
    fn paper(&self, name: &str) -> Markup {
        let paper = self.record.papers.iter().find(|paper| paper.name == name);
        let is_photo_paper = self.record.prints.first().is_some_and(|sheet| sheet.paper == name);
        let other = if is_photo_paper { Color::WHITE } else { Color::UNKNOWN };
        let color = paper.map_or(other, |paper| paper.color);
        let pattern = paper.and_then(|paper| paper.pattern.as_ref());
        let shades = pattern.map_or_else(Vec::new, |pattern| pattern.shades(color));
        let ground = match shades[..] {
            [(one, _), (other, _), ..] => {
                format!("linear-gradient(135deg, {one} 50%, {other} 50%)")
            }
            [] | [_] => color.to_string(),
        };
        html! { span class="swatch" style={ "background:" (ground) } {} (self::name(name)) }
    }

    fn header(&self) -> Markup {
        let record = self.record;
        let pages = counted(record.pages.len(), "page", "pages");
        let photos = counted(record.photos.len(), "photo", "photos");
        let kits = (!record.kits.is_one()).then(|| format!(", {} kits", record.kits));
        let papers = counted(record.papers.len(), "paper", "papers");
        html! {
            header {
                h1 { (name(&record.name)) }
                p class="lead" { (pages) " of " (self.size(record.page)) ", " (photos) ", " (papers) (kits.unwrap_or_default()) }
                dl class="totals" {
                    @for (value, name) in self.totals() { div { dt { (name) } dd { (value) } } }
                }
            }
        }
    }

    fn totals(&self) -> Vec<(String, &'static str)> {
        let totals = &self.record.totals;
        let number = |count: u32, one: &'static str, many: &'static str| {
            (count.to_string(), if count == 1 { one } else { many })
        };
        let mut shown = vec![
            number(totals.pieces, "piece to cut", "pieces to cut"),
            number(totals.sheets, "sheet in all", "sheets in all"),
            (totals.new_sheets.to_string(), "of them new"),
        ];
        if totals.sheet_area > 0.0 {
            shown.push((percent(totals.piece_area / totals.sheet_area), "of the paper used"));
        }
        if totals.trimmer_cuts > 0 {
            shown.push(number(totals.trimmer_cuts, "trimmer cut", "trimmer cuts"));
        }
        if totals.machine_length > 0.0 {
            let way = match self.units {
                Units::Inches => format!("{:.0} in", totals.machine_length),
                Units::Millimetres => format!("{:.1} m", totals.machine_length * 0.0254),
            };
            shown.push((way, "under the machine's blade"));
        }
        if totals.words > 0 {
            shown.push(number(totals.words, "word of story", "words of story"));
        }
        if let Some(price) = totals.price {
            shown.push((format!("{price:.2}"), "worth of new paper"));
        }
        shown
    }

    fn navigation(&self) -> Markup {
        let record = self.record;
        let links = [
            (!record.warnings.is_empty(), "notes", "Before you cut"),
            (!record.advice.is_empty(), "advice", "A second look"),
            (true, "spread", "Spread"),
            (!record.fitted.is_empty(), "fitted", "Fitted"),
            (!record.sheets.is_empty(), "sheets", "Sheets"),
            (!record.prints.is_empty(), "prints", "Photos"),
            (!record.strips.is_empty(), "story", "Story"),
            (true, "pieces", "Pieces"),
            (!record.totals.shopping.is_empty(), "shopping", "Shopping"),
            (!record.papers.is_empty(), "papers", "Papers"),
            (true, "cautions", "Take care"),
        ];
        html! {
            nav aria-label="Parts of this proof" {
                ul {
                    @for (_, id, name) in links.iter().filter(|(there, _, _)| *there) {
                        li { a href={ "#" (id) } { (name) } }
                    }
                }
            }
        }
    }

    fn warnings(&self) -> Markup {
        let warnings = &self.record.warnings;
        if warnings.is_empty() {
            return html! {};
        }
        let heading = counted(warnings.len(), "thing", "things");
        let heading = format!("Before you cut: {heading} to look at");
        let list = html! { ul { @for warning in warnings { li { (self.warning(warning)) } } } };
        section("card notes", "notes", &heading, &list)
    }

    /// What the spec left to be fitted, and what to write to keep it.
    fn fitted(&self) -> Markup {
        let fitted = &self.record.fitted;
        if fitted.is_empty() {
            return html! {};
        }
        let list = html! {
            ul {
                @for one in fitted {
                    li {
                        (message(&one.message))
                        @if let Some(write) = &one.write { br; "To keep it: " code { (write) } }
                        (self.where_from(None, one.line))
                    }
                }
            }
        };
        section("card notes", "fitted", "Fitted", &list)
    }

    /// What a good eye would look at again, with the change that was tried.
    fn advice(&self) -> Markup {
        let advice = &self.record.advice;
        if advice.is_empty() {
            return html! {};
        }
        let heading = counted(advice.len(), "thing", "things");
        let heading = format!("A second look: {heading} that could sit better");
        let list = html! { ul { @for one in advice { li { (self.one_advice(one)) } } } };
        section("card notes advice", "advice", &heading, &list)
    }

    fn one_advice(&self, advice: &Advice) -> Markup {
        html! {
            strong { (message(&advice.message)) }
            br; (message(&advice.reason))
            @if let Some(write) = &advice.write { br; "Tried, and it helps: " code { (write) } }
            (self.where_from(advice.piece.as_deref(), advice.line))
        }
    }

    fn warning(&self, warning: &Warning) -> Markup {
        html! {
            strong { (message(&warning.message)) }
            @if !warning.help.is_empty() { br; (message(&warning.help)) }
            (self.where_from(warning.piece.as_deref(), warning.line))
        }
    }

    /// The piece that something is said of, and its line in the spec.
    fn where_from(&self, piece: Option<&str>, line: Option<NonZeroU64>) -> Markup {
        html! {
            @if piece.is_some() || line.is_some() {
                br;
                span class="help" {
                    @match (piece, line) {
                        (Some(piece), Some(line)) => { (self.link(piece)) ", line " (line) " of the spec" },
                        (Some(piece), None) => (self.link(piece)),
                        (None, Some(line)) => { "Line " (line) " of the spec" },
                        (None, None) => {},
                    }
                }
            }
        }
    }

    /// A piece's name, linked to its line in the list.
    fn link(&self, piece: &str) -> Markup {
        match self.record.pieces.iter().position(|other| other.id == piece) {
            Some(place) => html! { a href={ "#piece-" (place + 1) } { (name(piece)) } },
            None => name(piece),
        }
    }

    fn spread(&self, spread: &Svg, copies: &SmallCopies) -> Markup {
        let told = format!("The spread {} with every piece and photo in place", self.record.name);
        let body = html! {
            figure class="picture" {
                div class="spread" tabindex="0" role="group" aria-label="The spread, can be scrolled" {
                    (inline(spread, &told, 1.0))
                }
                button type="button" data-look hidden aria-pressed="false" { "Look closer" }
                figcaption { (self.about_photos(copies)) " Point at a piece to see its name." }
            }
        };
        section("spread-part", "spread", "The spread", &body)
    }

    fn footer(&self) -> Markup {
        let record = self.record;
        let fonts: Vec<&str> = record.fonts.iter().map(|font| font.family.as_str()).collect();
        html! {
            footer {
                p {
                    "Made with cutleaf " (record.cutleaf) "."
                    @if !fonts.is_empty() { " Fonts: " (fonts.join(", ")) "." }
                }
            }
        }
    }
}
