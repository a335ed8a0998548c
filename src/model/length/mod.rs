//! One length type for everything that is measured, cut or printed.
//!
//! A [`Length`] is a whole number of nanometres (1 in = 25 400 000 nm), so three 4 in pieces always
//! fit on 12 in and 1/64 in is exact. A [`LengthSum`] is what a person writes: a length, a fraction of
//! the page, or a sum of both such as `1/3 page - 1/8`. Both are read by one parser and shown by one
//! formatter, so a ruler fraction looks the same in a message, the proof and the guide.

mod error;
mod measure;
mod terms;

use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use super::choices;

pub use measure::{LengthSum, Measure, Sides, parse_length, parse_sides, sides};

/// Nanometres in an inch (exact: the inch is 25.4 mm, international yard and pound agreement, 1959).
pub(crate) const NANOMETRES_PER_INCH: i64 = 25_400_000;
/// Points in an inch (PDF user space, ISO 32000-1, 8.3.2.3).
const POINTS_PER_INCH: i64 = 72;

/// A length, exact to the nanometre.
///
/// ```
/// use cutleaf::model::length::Length;
/// assert_eq!(Length::inches(4.0) * 3, Length::inches(12.0));
/// assert_eq!(Length::mm(25.4), Length::inches(1.0));
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length(i64);

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self(0);

    /// A length of `nanometres`.
    pub const fn nanometres(nanometres: i64) -> Self {
        Self(nanometres)
    }

    /// A length of `count` parts, `parts` of which make an inch: `Length::part(3, 16)` is 3/16 in.
    pub const fn part(count: i64, parts: i64) -> Self {
        Self(count * NANOMETRES_PER_INCH / parts)
    }

    /// A length in inches, rounded to the nanometre.
    #[expect(clippy::cast_possible_truncation, reason = "lengths stay far below 2^53 nm")]
    pub fn inches(inches: f64) -> Self {
        Self((inches * NANOMETRES_PER_INCH as f64).round() as i64)
    }

    /// A length in inches as a record tells it, on the grid of [`rounded`]: the round length that is told so,
    /// if one is. A4 paper is 210 mm wide, which a record tells as 8.2677165 in, a nanometre less.
    ///
    /// ```
    /// use cutleaf::model::{length::Length, rounded};
    /// let told = rounded(Length::mm(210.0).to_inches());
    /// assert_eq!(Length::of_record(told), Length::mm(210.0));
    /// assert_ne!(Length::inches(told), Length::mm(210.0));
    /// ```
    pub fn of_record(inches: f64) -> Self {
        /// What lengths are written in: micrometres, and 64ths of an inch, which are multiples of 625 nm.
        const ROUND: [i64; 2] = [1_000, 625];
        let Self(nearest) = Self::inches(inches);
        let told_so = |length: &i64| rounded(Self(*length).to_inches()) == rounded(inches);
        let is_round = |parts: i64| move |length: &i64| length % parts == 0;
        let near = || (nearest - 2..=nearest + 2).filter(told_so);
        let round = ROUND.into_iter().find_map(|parts| near().find(is_round(parts)));
        Self(round.unwrap_or(nearest))
    }

    /// A length in millimetres, rounded to the nanometre.
    pub fn mm(mm: f64) -> Self {
        Self::inches(mm / 25.4)
    }

    /// A length in points of 1/72 in, rounded to the nanometre.
    pub fn points(points: f64) -> Self {
        Self::inches(points / POINTS_PER_INCH as f64)
    }

    /// The length in nanometres.
    pub const fn to_nanometres(self) -> i64 {
        self.0
    }

    /// The length in inches.
    pub fn to_inches(self) -> f64 {
        self.0 as f64 / NANOMETRES_PER_INCH as f64
    }

    /// The length in millimetres.
    pub fn to_mm(self) -> f64 {
        self.0 as f64 / 1e6
    }

    /// The length in points of 1/72 in.
    pub fn to_points(self) -> f64 {
        self.to_inches() * POINTS_PER_INCH as f64
    }

    /// The length without its sign.
    pub const fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// The length as a craft ruler shows it: the nearest 1/32 in, without a unit.
    ///
    /// ```
    /// use cutleaf::model::length::Length;
    /// assert_eq!(Length::inches(4.5).ruler().text, "4 1/2");
    /// assert!(!Length::mm(114.0).ruler().exact);
    /// ```
    pub fn ruler(self) -> Ruler {
        const MARKS: i64 = 32;
        let nanometres_per_mark = NANOMETRES_PER_INCH / MARKS;
        let magnitude = self.0.saturating_abs();
        let marks = magnitude.saturating_add(nanometres_per_mark / 2) / nanometres_per_mark;
        let (whole, mut top, mut bottom) = (marks / MARKS, marks % MARKS, MARKS);
        while top != 0 && top % 2 == 0 {
            top /= 2;
            bottom /= 2;
        }
        let sign = if self.0 < 0 && marks > 0 { "-" } else { "" };
        let text = match (whole, top) {
            (_, 0) => format!("{sign}{whole}"),
            (0, _) => format!("{sign}{top}/{bottom}"),
            (_, _) => format!("{sign}{whole} {top}/{bottom}"),
        };
        // A nanometre of rounding is not a fault that a ruler could show.
        let exact = (marks * nanometres_per_mark - magnitude).abs() <= 2;
        Ruler { text, exact }
    }

    /// The length without its unit, as a spec in those units has it, if a ruler shows it exactly.
    ///
    /// ```
    /// use cutleaf::model::length::{Length, Units};
    /// assert_eq!(Length::inches(4.5).bare(Units::Inches).as_deref(), Some("4 1/2"));
    /// assert_eq!(Length::mm(114.0).bare(Units::Inches), None);
    /// ```
    pub fn bare(self, units: Units) -> Option<String> {
        match units {
            Units::Inches => {
                let ruler = self.ruler();
                ruler.exact.then_some(ruler.text)
            }
            Units::Millimetres => {
                let tenth = Self::mm(0.1);
                let is_exact = tenth * (self.0 / tenth.0) == self;
                is_exact.then(|| self.show(units).trim_end_matches(" mm").to_owned())
            }
        }
    }

    /// The length with its unit, as a person reads it: `4 1/2 in`, `about 4 1/2 in`, `114 mm`.
    pub fn show(self, units: Units) -> String {
        match units {
            Units::Inches => {
                let ruler = self.ruler();
                let about = if ruler.exact { "" } else { "about " };
                format!("{about}{} in", ruler.text)
            }
            Units::Millimetres => format!("{} mm", trim_zeros(&format!("{:.1}", self.to_mm()))),
        }
    }
}

/// A narrow width as a person reads it: what is nearer to nothing than to a ruler's finest mark is told
/// as under that mark.
///
/// ```
/// use cutleaf::model::length::{Units, narrow};
/// assert_eq!(narrow(0.01, Units::Inches), "under 1/32 in");
/// assert_eq!(narrow(0.0625, Units::Inches), "1/16 in");
/// ```
pub fn narrow(inches: f64, units: Units) -> String {
    let (mark, finest) = match units {
        Units::Inches => (1.0 / 32.0, "under 1/32 in"),
        Units::Millimetres => (0.1 / 25.4, "under 0.1 mm"),
    };
    if inches < mark / 2.0 { finest.to_owned() } else { Length::inches(inches).show(units) }
}

/// A length as a craft ruler shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ruler {
    /// Whole inches and a fraction in lowest terms, such as `4 1/2`.
    pub text: String,
    /// Whether the text is the length itself and not the nearest mark.
    pub exact: bool,
}

choices! {
    /// The unit in which lengths without one are read, and in which lengths are shown.
    pub enum Units, "unit", usual Inches {
        /// Inches, shown as ruler fractions.
        Inches = "in",
        /// Millimetres, shown with one decimal at most.
        Millimetres = "mm",
    }
}

/// Width and height.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Size {
    /// Left to right.
    pub width: Length,
    /// Top to bottom.
    pub height: Length,
}

impl Size {
    /// A size from its width and height.
    pub const fn new(width: Length, height: Length) -> Self {
        Self { width, height }
    }

    /// A size from a width and height in inches.
    pub fn inches(width: f64, height: f64) -> Self {
        Self::new(Length::inches(width), Length::inches(height))
    }

    /// A size from a pair of inches, as the record keeps it ([`Length::of_record`]).
    pub fn of_inches([width, height]: [f64; 2]) -> Self {
        Self::new(Length::of_record(width), Length::of_record(height))
    }

    /// The same size after a quarter turn.
    pub const fn turned(self) -> Self {
        Self { width: self.height, height: self.width }
    }

    /// The area in square inches.
    pub fn area(self) -> f64 {
        self.width.to_inches() * self.height.to_inches()
    }

    /// Whether `other` fits inside without turning.
    pub fn holds(self, other: Self) -> bool {
        other.width <= self.width && other.height <= self.height
    }

    /// Width and height in inches.
    pub fn to_inches(self) -> [f64; 2] {
        [self.width.to_inches(), self.height.to_inches()]
    }

    /// The size as a person reads it: `4 1/2 x 10 in`, `about 4 1/2 x 10 in`, `114 x 254 mm`.
    pub fn show(self, units: Units) -> String {
        let [width, height] = [self.width, self.height].map(|side| side.show(units));
        let bare = |side: &str| side.trim_start_matches("about ").to_owned();
        let about = if bare(&width) == width && bare(&height) == height { "" } else { "about " };
        let unit = match units {
            Units::Inches => " in",
            Units::Millimetres => " mm",
        };
        format!("{about}{} x {}", bare(width.trim_end_matches(unit)), bare(&height))
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Self) {
        self.0 -= other.0;
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<i64> for Length {
    type Output = Self;
    fn mul(self, count: i64) -> Self {
        Self(self.0 * count)
    }
}

impl Div<i64> for Length {
    type Output = Self;
    fn div(self, parts: i64) -> Self {
        Self(self.0 / parts)
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(lengths: I) -> Self {
        lengths.fold(Self::ZERO, Add::add)
    }
}

fn trim_zeros(number: &str) -> &str {
    number.trim_end_matches('0').trim_end_matches('.')
}

/// Inches as they are kept: rounded to 1e-7 in (2.5 nm), which no reader can measure.
pub fn rounded(number: f64) -> f64 {
    let rounded = (number * 1e7).round() / 1e7;
    if rounded == 0.0 { 0.0 } else { rounded }
}
