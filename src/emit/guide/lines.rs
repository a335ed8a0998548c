//! Text broken into lines: between words; a name that is wider than the column after its dots, or else
//! between its letters. Nothing is cut short.

/// Bytes of a text up to which it is tried as one line first.
const OFTEN_ONE_LINE: usize = 120;

/// The lines of a text, none wider than `room` so far as a single letter isn't.
pub(in crate::emit) fn broken(width: &dyn Fn(&str) -> f64, text: &str, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    let words: Vec<&str> = text.split([' ', '\n', '\t']).filter(|word| !word.is_empty()).collect();
    // Most texts are one line, which is seen at once and not word by word.
    let whole = words.join(" ");
    if whole.len() <= OFTEN_ONE_LINE && width(&whole) <= room {
        return vec![whole];
    }
    for word in words {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if width(&longer) <= room {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        if width(word) <= room {
            word.clone_into(&mut line);
            continue;
        }
        for part in word.split_inclusive('.').flat_map(|part| letters(width, part, room)) {
            let longer = format!("{line}{part}");
            if width(&longer) <= room || line.is_empty() {
                line = longer;
            } else {
                lines.push(std::mem::replace(&mut line, part));
            }
        }
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// A part of a word whole, or in pieces of a letter where it is too wide.
fn letters(width: &dyn Fn(&str) -> f64, part: &str, room: f64) -> Vec<String> {
    if width(part) <= room {
        return vec![part.to_owned()];
    }
    part.chars().map(String::from).collect()
}
