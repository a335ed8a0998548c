//! The names that kits are made for: a text file with one a line, or a column of a CSV file.

use std::path::Path;

use crate::description::{EachSpec, MOST_COPIES, Marked, Place, Single, Text, nearest, printable};

use super::reading::Reader;

/// The longest file of names that is read, in bytes: room for a thousand rows of a class list.
const LONGEST: u64 = 1_000_000;
/// Letters of a name at most.
const LONGEST_NAME: usize = 60;

/// The names, in the order of the file; nothing where a problem was noted.
pub(super) fn names(
    reader: &mut Reader<'_>,
    folder: &Path,
    each: &Marked<EachSpec>,
) -> Option<Vec<String>> {
    let file = &each.value.file.clone().at_or(each.place);
    let text = text(reader, folder, file)?;
    let is_table = Path::new(&*file.value.0)
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
    let names = match &each.value.column {
        Some(column) => column_of(reader, &text, file, column)?,
        None if is_table => {
            let message = format!("`{}` is a table, and no column of it is named", &*file.value);
            let help = format!("write `each: {{file: {}, column: name}}`", &*file.value);
            reader.problem(file.place, message, help);
            return None;
        }
        None => lines(&text),
    };
    sound(reader, names, file)
}

/// The text of a file beside the spec.
fn text(reader: &mut Reader<'_>, folder: &Path, file: &Marked<Text>) -> Option<String> {
    let path = reader.file_beside(folder, file)?;
    let name = &*file.value;
    if std::fs::metadata(&path).is_ok_and(|about| about.len() > LONGEST) {
        let message = format!("`{name}` is longer than {LONGEST} bytes");
        reader.problem(file.place, message, "a list of names is shorter: check which file it is");
        return None;
    }
    let bytes = match std::fs::read(&path) {
        Ok(bytes) => bytes,
        Err(error) => {
            let message = format!("`{name}` can't be read: {error}");
            reader.problem(file.place, message, "check the file's permissions");
            return None;
        }
    };
    match String::from_utf8(bytes) {
        Ok(text) => Some(text.trim_start_matches('\u{feff}').to_owned()),
        Err(_) => {
            let message = format!("`{name}` is no text in UTF-8");
            reader.problem(file.place, message, "save it as text in UTF-8");
            None
        }
    }
}

/// One name a line; blank lines and those that begin with `#` are passed over.
fn lines(text: &str) -> Vec<String> {
    let lines = text.lines().map(str::trim);
    lines.filter(|line| !line.is_empty() && !line.starts_with('#')).map(str::to_owned).collect()
}

/// The values of a column; rows without one are passed over.
fn column_of(
    reader: &mut Reader<'_>,
    text: &str,
    file: &Marked<Text>,
    column: &Marked<Text>,
) -> Option<Vec<String>> {
    let first = text.lines().next().unwrap_or_default();
    // Tables that are saved where a comma parts decimals are parted by semicolons.
    let delimiter = if first.contains(';') && !first.contains(',') { b';' } else { b',' };
    let mut table = csv::ReaderBuilder::new()
        .flexible(true)
        .trim(csv::Trim::All)
        .delimiter(delimiter)
        .from_reader(text.as_bytes());
    let unreadable = |reader: &mut Reader<'_>, error: &csv::Error| {
        let message = format!("`{}` is no CSV file: {error}", &*file.value);
        reader.problem(file.place, message, "save the table as CSV in UTF-8");
    };
    let headers = match table.headers() {
        Ok(headers) => headers.clone(),
        Err(error) => {
            unreadable(reader, &error);
            return None;
        }
    };
    let Some(place) = headers.iter().position(|header| header == &*column.value.0) else {
        let message = format!("`{}` has no column `{}`", &*file.value, &*column.value);
        let known: Vec<String> = headers.iter().take(20).map(printable).collect();
        let help = match nearest(&column.value, headers.iter()) {
            Some(near) => format!("did you mean `{}`?", printable(near)),
            None => format!("its first line names: {}", known.join(", ")),
        };
        reader.problem(column.place, message, help);
        return None;
    };
    let mut names = Vec::new();
    for row in table.records() {
        match row {
            Ok(row) => {
                names.extend(row.get(place).filter(|name| !name.is_empty()).map(str::to_owned))
            }
            Err(error) => {
                unreadable(reader, &error);
                return None;
            }
        }
    }
    Some(names)
}

/// The names, if they are some and can be told.
fn sound(reader: &mut Reader<'_>, names: Vec<String>, file: &Marked<Text>) -> Option<Vec<String>> {
    let (name, place): (&str, Place) = (&file.value, file.place);
    let most = usize::try_from(MOST_COPIES).unwrap_or(usize::MAX);
    if names.is_empty() {
        let message = format!("there is no name in `{name}`");
        reader.problem(place, message, "write one name a line");
        return None;
    }
    if names.len() > most {
        let message = format!("there are {} names in `{name}`", names.len());
        reader.problem(place, message, format!("make {most} kits at a time, or fewer"));
        return None;
    }
    if let Some(long) = names.iter().find(|name| name.chars().count() > LONGEST_NAME) {
        let start: String = printable(long).chars().take(LONGEST_NAME).collect();
        let message =
            format!("a name in `{name}` is longer than {LONGEST_NAME} letters: `{start}…`");
        reader.problem(place, message, "write one name a line");
        return None;
    }
    if let Some(odd) = names.iter().find(|name| name.chars().any(char::is_control)) {
        let message =
            format!("a name in `{name}` has a sign that can't be set: `{}`", printable(odd));
        reader.problem(place, message, "remove it: a name has letters, marks and blanks");
        return None;
    }
    Some(names)
}
