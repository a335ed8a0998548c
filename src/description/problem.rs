//! What is wrong with a spec, where, and what to do.

use std::fmt;

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};

use super::Place;
use super::printable::{in_short, printable};
use crate::model::Fault;

/// Problems of one file that are shown; who has mended these sees the rest.
const MOST_SHOWN: usize = 40;
/// Letters of a line that are shown before and after the place that a problem points at, so that a spec
/// on one long line is not printed whole.
const BESIDE: usize = 60;
/// Columns of the widest line that is shown whole: more than any line has, and less than what the renderer
/// can double.
const WIDEST_LINE: usize = 1 << 20;

/// Letters that are underlined at most.
const MOST_UNDERLINED: usize = 100;

/// Who has to act.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FaultKind {
    /// The spec, a font or a picture is at fault (exit code 1).
    Input,
    /// The spec is sound, but it can't be cut from the paper on hand (exit code 3).
    CannotCut,
}

/// One fault: what is wrong, where, what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// What is wrong, in a sentence.
    pub message: String,
    /// What to do about it.
    pub help: String,
    /// Where it stands, if it stands in the spec.
    pub place: Option<Place>,
    /// Who has to act.
    pub fault: FaultKind,
}

impl Problem {
    /// A fault of the spec at a place.
    pub fn at(place: Place, message: impl Into<String>, help: impl Into<String>) -> Self {
        let place = place.line.map(|_| place);
        Self { message: message.into(), help: help.into(), place, fault: FaultKind::Input }
    }

    /// A fault of the input that has no place in the spec.
    pub fn input(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self::at(Place::default(), message, help)
    }

    /// The same problem, told as one of paper and not of the spec.
    pub fn cannot_cut(self) -> Self {
        Self { fault: FaultKind::CannotCut, ..self }
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.place.and_then(|place| place.line) {
            write!(formatter, "line {line}: ")?;
        }
        write!(formatter, "{}: {}", self.message, self.help)
    }
}

impl std::error::Error for Problem {}

/// The problems of one file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problems(pub Vec<Problem>);

impl fmt::Display for Problems {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let all: Vec<String> = self.0.iter().map(Problem::to_string).collect();
        formatter.write_str(&all.join("\n"))
    }
}

impl std::error::Error for Problems {}

impl Problems {
    /// The exit code they call for.
    pub fn exit_code(&self) -> u8 {
        if self.0.iter().any(|problem| problem.fault == FaultKind::Input) { 1 } else { 3 }
    }

    /// The problems as a person reads them, each with its line underlined.
    pub fn render(&self, file: &str, text: &str, color: bool) -> String {
        let renderer = if color { Renderer::styled() } else { Renderer::plain() };
        let renderer = renderer.decor_style(DecorStyle::Unicode).term_width(WIDEST_LINE);
        let mut page = String::new();
        for problem in self.0.iter().take(MOST_SHOWN) {
            page.push_str(&problem.render(&renderer, &printable(file), text));
            page.push_str("\n\n");
        }
        if let Some(more @ 1..) = self.0.len().checked_sub(MOST_SHOWN) {
            page.push_str(&format!("and {more} more; mend these first\n"));
        }
        page
    }
}

impl From<Fault> for Problem {
    fn from(fault: Fault) -> Self {
        Self::input(fault.message, fault.help)
    }
}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Self(vec![problem])
    }
}

impl Problem {
    fn render(&self, renderer: &Renderer, file: &str, text: &str) -> String {
        let mut group = Group::with_title(Level::ERROR.primary_title(in_short(&self.message)));
        if let Some(place) = self.place {
            let line = ShownLine::around(text, place);
            let number = place.line.and_then(|line| usize::try_from(line.get()).ok()).unwrap_or(0);
            let snippet = Snippet::source(line.shown)
                .line_start(number)
                .annotation(AnnotationKind::Primary.span(line.from..line.to));
            // The renderer counts columns in the line it is given, which may be a part of the whole.
            group = if line.column == line.shown_column {
                group.element(snippet.path(file))
            } else {
                let origin = Origin::path(file).line(number).char_column(line.column);
                group.element(origin).element(snippet)
            };
        }
        if !self.help.is_empty() {
            group = group.element(Level::HELP.message(in_short(&self.help)));
        }
        renderer.render(&[group])
    }
}

/// The part of a line that is shown, and the bytes in it that are underlined.
struct ShownLine {
    shown: String,
    from: usize,
    to: usize,
    /// Column of the place in the file, in letters from 1.
    column: usize,
    /// Column of the place in what is shown.
    shown_column: usize,
}

impl ShownLine {
    fn around(text: &str, place: Place) -> Self {
        let offset = boundary(text, place.offset);
        let start = text[..offset].rfind(['\n', '\r']).map_or(0, |end| end + 1);
        let before = &text[start..offset];
        let rest = text[offset..].split(['\n', '\r']).next().unwrap_or_default();
        let length = boundary(rest, place.length.max(1));
        let end = letters(&rest[..length], MOST_UNDERLINED);
        let after = letters(&rest[end..], BESIDE);
        let column = before.chars().count() + 1;
        let skipped = (column - 1).saturating_sub(BESIDE);
        let skip = letters(before, if skipped < BESIDE { 0 } else { skipped });
        let mut shown = String::from(if skip > 0 { "…" } else { "" });
        shown.push_str(&printable(&before[skip..]));
        let shown_column = shown.chars().count() + 1;
        let from = shown.len();
        shown.push_str(&printable(&rest[..end]));
        let to = shown.len();
        shown.push_str(&printable(&rest[end..end + after]));
        if end + after < rest.len() {
            shown.push('…');
        }
        Self { shown, from, to, column, shown_column }
    }
}

/// The byte at which a letter begins, at or before `at`.
fn boundary(text: &str, at: usize) -> usize {
    (0..=at.min(text.len())).rev().find(|&at| text.is_char_boundary(at)).unwrap_or(0)
}

/// The bytes of the first letters of a text.
fn letters(text: &str, most: usize) -> usize {
    text.char_indices().nth(most).map_or(text.len(), |(at, _)| at)
}
