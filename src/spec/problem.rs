//! What is wrong with a spec, where, and what to do.

use std::fmt;

use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, NamedSource};

use super::Place;

/// Who has to act.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
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
    pub fault: Fault,
}

impl Problem {
    /// A fault of the spec at a place.
    pub fn at(place: Place, message: impl Into<String>, help: impl Into<String>) -> Self {
        let place = (place.line > 0).then_some(place);
        Self { message: message.into(), help: help.into(), place, fault: Fault::Input }
    }

    /// A fault of the input that has no place in the spec.
    pub fn input(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self::at(Place::default(), message, help)
    }

    /// The same problem, told as one of paper and not of the spec.
    pub fn cannot_cut(self) -> Self {
        Self { fault: Fault::CannotCut, ..self }
    }
}

/// The problems of one file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problems(pub Vec<Problem>);

impl Problems {
    /// The exit code they call for.
    pub fn exit_code(&self) -> u8 {
        if self.0.iter().any(|problem| problem.fault == Fault::Input) { 1 } else { 3 }
    }

    /// The problems as a person reads them, each with its line underlined.
    pub fn render(&self, file: &str, text: &str, color: bool) -> String {
        let theme =
            if color { GraphicalTheme::unicode() } else { GraphicalTheme::unicode_nocolor() };
        let handler = GraphicalReportHandler::new_themed(theme).with_width(100);
        let mut page = String::new();
        for problem in &self.0 {
            let report = Report { problem, source: NamedSource::new(file, text.to_owned()) };
            if handler.render_report(&mut page, &report).is_err() {
                page.push_str(&problem.message);
            }
        }
        page
    }
}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Self(vec![problem])
    }
}

/// A problem beside the text it points into.
#[derive(Debug)]
struct Report<'a> {
    problem: &'a Problem,
    source: NamedSource<String>,
}

impl fmt::Display for Report<'_> {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.problem.message)
    }
}

impl std::error::Error for Report<'_> {}

impl Diagnostic for Report<'_> {
    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        (!self.problem.help.is_empty())
            .then(|| Box::new(&self.problem.help) as Box<dyn fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn miette::SourceCode> {
        self.problem.place.is_some().then_some(&self.source as &dyn miette::SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let place = self.problem.place?;
        let text = self.source.inner();
        let offset = place.offset.min(text.len());
        let length = place.length.max(1).min(text.len() - offset);
        Some(Box::new(std::iter::once(LabeledSpan::at(offset..offset + length, "here"))))
    }
}
