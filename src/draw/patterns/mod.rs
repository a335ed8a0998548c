//! Patterns of papers, true to scale: layers of lines and bands that repeat from the corner of a sheet.
//!
//! A pattern is drawn as the few lines that cross a piece, clipped to the piece, not as a tile that a viewer
//! repeats: some round a tile to whole dots, so that a pattern drifts by a share of a dot at each repeat
//! (`resvg` does), and some show the seams. Checks and dots are lines in dashes, so that a whole sheet of
//! them stays small.

mod wood;

use kurbo::{Affine, BezPath, Point, Rect, Shape as _};

use super::display_list::{Group, Image, Item, Outline, Paint, Shape, Stroke};
use crate::geometry::turning;
use crate::model::{Band, Color, DOT, GRID_LINE, Pattern, PatternKind, PictureFill, zigzag};
use wood::Wood;

/// The length of a dash that its round ends make a dot, in inches: less than is seen.
const POINT: f64 = 1e-4;
/// The most lines of a layer: of the finest pattern on the largest sheet there are fewer.
const MOST_LINES: f64 = 4_000.0;
/// The most corners of zigzag bands; what has more is not drawn, since nobody would see them.
const MOST_CORNERS: f64 = 100_000.0;

/// The most repeats of a picture over a piece; of more, none is seen.
const MOST_REPEATS: f64 = 5_000.0;
/// How far a picture goes on below its next repeat, in inches.
const OVERLAP: f64 = 0.003;

/// A pattern, ready to be drawn on pieces.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnPattern {
    angle: f64,
    layers: Vec<Layer>,
    picture: Option<Shown>,
}

/// A picture of dots on a sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Shown {
    /// Its place among those of the drawing.
    number: usize,
    /// Its real size.
    size: [f64; 2],
    fill: PictureFill,
}

/// What is drawn in one ink, over what came before.
#[derive(Clone, Debug, PartialEq)]
struct Layer {
    ink: Color,
    motif: Motif,
}

#[derive(Clone, Debug, PartialEq)]
enum Motif {
    Lines(Lines),
    /// Bands that go up and down: the upper edge of the first where it is highest, their height, and from one
    /// to the next.
    Zigzags {
        from: f64,
        height: f64,
        pitch: f64,
    },
    Wood(Wood),
}

/// Lines that run down, or across, and come again at even distances.
#[derive(Clone, Debug, PartialEq)]
struct Lines {
    across: bool,
    /// The middle of the first.
    middle: f64,
    width: f64,
    /// From one to the next.
    pitch: f64,
    /// Where along a line its first dash begins.
    start: f64,
    /// Dash and gap; none for solid lines.
    dashes: Vec<f64>,
    /// Whether the ends of dashes are round.
    round: bool,
}

impl DrawnPattern {
    /// A pattern on paper of the colour `ground`.
    pub fn new(pattern: &Pattern, ground: Color) -> Self {
        Self { angle: pattern.angle, layers: layers(pattern, ground), picture: None }
    }

    /// A picture of a real size in place of a pattern; `number` is its place among those of the drawing.
    pub fn picture(number: usize, size: [f64; 2], fill: PictureFill) -> Self {
        Self { angle: 0.0, layers: Vec::new(), picture: Some(Shown { number, size, fill }) }
    }

    /// The number of its picture, if it is one.
    pub fn picture_number(&self) -> Option<usize> {
        self.picture.map(|picture| picture.number)
    }

    /// What of the pattern an outline shows; `lay` is how the sheet lies, on whose corner the pattern begins,
    /// and `sheet` its size.
    pub fn on<'a>(&'a self, outline: &Outline, lay: Affine, sheet: [f64; 2]) -> Item<'a> {
        let lay = lay * turning(self.angle);
        let field = lay.inverse().transform_rect_bbox(outline.path().bounding_box());
        let pictures = self.picture.iter().flat_map(|picture| picture.over(field, sheet));
        let items = self.layers.iter().map(|layer| layer.over(field)).chain(pictures).collect();
        let clip = Some(outline.clone());
        Group { clip, class: "pattern", ..Group::new(vec![Group::laid(lay, items).into()]) }.into()
    }
}

impl Shown {
    /// What of it lies over a field of a sheet.
    fn over<'a>(&self, field: Rect, sheet: [f64; 2]) -> Vec<Item<'a>> {
        let [width, height] = self.size;
        if self.fill == PictureFill::Whole {
            let scale = (sheet[0] / width).max(sheet[1] / height);
            let middle = (sheet[0] / 2.0, sheet[1] / 2.0);
            let whole = Rect::from_center_size(middle, (width * scale, height * scale));
            return vec![Image::filling(self.number, whole).into()];
        }
        let [left, top] = [(field.x0 / width).floor(), (field.y0 / height).floor()];
        let [right, low] = [(field.x1 / width).ceil(), (field.y1 / height).ceil()];
        let mut items = Vec::new();
        if (right - left) * (low - top) > MOST_REPEATS {
            return items;
        }
        let mut row = top;
        while row < low {
            let mut column = left;
            while column < right {
                // Each goes on a little below the next, so that no paper shows between them.
                let size = (width + OVERLAP, height + OVERLAP);
                let place = Rect::from_origin_size((column * width, row * height), size);
                items.push(Image::filling(self.number, place).into());
                column += 1.0;
            }
            row += 1.0;
        }
        items
    }
}

fn layers(pattern: &Pattern, ground: Color) -> Vec<Layer> {
    let pitch = pattern.pitch;
    let bands = pattern.colors.len() as f64 + 1.0;
    // Each band goes on below the later ones, so that no paper shows between them.
    let bands = pattern.colors.iter().enumerate().map(move |(place, ink)| {
        let from = (place as f64 + 1.0) / bands * pitch;
        (*ink, from, pitch - from)
    });
    let lines = |across, middle, width| Lines {
        across,
        middle,
        width,
        pitch,
        start: 0.0,
        dashes: Vec::new(),
        round: false,
    };
    match pattern.kind {
        PatternKind::Stripe => bands
            .map(|(ink, from, width)| Layer::lines(ink, lines(false, from + width / 2.0, width)))
            .collect(),
        PatternKind::Chevron => bands
            .map(|(ink, from, height)| Layer { ink, motif: Motif::Zigzags { from, height, pitch } })
            .collect(),
        PatternKind::Gingham | PatternKind::Plaid => woven(pattern, ground),
        PatternKind::Grid => {
            let ends = [(false, pattern.colors.first()), (true, pattern.colors.last())];
            let ends = ends.into_iter().filter_map(|(across, ink)| Some((across, *ink?)));
            ends.map(|(across, ink)| {
                Layer::lines(ink, lines(across, pitch / 2.0, pitch * GRID_LINE))
            })
            .collect()
        }
        PatternKind::Dot => {
            let count = pattern.colors.len() as f64;
            let rows = pattern.colors.iter().enumerate().flat_map(|(place, ink)| {
                [0.25, 0.75].map(|share| {
                    let row = lines(true, share * pitch, DOT * pitch);
                    let start = (place as f64 + share) * pitch - POINT / 2.0;
                    let dashes = vec![POINT, count * pitch - POINT];
                    Layer::lines(*ink, Lines { start, dashes, round: true, ..row })
                })
            });
            rows.collect()
        }
        PatternKind::Wood => {
            let grain = pattern.colors.first().copied().unwrap_or(ground);
            let parts = Wood::parts(ground, grain, pitch).into_iter();
            parts.map(|(ink, wood)| Layer { ink, motif: Motif::Wood(wood) }).collect()
        }
    }
}

/// The bands of a weave: where a band crosses paper, half of what is seen is its thread; where two cross,
/// half is each of theirs.
fn woven(pattern: &Pattern, ground: Color) -> Vec<Layer> {
    let [down, across] = pattern.weave();
    let pitch = pattern.pitch;
    let half = |one: Color, other: Color| one.mixed(other, 0.5);
    let line = |across: bool, band: &Band| Lines {
        across,
        middle: band.middle,
        width: band.width,
        pitch,
        start: 0.0,
        dashes: Vec::new(),
        round: false,
    };
    let solid = |across, band: &Band| Layer::lines(half(ground, band.thread), line(across, band));
    let mut layers: Vec<Layer> = down.iter().map(|band| solid(false, band)).collect();
    for weft in &across {
        layers.push(solid(true, weft));
        layers.extend(down.iter().map(|warp| {
            let start = warp.middle - warp.width / 2.0;
            let dashes = vec![warp.width, pitch - warp.width];
            let crossing = Lines { start, dashes, ..line(true, weft) };
            Layer::lines(half(warp.thread, weft.thread), crossing)
        }));
    }
    layers
}

impl Layer {
    const fn lines(ink: Color, lines: Lines) -> Self {
        Self { ink, motif: Motif::Lines(lines) }
    }

    /// What lies over a field of the pattern, and a little beyond it.
    fn over(&self, field: Rect) -> Item<'_> {
        let ink = self.ink.as_str();
        match &self.motif {
            Motif::Lines(lines) => {
                let stroke = Stroke { round: lines.round, ..Stroke::new(ink, lines.width) };
                Shape::lines(lines.over(field), stroke.dashed(&lines.dashes)).into()
            }
            Motif::Zigzags { from, height, pitch } => {
                let path = zigzags(field, [*from, *height], *pitch);
                Shape::path(path).filled(Paint::Ink(ink, 1.0)).into()
            }
            Motif::Wood(wood) => wood.over(field, ink),
        }
    }
}

impl Lines {
    fn over(&self, field: Rect) -> Vec<[Point; 2]> {
        let [[least, most], [from, to]] = match self.across {
            true => [[field.y0, field.y1], [field.x0, field.x1]],
            false => [[field.x0, field.x1], [field.y0, field.y1]],
        };
        let reach = self.width / 2.0;
        let period: f64 = self.dashes.iter().sum();
        // A line begins where a dash does.
        let from = match period > 0.0 {
            true => self.start + ((from - reach - self.start) / period).floor() * period,
            false => from,
        };
        let mut places = Vec::new();
        let first = ((least - reach - self.middle) / self.pitch).ceil();
        let last = ((most + reach - self.middle) / self.pitch).floor();
        if last - first > MOST_LINES {
            return places;
        }
        let mut step = first;
        while step <= last {
            let place = self.middle + step * self.pitch;
            let point = |along: f64| match self.across {
                true => Point::new(along, place),
                false => Point::new(place, along),
            };
            places.push([point(from), point(to + reach)]);
            step += 1.0;
        }
        places
    }
}

/// Bands between two zigzag lines.
fn zigzags(field: Rect, [from, height]: [f64; 2], pitch: f64) -> BezPath {
    let mut path = BezPath::new();
    let half = pitch / 2.0;
    let [left, right] = [(field.x0 / half).floor(), (field.x1 / half).ceil()];
    let first = ((field.y0 - half - from - height) / pitch).floor();
    let last = ((field.y1 - from) / pitch).ceil();
    if (last - first) * (right - left) > MOST_CORNERS {
        return path;
    }
    let corners = || {
        let count = (right - left).max(0.0);
        std::iter::successors(Some(0.0), move |at| (*at < count).then_some(at + 1.0))
            .map(move |at| left + at)
    };
    let mut row = first;
    while row <= last {
        let top = row * pitch + from;
        let at = |corner: f64, below: f64| {
            let x = corner * half;
            Point::new(x, top + below + zigzag((x / pitch).rem_euclid(1.0)) * pitch)
        };
        for (place, corner) in corners().enumerate() {
            if place == 0 { path.move_to(at(corner, 0.0)) } else { path.line_to(at(corner, 0.0)) }
        }
        let back: Vec<f64> = corners().collect();
        back.iter().rev().for_each(|corner| path.line_to(at(*corner, height)));
        path.close_path();
        row += 1.0;
    }
    path
}
