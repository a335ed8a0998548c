//! Lists and mappings in brackets.

use super::{Open, Slips, YamlLine};

impl Slips {
    /// Looks at a line within brackets, or that opens one, from the byte `at`.
    pub(super) fn flow(&mut self, line: YamlLine<'_>, mut at: usize, indent: usize) {
        let opened_here = self.flow.is_empty();
        while let Some(sign) = line.text[at..].chars().next() {
            let before = line.text[..at].chars().next_back();
            match sign {
                ' ' | '\t' => at += 1,
                '#' if before.is_none_or(char::is_whitespace) => {
                    self.flow_comment(line, at);
                    return;
                }
                '{' | '[' => {
                    self.flow.push(Open { sign, place: line.place(at, 1), indent });
                    (self.colons, at) = (0, at + 1);
                }
                '}' | ']' => {
                    if !self.close(line, at, sign) {
                        return;
                    }
                    (self.colons, at) = (0, at + 1);
                    if self.flow.is_empty() {
                        self.after_brackets(line, at, opened_here);
                        return;
                    }
                }
                ',' => (self.colons, at) = (0, at + 1),
                ':' => {
                    self.colon(line, at);
                    at += 1;
                }
                '"' | '\'' => {
                    self.open_quote(line, at, sign);
                    match self.end_of_quote(line, at + 1) {
                        Some(end) if self.after_quote(line, end) => at = end,
                        Some(_) | None => return,
                    }
                }
                _ => at = self.plain(line, at),
            }
        }
    }

    /// Reads a plain word group in brackets; where it ends.
    fn plain(&mut self, line: YamlLine<'_>, at: usize) -> usize {
        let text = &line.text[at..];
        if let Some(first) = text.chars().next() {
            self.special(line, at, first);
        }
        let (end, is_comment) = end_of_plain(text);
        let plain = text[..end].trim_end();
        if text[plain.len()..].trim_start().starts_with(':') {
            self.key = plain.to_owned();
        } else if self.colons == 0 && self.flow.last().is_some_and(|open| open.sign == '{') {
            self.glued(YamlLine { text: &line.text[..at + plain.len()], ..line }, at);
        }
        if is_comment {
            self.cut_part(line, at, end, text);
        }
        at + end
    }

    /// A colon between key and value; a second one in an entry belongs to the value.
    fn colon(&mut self, line: YamlLine<'_>, at: usize) {
        self.colons += 1;
        if self.colons > 1 && self.flow.last().is_some_and(|open| open.sign == '{') {
            let message =
                "a second `: ` in one entry: a comma is missing, or it belongs to the value";
            let help = "write a comma before the next key, or put the whole value in quotes";
            self.add(line.place(at, 1), true, message, help);
        }
    }

    /// A comment within brackets, which may take their ends with it.
    fn flow_comment(&mut self, line: YamlLine<'_>, at: usize) {
        let comment = &line.text[at..];
        let is_value = line.text[..at].trim_end().ends_with(':');
        if is_value {
            self.cut_whole(line, at, comment);
        }
        if comment.contains(['}', ']']) && self.comment.is_none() {
            self.comment = Some(line.place(at, comment.len()));
        }
    }

    /// Closes a bracket; whether one was open that fits.
    fn close(&mut self, line: YamlLine<'_>, at: usize, sign: char) -> bool {
        let place = line.place(at, 1);
        match self.flow.pop() {
            Some(open) if closing(open.sign) == sign => true,
            Some(open) => {
                let message = format!("`{}` is closed by `{sign}`", open.sign);
                let help = format!(
                    "write `{}` here, or close what was opened after it",
                    closing(open.sign)
                );
                self.add(place, true, message, help);
                self.flow.clear();
                false
            }
            None => {
                self.add(place, true, format!("`{sign}` closes nothing"), "leave it out");
                false
            }
        }
    }

    /// What follows the last bracket of a value: nothing, or a comment.
    fn after_brackets(&mut self, line: YamlLine<'_>, at: usize, opened_here: bool) {
        self.comment = None;
        let rest = line.text[at..].trim_start();
        if rest.is_empty() || rest.starts_with('#') || rest.starts_with(':') {
            return;
        }
        let from = line.text.len() - rest.len();
        if rest.starts_with(['}', ']']) {
            let sign = &rest[..1];
            self.add(line.place(from, 1), true, format!("`{sign}` closes nothing"), "leave it out");
        } else if opened_here {
            let message = "the value ends at its closing bracket, and more follows";
            let help = "begin the next key on a line of its own, or put words in quotes";
            self.add(line.place(from, rest.len()), true, message, help);
        }
    }

    /// Brackets that were opened and, where their value has to end, not closed.
    pub(super) fn never_closed(&mut self) {
        let comment = self.comment.take();
        let Some(open) = self.flow.last().copied() else { return };
        self.flow.clear();
        match comment {
            Some(place) => {
                let message = "`#` begins a comment here, which takes the closing bracket with it";
                let help = "put the value in quotes, such as color: \"#2b5673\"";
                self.add(place, true, message, help);
            }
            None => {
                let message = format!("this `{}` is never closed", open.sign);
                let help = format!("write `{}` where the list of it ends", closing(open.sign));
                self.add(open.place, true, message, help);
            }
        }
    }
}

/// The bracket that closes another.
fn closing(open: char) -> char {
    if open == '{' { '}' } else { ']' }
}

/// Where a plain word group in brackets ends, at least one letter on, and whether a comment ends it.
fn end_of_plain(text: &str) -> (usize, bool) {
    let mut letters = text.char_indices().peekable();
    letters.next();
    let mut before = text.chars().next().unwrap_or(' ');
    while let Some((at, letter)) = letters.next() {
        let next = letters.peek().map(|(_, next)| *next);
        match letter {
            ',' | '[' | ']' | '{' | '}' => return (at, false),
            ':' if next.is_none_or(char::is_whitespace) => return (at, false),
            '#' if before.is_whitespace() => return (at - before.len_utf8(), true),
            _ => {}
        }
        before = letter;
    }
    (text.len(), false)
}
