//! What a text says, without where: what an edit means to say is worked out on this and compared with what
//! the edited text says.

use serde::{Deserialize, Serialize};

use super::tree::{Form, Node, Style};
use super::{Change, Step};

/// What a value says. Words and numbers are kept as they are written: `4.50` is not `4.5`.
#[derive(Clone, Debug, Eq, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Value {
    /// Nothing at all.
    Nothing,
    /// A word, number or text.
    Text(String),
    /// A list.
    List(Vec<Value>),
    /// Keys with their values, in order.
    #[serde(with = "in_order")]
    Keys(Vec<(String, Value)>),
    /// What stands elsewhere in the text, by the alias as written; never the value of an edit.
    #[serde(skip)]
    Alias(String),
}

/// Keys in the order in which they are written.
mod in_order {
    use super::Value;
    use serde::de::{MapAccess, Visitor};
    use serde::{Deserializer, Serializer};

    pub(super) fn serialize<S: Serializer>(
        keys: &[(String, Value)],
        serializer: S,
    ) -> Result<S::Ok, S::Error> {
        serializer.collect_map(keys.iter().map(|(key, value)| (key, value)))
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(
        deserializer: D,
    ) -> Result<Vec<(String, Value)>, D::Error> {
        struct Keys;
        impl<'de> Visitor<'de> for Keys {
            type Value = Vec<(String, Value)>;
            fn expecting(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                formatter.write_str("keys")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
                let mut keys = Vec::new();
                while let Some(pair) = map.next_entry()? {
                    keys.push(pair);
                }
                Ok(keys)
            }
        }
        deserializer.deserialize_map(Keys)
    }
}

impl Value {
    /// A text.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// What a node of a text says.
    pub(super) fn of(node: &Node, text: &str) -> Self {
        match &node.form {
            Form::Text { text, style: Style::Plain } if is_nothing(text) => Self::Nothing,
            Form::Text { text, .. } => Self::Text(text.clone()),
            Form::List { items, .. } => {
                Self::List(items.iter().map(|item| Self::of(item, text)).collect())
            }
            Form::Keys { pairs, .. } => {
                let name =
                    |key: &Node| key.text().map_or_else(|| format!("{key:?}"), str::to_owned);
                let pairs = pairs.iter().map(|(key, value)| (name(key), Self::of(value, text)));
                Self::Keys(pairs.collect())
            }
            Form::Alias => Self::Alias(text.get(node.range.clone()).unwrap_or_default().to_owned()),
        }
    }

    /// Whether both say the same: line ends after a text belong to the way it is written, and so does the
    /// order of keys.
    pub(super) fn is_same(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Text(one), Self::Text(other)) => {
                one.trim_end_matches('\n') == other.trim_end_matches('\n')
            }
            (Self::List(one), Self::List(other)) => {
                one.len() == other.len()
                    && one.iter().zip(other).all(|(one, other)| one.is_same(other))
            }
            (Self::Keys(one), Self::Keys(other)) => {
                let same = |((name, one), (key, other)): (&(String, Self), &(String, Self))| {
                    name == key && one.is_same(other)
                };
                let sorted = |keys: &Vec<(String, Self)>| {
                    let mut keys: Vec<_> = keys.clone();
                    keys.sort_by(|one, other| one.0.cmp(&other.0));
                    keys
                };
                let (one, other) = (sorted(one), sorted(other));
                one.len() == other.len() && one.iter().zip(&other).all(same)
            }
            _ => self == other,
        }
    }

    /// Makes a change; `None` where there is no such place.
    pub(super) fn change(&mut self, change: &Change) -> Option<()> {
        match change {
            Change::Set { at, value } => match at.split_last()? {
                (Step::Key(key), above) => {
                    let Self::Keys(pairs) = self.place(above)? else { return None };
                    match pairs.iter_mut().find(|(name, _)| name == key) {
                        Some((_, old)) => *old = value.clone(),
                        None => pairs.push((key.clone(), value.clone())),
                    }
                }
                (Step::Item(_), _) => *self.place(at)? = value.clone(),
            },
            Change::Remove { at } => match at.split_last()? {
                (Step::Key(key), above) => {
                    let Self::Keys(pairs) = self.place(above)? else { return None };
                    let found = pairs.iter().position(|(name, _)| name == key)?;
                    pairs.remove(found);
                }
                (Step::Item(number), above) => {
                    let items = self.items(above)?;
                    if *number >= items.len() {
                        return None;
                    }
                    items.remove(*number);
                }
            },
            Change::Insert { list, before, value } => {
                let items = self.items(list)?;
                if *before > items.len() {
                    return None;
                }
                items.insert(*before, value.clone());
            }
            Change::Move { list, from, to } => {
                let items = self.items(list)?;
                if *from >= items.len() || *to >= items.len() {
                    return None;
                }
                let item = items.remove(*from);
                items.insert(*to, item);
            }
            Change::Copy { list, from } => {
                let items = self.items(list)?;
                let item = items.get(*from)?.clone();
                items.insert(*from + 1, item);
            }
            Change::Transfer { from, to } => {
                let (Step::Item(number), list) = from.split_last()? else { return None };
                let items = self.items(list)?;
                if *number >= items.len() {
                    return None;
                }
                let item = items.remove(*number);
                self.items(to)?.push(item);
            }
        }
        Some(())
    }

    /// The items of a list at the end of a way.
    fn items(&mut self, way: &[Step]) -> Option<&mut Vec<Self>> {
        match self.place(way)? {
            Self::List(items) => Some(items),
            Self::Nothing | Self::Text(_) | Self::Keys(_) | Self::Alias(_) => None,
        }
    }

    fn place(&mut self, way: &[Step]) -> Option<&mut Self> {
        let mut value = self;
        for step in way {
            value = match (value, step) {
                (Self::Keys(pairs), Step::Key(key)) => {
                    pairs.iter_mut().find(|(name, _)| name == key).map(|(_, value)| value)?
                }
                (Self::List(items), Step::Item(number)) => items.get_mut(*number)?,
                _ => return None,
            };
        }
        Some(value)
    }
}

/// Whether a plain word says that there is nothing (YAML 1.2.2, core schema, 10.3.2).
pub(super) fn is_nothing(text: &str) -> bool {
    matches!(text, "" | "~" | "null" | "Null" | "NULL")
}
