//! How good a fit is, with a reason for each point lost.

use crate::model::Facing;

use super::fit::{Fit, Rank};
use super::frame::inches;
use super::reading::Sketch;
use super::wanted::Wanted;

/// Share of the pages that photos cover on a page that looks full and calm (own choice, looked at).
const CALM: [f64; 2] = [0.30, 0.55];
/// Points that are lost (own choice, looked at): for the whole share too many or too few, for white in
/// rooms, holes in banks, pages that carry unlike, photos that look out, edges apart, a light photo in the
/// heaviest place, a photo at another size than its print.
const COVERED: f64 = 90.0;
const WHITE: f64 = 30.0;
const HOLES: f64 = 40.0;
const UNLIKE: f64 = 20.0;
const LOOKING_OUT: f64 = 8.0;
const APART: f64 = 4.0;
const LIGHT: f64 = 6.0;
const RESIZED: f64 = 30.0;
/// Points that are lost for all of every picture cropped away, and the share that goes without saying.
const CROPPED: f64 = 45.0;
const TRIMMED: f64 = 0.06;
/// Points that are lost for pictures in other forms at least, and for each that has few dots.
const OTHER_FORM: f64 = 0.5;
const COARSE: f64 = 2.0;
/// Photos that a reason names.
const MOST_NAMED: usize = 4;

impl Rank {
    fn judge(&mut self, lost: f64, fault: String, merit: &str) {
        if lost >= 0.5 {
            self.faults.push((fault, lost));
        } else if !merit.is_empty() {
            self.merits.push(merit.to_owned());
        }
    }
}

/// Ranks a fit. `asked` are the photos as they were before it, `missed` the groups of edges that lie apart,
/// `close` the pairs of photos of neighbouring rooms that stand close.
pub(super) fn rank(
    fit: &Fit,
    sketch: &Sketch,
    asked: &[Wanted],
    [missed, close]: [usize; 2],
) -> Rank {
    let mut rank = Rank::default();
    let pages = fit.pages.len() as f64;
    let page = (fit.marks[0] * fit.marks[1]) as f64;
    let photo_area = |on: Option<usize>| -> f64 {
        let photos = fit.photos.iter().filter(|photo| on.is_none_or(|page| photo.page == page));
        photos.map(|photo| (photo.field.size[0] * photo.field.size[1]) as f64).sum()
    };
    let covered = photo_area(None) / (page * pages);
    let percent = (covered * 100.0).round();
    let [least, most] = CALM;
    let (off, what) = match covered {
        covered if covered < least => (least - covered, "leave the pages empty"),
        covered if covered > most => (covered - most, "crowd the pages"),
        _ => (0.0, ""),
    };
    let fault = format!("photos cover {percent} % and {what}");
    rank.judge(off * COVERED, fault, &format!("photos cover {percent} % of the pages"));
    cropped(fit, &mut rank);
    white(fit, &mut rank);
    if fit.pages.len() == 2 {
        let [left, right] = [0, 1].map(|page| photo_area(Some(page)));
        let unlike = (left - right).abs() / (left + right).max(1.0);
        let heavier = if left > right { "left" } else { "right" };
        let fault = format!("the {heavier} page carries more");
        rank.judge((unlike - 0.15).max(0.0) * UNLIKE, fault, "both pages carry alike");
    }
    looking(fit, &mut rank);
    let together = if sketch.keep.is_empty() { "" } else { "edges run on from photo to photo" };
    let fault = format!("{missed} rows of edges lie apart that keep together in the sketch");
    rank.judge(missed as f64 * APART, fault, together);
    let fault = "photos of neighbouring rooms stand close".to_owned();
    rank.judge((close as f64).min(3.0) * APART, fault, "");
    weights(fit, &mut rank);
    resized(fit, asked, &mut rank);
    let lost: f64 = rank.faults.iter().map(|(_, lost)| lost).sum();
    rank.score = ((100.0 - lost).max(0.0) * 10.0).round() / 10.0;
    rank
}

/// White in rooms, and holes in banks.
fn white(fit: &Fit, rank: &mut Rank) {
    let (mut white, mut room, mut holes, mut mats) = (0.0, 0.0, 0.0, 0.0);
    for (number, bank) in fit.banks.iter().enumerate() {
        if fit.photos.iter().all(|photo| photo.bank != number) {
            continue;
        }
        let area = |size: [i64; 2]| (size[0] * size[1]) as f64;
        white += (area(bank.room.size) - area(bank.field.size)).max(0.0);
        room += area(bank.room.size);
        let inner = area(bank.field.size.map(|side| side - 2 * bank.bank.reveal));
        let photos = fit.photos.iter().filter(|photo| photo.bank == number);
        let own = bank.each.map_or(0, |(_, shows)| shows);
        let photos: f64 = photos.map(|photo| area(photo.field.widened(own).size)).sum();
        // A mat of which much shows is heavier than white between photos.
        let heavy = if bank.bank.mat.is_some() { 2.0 } else { 1.0 };
        holes += heavy * (inner - photos).max(0.0);
        mats += inner;
    }
    let white = white / f64::max(room, 1.0);
    let fault = format!("{} % of the room for photos stays white", (white * 100.0).round());
    rank.judge((white - 0.25).max(0.0) * WHITE, fault, "photos fill their rooms");
    let holes = holes / f64::max(mats, 1.0);
    rank.judge((holes - 0.08).max(0.0) * HOLES, "rows are uneven".to_owned(), "rows end together");
}

/// Pictures of which much is cropped away, and those that have few dots for their print.
fn cropped(fit: &Fit, rank: &mut Rank) {
    let photos = || fit.photos.iter().map(|photo| &fit.wanted[photo.photo]);
    let all = photos().count().max(1) as f64;
    let mut named: Vec<String> = Vec::new();
    let (mut of_others, mut of_own) = (0.0, 0.0);
    for photo in photos() {
        match photo.cropped {
            Some(shape) => {
                of_others += photo.lost();
                named.push(format!("{} is cropped to {}", photo.name, shape.name()));
            }
            None => of_own += photo.lost(),
        }
    }
    if !named.is_empty() {
        let lost = (of_others / all * CROPPED).max(OTHER_FORM);
        rank.judge(lost, listed(&named), "");
    }
    if photos().any(Wanted::is_to_print) {
        let mean = of_own / all;
        let fault = format!("prints leave out {:.0} % of their pictures", mean * 100.0);
        let whole = if named.is_empty() { "prints show nearly all of their pictures" } else { "" };
        rank.judge((mean - TRIMMED) * CROPPED, fault, whole);
    }
    let coarse: Vec<String> = photos()
        .filter_map(|photo| {
            let dots = photo.too_few_dots()?;
            Some(format!("{} has {dots:.0} dots an inch", photo.name))
        })
        .collect();
    if !coarse.is_empty() {
        rank.judge(coarse.len() as f64 * COARSE, listed(&coarse), "");
    }
}

/// The first of a list of reasons, and how many more there are.
fn listed(reasons: &[String]) -> String {
    let told = reasons.iter().take(MOST_NAMED).cloned().collect::<Vec<_>>().join(", ");
    match reasons.len().saturating_sub(MOST_NAMED) {
        0 => told,
        more => format!("{told}, and {more} more"),
    }
}

fn looking(fit: &Fit, rank: &mut Rank) {
    let spread = fit.marks[0] as f64 * fit.pages.len() as f64;
    let out: Vec<&str> = fit
        .photos
        .iter()
        .filter(|photo| {
            let begins = fit.marks[0] as f64 * photo.page as f64;
            let middle = begins + photo.field.at[0] as f64 + photo.field.size[0] as f64 / 2.0;
            match fit.wanted[photo.photo].facing {
                Some(Facing::Left) => middle < spread / 3.0,
                Some(Facing::Right) => middle > spread * 2.0 / 3.0,
                None => false,
            }
        })
        .map(|photo| fit.wanted[photo.photo].name.as_str())
        .collect();
    let any = fit.wanted.iter().any(|photo| photo.facing.is_some());
    let fault = format!("{} looks out of the spread", out.join(", "));
    rank.judge(out.len() as f64 * LOOKING_OUT, fault, if any { "people look in" } else { "" });
}

/// Whether the largest photo has the heaviest place.
fn weights(fit: &Fit, rank: &mut Rank) {
    let weight = |bank: usize| fit.banks[bank].bank.weight;
    let heaviest = (0..fit.banks.len()).map(weight).fold(f64::MIN, f64::max);
    let lightest = (0..fit.banks.len()).map(weight).fold(f64::MAX, f64::min);
    let area = |size: [i64; 2]| size[0] * size[1];
    let sizes = || fit.photos.iter().map(|photo| area(photo.field.size));
    let (Some(largest), Some(smallest)) = (sizes().max(), sizes().min()) else { return };
    if heaviest - lightest < 1e-6 || largest == smallest {
        return;
    }
    let there = fit
        .photos
        .iter()
        .any(|photo| area(photo.field.size) == largest && weight(photo.bank) >= heaviest - 1e-6);
    let fault = "the largest photo is not in the place of most weight".to_owned();
    rank.judge(if there { 0.0 } else { LIGHT }, fault, "the largest photo leads");
}

/// Photos that are printed at another size than a common print.
fn resized(fit: &Fit, asked: &[Wanted], rank: &mut Rank) {
    let mut change = 0.0;
    let mut most = 0;
    for photo in &fit.photos {
        for axis in [0, 1] {
            let (is, was) = (photo.field.size[axis], asked[photo.photo].size[axis]);
            change += (is - was).abs() as f64 / was.max(1) as f64;
            most = most.max((is - was).abs());
        }
    }
    let mean = change / (2.0 * fit.photos.len().max(1) as f64);
    let fault = format!("photos differ from common prints by up to {}", inches(most));
    rank.judge(mean * RESIZED, fault, "every photo keeps its size");
}
