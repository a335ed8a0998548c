//! One of a few words: an enum whose choices know how they are written and what they mean.

use serde::de::Error as _;
use serde::{Deserialize, Deserializer};

use super::naming::nearest;

/// One of a few words.
///
/// ```
/// use cutleaf::model::{Choice, Tool};
/// assert_eq!(Tool::from_word("machine"), Some(Tool::Machine));
/// assert_eq!(Tool::from_word("lathe"), None);
/// assert_eq!(Tool::words().collect::<Vec<_>>(), ["trimmer", "machine", "hand"]);
/// ```
pub trait Choice: Copy + PartialEq + 'static {
    /// What is chosen, as a message names it: ``` `lathe` is not a tool```.
    const WHAT: &'static str;
    /// Every choice, in the order in which they are offered.
    const CHOICES: &'static [Self];

    /// The word for it in specs and records.
    fn word(self) -> &'static str;

    /// What it means, in a sentence.
    fn meaning(self) -> &'static str;

    /// Every word.
    fn words() -> impl Iterator<Item = &'static str> {
        Self::CHOICES.iter().map(|choice| choice.word())
    }

    /// The choice that a word stands for.
    fn from_word(word: &str) -> Option<Self> {
        Self::CHOICES.iter().copied().find(|choice| choice.word() == word)
    }
}

/// Reads a choice by its word; of another word the fault names the nearest one, or all that are known.
pub(crate) fn read_choice<'de, T: Choice, D: Deserializer<'de>>(from: D) -> Result<T, D::Error> {
    let word = String::deserialize(from)?;
    T::from_word(&word).ok_or_else(|| {
        let help = match nearest(&word, T::words()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("known are: {}", T::words().collect::<Vec<_>>().join(", ")),
        };
        D::Error::custom(format!("`{word}` is not a {}; {help}", T::WHAT))
    })
}

/// An enum of choices: `Variant = "word"` with its meaning as its documentation; `usual` names the default.
macro_rules! choices {
    (
        $(#[$about:meta])*
        $seen:vis enum $name:ident, $what:literal $(, usual $usual:ident)? {
            $($(#[doc = $meaning:literal])+ $choice:ident = $word:literal,)+
        }
    ) => {
        $(#[$about])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        $seen enum $name {
            $($(#[doc = $meaning])+ $choice,)+
        }

        impl $name {
            /// Every choice, in the order in which they are offered.
            pub const ALL: [Self; [$($word),+].len()] = [$(Self::$choice),+];

            /// The word for it in specs and records.
            pub const fn name(self) -> &'static str {
                match self {
                    $(Self::$choice => $word,)+
                }
            }
        }

        impl ::std::fmt::Display for $name {
            fn fmt(&self, formatter: &mut ::std::fmt::Formatter<'_>) -> ::std::fmt::Result {
                formatter.write_str(self.name())
            }
        }

        impl $crate::model::Choice for $name {
            const WHAT: &'static str = $what;
            const CHOICES: &'static [Self] = &Self::ALL;

            fn word(self) -> &'static str {
                self.name()
            }

            fn meaning(self) -> &'static str {
                match self {
                    $(Self::$choice => concat!($($meaning),+).trim(),)+
                }
            }
        }

        impl ::serde::Serialize for $name {
            fn serialize<S: ::serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                to.serialize_str(self.name())
            }
        }

        impl<'de> ::serde::Deserialize<'de> for $name {
            fn deserialize<D: ::serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                $crate::model::read_choice(from)
            }
        }

        $(
            impl Default for $name {
                fn default() -> Self {
                    Self::$usual
                }
            }
        )?
    };
}

pub(crate) use choices;
