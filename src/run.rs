//! One run: a layout is printed and nested, and everything decided is written down as a record.
//!
//! This is where the stages meet. It decides nothing about form or place itself: strips are
//! arranged by `journal`, pieces by `nest`, and both answers become one [`Record`].

mod gutting;
mod in_register;
mod marks;
mod on_mat;
mod paper_plan;
mod printed;
mod printer_sheets;
mod prints;
mod purchase;
mod reasons;
mod redo;
mod redo_fonts;
mod redo_photos;
mod redo_prints;
mod redo_wanted;
pub mod route;
mod saving;
mod sheets;
mod totals;
mod writing;

use rayon::prelude::*;

use crate::description::{Fault, Place, Problem, Problems};
use crate::geometry::{self, FLATTENING};
use crate::layout::{Layout, PlacedPiece};
use crate::length::{Length, Units};
use crate::model::{Facing, PageName};
use crate::nest::gutting::{Gutted, Middle};
use crate::nest::{Form, Item, Job, Nested, Search, Stock, Tool};
use crate::record::{self, PATH_DECIMALS, Piece, Record, rounded};

pub use redo::redo_layout;
pub use redo_photos::add_photos;
pub use redo_wanted::Redo;

/// Nests and prints a layout; the record of it, or what is missing.
pub fn run(layout: &Layout) -> Result<Record, Problems> {
    run_in(layout, &Search::new())
}

/// Like [`run`]; stopped, the search ends with the best found until then, and the record says so.
pub fn run_in(layout: &Layout, search: &Search) -> Result<Record, Problems> {
    let Planned { stock, jobs, middles, gutted, for_printer, printed, in_register } =
        planned(layout, search)?;
    let all = saving::Run {
        layout,
        search,
        stock: &stock,
        jobs: &jobs,
        middles: &middles,
        gutted: &gutted,
    };
    let savings: Vec<Vec<String>> =
        (0..jobs.len()).into_par_iter().map(|paper| all.notes(paper)).collect();
    let layout = &gutting::with_windows(layout, &jobs, &middles, &gutted);
    let mut record = beginning(layout);
    for_printer.write(&mut record);
    for (index, (((job, pieces), gutted), savings)) in
        jobs.iter().zip(&gutted).zip(savings).enumerate()
    {
        let Gutted { nested, stock, .. } = gutted;
        let mut paper = sheets::of_paper(layout, index, stock, pieces, nested, &mut record);
        paper.notes.extend(reasons::notes(&nested.notes, &job.items));
        paper.notes.extend(savings);
        record.papers.push(paper);
    }
    gutting::fill_openings(&mut record);
    in_register.write(layout, &mut record);
    marks::mark(layout, &mut record);
    route::plan(&mut record);
    on_mat::warn(layout, &mut record);
    printed.write(layout, &mut record);
    for_printer.name_parts(&mut record);
    purchase::order(&mut record);
    prints::print(layout, search, &mut record)?;
    totals::sum_up(layout, &mut record);
    Ok(record)
}

/// How everything is cut, by paper.
#[derive(Default)]
struct Planned {
    /// What is on hand once sheets for the printer are taken.
    stock: Vec<Vec<Stock>>,
    /// What is cut from that, and the pieces behind it.
    jobs: Vec<(Job, Vec<usize>)>,
    middles: Vec<Vec<Middle>>,
    gutted: Vec<Gutted>,
    for_printer: printer_sheets::PrinterSheets,
    printed: printed::Printed,
    in_register: in_register::InRegister,
}

/// Plans every paper; or says all that is missing.
fn planned(layout: &Layout, search: &Search) -> Result<Planned, Problems> {
    let papers = 0..layout.papers.len();
    let plans: Vec<_> =
        papers.into_par_iter().map(|paper| paper_plan::plan(layout, search, paper)).collect();
    let (mut planned, mut problems) = (Planned::default(), Vec::new());
    for (paper, plan) in plans.into_iter().enumerate() {
        let plan = match plan {
            Ok(plan) => plan,
            Err(missing) => {
                problems.extend(missing);
                continue;
            }
        };
        let printer_sheets::Supply { sheets, taken, stock, .. } = plan.supply;
        planned.for_printer.add(sheets);
        let mut taken = taken.into_iter();
        for (page, from) in plan.pages.into_iter().zip(taken.by_ref()) {
            planned.printed.add(paper, page, from);
        }
        if let Some(of_paper) = plan.in_register {
            planned.in_register.add(of_paper, taken.collect());
        }
        planned.stock.push(stock);
        planned.jobs.push((plan.job, plan.pieces));
        planned.middles.push(plan.middles);
        planned.gutted.push(plan.gutted);
    }
    if problems.is_empty() { Ok(planned) } else { Err(Problems(problems)) }
}

/// A record with the pieces and photos, before anything is cut.
fn beginning(layout: &Layout) -> Record {
    Record {
        format: record::FORMAT,
        cutleaf: env!("CARGO_PKG_VERSION").to_owned(),
        name: layout.name.clone(),
        spec: layout.spec.clone(),
        units: "in".to_owned(),
        shown_in: match layout.units {
            Units::Inches => "in".to_owned(),
            Units::Millimetres => "mm".to_owned(),
        },
        page: layout.page.to_inches().map(rounded),
        pages: layout.pages.iter().map(PageName::to_string).collect(),
        inks: layout.inks.clone(),
        printer: layout.printer.paper.to_inches().map(rounded),
        pace: route::pace(&layout.pace),
        mark_style: layout.marks.as_ref().map(marks::style),
        rules: record::Rules {
            kerf: rounded(layout.rules.kerf.to_inches()),
            trim_margin: rounded(layout.rules.trim_margin.to_inches()),
            spacing: rounded(layout.rules.spacing.to_inches()),
            machine_margin: rounded(layout.rules.machine_margin.to_inches()),
            printer_margin: rounded(layout.printer.margin.to_inches()),
            stages: layout.rules.stages,
            mat: layout.rules.mat.map(|mat| mat.to_inches().map(rounded)),
            glue: rounded(layout.gutting.glue.to_inches()),
            rim: rounded(layout.gutting.rim.to_inches()),
            gutting: layout.gutting.when.name().to_owned(),
            effort: layout.effort.name().to_owned(),
            worth_keeping: layout.rules.worth_keeping.to_inches().map(rounded),
        },
        print_scale: layout.print_scale.as_ref().map(writing::print_scale),
        pieces: layout.pieces.iter().map(|piece| self::piece(layout, piece)).collect(),
        photos: layout.photos.iter().map(|photo| self::photo(layout, photo)).collect(),
        fonts: layout
            .fonts
            .iter()
            .map(|font| record::FontUsed {
                family: format!("{} {}", font.family, font.style).trim().to_owned(),
                source: font.source.clone(),
                sha256: font.sha256.clone(),
                embedding: font.embedding.to_string(),
                axes: font.axes.clone(),
                features: font.features.clone(),
            })
            .collect(),
        stamps: layout.stamps.iter().map(writing::stamp_row).collect(),
        warnings: layout.warnings.clone(),
        ..Record::default()
    }
}

/// A piece as the record keeps it.
fn piece(layout: &Layout, piece: &PlacedPiece) -> Piece {
    let path = &piece.drawing.outline;
    let rings: Vec<geometry::Ring> = geometry::rings(path, FLATTENING)
        .into_iter()
        .map(|ring| ring.into_iter().map(|point| point.map(rounded)).collect())
        .collect();
    Piece {
        id: piece.id.clone(),
        kind: piece.kind.to_owned(),
        paper: layout.papers.get(piece.paper).map_or_else(String::new, |paper| paper.name.clone()),
        tool: piece.tool.name().to_owned(),
        size: piece.size.to_inches().map(rounded),
        area: rounded(kurbo::Shape::area(path).abs()),
        page: layout.pages.get(piece.page).map_or_else(String::new, PageName::to_string),
        at: piece.at.map(rounded),
        turn: piece.turn,
        folded: piece.folded.as_deref().map(record::Folded::of),
        turns: piece.turns.name().to_owned(),
        together: piece.together.clone(),
        copies: 1,
        outline: rings,
        path: geometry::path_data(path, PATH_DECIMALS),
        lines: piece
            .drawing
            .lines
            .iter()
            .map(|line| record::LineOnPiece {
                process: line.process,
                path: geometry::path_data(&line.path, PATH_DECIMALS),
                fold: line.fold,
            })
            .collect(),
        notes: piece.notes.clone(),
        order: piece.order,
        print: piece.print.as_deref().map(writing::print),
        thin: thin(layout, &piece.id),
        gutted: piece
            .windows
            .iter()
            .filter(|window| window.opening.is_none())
            .map(|window| {
                let record::Area { at, size } = sheets::area(window.area);
                record::Offcut { id: window.id.clone(), at, size }
            })
            .collect(),
        opened: piece.windows.iter().filter_map(gutting::opening).collect(),
    }
}

/// The thin places of a piece.
fn thin(layout: &Layout, id: &str) -> Vec<record::ThinPlace> {
    let own = layout.thin.iter().filter(|(piece, _)| piece == id);
    own.flat_map(|(_, places)| places)
        .map(|thin| record::ThinPlace {
            at: thin.at.map(rounded),
            width: rounded(thin.width),
            length: rounded(thin.length),
        })
        .collect()
}

fn photo(layout: &Layout, photo: &crate::layout::PlacedPhoto) -> record::Photo {
    record::Photo {
        id: photo.id.clone(),
        name: photo.name.clone(),
        page: layout.pages.get(photo.page).map_or_else(String::new, PageName::to_string),
        at: photo.at.map(rounded),
        size: photo.size.to_inches().map(rounded),
        border: rounded(photo.border.to_inches()),
        turn: photo.turn,
        looks: photo.facing.map_or("", Facing::name).to_owned(),
        order: photo.order,
        picture: layout.picture(&photo.name).map(|framed| writing::picture(&framed.excerpt())),
    }
}

/// A paper's nesting job, and the piece behind each of its items. Strips are cut from printed pages, and
/// printed pieces from sheets of their own: they are no part of it.
fn job_of(layout: &Layout, paper: usize, stock: &[Stock]) -> (Job, Vec<usize>) {
    let pieces: Vec<usize> = (0..layout.pieces.len())
        .filter(|&index| layout.pieces[index].paper == paper)
        .filter(|&index| layout.pieces[index].kind != "journaling")
        .filter(|&index| layout.pieces[index].print.is_none())
        .collect();
    let items = pieces.iter().map(|&index| item(&layout.pieces[index])).collect();
    let job = Job { stock: stock.to_vec(), items, rules: layout.rules, effort: layout.effort };
    (job, pieces)
}

fn item(piece: &PlacedPiece) -> Item {
    let form = match piece.tool {
        Tool::Machine => Form::Outline(piece.drawing.outline.clone()),
        Tool::Trimmer | Tool::Hand => Form::Rectangle(piece.size),
    };
    Item {
        id: piece.id.clone(),
        form,
        copies: 1,
        tool: piece.tool,
        turns: piece.turns,
        together: piece.together.clone(),
    }
}

/// What can't be cut from one paper, told with what would help.
fn missing(
    layout: &Layout,
    paper: usize,
    job: &Job,
    pieces: &[usize],
    nested: &Nested,
) -> Vec<Problem> {
    let name = &layout.papers[paper].name;
    let piece_of = |item: usize| &layout.pieces[pieces[item]];
    let mut problems = Vec::new();
    for left_out in nested.left_out.iter().filter(|left_out| left_out.too_large) {
        let piece = piece_of(left_out.item);
        if let Some(problem) = on_mat::larger_than_mat(layout, job.rules, piece) {
            problems.push(problem);
            continue;
        }
        let mut sheets: Vec<String> = Vec::new();
        for stock in &job.stock {
            let shown = stock.size.show(layout.units);
            if !sheets.contains(&shown) {
                sheets.push(shown);
            }
        }
        let have = if sheets.is_empty() {
            "there are none on hand".to_owned()
        } else {
            let rim = match piece.tool {
                Tool::Machine => job.rules.machine_margin,
                Tool::Trimmer | Tool::Hand => job.rules.trim_margin,
            };
            let less = if rim > Length::ZERO {
                format!(", less a rim of {} all round", rim.show(layout.units))
            } else {
                String::new()
            };
            let bought = job.stock.iter().any(|stock| stock.to_buy);
            let known = if bought { "on hand or to buy" } else { "on hand" };
            format!("{known}: {}{less}", sheets.join(", "))
        };
        problems.push(at(
            piece.place,
            format!(
                "`{}` is {} and fits no sheet of {name}",
                piece.id,
                piece.size.show(layout.units)
            ),
            format!("{have}; make it smaller, cut it in two, or add a larger sheet"),
        ));
    }
    let short: Vec<&str> = nested
        .left_out
        .iter()
        .filter(|left_out| !left_out.too_large)
        .map(|left_out| piece_of(left_out.item).id.as_str())
        .collect();
    if !short.is_empty() {
        let area: f64 = nested
            .left_out
            .iter()
            .filter(|left_out| !left_out.too_large)
            .map(|left_out| kurbo::Shape::area(&piece_of(left_out.item).drawing.outline).abs())
            .sum();
        problems.push(at(
            layout.papers[paper].place,
            format!("there is not enough {name}: no room for {}", short.join(", ")),
            format!(
                "they need at least {area:.1} square inches more; add a sheet of {name}{}",
                on_mat::one_part_a_sheet(layout, job, nested)
            ),
        ));
    }
    problems
}

fn at(place: Place, message: String, help: String) -> Problem {
    Problem { fault: Fault::CannotCut, ..Problem::at(place, message, help) }
}
