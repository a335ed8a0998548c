//! Layers behind letters, and lines on them that show where to glue.

use kurbo::BezPath;

use crate::description::{BackingSpec, Counters, Marked, PlacementLine};
use crate::geometry::offset::{self, Holes};
use crate::geometry::{Drawing, Line, boolean, bridges};
use crate::layout::reading::Along;
use crate::model::Process;
use crate::model::length::{Length, Units};

use super::{Group, Layer, pins};

/// Layers of a backing; three are already thick under a page protector.
const MOST_LAYERS: usize = 8;
/// The most that a layer shows round what lies on it: with more it is no outline of words any longer.
const MOST_MARGIN: Length = Length::part(6, 1);
/// How far inside the edge of what is glued on its line lies (common practice, no source): far enough
/// to be hidden, near enough to see where it goes.
const INSET: Length = Length::part(1, 32);
/// Steps in which a margin is proposed.
const STEPS: (Length, Length) = (Length::part(1, 32), Length::nanometres(500_000));
/// How often a proposed margin is made a step wider until it holds.
const MOST_STEPS: usize = 16;

impl Group<'_, '_> {
    /// The layers behind others, the lowest first.
    pub(super) fn backing(
        &mut self,
        backing: &Marked<BackingSpec>,
        upper: &[Layer],
    ) -> Option<Vec<Layer>> {
        let written = &backing.value;
        let margin = self.reader.positive(&written.margin, Along::Height, "margin");
        let papers: Vec<usize> = self.layer_papers(written);
        let count = self.layer_count(written, papers.len())?;
        let holes = match self.reader.choice(written.counters.as_ref(), Counters::Filled) {
            Counters::Filled => Holes::Fill,
            Counters::Kept => Holes::Keep,
        };
        let process = self.placement(written);
        let inset = self.reader.distance(written.inset.as_ref(), INSET, "inset").to_inches();
        if margin > MOST_MARGIN {
            let message =
                format!("a backing `{}` wider all round is a page", &*written.margin.text);
            let help = format!("write {} or less", MOST_MARGIN.show(self.reader.units));
            self.reader.problem(written.margin.place, message, help);
            return None;
        }
        if margin <= Length::ZERO {
            return None;
        }
        let outlines: Vec<BezPath> = upper.iter().map(|layer| layer.outline.clone()).collect();
        let whole = boolean::union(&outlines);
        let mut glued: Vec<(String, BezPath)> =
            upper.iter().map(|layer| (layer.part.id.clone(), layer.outline.clone())).collect();
        let grown = |number: usize| {
            let times = u32::try_from(number).map_or(1.0, f64::from);
            offset::outward(&whole, times * margin.to_inches(), holes)
        };
        let mut topmost = Some(grown(1));
        let pins = match (&written.pins, &topmost) {
            (Some(diameter), Some(topmost)) => self.pins(diameter, &whole, topmost, count),
            (None, _) | (_, None) => Vec::new(),
        };
        let mut layers = Vec::new();
        for number in 1..=count {
            let outline = topmost.take().unwrap_or_else(|| grown(number));
            let id = match number {
                1 => format!("title.{}.backing", self.name),
                number => format!("title.{}.backing-{number}", self.name),
            };
            let paper = papers.get(number - 1).or(papers.last()).copied().unwrap_or(0);
            let mut lines = match process {
                Some(process) => self.placement_lines(process, inset, &glued, &id),
                None => Vec::new(),
            };
            lines.extend(pins.iter().cloned());
            if number == 1 {
                self.tell_parts(&whole, &outline, &id);
            }
            glued = vec![(id.clone(), outline.clone())];
            let mut layer = Layer::new(id, "backing", paper, Drawing { outline, lines });
            pins::note(&mut layer, pins.len(), count);
            layers.insert(0, layer);
        }
        Some(layers)
    }

    fn layer_papers(&mut self, written: &BackingSpec) -> Vec<usize> {
        written.paper.each().map(|name| self.reader.paper(&name)).collect()
    }

    fn layer_count(&mut self, written: &BackingSpec, papers: usize) -> Option<usize> {
        let place = written.layers.as_ref().map_or(written.paper.place, |layers| layers.place);
        let count = written.layers.as_ref().map_or(papers, |layers| layers.value as usize);
        if papers == 0 {
            let help = "write a paper, or one for each layer";
            self.reader.problem(written.paper.place, "the backing has no paper", help);
            return None;
        }
        if count == 0 || count > MOST_LAYERS {
            let message = format!("a backing can't have {count} layers");
            self.reader.problem(place, message, format!("write 1 to {MOST_LAYERS}"));
            return None;
        }
        if papers > count {
            let message = format!("there are {papers} papers for {count} layers");
            self.reader.problem(place, message, "write a paper for each layer, or fewer");
            return None;
        }
        Some(count)
    }

    /// What draws the outlines of what is glued on.
    fn placement(&mut self, written: &BackingSpec) -> Option<Process> {
        self.reader.choice(written.placement.as_ref(), PlacementLine::None).process()
    }

    /// The outlines of what is glued on a layer, drawn so far inside that it hides them.
    fn placement_lines(
        &mut self,
        process: Process,
        inset: f64,
        glued: &[(String, BezPath)],
        id: &str,
    ) -> Vec<Line> {
        let mut lines = Vec::new();
        let mut without = Vec::new();
        for (name, outline) in glued {
            // What is too thin for the whole inset still gets a line nearer to its edge.
            let drawn = [1.0, 0.5, 0.25]
                .iter()
                .map(|share| offset::inward(outline, inset * share))
                .find(|path| !path.is_empty());
            match drawn {
                Some(path) => lines.push(Line { process, path, fold: None }),
                None => without.push(format!("`{name}`")),
            }
        }
        if !without.is_empty() {
            let message = format!("no line fits under {}", without.join(", "));
            let help = "it is too thin to hide one: write a smaller `inset`".to_owned();
            self.warn("placement line", message, help, id);
        }
        lines
    }

    /// Warns of a backing that falls apart, with the margin that would join it.
    fn tell_parts(&mut self, whole: &BezPath, layer: &BezPath, id: &str) {
        let parts = boolean::outsides(layer).len();
        if parts < 2 {
            return;
        }
        let units = self.reader.units;
        let step = match units {
            Units::Inches => STEPS.0,
            Units::Millimetres => STEPS.1,
        };
        let gap = bridges::widest_gap(whole);
        let mut steps = (gap / 2.0 / step.to_inches()).ceil().max(1.0);
        for _ in 0..MOST_STEPS {
            let margin = steps * step.to_inches();
            if boolean::outsides(&offset::outward(whole, margin, Holes::Fill)).len() < 2 {
                break;
            }
            steps += 1.0;
        }
        let needed = Length::inches(steps * step.to_inches()).show(units);
        let message = format!(
            "the backing falls into {parts} parts; the widest gap between letters is {}",
            Length::inches(gap).show(units)
        );
        let help =
            format!("a margin of {needed} or more joins them, or less space between letters");
        self.warn("backing in parts", message, help, id);
    }
}
