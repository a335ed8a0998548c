//! How a word group is set: size, lines, baseline, what is one piece.

use crate::description::{AlongSpec, ArcSpec, Distance, Marked, OneOrMany, Written};
use crate::geometry::LARGEST;
use crate::layout::elements::import;
use crate::layout::reading::{Along, Reader};
use crate::lettering::words::{Align, Baseline, Height, Joined, Side, WordStyle};
use crate::model::length::{Length, LengthSum};
use crate::svg_import::read_baseline;

use super::Group;

/// Bars that hold loose parts (common practice, no source).
pub(super) const BRIDGE: Length = Length::part(1, 16);
/// The least height (or width) of words: smaller ones are lost under the blade.
const LEAST_LETTERS: Length = Length::part(1, 16);
/// The largest radius of a circle, in inches: flatter is straight.
const LARGEST_RADIUS: f64 = 1000.0;
/// The most letters are grown or thinned, in inches: a quarter more on each side is another letter.
pub(super) const MOST_GROWN: f64 = 0.25;
/// The angles that words may take on a circle, in degrees.
const ANGLES: std::ops::RangeInclusive<f64> = 1.0..=355.0;

/// A repeated pattern of lengths, in inches.
pub(in crate::layout) fn steps(
    reader: &mut Reader<'_>,
    pattern: Option<&Marked<OneOrMany<Written<Distance>>>>,
) -> Vec<f64> {
    let Some(pattern) = pattern else { return Vec::new() };
    let mut steps = Vec::new();
    for step in pattern.each() {
        match reader.fixed(&step) {
            Ok(length) => steps.push(length.to_inches()),
            Err(error) => reader.problem(step.place, error.message, error.help),
        }
    }
    steps
}

impl Group<'_, '_> {
    /// How the words are set.
    pub(super) fn style(&mut self) -> Option<WordStyle> {
        let spec = self.spec;
        let height = self.height()?;
        let reader = &mut *self.reader;
        let spacing = reader.signed(spec.spacing.as_ref(), "spacing").to_inches();
        let lift = steps(reader, spec.lift.as_ref());
        // Lines on circles stand over each other's middles.
        let usual = if spec.arc.is_some() { Align::Center } else { Align::Left };
        let align = reader.choice(spec.align.as_ref(), usual);
        let leading = spec
            .leading
            .as_ref()
            .map(|text| reader.positive(text, Along::Height, "leading").to_inches());
        let joined = reader.choice(spec.joined.as_ref(), Joined::Auto);
        let bridge = spec.bridges.as_ref().map(|bridges| {
            let width = bridges.value.width.as_ref();
            width.map_or(BRIDGE, |width| reader.positive(width, Along::Width, "width of bridges"))
        });
        let embolden = reader.signed(spec.embolden.as_ref(), "embolden").to_inches();
        if let Some(text) = spec.embolden.as_ref().filter(|_| embolden.abs() > MOST_GROWN) {
            let message = format!("`embolden: {}` makes other letters of them", &*text.text);
            reader.problem(text.place, message, "write up to 1/4 in, or use a bolder font");
            return None;
        }
        let papers = match &spec.stencil {
            Some(_) => Vec::new(),
            None => spec.papers.iter().map(|paper| reader.paper(paper)).collect(),
        };
        Some(WordStyle {
            height,
            letter_spacing: spacing,
            lift,
            align,
            leading,
            baseline: self.baseline()?,
            embolden,
            joined: if spec.stencil.is_some() { Joined::Never } else { joined },
            bridge: bridge.filter(|_| spec.stencil.is_none()).map(Length::to_inches),
            papers,
        })
    }

    /// How tall the words are, by the one key that says so.
    fn height(&mut self) -> Option<Height> {
        type Named<'a> = (&'a Option<Written<LengthSum>>, Along, &'static str, fn(f64) -> Height);
        let spec = self.spec;
        let keys: [Named<'_>; 4] = [
            (&spec.height, Along::Height, "height", Height::Cap),
            (&spec.x_height, Along::Height, "x-height", Height::SmallLetters),
            (&spec.total_height, Along::Height, "total height", Height::Total),
            (&spec.width, Along::Width, "width", Height::Width),
        ];
        let mut written = keys.iter().filter_map(|(text, along, name, height)| {
            Some((text.as_ref()?, *along, *name, *height))
        });
        let Some((text, along, name, height)) = written.next() else {
            let help = "write `height`, `x-height`, `total height` or `width`";
            let place = spec.words.place;
            self.reader.problem(place, "nothing says how large the words are", help);
            return None;
        };
        if let Some((other, _, second, _)) = written.next() {
            let message = format!("`{name}` and `{second}` both say how large the words are");
            self.reader.problem(other.place, message, "keep one of the two");
            return None;
        }
        let length = self.reader.positive(text, along, name);
        if length > Length::ZERO && length < LEAST_LETTERS {
            let message = format!("words of a {name} of `{}` are too small to cut", &*text.text);
            let help = format!("write {} or more", LEAST_LETTERS.show(self.reader.units));
            self.reader.problem(text.place, message, help);
            return None;
        }
        if length.to_inches() > LARGEST {
            let message = format!("words of a {name} of `{}` fit on no table", &*text.text);
            let help = format!("write {LARGEST} in or less");
            self.reader.problem(text.place, message, help);
            return None;
        }
        (length > Length::ZERO).then(|| height(length.to_inches()))
    }

    /// What the words stand on.
    fn baseline(&mut self) -> Option<Baseline> {
        match (&self.spec.arc, &self.spec.along) {
            (None, None) => Some(Baseline::Straight),
            (Some(arc), None) => self.arc(arc),
            (None, Some(along)) => self.path(&along.value),
            (Some(_), Some(along)) => {
                let message = "`arc` and `along` both say what the words stand on";
                self.reader.problem(along.place, message, "keep one of the two");
                None
            }
        }
    }

    fn arc(&mut self, arc: &Marked<ArcSpec>) -> Option<Baseline> {
        let written = &arc.value;
        let reader = &mut *self.reader;
        let side = reader.choice(written.side.as_ref(), Side::Over);
        match (&written.radius, &written.degrees) {
            (Some(text), None) => {
                let radius = reader.positive(text, Along::Width, "radius").to_inches();
                if radius > LARGEST_RADIUS {
                    let message = format!("a circle of radius `{}` is straight", &*text.text);
                    reader.problem(text.place, message, "write a smaller radius, or leave it out");
                    return None;
                }
                (radius > 0.0).then_some(Baseline::Circle { radius, side })
            }
            (None, Some(degrees)) if ANGLES.contains(&degrees.value) => {
                Some(Baseline::Angle { degrees: degrees.value, side })
            }
            (None, Some(degrees)) => {
                let message = format!("words can't take {} degrees of a circle", degrees.value);
                reader.problem(degrees.place, message, "write 1 to 355");
                None
            }
            (None, None) => {
                let help = "write `radius`, or `degrees` from the first to the last letter";
                reader.problem(arc.place, "nothing says how large the circle is", help);
                None
            }
            (Some(_), Some(degrees)) => {
                let message = "`radius` and `degrees` both say how large the circle is";
                reader.problem(degrees.place, message, "keep one of the two");
                None
            }
        }
    }

    fn path(&mut self, along: &AlongSpec) -> Option<Baseline> {
        let text = import::read(self.reader, self.folder, &along.file)?;
        let width = match &along.width {
            None => None,
            Some(text) => {
                let width = self.reader.positive(text, Along::Width, "width");
                Some(Some(width.to_inches()).filter(|width| *width > 0.0)?)
            }
        };
        match read_baseline(&text, width) {
            Ok(path) => Some(Baseline::Along(path)),
            Err(error) => {
                let message = format!("`{}`: {}", &*along.file.value, error.message);
                self.reader.problem(along.file.place, message, error.help);
                None
            }
        }
    }
}
