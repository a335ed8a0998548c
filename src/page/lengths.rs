//! Lengths as she writes them: what stood there says in which form a new one is written.

use crate::model::length::{Length, LengthSum, Units, sides};

/// The finest ruler mark in a spec that the page writes: 1/64 in, which is exact in nanometres.
const PARTS: i64 = 64;
/// Shares of the page that stay shares: up to twelfths, the finest that a page is parted into by eye (common
/// practice, no source).
const MOST_SHARES: i64 = 12;
/// Decimals of inches, centimetres and points.
const DECIMALS: usize = 4;
/// Decimals of millimetres: a tenth is finer than a knife cuts.
const DECIMALS_OF_MM: usize = 1;

/// A length to take the place of what stood there: a share of the page stays one where a share says it, a
/// decimal stays a decimal, and a unit stays.
pub(super) fn like(old: &str, new: Length, page: Length, units: Units) -> String {
    let old = old.trim();
    if LengthSum::parse(old).is_ok_and(|sum| sum.is_share())
        && let Some(share) = share(new, page)
    {
        return share;
    }
    match unit_of(old) {
        Some(Unit::Mm) => format!("{} mm", millimetres(new)),
        Some(Unit::Cm) => format!("{} cm", decimal(new.to_mm() / 10.0)),
        Some(Unit::Points) => format!("{} pt", decimal(new.to_points())),
        Some(Unit::Inches("\"")) => format!("{}\"", inches(new, old.contains('.'))),
        Some(Unit::Inches(word)) => format!("{} {word}", inches(new, old.contains('.'))),
        None if units == Units::Millimetres => millimetres(new),
        None => inches(new, old.contains('.')),
    }
}

/// A length where none stood before.
pub(super) fn fresh(new: Length, units: Units) -> String {
    match units {
        Units::Millimetres => millimetres(new),
        Units::Inches => inches(new, false),
    }
}

/// A size to take the place of another: a side that stays keeps its letters.
pub(super) fn size_like(
    old: &str,
    new: [Length; 2],
    same: [bool; 2],
    page: [Length; 2],
    units: Units,
) -> Option<String> {
    let [width, height] = sides(old)?;
    let [across, down] = [width, height].map(str::trim);
    let across_at = old.find(across)?;
    let down_at = across_at + across.len() + old.get(across_at + across.len()..)?.find(down)?;
    let between = old.get(across_at + across.len()..down_at)?;
    let (before, after) = (old.get(..across_at)?, old.get(down_at + down.len()..)?);
    // `8 x 8 in`: the unit at the end is that of both sides.
    let unit = unit_of(down).filter(|_| unit_of(across).is_none());
    let one = |side: usize, text: &str| {
        if same.get(side) == Some(&true) {
            return Some(text.to_owned());
        }
        let (new, page) = (*new.get(side)?, *page.get(side)?);
        match (unit, side) {
            (Some(Unit::Mm), 0) => Some(millimetres(new)),
            (Some(Unit::Cm), 0) => Some(decimal(new.to_mm() / 10.0)),
            (Some(Unit::Points), 0) => Some(decimal(new.to_points())),
            (Some(Unit::Inches(_)), 0) => Some(inches(new, text.contains('.'))),
            _ => Some(like(text, new, page, units)),
        }
    };
    Some(format!("{before}{}{between}{}{after}", one(0, across)?, one(1, down)?))
}

#[derive(Clone, Copy, Debug, Eq, PartialEq)]
enum Unit {
    Mm,
    Cm,
    Points,
    Inches(&'static str),
}

/// The unit at the end of a length.
fn unit_of(text: &str) -> Option<Unit> {
    let text = text.trim_end();
    [
        ("mm", Unit::Mm),
        ("cm", Unit::Cm),
        ("pt", Unit::Points),
        ("inches", Unit::Inches("inches")),
        ("inch", Unit::Inches("inch")),
        ("in", Unit::Inches("in")),
        ("\"", Unit::Inches("\"")),
    ]
    .into_iter()
    .find_map(|(end, unit)| text.ends_with(end).then_some(unit))
}

/// A share of the page, if one of a few parts is just that long.
fn share(new: Length, page: Length) -> Option<String> {
    let (new, page) = (new.to_nanometres(), page.to_nanometres());
    (1..=MOST_SHARES).find_map(|parts| {
        let top = (new.checked_mul(parts)? + page / 2).checked_div_euclid(page)?;
        // Thirds of a page may be a nanometre off.
        let is_it = top > 0 && (top.checked_mul(page)? / parts - new).abs() <= 1;
        is_it.then(|| {
            if parts == 1 && top == 1 {
                "1 page".to_owned()
            } else if parts == 1 {
                format!("{top} page")
            } else {
                format!("{top}/{parts} page")
            }
        })
    })
}

/// Whole inches and a fraction, or decimals where these stood. What lies off the ruler goes to its nearest
/// mark: a moved piece whose box is of no whole measure can't lie on it with both its edges.
fn inches(length: Length, in_decimals: bool) -> String {
    if in_decimals {
        return decimal(length.to_inches());
    }
    let mark = Length::part(1, PARTS).to_nanometres();
    let nanometres = length.to_nanometres();
    let marks = (nanometres + mark / 2).div_euclid(mark);
    let (whole, mut top, mut bottom) = (marks.abs() / PARTS, marks.abs() % PARTS, PARTS);
    while top != 0 && top % 2 == 0 {
        (top, bottom) = (top / 2, bottom / 2);
    }
    let sign = if marks < 0 { "-" } else { "" };
    match (whole, top) {
        (_, 0) => format!("{sign}{whole}"),
        (0, _) => format!("{sign}{top}/{bottom}"),
        _ => format!("{sign}{whole} {top}/{bottom}"),
    }
}

fn millimetres(length: Length) -> String {
    rounded(length.to_mm(), DECIMALS_OF_MM)
}

fn decimal(number: f64) -> String {
    rounded(number, DECIMALS)
}

fn rounded(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
