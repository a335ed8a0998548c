//! The papers that are proposed, as swatches: each set as a small page with a mat, a strip and letters, and
//! why.

use kurbo::Rect;
use maud::{Markup, html};

use crate::draw::display_list::{Item, Outline, Paint, Shape};
use crate::draw::html::inline;
use crate::draw::svg::{Means, Pictures, Svg};

use super::color_names::name;
use super::drawing::{Brush, PHOTOS, shadow};
use super::file::Role;
use super::paper_sets::Proposals;
use super::papers::Papers;

/// Size of a swatch, in inches.
const SIZE: [f64; 2] = [6.0, 3.2];
/// The letters on a swatch.
const LETTERS: &str = "Ab";
/// Roles with what they are called.
const PARTS: [(Role, &str); 4] =
    [(Role::Base, "base"), (Role::Panel, "panels"), (Role::Mat, "mats"), (Role::Accent, "strips")];

/// The sets side by side, below the colours of the photos; nothing where the photos had no say.
pub(super) fn section(proposals: &Proposals, brush: &Brush<'_>) -> Markup {
    if proposals.colors.is_empty() {
        return html! {};
    }
    html! {
        h2 { "Papers" }
        p class="about" {
            "The colours of the photos: "
            @for (place, one) in proposals.colors.iter().enumerate() {
                @if place > 0 { ", " }
                span class="chip" style={ "background:" (one.color) } {}
                (name(one.color)) " " (format!("{:.0}", one.share * 100.0)) " %"
            }
        }
        ol class="sets" {
            @for (number, papers) in (1..).zip(&proposals.sets) {
                (card(papers, number, number == proposals.taken + 1, proposals, brush))
            }
        }
    }
}

fn card(
    papers: &Papers,
    number: usize,
    is_taken: bool,
    proposals: &Proposals,
    brush: &Brush<'_>,
) -> Markup {
    let own = Brush { papers, ..*brush };
    let items = swatch(proposals, &own);
    let [width, height] = SIZE;
    let prefix = format!("papers-{number}");
    let drawn = Svg::new(Rect::new(0.0, 0.0, width, height)).over(
        &items,
        Means { pictures: Pictures::In(PHOTOS), ..Means::lettered(&prefix, brush.label_font) },
    );
    html! {
        li class="card" {
            (inline(&drawn, &format!("Papers {number}"), 1.0))
            p class="about" {
                @if is_taken { "The sketches below are drawn in these. " }
                code { "--papers " (number) }
            }
            p { "Papers " (papers.reason) "." }
            ul class="parts" {
                @for (role, part) in PARTS {
                    li {
                        span class="chip" style={ "background:" (papers.of(role).1) } {}
                        (part) ": " (papers.of(role).0)
                    }
                }
            }
        }
    }
}

fn swatch<'a>(proposals: &'a Proposals, brush: &Brush<'a>) -> Vec<Item<'a>> {
    let [width, height] = SIZE;
    let rectangle = |left: f64, top: f64, right: f64, low: f64| Rect::new(left, top, right, low);
    let paper = |there: Rect, role: Role| brush.papered(Outline::Rectangle(there, 0.0), role);
    let mut items = paper(rectangle(0.0, 0.0, width, height), Role::Base);
    items.extend(paper(rectangle(0.0, 0.0, 1.9, height), Role::Panel));
    items.extend(paper(rectangle(0.0, 2.55, width, 2.85), Role::Accent));
    let mat = rectangle(0.9, 0.45, 3.3, 2.25);
    items.extend(shadow(mat));
    items.extend(paper(mat, Role::Mat));
    // A photo of their colours, each as wide as there is of it.
    let photo = mat.inset(-0.2);
    let all: f64 = proposals.colors.iter().map(|one| one.share).sum();
    let mut left = photo.x0;
    for one in &proposals.colors {
        let right = left + photo.width() * one.share / all.max(f64::MIN_POSITIVE);
        let part = Shape::rectangle(rectangle(left, photo.y0, right, photo.y1));
        items.push(part.filled(Paint::Ink(one.color.as_str(), 1.0)).into());
        left = right;
    }
    let roles = [Role::Mat, Role::Accent, Role::Panel];
    let told = |role: &Role| brush.papers.contrast(*role, Role::Base);
    let title =
        roles.into_iter().reduce(|best, role| if told(&role) > told(&best) { role } else { best });
    let letters = brush.lettering(LETTERS, 1.0, (3.75, 1.95).into());
    items.extend(brush.papered(Outline::Path(letters), title.unwrap_or(Role::Mat)));
    items
}
