//! What a person writes for a length or a size: sums, shares of the page, two sides, and what they come to.

use super::error::unreadable;
use super::terms::{Ratio, Term, Unit, terms};
use super::{Length, NANOMETRES_PER_INCH, POINTS_PER_INCH, Units};
use crate::model::Fault;

/// The longest length that is taken for one: nothing on a craft table is longer than this many inches.
const LONGEST_INCHES: i64 = 1_000;

/// A length as a person writes it: a sum of numbers, each with a unit, a share of the page, or bare. What
/// bare numbers mean is known once the spec's units are.
///
/// ```
/// use cutleaf::model::length::{Length, LengthSum, Units};
/// let sum = LengthSum::parse("1/3 page - 1/8").unwrap();
/// let page = Length::inches(12.0);
/// assert_eq!(sum.in_units(Units::Inches).unwrap().of(page), Length::inches(3.875));
/// assert_eq!(sum.text(), "1/3 page - 1/8");
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LengthSum {
    terms: Vec<Term>,
    text: String,
}

impl LengthSum {
    /// Reads a sum.
    pub fn parse(text: &str) -> Result<Self, Fault> {
        Ok(Self { terms: terms(text)?, text: text.to_owned() })
    }

    /// As it is written.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Whether a share of the page occurs in it.
    pub fn is_share(&self) -> bool {
        self.terms.iter().any(|term| term.unit == Some(Unit::Page))
    }

    /// What it comes to where bare numbers are in `units`, unless a later one of the sum has a unit.
    pub fn in_units(&self, units: Units) -> Result<Measure, Fault> {
        of_terms(&self.terms_in(units)?, units.into(), &self.text)
    }

    /// The terms; those without a unit have that of the next one that has one.
    fn terms_in(&self, units: Units) -> Result<Vec<Term>, Fault> {
        let mut terms = self.terms.clone();
        let (mut next, mut is_last) = (None, true);
        for term in terms.iter_mut().rev() {
            if term.unit.is_some_and(|unit| unit != Unit::Page) {
                if next.is_none() && !is_last {
                    // Bare numbers come after it.
                    let unit = term.unit.filter(|unit| *unit != units.into());
                    if let Some(unit) = unit {
                        return Err(two_meanings(&self.text, unit, units));
                    }
                }
                next = term.unit;
            } else if term.unit.is_none() {
                term.unit = next;
                is_last = false;
            }
        }
        Ok(terms)
    }
}

/// A size as a person writes it, `width x height`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sides {
    sides: Box<[Side; 2]>,
    text: String,
}

/// One side of a size, and as it is written.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Side {
    read: Result<LengthSum, Fault>,
    text: String,
}

impl Sides {
    /// Reads a size, whose sides may each be no length; nothing where the text is no size.
    pub fn parse(text: &str) -> Option<Self> {
        let halves = sides(text).filter(|halves| halves.iter().all(|half| !half.is_empty()))?;
        let sides = halves.map(|half| Side { read: LengthSum::parse(half), text: half.to_owned() });
        Some(Self { sides: Box::new(sides), text: text.to_owned() })
    }

    /// Width and height, where both are lengths.
    pub fn sums(&self) -> Option<[&LengthSum; 2]> {
        let [width, height] = self.sides.each_ref().map(|side| side.read.as_ref().ok());
        Some([width?, height?])
    }

    /// Width and height as they are written.
    pub fn texts(&self) -> [&str; 2] {
        self.sides.each_ref().map(|side| side.text.as_str())
    }

    /// What the sides come to. A first side without a unit has that of the last one, so that `8 x 8 in` means
    /// 8 in twice, whatever `units` says; a last side without one after a first that has another than `units`
    /// could mean two things and is no length.
    ///
    /// ```
    /// use cutleaf::model::length::{Length, Sides, Units};
    /// let [width, _] = Sides::parse("8 x 9 in").unwrap().in_units(Units::Millimetres);
    /// assert_eq!(width.unwrap().of(Length::ZERO), Length::inches(8.0));
    /// let [_, height] = Sides::parse("10 cm x 15").unwrap().in_units(Units::Inches);
    /// assert_eq!(height.unwrap_err().help, "write 10 cm x 15 cm, or 10 cm x 15 in");
    /// ```
    pub fn in_units(&self, units: Units) -> [Result<Measure, Fault>; 2] {
        let [first, mut last] = self.sides.each_ref().map(|side| match &side.read {
            Ok(side) => Ok((side.terms_in(units)?, &*side.text)),
            Err(error) => Err(error.clone()),
        });
        let mut bare = Unit::from(units);
        if let (Ok((before, _)), Ok((after, _))) = (&first, &last) {
            if !has_unit(before)
                && let Some(unit) = unit_of(after)
            {
                bare = unit;
            }
            if !has_unit(after)
                && after.iter().any(|term| term.unit.is_none())
                && let Some(unit) = unit_of(before).filter(|unit| *unit != units.into())
            {
                last = Err(two_meanings(&self.text, unit, units));
            }
        }
        let read = |side: Result<(Vec<Term>, &str), Fault>, bare| {
            let (terms, text) = side?;
            of_terms(&terms, bare, text)
        };
        [read(first, bare), read(last, units.into())]
    }
}

/// What a written length comes to: a fixed part and a share of the page.
///
/// ```
/// use cutleaf::model::length::{Length, Measure, Units};
/// let third = Measure::parse("1/3 page - 1/8", Units::Inches).unwrap();
/// assert_eq!(third.of(Length::inches(12.0)), Length::inches(3.875));
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Measure {
    fixed: Length,
    page_share: Ratio,
}

impl Measure {
    /// A measure that does not depend on the page.
    pub const fn fixed(fixed: Length) -> Self {
        Self { fixed, page_share: Ratio { top: 0, bottom: 1 } }
    }

    /// Reads a measure. A bare number is in `units`, unless a later one of the same sum has a unit.
    pub fn parse(text: &str, units: Units) -> Result<Self, Fault> {
        LengthSum::parse(text)?.in_units(units)
    }

    /// The length of this measure on a page that is `page` long in the measure's direction.
    #[expect(clippy::cast_possible_truncation, reason = "bounded by LONGEST_INCHES when read")]
    pub fn of(self, page: Length) -> Length {
        let share = i128::from(page.to_nanometres()) * self.page_share.top;
        self.fixed + Length::nanometres(divide_rounding(share, self.page_share.bottom) as i64)
    }
}

/// Reads a length in which no share of the page may occur.
pub fn parse_length(text: &str, units: Units) -> Result<Length, Fault> {
    let measure = Measure::parse(text, units)?;
    if measure.page_share.top != 0 {
        return Err(Fault::new(
            format!("`{text}` is a share of the page"),
            "write a length here, such as 1/2 or 12 mm",
        ));
    }
    Ok(measure.fixed)
}

/// The two sides of a size: `4 x 6`, `4 × 6`, `4 by 6`; nothing where it is none.
pub fn sides(text: &str) -> Option<[&str; 2]> {
    let halves: Vec<&str> = match text.split_once("by") {
        Some((width, height)) => vec![width, height],
        None => text.split(['x', '×', 'X']).collect(),
    };
    match halves[..] {
        [width, height] => Some([width.trim(), height.trim()]),
        _ => None,
    }
}

/// Reads the sides of a size ([`Sides`]), nothing where the text is none.
pub fn parse_sides(text: &str, units: Units) -> Option<[Result<Measure, Fault>; 2]> {
    Some(Sides::parse(text)?.in_units(units))
}

/// The quotient rounded half away from zero; `bottom` is positive.
fn divide_rounding(top: i128, bottom: i128) -> i128 {
    let half = if top < 0 { -bottom / 2 } else { bottom / 2 };
    (top + half) / bottom
}

/// Whether any of a side's numbers has a unit of length.
fn has_unit(side: &[Term]) -> bool {
    side.iter().any(|term| term.unit.is_some_and(|unit| unit != Unit::Page))
}

/// The unit that a side hands on to the other; a share of the page has none.
fn unit_of(side: &[Term]) -> Option<Unit> {
    let of_page = side.iter().any(|term| term.unit == Some(Unit::Page));
    side.iter().rev().find_map(|term| term.unit).filter(|_| !of_page)
}

/// A text that ends in a bare number after one with a unit that is not the spec's.
fn two_meanings(text: &str, unit: Unit, units: Units) -> Fault {
    let text = text.trim();
    let [one, other] = [unit, units.into()].map(Unit::name);
    Fault::new(
        format!("`{text}` doesn't say whether its last number is in {one} or {other}"),
        format!("write {text} {one}, or {text} {other}"),
    )
}

/// What a sum comes to; a bare number is in `bare`.
#[expect(clippy::cast_possible_truncation, reason = "clamped first")]
fn of_terms(terms: &[Term], bare: Unit, text: &str) -> Result<Measure, Fault> {
    let mut measure = Measure::default();
    for Term { number, unit } in terms {
        let inch = i128::from(NANOMETRES_PER_INCH);
        let (factor, divisor) = match unit.unwrap_or(bare) {
            Unit::Inch => (inch, 1),
            Unit::Millimetre => (1_000_000, 1),
            Unit::Centimetre => (10_000_000, 1),
            Unit::Point => (inch, i128::from(POINTS_PER_INCH)),
            Unit::Page => {
                let share = measure.page_share;
                measure.page_share = Ratio {
                    top: share.top * number.bottom + number.top * share.bottom,
                    bottom: share.bottom * number.bottom,
                };
                if measure.page_share.bottom > 1_000_000_000_000 {
                    return Err(unreadable(text));
                }
                continue;
            }
        };
        let nanometres = divide_rounding(number.top * factor, number.bottom * divisor);
        let bound = i128::from(NANOMETRES_PER_INCH) * i128::from(LONGEST_INCHES) * 2;
        measure.fixed += Length::nanometres(nanometres.clamp(-bound, bound) as i64);
    }
    let share = measure.page_share;
    if measure.fixed.abs() > Length::part(LONGEST_INCHES, 1)
        || share.top.abs() > i128::from(LONGEST_INCHES) * share.bottom
    {
        return Err(Fault::new(
            format!("`{}` is longer than {LONGEST_INCHES} inches", text.trim()),
            "write a length that fits on a table",
        ));
    }
    Ok(measure)
}
