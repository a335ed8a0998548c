//! The story as written: paragraphs with `*emphasis*` and `**strong**` words.

use crate::model::Fault;
/// How a stretch of the story is set.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Face {
    /// As the rest.
    #[default]
    Plain,
    /// Between single stars.
    Emphasis,
    /// Between double stars.
    Strong,
    /// Between both.
    StrongEmphasis,
}

impl Face {
    /// Every face; its place here is its number.
    pub const ALL: [Self; 4] = [Self::Plain, Self::Emphasis, Self::Strong, Self::StrongEmphasis];

    const fn of(emphasis: bool, strong: bool) -> Self {
        match (emphasis, strong) {
            (false, false) => Self::Plain,
            (true, false) => Self::Emphasis,
            (false, true) => Self::Strong,
            (true, true) => Self::StrongEmphasis,
        }
    }
}

/// A paragraph: its words with single spaces between, and where its faces begin.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Paragraph {
    /// The words, without marks.
    pub text: String,
    /// The byte at which each stretch begins, and its face.
    pub faces: Vec<(usize, Face)>,
}

impl Paragraph {
    /// The stretches of a part of the text, in bytes of the text.
    pub fn stretches(&self, from: usize, to: usize) -> Vec<(std::ops::Range<usize>, Face)> {
        // A long paragraph has thousands of stretches, and its lines are tried at every break.
        let first = self.faces.partition_point(|(start, _)| *start <= from).saturating_sub(1);
        let faces = self.faces.get(first..).unwrap_or_default();
        let ends = faces.iter().skip(1).map(|(at, _)| *at).chain([self.text.len()]);
        let within = faces.iter().zip(ends).take_while(|((start, _), _)| *start < to);
        let clipped = within.filter_map(|(&(start, face), end)| {
            let range = start.max(from)..end.min(to);
            (!range.is_empty()).then_some((range, face))
        });
        clipped.collect()
    }
}

/// Reads a story: each line with words on it is a paragraph. A star with a space (or nothing) on both
/// sides is a star; so is one after a backslash.
pub fn paragraphs(story: &str) -> Result<Vec<Paragraph>, Fault> {
    let lines = story.lines().map(str::trim).filter(|line| !line.is_empty());
    let read: Result<Vec<Paragraph>, Fault> = lines.map(paragraph).collect();
    Ok(read?.into_iter().filter(|paragraph| !paragraph.text.is_empty()).collect())
}

fn paragraph(line: &str) -> Result<Paragraph, Fault> {
    let letters: Vec<char> = line.chars().collect();
    let letter = |at: usize| letters.get(at).copied();
    let blank = |at: Option<usize>| at.and_then(letter).is_none_or(char::is_whitespace);
    let mut paragraph = Paragraph { text: String::new(), faces: vec![(0, Face::Plain)] };
    let (mut emphasis, mut strong) = (false, false);
    let mut at = 0;
    while let Some(here) = letter(at) {
        let stars = if here == '*' { 1 + usize::from(letter(at + 1) == Some('*')) } else { 0 };
        let alone = blank(at.checked_sub(1)) && blank(Some(at + stars.max(1)));
        if here == '\\' && letter(at + 1) == Some('*') {
            paragraph.text.push('*');
            at += 2;
        } else if stars > 0 && !alone {
            match stars {
                1 => emphasis = !emphasis,
                _ => strong = !strong,
            }
            let start = (paragraph.text.len(), Face::of(emphasis, strong));
            match paragraph.faces.last_mut() {
                Some(last) if last.0 == start.0 => *last = start,
                _ => paragraph.faces.push(start),
            }
            at += stars;
        } else if here.is_whitespace() {
            if !paragraph.text.is_empty() && !paragraph.text.ends_with(' ') {
                paragraph.text.push(' ');
            }
            at += 1;
        } else {
            paragraph.text.push(here);
            at += 1;
        }
    }
    paragraph.text.truncate(paragraph.text.trim_end().len());
    if emphasis || strong {
        let mark = if strong { "**" } else { "*" };
        return Err(Fault::new(
            format!("`{mark}` begins and does not end in the line `{}`", shortened(line)),
            format!("end it with `{mark}` in the same line, or write `\\*` for a star"),
        ));
    }
    Ok(paragraph)
}

/// The beginning of a line, for a message.
fn shortened(line: &str) -> String {
    const MOST: usize = 40;
    match line.char_indices().nth(MOST) {
        Some((at, _)) => format!("{}…", line.get(..at).unwrap_or_default()),
        None => line.to_owned(),
    }
}
