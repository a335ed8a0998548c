//! The user's YAML text, changed where it must be and nowhere else.
//!
//! ```text
//! text ──> tree     values with the bytes in which they stand
//!          value    what the text says, and what it is to say after a change
//!          between  what stands between values: comments, anchors
//!          lines    where lines begin and end, what is taken from them and put in
//!          splices  the bytes that a change takes out and puts in
//!          brackets ... within lists and mappings in brackets
//!          blocks   ... of texts of several lines
//!          written  a value as text, in the style of what stood there
//!      ──> text, read again: an edit that would not say just what it should is never made
//! ```

mod between;
mod blocks;
mod brackets;
mod lines;
mod splices;
pub(crate) mod tree;
mod value;
mod written;

use std::ops::Range;

use serde::{Deserialize, Serialize};

use crate::model::Fault;

pub use value::Value;

/// One step on the way to a value.
#[derive(Clone, Debug, Eq, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Step {
    /// Into the value of a key.
    Key(String),
    /// Into an item of a list, from 0.
    Item(usize),
}

/// The way from the top of a text to a value.
pub type Way = Vec<Step>;

/// A step to a key.
pub(crate) fn key(key: &str) -> Step {
    Step::Key(key.to_owned())
}

/// A way, and one step more.
pub(crate) fn with(way: &[Step], step: Step) -> Way {
    [way, &[step]].concat()
}

/// A change of what a text says.
#[derive(Clone, Debug, Eq, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Change {
    /// A value in place of another; a key that isn't there comes in as the last of its mapping.
    Set {
        /// Where it stands.
        at: Way,
        /// What it is to say.
        value: Value,
    },
    /// A key or an item goes.
    Remove {
        /// Where it stands.
        at: Way,
    },
    /// An item comes into a list.
    Insert {
        /// The list.
        list: Way,
        /// The item before which it goes; the list's length for the end.
        before: usize,
        /// What it says.
        value: Value,
    },
    /// An item goes elsewhere in its list, as it is written.
    Move {
        /// The list.
        list: Way,
        /// Where it stands.
        from: usize,
        /// Where it is to stand afterwards.
        to: usize,
    },
    /// An item a second time, after itself, as it is written.
    Copy {
        /// The list.
        list: Way,
        /// Where it stands.
        from: usize,
    },
    /// An item goes to the end of another list, as it is written.
    Transfer {
        /// The item.
        from: Way,
        /// The other list.
        to: Way,
    },
}

/// Bytes that take the place of others.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Splice {
    /// The bytes that go.
    pub range: Range<usize>,
    /// What comes in their place.
    pub text: String,
}

/// A text after some changes.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Edited {
    /// The text.
    pub text: String,
    /// What brings the text before back.
    pub back: Splice,
}

/// Makes changes one after the other; none of them where one can't be made without harm.
pub fn edit(text: &str, changes: &[Change]) -> Result<Edited, Fault> {
    let mut edited = text.to_owned();
    for change in changes {
        edited = changed(&edited, change)?;
    }
    let back = difference(&edited, text);
    Ok(Edited { text: edited, back })
}

/// Puts a splice into a text; `None` where it isn't of this text.
pub fn spliced(text: &str, splice: &Splice) -> Option<String> {
    let before = text.get(..splice.range.start)?;
    let after = text.get(splice.range.end..)?;
    Some([before, &splice.text, after].concat())
}

/// What a text says; nothing where it can't be read.
pub fn said(text: &str) -> Option<Value> {
    Some(Value::of(&tree::parse(text)?, text))
}

/// What a node of a text says, on one line.
pub(super) fn on_one_line(node: &tree::Node, text: &str) -> String {
    match node.text() {
        Some(words) => words.to_owned(),
        None => written::value(&Value::of(node, text), written::Within::Flow),
    }
}

/// What a text that says `value` says after a change; nothing where there is no such place.
pub fn meant(mut value: Value, change: &Change) -> Option<Value> {
    value.change(change)?;
    Some(value)
}

fn changed(text: &str, change: &Change) -> Result<String, Fault> {
    let unreadable = || {
        Fault::new(
            "the text has a mistake, so nothing can be changed in it here",
            "mend it in an editor first",
        )
    };
    let nowhere = || {
        Fault::new(
            "what was to be changed is not there any more",
            "the page shows the file as it is now: try again",
        )
    };
    let root = tree::parse(text).ok_or_else(unreadable)?;
    let wanted = meant(Value::of(&root, text), change).ok_or_else(nowhere)?;
    let is_meant = |edited: &String| said(edited).is_some_and(|said| said.is_same(&wanted));
    if let Some(parts) = splices::parts(text, &root, change) {
        let edited = parts.iter().try_fold(text.to_owned(), |text, part| changed(&text, part));
        if let Some(edited) = edited.ok().filter(is_meant) {
            return Ok(edited);
        }
    }
    let edit = lines::Edit::of(text, &root);
    let splices = splices::of(&edit, change);
    let edited = splices.and_then(|mut splices| {
        splices.sort_by_key(|splice| std::cmp::Reverse((splice.range.start, splice.range.end)));
        splices.iter().try_fold(text.to_owned(), |text, splice| spliced(&text, splice))
    });
    let edited = edited.filter(is_meant).ok_or_else(|| {
        Fault::new(
            "this can't be written into the text without changing something else",
            "an alias, an anchor or an unusual form stands there: change it in an editor",
        )
    })?;
    match splices::lost_comment(&edit, change, &edited) {
        None => Ok(edited),
        Some(comment) => Err(Fault::new(
            format!("this would lose a comment: `{comment}`"),
            "nothing was changed: change it in an editor, or put the comment elsewhere first",
        )),
    }
}

/// The smallest splice that turns one text into another.
pub(super) fn difference(from: &str, to: &str) -> Splice {
    let same = |pair: &(u8, u8)| pair.0 == pair.1;
    let mut start = from.bytes().zip(to.bytes()).take_while(same).count();
    while !(from.is_char_boundary(start) && to.is_char_boundary(start)) {
        start -= 1;
    }
    let room = from.len().min(to.len()) - start;
    let ends = from.bytes().rev().zip(to.bytes().rev()).take(room);
    let mut end = ends.take_while(same).count();
    while !(from.is_char_boundary(from.len() - end) && to.is_char_boundary(to.len() - end)) {
        end -= 1;
    }
    Splice { range: start..from.len() - end, text: to[start..to.len() - end].to_owned() }
}
