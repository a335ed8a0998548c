//! Pin holes: at the same places in every layer of a backing, hidden by what is glued on the topmost.
//!
//! Two pins hold a layer straight. Each part of the topmost layer gets two, as far apart as they can be
//! where the paper on it is broad enough to hide them; lower layers are larger all round, so that what
//! fits into the topmost has a broader rim in them.

use kurbo::{BezPath, Circle, ParamCurve, Point, Shape, Vec2};

use crate::description::Written;
use crate::geometry::offset::inward;
use crate::geometry::{Line, boolean};
use crate::layout::reading::Along;
use crate::model::Process;
use crate::model::length::{Length, LengthSum, narrow};

use super::{Group, Layer};

/// Paper round a hole that hides it, in inches, the widest that leaves pins far apart: more than a hand
/// is off when it glues (common practice, no source), and where strokes are thin at least 1/64.
const HIDES: [f64; 4] = [1.0 / 16.0, 3.0 / 64.0, 1.0 / 32.0, 1.0 / 64.0];
/// Share of a part's longer side that two pins span if they can.
const FAR: f64 = 0.5;
/// Two pins nearer than this, in inches, don't hold a layer straight.
const LEAST_SPAN: f64 = 0.375;
/// The widest hole for a pin: what is larger is for brads.
const WIDEST: Length = Length::part(1, 4);
/// Directions in which the farthest places are looked for, round half a circle.
const DIRECTIONS: u32 = 18;
/// How near a hole's drawn circle is to a true one, in inches.
const ROUND: f64 = 1e-5;

impl Group<'_, '_> {
    /// The holes in every layer: `upper` is what is glued on the topmost, `topmost` that layer, both in
    /// the group's frame. Warns where there is no place for them.
    pub(super) fn pins(
        &mut self,
        diameter: &Written<LengthSum>,
        upper: &BezPath,
        topmost: &BezPath,
        layers: usize,
    ) -> Vec<Line> {
        let across = self.reader.positive(diameter, Along::Width, "diameter of pins");
        if across <= Length::ZERO {
            return Vec::new();
        }
        if across > WIDEST {
            let message = format!("pins don't need holes of `{}`", &*diameter.text);
            let help = format!("write {} or less", WIDEST.show(self.reader.units));
            self.reader.problem(diameter.place, message, help);
            return Vec::new();
        }
        let id = format!("title.{}.backing", self.name);
        if layers < 2 {
            let message = "a backing of one layer has no other to be pinned to";
            let help = "write two `layers` or more, or leave out `pins`".to_owned();
            self.warn("pins", message.to_owned(), help, &id);
            return Vec::new();
        }
        let radius = across.to_inches() / 2.0;
        let outsides = boolean::outsides(topmost);
        let found: Vec<Option<[Point; 2]>> =
            outsides.iter().map(|part| places(upper, part, radius)).collect();
        let without = found.iter().filter(|places| places.is_none()).count();
        if without > 0 {
            self.tell_unpinned(without, outsides.len(), radius, &id);
        }
        let holes = found.into_iter().flatten().flatten();
        holes.map(|at| hole(at, radius)).collect()
    }

    fn tell_unpinned(&mut self, without: usize, parts: usize, radius: f64, id: &str) {
        let stroke = narrow(2.0 * (radius + HIDES[HIDES.len() - 1]), self.reader.units);
        let what = match (without, parts) {
            (_, 1) => "the backing has".to_owned(),
            (1, parts) => format!("one of the backing's {parts} parts has"),
            (without, parts) => format!("{without} of the backing's {parts} parts have"),
        };
        let message = format!("{what} no two places for pins under strokes of {stroke} or wider");
        let help =
            "embolden the letters, make them larger, write a smaller diameter for `pins`, or \
                    line that up by eye"
                .to_owned();
        self.warn("pins", message, help, id);
    }
}

/// Tells on a layer what its holes are for.
pub(super) fn note(layer: &mut Layer, holes: usize, layers: usize) {
    if holes > 0 {
        let others = if layers > 2 { "the other layers" } else { "the other layer" };
        layer.part.note(format!(
            "glue it to {others} with pins through the {holes} holes that all have; take the pins out, \
             then cover the holes"
        ));
    }
}

/// The two places farthest apart on a part that are hidden well, or less well if they are too near.
fn places(upper: &BezPath, part: &BezPath, radius: f64) -> Option<[Point; 2]> {
    let own = boolean::intersect(upper, part);
    let bounds = own.bounding_box();
    let far = FAR * bounds.width().max(bounds.height());
    let mut widest: Option<[Point; 2]> = None;
    for hide in HIDES {
        let Some(pair) = farthest(&inward(&own, radius + hide)) else { continue };
        if widest.is_none_or(|widest| span(pair) > span(widest)) {
            widest = Some(pair);
        }
        if span(pair) >= far {
            break;
        }
    }
    widest.filter(|pair| span(*pair) >= LEAST_SPAN.max(4.0 * radius))
}

fn span([one, other]: [Point; 2]) -> f64 {
    one.distance(other)
}

/// The two points farthest apart, of those that lie outermost in some direction; the left one first.
fn farthest(path: &BezPath) -> Option<[Point; 2]> {
    let points: Vec<Point> = path
        .segments()
        .flat_map(|segment| [0.0, 0.25, 0.5, 0.75].map(|t| segment.eval(t)))
        .collect();
    let outermost: Vec<[Point; 2]> = (0..DIRECTIONS)
        .filter_map(|step| {
            let turn = std::f64::consts::PI * f64::from(step) / f64::from(DIRECTIONS);
            let way = Vec2::from_angle(turn);
            let along = |point: &&Point| point.to_vec2().dot(way);
            let least = points.iter().min_by(|a, b| along(a).total_cmp(&along(b)))?;
            let most = points.iter().max_by(|a, b| along(a).total_cmp(&along(b)))?;
            Some([*least, *most])
        })
        .collect();
    let pair = outermost.into_iter().max_by(|one, other| span(*one).total_cmp(&span(*other)))?;
    let [one, other] = pair;
    Some(if one.x <= other.x { [one, other] } else { [other, one] })
}

fn hole(at: Point, radius: f64) -> Line {
    Line { process: Process::Cut, path: Circle::new(at, radius).to_path(ROUND), fold: None }
}
