//! Colours as they are written, `#rrggbb`, and how light they look.

/// A colour of the record, or a plain grey if it isn't one: nothing else gets into an attribute.
pub(crate) fn color(text: &str) -> &str {
    let digits = text.strip_prefix('#').unwrap_or_default();
    let is_color = digits.len() == 6 && digits.bytes().all(|digit| digit.is_ascii_hexdigit());
    if is_color { text } else { "#9a948a" }
}

/// Red, green and blue of a colour of the record, from 0 to 1.
pub(crate) fn channels(text: &str) -> [f32; 3] {
    [1, 3, 5].map(|from| {
        let digits = color(text).get(from..from + 2).unwrap_or("80");
        f32::from(u8::from_str_radix(digits, 16).unwrap_or(128)) / 255.0
    })
}

/// How light a colour looks, from 0 (black) to 1 (white): WCAG 2 relative luminance.
pub(crate) fn luminance(text: &str) -> f64 {
    let [red, green, blue] = channels(text).map(|value| {
        let value = f64::from(value);
        if value <= 0.040_45 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
    });
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

/// How well one colour is told from another, from 1 (not at all) to 21: WCAG 2 contrast ratio.
pub(crate) fn contrast(one: &str, other: &str) -> f64 {
    let [one, other] = [luminance(one), luminance(other)];
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}
