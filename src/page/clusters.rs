//! Pieces of a cluster: each goes by its own offset from the anchor, and the others stay where they are.
//!
//! A cluster is placed by the box round its pieces. What changes that box moves the others, too, unless the
//! cluster's own place makes up for it.

use crate::layout::PlacedElement;
use crate::model::Fault;
use crate::model::length::{Length, Units};

use super::edit::{Change, Step, Value, key, with};
use super::elements::{Bounds, Element, bounds};
use super::lengths;
use super::moves::Known;

impl Known<'_> {
    /// The cluster of which an element is a piece.
    fn cluster_of(&self, element: &Element) -> Option<(&Element, &PlacedElement)> {
        let of = element.of.as_ref()?;
        let cluster = self.elements.iter().find(|one| one.id == *of)?;
        Some((cluster, self.layout.elements.get(cluster.number)?))
    }

    /// Moves a piece of a cluster: its offset changes, along the cluster's own directions.
    pub(super) fn member_moved(
        &self,
        element: &Element,
        by: [Length; 2],
    ) -> Result<Vec<Change>, Fault> {
        let unknown = || {
            Fault::new(
                format!("the offset of `{}` is written in a way that can't be changed", element.id),
                "change its `at: {offset: [right, down]}` in an editor",
            )
        };
        let (cluster, _) = self.cluster_of(element).ok_or_else(unknown)?;
        let along = self.along(by, cluster.turn);
        let at = with(&element.keys, key("at"));
        let offset = with(&at, key("offset"));
        let fresh = || {
            let written = along.map(|by| Value::text(lengths::fresh(by, self.layout.units)));
            Value::List(written.to_vec())
        };
        let mut changes = Vec::new();
        match (self.root.at(&at), self.root.at(&offset)) {
            (None, _) => {
                let value = Value::Keys(vec![("offset".to_owned(), fresh())]);
                changes.push(Change::Set { at, value });
            }
            (Some(_), None) => changes.push(Change::Set { at: offset, value: fresh() }),
            (Some(_), Some(node)) => {
                for (axis, by) in along.into_iter().enumerate() {
                    if by != Length::ZERO {
                        let written = node.items().get(axis).ok_or_else(unknown)?;
                        let value = self.longer(written, by, axis).ok_or_else(unknown)?;
                        changes.push(Change::Set { at: with(&offset, Step::Item(axis)), value });
                    }
                }
            }
        }
        if let Some(placed) = self.placed(element) {
            let [start, end] = bounds(placed);
            let new = [start, end].map(|corner| [0, 1].map(|axis| corner[axis] + by[axis]));
            changes.extend(self.others_stay(element, Some(new)));
        }
        Ok(changes)
    }

    /// What keeps the other pieces of a cluster where they are while one of them takes up other room, or
    /// none; nothing where it is no piece of a cluster, or the cluster can't be moved.
    pub(super) fn others_stay(&self, element: &Element, new: Option<Bounds>) -> Vec<Change> {
        let Some((cluster, placed)) = self.cluster_of(element) else { return Vec::new() };
        let others = placed.members.iter().enumerate();
        let others = others.filter(|(number, _)| Some(*number) != element.member);
        let all = others.map(|(_, other)| bounds(other)).chain(new);
        let round = |one: Bounds, other: Bounds| {
            [
                [0, 1].map(|axis| one[0][axis].min(other[0][axis])),
                [0, 1].map(|axis| one[1][axis].max(other[1][axis])),
            ]
        };
        let Some(after) = all.reduce(round) else { return Vec::new() };
        let before = bounds(placed);
        let stays = |[start, end]: Bounds, axis: usize| {
            let long = (end[axis] - start[axis]).to_inches();
            start[axis] + Length::inches(long * placed.stays[axis])
        };
        let shift = [0, 1].map(|axis| self.on_a_mark(stays(after, axis) - stays(before, axis)));
        if shift == [Length::ZERO; 2] {
            return Vec::new();
        }
        self.moved(cluster, shift).unwrap_or_default()
    }

    /// A way on the page along the directions of what is turned.
    fn along(&self, by: [Length; 2], degrees: f64) -> [Length; 2] {
        if degrees == 0.0 {
            return by;
        }
        let [right, down] = by.map(Length::to_inches);
        let (sine, cosine) = degrees.to_radians().sin_cos();
        [right * cosine + down * sine, down * cosine - right * sine]
            .map(|way| self.on_a_mark(Length::inches(way)))
    }

    /// The nearest of the finest marks that are written: 1/64 in or 0.1 mm.
    fn on_a_mark(&self, length: Length) -> Length {
        let mark = match self.layout.units {
            Units::Inches => Length::part(1, 64),
            Units::Millimetres => Length::nanometres(100_000),
        };
        let (length, mark) = (length.to_nanometres(), mark.to_nanometres());
        Length::nanometres((length + mark / 2).div_euclid(mark) * mark)
    }
}
