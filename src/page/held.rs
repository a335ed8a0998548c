//! What keeps an element where it is: a row, a border, what it lies between, what is left to be fitted.

use crate::layout::{Layout, PlacedElement};
use crate::model::Fault;
use crate::model::naming::slug;

use super::edit::tree::Node;

/// What stands for a side that is left to be fitted.
pub(super) const FIT: &str = "fit";
/// The directions in words, with the keys that say where something lies along each.
const ALONG: [(&str, [&str; 5]); 2] = [
    ("across", ["left", "center", "right", "right of", "left of"]),
    ("down", ["top", "middle", "bottom", "below", "above"]),
];

/// An element that may be held: its place, its keys and what it is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Held<'a> {
    pub layout: &'a Layout,
    pub root: &'a Node,
    pub placed: &'a PlacedElement,
    pub keys: &'a Node,
    pub kind: &'a str,
}

impl Held<'_> {
    /// Why it can't be moved across, and why not down, if so.
    pub(super) fn reasons(&self) -> [Option<Fault>; 2] {
        [0, 1].map(|axis| {
            self.by_its_border()
                .or_else(|| self.by_its_row(axis))
                .or_else(|| self.by_a_line(axis))
                .or_else(|| self.between(axis))
                .or_else(|| self.by_what_is_left(axis))
        })
    }

    fn fault(&self, reason: impl std::fmt::Display, help: &str) -> Fault {
        Fault::new(format!("`{}` {reason}", self.placed.id), help)
    }

    fn by_its_border(&self) -> Option<Fault> {
        (self.kind == "border").then(|| {
            self.fault(
                "runs along its edges, so it can't be moved",
                "change its `along`, `of` or `inset`",
            )
        })
    }

    /// A row along the page has its place across, one along a piece goes with that.
    fn by_its_row(&self, axis: usize) -> Option<Fault> {
        let along = self.keys.get("repeat")?.get("along")?;
        if let Some(word) = along.text() {
            return match (word, axis) {
                ("page" | "spread", 1) => None,
                ("page" | "spread", _) => Some(self.fault(
                    format_args!("is a row over the whole {word}, so it can't be moved across"),
                    "change its `ends` or `count`, or write `along: {from: …, to: …}`",
                )),
                _ => Some(self.fault(
                    format_args!("is a row along `{word}`, and goes with it"),
                    "move that piece, or write `along: {from: …, to: …}`",
                )),
            };
        }
        let edge = along.get("edge")?.text()?;
        let (runs, way) = match edge {
            "top" | "bottom" => (0, "across"),
            _ => (1, "down"),
        };
        (runs == axis).then(|| {
            self.fault(
                format_args!("is a row along the whole {edge} edge, so it can't be moved {way}"),
                "change its `ends` or `count`, or write `along: {from: …, to: …}`",
            )
        })
    }

    /// A row or a column that the page fits.
    fn by_a_line(&self, axis: usize) -> Option<Fault> {
        let page = self.layout.pages.get(self.placed.page)?.to_string();
        let line = ["row", "column"][axis];
        let lines = self.root.get(&page)?.get("fit")?.items();
        let mut names = lines.iter().filter_map(|item| item.get(line)).flat_map(Node::items);
        names.any(|name| name.text().is_some_and(|name| self.is_called(name, &page))).then(|| {
            let (way, _) = ALONG[axis];
            self.fault(
                format_args!("lies in a {line} that the page fits, so it can't be moved {way}"),
                "change the `fit` of the page",
            )
        })
    }

    /// Whether a name in a position means it.
    fn is_called(&self, name: &str, page: &str) -> bool {
        let own = name.strip_prefix(page).and_then(|rest| rest.strip_prefix('.')).unwrap_or(name);
        let shows = |key: &str| {
            let value = self.keys.get(key);
            value.is_some_and(|value| {
                value.text() == Some(own) || value.items().iter().any(|one| one.text() == Some(own))
            })
        };
        let id = &self.placed.id;
        id == own || *id == slug(own) || shows("photo") || shows("photos")
    }

    /// What lies between two things stays in their middle.
    fn between(&self, axis: usize) -> Option<Fault> {
        let pairs = pairs(self.keys.get("at")?)?;
        pairs.iter().any(|pair| self.axis_of(pair) == Some(axis)).then(|| {
            let (way, _) = ALONG[axis];
            self.fault(
                format_args!("keeps its place between two things, so it can't be moved {way}"),
                "move one of these, or write another `at`",
            )
        })
    }

    /// The direction in which two things are apart.
    fn axis_of(&self, [one, other]: &[String; 2]) -> Option<usize> {
        let told = |name: &str| {
            let (edge, _) = name.split_once(" edge")?;
            match edge.trim() {
                "left" | "right" => Some(0),
                "top" | "bottom" => Some(1),
                _ => None,
            }
        };
        told(one).or_else(|| told(other)).or_else(|| {
            let [one, other] = [self.called(one)?, self.called(other)?];
            let apart = one.at[0] + one.size.width <= other.at[0]
                || other.at[0] + other.size.width <= one.at[0];
            Some(usize::from(!apart))
        })
    }

    /// The element of this page that a name means.
    fn called(&self, name: &str) -> Option<&PlacedElement> {
        let page = self.layout.pages.get(self.placed.page)?.to_string();
        let own = name.strip_prefix(&format!("{page}.")).unwrap_or(name);
        let mut elements = self.layout.elements.iter();
        elements.find(|one| one.page == self.placed.page && (one.id == own || one.id == slug(own)))
    }

    /// What fills the room that is left, and says nothing of where that begins, lies where it is.
    fn by_what_is_left(&self, axis: usize) -> Option<Fault> {
        let (way, keys) = ALONG[axis];
        let says =
            |at: &Node| keys.iter().any(|key| at.get(key).is_some()) || !at.items().is_empty();
        if !self.fits()[axis] || self.keys.get("at").is_some_and(says) {
            return None;
        }
        let help = "write its size, or where it begins and ends in `at`";
        Some(self.fault(format_args!("fills what is left {way}, so it can't be moved there"), help))
    }

    /// Whether its width and its height are left to be fitted.
    fn fits(&self) -> [bool; 2] {
        let fits = open(self.keys);
        if self.kind == "strip" {
            // Of a strip, `width` is its narrow side.
            let is = |key| self.keys.get(key).and_then(Node::text) == Some(FIT);
            let sides = [is("length"), is("width")];
            return if self.keys.get("down").is_some() { [sides[1], sides[0]] } else { sides };
        }
        fits
    }
}

/// The sides of an element that its keys leave to be fitted: across and down.
pub(super) fn open(keys: &Node) -> [bool; 2] {
    let is = |key| keys.get(key).and_then(Node::text).is_some_and(|text| text.trim() == FIT);
    if let Some(size) = keys.get("size").and_then(Node::text) {
        if size.trim() == FIT {
            return [true; 2];
        }
        let sides = crate::model::length::sides(size);
        return sides.map_or([false; 2], |sides| sides.map(|side| side.trim() == FIT));
    }
    [is("width"), is("height")]
}

/// The pairs of things between which a position lies, if it is such a one.
pub(super) fn pairs(at: &Node) -> Option<Vec<[String; 2]>> {
    let pair = |text: &str| {
        let (one, other) = text.split_once(" and ")?;
        Some([one.trim().to_owned(), other.trim().to_owned()])
    };
    if let Some(text) = at.text() {
        return Some(vec![pair(text.strip_prefix("between ")?)?]);
    }
    let between = at.get("between")?;
    if let Some(text) = between.text() {
        return Some(vec![pair(text)?]);
    }
    let words: Vec<&str> = between.items().iter().filter_map(Node::text).collect();
    match words[..] {
        [one, other] if pair(one).is_none() || pair(other).is_none() => {
            Some(vec![[one.to_owned(), other.to_owned()]])
        }
        _ => Some(words.into_iter().filter_map(pair).collect()),
    }
}
