//! The order in which the machine takes its contours.
//!
//! What lies inside is cut before what lies outside, within a piece and across pieces, so that paper
//! is never cut after it has come loose. Among what may be next, the nearest is taken (the nearest
//! neighbour rule; Rosenkrantz, Stearns, Lewis, SIAM J. Comput. 6, 1977), and a closed contour
//! starts where the blade is nearest.

use kurbo::{BezPath, ParamCurve, ParamCurveArclen, PathEl, PathSeg, Point, Rect, Shape};

use crate::outline::Process;

/// Accuracy of measured lengths in inches.
const LENGTH_ACCURACY: f64 = 1e-5;

/// Lines up to this length in inches come from rounding and are left out: no blade feels them, and
/// some machines stumble over them.
const SHORTEST: f64 = 1e-6;

/// A machine piece on its sheet.
#[derive(Clone, Debug)]
pub(super) struct Job {
    /// The piece's id.
    pub piece: String,
    /// Which of its copies.
    pub copy: u32,
    /// Its closed contours.
    pub contours: Vec<Contour>,
    /// Its other lines.
    pub lines: Vec<(Process, Contour)>,
}

impl Job {
    /// Whether there is anything to cut that a machine can find.
    pub fn is_cut(&self) -> bool {
        !self.contours.is_empty() && self.contours.iter().all(Contour::is_finite)
    }
}

/// A chain of segments, closed or open.
#[derive(Clone, Debug)]
pub(super) struct Contour {
    segments: Vec<PathSeg>,
    closed: bool,
}

impl Contour {
    /// The contours of an outline, every one closed.
    pub fn closed(outline: &BezPath) -> Vec<Self> {
        let close = |mut contour: Self| {
            if let Some((start, end)) = contour.start().zip(contour.end())
                && start.distance(end) > SHORTEST
            {
                contour.segments.push(PathSeg::Line(kurbo::Line::new(end, start)));
            }
            contour.closed = true;
            contour
        };
        Self::lines(outline).into_iter().map(close).collect()
    }

    /// The lines of a path, open or closed as they are.
    pub fn lines(path: &BezPath) -> Vec<Self> {
        let mut chains: Vec<Vec<PathEl>> = Vec::new();
        for &element in path.elements() {
            if matches!(element, PathEl::MoveTo(_)) || chains.is_empty() {
                chains.push(Vec::new());
            }
            if let Some(chain) = chains.last_mut() {
                chain.push(element);
            }
        }
        let chains = chains.into_iter().map(|chain| Self {
            closed: matches!(chain.last(), Some(PathEl::ClosePath)),
            segments: kurbo::segments(chain).filter(is_felt).collect(),
        });
        chains.filter(|contour| !contour.segments.is_empty()).collect()
    }

    fn is_finite(&self) -> bool {
        self.segments.iter().all(PathSeg::is_finite)
    }

    fn start(&self) -> Option<Point> {
        self.segments.first().map(|segment| segment.start())
    }

    fn end(&self) -> Option<Point> {
        self.segments.last().map(|segment| segment.end())
    }

    /// The contour as a path.
    pub fn path(&self) -> BezPath {
        let mut path = BezPath::from_path_segments(self.segments.iter().copied());
        if self.closed {
            // The closing line is what `Z` draws.
            if matches!(path.elements().last(), Some(PathEl::LineTo(_))) {
                path.pop();
            }
            path.close_path();
        }
        path
    }

    /// Its length in inches.
    pub fn length(&self) -> f64 {
        self.segments.iter().map(|segment| segment.arclen(LENGTH_ACCURACY)).sum()
    }

    fn bounds(&self) -> Rect {
        BezPath::from_path_segments(self.segments.iter().copied()).bounding_box()
    }

    fn holds(&self, other: &Self) -> bool {
        let inside = |point| self.path().winding(point) != 0;
        let larger = self.path().area().abs() > other.path().area().abs();
        larger && other.segments.first().is_some_and(|segment| inside(segment.eval(0.5)))
    }

    /// Where the blade may start: the squared distance from `from` and the segment that begins there.
    /// An open line may also be taken backwards, which is its number of segments.
    fn nearest_start(&self, from: Point) -> (f64, usize) {
        let starts = self.segments.iter().map(|segment| segment.start()).enumerate();
        let allowed = starts.filter(|(index, _)| self.closed || *index == 0);
        let backwards = self.end().filter(|_| !self.closed).map(|end| (self.segments.len(), end));
        let squared = allowed.chain(backwards).map(|(index, p)| (p.distance_squared(from), index));
        squared.min_by(|one, other| one.0.total_cmp(&other.0)).unwrap_or((f64::INFINITY, 0))
    }

    /// The same contour begun at what [`Self::nearest_start`] found.
    fn started_at(&self, index: usize) -> Self {
        let mut contour = self.clone();
        if self.closed {
            contour.segments.rotate_left(index.min(self.segments.len()));
        } else if index == self.segments.len() {
            contour.segments.reverse();
            contour.segments.iter_mut().for_each(|segment| *segment = segment.reverse());
        }
        contour
    }
}

fn is_felt(segment: &PathSeg) -> bool {
    !matches!(segment, PathSeg::Line(line) if line.p0.distance(line.p1) <= SHORTEST)
}

/// Every contour in the order of cutting, with its piece.
pub(super) fn cut_order(jobs: &[Job]) -> Vec<(&Job, Contour)> {
    let items: Vec<(&Job, &Contour)> = jobs
        .iter()
        .flat_map(|job| job.contours.iter().map(move |contour| (job, contour)))
        .collect();
    let held = held_contours(&items);
    let mut waiting: Vec<usize> = (0..items.len()).collect();
    let mut ordered = Vec::new();
    let (mut blade, mut in_work) = (Point::ORIGIN, None);
    while !waiting.is_empty() {
        let free = |index: &usize| !held[*index].iter().any(|inner| waiting.contains(inner));
        let nearest = |candidates: &mut dyn Iterator<Item = usize>| {
            let reached = candidates.map(|index| (index, items[index].1.nearest_start(blade)));
            reached.min_by(|one, other| one.1.0.total_cmp(&other.1.0))
        };
        // A piece that was begun is finished first, as far as what lies in its holes allows.
        let of_piece =
            |index: &usize| in_work.is_some_and(|job| std::ptr::eq(job, items[*index].0));
        let free: Vec<usize> = waiting.iter().copied().filter(free).collect();
        let next = nearest(&mut free.iter().copied().filter(of_piece))
            .or_else(|| nearest(&mut free.iter().copied()));
        // Containment has no circles since only a larger contour holds another; still, never hang.
        let (index, (_, start)) = next.unwrap_or((waiting[0], (0.0, 0)));
        waiting.retain(|&other| other != index);
        let contour = items[index].1.started_at(start);
        blade = contour.end().unwrap_or(blade);
        in_work = Some(items[index].0);
        ordered.push((items[index].0, contour));
    }
    ordered
}

/// For each contour, the contours that lie inside it.
fn held_contours(items: &[(&Job, &Contour)]) -> Vec<Vec<usize>> {
    let boxes: Vec<Rect> = items.iter().map(|(_, contour)| contour.bounds()).collect();
    let holds = |outer: usize, inner: usize| {
        outer != inner
            && boxes[outer].overlaps(boxes[inner])
            && items[outer].1.holds(items[inner].1)
    };
    let inside = |outer| (0..items.len()).filter(|&inner| holds(outer, inner)).collect();
    (0..items.len()).map(inside).collect()
}

/// The lines of one process in the order of drawing, with their pieces.
pub(super) fn line_order(jobs: &[Job], process: Process) -> Vec<(&Job, Contour)> {
    let mut waiting: Vec<(&Job, &Contour)> = jobs
        .iter()
        .flat_map(|job| job.lines.iter().map(move |(done, line)| (job, done, line)))
        .filter(|(_, done, _)| **done == process)
        .map(|(job, _, line)| (job, line))
        .collect();
    let mut ordered = Vec::new();
    let mut blade = Point::ORIGIN;
    while !waiting.is_empty() {
        let reached = waiting.iter().map(|(_, line)| line.nearest_start(blade)).enumerate();
        let next = reached.min_by(|one, other| one.1.0.total_cmp(&other.1.0));
        let (index, (_, start)) = next.unwrap_or((0, (0.0, 0)));
        let (job, line) = waiting.remove(index);
        let line = line.started_at(start);
        blade = line.end().unwrap_or(blade);
        ordered.push((job, line));
    }
    ordered
}

/// The way of the lifted blade from the sheet's top left through all contours, in inches.
pub(super) fn travel<'a>(contours: impl Iterator<Item = &'a Contour>) -> f64 {
    let mut blade = Point::ORIGIN;
    let mut travel = 0.0;
    for contour in contours {
        travel += contour.start().map_or(0.0, |start| start.distance(blade));
        blade = contour.end().unwrap_or(blade);
    }
    travel
}
