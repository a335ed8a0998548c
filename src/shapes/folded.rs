//! Things that are cut flat, scored and folded: pockets, envelopes, tents, accordions, gatefolds, steps of
//! a pop-up, photo corners.
//!
//! Each is drawn flat with the side up that is seen when it is done (an envelope: its inside). A fold
//! is a valley if its sides come towards the eye, a mountain if they go away from it.

use crate::model::Fault;
use std::f64::consts::PI;

use kurbo::{BezPath, Line as Stretch, ParamCurve, Point};

use super::{LEAST_PAPER, check_size, closed_lines, shown};
use crate::geometry::arc::{arc, line};
use crate::geometry::{Drawing, Fold, Line};
use crate::model::Process;

/// Glue tabs are cut back at their ends by as much as they are wide (45 degrees), but by no more than
/// this share of their length.
const MOST_TAPER: f64 = 0.25;
/// The most panels of an accordion.
const MOST_PANELS: u32 = 100;
/// The bottom of an envelope reaches so far up its back, as a share of its height.
const ENVELOPE_BOTTOM: f64 = 0.65;

/// How far score lines stop short of the edge, in inches, so that the ends of a fold don't tear (common
/// practice, no source); 0 runs them to the edge.
pub const SCORE_STOP: f64 = 1.0 / 16.0;

/// A pocket that is open at the top: a face of `width` by `height` inches with a glue tab of `tab` inches
/// at its sides and bottom, and half a circle of radius `notch` out of its upper edge (0 for none).
pub fn pocket(
    [width, height]: [f64; 2],
    tab: f64,
    notch: f64,
    stop: f64,
) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    check_tab(tab, (width / 2.0).min(height) - LEAST_PAPER)?;
    if !(0.0..=(width / 2.0 - LEAST_PAPER).min(height - LEAST_PAPER)).contains(&notch) {
        return Err(Fault::new(
            format!("a notch of {} in is too large for the pocket", shown(notch)),
            "make it smaller than half the pocket's width",
        ));
    }
    let [beside, below] = [taper(tab, height), taper(tab, width)];
    let mut path = notched_edge(width, notch);
    let points = [
        (width, 0.0),
        (width + tab, beside),
        (width + tab, height - beside),
        (width, height),
        (width - below, height + tab),
        (below, height + tab),
        (0.0, height),
        (-tab, height - beside),
        (-tab, beside),
    ];
    for point in points {
        line(&mut path, point.into());
    }
    path.close_path();
    let folds = [
        ((width, 0.0), (width, height)),
        ((0.0, height), (width, height)),
        ((0.0, 0.0), (0.0, height)),
    ];
    Ok(folded(path, folds.map(|(from, to)| (Fold::Mountain, from, to)), stop))
}

/// The upper edge of a pocket from its left corner to the end of its notch, if it has one.
pub(super) fn notched_edge(width: f64, notch: f64) -> BezPath {
    let mut path = BezPath::new();
    path.move_to((0.0, 0.0));
    if notch > 0.0 {
        path.line_to((width / 2.0 - notch, 0.0));
        arc(&mut path, Point::new(width / 2.0, 0.0), notch, PI, -PI);
    }
    path
}

/// The measures of an envelope in inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Envelope {
    /// Width and height of the closed envelope.
    pub size: [f64; 2],
    /// Width of the side flaps.
    pub side: f64,
    /// Height of the upper flap.
    pub flap: f64,
    /// Height of the bottom, which is glued on the side flaps.
    pub bottom: f64,
}

impl Envelope {
    /// The envelope for a card with so much room to spare each way, its flap half its height.
    pub fn for_card([width, height]: [f64; 2], clearance: f64) -> Self {
        let [width, height] = [width + clearance, height + clearance];
        Self {
            size: [width, height],
            side: (width / 5.0).min(1.0),
            flap: height / 2.0,
            bottom: height * ENVELOPE_BOTTOM,
        }
    }

    /// Its flaps from corner to corner of its back, whose top left is the origin: upper flap, right side,
    /// bottom, left side.
    pub(super) fn flaps(self) -> [Vec<(f64, f64)>; 4] {
        let Self { size: [width, height], side, flap, bottom } = self;
        let cut = taper(side, height);
        // The bottom is drawn in a little, so that it doesn't show beside the closed envelope.
        let narrow = LEAST_PAPER.min(width / 16.0);
        let [shoulder, point] = [narrow, width / 6.0];
        [
            vec![
                (0.0, 0.0),
                (shoulder, -flap / 3.0),
                (point, -flap),
                (width - point, -flap),
                (width - shoulder, -flap / 3.0),
                (width, 0.0),
            ],
            vec![(width, 0.0), (width + side, cut), (width + side, height - cut), (width, height)],
            vec![
                (width, height),
                (width - narrow, height + bottom),
                (narrow, height + bottom),
                (0.0, height),
            ],
            vec![(0.0, height), (-side, height - cut), (-side, cut), (0.0, 0.0)],
        ]
    }
}

/// An envelope with its inside up: side flaps, a bottom that is glued on them, and a flap to close it.
pub fn envelope(envelope: Envelope, stop: f64) -> Result<Drawing, Fault> {
    let Envelope { size: [width, height], side, flap, bottom } = envelope;
    check_size("width of the envelope", width)?;
    check_size("height of the envelope", height)?;
    check_tab(side, width / 2.0 - LEAST_PAPER)?;
    if flap > height || flap + bottom < height + LEAST_PAPER {
        return Err(Fault::new(
            format!("a flap of {} in doesn't close the envelope", shown(flap)),
            format!(
                "make it {} to {} in high",
                shown(height - bottom + LEAST_PAPER),
                shown(height)
            ),
        ));
    }
    let [top, right, bottom, left] = envelope.flaps();
    let points = top.into_iter().chain(right.into_iter().skip(1));
    let points = points.chain(bottom.into_iter().skip(1)).chain(left.into_iter().skip(1).take(2));
    let folds = [
        ((0.0, 0.0), (width, 0.0)),
        ((width, 0.0), (width, height)),
        ((0.0, height), (width, height)),
        ((0.0, 0.0), (0.0, height)),
    ];
    let path = closed_lines(points.map(Point::from));
    Ok(folded(path, folds.map(|(from, to)| (Fold::Valley, from, to)), stop))
}

/// A tent of two faces of `width` by `height` inches that stands by itself.
pub fn tent(width: f64, height: f64, stop: f64) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    let path = crate::geometry::rectangle(width, 2.0 * height);
    Ok(folded(path, [(Fold::Mountain, (0.0, height), (width, height))], stop))
}

/// A strip of panels, each `width` by `height` inches, folded to and fro.
pub fn accordion(panels: u32, width: f64, height: f64, stop: f64) -> Result<Drawing, Fault> {
    check_size("width of a panel", width)?;
    check_size("height of a panel", height)?;
    if !(2..=MOST_PANELS).contains(&panels) {
        return Err(Fault::new(
            format!("an accordion can't have {panels} panels"),
            format!("give 2 to {MOST_PANELS} panels"),
        ));
    }
    let whole = f64::from(panels) * width;
    check_size("width of all panels", whole)?;
    let folds = (1..panels).map(|index| {
        let fold = if index % 2 == 1 { Fold::Valley } else { Fold::Mountain };
        let at = f64::from(index) * width;
        (fold, (at, 0.0), (at, height))
    });
    Ok(folded(crate::geometry::rectangle(whole, height), folds, stop))
}

/// A card of `width` by `height` inches with two gates that meet in its middle, `gap` inches apart.
pub fn gatefold(width: f64, height: f64, gap: f64, stop: f64) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height", height)?;
    if !(0.0..=width - 4.0 * LEAST_PAPER).contains(&gap) {
        return Err(Fault::new(
            format!("a gap of {} in doesn't suit the card", shown(gap)),
            "give 0 or more, and less than the card is wide",
        ));
    }
    let gate = (width - gap) / 2.0;
    let path = crate::geometry::rectangle(width + 2.0 * gate, height);
    let folds = [gate, gate + width].map(|at| (Fold::Valley, (at, 0.0), (at, height)));
    Ok(folded(path, folds, stop))
}

/// A step of a pop-up, `width` inches wide: a riser and a tread with a glue tab at either end.
pub fn step(width: f64, riser: f64, tread: f64, tab: f64, stop: f64) -> Result<Drawing, Fault> {
    check_size("width", width)?;
    check_size("height of the riser", riser)?;
    check_size("depth of the tread", tread)?;
    check_tab(tab, width)?;
    let cut = taper(tab, width);
    let end = tab + tread + riser;
    let points = [
        (cut, 0.0),
        (width - cut, 0.0),
        (width, tab),
        (width, end),
        (width - cut, end + tab),
        (cut, end + tab),
        (0.0, end),
        (0.0, tab),
    ];
    let folds = [(Fold::Valley, tab), (Fold::Mountain, tab + tread), (Fold::Valley, end)]
        .map(|(fold, at)| (fold, (0.0, at), (width, at)));
    Ok(folded(closed_lines(points.into_iter().map(Point::from)), folds, stop))
}

/// A corner that holds a photo: a triangle with sides of `size` inches and a tab of `tab` inches behind
/// each of them.
pub fn photo_corner(size: f64, tab: f64, stop: f64) -> Result<Drawing, Fault> {
    check_size("size", size)?;
    check_tab(tab, size / 2.0 - LEAST_PAPER)?;
    let points = [
        (0.0, 0.0),
        (tab, -tab),
        (size - tab, -tab),
        (size, 0.0),
        (0.0, size),
        (-tab, size - tab),
        (-tab, tab),
    ];
    let folds = [((0.0, 0.0), (size, 0.0)), ((0.0, 0.0), (0.0, size))];
    let path = closed_lines(points.into_iter().map(Point::from));
    Ok(folded(path, folds.map(|(from, to)| (Fold::Mountain, from, to)), stop))
}

/// How far a tab is cut back at its ends.
fn taper(tab: f64, length: f64) -> f64 {
    tab.min(length * MOST_TAPER)
}

fn check_tab(tab: f64, room: f64) -> Result<(), Fault> {
    check_size("width of a tab", tab)?;
    if tab > room {
        return Err(Fault::new(
            format!("a tab of {} in is too wide to lie behind the face", shown(tab)),
            format!("make it {} in or less", shown(room.max(0.0))),
        ));
    }
    Ok(())
}

/// An outline with its folds as score lines that stop `stop` inches short of either end, each in half at
/// most.
fn folded(
    path: BezPath,
    folds: impl IntoIterator<Item = (Fold, (f64, f64), (f64, f64))>,
    stop: f64,
) -> Drawing {
    let lines = folds.into_iter().map(|(fold, from, to)| {
        let whole = Stretch::new(from, to);
        let share = (stop / (whole.p1 - whole.p0).hypot()).clamp(0.0, 0.25);
        let mut path = BezPath::new();
        path.move_to(whole.eval(share));
        path.line_to(whole.eval(1.0 - share));
        Line { process: Process::Score, path, fold: Some(fold) }
    });
    let lines = lines.collect();
    Drawing { outline: path, lines }.at_origin()
}
