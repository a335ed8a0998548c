//! What is looked at before a drawing's shapes are: everything that is refused, and the names by
//! which shapes are called.

use crate::model::Fault;
use std::collections::BTreeMap;

use roxmltree::{Document, Node};

use super::{MOST_BYTES, MOST_PATHS, MOST_SEGMENTS, Process, bounds, size};

/// Deepest nesting of elements, references followed.
const DEEPEST: usize = 64;

/// Most elements once every reference is followed: room for groups and definitions beside paths.
const MOST_ELEMENTS: usize = 10 * MOST_PATHS;

/// The longest style of one element, in bytes: drawing programs write some 40 properties of 30 bytes. A
/// reader compares each with every other.
const LONGEST_STYLE: usize = 4_000;

/// How ids begin that are given to elements without one.
const GIVEN: &str = "unnamed-shape-";

/// Elements that hold what a blade can't follow, and what they are called.
const REFUSED: [(&str, &str); 8] = [
    ("text", "text"),
    ("image", "a picture"),
    ("foreignObject", "a foreign object"),
    ("script", "a script"),
    ("marker", "a marker"),
    ("animate", "an animation"),
    ("animateTransform", "an animation"),
    ("set", "an animation"),
];

/// The drawing's text with an id on every shape, and what the ids stand for.
pub(super) struct Names {
    /// The text to read shapes from.
    pub(super) text: String,
    shown: BTreeMap<String, String>,
    processes: BTreeMap<String, Process>,
    size: [Option<String>; 2],
}

impl Names {
    /// What an element is called in messages.
    pub(super) fn shown(&self, id: &str) -> String {
        self.shown.get(id).cloned().unwrap_or_else(|| "a part of the drawing".to_owned())
    }

    /// What an element's own name says is done along its lines.
    pub(super) fn process(&self, id: &str) -> Option<Process> {
        self.processes.get(id).copied()
    }

    /// Refuses a drawing that doesn't say how large it is.
    pub(super) fn real_size(&self) -> Result<(), Fault> {
        if self.size.iter().all(|side| side.as_deref().is_some_and(size::is_real)) {
            return Ok(());
        }
        let said = match &self.size {
            [Some(width), Some(height)] => format!("only says {width} x {height}"),
            _ => "has no width and height".to_owned(),
        };
        Err(Fault::new(
            format!("the drawing {said}, so its real size isn't known"),
            "say how wide it is to be, or save it with a width and height in in or mm",
        ))
    }
}

/// An element that is refused by name.
pub(super) fn element(kind: &str, name: &str) -> Fault {
    let what = REFUSED.iter().find(|(tag, _)| *tag == kind).map_or("something", |(_, what)| *what);
    let help = match kind {
        "text" => "turn text into paths in a drawing program",
        "image" => "trace the picture into paths, or remove it",
        _ => "remove it, or turn it into paths in a drawing program",
    };
    Fault::new(format!("{name} is {what}, which can't be cut"), help)
}

/// Refuses what can't be cut and what is unsafe; names all that is left.
pub(super) fn check(text: &str) -> Result<Names, Fault> {
    if text.len() > MOST_BYTES {
        return Err(Fault::new(
            format!("the drawing is larger than {} MB", MOST_BYTES / 1_000_000),
            "simplify it in a drawing program",
        ));
    }
    if text.contains("<!ENTITY") {
        return Err(Fault::new(
            "the drawing defines entities, which can hide anything",
            "save it as plain SVG",
        ));
    }
    bounds::check_tags(text)?;
    let options = roxmltree::ParsingOptions {
        allow_dtd: true,
        nodes_limit: 1_000_000,
        ..roxmltree::ParsingOptions::default()
    };
    let document = Document::parse_with_options(text, options).map_err(|cause| {
        Fault::new(format!("the file is no SVG: {cause}"), "save it as plain SVG")
    })?;
    if document.root_element().tag_name().name() != "svg" {
        return Err(Fault::new("the file is no SVG drawing", "save it as plain SVG"));
    }
    check_instructions(&document)?;
    check_depth(&document)?;
    for node in document.descendants().filter(Node::is_element) {
        check_element(node)?;
    }
    bounds::check_styles(&document)?;
    let mut known = BTreeMap::new();
    let held = expanded(document.root_element(), &ids(&document), &mut known, 0)?;
    let limits =
        [(held.elements, MOST_ELEMENTS, "elements"), (held.segments, MOST_SEGMENTS, "segments")];
    if let Some((_, most, what)) = limits.iter().find(|(count, most, _)| count > most) {
        return Err(Fault::new(
            format!("the drawing has more than {most} {what} once copies are made"),
            "simplify it in a drawing program",
        ));
    }
    Ok(named(text, &document))
}

fn check_instructions(document: &Document) -> Result<(), Fault> {
    match document.root().children().find(|node| node.is_pi()) {
        None => Ok(()),
        Some(_) => Err(Fault::new(
            "the drawing has an instruction that names an outside file",
            "save it as plain SVG, with its styles in the file",
        )),
    }
}

/// Depth is counted without recursion, since hostile files are deep.
fn check_depth(document: &Document) -> Result<(), Fault> {
    let mut depths: BTreeMap<usize, usize> = BTreeMap::new();
    for node in document.descendants().filter(Node::is_element) {
        let above = node.parent().and_then(|parent| depths.get(&parent.id().get_usize())).copied();
        let depth = above.map_or(0, |above| above + 1);
        if depth > DEEPEST {
            return Err(too_deep());
        }
        depths.insert(node.id().get_usize(), depth);
    }
    Ok(())
}

fn too_deep() -> Fault {
    Fault::new(
        format!("the drawing is nested more than {DEEPEST} levels deep"),
        "ungroup its parts in a drawing program",
    )
}

fn check_element(node: Node) -> Result<(), Fault> {
    let tag = node.tag_name().name();
    if REFUSED.iter().any(|(refused, _)| *refused == tag) {
        return Err(element(tag, &called(node)));
    }
    for attribute in node.attributes() {
        let value = attribute.value().trim();
        if attribute.name() == "style" && value.len() > LONGEST_STYLE {
            return Err(Fault::new(
                format!("{} has a style of more than {LONGEST_STYLE} bytes", called(node)),
                "open the drawing in a drawing program and save it as plain SVG",
            ));
        }
        let is_link = attribute.name() == "href" && tag != "a";
        if (is_link && !value.starts_with('#')) || names_outside(value) {
            return Err(outside(node));
        }
    }
    let is_outside = tag == "style"
        && node
            .descendants()
            .filter_map(|text| text.text())
            .any(|style| names_outside(style) || style.contains("@import"));
    if is_outside { Err(outside(node)) } else { Ok(()) }
}

/// Whether a style names something outside the file.
fn names_outside(style: &str) -> bool {
    style
        .split("url(")
        .skip(1)
        .any(|rest| !rest.trim_start().trim_start_matches(['"', '\'']).starts_with('#'))
}

fn outside(node: Node) -> Fault {
    Fault::new(
        format!("{} names an outside file, which is never opened", called(node)),
        "put what it names into the drawing, or remove it",
    )
}

type Ids<'a, 'input> = BTreeMap<&'a str, Node<'a, 'input>>;

fn ids<'a, 'input>(document: &'a Document<'input>) -> Ids<'a, 'input> {
    let named = |node: Node<'a, 'input>| node.attribute("id").map(|id| (id, node));
    document.descendants().filter_map(named).collect()
}

/// What an element stands for once references are followed.
#[derive(Clone, Copy, Default)]
struct Held {
    elements: usize,
    segments: usize,
}

impl Held {
    fn add(&mut self, other: Self) {
        self.elements = self.elements.saturating_add(other.elements);
        self.segments = self.segments.saturating_add(other.segments);
    }
}

fn expanded<'a, 'input>(
    node: Node<'a, 'input>,
    ids: &Ids<'a, 'input>,
    known: &mut BTreeMap<usize, Held>,
    depth: usize,
) -> Result<Held, Fault> {
    if depth > DEEPEST {
        return Err(too_deep());
    }
    if let Some(held) = known.get(&node.id().get_usize()) {
        return Ok(*held);
    }
    let mut held = Held { elements: 1, segments: bounds::segments(node)? };
    for child in node.children().filter(Node::is_element) {
        held.add(expanded(child, ids, known, depth + 1)?);
    }
    if node.tag_name().name() == "use" {
        let link = node.attributes().find(|attribute| attribute.name() == "href");
        let id = link.and_then(|link| link.value().trim().strip_prefix('#'));
        let Some(target) = id.and_then(|id| ids.get(id)) else {
            return Err(Fault::new(
                format!("{} copies something that isn't in the drawing", called(node)),
                "remove it",
            ));
        };
        held.add(expanded(*target, ids, known, depth + 1)?);
    }
    // Patterns, masks and the like are drawn anew wherever they are named.
    for attribute in node.attributes() {
        for named in attribute.value().split("url(").skip(1) {
            let id = named.split(')').next().unwrap_or_default();
            let id = id.trim_matches(['"', '\'', ' ', '#']);
            if let Some(target) = ids.get(id) {
                held.add(expanded(*target, ids, known, depth + 1)?);
            }
        }
    }
    known.insert(node.id().get_usize(), held);
    Ok(held)
}

/// Every element's name and process, and the text with an id on each.
fn named(text: &str, document: &Document) -> Names {
    let root = document.root_element();
    let size = ["width", "height"].map(|side| root.attribute(side).map(str::to_owned));
    let mut names = Names {
        text: String::with_capacity(text.len()),
        shown: BTreeMap::new(),
        processes: BTreeMap::new(),
        size,
    };
    let mut written = 0;
    let mut counted = 0;
    let mut line = 1;
    for (index, node) in document.descendants().filter(Node::is_element).enumerate() {
        let id = node.attribute("id").map_or_else(|| format!("{GIVEN}{index}"), str::to_owned);
        if node.attribute("id").is_none() {
            let place = end_of_tag_name(text, node.range().start);
            if let Some(before) = text.get(written..place) {
                names.text.push_str(before);
                names.text.push_str(&format!(" id=\"{id}\""));
                written = place;
            }
        }
        let start = node.range().start;
        line += text.get(counted..start).map_or(0, |passed| passed.matches('\n').count());
        counted = start;
        names.shown.insert(id.clone(), called_on_line(node, line));
        if let Some(process) = says(node) {
            names.processes.insert(id, process);
        }
    }
    names.text.push_str(text.get(written..).unwrap_or_default());
    names
}

/// The place just after `<name` of an element that starts at `start`.
fn end_of_tag_name(text: &str, start: usize) -> usize {
    let rest = text.get(start..).unwrap_or_default();
    let length = rest.find(|letter: char| letter.is_whitespace() || letter == '>' || letter == '/');
    start + length.unwrap_or(rest.len())
}

/// The process that an element's id, class or label names.
fn says(node: Node) -> Option<Process> {
    let named = node.attributes().filter(|one| ["id", "class", "label"].contains(&one.name()));
    let words =
        named.flat_map(|one| one.value().split(|letter: char| !letter.is_ascii_alphabetic()));
    words.into_iter().find_map(|word| match word.to_ascii_lowercase().as_str() {
        "score" => Some(Process::Score),
        "perforate" => Some(Process::Perforate),
        "pen" => Some(Process::Pen),
        "cut" => Some(Process::Cut),
        _ => None,
    })
}

/// What an element is called: its id, or what and where it is.
fn called(node: Node) -> String {
    let line = if node.has_attribute("id") {
        0
    } else {
        usize::try_from(node.document().text_pos_at(node.range().start).row).unwrap_or(0)
    };
    called_on_line(node, line)
}

fn called_on_line(node: Node, line: usize) -> String {
    match node.attribute("id") {
        Some(id) => format!("`{}`", id.chars().take(60).collect::<String>()),
        None => format!("the <{}> in line {line}", node.tag_name().name()),
    }
}
