//! Printed lines: hatching all over, and a rule inside the edge.

use kurbo::{BezPath, CubicBez, ParamCurve, ParamCurveNearest, PathSeg};

use crate::description::Marked;
use crate::geometry::hatch::hatch;
use crate::geometry::offset;
use crate::model::Color;
use crate::model::length::Length;

use super::{Carrier, Prints};
use crate::layout::printed::PrintedLine;

/// Paper between a printed line and the cut beside it, at least, in inches: a line any nearer is half cut off
/// where the blade is off by a hair (common practice, no source).
const CLEAR: f64 = 1.0 / 32.0;
/// Points at which a line of a hatching is looked at.
const LOOKS: u32 = 24;

/// A line's measures in inches.
#[derive(Clone, Debug)]
pub(super) struct Measures {
    /// Degrees clockwise from level, for hatching.
    angle: f64,
    /// From line to line, or from the edge to the line.
    distance: f64,
    weight: f64,
    pub ink: Color,
}

impl Prints<'_, '_> {
    /// How the hatching is drawn, if there is one; `ink` is the colour of words.
    pub(super) fn hatch(&mut self, ink: Color) -> Option<Measures> {
        let written = self.spec.value.hatch.as_ref()?;
        let spec = &written.value;
        let gap = self.reader.distance(spec.gap.as_ref(), Length::part(1, 4), "gap");
        let weight = self.reader.distance(spec.weight.as_ref(), Length::part(1, 64), "weight");
        Some(Measures {
            angle: spec.angle.as_ref().map_or(0.0, |angle| angle.value),
            distance: gap.to_inches(),
            weight: weight.to_inches(),
            ink: self.reader.color(spec.ink.as_ref(), ink),
        })
    }

    /// How the rule is drawn, if there is one.
    pub(super) fn rule(&mut self, ink: Color) -> Option<Measures> {
        let written = self.spec.value.rule.as_ref()?;
        let spec = &written.value;
        let inset = self.reader.distance(spec.inset.as_ref(), Length::part(1, 8), "inset");
        let weight = self.reader.distance(spec.weight.as_ref(), Length::part(1, 32), "weight");
        Some(Measures {
            angle: 0.0,
            distance: inset.to_inches(),
            weight: weight.to_inches(),
            ink: self.reader.color(spec.ink.as_ref(), ink),
        })
    }

    /// The lines on a piece; nothing if none of them fits, which is noted.
    pub(super) fn lines(
        &mut self,
        carrier: &Carrier,
        hatching: Option<&Measures>,
        rule: Option<&Measures>,
    ) -> Option<Vec<PrintedLine>> {
        let mut lines = Vec::new();
        if let (Some(measures), Some(written)) = (hatching, &self.spec.value.hatch) {
            let path = hatch(&carrier.field, measures.angle, measures.distance, 0.0);
            let path = off_the_contour(&path, &carrier.seen, CLEAR + measures.weight / 2.0);
            lines.push(self.line(measures, path, written)?);
        }
        if let (Some(measures), Some(written)) = (rule, &self.spec.value.rule) {
            let least = CLEAR + measures.weight / 2.0;
            if measures.distance < least {
                let message = format!("the printed rule would lie on the cut of `{}`", self.id);
                let least = Length::inches((least * 64.0).ceil() / 64.0).show(self.reader.units);
                self.reader.problem(
                    written.place,
                    message,
                    format!("write an inset of {least} or more"),
                );
                return None;
            }
            let path = offset::inward(&carrier.seen, measures.distance);
            lines.push(self.line(measures, path, written)?);
        }
        Some(lines)
    }

    fn line<T>(
        &mut self,
        measures: &Measures,
        path: BezPath,
        written: &Marked<T>,
    ) -> Option<PrintedLine> {
        if path.elements().is_empty() || measures.weight <= 0.0 {
            let message = format!("no printed line fits on `{}`", self.id);
            let help = "give a smaller inset, a gap and a weight of more than 0";
            self.reader.problem(written.place, message, help);
            return None;
        }
        Some(PrintedLine { path, weight: measures.weight, ink: measures.ink })
    }
}

/// A hatching without the lines of which most runs along the outline.
fn off_the_contour(hatching: &BezPath, outline: &BezPath, clear: f64) -> BezPath {
    let segments: Vec<CubicBez> = outline.segments().map(|segment| segment.to_cubic()).collect();
    let mut kept = BezPath::new();
    for line in hatching.segments() {
        // A curve lies within the hull of its points: most of them are far to one side of the line.
        let across = (line.end() - line.start()).turn_90();
        let across = across / across.hypot().max(1e-9);
        let beside: Vec<PathSeg> = segments
            .iter()
            .filter(|curve| {
                let aside = [curve.p0, curve.p1, curve.p2, curve.p3]
                    .map(|point| (point - line.start()).dot(across));
                aside.iter().any(|side| *side > -clear) && aside.iter().any(|side| *side < clear)
            })
            .map(|curve| PathSeg::Cubic(*curve))
            .collect();
        let near = |point| {
            beside.iter().any(|curve| curve.nearest(point, 1e-4).distance_sq < clear * clear)
        };
        let looks = (0..=LOOKS).map(|look| line.eval(f64::from(look) / f64::from(LOOKS)));
        if looks.filter(|&point| near(point)).count() <= LOOKS as usize / 2 {
            kept.move_to(line.start());
            kept.line_to(line.end());
        }
    }
    kept
}
