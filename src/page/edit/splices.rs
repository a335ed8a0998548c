//! The bytes that a change takes out of a text and puts in.

use std::ops::Range;

use super::between::Between;
use super::brackets::Parts;
use super::lines::{Edit, moved, put, take};
use super::tree::{Form, Node, Style};
use super::value::Value;
use super::written::{self, Within};
use super::{Change, Splice, Step, key, with};

/// What a change takes out and puts in; nothing where the text's form is not known here.
pub(super) fn of(edit: &Edit<'_>, change: &Change) -> Option<Vec<Splice>> {
    match change {
        Change::Set { at, value } => edit.set(at, value),
        Change::Remove { at } => edit.remove(at),
        Change::Insert { list, before, value } => edit.insert(list, *before, value),
        Change::Move { list, from, to } => edit.move_item(list, *from, *to),
        Change::Copy { list, from } => edit.copy(list, *from),
        Change::Transfer { from, to } => edit.transfer(from, to),
    }
}

/// The smaller changes that together make a change: of lists and mappings, only the parts that differ.
pub(super) fn parts(text: &str, root: &Node, change: &Change) -> Option<Vec<Change>> {
    let Change::Set { at, value } = change else { return None };
    let node = root.at(at)?;
    let old = Value::of(node, text);
    match (old, value) {
        (Value::List(old), Value::List(new)) if !old.is_empty() => {
            let is_same = |(old, new): &(&Value, &Value)| old.is_same(new);
            let start = old.iter().zip(new).take_while(is_same).count();
            let room = old.len().min(new.len()) - start;
            let end = old.iter().rev().zip(new.iter().rev()).take(room).take_while(is_same).count();
            let (ends, wanted) = (old.len() - end, new.get(start..new.len() - end)?);
            let item = |number| with(at, Step::Item(number));
            let both = (start..ends).zip(wanted);
            let set =
                both.map(|(number, value)| Change::Set { at: item(number), value: value.clone() });
            let more = wanted.iter().enumerate().skip(ends - start).map(|(number, value)| {
                Change::Insert { list: at.clone(), before: start + number, value: value.clone() }
            });
            let gone = (start + wanted.len()..ends).rev();
            let gone = gone.map(|number| Change::Remove { at: item(number) });
            Some(set.chain(more).chain(gone).collect())
        }
        (Value::Keys(old), Value::Keys(new)) if !old.is_empty() && !new.is_empty() => {
            let value = |keys: &[(String, Value)], name: &str| {
                keys.iter().find(|(own, _)| own == name).map(|(_, value)| value.clone())
            };
            let set = new
                .iter()
                .filter(|(name, new)| value(&old, name).is_none_or(|old| !old.is_same(new)));
            let set = set
                .map(|(name, value)| Change::Set { at: with(at, key(name)), value: value.clone() });
            let gone = old.iter().filter(|(name, _)| value(new, name).is_none());
            let gone = gone.map(|(name, _)| Change::Remove { at: with(at, key(name)) });
            Some(set.chain(gone).collect())
        }
        _ => None,
    }
}

/// The first comment that an edit of a text would lose, but for those of what it takes away.
pub(super) fn lost_comment(edit: &Edit<'_>, change: &Change, edited: &str) -> Option<String> {
    let comments = |text: &str, between: &Between, gone: Range<usize>| -> Vec<String> {
        let kept = between.comments.iter().filter(|comment| !gone.contains(&comment.start));
        kept.filter_map(|comment| Some(text.get(comment.clone())?.to_owned())).collect()
    };
    let gone = edit.gone(change).unwrap_or_default();
    let mut there = comments(edited, &Between::of(edited, &super::tree::parse(edited)?), 0..0);
    comments(edit.text, &edit.between, gone).into_iter().find(|comment| {
        let found = there.iter().position(|other| other == comment);
        found.map(|found| there.swap_remove(found)).is_none()
    })
}

impl Edit<'_> {
    /// The bytes that a change takes away, with what is said behind them on their last line.
    fn gone(&self, change: &Change) -> Option<Range<usize>> {
        match change {
            Change::Set { at, .. } => {
                let node = self.root.at(at)?;
                let is_lines = matches!(node.form, Form::List { flow: false, .. });
                Some(if is_lines {
                    self.to_line_end(node.range.clone())
                } else {
                    node.range.clone()
                })
            }
            Change::Remove { at } => {
                let (last, above) = at.split_last()?;
                let node = self.root.at(at)?;
                let start = match last {
                    Step::Key(key) => self.root.at(above)?.pair(key)?.0.range.start,
                    Step::Item(_) => node.range.start,
                };
                Some(self.to_line_end(start..node.range.end.max(start)))
            }
            Change::Insert { .. }
            | Change::Move { .. }
            | Change::Copy { .. }
            | Change::Transfer { .. } => None,
        }
    }

    fn set(&self, at: &[Step], value: &Value) -> Option<Vec<Splice>> {
        let within = self.within(at);
        if let Some(node) = self.root.at(at) {
            return self.replaced(at, node, value, within);
        }
        let (Step::Key(key), above) = at.split_last()? else { return None };
        let keys = self.root.at(above)?;
        let Form::Keys { flow, pairs } = &keys.form else { return None };
        let within = if *flow { Within::Flow } else { Within::Block };
        let key = written::text(key, Style::Plain, within);
        let pair = format!("{key}: {}", written::value(value, within));
        if let (true, Some(last)) = (flow, pairs.len().checked_sub(1)) {
            return Parts::of(self, keys)?.put_behind(last, &pair);
        }
        Some(vec![match (flow, pairs.last()) {
            (true, _) => put(keys.range.start + 1, pair),
            (false, None) => return None,
            (false, Some((_, last))) => {
                let indent = self.indent(pairs.first()?.0.range.start);
                self.new_line(last, &format!("{}{pair}", " ".repeat(indent)))
            }
        }])
    }

    /// A value in place of a node.
    fn replaced(
        &self,
        at: &[Step],
        node: &Node,
        value: &Value,
        within: Within,
    ) -> Option<Vec<Splice>> {
        if Value::of(node, self.text).is_same(value) {
            return Some(Vec::new());
        }
        let (style, is_block) = match node.form {
            Form::Text { style, .. } => (style, matches!(style, Style::Literal | Style::Folded)),
            Form::List { .. } | Form::Keys { .. } | Form::Alias => (Style::Plain, false),
        };
        if is_block && let Value::Text(words) = value {
            let lines = self.block(node, words, self.column_above(at)?);
            if lines.is_some() {
                return lines;
            }
        }
        let value = match value {
            Value::Text(words) => written::text(words, style, within),
            Value::Nothing | Value::List(_) | Value::Keys(_) | Value::Alias(_) => {
                written::value(value, within)
            }
        };
        if is_block {
            return self.in_place_of_block(node, value);
        }
        if let Form::List { flow: false, items } = &node.form
            && let Some((Step::Key(key), above)) = at.split_last()
        {
            // Behind its key, in place of the lines below.
            let lines = self.item_lines(items, 0)?.start..self.lines(&node.range).end;
            return Some(vec![put(self.colon(above, key)?, format!(" {value}")), take(lines)]);
        }
        let value = self.apart(node.range.start, value);
        Some(vec![Splice { range: node.range.clone(), text: value }])
    }

    /// The column of the mapping or dash to which a value belongs.
    fn column_above(&self, at: &[Step]) -> Option<usize> {
        let (last, above) = at.split_last()?;
        match (last, &self.root.at(above)?.form) {
            (Step::Key(_), Form::Keys { pairs, .. }) => {
                Some(self.indent(pairs.first()?.0.range.start))
            }
            _ => Some(self.indent(self.dash(self.root.at(at)?)?)),
        }
    }

    /// Where the colon behind a key ends.
    fn colon(&self, above: &[Step], key: &str) -> Option<usize> {
        let (key, _) = self.root.at(above)?.pair(key)?;
        Some(key.range.end + self.text.get(key.range.end..)?.find(':')? + 1)
    }

    fn remove(&self, at: &[Step]) -> Option<Vec<Splice>> {
        let (last, above) = at.split_last()?;
        let parent = self.root.at(above)?;
        match (&parent.form, last) {
            (Form::Keys { flow, pairs }, Step::Key(key)) => {
                let number = pairs.iter().position(|(name, _)| name.text() == Some(key))?;
                if *flow {
                    return Parts::of(self, parent)?.removed(number);
                }
                if pairs.len() == 1 {
                    return None;
                }
                let (key, value) = pairs.get(number)?;
                let start = self.between.start(self.text, key.range.start);
                let own = start..value.range.end.max(key.range.end);
                if self.stands_first(start) {
                    return Some(vec![take(self.lines(&own))]);
                }
                // The first key of `- key: value`: what follows takes its place, and be it a comment.
                let behind = self.text.get(self.lines(&own).end..)?;
                Some(vec![take(start..self.text.len() - behind.trim_start().len())])
            }
            (Form::List { flow: true, .. }, Step::Item(number)) => {
                Parts::of(self, parent)?.removed(*number)
            }
            (Form::List { flow: false, items }, Step::Item(number)) => {
                let mut splices = vec![take(self.item_lines(items, *number)?)];
                if let [_] = &items[..] {
                    // A list of nothing is written in brackets.
                    let (Step::Key(key), outer) = above.split_last()? else { return None };
                    splices.push(put(self.colon(outer, key)?, " []".to_owned()));
                }
                Some(splices)
            }
            _ => None,
        }
    }

    fn insert(&self, list: &[Step], before: usize, value: &Value) -> Option<Vec<Splice>> {
        let node = self.root.at(list)?;
        let Form::List { flow, items } = &node.form else { return None };
        let last = before.checked_sub(1);
        if *flow {
            let own = written::value(value, Within::Flow);
            return match (last, items.first()) {
                (Some(last), _) => Parts::of(self, node)?.put_behind(last, &own),
                (None, Some(next)) => {
                    let start = self.between.start(self.text, next.range.start);
                    Some(vec![put(start, format!("{own}, "))])
                }
                (None, None) => Some(vec![put(node.range.start + 1, own)]),
            };
        }
        let own = written::item(value);
        Some(vec![match (last.and_then(|last| items.get(last)), items.first()) {
            (Some(last), _) => {
                let indent = self.indent(self.dash(last)?);
                self.new_line(last, &format!("{}- {own}", " ".repeat(indent)))
            }
            (None, Some(next)) => {
                let dash = self.dash(next)?;
                let indent = " ".repeat(self.indent(dash));
                put(dash, format!("- {own}{}{indent}", self.line_end()))
            }
            (None, None) => return None,
        }])
    }

    fn move_item(&self, list: &[Step], from: usize, to: usize) -> Option<Vec<Splice>> {
        let node = self.root.at(list)?;
        let Form::List { flow, items } = &node.form else { return None };
        if from == to {
            return Some(Vec::new());
        }
        if *flow {
            return Parts::of(self, node)?.moved(from, to);
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
            let own = self.without_anchors(item.range.clone())?;
            return Parts::of(self, node)?.put_behind(from, &own);
        }
        let dash = self.dash(item)?;
        let indent = " ".repeat(self.indent(dash));
        let own = self.without_anchors(dash..item.range.end)?;
        Some(vec![self.new_line(item, &format!("{indent}{own}"))])
    }

    /// Bytes as they are written, without anchors: a second one of a name would take what stands behind it.
    fn without_anchors(&self, bytes: Range<usize>) -> Option<String> {
        let (mut own, mut at) = (String::new(), bytes.start);
        let inside = self.between.properties.iter().filter(|range| bytes.contains(&range.start));
        for anchor in inside.filter(|range| self.text.as_bytes().get(range.start) == Some(&b'&')) {
            own.push_str(self.text.get(at..anchor.start)?);
            let behind = self.text.get(anchor.end..bytes.end)?;
            let rest = behind.trim_start_matches(' ');
            at = anchor.end + behind.len() - rest.len();
            if rest.starts_with(['\n', '\r']) {
                own.truncate(own.trim_end_matches(' ').len());
            }
        }
        own.push_str(self.text.get(at..bytes.end)?);
        Some(own)
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
        if *is_flow && *to_flow {
            return Parts::of(self, list)?.transferred(*number, &Parts::of(self, target)?);
        }
        let mut splices = self.remove(from)?;
        if !is_flow && (!to_flow || items.is_empty() && self.within(to) == Within::Block) {
            let dash = self.dash(item)?;
            let old = self.indent(dash);
            let new = match items.last() {
                Some(last) => self.indent(self.dash(last)?),
                None => {
                    // As far from its key as in the list that it comes from; the brackets of none go.
                    let blanks = self.text.get(..target.range.start)?.trim_end_matches(' ').len();
                    splices.push(take(blanks..target.range.end));
                    (self.column_above(to)? + old).checked_sub(self.column_above(above)?)?
                }
            };
            // With what is said behind it on its last line.
            let own = self.text.get(dash..self.lines(&item.range).end)?;
            let own = moved(own.trim_end_matches(['\n', '\r']), old, new)?;
            let last = items.last().unwrap_or(target);
            splices.push(self.new_line(last, &format!("{}{own}", " ".repeat(new))));
            return Some(splices);
        }
        splices.extend(self.insert(to, items.len(), &Value::of(item, self.text))?);
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

    /// The lines of an item of a list in block style, its dash first.
    fn item_lines(&self, items: &[Node], number: usize) -> Option<Range<usize>> {
        let item = items.get(number)?;
        let dash = self.dash(item)?;
        self.stands_first(dash).then(|| self.lines(&(dash..item.range.end)))
    }
}
