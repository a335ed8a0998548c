//! Colours named by what they are: `pale blue`, `deep green`, `charcoal`.

use super::photo_colors::oklab;
use crate::model::Color;

/// Colours of less chroma in Oklab are greys, of less than the second have a tint (common practice, no
/// source).
const GREY: f64 = 0.02;
const TINT: f64 = 0.05;
/// Of colours lighter than this a fainter tint is seen.
const PALE: f64 = 0.9;
const FAINT: f64 = 0.008;
/// Greys by their lightness in Oklab, from the lightest.
const GREYS: [(f64, &str); 5] =
    [(0.95, "white"), (0.82, "pale grey"), (0.6, "grey"), (0.4, "slate"), (0.0, "charcoal")];
/// Hues by the degrees in Oklab at which they end (the hues of sRGB's red, yellow, green, cyan, blue and
/// magenta lie at 29, 110, 142, 195, 264 and 328).
const HUES: [(f64, &str); 11] = [
    (15.0, "rose"),
    (42.0, "red"),
    (72.0, "orange"),
    (95.0, "gold"),
    (115.0, "yellow"),
    (160.0, "green"),
    (215.0, "teal"),
    (275.0, "blue"),
    (315.0, "violet"),
    (345.0, "plum"),
    (360.0, "rose"),
];
/// How light a colour is, by its lightness.
const LIGHTNESS: [(f64, &str); 5] =
    [(0.88, "pale "), (0.72, "light "), (0.5, ""), (0.36, "deep "), (0.0, "dark ")];

/// What a colour is called.
pub(super) fn name(color: Color) -> String {
    let [light, a, b] = oklab(color);
    let chroma = a.hypot(b);
    let of = |list: &[(f64, &'static str)]| {
        list.iter().find(|(least, _)| light >= *least).map_or("", |(_, name)| name)
    };
    let least = if light > PALE { FAINT } else { GREY };
    if chroma < least {
        return of(&GREYS).to_owned();
    }
    let degrees = b.atan2(a).to_degrees().rem_euclid(360.0);
    let hue = HUES.iter().find(|(end, _)| degrees <= *end).map_or("rose", |(_, name)| name);
    // Orange and gold of little chroma are what one calls brown and sand.
    let hue = match hue {
        "red" | "orange" if light < 0.6 && chroma < 0.12 => "brown",
        "orange" | "gold" | "yellow" if light > PALE && chroma < TINT => return "cream".to_owned(),
        "orange" | "gold" | "yellow" if light > 0.72 && chroma < 0.08 => "sand",
        "gold" | "yellow" if light < 0.6 => "olive",
        hue => hue,
    };
    let greyish = if chroma < TINT && hue != "sand" && light < 0.88 { "greyish " } else { "" };
    format!("{}{greyish}{hue}", of(&LIGHTNESS))
}
