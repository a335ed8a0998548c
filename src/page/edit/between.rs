//! What stands between the values of a text: comments, anchors and tags.

use std::ops::Range;

use super::tree::{Form, Node};

/// What stands between the values of a text, in order.
#[derive(Debug, Default)]
pub(super) struct Between {
    /// Comments, from `#` to the end of the line, blanks at the end left out.
    pub comments: Vec<Range<usize>>,
    /// Anchors and tags, each before the value that it belongs to.
    pub properties: Vec<Range<usize>>,
}

impl Between {
    /// All of it in a text whose tree is `root`.
    pub(super) fn of(text: &str, root: &Node) -> Self {
        let mut values = Vec::new();
        ends(root, &mut values);
        values.sort_by_key(|range| (range.start, range.end));
        values.push(text.len()..text.len());
        let (mut found, mut at) = (Self::default(), 0);
        for value in values {
            found.look(text, at..value.start);
            at = at.max(value.end);
        }
        found
    }

    fn look(&mut self, text: &str, gap: Range<usize>) {
        let bytes = text.as_bytes();
        let is_blank = |byte: u8| matches!(byte, b' ' | b'\t' | b'\n' | b'\r');
        let mut at = gap.start;
        while at < gap.end {
            let before = at.checked_sub(1).and_then(|before| bytes.get(before)).copied();
            let rest = text.get(at..).unwrap_or_default();
            let stands_apart = before.is_none_or(is_blank);
            match bytes.get(at) {
                Some(b'#') if stands_apart => {
                    let line = rest.split('\n').next().unwrap_or_default().trim_end();
                    self.comments.push(at..at + line.len());
                    at += line.len();
                }
                Some(b'&' | b'!')
                    if stands_apart || before.is_some_and(|it| b"[{,:".contains(&it)) =>
                {
                    let ends = |letter: char| letter.is_whitespace() || ",[]{}".contains(letter);
                    let long = rest.find(ends).unwrap_or(rest.len());
                    self.properties.push(at..at + long);
                    at += long;
                }
                _ => at += 1,
            }
        }
    }

    /// Where a value begins, its anchor and tag included.
    pub(super) fn start(&self, text: &str, mut at: usize) -> usize {
        let ending = |end: usize| self.properties.iter().find(|range| range.end == end);
        while let Some(range) = ending(text.get(..at).unwrap_or_default().trim_end().len()) {
            at = range.start;
        }
        at
    }

    /// The end of what stands before a value: blanks, comments, anchors and tags left out.
    pub(super) fn end_before(&self, text: &str, mut at: usize) -> usize {
        loop {
            let end = text.get(..at).unwrap_or_default().trim_end().len();
            let mut all = self.comments.iter().chain(&self.properties);
            match all.find(|range| range.end == end) {
                Some(range) => at = range.start,
                None => return end,
            }
        }
    }

    /// Whether a comment begins among some bytes.
    pub(super) fn has_comment(&self, range: Range<usize>) -> bool {
        self.comments.iter().any(|comment| range.contains(&comment.start))
    }

    /// Whether a byte is part of a comment.
    pub(super) fn is_comment(&self, at: usize) -> bool {
        self.comments.iter().any(|comment| comment.contains(&at))
    }
}

/// The bytes of all words, numbers, texts and aliases.
fn ends(node: &Node, found: &mut Vec<Range<usize>>) {
    match &node.form {
        Form::Text { .. } | Form::Alias => found.push(node.range.clone()),
        Form::List { items, .. } => items.iter().for_each(|item| ends(item, found)),
        Form::Keys { pairs, .. } => {
            for (key, value) in pairs {
                ends(key, found);
                ends(value, found);
            }
        }
    }
}
