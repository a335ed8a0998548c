//! The fonts of marked words where the spec names none: the slanted and the bold style of a font, by
//! whatever name its family has it, or a variable font's own axes.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::lettering::fonts::{Font, FontBook};

/// What slanted styles are called, the usual name first.
const SLANTED: [&str; 3] = ["italic", "oblique", "slanted"];
/// Weight of a variable font's bold (OpenType specification, `wght`).
const BOLD: f64 = 700.0;

/// A style of a font.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Style {
    /// Bold.
    pub bold: bool,
    /// Italic, oblique or slanted.
    pub slanted: bool,
}

impl Style {
    /// What it is called in a message.
    pub fn told(self) -> &'static str {
        match (self.bold, self.slanted) {
            (true, true) => "bold italic, bold oblique or bold slanted style",
            (true, false) => "bold style",
            (false, _) => "italic, oblique or slanted style",
        }
    }

    /// The font of this style that goes with `font`, which the spec calls `name`.
    pub fn of(self, fonts: &FontBook, name: &str, font: &Font) -> Option<Arc<Font>> {
        let full = format!("{} {}", font.family, font.style);
        let called: Vec<String> = [name, &full, &font.family]
            .iter()
            .flat_map(|base| self.words().into_iter().map(move |word| format!("{base} {word}")))
            .collect();
        let found = called.iter().find_map(|name| fonts.find(name).ok());
        found.or_else(|| self.by_axes(font).map(Arc::new))
    }

    fn words(self) -> Vec<String> {
        let bold = if self.bold { "bold " } else { "" };
        match self.slanted {
            true => SLANTED.iter().map(|word| format!("{bold}{word}")).collect(),
            false => vec![bold.trim_end().to_owned()],
        }
    }

    /// The font with its axes set, if it has all that the style takes.
    fn by_axes(self, font: &Font) -> Option<Font> {
        let ranges = font.axis_ranges();
        let range = |tag: &str| ranges.iter().find(|range| range.tag == tag);
        let mut axes: BTreeMap<String, f64> = font.axes.clone();
        if self.slanted {
            // `ital` goes from 0 to 1; `slnt` is degrees against the clock, so that to lean is less than 0.
            let italic = range("ital").filter(|range| range.most >= 1.0);
            let slant = range("slnt").filter(|range| range.least < 0.0);
            match (italic, slant) {
                (Some(_), _) => axes.insert("ital".to_owned(), 1.0),
                (None, Some(range)) => axes.insert("slnt".to_owned(), range.least),
                (None, None) => return None,
            };
        }
        if self.bold {
            let heavier = range("wght").filter(|range| range.most > range.usual)?;
            axes.insert("wght".to_owned(), heavier.most.min(BOLD.max(heavier.usual)));
        }
        font.used_with(&axes, &font.features).ok()
    }
}
