//! Reads the numbers of a length: mixed ones, fractions, units, signs between them.

use super::Units;
use super::error::unreadable;
use crate::model::Fault;

/// A fraction with a positive bottom.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Ratio {
    pub top: i128,
    pub bottom: i128,
}

impl Default for Ratio {
    fn default() -> Self {
        Self { top: 0, bottom: 1 }
    }
}

/// A number of a sum and the unit written behind it, if any.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Term {
    pub number: Ratio,
    pub unit: Option<Unit>,
}

/// What a number is measured in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unit {
    Inch,
    Millimetre,
    Centimetre,
    Point,
    Page,
}

impl Unit {
    /// Its sign.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Point => "pt",
            Self::Page => "page",
        }
    }
}

impl From<Units> for Unit {
    fn from(units: Units) -> Self {
        match units {
            Units::Inches => Self::Inch,
            Units::Millimetres => Self::Millimetre,
        }
    }
}

/// The terms of a sum, as they are written.
pub(super) fn terms(text: &str) -> Result<Vec<Term>, Fault> {
    Reader { rest: plain(text).trim(), whole: text }.terms()
}

/// The text in the signs that are read: fraction slashes (U+2044, U+2215) as `/`, raised and lowered
/// digits, as in `4¹⁄₁₆`, as digits, the first of them parted from a digit before it.
fn plain(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    let mut raised_before = false;
    for letter in text.chars() {
        let small = "⁰¹²³⁴⁵⁶⁷⁸⁹"
            .chars()
            .chain("₀₁₂₃₄₅₆₇₈₉".chars())
            .position(|small| small == letter)
            .and_then(|digit| char::from_digit(u32::try_from(digit % 10).ok()?, 10));
        if small.is_some() && !raised_before && plain.ends_with(|last: char| last.is_ascii_digit())
        {
            plain.push(' ');
        }
        raised_before = small.is_some();
        plain.push(match letter {
            '⁄' | '∕' => '/',
            letter => small.unwrap_or(letter),
        });
    }
    plain
}

/// Reads `term (+|- term)*`, a term being a number and perhaps a unit.
struct Reader<'a> {
    rest: &'a str,
    whole: &'a str,
}

impl Reader<'_> {
    fn terms(mut self) -> Result<Vec<Term>, Fault> {
        let mut terms = Vec::new();
        let mut negative = self.take("-") || self.take("−");
        loop {
            let mut number = self.number()?;
            if negative {
                number.top = -number.top;
            }
            terms.push(Term { number, unit: self.unit()? });
            self.skip_space();
            if self.rest.is_empty() {
                return Ok(terms);
            }
            negative = if self.take("+") {
                false
            } else if self.take("-") || self.take("−") {
                true
            } else {
                return Err(self.unreadable());
            };
        }
    }

    fn number(&mut self) -> Result<Ratio, Fault> {
        self.skip_space();
        if let Some(fraction) = self.glyph_fraction() {
            return Ok(fraction);
        }
        let begins_with_point = self.rest.starts_with('.');
        let digits = match self.digits() {
            Some(digits) => digits,
            None if begins_with_point => "0".to_owned(),
            None => return Err(self.unreadable()),
        };
        let whole = self.integer(&digits)?;
        if self.rest.starts_with('.') {
            self.rest = &self.rest[1..];
            let decimals = self.digits().ok_or_else(|| self.unreadable())?;
            let bottom = 10_i128.pow(u32::try_from(decimals.len()).unwrap_or(u32::MAX).min(12));
            let top = whole * bottom + self.integer(&decimals)?;
            return Ok(Ratio { top, bottom });
        }
        if self.rest.starts_with('/') {
            return self.over(whole);
        }
        // `4 1/2` and `4-1/2` are mixed numbers; `4 - 1/2` is a difference.
        let before = self.rest;
        if !self.rest.starts_with(char::is_whitespace) && self.take("-") || self.skip_space() {
            if let Some(top) = self.digits()
                && self.rest.starts_with('/')
            {
                let top = self.integer(&top)?;
                let fraction = self.over(top)?;
                return Ok(Ratio { top: whole * fraction.bottom + fraction.top, ..fraction });
            }
            self.rest = before;
            let spaced = self.skip_space();
            if let (true, Some(fraction)) = (spaced, self.glyph_fraction()) {
                return Ok(Ratio { top: whole * fraction.bottom + fraction.top, ..fraction });
            }
            self.rest = before;
        } else if let Some(fraction) = self.glyph_fraction() {
            return Ok(Ratio { top: whole * fraction.bottom + fraction.top, ..fraction });
        }
        Ok(Ratio { top: whole, bottom: 1 })
    }

    /// Reads `/ bottom` after `top`.
    fn over(&mut self, top: i128) -> Result<Ratio, Fault> {
        self.rest = &self.rest[1..];
        let digits = self.digits().ok_or_else(|| self.unreadable())?;
        let bottom = self.integer(&digits)?;
        if bottom == 0 {
            return Err(Fault::new(
                format!("`{}` divides by zero", self.whole.trim()),
                "write a fraction with a bottom of 2, 4, 8, 16 or 32",
            ));
        }
        Ok(Ratio { top, bottom })
    }

    fn glyph_fraction(&mut self) -> Option<Ratio> {
        let first = self.rest.chars().next()?;
        let (top, bottom) = match first {
            '½' => (1, 2),
            '¼' => (1, 4),
            '¾' => (3, 4),
            '⅓' => (1, 3),
            '⅔' => (2, 3),
            '⅛' => (1, 8),
            '⅜' => (3, 8),
            '⅝' => (5, 8),
            '⅞' => (7, 8),
            _ => return None,
        };
        self.rest = &self.rest[first.len_utf8()..];
        Some(Ratio { top, bottom })
    }

    fn unit(&mut self) -> Result<Option<Unit>, Fault> {
        self.skip_space();
        let end = self
            .rest
            .find(|letter: char| !(letter.is_alphabetic() || "\"″”".contains(letter)))
            .unwrap_or(self.rest.len());
        let (word, rest) = self.rest.split_at(end);
        let unit = match word {
            "" => None,
            "in" | "inch" | "inches" | "\"" | "″" | "”" => Some(Unit::Inch),
            "mm" => Some(Unit::Millimetre),
            "cm" => Some(Unit::Centimetre),
            "pt" | "point" | "points" => Some(Unit::Point),
            "page" | "pages" => Some(Unit::Page),
            _ => {
                let known = ["in", "inch", "inches", "mm", "cm", "pt", "point", "points", "page"];
                let near = crate::model::naming::nearest(word, known)
                    .map_or_else(String::new, |near| format!("did you mean `{near}`? "));
                return Err(Fault::new(
                    format!("`{word}` is not a unit"),
                    format!("{near}use in, mm, cm, pt or page"),
                ));
            }
        };
        self.rest = rest;
        Ok(unit)
    }

    fn digits(&mut self) -> Option<String> {
        let end = self.rest.find(|digit: char| !digit.is_ascii_digit()).unwrap_or(self.rest.len());
        let (digits, rest) = self.rest.split_at(end);
        self.rest = rest;
        (!digits.is_empty()).then(|| digits.to_owned())
    }

    fn integer(&self, digits: &str) -> Result<i128, Fault> {
        if digits.len() > 12 {
            return Err(Fault::new(
                format!("`{}` has more digits than a length needs", self.whole.trim()),
                "write at most 12 digits",
            ));
        }
        digits.parse().map_err(|_| self.unreadable())
    }

    fn take(&mut self, symbol: &str) -> bool {
        self.rest.strip_prefix(symbol).inspect(|rest| self.rest = rest).is_some()
    }

    fn skip_space(&mut self) -> bool {
        let trimmed = self.rest.trim_start();
        let skipped = trimmed.len() < self.rest.len();
        self.rest = trimmed;
        skipped
    }

    fn unreadable(&self) -> Fault {
        unreadable(self.whole)
    }
}
