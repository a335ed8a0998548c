//! Names of pieces, sheets and offcuts, each of a type of its own: the one can't be taken for the other.

use std::borrow::Borrow;
use std::fmt;
use std::ops::Deref;

use serde::{Deserialize, Serialize};

use super::Count;

/// A name that stands for one thing; a record has it as a plain text.
macro_rules! ids {
    ($($(#[$about:meta])+ $name:ident;)+) => {
        $(
            $(#[$about])+
            #[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
            #[serde(transparent)]
            pub struct $name(String);

            impl $name {
                /// As it is written.
                pub fn as_str(&self) -> &str {
                    &self.0
                }
            }

            impl Deref for $name {
                type Target = str;

                fn deref(&self) -> &str {
                    &self.0
                }
            }

            impl AsRef<str> for $name {
                fn as_ref(&self) -> &str {
                    &self.0
                }
            }

            impl Borrow<str> for $name {
                fn borrow(&self) -> &str {
                    &self.0
                }
            }

            impl fmt::Display for $name {
                fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                    self.0.fmt(formatter)
                }
            }

            impl From<String> for $name {
                fn from(id: String) -> Self {
                    Self(id)
                }
            }

            impl From<&str> for $name {
                fn from(id: &str) -> Self {
                    Self(id.to_owned())
                }
            }

            impl From<$name> for String {
                fn from(id: $name) -> Self {
                    id.0
                }
            }

            impl PartialEq<str> for $name {
                fn eq(&self, other: &str) -> bool {
                    self.0 == other
                }
            }

            impl PartialEq<&str> for $name {
                fn eq(&self, other: &&str) -> bool {
                    self.0 == *other
                }
            }

            impl PartialEq<String> for $name {
                fn eq(&self, other: &String) -> bool {
                    self.0 == *other
                }
            }
        )+
    };
}

ids! {
    /// The name of a piece of paper, a strip of the story or a photo on the spread, such as `left.sky`: what
    /// is cut or printed and lies on a sheet.
    ///
    /// ```compile_fail
    /// use cutleaf::model::{PieceId, SheetId};
    /// let piece: PieceId = SheetId::from("harbour-1");
    /// ```
    PieceId;
    /// The name of a sheet of a run, such as `harbour-1`.
    SheetId;
    /// The name of a part of a sheet that is kept: a leftover, a rest, a gutted middle.
    OffcutId;
}

impl SheetId {
    /// The names of as many sheets, this one's the first: the number at its end goes on.
    pub fn all(&self, count: Count) -> impl Iterator<Item = Self> {
        let numbered = self.0.rsplit_once('-').and_then(|(stem, number)| {
            let number: u64 = number.parse().ok()?;
            Some((stem.to_owned(), number))
        });
        let whole = self.0.clone();
        (0..u64::from(count.get())).map(move |further| match (&numbered, further) {
            (_, 0) | (None, _) => Self(whole.clone()),
            (Some((stem, number)), further) => {
                Self(format!("{stem}-{}", number.saturating_add(further)))
            }
        })
    }

    /// The first and the last of those names: `oat-1 to oat-12`; of one sheet its name.
    pub fn span(&self, count: Count) -> String {
        match self.all(count).last() {
            Some(last) if last != *self => format!("{self} to {last}"),
            Some(_) | None => self.to_string(),
        }
    }
}
