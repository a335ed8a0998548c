//! What sketches make of the photos, on the terminal.

use cutleaf::description::{Problem, in_short};
use cutleaf::model::length::{Length, Size, Units};
use cutleaf::relations::MARKS_PER_INCH;
use cutleaf::sketch::wanted::Wanted;
use cutleaf::sketch::{Field, Fit, Offers, Papers, Proposals};

use super::super::{say, say_json};

/// Reasons of a fit that the table tells.
const MOST_REASONS: usize = 3;

/// The fits, the best first, then what can't take the photos.
pub fn table(offers: &Offers) {
    let names = offers.fits.iter().map(|fit| fit.sketch.as_str());
    let names = names.chain(offers.refusals.iter().map(|refusal| refusal.sketch.as_str()));
    let widest = names.map(|name| name.chars().count()).max().unwrap_or(0);
    for (number, fit) in offers.fits.iter().enumerate() {
        let faults = fit.rank.faults.iter().map(|(fault, lost)| format!("{fault} (-{lost:.0})"));
        let reasons: Vec<String> =
            faults.chain(fit.rank.merits.iter().cloned()).take(MOST_REASONS).collect();
        say(format_args!(
            "{:>3}  {:<widest$}  {:>3.0}  {}",
            number + 1,
            fit.sketch,
            fit.rank.score,
            reasons.join("; ")
        ));
    }
    for refusal in &offers.refusals {
        say(format_args!(
            "  -  {:<widest$}    -  {}: {}",
            refusal.sketch,
            in_short(&refusal.message),
            in_short(&refusal.help)
        ));
    }
}

/// Why no sketch can take the photos: the one that comes nearest.
pub fn nothing_fits(offers: &Offers, page: Size) -> Problem {
    let page = page.show(Units::Inches);
    let nearest = offers.refusals.iter().min_by_key(|refusal| refusal.excess.unwrap_or(i64::MAX));
    match (nearest, offers.refusals.len()) {
        (None, _) => Problem::input(
            format!("no sketch is made for pages of {page}"),
            "write one for it: docs/sketches.md tells how",
        ),
        (Some(one), 1) => Problem::input(
            format!("`{}` can't take these photos: {}", one.sketch, one.message),
            one.help.clone(),
        ),
        (Some(one), several) => Problem::input(
            format!("none of {several} sketches for pages of {page} can take these photos"),
            format!("`{}` comes nearest: {}; {}", one.sketch, one.message, one.help),
        ),
    }
}

/// Everything as data.
pub fn json(offers: &Offers, asked: &[Wanted], proposals: &Proposals) {
    let fits: Vec<serde_json::Value> = offers.fits.iter().map(fit).collect();
    let refused: Vec<serde_json::Value> = offers
        .refusals
        .iter()
        .map(|refusal| {
            serde_json::json!({
                "sketch": refusal.sketch, "message": refusal.message, "help": refusal.help,
            })
        })
        .collect();
    let photos: Vec<serde_json::Value> = asked
        .iter()
        .map(|photo| serde_json::json!({"name": photo.name, "size": photo.size.map(in_inches)}))
        .collect();
    let papers: Vec<serde_json::Value> = proposals.sets.iter().map(set).collect();
    let colors: Vec<serde_json::Value> = proposals
        .colors
        .iter()
        .map(|one| serde_json::json!({"color": one.color.as_str(), "share": one.share}))
        .collect();
    let mut told = serde_json::json!({
        "units": "in", "photos": photos, "papers": papers, "colors": colors, "fits": fits, "refused": refused,
    });
    if let Some(reason) = &proposals.not_from_stock {
        told["not_from_stock"] = reason.as_str().into();
    }
    say_json(&told);
}

/// Why no paper is taken from the stock, and which are instead; nothing where some are, or there is none.
pub fn stock_passed_over(proposals: &Proposals) {
    let Some(reason) = &proposals.not_from_stock else { return };
    let names: Vec<&str> =
        proposals.papers().parts.iter().map(|(_, name, _)| name.as_str()).collect();
    say(format_args!(
        "The stock's papers are not used: {reason}. Instead, to be bought: {}.",
        names.join(", ")
    ));
}

/// The sets of papers that the photos propose, with their reasons.
pub fn papers(proposals: &Proposals) {
    if proposals.colors.is_empty() {
        return;
    }
    for (number, papers) in (1..).zip(&proposals.sets) {
        let names: Vec<&str> = papers.parts.iter().map(|(_, name, _)| name.as_str()).collect();
        say(format_args!("Papers {number}: {}; {}", names.join(", "), papers.reason));
    }
}

fn set(papers: &Papers) -> serde_json::Value {
    let parts = papers.parts.iter().map(|(role, name, color)| {
        let part = format!("{role:?}").to_lowercase();
        (part, serde_json::json!({"paper": name, "color": color.as_str()}))
    });
    let parts: serde_json::Map<String, serde_json::Value> = parts.collect();
    serde_json::json!({
        "parts": parts, "reason": papers.reason, "from_stock": papers.from_stock,
    })
}

fn fit(fit: &Fit) -> serde_json::Value {
    let area = |field: Field| serde_json::json!({"at": field.at.map(in_inches), "size": field.size.map(in_inches)});
    let photos: Vec<serde_json::Value> = fit
        .photos
        .iter()
        .map(|photo| {
            serde_json::json!({
                "photo": fit.wanted[photo.photo].name,
                "room": fit.banks[photo.bank].id,
                "page": fit.pages[photo.page].name(),
                "area": area(photo.field),
            })
        })
        .collect();
    let banks: Vec<serde_json::Value> = fit
        .banks
        .iter()
        .map(|bank| {
            serde_json::json!({
                "room": bank.id, "page": fit.pages[bank.page].name(), "area": area(bank.field),
                "reveal": in_inches(bank.bank.reveal),
            })
        })
        .collect();
    let against: Vec<&str> = fit.rank.faults.iter().map(|(fault, _)| fault.as_str()).collect();
    serde_json::json!({
        "sketch": fit.sketch, "score": fit.rank.score, "for": fit.rank.merits, "against": against,
        "page": fit.page.to_inches(), "photos": photos, "banks": banks,
    })
}

fn in_inches(marks: i64) -> f64 {
    Length::part(marks, MARKS_PER_INCH).to_inches()
}
