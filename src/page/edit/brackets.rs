//! Lists and mappings in brackets: their parts taken out, put in and moved, with what is said behind them.

use std::ops::Range;

use super::Splice;
use super::lines::{Edit, moved, put, take};
use super::tree::{Form, Node};

/// Where a part of a list or mapping in brackets stands.
struct Part {
    /// Its own bytes.
    range: Range<usize>,
    /// The comma behind it.
    comma: Option<usize>,
    /// Its lines, where nothing else but a comment stands on them.
    lines: Option<Range<usize>>,
}

/// The bytes of the parts of a list or mapping in brackets.
pub(super) struct Parts<'a> {
    edit: &'a Edit<'a>,
    ranges: Vec<Range<usize>>,
    /// Where the closing bracket stands.
    end: usize,
}

impl<'a> Parts<'a> {
    /// Those of a list or mapping in brackets.
    pub(super) fn of(edit: &'a Edit<'a>, node: &Node) -> Option<Self> {
        let start = |node: &Node| edit.between.start(edit.text, node.range.start);
        let ranges = match &node.form {
            Form::List { flow: true, items } => {
                items.iter().map(|item| start(item)..item.range.end).collect()
            }
            Form::Keys { flow: true, pairs } => pairs
                .iter()
                .map(|(key, value)| start(key)..value.range.end.max(key.range.end))
                .collect(),
            Form::List { .. } | Form::Keys { .. } | Form::Text { .. } | Form::Alias => return None,
        };
        Some(Self { edit, ranges, end: node.range.end.checked_sub(1)? })
    }

    fn part(&self, number: usize) -> Option<Part> {
        let (edit, range) = (self.edit, self.ranges.get(number)?.clone());
        let next = self.ranges.get(number + 1).map_or(self.end, |next| next.start);
        let behind = edit.text.get(range.end..next)?;
        let mut commas = behind.match_indices(',').map(|(at, _)| range.end + at);
        let comma = commas.find(|at| !edit.between.is_comment(*at));
        let own_end = comma.map_or(range.end, |comma| comma + 1);
        let lines = edit.lines(&(range.start..own_end));
        let rest = edit.text.get(own_end..lines.end)?.trim();
        let is_alone = edit.stands_first(range.start)
            && (rest.is_empty() || rest.starts_with('#'))
            && !edit.between.has_comment(range.end..own_end)
            && lines.end <= self.end;
        Some(Part { range, comma, lines: is_alone.then_some(lines) })
    }

    /// Takes a part out, with its comma and, where it has lines of its own, these with what is said on them.
    pub(super) fn removed(&self, number: usize) -> Option<Vec<Splice>> {
        match self.part(number)?.lines {
            Some(lines) => Some(vec![take(lines)]),
            None => self.cut(number),
        }
    }

    /// Takes a part out with its comma, and no comment.
    fn cut(&self, number: usize) -> Option<Vec<Splice>> {
        let (between, part) = (&self.edit.between, self.part(number)?);
        let rest_of_line = part.range.end..self.edit.lines(&part.range).end;
        if let Some(before) = number.checked_sub(1).and_then(|before| self.ranges.get(before)) {
            let gap = before.end..part.range.start;
            let is_one_line = !self.edit.text.get(gap.clone())?.contains('\n');
            if is_one_line || !between.has_comment(gap) && !between.has_comment(rest_of_line) {
                return Some(vec![take(before.end..part.range.end)]);
            }
        }
        if let Some(next) = self.ranges.get(number + 1)
            && !between.has_comment(part.range.end..next.start)
        {
            return Some(vec![take(part.range.start..next.start)]);
        }
        Some(match part.comma {
            Some(comma) if between.has_comment(part.range.end..comma) => {
                vec![take(part.range), take(comma..comma + 1)]
            }
            Some(comma) => vec![take(part.range.start..comma + 1)],
            None => vec![take(part.range)],
        })
    }

    /// A new part behind another: on a line of its own, where that has its own.
    pub(super) fn put_behind(&self, number: usize, own: &str) -> Option<Vec<Splice>> {
        let part = self.part(number)?;
        let Some(lines) = part.lines else {
            return Some(vec![put(part.range.end, format!(", {own}"))]);
        };
        let (edit, is_last) = (self.edit, part.comma.is_none());
        let margin = " ".repeat(edit.indent(part.range.start));
        let comma = is_last.then(|| put(part.range.end, ",".to_owned()));
        let behind = if is_last { "" } else { "," };
        let line = put(lines.end, format!("{margin}{own}{behind}{}", edit.line_end()));
        Some(comma.into_iter().chain([line]).collect())
    }

    /// A part elsewhere among the others: with its lines, where it and the one there have their own.
    pub(super) fn moved(&self, from: usize, to: usize) -> Option<Vec<Splice>> {
        let (part, other) = (self.part(from)?, self.part(to)?);
        if let (Some(lines), Some(target)) = (&part.lines, &other.lines) {
            let own = self.with_comma(&part, lines.clone())?;
            let mut splices = vec![take(lines.clone())];
            if to < from {
                splices.push(put(target.start, own));
            } else {
                splices.extend(other.comma.is_none().then(|| put(other.range.end, ",".to_owned())));
                splices.push(put(target.end, own));
            }
            return Some(splices);
        }
        let own = self.edit.text.get(part.range)?;
        let mut splices = self.cut(from)?;
        splices.push(match to > from {
            true => put(other.range.end, format!(", {own}")),
            false => put(other.range.start, format!("{own}, ")),
        });
        Some(splices)
    }

    /// A part at the end of other parts in brackets, as it is written.
    pub(super) fn transferred(&self, number: usize, to: &Self) -> Option<Vec<Splice>> {
        let edit = self.edit;
        let part = self.part(number)?;
        let own = edit.text.get(part.range.clone())?;
        let Some(last) = to.ranges.len().checked_sub(1) else {
            let mut splices = self.cut(number)?;
            splices.push(put(to.end, own.to_owned()));
            return Some(splices);
        };
        let last = to.part(last)?;
        if let (Some(lines), Some(target)) = (&part.lines, &last.lines) {
            let own = self.with_comma(&part, part.range.start..lines.end)?;
            let (old, new) = (edit.indent(part.range.start), edit.indent(last.range.start));
            let own = format!("{}{}", " ".repeat(new), moved(&own, old, new).unwrap_or(own));
            let mut splices = vec![take(lines.clone()), put(target.end, own)];
            splices.extend(last.comma.is_none().then(|| put(last.range.end, ",".to_owned())));
            return Some(splices);
        }
        let mut splices = self.cut(number)?;
        splices.extend(to.put_behind(to.ranges.len().checked_sub(1)?, own)?);
        Some(splices)
    }

    /// Bytes that hold a part, with a comma behind it.
    fn with_comma(&self, part: &Part, bytes: Range<usize>) -> Option<String> {
        let text = self.edit.text;
        if part.comma.is_some() {
            return Some(text.get(bytes)?.to_owned());
        }
        let (own, rest) = (bytes.start..part.range.end, part.range.end..bytes.end);
        Some([text.get(own)?, ",", text.get(rest)?].concat())
    }
}
