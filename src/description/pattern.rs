//! The pattern of a paper as it is written.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{Distance, Marked, Place, Written};
use crate::model::length::{Length, Units};
use crate::model::{Color, Fault, Pattern, PatternKind};

/// The pitch of a pattern at least, and at most: finer ones are seen as one colour, and no sheet shows a
/// repeat of a larger one.
const PITCHES: [Length; 2] = [Length::part(1, 32), Length::part(24, 1)];
/// Colours of a pattern at most.
const MOST_COLORS: usize = 8;
/// Paper that is lighter than this has a darker pattern where no colours are written, other paper a lighter
/// one.
const LIGHT: f64 = 0.22;
/// What the paper's colour is mixed with for that, and how much of it.
const DARKER: (Color, f64) = (Color::new([0x5b, 0x4a, 0x36]), 0.45);
const LIGHTER: (Color, f64) = (Color::WHITE, 0.55);

macro_rules! patterns {
    ($($(#[$about:meta])* $kind:ident = $word:literal, $pitch:expr;)*) => {
        /// A pattern, by what it is.
        #[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
        pub enum PatternSpec {
            $($(#[$about])* #[serde(rename = $word)] $kind(PatternKeys),)*
        }

        impl PatternSpec {
            /// Every kind, as written.
            pub const KINDS: &'static [&'static str] = &[$($word),*];

            /// What it is, its pitch if none is written, and its keys.
            const fn parts(&self) -> (PatternKind, Length, &PatternKeys) {
                match self {
                    $(Self::$kind(keys) => (PatternKind::$kind, $pitch, keys),)*
                }
            }

            /// A pattern of a kind.
            const fn of_kind(kind: PatternKind, keys: PatternKeys) -> Self {
                match kind {
                    $(PatternKind::$kind => Self::$kind(keys),)*
                }
            }
        }
    };
}

patterns! {
    /// Bands side by side that run down the sheet: the paper's colour, then each of `colors`, all as wide.
    /// The pitch is 1/2 if not given.
    Stripe = "stripe", Length::part(1, 2);
    /// A woven check; of two colours the first runs down, the last across. The pitch is 1/2 if not given,
    /// twice a check.
    Gingham = "gingham", Length::part(1, 2);
    /// Dots in rows, each row set off by half a pitch; the colours follow each other along a row. The pitch
    /// is the distance between two in a row, 1/2 if not given.
    Dot = "dot", Length::part(1, 2);
    /// Zigzag bands that run across the sheet: the paper's colour, then each of `colors`, all as high. The
    /// pitch is 1 if not given.
    Chevron = "chevron", Length::part(1, 1);
    /// A woven check of the first colour's wide band, the second's two narrow ones and the third's line:
    /// tartan. The pitch is 1 1/2 if not given.
    Plaid = "plaid", Length::part(3, 2);
    /// Lines that cross; of two colours the first runs down, the last across. The pitch is 1/2 if not given.
    Grid = "grid", Length::part(1, 2);
    /// Planks that run down the sheet; the first of `colors` is that of their grain. The pitch is a plank's
    /// width, 2 if not given.
    Wood = "wood", Length::part(2, 1);
}

/// The colours of a pattern, and how large it is.
#[derive(Clone, Debug, Default, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PatternKeys {
    /// Its colours besides the paper's own; one shade of that if not given.
    #[serde(default)]
    pub colors: Vec<Written<Color>>,
    /// The length after which it repeats.
    pub pitch: Option<Written<Distance>>,
    /// Degrees clockwise by which it is turned on a sheet that lies as its size is written, 0 if not given.
    #[schemars(range(min = -360, max = 360))]
    pub angle: Option<Marked<f64>>,
}

impl PatternSpec {
    /// The pattern on paper of a colour, bare numbers being in `units`; what is wrong with it is told, each
    /// fault with its place.
    pub fn read(
        &self,
        units: Units,
        ground: Color,
        place: Place,
        tell: &mut dyn FnMut(Place, Fault),
    ) -> Pattern {
        let (kind, usual, keys) = self.parts();
        let mut colors = Vec::new();
        for written in &keys.colors {
            match &written.value {
                Ok(color) => colors.push(*color),
                Err(fault) => tell(written.place, fault.clone()),
            }
        }
        if colors.len() > MOST_COLORS {
            let message = format!("a pattern has {MOST_COLORS} colours at most");
            tell(place, Fault::new(message, "leave out those that are seen least"));
            colors.truncate(MOST_COLORS);
        }
        if colors.is_empty() {
            let (with, share) = if ground.luminance() > LIGHT { DARKER } else { LIGHTER };
            colors.push(ground.mixed(with, share));
        }
        let pitch = keys.pitch.as_ref().map_or(Ok(usual), |written| pitch(written, units));
        let pitch = pitch.unwrap_or_else(|fault| {
            tell(keys.pitch.as_ref().map_or(place, |written| written.place), fault);
            usual
        });
        let angle = keys.angle.as_ref().map_or(0.0, |angle| angle.value);
        if let Some(written) = keys.angle.as_ref()
            && !(angle.is_finite() && angle.abs() <= 360.0)
        {
            let fault = Fault::new("the angle is not within 360 degrees", "write degrees");
            tell(written.place, fault);
        }
        Pattern { kind, colors, pitch: pitch.to_inches(), angle }
    }

    /// A pattern as it would be written, every key given.
    pub fn of(pattern: &Pattern) -> Self {
        let place = Place::default();
        let colors = pattern.colors.iter().map(|color| Written::of(color.as_str(), place));
        let pitch = Length::inches(pattern.pitch).to_mm();
        let keys = PatternKeys {
            colors: colors.collect(),
            pitch: Some(Written::of(&format!("{pitch:.6} mm"), place)),
            angle: Some(Marked { value: pattern.angle, place }),
        };
        Self::of_kind(pattern.kind, keys)
    }
}

fn pitch(written: &Written<Distance>, units: Units) -> Result<Length, Fault> {
    let Distance(sum) = written.value.as_ref().map_err(Fault::clone)?;
    let pitch = sum.in_units(units)?.of(Length::ZERO);
    let [least, most] = PITCHES;
    if pitch < least || pitch > most {
        let message = format!("a pattern can't repeat every `{}`", &*written.text);
        let help = format!("write a pitch of {} to {}", least.show(units), most.show(units));
        return Err(Fault::new(message, help));
    }
    Ok(pitch)
}
