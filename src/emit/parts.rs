//! Parts of a sheet that are sheets of their own, in words.

use crate::lettering::label::isolated;
use crate::record::Record;

/// What becomes of the part that is the sheet called `id`.
pub(super) fn told(record: &Record, id: &str) -> String {
    let Some(sheet) = record.sheets.iter().find(|sheet| sheet.id == id) else {
        return format!("sheet {}", isolated(id));
    };
    let id = isolated(id);
    match (sheet.printed, sheet.in_register) {
        (None, None) => format!("sheet {id}, to be cut later"),
        (None, Some(page)) => format!("sheet {id}, for page {page} of print/in-register.pdf"),
        (Some(page), _) => format!("sheet {id}, for page {page} of print/strips.pdf"),
    }
}
