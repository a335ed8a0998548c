//! Shapes from SVG files beside the spec.

use std::fs;
use std::path::Path;

use crate::description::{LineProcess, Marked, Ordered, Shape, Single, Text, Written};
use crate::geometry::Drawing;
use crate::geometry::clip::Paper;
use crate::model::Process;
use crate::model::length::{Length, LengthSum, Size};
use crate::model::{Color, Warning};
use crate::svg_import::{Fit, read_svg_by_color};

use super::super::blocks::Part;
use super::super::reading::{Along, Reader};

/// The largest SVG file that is read, in bytes.
const LARGEST_FILE: u64 = 5_000_000;
/// What is cut off a line, in inches, before it is told: nobody sees 1/64.
const TOLD: f64 = 1.0 / 64.0;

/// Size and part of an imported shape.
pub(super) fn shape(
    reader: &mut Reader<'_>,
    folder: &Path,
    shape: &Shape,
    id: &str,
) -> Option<(Size, Vec<Part>)> {
    let text = read(reader, folder, &shape.file)?;
    let mut inches = |text: &Written<LengthSum>, along, what| {
        let length = reader.positive(text, along, what);
        (length > Length::ZERO).then(|| length.to_inches())
    };
    let fit = match (&shape.width, &shape.height) {
        (None, None) => Fit::RealSize,
        (Some(width), None) => Fit::Width(inches(width, Along::Width, "width")?),
        (None, Some(height)) => Fit::Height(inches(height, Along::Height, "height")?),
        (Some(width), Some(height)) => Fit::Within([
            inches(width, Along::Width, "width")?,
            inches(height, Along::Height, "height")?,
        ]),
    };
    let paper = reader.paper(&shape.paper);
    let colors = processes(reader, &shape.processes);
    match read_svg_by_color(&text, fit, &colors) {
        Ok(mut drawing) => {
            clip_lines(reader, shape, id, &mut drawing)?;
            let part = Part::drawn(id.to_owned(), "shape", paper, drawing);
            Some((part.size, vec![part]))
        }
        Err(error) => {
            let message = format!("`{}`: {}", &*shape.file.value, error.message);
            reader.problem(shape.file.place, message, error.help);
            None
        }
    }
}

/// Cuts lines off where they leave the paper, which is told process by process.
fn clip_lines(
    reader: &mut Reader<'_>,
    shape: &Shape,
    id: &str,
    drawing: &mut Drawing,
) -> Option<()> {
    let file = &shape.file;
    let mut paper = Paper::of(&drawing.outline);
    let mut cut: Vec<(Process, f64, usize)> = Vec::new();
    for line in &mut drawing.lines {
        let Some(clipped) = paper.clip(&line.path) else {
            let message = format!("the lines of `{}` are too many to follow", &*file.value);
            reader.problem(file.place, message, "simplify the drawing");
            return None;
        };
        let gone = usize::from(clipped.kept.elements().is_empty());
        if clipped.cut_off > TOLD || gone > 0 {
            match cut.iter_mut().find(|(process, ..)| *process == line.process) {
                Some((_, length, lost)) => {
                    *length += clipped.cut_off;
                    *lost += gone;
                }
                None => cut.push((line.process, clipped.cut_off, gone)),
            }
        }
        line.path = clipped.kept;
    }
    drawing.lines.retain(|line| !line.path.elements().is_empty());
    for (process, length, lost) in cut {
        let length = Length::inches(length).show(reader.units);
        let lost = match lost {
            0 => String::new(),
            1 => "; 1 line lies off it as a whole".to_owned(),
            lost => format!("; {lost} lines lie off it as a whole"),
        };
        reader.warn(Warning {
            kind: "line off the paper".to_owned(),
            message: format!(
                "`{}`: {length} of its lines to {} lie off the paper and are left out{lost}",
                &*file.value,
                process.verb()
            ),
            help: "end the lines at the outline, or make the shape larger".to_owned(),
            piece: Some(id.to_owned()),
            line: file.place.line,
        });
    }
    Some(())
}

/// What colours of lines stand for.
fn processes(
    reader: &mut Reader<'_>,
    written: &Ordered<Written<LineProcess>, Written<Color>>,
) -> Vec<(Color, Process)> {
    let mut processes = Vec::new();
    for (color, word) in &written.0 {
        let color = color.clone().at_or(word.place);
        let Some(color) = reader.value(&color) else { continue };
        let process = reader.choice(Some(word), LineProcess::Cut);
        processes.push((color, process.into()));
    }
    processes
}

/// The file's text.
pub(in crate::layout) fn read(
    reader: &mut Reader<'_>,
    folder: &Path,
    file: &Marked<Text>,
) -> Option<String> {
    let path = reader.file_beside(folder, file)?;
    let size = fs::metadata(&path).map(|about| about.len());
    if size.is_ok_and(|size| size > LARGEST_FILE) {
        let message = format!("`{}` is larger than {LARGEST_FILE} bytes", &*file.value);
        reader.problem(file.place, message, "simplify the drawing");
        return None;
    }
    match fs::read_to_string(&path) {
        Ok(text) => Some(text),
        Err(error) => {
            let message = format!("the file `{}` can't be read: {error}", &*file.value);
            reader.problem(file.place, message, "write its path from the spec's folder");
            None
        }
    }
}
