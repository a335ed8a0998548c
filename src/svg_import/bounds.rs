//! How much a drawing may hold, counted in its text before anything is read from it: what an XML or SVG
//! reader does with more takes time that grows with its square, or a stack without end.

use crate::model::Fault;
use std::collections::BTreeSet;

use roxmltree::{Document, Node};

/// Most attributes of an element: SVG 2 knows about 130 that a shape may have. A reader compares each with
/// every other.
const MOST_ATTRIBUTES: usize = 250;

/// Most different namespaces of a drawing; drawing programs declare a dozen.
const MOST_NAMESPACES: usize = 64;

/// Most bytes of style sheets; drawing programs write a rule a colour, some 60 bytes each.
const MOST_STYLE: usize = 64_000;

/// Most parts of a selector, as in `g path`: a reader tries every way to match more.
const MOST_STEPS: usize = 3;

/// Most times that a rule is held against an element.
const MOST_MATCHES: usize = 4_000_000;

/// Most closings of a path one after the other, or arcs that may go nowhere: readers pass them by calling
/// themselves. No drawing program writes two closings in a row.
const MOST_IDLE: usize = 2_000;

/// Counts attributes and namespaces, tag by tag.
pub(super) fn check_tags(text: &str) -> Result<(), Fault> {
    let mut namespaces: BTreeSet<&str> = BTreeSet::new();
    let mut rest = text;
    while let Some(open) = rest.find('<') {
        rest = &rest[open..];
        let skipped = [("<!--", "-->"), ("<![CDATA[", "]]>"), ("<?", "?>"), ("<!", ">")]
            .into_iter()
            .find(|(begin, _)| rest.starts_with(begin))
            .map(|(begin, end)| match rest[begin.len()..].find(end) {
                Some(at) => begin.len() + at + end.len(),
                None => rest.len(),
            });
        if let Some(skipped) = skipped {
            rest = &rest[skipped..];
            continue;
        }
        let (attributes, length) = tag(rest, &mut namespaces);
        if attributes > MOST_ATTRIBUTES {
            return Err(too_much(&format!(
                "an element of the drawing has more than {MOST_ATTRIBUTES} attributes"
            )));
        }
        if namespaces.len() > MOST_NAMESPACES {
            return Err(too_much(&format!(
                "the drawing has more than {MOST_NAMESPACES} namespaces"
            )));
        }
        rest = &rest[length..];
    }
    Ok(())
}

fn too_much(message: &str) -> Fault {
    Fault::new(message, "open it in a drawing program and save it as plain SVG")
}

/// Attributes of the tag that the text begins with, and the tag's length.
fn tag<'a>(text: &'a str, namespaces: &mut BTreeSet<&'a str>) -> (usize, usize) {
    let bytes = text.as_bytes();
    let (mut attributes, mut at, mut name) = (0, 1, 1);
    while at < bytes.len() {
        match bytes[at] {
            b'>' => return (attributes, at + 1),
            b'=' => attributes += 1,
            quote @ (b'"' | b'\'') => {
                let value = bytes[at + 1..].iter().position(|byte| *byte == quote);
                let end = value.map_or(bytes.len(), |length| at + 1 + length);
                if let Some(declared) = text.get(name..end)
                    && declared.starts_with("xmlns")
                {
                    namespaces.insert(declared);
                }
                at = end;
            }
            byte if byte.is_ascii_whitespace() => name = at + 1,
            _ => {}
        }
        at += 1;
    }
    (attributes, bytes.len())
}

/// Bounds style sheets and the number of elements they are held against.
pub(super) fn check_styles(document: &Document) -> Result<(), Fault> {
    let elements = document.descendants().filter(Node::is_element).count();
    let sheets = document
        .descendants()
        .filter(|node| node.is_element() && node.tag_name().name() == "style");
    let (mut bytes, mut rules) = (0, 0);
    for text in sheets.flat_map(|sheet| sheet.descendants()).filter_map(|node| node.text()) {
        bytes += text.len();
        if bytes > MOST_STYLE {
            return Err(too_much(&format!(
                "the style sheet of the drawing is longer than {MOST_STYLE} bytes"
            )));
        }
        let paints = document.descendants().any(|node| node.tag_name().name() == "pattern");
        if paints && text.contains("url(") {
            return Err(too_much("the style sheet of the drawing fills shapes with patterns"));
        }
        for rule in text.split('}') {
            let selectors = rule.split('{').next().unwrap_or_default();
            for selector in selectors.split(',') {
                rules += 1;
                let steps = selector.split([' ', '\t', '\n', '\r', '>', '+', ':', '~']);
                if steps.filter(|step| !step.is_empty()).count() > MOST_STEPS {
                    return Err(too_much("the style sheet of the drawing is too involved"));
                }
            }
        }
    }
    if rules * elements > MOST_MATCHES {
        return Err(too_much("the style sheet of the drawing has too many rules for its elements"));
    }
    Ok(())
}

/// Segments that the points or the path of an element draw, at least.
pub(super) fn segments(node: Node) -> Result<usize, Fault> {
    let path = node.attribute("d").unwrap_or_default();
    let points = node.attribute("points").unwrap_or_default();
    let mut count = numbers(points) / 2;
    let mut idle = 0;
    let (mut command, mut own) = (b'm', 0);
    let bytes = path.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        match bytes[at] {
            letter if letter.is_ascii_alphabetic() && !letter.eq_ignore_ascii_case(&b'e') => {
                count += drawn(command, own).max(1);
                idle = match letter.to_ascii_lowercase() {
                    b'z' if command == b'z' => idle + 1,
                    b'a' => idle + 1,
                    _ => 0,
                };
                (command, own) = (letter.to_ascii_lowercase(), 0);
                at += 1;
            }
            byte if is_of_number(byte) => {
                at += number_length(&bytes[at..]);
                own += 1;
                if command == b'a' && own % 7 == 0 {
                    idle += 1;
                }
            }
            _ => at += 1,
        }
        if idle > MOST_IDLE {
            return Err(Fault::new(
                "a path of the drawing closes itself, or turns in arcs, again and again",
                "simplify it in a drawing program",
            ));
        }
    }
    Ok(count + drawn(command, own))
}

/// Segments that a command with so many numbers draws.
fn drawn(command: u8, numbers: usize) -> usize {
    match command {
        b'h' | b'v' => numbers,
        b'c' => numbers / 6,
        b's' | b'q' => numbers / 4,
        b'a' => numbers / 7 * 4,
        _ => numbers / 2,
    }
}

fn is_of_number(byte: u8) -> bool {
    byte.is_ascii_digit() || matches!(byte, b'.' | b'-' | b'+')
}

/// Bytes of the number that a text begins with.
fn number_length(bytes: &[u8]) -> usize {
    let mut point = bytes[0] == b'.';
    let mut length = 1;
    while let Some(&byte) = bytes.get(length) {
        let after_power = bytes[length - 1].eq_ignore_ascii_case(&b'e');
        match byte {
            b'.' if point => break,
            b'.' => point = true,
            b'-' | b'+' if !after_power => break,
            byte if byte.is_ascii_digit() || byte.eq_ignore_ascii_case(&b'e') => {}
            b'-' | b'+' => {}
            _ => break,
        }
        length += 1;
    }
    length
}

fn numbers(text: &str) -> usize {
    text.split([',', ' ', '\t', '\n', '\r']).filter(|number| !number.is_empty()).count()
}
