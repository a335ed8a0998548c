//! Colours as they are written, `#rrggbb`, and how light they look.

/// A colour of the record, or a plain grey if it isn't one: nothing else gets into an attribute.
pub(crate) fn color(text: &str) -> &str {
    let digits = text.strip_prefix('#').unwrap_or_default();
    let is_color = digits.len() == 6 && digits.bytes().all(|digit| digit.is_ascii_hexdigit());
    if is_color { text } else { "#9a948a" }
}

/// Red, green and blue of a colour of the record.
fn bytes(text: &str) -> [u8; 3] {
    [1, 3, 5].map(|from| {
        let digits = color(text).get(from..from + 2).unwrap_or("80");
        u8::from_str_radix(digits, 16).unwrap_or(128)
    })
}

/// Red, green and blue of a colour of the record, from 0 to 1.
pub(crate) fn channels(text: &str) -> [f32; 3] {
    bytes(text).map(|value| f32::from(value) / 255.0)
}

/// Amounts of red, green and blue light, from 0 to 1.
fn light(text: &str) -> [f64; 3] {
    bytes(text).map(|value| {
        let value = f64::from(value) / 255.0;
        if value <= 0.040_45 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
    })
}

/// The colour that an ink shows on a paper: ink lets the paper through, so the paper's colour times the
/// ink's, channel by channel as they are written (sRGB). An approximation, for no printer's inks are known
/// here; white, which a printer leaves out, gives the paper itself. `mix-blend-mode: multiply` in a picture
/// does the same.
pub(crate) fn on_paper(ink: &str, paper: &str) -> String {
    let [ink, paper] = [ink, paper].map(bytes);
    let product = |at: usize| (u32::from(ink[at]) * u32::from(paper[at]) + 127) / 255;
    format!("#{:02x}{:02x}{:02x}", product(0), product(1), product(2))
}

/// How far apart two colours are to the eye: distance in CIE 1976 L*a*b*, by the white of sRGB (IEC
/// 61966-2-1).
pub(crate) fn difference(one: &str, other: &str) -> f64 {
    let [one, other] = [one, other].map(lab);
    (0..3).map(|at| (one[at] - other[at]).powi(2)).sum::<f64>().sqrt()
}

/// Lightness, green to red, blue to yellow.
fn lab(text: &str) -> [f64; 3] {
    let [red, green, blue] = light(text);
    let x = (0.412_456_4 * red + 0.357_576_1 * green + 0.180_437_5 * blue) / 0.950_47;
    let y = 0.212_672_9 * red + 0.715_152_2 * green + 0.072_175 * blue;
    let z = (0.019_333_9 * red + 0.119_192 * green + 0.950_304_1 * blue) / 1.088_83;
    let [x, y, z] = [x, y, z].map(|value: f64| {
        if value > 216.0 / 24389.0 { value.cbrt() } else { (24389.0 / 27.0 * value + 16.0) / 116.0 }
    });
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

/// How light a colour looks, from 0 (black) to 1 (white): WCAG 2 relative luminance.
pub(crate) fn luminance(text: &str) -> f64 {
    let [red, green, blue] = light(text);
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

/// How well one colour is told from another, from 1 (not at all) to 21: WCAG 2 contrast ratio.
pub(crate) fn contrast(one: &str, other: &str) -> f64 {
    let [one, other] = [luminance(one), luminance(other)];
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}
