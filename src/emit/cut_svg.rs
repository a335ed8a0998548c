//! Cut files: one SVG for each sheet that goes to the machine, true to size.
//!
//! A file is drawn on the paper that is loaded, as it lies on the mat: its width and height are the paper's,
//! in inches, and so are the coordinates, from its top left. Each process
//! is a group of its own, in [`Process::IN_ORDER`], and each stroke a path of its own in the order of the
//! record. Curves stay curves.

use svg::Document;
use svg::node::element::{Group, Path, Title};

use super::drawing::{fixed, plain, readable, xml_name};
use super::marks;
use crate::geometry::path_data;
use crate::model::Process;
use crate::record::{Record, Sheet};

/// Decimals of coordinates in inches: 0.00001 in is a fortieth of a micrometre and finer than any
/// machine's step.
const DECIMALS: usize = 5;
/// Stroke of every line in inches: thin enough to be taken for a hairline, wide enough to be seen.
const HAIRLINE: f64 = 0.01;

/// The cut file of `sheet`, or nothing if nothing on it goes to the machine.
pub fn cut_svg(record: &Record, sheet: &Sheet) -> Option<String> {
    if sheet.strokes.is_empty() {
        return None;
    }
    let mut document = sheet_document(record, sheet);
    for process in Process::IN_ORDER {
        if let Some(group) = process_group(record, sheet, process) {
            document = document.add(group);
        }
    }
    Some(format!("{document}\n"))
}

fn sheet_document(record: &Record, sheet: &Sheet) -> Document {
    let [width, height] = sheet.loaded().lying().map(fixed);
    let title = plain(&format!("{}: {}", record.name, sheet.id));
    Document::new()
        .set("width", format!("{width}in"))
        .set("height", format!("{height}in"))
        .set("viewBox", format!("0 0 {width} {height}"))
        .add(Title::new(title))
}

fn process_group(record: &Record, sheet: &Sheet, process: Process) -> Option<Group> {
    let group = Group::new()
        .set("id", process.name())
        .set("fill", "none")
        .set("stroke", record.inks.of(process).as_str())
        .set("stroke-width", fixed(HAIRLINE));
    let paths: Vec<Path> = if process == Process::Register {
        sheet.marks.iter().map(mark).collect()
    } else {
        let strokes = sheet.strokes.iter().filter(|stroke| stroke.process == process);
        let strokes = strokes.filter_map(|stroke| Some((stroke, readable(&stroke.path)?)));
        (1..)
            .zip(strokes)
            .map(|(number, (stroke, path))| {
                let id = format!("{}-{number}-{}", process.name(), xml_name(&stroke.piece));
                Path::new()
                    .set("id", id)
                    .set("data-piece", plain(&stroke.piece))
                    .set("data-copy", stroke.copy.to_string())
                    .set("d", path_data(&path, DECIMALS))
            })
            .collect()
    };
    (!paths.is_empty()).then(|| paths.into_iter().fold(group, Group::add))
}

fn mark(mark: &crate::record::Mark) -> Path {
    Path::new()
        .set("d", path_data(&marks::lines(mark), DECIMALS))
        .set("stroke-width", fixed(mark.weight))
}
