//! What print looks like on its paper: ink lets the paper through, and white is no ink at all.
//!
//! Seen colours are those of [`color::on_paper`]. A warning names what shows, where it stands in the spec,
//! and the way out; one for each print and paper, however many pieces carry it.

use crate::color;
use crate::record::Warning;

use super::Layout;
use super::reading::Reader;
use super::story::{NO_INK, TYPE_INK};

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
const BLACK: &str = "#000000";
/// Pieces named in one warning at most.
const MOST_NAMED: usize = 4;
/// Kinds of the warnings: the ink is badly chosen, or no ink will do on that paper.
const LOW_CONTRAST: &str = "low contrast";
const UNLIKE: &str = "print and paper";

/// Something printed.
pub(super) struct Printed<'a> {
    /// What carries it, as messages name it.
    pub id: &'a str,
    /// The piece that the warning is linked to.
    pub piece: &'a str,
    /// Its line in the spec.
    pub line: u64,
    /// The papers it is printed on.
    pub papers: &'a [usize],
    /// The colour all over, empty if there is none, and the key that sets it.
    pub ground: &'a str,
    pub ground_key: &'static str,
    /// Whether a picture covers it.
    pub picture: bool,
    /// Type and lines.
    pub inks: Vec<Inked<'a>>,
}

/// What is printed in one ink.
pub(super) struct Inked<'a> {
    pub what: What,
    pub ink: &'a str,
}

/// What an ink is for.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum What {
    /// Words of so many points.
    Type(f64),
    /// A line round the edge.
    Rule,
    /// Lines all over.
    Hatch,
}

impl What {
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

/// The ink of words and lines where none is written: dark, or none at all where that is told better from a
/// ground on all of these papers.
pub(super) fn usual_ink(layout: &Layout, papers: &[usize], ground: &str) -> &'static str {
    let on = papers.iter().filter_map(|&paper| layout.papers.get(paper));
    let colors: Vec<&str> = on.map(|paper| paper.color.as_str()).collect();
    let worst = |ink: &str| {
        let contrasts = colors.iter().map(|paper| {
            color::contrast(&color::on_paper(ink, paper), &color::on_paper(ground, paper))
        });
        contrasts.fold(f64::INFINITY, f64::min)
    };
    if !ground.is_empty() && worst(NO_INK) > worst(TYPE_INK) { NO_INK } else { TYPE_INK }
}

/// Warns of what won't show as it is written.
pub(super) fn tell(reader: &mut Reader<'_>, layout: &Layout, printed: &Printed<'_>) {
    let mut papers = printed.papers.to_vec();
    papers.sort_unstable();
    papers.dedup();
    for paper in papers.into_iter().filter_map(|paper| layout.papers.get(paper)) {
        let on = OnPaper::look(printed, &paper.color);
        if on.told.is_empty() {
            continue;
        }
        reader.warn(Warning {
            kind: if on.unlike { UNLIKE } else { LOW_CONTRAST }.to_owned(),
            message: format!("`{}` on {}: {}", printed.id, paper.name, on.told.join("; ")),
            help: on.help(printed),
            piece: printed.piece.to_owned(),
            line: printed.line,
        });
    }
}

/// A print as it shows on one paper.
struct OnPaper {
    /// What is not as it was written.
    told: Vec<String>,
    /// Whether the paper is at fault, not the ink.
    unlike: bool,
    /// What can't be told from its ground, and whether a darker ink would be better than none.
    faint: Vec<(What, bool)>,
}

impl OnPaper {
    fn look(printed: &Printed<'_>, paper: &str) -> Self {
        let seen = |ink: &str| color::on_paper(ink, paper);
        let changes = |ink: &str| color::difference(ink, &seen(ink)) >= ANOTHER_COLOR;
        let mut on = Self { told: Vec::new(), unlike: false, faint: Vec::new() };
        let ground = if printed.ground.is_empty() { NO_INK } else { printed.ground };
        let under = seen(ground);
        if !printed.ground.is_empty() && changes(ground) {
            on.told.push(format!("the {} {ground} shows as {under}", printed.ground_key));
            on.unlike = true;
        }
        if printed.picture && changes(NO_INK) {
            on.told
                .push(format!("what is white in the picture shows as the paper, {}", seen(NO_INK)));
            on.unlike = true;
        }
        for Inked { what, ink } in &printed.inks {
            let ratio = color::contrast(&seen(ink), &under);
            // What lies on a picture is judged by eye.
            if !printed.picture && ratio < what.least() {
                let shows = match *ink {
                    NO_INK => format!("white {} shows the bare paper, {}", what.name(), seen(ink)),
                    _ => format!("{} in {ink} shows as {}", what.name(), seen(ink)),
                };
                on.told.push(format!("{shows}, on {under}: a contrast of {ratio:.1} to 1"));
                let [dark, bare] = [BLACK, NO_INK].map(|ink| color::contrast(&seen(ink), &under));
                on.unlike |= dark.max(bare) < what.least();
                on.faint.push((*what, dark >= bare));
            } else if *what == What::Hatch && changes(ink) {
                on.told.push(format!("the hatch in {ink} shows as {}", seen(ink)));
                on.unlike = true;
            }
        }
        let marks = color::contrast(BLACK, paper);
        if on.unlike && marks < MARKS {
            on.told.push(format!("black marks hardly show, with {marks:.1} to 1"));
        }
        on
    }

    /// The way out.
    fn help(&self, printed: &Printed<'_>) -> String {
        let is_type = |(what, _): &&(What, bool)| matches!(what, What::Type(_));
        let faint_type = self.faint.iter().find(is_type);
        let faint_lines = self.faint.iter().find(|one| !is_type(one));
        if !self.unlike {
            let of = faint_type.or(faint_lines);
            let (least, darker) = of.map_or((TYPE, true), |(what, dark)| (what.least(), *dark));
            let word = if darker { "darker" } else { "lighter" };
            return format!("{least} to 1 can be read well: take a {word} `ink`");
        }
        let key = printed.ground_key;
        let mut help = "ink lets the paper through, and a printer has no white".to_owned();
        help += match faint_type {
            Some(_) => ": print on light paper, where a dark ",
            None => ": print on light paper",
        };
        if faint_type.is_some() {
            help += &format!("`{key}` leaves light type bare, or write with a light pen");
        }
        if faint_lines.is_some() {
            help +=
                ", or let the machine draw the lines with a light pen (the piece's own `hatch`)";
        }
        help
    }
}

/// The warnings with those of one cause made one, which names the pieces.
pub(super) fn once_a_cause(warnings: Vec<Warning>) -> Vec<Warning> {
    let mut kept: Vec<(Warning, String, Vec<String>)> = Vec::new();
    for warning in warnings {
        let ours = [LOW_CONTRAST, UNLIKE].contains(&warning.kind.as_str());
        let split = warning.message.split_once(" on ").filter(|_| ours);
        let (id, cause) = split.map_or(("", ""), |(id, cause)| (id, cause));
        let (id, cause) = (id.to_owned(), cause.to_owned());
        let alike = kept.iter_mut().find(|(one, other, _)| {
            ours && *other == cause && one.kind == warning.kind && one.help == warning.help
        });
        match alike {
            Some((_, _, ids)) => ids.push(id),
            None => kept.push((warning, cause, vec![id])),
        }
    }
    kept.into_iter()
        .map(|(warning, cause, ids)| match ids.len() {
            1 => warning,
            _ => Warning { message: format!("{} on {cause}", listed(&ids)), ..warning },
        })
        .collect()
}

fn listed(ids: &[String]) -> String {
    let named = ids.get(..MOST_NAMED).unwrap_or(ids).join(", ");
    match ids.len().saturating_sub(MOST_NAMED) {
        0 => named,
        more => format!("{named} and {more} more"),
    }
}
