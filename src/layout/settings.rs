//! The parts of a spec that lie on no page: papers on hand, distances, inks, printer.

use crate::description::{
    CoreColor, MarkForm, Marked, MarkedSheets, PaperSpec, SheetCount, SheetPrice, SheetsSpec,
    Single, Written,
};
use crate::model::length::{Length, LengthSum, Size, Units};
use crate::model::printer::{KnownScale, ToldBy};
use crate::model::{AdviceKind, Color, Effort, Fault, Inks, Price, Rules, Stock, Turns};

use super::hidden::{GLUE, Gutting, RIM, When};
use super::reading::{Along, Reader};
use super::{Layout, Marks, Pace, PaperOnHand, Printer, stock_names};

/// Papers that a spec may list: more than a shop for paper stocks of one maker.
const MOST_PAPERS: usize = 500;
/// Strokes thinner than this tear when cut in cardstock (common practice, no source).
const THINNEST_STROKE: Length = Length::part(1, 16);
/// The rim most small machines keep from the edge of a sheet, in inches (common practice, no source;
/// the machine's manual rules).
const MACHINE_MARGIN: Length = Length::part(1, 4);
/// The mat that most small machines come with, in inches, and in whole millimetres as metric sheets of that
/// size are sold (common practice, no source).
const MAT: Size = Size::new(Length::part(12, 1), Length::part(12, 1));
const METRIC_MAT: Size =
    Size::new(Length::nanometres(305_000_000), Length::nanometres(305_000_000));
/// Paper between machine pieces that holds while the blade passes (common practice, no source).
const SPACING: Length = Length::part(1, 16);
/// The least distance between machine pieces, twice what flattening may add to each.
const LEAST_SPACING: Length = Length::part(1, 250);
/// The least glue margin and rim of a gutted piece: a line of glue is about as wide.
const LEAST_FRAME: Length = Length::part(1, 8);
/// The rim most home printers can't reach (common practice, no source; the printer's manual rules).
const PRINTER_MARGIN: Length = Length::part(1, 4);

/// What a small machine's blade covers in a second, and the seconds it takes to lower and lift it (common
/// practice, no source; the machine's manual rules).
const SPEED: Length = Length::part(2, 1);
const LIFT: f64 = 0.3;
/// Sheets in a stack at most: trimmers of the trade take some 20 of thin paper (common practice, no source).
const MOST_STACKED: u32 = 20;
/// The longest overcut: more is seen as a nick.
const MOST_OVERCUT: Length = Length::part(1, 8);
/// Width of a registration mark's lines: thin enough to be taken for a hairline, wide enough to be seen.
pub const MARK_WEIGHT: Length = Length::part(1, 100);

/// A layout with everything but pieces, photos and strips.
pub(super) fn settings(reader: &mut Reader<'_>) -> Layout {
    Layout {
        name: reader.spec.name.value.trim().to_owned(),
        units: reader.units,
        page: reader.page,
        pages: reader.pages.clone(),
        kits: kits(reader),
        copies_of_pages: copies_of_pages(reader),
        papers: papers(reader),
        rules: rules(reader),
        gutting: gutting(reader),
        effort: effort(reader),
        stack: stack(reader),
        pace: pace(reader),
        marks: marks(reader),
        without_advice: without_advice(reader),
        inks: inks(reader),
        printer: printer(reader),
        print_scale: print_scale(reader),
        photo_paper: photo_paper(reader),
        photo_stock: photo_stock(reader),
        ..Layout::default()
    }
}

/// The kinds of advice that are not given.
fn without_advice(reader: &mut Reader<'_>) -> Vec<AdviceKind> {
    let spec = reader.spec;
    spec.advice.without.iter().filter_map(|kind| reader.value(kind)).collect()
}

/// How many of the whole spread are made.
fn kits(reader: &mut Reader<'_>) -> u32 {
    reader.copies(reader.spec.copies.as_ref())
}

/// How many of each page are made for one spread.
fn copies_of_pages(reader: &mut Reader<'_>) -> Vec<u32> {
    let pages = reader.pages.clone().into_iter();
    let copies = pages.map(|page| {
        let written = reader.spec.page_named(page).and_then(|page| page.copies.as_ref());
        reader.copies(written)
    });
    copies.collect()
}

fn papers(reader: &mut Reader<'_>) -> Vec<PaperOnHand> {
    if let Some((_, extra)) = reader.spec.papers.0.get(MOST_PAPERS) {
        let message = format!("there are more than {MOST_PAPERS} papers");
        reader.problem(extra.place, message, "leave out those that the spread doesn't use");
        return Vec::new();
    }
    stock_names::papers(reader);
    let ids = stock_names::offcuts(reader);
    let papers = reader.spec.papers.0.iter().zip(ids);
    papers.map(|((name, paper), ids)| self::paper(reader, name, paper, ids)).collect()
}

/// A paper; `ids` are those of its offcuts.
fn paper(
    reader: &mut Reader<'_>,
    name: &str,
    paper: &Marked<PaperSpec>,
    ids: Vec<String>,
) -> PaperOnHand {
    let written = &paper.value;
    let mut stock = Vec::new();
    for (offcut, id) in written.offcuts.iter().zip(ids) {
        let size = reader.size(&offcut.size);
        stock.push(Stock {
            size,
            count: 1,
            price: None,
            offcut: Some(id.into()),
            ..Stock::default()
        });
    }
    for (size, sheets) in &written.sheets.0 {
        let size = reader.size_at(size, sheets.place);
        stock.push(on_hand(reader, size, sheets));
    }
    let turns = reader.turns(written.turn.as_ref());
    let directional = turns == Some(Turns::Never);
    if written.color.is_none() && written.picture.is_none() {
        let message = format!("the paper `{name}` has no colour");
        let help = "write one, such as `color: \"#e9dcc0\"`; or list the paper with its colour in stock.yaml";
        reader.problem(paper.place, message, help);
    }
    let color = reader.color(written.color.as_ref(), Color::WHITE);
    let pattern = written.pattern.as_ref().map(|pattern| {
        let units = reader.units;
        let tell = &mut |place, fault: Fault| reader.problem(place, fault.message, fault.help);
        pattern.value.read(units, color, pattern.place, tell)
    });
    let core =
        written.core.as_ref().and_then(|core| reader.value(core)).map(|CoreColor(core)| core);
    let thinnest = match &written.thinnest {
        None => THINNEST_STROKE,
        Some(text) => reader.positive(text, Along::Width, "thinnest stroke"),
    };
    let (name, place) = (name.to_owned(), paper.place);
    let from_stock = written.from_stock;
    let (taken, shaped) = (Vec::new(), Vec::new());
    PaperOnHand {
        name,
        color,
        pattern,
        picture: None,
        core,
        directional,
        turns,
        thinnest,
        stock,
        shaped,
        taken,
        from_stock,
        place,
    }
}

/// Sheets of one size.
fn on_hand(reader: &mut Reader<'_>, size: Size, sheets: &Marked<SheetsSpec>) -> Stock {
    let SheetsSpec { count, price } = &sheets.value;
    let count =
        reader.value(&count.clone().at_or(sheets.place)).map_or(0, |SheetCount(count)| count);
    let price = self::price(reader, price.as_ref());
    Stock { size, count, price, ..Stock::default() }
}

/// A price; none where none is written, or 0: sheets then weigh by their area.
fn price(reader: &mut Reader<'_>, written: Option<&Written<SheetPrice>>) -> Option<Price> {
    written
        .and_then(|written| reader.value(written))
        .and_then(|SheetPrice(price)| Price::new(price))
}

fn rules(reader: &mut Reader<'_>) -> Rules {
    let cutting = &reader.spec.cutting;
    let kerf = reader.distance(cutting.kerf.as_ref(), Length::ZERO, "kerf");
    let trim_margin = reader.distance(cutting.trim_margin.as_ref(), Length::ZERO, "trim margin");
    let spacing = reader.distance(cutting.spacing.as_ref(), SPACING, "spacing");
    let machine_margin =
        reader.distance(cutting.machine_margin.as_ref(), MACHINE_MARGIN, "machine margin");
    let stages = cutting.stages.as_ref().map(|stages| stages.value);
    let mat = match &cutting.mat {
        Some(text) => reader.size(text),
        None if reader.units == Units::Millimetres => METRIC_MAT,
        None => MAT,
    };
    let worth_keeping = cutting.worth_keeping.as_ref();
    let worth_keeping = worth_keeping.map_or(Rules::WORTH_KEEPING, |text| reader.size(text));
    Rules {
        kerf,
        trim_margin,
        spacing: spacing.max(LEAST_SPACING),
        machine_margin,
        stages,
        mat: Some(mat),
        worth_keeping,
        rim_is_paper: false,
    }
}

fn gutting(reader: &mut Reader<'_>) -> Gutting {
    let written = &reader.spec.gutting;
    let when = reader.choice(written.when.as_ref(), When::default());
    let glue = reader.distance(written.glue.as_ref(), GLUE, "glue margin");
    let rim = reader.distance(written.rim.as_ref(), RIM, "rim of a gutted piece");
    for (length, text, what) in [(glue, &written.glue, "glue"), (rim, &written.rim, "rim")] {
        if length < LEAST_FRAME
            && let Some(text) = text
        {
            let message = format!("a gutted piece can't hold with a {what} of `{}`", &*text.text);
            let help = format!("write {} or more", LEAST_FRAME.show(reader.units));
            reader.problem(text.place, message, help);
        }
    }
    Gutting { when, glue, rim }
}

fn effort(reader: &mut Reader<'_>) -> Effort {
    reader.choice(reader.spec.cutting.effort.as_ref(), Effort::default())
}

/// Sheets that the trimmer cuts at once.
fn stack(reader: &mut Reader<'_>) -> u32 {
    let written = reader.spec.cutting.stack.as_ref();
    let stack = reader.copies(written);
    if let Some(written) = written.filter(|_| stack > MOST_STACKED) {
        let message = format!("no trimmer cuts a stack of {stack} sheets");
        reader.problem(written.place, message, format!("write {MOST_STACKED} or fewer"));
    }
    stack
}

fn pace(reader: &mut Reader<'_>) -> Pace {
    let cutting = &reader.spec.cutting;
    let overcut = reader.distance(cutting.overcut.as_ref(), Length::ZERO, "overcut");
    if overcut > MOST_OVERCUT
        && let Some(text) = &cutting.overcut
    {
        let message = format!("an overcut of `{}` would show", &*text.text);
        let help = format!("write {} or less", MOST_OVERCUT.show(reader.units));
        reader.problem(text.place, message, help);
    }
    let speed = cutting.machine_speed.as_ref();
    let speed =
        speed.map_or(SPEED, |text| reader.positive(text, Along::Width, "speed of the machine"));
    let lift = cutting.lift_time.as_ref().map_or(LIFT, |time| time.value);
    if let Some(time) = &cutting.lift_time
        && !(0.0..=60.0).contains(&lift)
    {
        reader.problem(time.place, "the lift time is no time of a blade", "write seconds, 0 to 60");
    }
    Pace { speed, lift, overcut }
}

fn marks(reader: &mut Reader<'_>) -> Option<Marks> {
    let written = &reader.spec.marks;
    let kind = reader.choice(written.kind.as_ref(), MarkForm::Cross).kind();
    let on = reader.choice(written.on.as_ref(), MarkedSheets::Printed);
    let mut length = |text: &Option<Written<LengthSum>>, what| {
        let text = text.as_ref()?;
        Some(reader.positive(text, Along::Width, what))
    };
    let (inset, arm) = (length(&written.inset, "inset"), length(&written.arm, "arm"));
    let weight = length(&written.weight, "weight").unwrap_or(MARK_WEIGHT);
    let kind = kind?;
    Some(Marks { kind, every_sheet: on == MarkedSheets::Every, inset, arm, weight })
}

fn inks(reader: &mut Reader<'_>) -> Inks {
    let (inks, usual) = (&reader.spec.inks, Inks::default());
    Inks {
        cut: reader.color(inks.cut.as_ref(), usual.cut),
        score: reader.color(inks.score.as_ref(), usual.score),
        perforate: reader.color(inks.perforate.as_ref(), usual.perforate),
        pen: reader.color(inks.pen.as_ref(), usual.pen),
        register: reader.color(inks.register.as_ref(), usual.register),
    }
}

fn printer(reader: &mut Reader<'_>) -> Printer {
    let printer = &reader.spec.printer;
    let paper = match (&printer.paper, reader.units) {
        (Some(text), _) => reader.size(text),
        (None, Units::Inches) => Size::inches(8.5, 11.0),
        // A4, ISO 216.
        (None, Units::Millimetres) => Size::new(Length::mm(210.0), Length::mm(297.0)),
    };
    let margin = reader.distance(printer.margin.as_ref(), PRINTER_MARGIN, "printer margin");
    Printer { paper, margin }
}

/// What the spec says that the printer makes of lengths.
fn print_scale(reader: &mut Reader<'_>) -> Option<KnownScale> {
    let written = reader.spec.printer.scale.as_ref()?;
    Some(KnownScale { scale: reader.value(written)?, told_by: ToldBy::Spec })
}

/// The photo paper: as the printer's other paper where nothing else is written.
fn photo_paper(reader: &mut Reader<'_>) -> Printer {
    let written = &reader.spec.printer;
    let other = printer(reader);
    let paper = written.photo_paper.as_ref().map_or(other.paper, |text| reader.size(text));
    let margin = reader.distance(written.photo_margin.as_ref(), other.margin, "photo margin");
    Printer { paper, margin }
}

/// The photo paper on hand, if that is written.
fn photo_stock(reader: &mut Reader<'_>) -> Option<Stock> {
    let written = reader.spec.printer.photo_sheets.as_ref()?;
    let size = photo_paper(reader).paper;
    Some(on_hand(reader, size, written))
}
