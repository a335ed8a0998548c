//! Text from outside as a terminal may show it: nothing that moves the cursor, changes colours or turns the
//! order of letters round, and nothing without end.

/// Letters of one message that are shown; the longest of the program's own have about 400.
const MOST_LETTERS: usize = 900;

/// Whether a letter changes what stands round it in place of being seen: control characters (categories
/// Cc, Zl, Zp), marks of direction (UAX 9), and other format characters that draw nothing.
fn is_unseen(letter: char) -> bool {
    letter.is_control()
        || matches!(letter,
            '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}'
            | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// The text with every letter that a terminal would obey rather than show written as its code point,
/// `\u{1b}`. Line breaks stay.
///
/// ```
/// assert_eq!(cutleaf::description::printable("sky\u{1b}[2J"), "sky\\u{1b}[2J");
/// assert_eq!(cutleaf::description::printable("kite \u{202e}day"), "kite \\u{202e}day");
/// ```
pub fn printable(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '\n' => shown.push(letter),
            '\t' => shown.push(' '),
            letter if is_unseen(letter) => shown.extend(letter.escape_unicode()),
            letter => shown.push(letter),
        }
    }
    shown
}

/// JSON with the same letters written as JSON escapes, which leave its values as they are.
///
/// ```
/// assert_eq!(cutleaf::description::printable_json("[\"\u{202e}\"]"), "[\"\\u202e\"]");
/// ```
pub fn printable_json(json: &str) -> String {
    let mut shown = String::with_capacity(json.len());
    let mut units = [0; 2];
    for letter in json.chars() {
        match letter {
            '\n' => shown.push(letter),
            letter if is_unseen(letter) => {
                for unit in letter.encode_utf16(&mut units) {
                    shown.push_str(&format!("\\u{unit:04x}"));
                }
            }
            letter => shown.push(letter),
        }
    }
    shown
}

/// A message of one line that ends: what is longer than any of the program's own loses its middle.
pub fn in_short(text: &str) -> String {
    let mut shown = printable(text).replace('\n', " ");
    if shown.chars().count() > MOST_LETTERS {
        let letters: Vec<char> = shown.chars().collect();
        let half = MOST_LETTERS / 2;
        shown = letters[..half].iter().chain(&[' ', '…', ' ']).collect();
        shown.extend(&letters[letters.len() - half..]);
    }
    shown
}
