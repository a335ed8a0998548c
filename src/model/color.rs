//! A colour as a spec writes it.

use std::fmt;

/// A colour of sRGB; written `#rrggbb`.
///
/// ```
/// use cutleaf::model::Color;
/// assert_eq!(Color::parse("#0B6E4F").unwrap().to_string(), "#0b6e4f");
/// assert_eq!(Color::parse("#12345"), None);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Color {
    /// Red, green and blue.
    pub channels: [u8; 3],
}

impl Color {
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
        Some(Self { channels })
    }
}

impl fmt::Display for Color {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [red, green, blue] = self.channels;
        write!(formatter, "#{red:02x}{green:02x}{blue:02x}")
    }
}
