//! What the page shows of a text: elements and pieces on their pages, and the spread's picture.

use std::collections::BTreeMap;
use std::sync::Arc;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde::Serialize;

use crate::description::Problem;
use crate::emit::SmallCopies;
use crate::emit::spread::{Table, spread_svg_for_page};
use crate::layout::Layout;
use crate::lettering::fonts::{Font, FontBook};
use crate::model::length::Units;
use crate::plan;

use super::edit::tree;
use super::elements::{Element, elements};
use super::workshop::Workshop;

/// Where copies of photos stand, seen from the page.
const COPIES: &str = "copies/";

/// A text as it is laid out and drawn.
#[derive(Debug)]
pub(super) struct View {
    pub layout: Arc<Layout>,
    pub elements: Vec<Element>,
    /// The spread's picture, in which photos have an address of their own.
    pub picture: String,
    /// What stands at these addresses: data as a `data:` address holds it.
    copies: BTreeMap<String, Arc<str>>,
    /// Where its pages lie in the picture.
    pub table: Table,
    /// The names of all photos in the spec.
    pub photos: Vec<String>,
}

/// The mistake of a text, told with its line underlined.
#[derive(Debug)]
pub(super) struct Mistake(pub String);

/// Something to look at, with the element that it means.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Note {
    pub message: String,
    pub reason: String,
    pub change: String,
    pub element: Option<String>,
    pub line: Option<u64>,
}

/// Lays out and draws a text.
pub(super) fn view(text: &str, file: &str, workshop: &dyn Workshop) -> Result<View, Mistake> {
    let layout =
        workshop.lay_out(text).map_err(|problems| Mistake(problems.render(file, text, false)))?;
    let one = |problem: Problem| Mistake(format!("{}\n{}", problem.message, problem.help));
    let (picture, copies) = picture(&layout).map_err(one)?;
    let root = tree::parse(text);
    let elements = root.as_ref().map_or_else(Vec::new, |root| elements(&layout, root, text));
    let photos = root.as_ref().and_then(|root| root.get("photos"));
    let photos = photos.map_or_else(Vec::new, |photos| {
        photos.pairs().iter().filter_map(|(name, _)| Some(name.text()?.to_owned())).collect()
    });
    let table = Table::of(layout.page.to_inches(), layout.pages.len());
    Ok(View { layout: Arc::new(layout), elements, picture, copies, table, photos })
}

/// The font for names in pictures of a layout.
pub(super) fn label_font(layout: &Layout) -> Result<Font, Problem> {
    let font = FontBook::default().find("text").map_err(Problem::from)?;
    Ok(Font::clone(&font).with_stand_ins(&layout.fonts))
}

fn picture(layout: &Layout) -> Result<(String, BTreeMap<String, Arc<str>>), Problem> {
    let record = plan::unplanned(layout);
    let unreadable = |message: String| Problem::input(message, "check the photos' files");
    let copies = SmallCopies::of(&record, &layout.picture_files()).map_err(unreadable)?;
    let (copies, data) = copies.by_address(COPIES);
    let picture =
        spread_svg_for_page(&record, &layout.fonts, &label_font(layout)?, &copies).document();
    Ok((picture, data))
}

impl View {
    /// The JPEG of a photo by its name below [`COPIES`].
    pub(super) fn copy(&self, name: &str) -> Option<Vec<u8>> {
        let data = self.copies.get(&format!("{COPIES}{name}"))?;
        STANDARD.decode(data.split_once(',')?.1).ok()
    }

    /// The element of which a piece is a part.
    pub(super) fn of_piece(&self, piece: &str) -> Option<&Element> {
        self.elements.iter().find(|element| element.parts.iter().any(|part| part == piece))
    }

    fn of_line(&self, line: Option<u64>) -> Option<&Element> {
        line.and_then(|line| self.elements.iter().find(|element| element.line == Some(line)))
    }

    /// The layout's warnings, each with the element that it means.
    pub(super) fn warnings(&self) -> Vec<Note> {
        let notes = self.layout.warnings.iter().map(|warning| {
            let line = warning.line.map(u64::from);
            let element = warning.piece.as_ref().and_then(|piece| self.of_piece(piece));
            let element = element.or_else(|| self.of_line(line)).map(|element| element.id.clone());
            let (message, help) = (warning.message.clone(), warning.help.clone());
            Note { message, reason: help, change: String::new(), element, line }
        });
        notes.collect()
    }

    /// Advice on the layout, each with the element that it means.
    pub(super) fn advice(&self, layout: &Layout) -> Vec<Note> {
        let notes = layout.advice.iter().map(|advice| {
            let line = advice.line.map(u64::from);
            let element = advice.piece.as_ref().and_then(|piece| self.of_piece(piece));
            let element = element.or_else(|| self.of_line(line)).map(|element| element.id.clone());
            let (message, reason) = (advice.message.clone(), advice.reason.clone());
            Note {
                message,
                reason,
                change: advice.write.clone().unwrap_or_default(),
                element,
                line,
            }
        });
        notes.collect()
    }

    /// Whether lengths are shown in millimetres.
    pub(super) fn is_metric(&self) -> bool {
        self.layout.units == Units::Millimetres
    }
}
