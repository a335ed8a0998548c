//! What sketches make of the photos, on the terminal.

use cutleaf::description::{Problem, in_short};
use cutleaf::model::length::{Length, Size, Units};
use cutleaf::sketch::relations::MARKS_PER_INCH;
use cutleaf::sketch::wanted::Wanted;
use cutleaf::sketch::{Field, Fit, Offers};

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
pub fn json(offers: &Offers, asked: &[Wanted]) {
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
    say_json(&serde_json::json!({
        "units": "in", "photos": photos, "fits": fits, "refused": refused,
    }));
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
