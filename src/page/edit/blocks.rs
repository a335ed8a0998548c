//! Texts in block style (`>-`, `|`): their lines anew, below a header that stays.

use std::ops::Range;

use super::Splice;
use super::lines::{Edit, put, take};
use super::tree::{Form, Node, Style};
use super::written::is_shown;

/// The widest line of a block text that is written anew, indentation included.
const LINE: usize = 100;
/// How far a text is set in where its block has no line yet.
const SET_IN: usize = 2;

impl Edit<'_> {
    /// Other words in a block text; nothing where they can't stand in one. `above` is the column of the
    /// mapping or dash that it belongs to.
    pub(super) fn block(&self, node: &Node, words: &str, above: usize) -> Option<Vec<Splice>> {
        let words = words.trim_end_matches('\n');
        let parts: Vec<&str> = words.split('\n').collect();
        let can_stand = |part: &&str| {
            part.chars().all(|letter| letter == '\t' || is_shown(letter))
                && !part.starts_with('\t')
                && (part.is_empty() || !part.trim().is_empty())
        };
        if words.is_empty() || !parts.iter().all(can_stand) {
            return None;
        }
        let header = self.header(node)?;
        let indent = match node.range.is_empty() {
            true => above + SET_IN,
            false if self.stands_first(node.range.start) => self.indent(node.range.start),
            false => return None,
        };
        let mut splices = Vec::new();
        let is_set_in = parts.iter().find(|part| !part.is_empty())?.starts_with(' ');
        let marks = self.text.get(header.clone())?;
        if is_set_in && !marks.contains(|mark: char| mark.is_ascii_digit()) {
            // The first line begins with a blank: how far the lines are set in has to be said.
            let distance =
                indent.checked_sub(above).filter(|distance| (1..=9).contains(distance))?;
            splices.push(put(header.start + 1, distance.to_string()));
        }
        let lines = match node.form {
            Form::Text { style: Style::Folded, .. } => folded(&parts, LINE.saturating_sub(indent)),
            Form::Text { .. } | Form::List { .. } | Form::Keys { .. } | Form::Alias => {
                parts.into_iter().map(str::to_owned).collect()
            }
        };
        let (margin, end) = (" ".repeat(indent), self.line_end());
        let lines = lines.iter().map(|line| {
            let margin = if line.is_empty() { "" } else { &margin };
            format!("{end}{margin}{line}")
        });
        splices.push(Splice { range: self.below(node, &header), text: lines.collect() });
        Some(splices)
    }

    /// A value on one line in place of a block text; a comment behind its header stays there.
    pub(super) fn in_place_of_block(&self, node: &Node, value: String) -> Option<Vec<Splice>> {
        let header = self.header(node)?;
        Some(vec![take(self.below(node, &header)), Splice { range: header, text: value }])
    }

    /// The header of a block text: `>`, `|2-`.
    fn header(&self, node: &Node) -> Option<Range<usize>> {
        let before = self.text.get(..node.range.start)?.trim_end();
        let start = before.rfind('\n').map_or(0, |end| end + 1);
        let line = before.get(start..)?;
        line.match_indices(['|', '>']).find_map(|(at, mark)| {
            let rest = line.get(at + mark.len()..)?;
            let is_mark = |letter: char| letter.is_ascii_digit() || "+-".contains(letter);
            let behind = rest.trim_start_matches(is_mark);
            let is_it = line.get(..at)?.ends_with([' ', '\t'])
                && (behind.trim().is_empty()
                    || behind.starts_with([' ', '\t']) && behind.trim_start().starts_with('#'));
            let end = at + mark.len() + rest.len() - behind.len();
            is_it.then_some(start + at..start + end)
        })
    }

    /// The bytes below a header: from the end of its line to that of the text's last one.
    fn below(&self, node: &Node, header: &Range<usize>) -> Range<usize> {
        let line = |at: usize| {
            let rest = self.text.get(at..).unwrap_or_default();
            let line = rest.split('\n').next().unwrap_or_default();
            at + line.strip_suffix('\r').unwrap_or(line).len()
        };
        let start = line(header.end);
        let end = if node.range.is_empty() { start } else { line(node.range.end) };
        start..end.max(start)
    }
}

/// The lines of paragraphs (YAML 1.2.2, 8.1.3): a line end between two of them is an empty line more, but not
/// beside a line that begins with a blank, which is never joined with another.
fn folded(parts: &[&str], width: usize) -> Vec<String> {
    let is_set_in = |part: &str| part.starts_with(' ');
    let (mut lines, mut last) = (Vec::new(), None);
    for part in parts {
        if part.is_empty() {
            lines.push(String::new());
            continue;
        }
        if last.is_some_and(|last| !is_set_in(last)) && !is_set_in(part) {
            lines.push(String::new());
        }
        if is_set_in(part) {
            lines.push((*part).to_owned());
        } else {
            lines.extend(lines_of(part, width));
        }
        last = Some(part);
    }
    lines
}

/// A paragraph in lines of some width: broken at blanks that stand alone, since only these come back.
fn lines_of(paragraph: &str, width: usize) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut stands_alone = false;
    for word in paragraph.split(' ') {
        // An empty word stands between two blanks.
        let is_apart = stands_alone && !word.is_empty() && !word.starts_with('\t');
        match words.last_mut().filter(|_| !is_apart) {
            Some(last) => *last = format!("{last} {word}"),
            None => words.push(word.to_owned()),
        }
        stands_alone = !word.is_empty() && !word.ends_with('\t');
    }
    let mut lines: Vec<String> = Vec::new();
    for word in words {
        let is_room = |line: &&mut String| line.chars().count() + 1 + word.chars().count() <= width;
        match lines.last_mut().filter(is_room) {
            Some(line) => *line = format!("{line} {word}"),
            None => lines.push(word),
        }
    }
    lines
}
