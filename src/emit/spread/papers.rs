//! How papers look in a picture: plain cardstock is its colour, directional paper has a pattern.

use svg::node::element::{Circle, Definitions, Path, Pattern, Rectangle};

use crate::emit::drawing::{color, fixed, luminance};
use crate::record::{Paper, Record};

/// Size of one repeat of a pattern in inches: about that of a small print on real paper.
const REPEAT: f64 = 0.4;

/// The fills of a record's papers for one picture, whose ids begin with a prefix.
pub(in crate::emit) struct Papers<'a> {
    record: &'a Record,
    prefix: &'a str,
}

impl<'a> Papers<'a> {
    /// The fills of the papers of `record`.
    pub fn new(record: &'a Record, prefix: &'a str) -> Self {
        Self { record, prefix }
    }

    /// The name of the pattern that lies over the colour of the paper called `name`, if any.
    ///
    /// Colour and pattern are painted one after the other: a pattern that brings its own ground shows
    /// seams between its repeats in some viewers.
    pub fn pattern_name(&self, name: &str) -> Option<String> {
        let (place, _) = self.place(name).filter(|(_, paper)| paper.directional)?;
        Some(format!("{}-paper-{place}", self.prefix))
    }

    /// The plain colour of the paper called `name`.
    pub fn color(&self, name: &str) -> &'a str {
        self.place(name).map_or(color(""), |(_, paper)| color(&paper.color))
    }

    /// Adds the patterns of the papers called `names` to `definitions`.
    pub fn define(&self, mut definitions: Definitions, names: &[&str]) -> Definitions {
        let patterned =
            self.record.papers.iter().enumerate().filter(|(_, paper)| paper.directional);
        for (place, paper) in patterned {
            if names.contains(&paper.name.as_str()) {
                definitions = definitions.add(self.pattern(place, paper));
            }
        }
        definitions
    }

    fn place(&self, name: &str) -> Option<(usize, &'a Paper)> {
        self.record.papers.iter().enumerate().find(|(_, paper)| paper.name == name)
    }

    fn pattern(&self, place: usize, paper: &Paper) -> Pattern {
        let ink = if luminance(&paper.color) > 0.22 { "#5b4a36" } else { "#ffffff" };
        let pattern = Pattern::new()
            .set("id", format!("{}-paper-{place}", self.prefix))
            .set("width", fixed(REPEAT))
            .set("height", fixed(REPEAT))
            .set("patternUnits", "userSpaceOnUse");
        match place % 3 {
            0 => woven_check(pattern, luminance(&paper.color)),
            1 => ripples(pattern, ink),
            _ => sprigs(pattern, ink),
        }
    }
}

/// Two translucent bands that cross, darker where they meet, like cotton cloth.
fn woven_check(pattern: Pattern, light: f64) -> Pattern {
    // White thread shows on every paper but a pale one.
    let (thread, opacity) = if light > 0.6 { ("#8a7355", "0.16") } else { ("#ffffff", "0.28") };
    let half = fixed(REPEAT / 2.0);
    let whole = fixed(REPEAT);
    let band = |width: &str, height: &str| {
        Rectangle::new()
            .set("width", width)
            .set("height", height)
            .set("fill", thread)
            .set("fill-opacity", opacity)
    };
    pattern.add(band(&half, &whole)).add(band(&whole, &half))
}

/// Lines of sand that run across.
fn ripples(pattern: Pattern, ink: &str) -> Pattern {
    let (quarter, half, whole) = (REPEAT / 4.0, REPEAT / 2.0, REPEAT);
    let mut pattern = pattern;
    for middle in [quarter, half + quarter] {
        let d = format!(
            "M0 {middle}Q{} {} {} {middle}T{} {middle}",
            fixed(quarter),
            fixed(middle - REPEAT / 7.0),
            fixed(half),
            fixed(whole),
            middle = fixed(middle),
        );
        let ripple = Path::new()
            .set("d", d)
            .set("fill", "none")
            .set("stroke", ink)
            .set("stroke-width", "0.02")
            .set("stroke-opacity", "0.4");
        pattern = pattern.add(ripple);
    }
    pattern
}

/// Dots on short stems.
fn sprigs(pattern: Pattern, ink: &str) -> Pattern {
    let mut pattern = pattern;
    for [x, y] in [[0.25, 0.3], [0.75, 0.8]] {
        let (x, y) = (x * REPEAT, y * REPEAT);
        let stem = format!("M{} {}v{}", fixed(x), fixed(y), fixed(REPEAT / 6.0));
        let dot = Circle::new().set("cx", fixed(x)).set("cy", fixed(y)).set("r", "0.034");
        let stem = Path::new().set("d", stem).set("stroke", ink).set("stroke-width", "0.016");
        pattern = pattern
            .add(dot.set("fill", ink).set("fill-opacity", "0.4"))
            .add(stem.set("stroke-opacity", "0.4"));
    }
    pattern
}
