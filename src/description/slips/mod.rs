//! Slips of the pen that YAML trips over, found where they were made and told in plain words.
//!
//! A reader of YAML stops where it can't go on, often lines after the slip: a bracket that is never closed
//! is noticed at the end. So where it stops, the text is looked through from its beginning for what
//! a person may have meant otherwise. [`Slips::of`] knows enough of YAML 1.2 for that (block and flow
//! collections, quotes, block scalars, comments) and never decides what a spec says.

mod flow;
mod value;

use std::num::NonZeroU64;

use super::Place;

/// Slips of one text that are kept: who has mended these sees the rest.
const MOST_SLIPS: usize = 200;
/// Lines before the place where the reader stopped in which a likely slip may be its cause.
const LINES_BEFORE: u64 = 2;

/// A slip and what to do about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Slip {
    pub place: Place,
    pub message: String,
    pub help: String,
    /// Whether it can't be sound YAML; else it is only looked at near the place where reading stopped.
    pub sure: bool,
}

/// An opening bracket that waits for its closing one.
#[derive(Clone, Copy)]
struct Open {
    sign: char,
    place: Place,
    /// Columns before the line's text, where the bracket opened.
    indent: usize,
}

/// What was found in a text.
#[derive(Default)]
pub(super) struct Slips {
    /// What may be wrong, in the order of the text.
    pub found: Vec<Slip>,
    /// Values that a comment cuts off, likely against what was meant.
    pub cut: Vec<Slip>,
    flow: Vec<Open>,
    /// Where in brackets a comment took away closing ones.
    comment: Option<Place>,
    /// Colons in the entry of a bracket that is being read.
    colons: usize,
    quote: Option<Open>,
    /// Whether a line like `key: value` stood within the quotes that are open.
    key_in_quote: bool,
    /// Columns before the key whose block of text is being read.
    block: Option<usize>,
    indents: Vec<usize>,
    /// Whether the last key has its value on its own line.
    has_value: bool,
    key: String,
}

/// One line, and where it begins in the text.
#[derive(Clone, Copy)]
struct YamlLine<'a> {
    text: &'a str,
    number: u64,
    offset: usize,
}

impl YamlLine<'_> {
    fn place(&self, from: usize, length: usize) -> Place {
        Place {
            line: NonZeroU64::new(self.number),
            offset: self.offset + from,
            length: length.max(1),
        }
    }
}

impl Slips {
    /// Looks through a text.
    pub fn of(text: &str) -> Self {
        let mut slips = Self::default();
        let (mut offset, mut number) = (0, 0);
        for whole in text.split_inclusive('\n') {
            number += 1;
            let line = YamlLine { text: whole.trim_end_matches(['\n', '\r']), number, offset };
            offset += whole.len();
            slips.line(line);
        }
        slips.never_closed();
        if let Some(quote) = slips.quote.take() {
            slips.unclosed_quote(quote);
        }
        slips.found.sort_by_key(|slip| slip.place.offset);
        slips
    }

    /// The likeliest cause of what the reader tripped over on a line.
    pub fn cause(&self, line: Option<NonZeroU64>) -> Option<&Slip> {
        let before = |slip: &&Slip| slip.place.line <= line;
        let reach = |slip: &Slip| slip.place.line.map(|line| line.saturating_add(LINES_BEFORE));
        let near = |slip: &&Slip| reach(slip) >= line;
        let sure = self.found.iter().filter(before).find(|slip| slip.sure);
        let likely = self.found.iter().filter(before).filter(near).find(|slip| !slip.sure);
        match (sure, likely) {
            (Some(sure), Some(likely)) if likely.place.offset < sure.place.offset => Some(likely),
            (Some(sure), _) => Some(sure),
            (None, likely) => likely.or_else(|| self.cut.iter().filter(before).find(near)),
        }
    }

    fn add(
        &mut self,
        place: Place,
        sure: bool,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        if self.found.len() < MOST_SLIPS {
            self.found.push(Slip { place, message: message.into(), help: help.into(), sure });
        }
    }

    fn line(&mut self, line: YamlLine<'_>) {
        let indent = line.text.len() - line.text.trim_start_matches([' ', '\t']).len();
        let text = &line.text[indent..];
        if let Some(parent) = self.block {
            if text.is_empty() || indent > parent {
                return;
            }
            self.block = None;
        }
        if self.quote.is_some() {
            self.key_in_quote |= begins_with_key(text);
            if let Some(end) = self.end_of_quote(line, 0)
                && self.after_quote(line, end)
            {
                self.flow(line, end, indent);
            }
            return;
        }
        if text.is_empty() || text.starts_with('#') {
            return;
        }
        if let Some(outermost) = self.flow.first().copied() {
            let is_outside = begins_with_key(text) || text.starts_with("- ");
            if !(is_outside && indent <= outermost.indent) {
                self.flow(line, indent, indent);
                return;
            }
            self.never_closed();
        }
        if let Some(tab) = line.text[..indent].find('\t') {
            let message = "a tab is used to indent this line";
            let help = "YAML takes only spaces there: write two of them for each step";
            self.add(line.place(tab, 1), true, message, help);
        }
        self.in_block(line, indent);
    }

    /// A line that lies in no bracket.
    fn in_block(&mut self, line: YamlLine<'_>, indent: usize) {
        if line.text.starts_with("---") || line.text.starts_with("...") {
            return;
        }
        self.step(line, indent);
        let mut at = indent;
        while let Some(rest) = line.text[at..].strip_prefix("- ") {
            at = line.text.len() - rest.trim_start().len();
            if self.indents.last().is_none_or(|last| *last < at) {
                self.indents.push(at);
            }
            self.has_value = false;
        }
        let text = &line.text[at..];
        let dash = text.strip_prefix('-').is_some_and(begins_with_key);
        if dash {
            let help = format!("write `- {}`", text[1..].split(' ').next().unwrap_or_default());
            self.add(line.place(at, 1), false, "there is no space after the dash", help);
        }
        match value::key(text) {
            Some(end) => {
                self.key = text[..end].trim_matches(['"', '\'']).to_owned();
                let value = at + end + 1;
                let value = line.text.len() - line.text[value..].trim_start().len();
                self.has_value = self.value(line, value, at, true);
            }
            None => {
                self.glued(line, at);
                self.has_value = self.value(line, at, at, false) && self.has_value;
            }
        }
    }

    /// How a line is indented against those before it.
    fn step(&mut self, line: YamlLine<'_>, indent: usize) {
        if !begins_with_key(line.text[indent..].trim_start_matches("- ")) {
            return;
        }
        let deepest = self.indents.last().copied();
        while self.indents.last().is_some_and(|last| *last > indent) {
            self.indents.pop();
        }
        let last = self.indents.last().copied();
        if last == Some(indent) {
            return;
        }
        let stepped_back = deepest.is_some_and(|deepest| deepest > indent);
        if stepped_back && last.is_some() {
            let message = "this line is indented like none of the lines it could belong to";
            let help = "begin it under the first letter of the key it stands beside";
            self.add(line.place(0, indent), true, message, help);
        } else if self.has_value && deepest.is_some() {
            let message = "this line is indented deeper than the one before, which has its value";
            let help = "begin it under the first letter of the key it stands beside";
            self.add(line.place(0, indent), true, message, help);
        }
        self.indents.push(indent);
    }

    /// `key:value`, with nothing between.
    fn glued(&mut self, line: YamlLine<'_>, at: usize) {
        let text = &line.text[at..];
        let Some((key, value)) = text.split_once(':') else { return };
        if !value::is_key(key) || value.is_empty() || value.starts_with("//") {
            return;
        }
        let help = format!("write `{key}: {}`", value.split(" #").next().unwrap_or_default());
        self.add(line.place(at + key.len(), 1), false, "there is no space after the colon", help);
    }

    fn unclosed_quote(&mut self, quote: Open) {
        let help = format!("end the value with {} on this line", quote.sign);
        self.add(quote.place, true, "this quote is never closed", help);
    }
}

/// Whether a line begins with `key:`.
fn begins_with_key(text: &str) -> bool {
    value::key(text).is_some()
}
