//! Why a print does not show on its paper as it is written, and the way out.

use std::num::NonZeroU64;

use crate::model::Color;

use super::super::ink::NO_INK;

/// The least contrast of type and what it stands on, and of large type: WCAG 2.2, criterion 1.4.3.
const TYPE: f64 = 4.5;
const LARGE_TYPE: f64 = 3.0;
/// Type of so many points counts as large there.
const LARGE: f64 = 18.0;
/// The least contrast of lines. Half of what WCAG 2.2, criterion 1.4.11, asks of graphics that have to be
/// understood: lines to write on are pale on purpose, but not gone (common practice, no source).
const LINES: f64 = 1.5;
/// The least contrast of black marks that eye or machine has to find: WCAG 2.2, criterion 1.4.11.
const MARKS: f64 = 3.0;
/// From here on a colour is another one: distance in CIE 1976 L*a*b*, of which 2.3 are just noticed (Mahy et
/// al., Color Research and Application 19, 1994). On cream and sand print stays below, on kraft not.
const ANOTHER_COLOR: f64 = 30.0;
/// The black of crop and registration marks.
const BLACK: Color = Color::BLACK;
/// Pieces named in one warning at most.
const MOST_NAMED: usize = 4;

/// Something printed.
pub(in crate::layout) struct Printed<'a> {
    /// What carries it, as messages name it.
    pub id: &'a str,
    /// The piece that the warning is linked to.
    pub piece: &'a str,
    /// Its line in the spec.
    pub line: Option<NonZeroU64>,
    /// The papers it is printed on.
    pub papers: &'a [usize],
    /// The colour all over, if there is one, and the key that sets it.
    pub ground: Option<Color>,
    pub ground_key: &'static str,
    /// Whether a picture covers it.
    pub picture: bool,
    /// Type and lines.
    pub inks: Vec<Inked>,
}

/// What is printed in one ink.
pub(in crate::layout) struct Inked {
    pub what: Impairment,
    pub ink: Color,
}

/// What an ink is for.
#[derive(Clone, Copy, PartialEq)]
pub(in crate::layout) enum Impairment {
    /// Words of so many points.
    Type(f64),
    /// A line round the edge.
    Rule,
    /// Lines all over.
    Hatch,
}

impl Impairment {
    const fn name(self) -> &'static str {
        match self {
            Self::Type(_) => "type",
            Self::Rule => "rule",
            Self::Hatch => "hatch",
        }
    }

    fn least(self) -> f64 {
        match self {
            Self::Type(points) if points < LARGE => TYPE,
            Self::Type(_) => LARGE_TYPE,
            Self::Rule | Self::Hatch => LINES,
        }
    }
}

/// Prints that a warning is about: all of one cause.
pub(in crate::layout) struct Alike {
    /// The cause.
    pub(super) cause: Cause,
    /// What carries them.
    pub(super) ids: Vec<String>,
    /// The warning, by number.
    pub(super) warning: usize,
}

/// Why a print does not show on its paper as it is written.
#[derive(PartialEq)]
pub(in crate::layout) struct Cause {
    /// The paper, by place.
    paper: usize,
    /// Whether the paper is at fault, not the ink.
    pub(super) unlike: bool,
    /// What shows otherwise.
    faults: Vec<Fault>,
    pub(super) way_out: WayOut,
}

/// Something that shows otherwise than it is written; colours as written and as seen.
#[derive(PartialEq)]
enum Fault {
    /// The colour all over, by the key that sets it.
    Ground { key: &'static str, ink: Color, seen: Color },
    /// The white of a picture.
    Picture { white: Color },
    /// What can't be told from its ground: of what kind, and by how much.
    Faint { what: &'static str, ink: Color, seen: Color, under: Color, contrast: f64 },
    /// Lines that show as another colour.
    Hatch { ink: Color, seen: Color },
    /// Marks that hardly show.
    Marks { contrast: f64 },
}

/// What to do about it.
#[derive(PartialEq)]
pub(super) enum WayOut {
    /// Another ink, which gives a contrast of `least`.
    OtherInk { least: f64, darker: bool },
    /// Another paper, with the `key` that sets the colour all over; or a pen, for what is faint.
    OtherPaper { key: &'static str, faint_type: bool, faint_lines: bool },
}

impl Cause {
    /// Looks at a print on a paper of some colour.
    pub(super) fn look(printed: &Printed<'_>, paper: usize, color: Color) -> Option<Self> {
        let seen = |ink: Color| ink.on_paper(color);
        let changes = |ink: Color| ink.difference(seen(ink)) >= ANOTHER_COLOR;
        let (mut faults, mut unlike) = (Vec::new(), false);
        // What is faint, and whether a darker ink would be better than none.
        let mut faint: Vec<(Impairment, bool)> = Vec::new();
        let under = seen(printed.ground.unwrap_or(NO_INK));
        if let Some(ink) = printed.ground.filter(|ground| changes(*ground)) {
            faults.push(Fault::Ground { key: printed.ground_key, ink, seen: under });
            unlike = true;
        }
        if printed.picture && changes(NO_INK) {
            faults.push(Fault::Picture { white: seen(NO_INK) });
            unlike = true;
        }
        for &Inked { what, ink } in &printed.inks {
            let contrast = seen(ink).contrast(under);
            // What lies on a picture is judged by eye.
            if !printed.picture && contrast < what.least() {
                let [dark, bare] = [BLACK, NO_INK].map(|ink| seen(ink).contrast(under));
                faults.push(Fault::Faint {
                    what: what.name(),
                    ink,
                    seen: seen(ink),
                    under,
                    contrast,
                });
                unlike |= dark.max(bare) < what.least();
                faint.push((what, dark >= bare));
            } else if what == Impairment::Hatch && changes(ink) {
                faults.push(Fault::Hatch { ink, seen: seen(ink) });
                unlike = true;
            }
        }
        let contrast = BLACK.contrast(color);
        if unlike && contrast < MARKS {
            faults.push(Fault::Marks { contrast });
        }
        if faults.is_empty() {
            return None;
        }
        let way_out = WayOut::of(printed, unlike, &faint);
        Some(Self { paper, unlike, faults, way_out })
    }

    /// What carries the print, and what is the matter.
    pub(super) fn message(&self, ids: &[String], paper: &str) -> String {
        let faults: Vec<String> = self.faults.iter().map(Fault::told).collect();
        format!("{} on {paper}: {}", listed(ids), faults.join("; "))
    }
}

impl Fault {
    fn told(&self) -> String {
        match self {
            Self::Ground { key, ink, seen } => format!("the {key} {ink} shows as {seen}"),
            Self::Picture { white } => {
                format!("what is white in the picture shows as the paper, {white}")
            }
            Self::Faint { what, ink, seen, under, contrast } => {
                let shows = match *ink {
                    NO_INK => format!("white {what} shows the bare paper, {seen}"),
                    _ => format!("{what} in {ink} shows as {seen}"),
                };
                format!("{shows}, on {under}: a contrast of {contrast:.1} to 1")
            }
            Self::Hatch { ink, seen } => format!("the hatch in {ink} shows as {seen}"),
            Self::Marks { contrast } => {
                format!("black marks hardly show, with {contrast:.1} to 1")
            }
        }
    }
}

impl WayOut {
    fn of(printed: &Printed<'_>, unlike: bool, faint: &[(Impairment, bool)]) -> Self {
        let is_type = |(what, _): &&(Impairment, bool)| matches!(what, Impairment::Type(_));
        let faint_type = faint.iter().find(is_type);
        let faint_lines = faint.iter().find(|one| !is_type(one));
        if unlike {
            let (faint_type, faint_lines) = (faint_type.is_some(), faint_lines.is_some());
            return Self::OtherPaper { key: printed.ground_key, faint_type, faint_lines };
        }
        let of = faint_type.or(faint_lines);
        let (least, darker) = of.map_or((TYPE, true), |(what, dark)| (what.least(), *dark));
        Self::OtherInk { least, darker }
    }

    pub(super) fn told(&self) -> String {
        let (key, faint_type, faint_lines) = match *self {
            Self::OtherInk { least, darker } => {
                let word = if darker { "darker" } else { "lighter" };
                return format!("{least} to 1 can be read well: take a {word} `ink`");
            }
            Self::OtherPaper { key, faint_type, faint_lines } => (key, faint_type, faint_lines),
        };
        let mut help = "ink lets the paper through, and a printer has no white".to_owned();
        help += match faint_type {
            true => ": print on light paper, where a dark ",
            false => ": print on light paper",
        };
        if faint_type {
            help += &format!("`{key}` leaves light type bare, or write with a light pen");
        }
        if faint_lines {
            help +=
                ", or let the machine draw the lines with a light pen (the piece's own `hatch`)";
        }
        help
    }
}

fn listed(ids: &[String]) -> String {
    let named: Vec<String> = ids.iter().take(MOST_NAMED).map(|id| format!("`{id}`")).collect();
    match ids.len().saturating_sub(MOST_NAMED) {
        0 => named.join(", "),
        more => format!("{} and {more} more", named.join(", ")),
    }
}
