//! The bytes that a change takes out of a text and puts in.

use std::ops::Range;

use super::tree::{Form, Node, Style};
use super::value::Value;
use super::written::{self, Within};
use super::{Change, Splice, Step};

/// The widest line of a block text that is written anew, indentation included.
const LINE: usize = 100;

/// What a change takes out and puts in; nothing where the text's form is not known here.
pub(super) fn of(text: &str, root: &Node, change: &Change) -> Option<Vec<Splice>> {
    let edit = Edit { text, root };
    match change {
        Change::Set { at, value } => edit.set(at, value),
        Change::Remove { at } => edit.remove(at),
        Change::Insert { list, before, value } => edit.insert(list, *before, value),
        Change::Move { list, from, to } => edit.move_item(list, *from, *to),
        Change::Copy { list, from } => edit.copy(list, *from),
        Change::Transfer { from, to } => edit.transfer(from, to),
    }
}

struct Edit<'a> {
    text: &'a str,
    root: &'a Node,
}

impl Edit<'_> {
    fn set(&self, at: &[Step], value: &Value) -> Option<Vec<Splice>> {
        let within = self.within(at);
        if let Some(node) = self.root.at(at) {
            return Some(self.replaced(node, value, within));
        }
        let (Step::Key(key), above) = at.split_last()? else { return None };
        let keys = self.root.at(above)?;
        let Form::Keys { flow, pairs } = &keys.form else { return None };
        let within = if *flow { Within::Flow } else { Within::Block };
        let key = written::text(key, Style::Plain, within);
        let pair = format!("{key}: {}", written::value(value, within));
        Some(vec![match (flow, pairs.last()) {
            (true, None) => put(keys.range.start + 1, pair),
            (true, Some((_, last))) => put(last.range.end, format!(", {pair}")),
            (false, None) => return None,
            (false, Some((_, last))) => {
                let indent = self.indent(pairs.first()?.0.range.start);
                self.new_line(last, &format!("{}{pair}", " ".repeat(indent)))
            }
        }])
    }

    /// A value in place of a node; of lists and mappings of the same form, only the parts that differ.
    fn replaced(&self, node: &Node, value: &Value, within: Within) -> Vec<Splice> {
        if Value::of(node, self.text).is_same(value) {
            return Vec::new();
        }
        match (&node.form, value) {
            (Form::List { flow, items }, Value::List(values)) if items.len() == values.len() => {
                let within = if *flow { Within::Flow } else { Within::Block };
                let pairs = items.iter().zip(values);
                pairs.flat_map(|(item, value)| self.replaced(item, value, within)).collect()
            }
            (Form::Keys { flow, pairs }, Value::Keys(values))
                if pairs
                    .iter()
                    .map(|(key, _)| key.text())
                    .eq(values.iter().map(|(key, _)| Some(key.as_str()))) =>
            {
                let within = if *flow { Within::Flow } else { Within::Block };
                let both = pairs.iter().zip(values);
                both.flat_map(|((_, old), (_, new))| self.replaced(old, new, within)).collect()
            }
            (Form::Text { style, .. }, Value::Text(words)) => {
                let is_block = matches!(style, Style::Literal | Style::Folded);
                if let Some(lines) = is_block.then(|| self.block(node, words)).flatten() {
                    return vec![Splice { range: node.range.clone(), text: lines }];
                }
                vec![self.in_place(node, written::text(words, *style, within))]
            }
            _ => vec![self.in_place(node, written::value(value, within))],
        }
    }

    /// A value on one line in place of a node; of a block text, its header goes with it.
    fn in_place(&self, node: &Node, value: String) -> Splice {
        let mut start = node.range.start;
        if let Form::Text { style: Style::Literal | Style::Folded, .. } = node.form {
            let before = self.text.get(..start).unwrap_or_default();
            start = before.rfind(['|', '>']).unwrap_or(start);
        }
        Splice { range: start..node.range.end, text: self.apart(start, value) }
    }

    /// The lines of a block text anew; its header (`>-`) stands before them and stays.
    fn block(&self, node: &Node, words: &str) -> Option<String> {
        let indent = self.indent(node.range.start);
        let margin = " ".repeat(indent);
        let kept = |part: &str| !part.starts_with([' ', '\t']) && !part.contains("  ");
        let parts: Vec<&str> = words.trim_end_matches('\n').split('\n').collect();
        if !self.stands_first(node.range.start) || !parts.iter().all(|part| kept(part)) {
            return None;
        }
        let is_folded = matches!(node.form, Form::Text { style: Style::Folded, .. });
        let mut lines = Vec::new();
        for (number, part) in parts.iter().enumerate() {
            if is_folded {
                lines.extend((number > 0).then(String::new));
                lines.extend(lines_of(part, LINE.saturating_sub(indent)));
            } else {
                lines.push((*part).to_owned());
            }
        }
        let margins = lines.iter().enumerate().map(|(number, line)| {
            let margin = if number == 0 || line.is_empty() { "" } else { &margin };
            format!("{margin}{line}")
        });
        Some(margins.collect::<Vec<_>>().join(self.line_end()))
    }

    fn remove(&self, at: &[Step]) -> Option<Vec<Splice>> {
        let (last, above) = at.split_last()?;
        let parent = self.root.at(above)?;
        match (&parent.form, last) {
            (Form::Keys { flow, pairs }, Step::Key(key)) => {
                let number = pairs.iter().position(|(name, _)| name.text() == Some(key))?;
                let spans: Vec<Range<usize>> = pairs
                    .iter()
                    .map(|(key, value)| key.range.start..value.range.end.max(key.range.end))
                    .collect();
                let cut = if *flow {
                    self.without_comma(&spans, number, parent)?
                } else if pairs.len() == 1 {
                    return None;
                } else if self.stands_first(spans[number].start) {
                    self.lines(&spans[number])
                } else {
                    // The first key of `- key: value`: the next one takes its place.
                    spans[number].start..spans.get(number + 1)?.start
                };
                Some(vec![take(cut)])
            }
            (Form::List { flow: true, items }, Step::Item(number)) => {
                let spans: Vec<_> = items.iter().map(|item| item.range.clone()).collect();
                Some(vec![take(self.without_comma(&spans, *number, parent)?)])
            }
            (Form::List { flow: false, items }, Step::Item(number)) => {
                if let [_] = &items[..] {
                    // A list of nothing is written in brackets.
                    let (Step::Key(key), outer) = above.split_last()? else { return None };
                    let (key, _) = self.root.at(outer)?.pair(key)?;
                    let colon = key.range.end + self.text.get(key.range.end..)?.find(':')? + 1;
                    return Some(vec![
                        put(colon, " []".to_owned()),
                        take(self.item_lines(items, *number)?),
                    ]);
                }
                Some(vec![take(self.item_lines(items, *number)?)])
            }
            _ => None,
        }
    }

    fn insert(&self, list: &[Step], before: usize, value: &Value) -> Option<Vec<Splice>> {
        let node = self.root.at(list)?;
        let Form::List { flow, items } = &node.form else { return None };
        Some(vec![match (
            flow,
            items.get(before),
            before.checked_sub(1).and_then(|last| items.get(last)),
        ) {
            (true, None, None) => put(node.range.start + 1, written::value(value, Within::Flow)),
            (true, _, Some(last)) => {
                put(last.range.end, format!(", {}", written::value(value, Within::Flow)))
            }
            (true, Some(next), None) => {
                put(next.range.start, format!("{}, ", written::value(value, Within::Flow)))
            }
            (false, _, Some(last)) => {
                let indent = self.indent(self.dash(last)?);
                self.new_line(last, &format!("{}- {}", " ".repeat(indent), written::item(value)))
            }
            (false, Some(next), None) => {
                let dash = self.dash(next)?;
                let indent = " ".repeat(self.indent(dash));
                put(dash, format!("- {}{}{indent}", written::item(value), self.line_end()))
            }
            (false, None, None) => return None,
        }])
    }

    fn move_item(&self, list: &[Step], from: usize, to: usize) -> Option<Vec<Splice>> {
        let node = self.root.at(list)?;
        let Form::List { flow, items } = &node.form else { return None };
        if from == to {
            return Some(Vec::new());
        }
        let (item, other) = (items.get(from)?, items.get(to)?);
        if *flow {
            let spans: Vec<_> = items.iter().map(|item| item.range.clone()).collect();
            let own = self.text.get(item.range.clone())?;
            let cut = take(self.without_comma(&spans, from, node)?);
            let paste = if to > from {
                put(other.range.end, format!(", {own}"))
            } else {
                put(other.range.start, format!("{own}, "))
            };
            return Some(vec![cut, paste]);
        }
        let lines = self.item_lines(items, from)?;
        let own = self.with_line_end(lines.clone())?;
        let target = self.item_lines(items, to)?;
        let last = if lines.end == self.text.len() && !self.text.ends_with('\n') {
            self.text.get(lines.clone())?.len()
        } else {
            0
        };
        if last > 0 || (target.end == self.text.len() && !self.text.ends_with('\n')) {
            return self.swapped_at_end(&lines, &target, &own, to > from);
        }
        let paste = put(if to > from { target.end } else { target.start }, own);
        Some(vec![take(lines), paste])
    }

    /// A move that touches a text's last line, which has no line end.
    fn swapped_at_end(
        &self,
        lines: &Range<usize>,
        target: &Range<usize>,
        own: &str,
        down: bool,
    ) -> Option<Vec<Splice>> {
        let own = own.trim_end_matches(['\n', '\r']);
        let end = self.line_end();
        if down {
            return Some(vec![take(lines.clone()), put(target.end, format!("{end}{own}"))]);
        }
        // The last item goes up: the line end before it goes with it.
        let start = self.text.get(..lines.start)?.trim_end_matches(['\n', '\r']).len();
        Some(vec![take(start..lines.end), put(target.start, format!("{own}{end}"))])
    }

    fn copy(&self, list: &[Step], from: usize) -> Option<Vec<Splice>> {
        let node = self.root.at(list)?;
        let Form::List { flow, items } = &node.form else { return None };
        let item = items.get(from)?;
        if *flow {
            let own = self.text.get(item.range.clone())?;
            return Some(vec![put(item.range.end, format!(", {own}"))]);
        }
        let dash = self.dash(item)?;
        let indent = " ".repeat(self.indent(dash));
        let own = self.text.get(dash..item.range.end)?;
        Some(vec![self.new_line(item, &format!("{indent}{own}"))])
    }

    fn transfer(&self, from: &[Step], to: &[Step]) -> Option<Vec<Splice>> {
        let (Step::Item(number), above) = from.split_last()? else { return None };
        let list = self.root.at(above)?;
        let item = list.items().get(*number)?;
        let target = self.root.at(to)?;
        let (Form::List { flow: is_flow, .. }, Form::List { flow: to_flow, items }) =
            (&list.form, &target.form)
        else {
            return None;
        };
        let mut splices = self.remove(from)?;
        match (is_flow, to_flow, items.last()) {
            (false, false, Some(last)) => {
                // With what is said behind it on its last line.
                let dash = self.dash(item)?;
                let end = self.lines(&item.range).end;
                let own = self.text.get(dash..end)?.trim_end_matches(['\n', '\r']);
                let (old, new) = (self.indent(dash), self.indent(self.dash(last)?));
                let own = moved(own, old, new)?;
                splices.push(self.new_line(last, &format!("{}{own}", " ".repeat(new))));
            }
            (true, true, Some(last)) => {
                splices
                    .push(put(last.range.end, format!(", {}", self.text.get(item.range.clone())?)));
            }
            _ => {
                let value = Value::of(item, self.text);
                splices.extend(self.insert(to, items.len(), &value)?);
            }
        }
        Some(splices)
    }

    /// What a value at the end of a way stands within.
    fn within(&self, at: &[Step]) -> Within {
        let is_flow = |node: &Node| {
            matches!(node.form, Form::List { flow: true, .. } | Form::Keys { flow: true, .. })
        };
        let above = (0..at.len()).filter_map(|count| self.root.at(at.get(..count)?));
        if above.into_iter().any(is_flow) { Within::Flow } else { Within::Block }
    }

    /// The bytes of a part of a list or mapping in brackets, with one comma.
    fn without_comma(
        &self,
        spans: &[Range<usize>],
        number: usize,
        parent: &Node,
    ) -> Option<Range<usize>> {
        let own = spans.get(number)?;
        if let Some(before) = number.checked_sub(1) {
            return Some(spans.get(before)?.end..own.end);
        }
        match spans.get(1) {
            Some(next) => Some(own.start..next.start),
            None => {
                // A comma may follow the only part.
                let rest = self.text.get(own.end..parent.range.end)?;
                let comma = rest.find(',').map_or(0, |at| at + 1);
                Some(own.start..own.end + comma)
            }
        }
    }

    /// The lines of an item of a list in block style, its dash first.
    fn item_lines(&self, items: &[Node], number: usize) -> Option<Range<usize>> {
        let item = items.get(number)?;
        let dash = self.dash(item)?;
        self.stands_first(dash).then(|| self.lines(&(dash..item.range.end)))
    }

    /// Whole lines: from the start of the first to the end of the last, its line end included.
    fn lines(&self, range: &Range<usize>) -> Range<usize> {
        let start = self
            .text
            .get(..range.start)
            .and_then(|before| before.rfind('\n'))
            .map_or(0, |at| at + 1);
        let rest = self.text.get(range.end..).unwrap_or_default();
        let end = rest.find('\n').map_or(self.text.len(), |at| range.end + at + 1);
        start..end
    }

    fn with_line_end(&self, lines: Range<usize>) -> Option<String> {
        let own = self.text.get(lines)?;
        Some(if own.ends_with('\n') { own.to_owned() } else { format!("{own}{}", self.line_end()) })
    }

    /// A line after the one in which a node ends.
    fn new_line(&self, last: &Node, line: &str) -> Splice {
        let end = self.lines(&last.range).end;
        let own = self.text.get(..end).unwrap_or_default();
        if own.ends_with('\n') {
            put(end, format!("{line}{}", self.line_end()))
        } else {
            put(end, format!("{}{line}", self.line_end()))
        }
    }

    /// Where the dash of an item stands.
    fn dash(&self, item: &Node) -> Option<usize> {
        let before = self.text.get(..item.range.start)?;
        let dash = before.trim_end_matches(' ').len().checked_sub(1)?;
        (self.text.as_bytes().get(dash) == Some(&b'-')).then_some(dash)
    }

    /// How far from the start of its line a byte stands.
    fn indent(&self, at: usize) -> usize {
        let before = self.text.get(..at).unwrap_or_default();
        before.len() - before.rfind('\n').map_or(0, |end| end + 1)
    }

    /// Whether only blanks stand before a byte on its line.
    fn stands_first(&self, at: usize) -> bool {
        let line = self.text.get(at - self.indent(at)..at).unwrap_or_default();
        line.chars().all(|letter| letter == ' ')
    }

    /// The line end that the text has.
    fn line_end(&self) -> &'static str {
        if self.text.contains("\r\n") { "\r\n" } else { "\n" }
    }

    /// A value that takes the place of nothing keeps its distance from the colon.
    fn apart(&self, at: usize, value: String) -> String {
        let before = self.text.get(..at).unwrap_or_default();
        if before.ends_with(':') { format!(" {value}") } else { value }
    }
}

fn put(at: usize, text: String) -> Splice {
    Splice { range: at..at, text }
}

fn take(range: Range<usize>) -> Splice {
    Splice { range, text: String::new() }
}

/// The lines of a block, set in by another distance.
fn moved(block: &str, old: usize, new: usize) -> Option<String> {
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

/// A paragraph in lines of some width.
fn lines_of(paragraph: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in paragraph.split(' ') {
        match lines.last_mut() {
            Some(line) if line.is_empty() => line.push_str(word),
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
