//! All fits side by side on one page that opens from disk.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use kurbo::Rect;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use rayon::prelude::*;

use crate::draw::display_list::Item;
use crate::draw::html::inline;
use crate::draw::svg::{Means, Pictures, Svg};
use crate::lettering::fonts::Font;
use crate::model::Rect as Part;
use crate::picture::PictureFile;
use crate::picture::dots::small_copy;

use super::drawing::{Brush, PHOTOS};
use super::fit::{Fit, Refusal};
use super::offers::Offers;
use super::paper_sets::Proposals;
use super::swatches::section;
use super::wanted::Wanted;
use super::writing::Words;
use crate::relations::MARKS_PER_INCH;

/// Dots of a photo's longer side, as large as it is looked at.
const DOTS: u32 = 480;
/// Width of the row of photos on the table and the gap between two of them, in inches.
const TABLE: f64 = 44.0;
const GAP: f64 = 0.7;

/// The look of the page.
const STYLE: &str = "\
body { margin: 0; background: #f4efe6; color: #2f2a24; \
font: 1rem/1.5 ui-rounded, Seravek, Ubuntu, Calibri, system-ui, sans-serif; }\n\
main { max-width: 96rem; margin: auto; padding: 1.5rem clamp(1rem, 3vw, 2.5rem); }\n\
h1, h2, h3 { font-family: Palatino, P052, Georgia, serif; font-weight: 600; line-height: 1.15; }\n\
h1 { font-size: 2.4rem; margin: 0; }\n\
h3 { font-size: 1.35rem; margin: .9rem 0 .2rem; }\n\
.lead { color: #6d6253; font-size: 1.1rem; margin: .3rem 0 1.4rem; }\n\
.card { background: #fffdf8; border-radius: 6px; padding: 1rem; \
box-shadow: 0 1px 2px rgb(60 45 25 / .10), 0 6px 18px rgb(60 45 25 / .08); }\n\
.card svg { display: block; width: 100%; height: auto; border-radius: 3px; }\n\
.fits { display: grid; gap: 1.6rem; grid-template-columns: repeat(auto-fill, minmax(min(34rem, 100%), 1fr)); \
padding: 0; list-style: none; }\n\
.fits .single svg { width: 62%; margin: auto; }\n\
.points { float: right; font-size: 1.35rem; margin: .9rem 0 0; color: #6d6253; }\n\
.about { color: #6d6253; margin: 0 0 .5rem; }\n\
.why { margin: 0; padding: 0; list-style: none; columns: 2; }\n\
.why li { padding-left: 1.2em; text-indent: -1.2em; break-inside: avoid; }\n\
.for::before { content: \"+\\2002\"; color: #0b6e4f; font-weight: 700; }\n\
.against::before { content: \"\\2212\\2002\"; color: #b5541c; font-weight: 700; }\n\
code { white-space: nowrap; background: #efe8da; border-radius: 3px; padding: .1em .35em; font-size: .9em; }\n\
.sets { display: grid; gap: 1.2rem; grid-template-columns: repeat(auto-fill, minmax(min(20rem, 100%), 1fr)); \
padding: 0; list-style: none; }\n\
.sets p { margin: .5rem 0 0; }\n\
.parts { list-style: none; margin: .4rem 0 0; padding: 0; columns: 2; }\n\
.chip { display: inline-block; width: .9em; height: .9em; border-radius: 2px; margin-right: .35em; \
vertical-align: -.05em; border: 1px solid rgb(60 45 25 / .25); }\n\
.refused dt { font-weight: 600; margin-top: .7rem; }\n\
.refused dd { margin: 0; color: #6d6253; }\n\
@media print { body { background: none; } .card { box-shadow: none; break-inside: avoid; } }\n";

/// The gallery of fits as one HTML file. `label_font` sets the words in pictures, `title_font` is the
/// title's.
pub fn gallery(
    offers: &Offers,
    asked: &[Wanted],
    proposals: &Proposals,
    words: &Words,
    [label_font, title_font]: [&Font; 2],
) -> String {
    let photos = asked.iter().map(|photo| photo.picture.as_ref().map(|(file, _)| &**file));
    let files: Vec<Option<&PictureFile>> =
        photos.chain(proposals.picture_files(asked.len())).collect();
    let copies: Vec<Option<String>> = files.par_iter().map(|file| copy((*file)?)).collect();
    let brush = Brush { papers: proposals.papers(), title: &words.title, label_font, title_font };
    let photos = row(asked, &brush, &copies);
    let fits: Vec<Markup> = offers
        .fits
        .par_iter()
        .enumerate()
        .map(|(number, fit)| card(fit, number + 1, &brush))
        .collect();
    let count = |count: usize, one: &str, many: &str| {
        format!("{count} {}", if count == 1 { one } else { many })
    };
    let lead = format!(
        "{} in {}, the best first. Every measure lies on the ruler's sixteenths.",
        count(asked.len(), "photo", "photos"),
        count(offers.fits.len(), "sketch", "sketches")
    );
    let page = html! {
        (DOCTYPE) "\n"
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (words.name) ": sketches" }
                style { (PreEscaped(STYLE)) }
            }
            body {
                main {
                    h1 { (words.name) }
                    p class="lead" { (lead) }
                    h2 { "The photos" }
                    div class="card" { (inline(&photos, "The photos, to one scale", 1.0)) }
                    (section(proposals, &brush))
                    h2 { "Sketches" }
                    ol class="fits" { @for fit in &fits { (fit) } }
                    @if !offers.refusals.is_empty() { (refused(&offers.refusals)) }
                }
            }
        }
        "\n"
    };
    page.into_string().replace(|letter: char| letter != '\n' && letter.is_control(), " ")
}

fn card(fit: &Fit, number: usize, brush: &Brush<'_>) -> Markup {
    let picture = brush.fit(fit, &format!("fit-{number}"), PHOTOS);
    let single = fit.pages.len() == 1;
    html! {
        li class=(if single { "card single" } else { "card" }) {
            (inline(&picture, &fit.sketch, 1.0))
            p class="points" { (format!("{:.0}", fit.rank.score)) }
            h3 { (number) ". " (fit.sketch) }
            p class="about" { (fit.about) " " code { "--take " (number) } }
            ul class="why" {
                @for merit in &fit.rank.merits { li class="for" { (merit) } }
                @for (fault, lost) in &fit.rank.faults {
                    li class="against" { (fault) " (" (format!("{lost:.0}")) ")" }
                }
            }
        }
    }
}

fn refused(refusals: &[Refusal]) -> Markup {
    html! {
        h2 { "Sketches that can't take them" }
        dl class="card refused" {
            @for refusal in refusals {
                dt { (refusal.sketch) }
                dd { (sentence(&refusal.message)) " " (sentence(&refusal.help)) }
            }
        }
    }
}

/// A message as a sentence.
fn sentence(message: &str) -> String {
    let message = message.replace('`', "");
    let mut letters = message.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}

/// The photos on the table, to one scale.
fn row(asked: &[Wanted], brush: &Brush<'_>, copies: &[Option<String>]) -> Svg {
    let mut items: Vec<Item<'_>> = Vec::new();
    let (mut left, mut top, mut below, mut widest) = (GAP, GAP, GAP, 0.0_f64);
    for (number, photo) in asked.iter().enumerate() {
        let [width, height] = photo.size.map(|marks| marks as f64 / MARKS_PER_INCH as f64);
        if left > GAP && left + width + GAP > TABLE {
            (left, top) = (GAP, below + GAP);
        }
        let there = Rect::from_origin_size((left, top), (width, height));
        items.extend(brush.photo(photo, number, there));
        left += width + GAP;
        widest = widest.max(left);
        below = below.max(top + height);
    }
    let table = Rect::new(0.0, 0.0, widest.max(TABLE * 0.75), below + GAP);
    // Those of papers are shown by the swatches and the sketches.
    let of_papers: Vec<usize> = (asked.len()..copies.len()).collect();
    let addresses: Vec<Option<&str>> = copies.iter().map(Option::as_deref).collect();
    let pictures = Pictures::Here(&addresses);
    let means = Means { pictures, ..Means::lettered(PHOTOS, brush.label_font) };
    Svg::new(table).over_with(&items, means, &of_papers)
}

/// A small copy of a picture, whole, as an address that holds its data.
fn copy(file: &PictureFile) -> Option<String> {
    let seen = file.seen();
    let longer = seen[0].max(seen[1]).max(1);
    let most = seen.map(|side| (side * DOTS.min(longer) / longer).max(1));
    let whole = Part { at: [0.0; 2], size: seen.map(f64::from) };
    let jpeg = small_copy(file, &whole, most).ok()?;
    Some(format!("data:image/jpeg;base64,{}", STANDARD.encode(jpeg)))
}
