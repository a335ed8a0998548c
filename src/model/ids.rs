//! Names of pieces, sheets and offcuts, each of a type of its own: the one can't be taken for the other.

use std::borrow::Borrow;
use std::fmt;
use std::ops::Deref;

use serde::{Deserialize, Serialize};

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
