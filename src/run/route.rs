//! The machine's work on each sheet: every line in the order in which it is drawn and cut.
//!
//! Pen, perforation and score come before the cuts. What lies inside is cut before what lies outside,
//! and a piece with everything in it is finished before the next, so that paper is never cut after it
//! has come loose. Everything is in the frame of the paper on the mat. Within that, the way of the lifted blade is made short ([`tour`]). Contours begin at
//! corners and run clockwise.

mod contour;

use kurbo::{BezPath, Point, Rect, Shape};

use crate::geometry::{from_rings, laying, path_data, readable};
use crate::length::Length;
use crate::model::Process;
use crate::record::{Done, PATH_DECIMALS, Pace, Piece, Record, Sheet, Stroke, Work, rounded};
use crate::toolpath::{BladeVisit, Stop, length, tour};
use contour::Contour;

/// Puts the strokes and the work of every machine sheet into the record.
pub fn plan(record: &mut Record) {
    for index in 0..record.sheets.len() {
        let (strokes, work) = of_sheet(record, &record.sheets[index]);
        record.sheets[index].work = (!strokes.is_empty()).then_some(work);
        record.sheets[index].strokes = strokes;
    }
}

/// A contour or line and the piece it belongs to.
struct Drawn<'a> {
    piece: &'a str,
    copy: u32,
    process: Process,
    contour: Contour,
}

/// A contour with everything in it, and the ways to cut it: each with the contours in order and where
/// they begin.
struct Unit {
    ways: Vec<(BladeVisit, Vec<(usize, usize)>)>,
}

fn of_sheet(record: &Record, sheet: &Sheet) -> (Vec<Stroke>, Work) {
    let drawn = drawn(record, sheet);
    let pace = &record.pace;
    let mut blade = Point::ORIGIN;
    let (mut strokes, mut work) = (Vec::new(), Work::default());
    for process in Process::IN_ORDER {
        let here: Vec<usize> =
            (0..drawn.len()).filter(|&index| drawn[index].process == process).collect();
        if here.is_empty() {
            continue;
        }
        let units = match process {
            Process::Cut => units(&drawn, &here),
            Process::Register | Process::Pen | Process::Perforate | Process::Score => {
                here.iter().map(|&index| alone(&drawn, index)).collect()
            }
        };
        let stops: Vec<Stop> = units.iter().map(stop).collect();
        let order = tour(Some(blade), &stops);
        work.travel += length(Some(blade), &stops, &order);
        let mut done = Done { process, strokes: 0, length: 0.0 };
        for (unit, way) in order {
            let (way, contours) = &units[unit].ways[way];
            blade = way.leave;
            for &(index, start) in contours {
                let Drawn { piece, copy, contour, .. } = &drawn[index];
                let overcut = if process == Process::Cut { pace.overcut } else { 0.0 };
                let begun = contour.begun(start, overcut);
                done.strokes += 1;
                done.length += begun.length();
                strokes.push(Stroke {
                    process,
                    piece: (*piece).to_owned(),
                    copy: *copy,
                    path: path_data(&begun.path(), PATH_DECIMALS),
                });
            }
        }
        done.length = rounded(done.length);
        work.done.push(done);
    }
    work.travel = rounded(work.travel);
    let moved: f64 = work.done.iter().map(|done| done.length).sum::<f64>() + work.travel;
    let lifts: u32 = work.done.iter().map(|done| done.strokes).sum();
    if pace.speed > 0.0 {
        work.seconds = rounded(moved / pace.speed + f64::from(lifts) * pace.lift);
    }
    (strokes, work)
}

/// Everything that the machine draws and cuts on a sheet.
fn drawn<'a>(record: &'a Record, sheet: &'a Sheet) -> Vec<Drawn<'a>> {
    let mut drawn = Vec::new();
    let frame = sheet.loaded().onto_mat();
    for placed in sheet.placed.iter().filter(|placed| placed.tool == "machine") {
        let piece = record.pieces.iter().find(|piece| piece.id == placed.piece);
        let (outline, lay) = match piece.map(Piece::curves) {
            Some(outline) => {
                let lay = frame * laying(&outline, placed.turn, placed.at);
                (outline, lay)
            }
            // The rings of what lies there are where it lies already.
            None => (from_rings(&placed.rings).unwrap_or_default(), frame),
        };
        let mut add = |process: Process, contours: Vec<Contour>| {
            drawn.extend(contours.into_iter().map(|contour| Drawn {
                piece: &placed.piece,
                copy: placed.copy,
                process,
                contour,
            }));
        };
        add(Process::Cut, Contour::closed(&(lay * outline)));
        for line in piece.iter().flat_map(|piece| &piece.lines) {
            if let Some(path) = readable(&line.path) {
                // Cut lines are holes, or slits that stay open.
                add(line.process, Contour::lines(&(lay * path)));
            }
        }
    }
    drawn
}

fn stop(unit: &Unit) -> Stop {
    Stop { ways: unit.ways.iter().map(|(way, _)| *way).collect() }
}

/// A line, or a contour with nothing in it.
fn alone(drawn: &[Drawn<'_>], index: usize) -> Unit {
    let starts = drawn[index].contour.starts().into_iter();
    Unit { ways: starts.map(|(start, way)| (way, vec![(index, start)])).collect() }
}

/// The outermost contours, each with everything in it.
fn units(drawn: &[Drawn<'_>], here: &[usize]) -> Vec<Unit> {
    let paths: Vec<(BezPath, Rect, f64)> = here
        .iter()
        .map(|&index| {
            let path = drawn[index].contour.path();
            let area = path.area().abs();
            (path, drawn[index].contour.bounds(), area)
        })
        .collect();
    // Each contour lies in the smallest that holds it; only a larger one can, so there are no circles.
    let holder = |inner: usize| {
        let probe = drawn[here[inner]].contour.probe()?;
        (0..here.len())
            .filter(|&outer| outer != inner && paths[outer].2 > paths[inner].2)
            .filter(|&outer| paths[outer].1.contains(probe) && paths[outer].0.winding(probe) != 0)
            .min_by(|&one, &other| paths[one].2.total_cmp(&paths[other].2))
    };
    let holders: Vec<Option<usize>> = (0..here.len()).map(holder).collect();
    let mut by_size: Vec<usize> = (0..here.len()).collect();
    by_size.sort_by(|&one, &other| paths[one].2.total_cmp(&paths[other].2).then(one.cmp(&other)));
    let mut inside: Vec<Vec<Unit>> = (0..here.len()).map(|_| Vec::new()).collect();
    let mut outermost: Vec<(usize, Unit)> = Vec::new();
    for contour in by_size {
        let unit = around(drawn, here[contour], &std::mem::take(&mut inside[contour]));
        match holders[contour] {
            Some(holder) => inside[holder].push(unit),
            None => outermost.push((contour, unit)),
        }
    }
    outermost.sort_by_key(|(contour, _)| *contour);
    outermost.into_iter().map(|(_, unit)| unit).collect()
}

/// A contour after what lies in it.
fn around(drawn: &[Drawn<'_>], index: usize, inner: &[Unit]) -> Unit {
    let own = alone(drawn, index);
    if inner.is_empty() {
        return own;
    }
    let stops: Vec<Stop> = inner.iter().map(stop).collect();
    let ways: Vec<Vec<(usize, usize)>> = match stops.as_slice() {
        [only] => (0..only.ways.len()).map(|way| vec![(0, way)]).collect(),
        _ => {
            let there = tour(None, &stops);
            let back = there.iter().rev().copied().collect();
            vec![there, back]
        }
    };
    let closing = |order: &Vec<(usize, usize)>| {
        let ends = |place: Option<&(usize, usize)>| place.map(|&(stop, way)| stops[stop].ways[way]);
        let (first, last) = (ends(order.first())?, ends(order.last())?);
        let (way, contours) = own.ways.iter().min_by(|one, other| {
            let apart = |way: &BladeVisit| last.leave.distance_squared(way.enter);
            apart(&one.0).total_cmp(&apart(&other.0))
        })?;
        let inside = length(None, &stops, order) + last.leave.distance(way.enter) + way.inside;
        let inner = order.iter().flat_map(|&(stop, way)| inner[stop].ways[way].1.iter().copied());
        let whole = inner.chain(contours.iter().copied()).collect();
        Some((BladeVisit { enter: first.enter, leave: way.leave, inside }, whole))
    };
    Unit { ways: ways.iter().filter_map(closing).collect() }
}

/// The pace that a record kept.
pub(super) fn of_pace(pace: &Pace) -> crate::layout::Pace {
    crate::layout::Pace {
        speed: Length::inches(pace.speed),
        lift: pace.lift,
        overcut: Length::inches(pace.overcut),
    }
}

/// The pace of a run, as the record keeps it.
pub(super) fn pace(pace: &crate::layout::Pace) -> Pace {
    Pace {
        speed: rounded(pace.speed.to_inches()),
        lift: rounded(pace.lift),
        overcut: rounded(pace.overcut.to_inches()),
    }
}
