//! What a printer makes of lengths: measured on its check ruler, stored, and taken back out of the
//! pages that follow.

use crate::model::Fault;
use serde::{Deserialize, Serialize};

use super::choices;
use crate::model::length::{Length, Units, parse_length};

/// Length of the check ruler across a page, in inches.
pub const RULER_INCHES: u32 = 6;
/// The same where lengths are shown in millimetres.
pub const RULER_MILLIMETRES: u32 = 150;
/// A printer that is off by more is set wrongly, such as to fit pages to the paper, which takes 3 % and more
/// off a letter page with a rim of 1/4 in all round (8 / 8.5 in): mending that comes first. Printers that
/// scale nothing are off by less than a hundredth (common practice, no source).
const MOST_OFF: f64 = 0.03;

/// What a printer makes of a length of 1, across the page and down.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scale {
    /// Across.
    pub across: f64,
    /// Down.
    pub down: f64,
}

/// What a printer makes of lengths, and who says so: its pages are corrected by it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnownScale {
    /// What it makes of them.
    pub scale: Scale,
    /// Who says so.
    pub told_by: ToldBy,
}

choices! {
    /// Who says what a printer makes of lengths.
    pub enum ToldBy, "source of a scale", usual Ruler {
        /// The spec.
        Spec = "spec",
        /// The printer's own ruler, as it was measured and stored.
        Ruler = "printer",
    }
}

impl Scale {
    /// A printer that prints lengths as they are.
    pub const TRUE: Self = Self { across: 1.0, down: 1.0 };

    /// Reads what the ruler measured: one length, or `across x down`. Inches (also without a unit) are
    /// held against [`RULER_INCHES`], millimetres against [`RULER_MILLIMETRES`].
    ///
    /// ```
    /// use cutleaf::model::printer::Scale;
    /// assert_eq!(Scale::measured("5.97").unwrap().across, 0.995);
    /// let scale = Scale::measured("5.97 x 5.99").unwrap();
    /// assert!((scale.down - 5.99 / 6.0).abs() < 1e-9);
    /// assert_eq!(Scale::measured("149.25 mm").unwrap().down, 0.995);
    /// assert!(Scale::measured("60").is_err());
    /// ```
    pub fn measured(text: &str) -> Result<Self, Fault> {
        let halves: Vec<&str> = text.split(['x', '×', 'X']).map(str::trim).collect();
        let unit_of_last = |first: &str| match halves.last() {
            Some(last) if first.ends_with(|end: char| end.is_ascii_digit()) => last
                .trim_start_matches(|letter: char| !letter.is_alphabetic() && letter != '"')
                .to_owned(),
            _ => String::new(),
        };
        match halves[..] {
            [both] => share(both).map(|share| Self { across: share, down: share }),
            [across, down] => {
                let across = format!("{across}{}", unit_of_last(across));
                Ok(Self { across: share(&across)?, down: share(down)? })
            }
            _ => Err(no_measure(text)),
        }
    }

    /// Whether it leaves lengths as they are.
    pub fn is_true(self) -> bool {
        self == Self::TRUE
    }

    /// Whether it is one that a printer may have.
    pub fn is_sound(self) -> bool {
        [self.across, self.down].iter().all(|share| (share - 1.0).abs() <= MOST_OFF + 1e-9)
    }

    /// What the ruler of 6 in measures on this printer.
    pub fn shown(self) -> String {
        let inches = |share: f64| {
            let text = format!("{:.3}", share * f64::from(RULER_INCHES));
            text.trim_end_matches('0').trim_end_matches('.').to_owned()
        };
        match self.across == self.down {
            true => format!("{} in for {RULER_INCHES} in", inches(self.across)),
            false => format!(
                "{} in across and {} in down for {RULER_INCHES} in",
                inches(self.across),
                inches(self.down)
            ),
        }
    }
}

/// What a measured ruler says of its printer.
fn share(text: &str) -> Result<f64, Fault> {
    let length = parse_length(text, Units::Inches).map_err(|_| no_measure(text))?;
    let whole = match text.contains("mm") || text.contains("cm") {
        true => Length::mm(f64::from(RULER_MILLIMETRES)),
        false => Length::inches(f64::from(RULER_INCHES)),
    };
    let share = length.to_inches() / whole.to_inches();
    if (share - 1.0).abs() <= MOST_OFF + 1e-9 {
        return Ok((share * 1e9).round() / 1e9);
    }
    Err(Fault {
        message: format!("a ruler that measures `{text}` is off by more than 3 %"),
        help:
            "no printer is that far off by itself: print a page at 100 %, with scaling and `fit to \
               page` off, and measure its ruler again"
                .to_owned(),
    })
}

fn no_measure(text: &str) -> Fault {
    Fault {
        message: format!("`{text}` is not what a ruler measures"),
        help: "write what six printed inches measured, such as 5.97, or across x down: 5.97 x 5.99"
            .to_owned(),
    }
}
