//! Reads a record, which people may have touched.

use crate::description::{Edge, Problem};
use crate::layout::{Raised, Tucked};
use crate::model::Choice;
use crate::model::length::Length;
use crate::record::{self, FORMAT, Record};

/// Reads a record of the file called `name`. A word that is not known is told with the field that it stands
/// in and the nearest word.
pub fn read_record(name: &str, text: &str) -> Result<Record, Problem> {
    let read = &mut serde_json::Deserializer::from_str(text);
    let record: Record = serde_path_to_error::deserialize(read).map_err(|error| {
        let field = error.path().to_string();
        Problem::input(
            format!("`{name}` can't be read as a record at `{field}`: {}", error.into_inner()),
            "it was changed by hand or is another version's: build the spread anew",
        )
    })?;
    if record.format == FORMAT {
        return Ok(record);
    }
    Err(Problem::input(
        format!("the format of `{name}` is {}, not {FORMAT}", record.format),
        "build the spread anew with this version",
    ))
}

/// How something is tucked under another, if the record says it soundly.
pub(super) fn tucked(kept: &record::Tucked) -> Option<Tucked> {
    let side = Edge::from_word(&kept.side)?;
    Some(Tucked { under: kept.under.clone(), side, shows: Length::inches(kept.shows) })
}

/// The foam under something.
pub(super) fn raised(kept: &record::Raised) -> Box<Raised> {
    Box::new(Raised {
        height: Length::inches(kept.height),
        square: Length::inches(kept.square),
        at: kept.at.clone(),
    })
}
