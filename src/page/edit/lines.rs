//! The lines of a text that is edited: where they begin and end, and what is taken from and put into them.

use std::ops::Range;

use super::Splice;
use super::between::Between;
use super::tree::Node;

/// A text that is edited.
pub(super) struct Edit<'a> {
    pub text: &'a str,
    pub root: &'a Node,
    /// Its comments, anchors and tags.
    pub between: Between,
}

impl<'a> Edit<'a> {
    /// A text, with the tree of its values.
    pub(super) fn of(text: &'a str, root: &'a Node) -> Self {
        Self { text, root, between: Between::of(text, root) }
    }

    pub(super) fn to_line_end(&self, range: Range<usize>) -> Range<usize> {
        range.start..self.lines(&range).end
    }

    /// Whole lines: from the start of the first to the end of the last, its line end included.
    pub(super) fn lines(&self, range: &Range<usize>) -> Range<usize> {
        let start = self
            .text
            .get(..range.start)
            .and_then(|before| before.rfind('\n'))
            .map_or(0, |at| at + 1);
        let rest = self.text.get(range.end..).unwrap_or_default();
        let end = rest.find('\n').map_or(self.text.len(), |at| range.end + at + 1);
        start..end
    }

    pub(super) fn with_line_end(&self, lines: Range<usize>) -> Option<String> {
        let own = self.text.get(lines)?;
        Some(if own.ends_with('\n') { own.to_owned() } else { format!("{own}{}", self.line_end()) })
    }

    /// A line after the one in which a node ends.
    pub(super) fn new_line(&self, last: &Node, line: &str) -> Splice {
        let end = self.lines(&last.range).end;
        let own = self.text.get(..end).unwrap_or_default();
        if own.ends_with('\n') {
            put(end, format!("{line}{}", self.line_end()))
        } else {
            put(end, format!("{}{line}", self.line_end()))
        }
    }

    /// Where the dash of an item stands.
    pub(super) fn dash(&self, item: &Node) -> Option<usize> {
        let dash = self.between.end_before(self.text, item.range.start).checked_sub(1)?;
        (self.text.as_bytes().get(dash) == Some(&b'-')).then_some(dash)
    }

    /// How far from the start of its line a byte stands.
    pub(super) fn indent(&self, at: usize) -> usize {
        let before = self.text.get(..at).unwrap_or_default();
        before.len() - before.rfind('\n').map_or(0, |end| end + 1)
    }

    /// Whether only blanks stand before a byte on its line.
    pub(super) fn stands_first(&self, at: usize) -> bool {
        let line = self.text.get(at - self.indent(at)..at).unwrap_or_default();
        line.chars().all(|letter| letter == ' ')
    }

    /// The line end that the text has.
    pub(super) fn line_end(&self) -> &'static str {
        if self.text.contains("\r\n") { "\r\n" } else { "\n" }
    }

    /// A value that takes the place of nothing keeps its distance from the colon.
    pub(super) fn apart(&self, at: usize, value: String) -> String {
        let before = self.text.get(..at).unwrap_or_default();
        if before.ends_with(':') { format!(" {value}") } else { value }
    }
}

pub(super) fn put(at: usize, text: String) -> Splice {
    Splice { range: at..at, text }
}

pub(super) fn take(range: Range<usize>) -> Splice {
    Splice { range, text: String::new() }
}

/// The lines of a block, set in by another distance.
pub(super) fn moved(block: &str, old: usize, new: usize) -> Option<String> {
    let mut lines = block.split('\n');
    let mut text = lines.next()?.to_owned();
    for line in lines {
        text.push('\n');
        if line.trim().is_empty() {
            text.push_str(line);
        } else {
            text.push_str(&" ".repeat(new));
            text.push_str(
                line.get(old..)
                    .filter(|_| line.get(..old).is_some_and(|margin| margin.trim().is_empty()))?,
            );
        }
    }
    Some(text)
}
