//! What is asked on the page, as changes of the spec: the kind of a position stays, its measure changes.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::layout::{Layout, PlacedElement};
use crate::model::Fault;
use crate::model::length::{Length, LengthSum, sides};

use super::edit::tree::{Form, Node};
use super::edit::{Change, Step, Value, Way, key, said, with};
use super::elements::{Element, bounds, pulled, reveal};
use super::held::{FIT, open};
use super::lengths;

/// The smallest that a piece is pulled to; one that is smaller already doesn't become larger by it.
const LEAST: Length = Length::part(1, 16);

/// What is asked on the page.
#[derive(Clone, Debug, Deserialize)]
#[serde(rename_all = "kebab-case", rename_all_fields = "kebab-case")]
pub(super) enum Asked {
    /// An element goes across and down by so many inches.
    Move { element: String, by: [f64; 2] },
    /// It grows by so many inches across and down; what its place is measured from stays.
    Pull { element: String, by: [f64; 2] },
    /// It is turned to so many degrees clockwise.
    Turn { element: String, degrees: f64 },
    /// It goes one place up or down in the order.
    Order { element: String, up: bool },
    /// It goes to the other page, at the same place: from the page's edges, if it was measured from a piece
    /// that the other page hasn't got.
    OtherPage { element: String },
    /// A second one of it.
    Copy { element: String },
    /// It goes.
    Delete { element: String },
    /// A new element of a page, topmost.
    Add { page: String, kind: String, keys: BTreeMap<String, String> },
    /// A new word group of the title.
    AddTitle { title: BTreeMap<String, String> },
    /// A key of an element gets a value, as it was typed; none takes it away.
    Key { element: String, key: String, value: Option<String> },
    /// The story's text.
    Story { text: String },
}

/// A spec as it is, for changes.
pub(super) struct Known<'a> {
    pub layout: &'a Layout,
    pub root: &'a Node,
    pub elements: &'a [Element],
}

impl Known<'_> {
    /// The changes that do what is asked.
    pub(super) fn changes(&self, asked: &Asked) -> Result<Vec<Change>, Fault> {
        match asked {
            Asked::Move { element, by } => {
                self.moved(self.element(element)?, by.map(Length::inches))
            }
            Asked::Pull { element, by } => {
                self.sized(self.element(element)?, by.map(Length::inches))
            }
            Asked::Turn { element, degrees } => self.turned(self.element(element)?, *degrees),
            Asked::Order { element, up } => self.ordered(self.listed(element)?, *up),
            Asked::OtherPage { element } => self.on_other_page(self.listed(element)?),
            Asked::Copy { element } => self.copied(self.listed(element)?),
            Asked::Delete { element } => {
                let element = self.element(element)?;
                let gone = Change::Remove { at: element.way.clone() };
                Ok(std::iter::once(gone).chain(self.others_stay(element, None)).collect())
            }
            Asked::Add { page, kind, keys } => {
                self.added(page, &Value::Keys(vec![(kind.clone(), typed_keys(keys)?)]))
            }
            Asked::AddTitle { title } => {
                Ok(vec![self.to_list(&[key("title")], &typed_keys(title)?)?])
            }
            Asked::Key { element, key: name, value } => {
                let at = with(&self.element(element)?.keys, key(name));
                let is_there = self.root.at(&at).is_some();
                Ok(match value {
                    Some(value) => vec![Change::Set { at, value: typed(value)? }],
                    None if is_there => vec![Change::Remove { at }],
                    None => Vec::new(),
                })
            }
            Asked::Story { text } => {
                let at = vec![key("journaling"), key("text")];
                if self.root.at(&at).is_none() {
                    return Err(Fault::new(
                        "there is no story yet",
                        "write `journaling:` with a paper and a text into the spec first",
                    ));
                }
                Ok(vec![Change::Set { at, value: Value::text(text.trim_end()) }])
            }
        }
    }

    fn element(&self, id: &str) -> Result<&Element, Fault> {
        let found = self.elements.iter().find(|element| element.id == id);
        found.ok_or_else(|| {
            Fault::new(
                format!("there is no `{id}` any more"),
                "the page shows the file as it is now",
            )
        })
    }

    fn listed(&self, id: &str) -> Result<&Element, Fault> {
        let element = self.element(id)?;
        if element.listed {
            return Ok(element);
        }
        Err(Fault::new(
            format!("`{id}` has its own place in the spec and no place in the order of pieces"),
            "title and story lie on top of the pieces",
        ))
    }

    pub(super) fn placed(&self, element: &Element) -> Option<&PlacedElement> {
        let placed = self.layout.elements.get(element.number)?;
        element.member.map_or(Some(placed), |member| placed.members.get(member))
    }

    pub(super) fn page(&self) -> [Length; 2] {
        [self.layout.page.width, self.layout.page.height]
    }

    /// A length as it is written, in nanometres.
    fn length(&self, text: &str, axis: usize) -> Option<Length> {
        let page = self.page();
        let measure = LengthSum::parse(text).ok()?.in_units(self.layout.units).ok()?;
        Some(measure.of(*page.get(axis)?))
    }

    /// A written length, longer by some measure, in the form in which it stands.
    pub(super) fn longer(&self, node: &Node, by: Length, axis: usize) -> Option<Value> {
        let old = node.text()?;
        let new = self.length(old, axis)? + by;
        Some(Value::text(lengths::like(old, new, *self.page().get(axis)?, self.layout.units)))
    }

    /// Pulls an element's edges: its size changes, and what is written of its place stays.
    fn sized(&self, element: &Element, by: [Length; 2]) -> Result<Vec<Change>, Fault> {
        let unknown = || {
            Fault::new(
                format!("the size of `{}` can't be pulled", element.id),
                "it follows from what it holds, or is written in a way that can't be changed here",
            )
        };
        let written = self.root.at(&element.keys).ok_or_else(unknown)?;
        if element.sizes == [false; 2] {
            return Err(self.not_pulled(element, written));
        }
        if pulled(written, &element.kind).is_none()
            && let Some((way, is_one)) = reveal(written)
        {
            return self.revealed(element, &way, is_one, by).ok_or_else(unknown);
        }
        let (name, _) = pulled(written, &element.kind).ok_or_else(unknown)?;
        let node = written.get(name).ok_or_else(unknown)?;
        let old = node.text().ok_or_else(unknown)?;
        let at = with(&element.keys, key(name));
        let page = self.page();
        let by = [0, 1].map(|axis| if element.sizes[axis] { by[axis] } else { Length::ZERO });
        let value = if name == "size" && sides(old).is_some() {
            let size = self.size_of(old).ok_or_else(unknown)?;
            let new = [0, 1].map(|axis| pulled_by(size[axis], by[axis]));
            let same = [0, 1].map(|axis| new[axis] == size[axis]);
            lengths::size_like(old, new, same, page, self.layout.units).ok_or_else(unknown)?
        } else {
            let axis = usize::from(!element.sizes[0]);
            let by = if by[axis] == Length::ZERO { by[1 - axis] } else { by[axis] };
            let new = pulled_by(self.length(old, axis).ok_or_else(unknown)?, by);
            lengths::like(old, new, page[axis], self.layout.units)
        };
        let mut changes = vec![Change::Set { at, value: Value::text(value) }];
        changes.extend(self.grown(element, by));
        Ok(changes)
    }

    /// What else changes where a piece of a cluster grows: the others stay.
    fn grown(&self, element: &Element, by: [Length; 2]) -> Vec<Change> {
        let Some(placed) = self.placed(element).filter(|_| element.of.is_some()) else {
            return Vec::new();
        };
        let by = match element.one_size && by.contains(&Length::ZERO) {
            true => [by[0] + by[1]; 2],
            false => by,
        };
        let [mut start, mut end] = bounds(placed);
        for axis in [0, 1] {
            let more = Length::inches(by[axis].to_inches() * element.grows[axis]);
            start[axis] -= Length::inches(more.to_inches() * placed.stays[axis]);
            end[axis] += Length::inches(more.to_inches() * (1.0 - placed.stays[axis]));
        }
        self.others_stay(element, Some([start, end]))
    }

    /// Why neither side of an element can be pulled.
    fn not_pulled(&self, element: &Element, written: &Node) -> Fault {
        let help = if written.get("repeat").is_some() {
            "it is a row: write the size of its pieces, or what it runs along"
        } else if open(written).contains(&true) {
            "it fills what is left: write a size in place of `fit`"
        } else if element.turn != 0.0 && pulled(written, &element.kind).is_some() {
            "it is turned: write its size"
        } else {
            "it follows from what it holds"
        };
        Fault::new(format!("the size of `{}` can't be pulled", element.id), help)
    }

    /// Pulls the outermost mat: its reveal takes what its edges go by.
    fn revealed(
        &self,
        element: &Element,
        way: &[Step],
        is_one: bool,
        by: [Length; 2],
    ) -> Option<Vec<Change>> {
        let at = [&element.keys[..], way].concat();
        let node = self.root.at(&at)?;
        let (mut changes, mut grown) = (Vec::new(), by);
        if is_one {
            let more = if by[0].abs() < by[1].abs() { by[1] } else { by[0] } / element.shares;
            let old = self.length(node.text()?, 0)?;
            let new = pulled_by(old, more);
            grown = [(new - old) * 2; 2];
            let value = lengths::like(node.text()?, new, self.page()[0], self.layout.units);
            changes.push(Change::Set { at, value: Value::text(value) });
        } else {
            for (axis, side) in ["right", "bottom"]
                .into_iter()
                .enumerate()
                .filter(|(axis, _)| by[*axis] != Length::ZERO)
            {
                let value = match node.get(side) {
                    Some(written) => self.longer(written, by[axis], axis)?,
                    None => Value::text(lengths::fresh(by[axis].max(LEAST), self.layout.units)),
                };
                changes.push(Change::Set { at: with(&at, key(side)), value });
            }
        }
        changes.extend(self.grown(element, grown));
        Some(changes)
    }

    fn size_of(&self, text: &str) -> Option<[Length; 2]> {
        // A side that is left to be fitted stays as it is, whatever stands for it here.
        let text = text.replace(FIT, "1");
        let size = crate::model::length::parse_sides(&text, self.layout.units)?;
        let [width, height] = size;
        let page = self.page();
        Some([width.ok()?.of(page[0]), height.ok()?.of(page[1])])
    }

    fn turned(&self, element: &Element, degrees: f64) -> Result<Vec<Change>, Fault> {
        if !element.turns || !degrees.is_finite() {
            return Err(Fault::new(
                format!("`{}` can't be turned", element.id),
                "what lies over both pages or is fitted, borders, title and story stay level",
            ));
        }
        let at = with(&element.keys, key("turn"));
        let degrees = (degrees * 100.0).round().rem_euclid(36_000.0) / 100.0;
        let degrees = if degrees > 180.0 { degrees - 360.0 } else { degrees };
        if degrees == 0.0 && self.root.at(&at).is_some() {
            return Ok(vec![Change::Remove { at }]);
        }
        Ok(vec![Change::Set { at, value: Value::text(degrees.to_string()) }])
    }

    fn ordered(&self, element: &Element, up: bool) -> Result<Vec<Change>, Fault> {
        let (list, from) = place_in_list(element)?;
        let count = self.root.at(&list).map_or(0, |list| list.items().len());
        let to = if up { from + 1 } else { from.wrapping_sub(1) };
        if to >= count {
            let end = if up { "topmost" } else { "lowest" };
            return Err(Fault::new(
                format!("`{}` is the {end} already", element.id),
                "choose another piece",
            ));
        }
        Ok(vec![Change::Move { list, from, to }])
    }

    fn on_other_page(&self, element: &Element) -> Result<Vec<Change>, Fault> {
        let (list, from) = place_in_list(element)?;
        if let Some(cluster) = &element.of {
            return Err(Fault::new(
                format!("`{}` is a piece of `{cluster}`, and goes with it", element.id),
                "put the whole cluster on the other page",
            ));
        }
        let other = match list.first() {
            Some(Step::Key(page)) if page == "left" => "right",
            Some(Step::Key(page)) if page == "right" => "left",
            _ => return Err(Fault::new("there is no other page", "a spread of one page has one")),
        };
        let to = vec![key(other), key("pieces")];
        self.written_here(&to)?;
        let mut changes = Vec::new();
        let is_list = |node: &Node| matches!(node.form, Form::List { .. });
        if !self.root.at(&to).is_some_and(is_list) {
            if self.root.get(other).is_none() {
                return Err(Fault::new(
                    format!("there is no {other} page"),
                    format!("write `{other}:` with a `base` into the spec first"),
                ));
            }
            changes.push(Change::Set { at: to.clone(), value: Value::List(Vec::new()) });
        }
        let item = with(&list, Step::Item(from));
        changes.extend(self.without_its_neighbours(element, other));
        changes.push(Change::Transfer { from: item, to });
        Ok(changes)
    }

    fn copied(&self, element: &Element) -> Result<Vec<Change>, Fault> {
        let (list, from) = place_in_list(element)?;
        let copy = with(&with(&list, Step::Item(from + 1)), key(&element.kind));
        let mut changes = vec![Change::Copy { list, from }];
        if let Some(id) =
            self.root.at(&element.keys).and_then(|keys| keys.get("id")).and_then(Node::text)
        {
            let taken = |name: &str| {
                self.elements.iter().any(|other| {
                    other.page == element.page && other.id.ends_with(&format!(".{name}"))
                })
            };
            let free = (2..).map(|number| format!("{id}-{number}")).find(|name| !taken(name));
            let value = Value::text(free.unwrap_or_default());
            changes.push(Change::Set { at: with(&copy, key("id")), value });
        }
        Ok(changes)
    }

    fn added(&self, page: &str, element: &Value) -> Result<Vec<Change>, Fault> {
        if self.root.get(page).is_none() {
            return Err(Fault::new(
                format!("there is no {page} page"),
                "name a page of this spread",
            ));
        }
        Ok(vec![self.to_list(&[key(page), key("pieces")], element)?])
    }

    /// A value at the end of a list, which is made where there is none.
    fn to_list(&self, list: &[Step], value: &Value) -> Result<Change, Fault> {
        self.written_here(list)?;
        let (list, value) = (list.to_vec(), value.clone());
        Ok(match self.root.at(&list).map(|node| &node.form) {
            Some(Form::List { items, .. }) => Change::Insert { before: items.len(), list, value },
            _ => Change::Set { at: list, value: Value::List(vec![value]) },
        })
    }

    /// Refuses a place that is an alias, or within one: what it stands for is written elsewhere.
    fn written_here(&self, way: &[Step]) -> Result<(), Fault> {
        let mut above = (1..=way.len()).filter_map(|count| way.get(..count));
        let alias = above
            .find(|way| self.root.at(way).is_some_and(|node| matches!(node.form, Form::Alias)));
        let Some(alias) = alias else { return Ok(()) };
        let names = alias.iter().map(|step| match step {
            Step::Key(key) => key.clone(),
            Step::Item(number) => (number + 1).to_string(),
        });
        let names = names.collect::<Vec<_>>().join(": ");
        Err(Fault::new(
            format!("`{names}` is an alias (`*…`), so nothing can be added to it"),
            "add it where the anchor of that name is (`&…`), or write a list in place of the alias",
        ))
    }
}

/// A measure that is pulled by some way.
fn pulled_by(measure: Length, by: Length) -> Length {
    (measure + by).max(LEAST.min(measure))
}

/// The list of an element and its place there.
fn place_in_list(element: &Element) -> Result<(Way, usize), Fault> {
    match element.way.split_last() {
        Some((Step::Item(number), list)) => Ok((list.to_vec(), *number)),
        _ => Err(Fault::new(
            format!("`{}` stands in no list", element.id),
            "title and story have their own places",
        )),
    }
}

/// A value as it was typed: a list or keys in brackets, or a word.
fn typed(text: &str) -> Result<Value, Fault> {
    let text = text.trim();
    if !text.starts_with(['[', '{']) {
        return Ok(Value::text(text));
    }
    said(text).ok_or_else(|| {
        if with_aliases_as_words(text).is_some_and(|text| said(&text).is_some()) {
            return Fault::new(
                format!("`{text}` has an alias (`*…`), which can't be typed in here"),
                "write what it stands for, or write the alias in an editor",
            );
        }
        Fault::new(
            format!("`{text}` has a bracket too many or too few"),
            "close each bracket that is opened",
        )
    })
}

/// A text with plain words in place of what may be aliases; nothing where there are none.
fn with_aliases_as_words(text: &str) -> Option<String> {
    let mut words = String::new();
    for letter in text.chars() {
        let begins = words.ends_with([' ', '[', '{', ',', ':']);
        words.push(if letter == '*' && begins { 'x' } else { letter });
    }
    (words != text).then_some(words)
}

fn typed_keys(keys: &BTreeMap<String, String>) -> Result<Value, Fault> {
    let keys = keys.iter().map(|(key, value)| Ok((key.clone(), typed(value)?)));
    Ok(Value::Keys(keys.collect::<Result<_, Fault>>()?))
}
