//! Values: plain, in quotes, in blocks, and what a comment cuts off.

use std::num::NonZeroU64;

use super::{Open, Slip, Slips, YamlLine};

/// Keys whose values are words, in which a `#` without a space after it is meant as such.
const WORDS: [&str; 5] = ["words", "text", "name", "id", "photo"];
/// Keys whose values are colours.
const COLORS: [&str; 10] = [
    "color",
    "ink",
    "background",
    "ground",
    "cut",
    "score",
    "perforate",
    "pen",
    "register",
    "fill",
];

/// Signs that mean something else to YAML where they begin a value.
const SPECIAL: [char; 6] = ['*', '&', '!', '@', '`', '%'];

/// Where the key of a line ends, if it begins with one: at its colon.
pub(super) fn key(text: &str) -> Option<usize> {
    let quoted = text.chars().next().filter(|sign| ['"', '\''].contains(sign));
    if let Some(sign) = quoted {
        let end = 1 + text[1..].find(sign)?;
        return text[end + 1..].starts_with(':').then_some(end + 1);
    }
    let part = text.find(": ").into_iter().chain(text.find(":\t")).min();
    let end = part.or_else(|| text.ends_with(':').then(|| text.len() - 1))?;
    is_key(&text[..end]).then_some(end)
}

/// Whether a text may be a key: words of letters, digits, hyphens, spaces, or a size of sheets.
pub(super) fn is_key(text: &str) -> bool {
    let fits = |letter: char| letter.is_alphanumeric() || " -_./½¼¾×".contains(letter);
    text.starts_with(|letter: char| letter.is_alphanumeric())
        && text.len() <= 60
        && text.chars().all(fits)
        && !text.contains(" - ")
}

impl Slips {
    /// Looks at a value that begins at `at`; whether there is one on this line. `indent` is the column of
    /// its key.
    pub(super) fn value(
        &mut self,
        line: YamlLine<'_>,
        at: usize,
        indent: usize,
        keyed: bool,
    ) -> bool {
        let text = &line.text[at..];
        let Some(first) = text.chars().next() else { return false };
        match first {
            '#' => {
                self.cut_whole(line, at, text);
                return false;
            }
            '{' | '[' => {
                self.flow(line, at, indent_of(line));
                return true;
            }
            '"' | '\'' => {
                self.open_quote(line, at, first);
                if let Some(end) = self.end_of_quote(line, at + 1) {
                    self.after_quote(line, end);
                }
                return true;
            }
            '|' | '>' if is_block_header(text) => {
                self.block = Some(indent);
                return true;
            }
            _ => {}
        }
        self.special(line, at, first);
        let end = comment(text).unwrap_or(text.len());
        let plain = text[..end].trim_end();
        if keyed
            && let Some(colon) = plain.find(": ").or_else(|| plain.strip_suffix(':').map(str::len))
        {
            let message = "`: ` within a value makes a key of what stands before it";
            let help = format!("put the value in quotes: \"{}\"", plain.replace('"', "'"));
            self.add(line.place(at + colon, 1), true, message, help);
        }
        if end < text.len() {
            self.cut_part(line, at, end, text);
        }
        true
    }

    /// A sign that YAML reads as more than a letter.
    pub(super) fn special(&mut self, line: YamlLine<'_>, at: usize, first: char) {
        if SPECIAL.contains(&first) {
            let message = format!("`{first}` at the beginning of a value is a sign of YAML's own");
            let help = "put the whole value in quotes: \"…\"";
            self.add(line.place(at, 1), false, message, help);
        }
    }

    pub(super) fn open_quote(&mut self, line: YamlLine<'_>, at: usize, sign: char) {
        let length = line.text.len() - at;
        self.quote = Some(Open { sign, place: line.place(at, length), indent: indent_of(line) });
        self.key_in_quote = false;
    }

    /// The byte after the closing quote, if it stands on this line.
    pub(super) fn end_of_quote(&mut self, line: YamlLine<'_>, from: usize) -> Option<usize> {
        let sign = self.quote?.sign;
        let mut letters = line.text[from..].char_indices().peekable();
        while let Some((at, letter)) = letters.next() {
            if letter == '\\' && sign == '"' {
                letters.next();
            } else if letter == sign {
                if sign == '\'' && letters.peek().is_some_and(|(_, next)| *next == '\'') {
                    letters.next();
                } else {
                    return Some(from + at + sign.len_utf8());
                }
            }
        }
        None
    }

    /// Looks at what follows a closing quote: nothing but signs of YAML, else the quote was meant otherwise.
    /// Whether brackets are open and go on soundly.
    pub(super) fn after_quote(&mut self, line: YamlLine<'_>, end: usize) -> bool {
        let Some(quote) = self.quote.take() else { return false };
        let rest = &line.text[end..];
        let follows = rest.trim_start();
        let in_flow = !self.flow.is_empty();
        let sound = follows.is_empty()
            || (follows.starts_with('#') && follows.len() < rest.len())
            || follows.starts_with(':')
            || (in_flow && follows.starts_with([',', '}', ']']));
        if sound {
            return in_flow;
        }
        let at = line.text.len() - follows.len();
        if quote.place.line < NonZeroU64::new(line.number) && self.key_in_quote {
            self.unclosed_quote(quote);
        } else if quote.sign == '\'' && rest.starts_with(char::is_alphanumeric) {
            let message = "this apostrophe ends the value that a `'` began";
            let help = "write it twice, `''`, or put the value in double quotes: \"…\"";
            self.add(line.place(end - 1, 1), true, message, help);
        } else {
            let message = "the value ends at its closing quote, and more follows";
            let help = "put the whole value in quotes: '…' if it holds \", and \"…\" if it holds '";
            self.add(line.place(at, follows.len()), true, message, help);
        }
        self.flow.clear();
        false
    }

    /// A value that is a comment from its first sign on.
    pub(super) fn cut_whole(&mut self, line: YamlLine<'_>, at: usize, comment: &str) {
        let word = word(comment);
        if self.cut.len() < super::MOST_SLIPS && (is_color(word) || word.len() > 1) {
            let message = format!("`#` begins a comment, so `{}` has no value", self.key);
            let help = format!("put it in quotes: {}: \"{word}\"", self.key);
            self.cut.push(Slip { place: line.place(at, word.len()), message, help, sure: false });
        }
    }

    /// A value that a comment ends, likely against what was meant.
    pub(super) fn cut_part(&mut self, line: YamlLine<'_>, at: usize, end: usize, text: &str) {
        let start = at + end + 1;
        let word = word(&line.text[start..]);
        let is_meant = match () {
            () if WORDS.contains(&self.key.as_str()) => {
                word[1..].starts_with(char::is_alphanumeric)
            }
            () => COLORS.contains(&self.key.as_str()) && is_color(word),
        };
        if is_meant && self.cut.len() < super::MOST_SLIPS {
            let message = format!(
                "`{}` ends before `{word}`: the rest of the line is taken for a comment",
                self.key
            );
            let help = format!("put the whole value in quotes: \"{} …\"", text[..end].trim());
            let length = line.text.len() - start;
            self.cut.push(Slip { place: line.place(start, length), message, help, sure: false });
        }
    }
}

/// Where a comment begins in a plain value: at the blank before its `#`.
pub(super) fn comment(text: &str) -> Option<usize> {
    text.find(" #").into_iter().chain(text.find("\t#")).min()
}

/// The word at the beginning of a comment, without what closes brackets.
fn word(comment: &str) -> &str {
    let end = comment.find([' ', '\t', ',', '}', ']']).unwrap_or(comment.len());
    &comment[..end]
}

/// Whether a word looks like `#rrggbb`, or nearly.
fn is_color(word: &str) -> bool {
    let digits = word.trim_start_matches('#');
    word.starts_with('#')
        && (3..=8).contains(&digits.len())
        && digits.bytes().all(|digit| digit.is_ascii_hexdigit())
}

/// Whether a value is the sign that a block of text follows: `>`, `|`, with what may stand behind it.
fn is_block_header(text: &str) -> bool {
    let header = text.split(" #").next().unwrap_or_default().trim_end();
    header.len() <= 3 && header[1..].chars().all(|sign| "+-123456789".contains(sign))
}

pub(super) fn indent_of(line: YamlLine<'_>) -> usize {
    line.text.len() - line.text.trim_start().len()
}
