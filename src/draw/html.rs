//! Pictures within HTML. Every word that comes from outside goes through [`maud`], which escapes it.

use maud::{Markup, PreEscaped, html};

use super::attributes::fixed;
use super::svg::Svg;

/// A picture within HTML, over a share of the width there is; `told` describes it for those who can't see it.
pub fn inline(picture: &Svg, told: &str, share: f64) -> Markup {
    let style =
        (share < 0.9999).then(|| format!("width:{}%", fixed((share * 1e4).round() / 100.0)));
    let [width, height] = picture.sides();
    html! {
        svg role="img" aria-label=(told) style=[style] width=(width) height=(height) viewBox=(picture.view()) {
            (PreEscaped(picture.elements()))
        }
    }
}
