//! What the user wrote: a spread in YAML.
//!
//! In comes the text of a spec; out comes a [`Spec`] of values that know their places in the file, or a list
//! of [`Problem`]s that point at lines. Each value is read here, once: words as enums, lengths as sums of
//! numbers with their units, colours, counts. A text that is no such value keeps why ([`Written`]), so that
//! `layout` can tell all of a spec's faults together. What a bare number means is known when the whole spec
//! is, since `units` is a part of it: so `layout` resolves lengths, by units and page, and reads no text.
//!
//! ```
//! use std::num::NonZeroU64;
//! use cutleaf::model::Effort;
//! let spec = cutleaf::description::parse("name: Dunes\nsingle: {}\ncutting: {effort: quick}\n").unwrap();
//! let effort = spec.cutting.effort.unwrap();
//! assert_eq!((effort.value, effort.place.line), (Ok(Effort::Quick), NonZeroU64::new(3)));
//! ```

mod choices;
mod each;
mod elements;
mod file_kind;
mod fit;
mod journaling;
mod manual;
mod marks;
mod measures;
mod pattern;
mod photo;
mod position;
mod print;
mod printable;
mod problem;
mod read;
mod slips;
mod source;
mod stamps;
mod title;
mod tree;
mod types;
mod unexpected;
mod written;

pub use crate::model::naming::{nearest, slug};
pub use choices::*;
pub use each::EachSpec;
pub use elements::*;
pub(crate) use file_kind::FileKind;
pub use fit::{Between, Extent, FIT, Gap, LengthOrFit, LineSpec};
pub use journaling::{CardSpec, JournalingSpec, StripSpec};
pub use manual::manual;
pub use marks::MarksSpec;
pub use measures::{
    AxisValue, Copies, CoreColor, Distance, FeatureValue, Focus, MOST_COPIES, SheetCount,
    SheetPrice,
};
pub use pattern::{PatternKeys, PatternSpec};
pub use photo::PhotoSpec;
pub use position::{At, Where};
pub use print::{PrintHatchSpec, PrintSpec, RuleSpec};
pub use printable::{in_short, printable, printable_json};
pub use problem::{FaultKind, Problem, Problems};
pub use read::parse;
pub(crate) use read::read;
pub use source::{Key, Marked, OneOrMany, Ordered, Place, Single};
pub use stamps::StampSpec;
pub use title::*;
pub use types::*;
pub use written::{FromText, Written};

/// The JSON Schema of a spec, made from the same types that read one.
pub fn schema() -> serde_json::Value {
    schemars::schema_for!(Spec).to_value()
}
