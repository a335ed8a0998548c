//! Reads a record, which people may have touched.

use crate::description::Problem;
use crate::record::{FORMAT, Record};

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
