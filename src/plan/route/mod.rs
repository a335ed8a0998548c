//! The machine's work on each sheet: every line in the order in which it is drawn and cut.
//!
//! Pen, perforation and score come before the cuts. What lies inside is cut before what lies outside,
//! and a piece with everything in it is finished before the next, so that paper is never cut after it
//! has come loose. Everything is in the frame of the paper on the mat. Within that, the way of the lifted
//! blade is made short ([`tour`]). Contours begin at corners and run clockwise.

mod contour;

use kurbo::{BezPath, Point, Rect, Shape};

use crate::geometry::laying;
use crate::layout::{Layout, Pace};
use crate::model::{PieceId, Process, Tool, rounded};
use crate::toolpath::{BladeVisit, Stop, length, tour};

use super::sheet::{Sheet, told};
use contour::Contour;

/// What the machine does on a sheet, in order, and how much work that is.
#[derive(Clone, Debug, Default)]
pub struct Route {
    /// What it draws and cuts.
    pub strokes: Vec<Stroke>,
    /// For each process, in the order of work, how many strokes and how many inches.
    pub done: Vec<Done>,
    /// The way lifted from stroke to stroke, from the mat's top left, in inches.
    pub travel: f64,
    /// An estimate of the time in seconds, 0 if no speed is known.
    pub seconds: f64,
}

/// One line that the machine follows without lifting.
#[derive(Clone, Debug)]
pub struct Stroke {
    /// What is done along it.
    pub process: Process,
    /// The piece it belongs to.
    pub piece: PieceId,
    /// Which of its copies, from 1.
    pub copy: u32,
    /// Where it runs, in the frame of the paper on the mat, in inches.
    pub path: BezPath,
}

/// The strokes of one process on a sheet.
#[derive(Clone, Copy, Debug)]
pub struct Done {
    /// The process.
    pub process: Process,
    /// How many strokes.
    pub strokes: u32,
    /// Their length in inches.
    pub length: f64,
}

/// A piece for the machine where it lies on the mat, in inches.
#[derive(Clone, Debug)]
pub struct Laid {
    /// Its id.
    pub piece: PieceId,
    /// Which of its copies, from 1.
    pub copy: u32,
    /// What is cut.
    pub outline: BezPath,
    /// What else is done on it; lines that are cut are holes, or slits that stay open.
    pub lines: Vec<(Process, BezPath)>,
}

/// The route of each sheet.
pub(super) fn of_sheets(layout: &Layout, sheets: &[Sheet]) -> Vec<Route> {
    sheets.iter().map(|sheet| route(&on_mat(layout, sheet), &layout.pace)).collect()
}

/// What the machine follows on a sheet.
fn on_mat(layout: &Layout, sheet: &Sheet) -> Vec<Laid> {
    let frame = sheet.frame();
    let machine = sheet.placed.iter().filter(|placed| placed.tool == Tool::Machine);
    let laid = machine.filter_map(|placed| {
        let piece = layout.pieces.iter().find(|piece| piece.id == placed.piece)?;
        let outline = told(&piece.drawing.outline);
        let lay = frame * laying(&outline, placed.turn, placed.at);
        let lines = piece.drawing.lines.iter().filter(|line| line.path.segments().next().is_some());
        Some(Laid {
            piece: placed.piece.clone(),
            copy: placed.copy,
            outline: lay * outline,
            lines: lines.map(|line| (line.process, lay * told(&line.path))).collect(),
        })
    });
    laid.collect()
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

/// The route over the pieces on a mat.
pub fn route(laid: &[Laid], pace: &Pace) -> Route {
    let drawn = drawn(laid);
    let [speed, overcut] = [pace.speed, pace.overcut].map(|length| rounded(length.to_inches()));
    let mut blade = Point::ORIGIN;
    let mut route = Route::default();
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
        route.travel += length(Some(blade), &stops, &order);
        let mut done = Done { process, strokes: 0, length: 0.0 };
        for (unit, way) in order {
            let (way, contours) = &units[unit].ways[way];
            blade = way.leave;
            for &(index, start) in contours {
                let Drawn { piece, copy, contour, .. } = &drawn[index];
                let overcut = if process == Process::Cut { overcut } else { 0.0 };
                let begun = contour.begun(start, overcut);
                done.strokes += 1;
                done.length += begun.length();
                let piece = PieceId::from(*piece);
                route.strokes.push(Stroke { process, piece, copy: *copy, path: begun.path() });
            }
        }
        done.length = rounded(done.length);
        route.done.push(done);
    }
    route.travel = rounded(route.travel);
    let moved: f64 = route.done.iter().map(|done| done.length).sum::<f64>() + route.travel;
    let lifts: u32 = route.done.iter().map(|done| done.strokes).sum();
    if speed > 0.0 {
        route.seconds = rounded(moved / speed + f64::from(lifts) * rounded(pace.lift));
    }
    route
}

/// Everything that the machine draws and cuts.
fn drawn(laid: &[Laid]) -> Vec<Drawn<'_>> {
    let mut drawn = Vec::new();
    for laid in laid {
        let mut add = |process: Process, contours: Vec<Contour>| {
            drawn.extend(contours.into_iter().map(|contour| Drawn {
                piece: &laid.piece,
                copy: laid.copy,
                process,
                contour,
            }));
        };
        add(Process::Cut, Contour::closed(&laid.outline));
        for (process, path) in &laid.lines {
            add(*process, Contour::lines(path));
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
