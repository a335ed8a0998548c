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

use std::sync::Arc;

use super::SmallCopies;
use super::cautions::CAUTIONS;
use super::drawing::{fixed, plain};
use super::spread::marked_spread_svg;
use crate::length::{Length, Size, Units};
use crate::lettering::fonts::Font;
use crate::lettering::shaping::has_right_to_left;
use crate::record::{Record, Warning};

/// The look.
const STYLE: &str = include_str!("proof.css");
/// Makes the spread larger, and keeps what is ticked.
const SCRIPT: &str = include_str!("proof.js");
/// What SVG needs to be told on its own but not inside HTML.
const NAMESPACE: &str = " xmlns=\"http://www.w3.org/2000/svg\"";
/// The proof of `record` as one HTML file.
///
/// `fonts` are those of [`Record::fonts`], in that order; `label_font` sets the words in pictures.
/// Photos without a small copy are stand-ins.
pub fn proof_html(
    record: &Record,
    fonts: &[Arc<Font>],
    label_font: &Font,
    copies: &SmallCopies,
) -> String {
    let page = Proof { record, units: record.shown_units() };
    let body = [
        page.warnings(),
        page.spread(fonts, label_font, copies),
        page.sheets(label_font),
        page.prints(label_font, copies),
        page.story(),
        page.pieces(),
        page.shopping(),
        page.papers(),
        cautions(),
    ];
    let title = text(&record.name);
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}: proof</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n\
         <a class=\"skip\" href=\"#spread\">Skip to the spread</a>\n{header}{nav}<main data-ticks=\"{ticks}\">\n{body}</main>\n\
         {footer}<script>\n{SCRIPT}</script>\n</body>\n</html>\n",
        header = page.header(),
        nav = page.navigation(),
        ticks = text(&ticks::key(record)),
        body = body.concat(),
        footer = page.footer(),
    )
}

/// A text made safe for HTML, in an element or an attribute.
fn text(text: &str) -> String {
    let mut safe = String::new();
    for letter in plain(text).chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            other => safe.push(other),
        }
    }
    safe
}

/// A name made safe for HTML: it may be broken after its dots, and keeps to itself whichever way it is read.
fn name(id: &str) -> String {
    let name = text(id).replace('.', ".<wbr>");
    if has_right_to_left(id) { format!("<bdi>{name}</bdi>") } else { name }
}

/// A message made safe for HTML; what it quotes in backticks becomes code.
fn message(message: &str) -> String {
    let parts: Vec<&str> = message.split('`').collect();
    let last = parts.len() - 1;
    let mut safe = String::new();
    for (place, part) in parts.iter().enumerate() {
        match (place % 2, place == last) {
            (1, false) => safe += &format!("<code>{}</code>", name(part)),
            (1, true) => safe += &format!("`{}", text(part)),
            _ => safe += &text(part),
        }
    }
    safe
}

/// A picture inside HTML, with a description for those who can't see it.
fn inline(svg: &str, description: &str) -> String {
    inline_at(svg, description, 1.0)
}

/// The same over a share of the width there is.
fn inline_at(svg: &str, description: &str, share: f64) -> String {
    let share = if share < 0.9999 {
        format!("style=\"width:{}%\" ", fixed((share * 1e4).round() / 100.0))
    } else {
        String::new()
    };
    let told = format!("<svg role=\"img\" aria-label=\"{}\" {share}", text(description));
    svg.replacen(NAMESPACE, "", 1).replacen("<svg ", &told, 1)
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

fn section(class: &str, id: &str, heading: &str, body: &str) -> String {
    format!(
        "<section class=\"{class}\" id=\"{id}\" aria-labelledby=\"{id}-heading\">\n\
         <h2 id=\"{id}-heading\">{heading}</h2>\n{body}\n</section>\n"
    )
}

fn cautions() -> String {
    let items: String =
        CAUTIONS.iter().map(|caution| format!("<li>{}</li>\n", text(caution))).collect();
    let list = format!("<ul class=\"cautions\">\n{items}</ul>");
    section("card cautions-part", "cautions", "Take care", &list)
}

struct Proof<'a> {
    record: &'a Record,
    units: Units,
}

impl Proof<'_> {
    fn length(&self, inches: f64) -> String {
        unbroken(&Length::inches(inches).show(self.units))
    }

    fn size(&self, size: [f64; 2]) -> String {
        unbroken(&Size::inches(size[0], size[1]).show(self.units))
    }

    /// A small square of a paper's colour and its name.
    fn paper(&self, name: &str) -> String {
        let paper = self.record.papers.iter().find(|paper| paper.name == name);
        let is_photo_paper = self.record.prints.first().is_some_and(|sheet| sheet.paper == name);
        let white = if is_photo_paper { "#ffffff" } else { "" };
        let color = super::drawing::color(paper.map_or(white, |paper| &paper.color));
        let name = self::name(name);
        format!("<span class=\"swatch\" style=\"background:{color}\"></span>{name}")
    }

    fn header(&self) -> String {
        let record = self.record;
        let pages = counted(record.pages.len(), "page", "pages");
        let photos = counted(record.photos.len(), "photo", "photos");
        let papers = counted(record.papers.len(), "paper", "papers");
        format!(
            "<header>\n<h1>{name}</h1>\n<p class=\"lead\">{pages} of {size}, {photos}, {papers}</p>\n\
             <dl class=\"totals\">\n{totals}</dl>\n</header>\n",
            name = name(&record.name),
            size = self.size(record.page),
            totals = self.totals(),
        )
    }

    fn totals(&self) -> String {
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
        if totals.price > 0.0 {
            shown.push((format!("{:.2}", totals.price), "worth of new paper"));
        }
        let entry = |(value, name): &(String, &str)| {
            format!("<div><dt>{name}</dt><dd>{}</dd></div>\n", text(value))
        };
        shown.iter().map(entry).collect()
    }

    fn navigation(&self) -> String {
        let record = self.record;
        let links = [
            (!record.warnings.is_empty(), "notes", "Before you cut"),
            (true, "spread", "Spread"),
            (!record.sheets.is_empty(), "sheets", "Sheets"),
            (!record.prints.is_empty(), "prints", "Photos"),
            (!record.strips.is_empty(), "story", "Story"),
            (true, "pieces", "Pieces"),
            (!record.totals.shopping.is_empty(), "shopping", "Shopping"),
            (!record.papers.is_empty(), "papers", "Papers"),
            (true, "cautions", "Take care"),
        ];
        let items: String = links
            .iter()
            .filter(|(there, _, _)| *there)
            .map(|(_, id, name)| format!("<li><a href=\"#{id}\">{name}</a></li>\n"))
            .collect();
        format!("<nav aria-label=\"Parts of this proof\"><ul>\n{items}</ul></nav>\n")
    }

    fn warnings(&self) -> String {
        let warnings = &self.record.warnings;
        if warnings.is_empty() {
            return String::new();
        }
        let items: String = warnings.iter().map(|warning| self.warning(warning)).collect();
        let heading = counted(warnings.len(), "thing", "things");
        let heading = format!("Before you cut: {heading} to look at");
        section("card notes", "notes", &heading, &format!("<ul>\n{items}</ul>"))
    }

    fn warning(&self, warning: &Warning) -> String {
        let place = match (warning.piece.as_str(), warning.line) {
            ("", 0) => String::new(),
            ("", line) => format!("Line {line} of the spec"),
            (piece, 0) => self.link(piece),
            (piece, line) => format!("{}, line {line} of the spec", self.link(piece)),
        };
        let mut item = format!("<li><strong>{}</strong>", message(&warning.message));
        if !warning.help.is_empty() {
            item += &format!("<br>{}", message(&warning.help));
        }
        if !place.is_empty() {
            item += &format!("<br><span class=\"help\">{place}</span>");
        }
        item + "</li>\n"
    }

    /// A piece's name, linked to its line in the list.
    fn link(&self, piece: &str) -> String {
        match self.record.pieces.iter().position(|other| other.id == piece) {
            Some(place) => format!("<a href=\"#piece-{}\">{}</a>", place + 1, name(piece)),
            None => name(piece),
        }
    }

    fn spread(&self, fonts: &[Arc<Font>], label_font: &Font, copies: &SmallCopies) -> String {
        let record = self.record;
        let picture = marked_spread_svg(record, fonts, label_font, copies);
        let told = format!("The spread {} with every piece and photo in place", record.name);
        let body = format!(
            "<figure class=\"picture\">\n<div class=\"spread\" tabindex=\"0\" role=\"group\" aria-label=\"The spread, can be scrolled\">{}</div>\n\
             <button type=\"button\" data-look hidden aria-pressed=\"false\">Look closer</button>\n\
             <figcaption>{} Point at a piece to see its name.</figcaption>\n</figure>",
            inline(&picture, &told),
            self.about_photos(copies),
        );
        section("spread-part", "spread", "The spread", &body)
    }

    fn footer(&self) -> String {
        let record = self.record;
        let fonts: Vec<String> = record.fonts.iter().map(|font| text(&font.family)).collect();
        let fonts = match fonts.len() {
            0 => String::new(),
            _ => format!(" Fonts: {}.", fonts.join(", ")),
        };
        let version = text(&record.cutleaf);
        format!("<footer><p>Made with cutleaf {version}.{fonts}</p></footer>\n")
    }
}
