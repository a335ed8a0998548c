//! Cut files: one SVG for each sheet that goes to the machine, true to size.
//!
//! Width and height are in inches and so are the coordinates, from the sheet's top left. Each process
//! is a group of its own, in [`Process::IN_ORDER`], and each contour a path of its own in the order in
//! which the blade should take them. Curves stay curves.

mod order;

use kurbo::{Affine, BezPath, Shape};
use svg::Document;
use svg::node::element::{Group, Path, Title};

use super::drawing::{fixed, from_rings, outline_of, plain, readable, slug};
use crate::outline::{Process, laying, path_data};
use crate::record::{Area, Placed, Record, Sheet};
use order::{Contour, Job};

/// Decimals of coordinates in inches: 0.00001 in is a fortieth of a micrometre and finer than any
/// machine's step.
const DECIMALS: usize = 5;
/// Stroke of every line in inches: thin enough to be taken for a hairline, wide enough to be seen.
const HAIRLINE: f64 = 0.01;
/// How far the registration marks lie inside the machine's corners, in inches; the first distance at
/// which they stay clear of every piece is taken.
const MARK_INSETS: [f64; 3] = [0.25, 0.125, 0.0625];

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
            for mark in registration_marks(sheet, jobs) {
                group = group.add(Path::new().set("d", path_data(&mark, DECIMALS)));
            }
            return Some(group);
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

/// Crosses in the corners of the machine's part of the sheet.
fn registration_marks(sheet: &Sheet, jobs: &[Job]) -> Vec<BezPath> {
    let whole = Area { at: [0.0, 0.0], size: sheet.size };
    let machine = sheet.machine.unwrap_or(whole);
    let clear = |marks: &[BezPath]| marks.iter().all(|mark| is_clear(mark, jobs));
    for inset in MARK_INSETS {
        let marks = marks_at(&machine, inset);
        if clear(&marks) {
            return marks;
        }
    }
    let [.., closest] = MARK_INSETS;
    marks_at(&machine, closest).into_iter().filter(|mark| is_clear(mark, jobs)).collect()
}

fn marks_at(machine: &Area, inset: f64) -> Vec<BezPath> {
    let [left, top] = machine.at.map(|edge| edge + inset);
    let right = machine.at[0] + machine.size[0] - inset;
    let bottom = machine.at[1] + machine.size[1] - inset;
    let corners = [(left, top), (right, top), (right, bottom), (left, bottom)];
    corners.map(|corner| Affine::translate(corner) * cross(inset / 2.0)).to_vec()
}

fn cross(arm: f64) -> BezPath {
    let mut cross = BezPath::new();
    cross.move_to((-arm, 0.0));
    cross.line_to((arm, 0.0));
    cross.move_to((0.0, -arm));
    cross.line_to((0.0, arm));
    cross
}

fn is_clear(mark: &BezPath, jobs: &[Job]) -> bool {
    let mark = mark.bounding_box().inflate(HAIRLINE, HAIRLINE);
    jobs.iter().all(|job| !job.bounds().overlaps(mark))
}
