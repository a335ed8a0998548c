//! The record, written once, at the end: all rounding, words and paths as text happen here.

mod paper;
mod piece;
mod print;
mod sheet;
mod totals;

use crate::layout::{Layout, Marks, Pace};
use crate::model::length::{Length, Size, Units};
use crate::model::{Count, PageName, rounded};
use crate::record::{self, FontUsed, MarkStyle, Picture, Record, Rules};

use super::Plan;

impl Plan {
    /// The record of the plan.
    pub fn record(&self) -> Record {
        let layout = &self.spread;
        Record {
            format: record::FORMAT,
            cutleaf: env!("CARGO_PKG_VERSION").to_owned(),
            name: layout.name.clone(),
            spec: layout.spec.clone(),
            follows: layout.follows.clone(),
            files: Vec::new(),
            units: Units::Inches,
            shown_in: layout.units,
            page: size(layout.page),
            pages: layout.pages.clone(),
            papers: paper::papers(self),
            inks: layout.inks,
            mark_style: layout.marks.as_ref().map(mark_style),
            printer: Some(size(layout.printer.paper)),
            pace: pace(&layout.pace),
            rules: rules(layout),
            kits: Count::of(layout.kits),
            names: layout.names.clone(),
            pieces: layout.pieces.iter().map(|piece| piece::piece(self, piece)).collect(),
            photos: layout.photos.iter().map(|photo| piece::photo(layout, photo)).collect(),
            sheets: sheet::sheets(self),
            strips: paper::strips(self),
            printed: paper::printed_pages(self),
            photo_paper: paper::photo_paper(self),
            prints: sheet::prints(self),
            stamps: layout.stamps.iter().map(print::stamp_row).collect(),
            print_scale: layout.print_scale.as_ref().map(print::print_scale),
            fonts: fonts(layout),
            warnings: self.warnings.clone(),
            fitted: layout.fitted.clone(),
            advice: self.advice.clone(),
            totals: totals::totals(self),
        }
    }
}

/// The pictures that a layout's record will show and how large, in inches: those of photos, then those
/// printed on pieces. They are known before anything is planned.
pub fn pictures(layout: &Layout) -> Vec<(Picture, [f64; 2])> {
    let photos = layout.photos.iter().filter_map(|photo| {
        let photo = piece::photo(layout, photo);
        let size = photo.field().size;
        Some((photo.picture?, size))
    });
    let printed = layout.pieces.iter().filter_map(|piece| {
        let shown = print::printed_picture(piece.print.as_ref()?.picture.as_ref()?);
        Some((shown.picture, shown.area.size))
    });
    photos.chain(printed).collect()
}

fn rules(layout: &Layout) -> Rules {
    let rules = &layout.rules;
    Rules {
        kerf: inches(rules.kerf),
        trim_margin: inches(rules.trim_margin),
        spacing: inches(rules.spacing),
        machine_margin: inches(rules.machine_margin),
        printer_margin: inches(layout.printer.margin),
        stages: rules.stages,
        stack: Count::of(layout.stack),
        mat: rules.mat.map(size),
        glue: inches(layout.gutting.glue),
        rim: inches(layout.gutting.rim),
        gutting: layout.gutting.when,
        effort: layout.effort,
        worth_keeping: Some(size(rules.worth_keeping)),
    }
}

fn pace(pace: &Pace) -> record::Pace {
    record::Pace {
        speed: inches(pace.speed),
        lift: rounded(pace.lift),
        overcut: inches(pace.overcut),
    }
}

fn mark_style(marks: &Marks) -> MarkStyle {
    MarkStyle {
        kind: marks.kind,
        every_sheet: marks.every_sheet,
        inset: marks.inset.map(inches),
        arm: marks.arm.map(inches),
        weight: inches(marks.weight),
    }
}

fn fonts(layout: &Layout) -> Vec<FontUsed> {
    let used = layout.fonts.iter().map(|font| FontUsed {
        family: format!("{} {}", font.family, font.style).trim().to_owned(),
        source: font.source.clone(),
        sha256: font.sha256.clone(),
        embedding: font.embedding.to_string(),
        axes: font.axes.clone(),
        features: font.features.clone(),
    });
    used.collect()
}

/// The name of a page of the spread.
fn page_name(layout: &Layout, page: usize) -> PageName {
    layout.pages.get(page).copied().unwrap_or_default()
}

/// The name of a paper.
fn paper_name(layout: &Layout, paper: usize) -> String {
    layout.papers.get(paper).map_or_else(String::new, |paper| paper.name.clone())
}

/// Width and height in inches.
fn size(size: Size) -> [f64; 2] {
    size.to_inches().map(rounded)
}

/// A length in inches.
fn inches(length: Length) -> f64 {
    rounded(length.to_inches())
}
