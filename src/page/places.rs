//! Where an element lies, as it is written: the kind of a position stays, its measures change.

use crate::layout::PlacedElement;
use crate::model::Fault;
use crate::model::length::Length;

use super::edit::tree::{Form, Node};
use super::edit::{Change, Step, Value, Way, key, with};
use super::elements::Element;
use super::held::pairs;
use super::lengths;
use super::moves::Known;

/// The keys of a position that name a piece.
const BESIDE: [&str; 6] = ["on", "right of", "left of", "below", "above", "tucked under"];

impl Known<'_> {
    /// Moves an element: what its position is measured from stays.
    pub(super) fn moved(&self, element: &Element, by: [Length; 2]) -> Result<Vec<Change>, Fault> {
        if element.of.is_some() {
            return self.member_moved(element, by);
        }
        let free = [0, 1].map(|axis| if element.moves[axis] { by[axis] } else { Length::ZERO });
        if free == [Length::ZERO; 2] {
            let asked = (0..2).filter(|axis| by.get(*axis).is_some_and(|by| *by != Length::ZERO));
            let reason = asked.filter_map(|axis| element.held.get(axis)?.clone()).next();
            return reason.map_or_else(|| Ok(Vec::new()), Err);
        }
        let by = free;
        let unknown = || {
            Fault::new(
                format!(
                    "where `{}` lies is written in a way that can't be changed here",
                    element.id
                ),
                "change its `at` in an editor",
            )
        };
        let along = with(&with(&element.keys, key("repeat")), key("along"));
        if let Some(node) = self.root.at(&along).filter(|node| !node.pairs().is_empty()) {
            return self.row_moved(&along, node, by).ok_or_else(unknown);
        }
        let at = with(&element.keys, key("at"));
        let Some(node) = self.root.at(&at) else {
            return Ok(vec![self.by_its_corner(element, at, by)]);
        };
        let mut changes = Vec::new();
        match &node.form {
            Form::List { items, .. } => {
                for (axis, item) in items.iter().enumerate().take(2) {
                    if by[axis] != Length::ZERO {
                        let value = self.longer(item, by[axis], axis).ok_or_else(unknown)?;
                        changes.push(Change::Set { at: with(&at, Step::Item(axis)), value });
                    }
                }
            }
            Form::Text { .. } => changes.push(self.by_its_corner(element, at, by)),
            Form::Keys { .. } => {
                for (axis, by) in by.into_iter().enumerate() {
                    if by != Length::ZERO {
                        changes.push(
                            self.moved_along(element, node, &at, axis, by).ok_or_else(unknown)?,
                        );
                    }
                }
            }
            Form::Alias => return Err(unknown()),
        }
        Ok(changes)
    }

    /// Moves the line or the arc along which an element is repeated.
    fn row_moved(&self, along: &Way, node: &Node, by: [Length; 2]) -> Option<Vec<Change>> {
        let points = [
            with(along, key("from")),
            with(along, key("to")),
            with(&with(along, key("arc")), key("center")),
        ];
        let mut changes = Vec::new();
        for point in points {
            let Some(written) = self.root.at(&point) else { continue };
            for (axis, by) in by.into_iter().enumerate().filter(|(_, by)| *by != Length::ZERO) {
                let value = self.longer(written.items().get(axis)?, by, axis)?;
                changes.push(Change::Set { at: with(&point, Step::Item(axis)), value });
            }
        }
        if let Some(edge) = node.get("edge").and_then(Node::text) {
            let inwards = match edge {
                "top" => by[1],
                "bottom" => -by[1],
                "left" => by[0],
                _ => -by[0],
            };
            let value = match node.get("inset") {
                Some(inset) => self.longer(inset, inwards, 0)?,
                None => Value::text(lengths::fresh(inwards, self.layout.units)),
            };
            changes.push(Change::Set { at: with(along, key("inset")), value });
        }
        (!changes.is_empty()).then_some(changes)
    }

    /// The position from the page's top left, where none or only a word is written. What lies between two
    /// things, or is held along one direction, keeps that.
    fn by_its_corner(&self, element: &Element, at: Way, by: [Length; 2]) -> Change {
        let units = self.layout.units;
        let corner = self.placed(element).map_or([Length::ZERO; 2], |placed| placed.at);
        let [left, top] =
            [0, 1].map(|axis| Value::text(lengths::fresh(corner[axis] + by[axis], units)));
        let said = self.root.at(&at).and_then(Node::text);
        let between = said.and_then(|said| said.strip_prefix("between "));
        let kept = between.map(|pair| ("between".to_owned(), Value::text(pair.trim())));
        let free = match element.moves {
            [false, _] => ("top".to_owned(), top),
            [_, false] => ("left".to_owned(), left),
            _ => return Change::Set { at, value: Value::List(vec![left, top]) },
        };
        Change::Set { at, value: Value::Keys(kept.into_iter().chain([free]).collect()) }
    }

    /// Changes the measure that says where an element lies along one axis, or adds one.
    fn moved_along(
        &self,
        element: &Element,
        node: &Node,
        at: &Way,
        axis: usize,
        by: Length,
    ) -> Option<Change> {
        let [start, center, end] = [["left", "center", "right"], ["top", "middle", "bottom"]][axis];
        let [after, before] = [["right of", "left of"], ["below", "above"]][axis];
        for (name, sign) in [(start, 1), (center, 1), (end, -1)] {
            if let Some(written) = node.get(name) {
                let value = self.longer(written, by * sign, axis)?;
                return Some(Change::Set { at: with(at, key(name)), value });
            }
        }
        for (name, sign) in [(after, 1), (before, -1)] {
            if node.get(name).is_some() {
                let value = match node.get("gap") {
                    Some(gap) => self.longer(gap, by * sign, 0)?,
                    None => Value::text(lengths::fresh(by * sign, self.layout.units)),
                };
                return Some(Change::Set { at: with(at, key("gap")), value });
            }
        }
        // A tucked piece shows more or less of itself.
        let side = node.get("side").and_then(Node::text).unwrap_or_default();
        let out = match (axis, side) {
            (0, "right") | (1, "bottom") => 1,
            (0, "left") | (1, "top") => -1,
            _ => 0,
        };
        if let Some(shows) = node.get("shows").filter(|_| out != 0) {
            let value = self.longer(shows, by * out, axis)?;
            return Some(Change::Set { at: with(at, key("shows")), value });
        }
        // Nothing is said along this axis: it is, from now on, from the start of what it is measured from.
        let placed = self.placed(element)?;
        let frame = match node.get("on").and_then(Node::text) {
            Some(name) => self.corner_of(name, placed.page)?[axis],
            None => Length::ZERO,
        };
        let value = lengths::fresh(placed.at[axis] + by - frame, self.layout.units);
        Some(Change::Set { at: with(at, key(start)), value: Value::text(value) })
    }

    /// The top left of the element that a position names.
    fn corner_of(&self, name: &str, page: usize) -> Option<[Length; 2]> {
        let own = |placed: &&PlacedElement| placed.page == page;
        let page = self.layout.pages.get(page)?;
        let short = name.strip_prefix(&format!("{page}.")).unwrap_or(name);
        let found = self
            .layout
            .elements
            .iter()
            .filter(own)
            .find(|placed| placed.id == name || placed.id == short);
        Some(found?.at)
    }

    /// The position from the top left of the page, for an element that goes to `other`, if its own is
    /// measured from a piece that isn't there.
    pub(super) fn without_its_neighbours(&self, element: &Element, other: &str) -> Option<Change> {
        let at = with(&element.keys, key("at"));
        let node = self.root.at(&at)?;
        let page = self.layout.pages.iter().position(|page| page.to_string() == other)?;
        let is_there = |name: &str| self.corner_of(name, page).is_some();
        let named = BESIDE.iter().filter_map(|key| Some(node.get(key)?.text()?.to_owned()));
        let ends = pairs(node).into_iter().flatten().flatten();
        // Of `right edge of sky`, the piece; of `right edge`, none.
        let ends = ends.filter_map(|end| match end.split_once(" edge") {
            Some((_, rest)) => rest.trim().strip_prefix("of ").map(str::to_owned),
            None => Some(end),
        });
        if named.chain(ends).all(|name| is_there(&name)) {
            return None;
        }
        let corner = self.placed(element)?.at;
        let written = corner.map(|edge| Value::text(lengths::fresh(edge, self.layout.units)));
        Some(Change::Set { at, value: Value::List(written.to_vec()) })
    }
}
