//! Redo: the pieces of one sheet, or one piece, cut again from the paper that is left.

mod chain;
mod changes;
mod fed_once;
mod fonts;
mod photos;
mod prints;
mod reading;
mod repeated;
mod selection;
mod spending;
mod wanted;

use std::collections::{BTreeMap, BTreeSet};

use kurbo::BezPath;

use crate::description::{Element, Place, Problem, Problems};
use crate::geometry::thin::Thin;
use crate::geometry::{Drawing, Line, boolean};
use crate::layout::hidden::Gutting;
use crate::layout::{
    Layout, Marks, Pace, PaperOnHand, PaperPicture, PlacedPhoto, PlacedPiece, Printer, StoryPiece,
    label_fonts,
};
use crate::lettering::fonts::FontBook;
use crate::model::length::{Length, Size};
use crate::model::{Count, PageName, PieceId, Rules, Stock, Tool, Warning};
use crate::record::{self, Finished, MarkStyle, Paper, Piece, Record, Sheet, ThinPlace, Torn};

pub use chain::{Chain, redo_name};
pub use changes::{Change, Changes, add_bought, changed_layout, changes};
pub use fed_once::below_start;
pub use photos::add_photos;
pub use reading::read_record;
pub(super) use repeated::named;
pub use repeated::repeat;
pub use selection::{select, wanted};
pub use spending::{RunCut, Spending};
pub use wanted::Redo;

/// A layout of the pieces to do again, with the paper that earlier runs left.
///
/// Each piece is cut as it was made last, from the paper that the latest record of the chain leaves. A
/// spoiled sheet's offcuts count as spoiled with it. Photos are named like pieces; [`super::add_photos`]
/// adds them.
pub fn redo_layout(chain: &Chain, wanted: &[Redo], fonts: &FontBook) -> Result<Layout, Problems> {
    let (first, last) = (chain.whole(), chain.latest());
    let ids = ids(first, wanted)?;
    let spoiled = spoiled(first, wanted);
    let lost = lost_with(first, &spoiled);
    let papers: Vec<PaperOnHand> =
        last.papers.iter().map(|paper| on_hand(paper, last, &spoiled, &lost)).collect();
    let names: Vec<&str> = papers.iter().map(|paper| paper.name.as_str()).collect();
    let paper_of = |id: &str, name: &str| {
        let place = names.iter().position(|paper| *paper == name);
        place.ok_or_else(|| unknown(&format!("the paper of `{id}`"), name, &names))
    };
    let page_of = |id: &str, name: PageName| {
        let place = first.pages.iter().position(|page| *page == name);
        let names: Vec<&str> = first.pages.iter().map(|page| page.name()).collect();
        place.ok_or_else(|| unknown(&format!("the page of `{id}`"), name.name(), &names))
    };
    let mut pieces = Vec::new();
    for piece in &first.pieces {
        let Some(&copies) = ids.get(piece.id.as_str()) else { continue };
        let paper = paper_of(&piece.id, &piece.paper)?;
        let again = read_piece(piece, paper, page_of(&piece.id, piece.page)?)?;
        pieces.push(PlacedPiece { copies, ..again });
    }
    let mut strips: Vec<StoryPiece> = Vec::new();
    for strip in first.strips.iter().filter(|strip| ids.contains_key(strip.id.as_str())) {
        // Of one that is printed several times, every copy is told.
        if strips.iter().all(|known| known.id != strip.id) {
            strips.push(read_strip(strip, paper_of(&strip.id, &strip.paper)?));
        }
    }
    let ids: BTreeSet<&str> = ids.into_keys().collect();
    let kept = self::fonts::keep(&first.fonts, fonts, &mut pieces, &mut strips)?;
    let mut warnings: Vec<Warning> =
        ids.iter().filter_map(|id| gutted_before(first, id, &ids)).collect();
    warnings.extend(torn_apart(first, &ids));
    let mut layout = Layout {
        name: first.name.clone(),
        spec: first.spec.clone(),
        units: first.shown_units(),
        page: Size::of_inches(first.page),
        pages: first.pages.clone(),
        kits: 1,
        names: first.names.clone(),
        stack: first.rules.stack.get(),
        copies_of_pages: Vec::new(),
        pieces,
        photos: Vec::<PlacedPhoto>::new(),
        elements: Vec::new(),
        pictures: Vec::new(),
        strips,
        fonts: kept,
        thin: thin(first),
        rules: Rules {
            kerf: Length::inches(first.rules.kerf),
            trim_margin: Length::inches(first.rules.trim_margin),
            spacing: Length::inches(first.rules.spacing),
            machine_margin: Length::inches(first.rules.machine_margin),
            stages: first.rules.stages,
            mat: first.rules.mat.map(Size::of_inches),
            worth_keeping: first.rules.worth_keeping.map_or(Rules::WORTH_KEEPING, Size::of_inches),
            rim_is_paper: false,
        },
        // What is cut again is cut whole: its pieces know of no hidden middles.
        gutting: Gutting {
            when: first.rules.gutting,
            glue: Length::inches(first.rules.glue),
            rim: Length::inches(first.rules.rim),
        },
        effort: first.rules.effort,
        strict: false,
        pace: pace(&first.pace),
        marks: first.mark_style.as_ref().map(marks),
        inks: first.inks,
        printer: printer(first),
        print_scale: first.print_scale.as_ref().map(prints::print_scale),
        photo_paper: photos::paper(first),
        photo_stock: photos::stock(last),
        stamps: Vec::new(),
        advice: Vec::new(),
        fitted: Vec::new(),
        without_advice: Vec::new(),
        warnings,
        redo: chain.next_number(),
        repeated: BTreeMap::new(),
        follows: Some(last.paper_digest()),
        start: None,
        origin: None,
        papers,
    };
    label_fonts::add(&mut layout, fonts);
    Ok(layout)
}

/// The ids of the pieces to do again, each with how many of it: as many as are asked for, or as lie on the
/// sheets that are cut again, if those are more.
fn ids<'a>(record: &'a Record, wanted: &[Redo]) -> Result<BTreeMap<&'a str, u32>, Problem> {
    let mut ids: BTreeMap<&str, u32> = BTreeMap::new();
    let mut on_sheets: BTreeMap<&str, u32> = BTreeMap::new();
    for redo in wanted {
        match redo {
            Redo::Piece(id) | Redo::Copies(id, _) => {
                let copies = if let Redo::Copies(_, copies) = redo { *copies } else { 1 };
                let pieces = record.pieces.iter().map(|piece| piece.id.as_str());
                let photos = photos::printed(record);
                let one = the_one("piece", id, pieces.clone().chain(photos))?;
                if let Some(piece) = pieces.into_iter().find(|piece| *piece == one) {
                    let known = ids.entry(piece).or_default();
                    *known = copies.max(*known);
                }
            }
            Redo::Sheet(id) => {
                let sheets = record.sheets.iter().chain(&record.prints);
                let known = sheets.map(|sheet| sheet.id.as_str());
                the_one("sheet", id, known)?;
            }
        }
    }
    // A sheet that is named twice, or with the sheet it is a part of, is cut once.
    let spoiled = spoiled(record, wanted);
    let placed = record.sheets.iter().filter(|sheet| spoiled.contains(sheet.id.as_str()));
    for one in placed.flat_map(|sheet| &sheet.placed) {
        *on_sheets.entry(one.piece.as_str()).or_default() += 1;
    }
    for (id, lie) in on_sheets {
        let copies = ids.entry(id).or_default();
        *copies = lie.max(*copies);
    }
    Ok(ids)
}

/// The sheets that are to be cut again, and those that are parts of them or middles of pieces on them: the
/// paper of a spoiled sheet is spoiled wherever it went.
fn spoiled<'a>(record: &'a Record, wanted: &'a [Redo]) -> BTreeSet<&'a str> {
    let mut spoiled: BTreeSet<&str> = wanted
        .iter()
        .filter_map(|redo| match redo {
            Redo::Sheet(sheet) => Some(sheet.as_str()),
            Redo::Piece(_) | Redo::Copies(..) => None,
        })
        .collect();
    loop {
        let middles = middles_of(record, &spoiled);
        let is_one_of = |middles: &BTreeSet<&str>, sheet: &Sheet| {
            sheet.from.as_deref().is_some_and(|from| middles.contains(from))
        };
        let from_them = record.sheets.iter().filter(|sheet| is_one_of(&middles, sheet));
        let before = spoiled.len();
        spoiled.extend(from_them.map(|sheet| sheet.id.as_str()));
        let wholes = record.sheets.iter().filter(|sheet| spoiled.contains(sheet.id.as_str()));
        let parts: Vec<&str> =
            wholes.flat_map(|sheet| &sheet.parts).map(|part| part.id.as_str()).collect();
        spoiled.extend(parts);
        if spoiled.len() == before {
            return spoiled;
        }
    }
}

/// The paper that is lost with some sheets: their offcuts, and the middles of the pieces on them.
fn lost_with<'a>(record: &'a Record, sheets: &BTreeSet<&str>) -> BTreeSet<&'a str> {
    let lost = record.sheets.iter().filter(|sheet| sheets.contains(sheet.id.as_str()));
    let offcuts = lost.flat_map(|sheet| &sheet.offcuts).map(|offcut| offcut.id.as_str());
    offcuts.chain(middles_of(record, sheets)).collect()
}

/// The middles of the pieces on some sheets.
fn middles_of<'a>(record: &'a Record, sheets: &BTreeSet<&str>) -> BTreeSet<&'a str> {
    let sheets = record.sheets.iter().filter(|sheet| sheets.contains(sheet.id.as_str()));
    let placed: BTreeSet<&str> =
        sheets.flat_map(|sheet| &sheet.placed).map(|placed| placed.piece.as_str()).collect();
    let pieces = record.pieces.iter().filter(|piece| placed.contains(piece.id.as_str()));
    pieces.flat_map(|piece| &piece.gutted).map(|middle| middle.id.as_str()).collect()
}

/// What to know when a piece is cut again out of whose middle others were cut, on sheets of their own or
/// in the same pass.
fn gutted_before(record: &Record, id: &str, again: &BTreeSet<&str>) -> Option<Warning> {
    let piece = record.pieces.iter().find(|piece| piece.id == id)?;
    let from = |sheet: &&Sheet| {
        piece.gutted.iter().any(|middle| sheet.from.as_deref() == Some(middle.id.as_str()))
    };
    let kept: Vec<&Sheet> = record
        .sheets
        .iter()
        .filter(from)
        .filter(|sheet| sheet.placed.iter().any(|one| !again.contains(one.piece.as_str())))
        .collect();
    let sheets: Vec<&str> = kept.iter().map(|sheet| sheet.id.as_str()).collect();
    let held = piece.opened.iter().flat_map(|opening| &opening.holds).map(PieceId::as_str);
    let held = held.filter(|held| !again.contains(held));
    let placed = kept.iter().flat_map(|sheet| &sheet.placed).map(|one| one.piece.as_str());
    let pieces: Vec<&str> = placed.chain(held).collect();
    let help = if sheets.is_empty() {
        format!("if those are spoiled too, redo them as well: {}", pieces.join(", "))
    } else {
        format!("if those are spoiled too, redo the sheet as well: {}", sheets.join(", "))
    };
    (!pieces.is_empty()).then(|| Warning {
        kind: "gutted before".to_owned(),
        message: format!("`{id}` was gutted for {}; it is cut whole this time", pieces.join(", ")),
        help,
        piece: Some(id.to_owned()),
        line: None,
    })
}

/// What to know when of pieces that came from one sheet only some are cut again: a pattern runs on from
/// one to the other only within a sheet.
fn torn_apart(record: &Record, again: &BTreeSet<&str>) -> Option<Warning> {
    let of = |id: &&str| record.pieces.iter().find(|piece| piece.id == **id);
    let apart = |piece: &&Piece| {
        let same = |other: &&Piece| other.together.is_some() && other.together == piece.together;
        record.pieces.iter().filter(same).find(|other| !again.contains(other.id.as_str()))
    };
    let (piece, other) =
        again.iter().filter_map(of).find_map(|piece| Some((piece, apart(&piece)?)))?;
    Some(Warning {
        kind: "one of several".to_owned(),
        message: format!("`{}` and `{}` were cut from one sheet, side by side", piece.id, other.id),
        help: format!("if the pattern has to run on, redo `{}` as well", other.id),
        piece: Some(piece.id.to_string()),
        line: None,
    })
}

/// The one of that name.
fn the_one<'a>(
    what: &str,
    id: &str,
    known: impl Iterator<Item = &'a str> + Clone,
) -> Result<&'a str, Problem> {
    known
        .clone()
        .find(|known| *known == id)
        .ok_or_else(|| selection::unknown(what, id, &known.collect::<Vec<_>>()))
}

/// A paper with the sheets and offcuts that are left after `last`.
fn on_hand(
    paper: &Paper,
    last: &Record,
    spoiled: &BTreeSet<&str>,
    lost: &BTreeSet<&str>,
) -> PaperOnHand {
    let offcut = |id: &str, of: [f64; 2]| Stock {
        size: Size::of_inches(of),
        count: 1,
        price: None,
        offcut: Some(id.into()),
        ..Stock::default()
    };
    // Of sheets that are cut alike, one is cut again: what is left of one is lost with it.
    let sound = |count: Count, is_lost: bool| count.get() - u32::from(is_lost);
    let left = paper
        .offcuts_left
        .iter()
        .map(|left| (&left.id, left.size, sound(left.count, lost.contains(left.id.as_str()))));
    let sheets = last.sheets.iter().filter(|sheet| sheet.paper == paper.name);
    let cut = sheets.flat_map(|sheet| {
        let is_lost = spoiled.contains(sheet.id.as_str());
        sheet.offcuts.iter().map(move |left| (&left.id, left.size, sound(left.count, is_lost)))
    });
    // Each is a stock of one: sheets that come from them are told one by one, as their labels are.
    let mut stock: Vec<Stock> = Vec::new();
    for (id, size, count) in left.chain(cut) {
        stock.extend((0..count).map(|_| offcut(id, size)));
    }
    stock.extend(paper.left.iter().map(|left| Stock {
        size: Size::of_inches(left.size),
        count: left.count,
        price: left.price,
        ..Stock::default()
    }));
    PaperOnHand {
        name: paper.name.clone(),
        color: paper.color,
        pattern: paper.pattern.clone(),
        picture: paper.picture.as_ref().map(|on| PaperPicture {
            excerpt: prints::excerpt(&on.picture),
            size: on.size,
            fill: on.fill,
            shades: Vec::new(),
        }),
        core: None,
        directional: paper.directional,
        turns: paper.turns,
        thinnest: Length::ZERO,
        stock,
        shaped: Vec::new(),
        taken: Vec::new(),
        from_stock: paper.from_stock,
        place: Place::default(),
    }
}

/// Path data of a piece.
fn path_of(piece: &Piece, data: &str) -> Result<BezPath, Problem> {
    BezPath::from_svg(data).map_err(|error| {
        Problem::input(
            format!("the record's path of `{}` can't be read: {error:?}", piece.id),
            "the record was changed by hand: build the spread anew",
        )
    })
}

fn read_piece(piece: &Piece, paper: usize, page: usize) -> Result<PlacedPiece, Problem> {
    let path = |data: &str| path_of(piece, data);
    let mut lines = Vec::new();
    for line in &piece.lines {
        lines.push(Line { process: line.process, path: path(&line.path)?, fold: line.fold });
    }
    let folded = piece.folded.as_ref().map(Finished::read);
    let finished = match folded.or(piece.torn.as_ref().map(Torn::read)) {
        Some(None) => {
            let message =
                format!("how `{}` lies on its page can't be read in the record", piece.id);
            let help = "the record was changed by hand: build the spread anew";
            return Err(Problem::input(message, help));
        }
        Some(finished) => finished.map(Box::new),
        None => None,
    };
    let print = piece.print.as_ref().map(|print| prints::read(print, path)).transpose()?;
    Ok(PlacedPiece {
        id: piece.id.clone(),
        kind: kind(piece)?,
        paper,
        tool: piece.tool,
        turns: piece.turns,
        copies: piece.copies,
        kit: piece.kit.clone(),
        size: Size::of_inches(piece.size),
        rectangle: piece.tool == Tool::Trimmer,
        drawing: Drawing {
            outline: whole(&path(&piece.path)?, piece.gutted.len() + piece.opened.len()),
            lines,
        },
        finished,
        page,
        at: piece.at,
        turn: piece.turn,
        order: piece.order,
        tucked: piece.tucked.as_ref().and_then(reading::tucked),
        raised: piece.raised.as_ref().map(reading::raised),
        together: piece.together.clone(),
        runs_on: piece.runs_on,
        gut: None,
        middles: Vec::new(),
        openings: Vec::new(),
        windows: Vec::new(),
        print: print.map(Box::new),
        notes: piece.notes.clone(),
        place: Place::default(),
    })
}

fn read_strip(strip: &record::Strip, paper: usize) -> StoryPiece {
    StoryPiece {
        id: strip.id.clone(),
        text: strip.text.clone(),
        paper,
        size: Size::of_inches(strip.size),
        baseline: strip.baseline,
        type_size: strip.type_size,
        ink: strip.ink,
        ground: strip.ground,
        runs: strip.runs.clone(),
    }
}

/// The thin places of every piece, as the record names them.
fn thin(record: &Record) -> Vec<(PieceId, Vec<Thin>)> {
    let with_thin = record.pieces.iter().filter(|piece| !piece.thin.is_empty());
    let place = |place: &ThinPlace| Thin { at: place.at, width: place.width, length: place.length };
    with_thin.map(|piece| (piece.id.clone(), piece.thin.iter().map(place).collect())).collect()
}

/// An outline without the windows of its gutting, its last subpaths: what is cut again is cut whole,
/// for the pieces from its middle were cut before.
fn whole(path: &BezPath, windows: usize) -> BezPath {
    let parts = boolean::subpaths(path);
    let kept = parts.len().saturating_sub(windows).max(1);
    parts.into_iter().take(kept).flatten().collect()
}

/// The kind of a piece, one of those that a record may name.
fn kind(piece: &Piece) -> Result<&'static str, Problem> {
    const OTHERS: [&str; 7] = ["base", "mat", "letter", "word", "backing", "stencil", "journaling"];
    let kinds: Vec<&'static str> = OTHERS.iter().chain(Element::KINDS).copied().collect();
    let found = kinds.iter().find(|kind| **kind == piece.kind).copied();
    found.ok_or_else(|| unknown(&format!("the kind of `{}`", piece.id), &piece.kind, &kinds))
}

/// A word of the record that this program doesn't know.
fn unknown(what: &str, word: &str, known: &[&str]) -> Problem {
    Problem::input(
        format!("{what} is `{word}` in the record, which is not known here"),
        format!(
            "known are: {}; the record was changed by hand or is another version's: build the spread anew",
            known.join(", ")
        ),
    )
}

/// The printer's paper of a record.
fn printer(record: &Record) -> Printer {
    let paper = Size::of_inches(record.printer_paper());
    Printer { paper, margin: Length::inches(record.rules.printer_margin) }
}

/// How fast the machine works, as a record has kept it.
fn pace(pace: &record::Pace) -> Pace {
    Pace {
        speed: Length::inches(pace.speed),
        lift: pace.lift,
        overcut: Length::inches(pace.overcut),
    }
}

/// How marks look, as a record has kept it.
fn marks(style: &MarkStyle) -> Marks {
    Marks {
        kind: style.kind,
        every_sheet: style.every_sheet,
        inset: style.inset.map(Length::inches),
        arm: style.arm.map(Length::inches),
        weight: Length::inches(style.weight),
    }
}
