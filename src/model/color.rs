//! Colours: as they are written, and how light they look.

use std::fmt;

use serde::{Deserialize, Serialize};

/// A colour of sRGB; written `#rrggbb`.
///
/// ```
/// use cutleaf::model::Color;
/// assert_eq!(Color::parse("#0B6E4F").unwrap().as_str(), "#0b6e4f");
/// assert_eq!(Color::parse("#12345"), None);
/// assert_eq!(Color::BLACK.contrast(Color::WHITE), 21.0);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Color {
    /// Red, green and blue.
    channels: [u8; 3],
    /// The same as it is written.
    written: [u8; 7],
}

impl Color {
    /// No light at all.
    pub const BLACK: Self = Self::new([0; 3]);
    /// All light there is.
    pub const WHITE: Self = Self::new([255; 3]);
    /// What is shown for a paper that nobody knows.
    pub const UNKNOWN: Self = Self::new([0x9a, 0x94, 0x8a]);

    /// A colour of so much red, green and blue.
    pub const fn new(channels: [u8; 3]) -> Self {
        const DIGITS: &[u8; 16] = b"0123456789abcdef";
        let mut written = *b"#rrggbb";
        let mut at = 0;
        while at < 3 {
            written[2 * at + 1] = DIGITS[(channels[at] >> 4) as usize];
            written[2 * at + 2] = DIGITS[(channels[at] & 15) as usize];
            at += 1;
        }
        Self { channels, written }
    }

    /// Reads `#rrggbb`.
    pub fn parse(text: &str) -> Option<Self> {
        let digits = text.strip_prefix('#').filter(|digits| digits.len() == 6)?;
        if !digits.bytes().all(|digit| digit.is_ascii_hexdigit()) {
            return None;
        }
        let mut channels = [0; 3];
        for (channel, at) in channels.iter_mut().zip([0, 2, 4]) {
            *channel = u8::from_str_radix(digits.get(at..at + 2)?, 16).ok()?;
        }
        Some(Self::new(channels))
    }

    /// As it is written, `#rrggbb`.
    pub fn as_str(&self) -> &str {
        str::from_utf8(&self.written).unwrap_or("#000000")
    }

    /// Red, green and blue.
    pub const fn channels(self) -> [u8; 3] {
        self.channels
    }

    /// Red, green and blue from 0 to 1.
    pub fn shares(self) -> [f32; 3] {
        self.channels.map(|value| f32::from(value) / 255.0)
    }

    /// Amounts of red, green and blue light, from 0 to 1.
    fn light(self) -> [f64; 3] {
        self.channels.map(|value| {
            let value = f64::from(value) / 255.0;
            if value <= 0.040_45 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
        })
    }

    /// The colour that it shows as an ink on a paper: ink lets the paper through, so the paper's colour
    /// times the ink's, channel by channel as they are written (sRGB). An approximation, for no printer's
    /// inks are known here; white, which a printer leaves out, gives the paper itself. `mix-blend-mode:
    /// multiply` in a picture does the same.
    pub fn on_paper(self, paper: Self) -> Self {
        let product = |at: usize| {
            let product = u16::from(self.channels[at]) * u16::from(paper.channels[at]);
            u8::try_from((u32::from(product) + 127) / 255).unwrap_or(u8::MAX)
        };
        Self::new([0, 1, 2].map(product))
    }

    /// The colour between two, as they are written (sRGB): `share` of the other, from 0 to 1.
    pub fn mixed(self, other: Self, share: f64) -> Self {
        let share = share.clamp(0.0, 1.0);
        let between = |at: usize| {
            let [from, to] = [self, other].map(|color| f64::from(color.channels[at]));
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 255")]
            let value = (from + (to - from) * share).round().clamp(0.0, 255.0) as u8;
            value
        };
        Self::new([0, 1, 2].map(between))
    }

    /// How far apart two colours are to the eye: distance in CIE 1976 L*a*b*, by the white of sRGB (IEC
    /// 61966-2-1).
    pub fn difference(self, other: Self) -> f64 {
        let [one, other] = [self, other].map(Self::lab);
        (0..3).map(|at| (one[at] - other[at]).powi(2)).sum::<f64>().sqrt()
    }

    /// Lightness, green to red, blue to yellow.
    fn lab(self) -> [f64; 3] {
        let [red, green, blue] = self.light();
        let x = (0.412_456_4 * red + 0.357_576_1 * green + 0.180_437_5 * blue) / 0.950_47;
        let y = 0.212_672_9 * red + 0.715_152_2 * green + 0.072_175 * blue;
        let z = (0.019_333_9 * red + 0.119_192 * green + 0.950_304_1 * blue) / 1.088_83;
        let [x, y, z] = [x, y, z].map(|value: f64| {
            if value > 216.0 / 24389.0 {
                value.cbrt()
            } else {
                (24389.0 / 27.0 * value + 16.0) / 116.0
            }
        });
        [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
    }

    /// How light it looks, from 0 (black) to 1 (white): WCAG 2 relative luminance.
    pub fn luminance(self) -> f64 {
        let [red, green, blue] = self.light();
        0.2126 * red + 0.7152 * green + 0.0722 * blue
    }

    /// How well it is told from another, from 1 (not at all) to 21: WCAG 2 contrast ratio.
    pub fn contrast(self, other: Self) -> f64 {
        let [one, other] = [self, other].map(Self::luminance);
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    }
}

impl Default for Color {
    fn default() -> Self {
        Self::BLACK
    }
}

impl fmt::Display for Color {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.as_str())
    }
}

impl TryFrom<String> for Color {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        Self::parse(&text).ok_or_else(|| format!("`{text}` is not a colour; write `#rrggbb`"))
    }
}

impl From<Color> for String {
    fn from(color: Color) -> Self {
        color.as_str().to_owned()
    }
}
