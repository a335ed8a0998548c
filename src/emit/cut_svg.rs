//! Cut files: one SVG for each sheet that goes to the machine, true to size.
//!
//! Width and height are in inches and so are the coordinates, from the sheet's top left. Each process
//! is a group of its own, in [`Process::IN_ORDER`], and each contour a path of its own in the order in
//! which the blade should take them. Curves stay curves.

mod order;

use kurbo::BezPath;
use svg::Document;
use svg::node::element::{Group, Path, Title};

use super::drawing::{fixed, from_rings, outline_of, plain, readable, slug};
use super::marks;
use crate::outline::{Process, laying, path_data};
use crate::record::{Placed, Record, Sheet};
use order::{Contour, Job};

/// Decimals of coordinates in inches: 0.00001 in is a fortieth of a micrometre and finer than any
/// machine's step.
const DECIMALS: usize = 5;
/// Stroke of every line in inches: thin enough to be taken for a hairline, wide enough to be seen.
const HAIRLINE: f64 = 0.01;

/// The cut file of `sheet`, or nothing if nothing on it goes to the machine.
pub fn cut_svg(record: &Record, sheet: &Sheet) -> Option<String> {
    let jobs = machine_jobs(record, sheet);
    if jobs.is_empty() {
        return None;
    }
    let mut document = sheet_document(record, sheet);
    for process in Process::IN_ORDER {
        if let Some(group) = process_group(record, sheet, &jobs, process) {
            document = document.add(group);
        }
    }
    Some(format!("{document}\n"))
}

/// How far the knife goes through the paper of `sheet` and how far it travels lifted between cuts,
/// in inches, starting from the sheet's top left.
pub fn blade_travel(record: &Record, sheet: &Sheet) -> (f64, f64) {
    let jobs = machine_jobs(record, sheet);
    let contours = order::cut_order(&jobs);
    let cut = contours.iter().map(|(_, contour)| contour.length()).sum();
    (cut, order::travel(contours.iter().map(|(_, contour)| contour)))
}

fn sheet_document(record: &Record, sheet: &Sheet) -> Document {
    let [width, height] = sheet.size.map(fixed);
    let title = plain(&format!("{}: {}", record.name, sheet.id));
    Document::new()
        .set("width", format!("{width}in"))
        .set("height", format!("{height}in"))
        .set("viewBox", format!("0 0 {width} {height}"))
        .add(Title::new(title))
}

/// The machine's pieces as contours and lines in sheet coordinates.
fn machine_jobs(record: &Record, sheet: &Sheet) -> Vec<Job> {
    let machine = sheet.placed.iter().filter(|placed| placed.tool == "machine");
    machine.map(|placed| job(record, placed)).filter(Job::is_cut).collect()
}

fn job(record: &Record, placed: &Placed) -> Job {
    let piece = record.pieces.iter().find(|piece| piece.id == placed.piece);
    let (outline, lines) = match piece {
        Some(piece) => {
            let outline = outline_of(piece);
            let lay = laying(&outline, placed.turn, placed.at);
            let lines = piece.lines.iter();
            let lines = lines.filter_map(|line| Some((line.process, readable(&line.path)?)));
            (lay * outline, lines.map(|(process, path)| (process, lay * path)).collect())
        }
        None => (from_rings(&placed.rings).unwrap_or_default(), Vec::new()),
    };
    Job {
        piece: placed.piece.clone(),
        copy: placed.copy,
        contours: Contour::closed(&outline),
        lines: lines
            .into_iter()
            .flat_map(|(process, path): (Process, BezPath)| {
                Contour::lines(&path).into_iter().map(move |line| (process, line))
            })
            .collect(),
    }
}

fn process_group(record: &Record, sheet: &Sheet, jobs: &[Job], process: Process) -> Option<Group> {
    let mut group = Group::new()
        .set("id", process.name())
        .set("fill", "none")
        .set("stroke", super::drawing::color(record.inks.of(process)))
        .set("stroke-width", fixed(HAIRLINE));
    let ordered = match process {
        Process::Register => {
            for mark in &sheet.marks {
                let path = Path::new()
                    .set("d", path_data(&marks::lines(mark), DECIMALS))
                    .set("stroke-width", fixed(mark.weight));
                group = group.add(path);
            }
            return (!sheet.marks.is_empty()).then_some(group);
        }
        Process::Cut => order::cut_order(jobs),
        Process::Pen | Process::Perforate | Process::Score => order::line_order(jobs, process),
    };
    if ordered.is_empty() {
        return None;
    }
    for (number, (job, contour)) in ordered.iter().enumerate() {
        let id = format!("{}-{}-{}", process.name(), number + 1, slug(&job.piece));
        let path = Path::new()
            .set("id", id)
            .set("data-piece", plain(&job.piece))
            .set("data-copy", job.copy.to_string())
            .set("d", path_data(&contour.path(), DECIMALS));
        group = group.add(path);
    }
    Some(group)
}
