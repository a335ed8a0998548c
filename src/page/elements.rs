//! What can be moved on the page: each element of the spec, where it lies, and where its text stands.

use std::collections::BTreeSet;

use serde::{Serialize, Serializer};

use crate::layout::{Layout, PlacedElement};
use crate::model::Fault;
use crate::model::length::{Length, LengthSum, Size};
use crate::model::naming::slug;

use super::edit::tree::Node;
use super::edit::{Step, Way, on_one_line, with};
use super::held::{Held, open};

/// An element of a spread.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Element {
    /// Its name, with its page's before it.
    pub id: String,
    /// Its page, by place.
    pub page: usize,
    /// The way to its list item in the spec.
    pub way: Way,
    /// The way to its keys.
    pub keys: Way,
    /// What it is, in the spec's word.
    pub kind: String,
    /// Top left of its turned bounding box on its page, in inches.
    pub at: [f64; 2],
    /// Its turned bounding box in inches.
    pub size: [f64; 2],
    /// Degrees clockwise.
    pub turn: f64,
    /// Its line in the spec.
    pub line: Option<u64>,
    /// Whether it may be moved across and down.
    pub moves: [bool; 2],
    /// The sides that can be pulled: across and down.
    pub sizes: [bool; 2],
    /// Whether it can be turned.
    pub turns: bool,
    /// Whether its order, page and number can be changed.
    pub listed: bool,
    /// Pieces and photos that it is made of.
    pub parts: Vec<String>,
    /// The names of the photos among them, by which the picture knows these.
    pub photos: Vec<String>,
    /// Its keys as they are written.
    pub written: Vec<Written>,
    /// Of what a pull adds to its size, how much the measure takes: a reveal lies on both sides of a mat.
    pub shares: i64,
    /// Whether both sides are one measure, as those of a circle are.
    pub one_size: bool,
    /// Whether it runs on over the gutter.
    pub across: bool,
    /// In words, for those who don't see it.
    pub told: String,
    /// Across and down, which point of its box stays where it is while its size is pulled: 0 its left or top,
    /// 1/2 its middle, 1 its right or bottom.
    pub stays: [f64; 2],
    /// How much each side of its box grows with an inch of what is pulled.
    pub grows: [f64; 2],
    /// The cluster of which it is a piece.
    pub of: Option<String>,
    /// Why it can't be moved across, and why not down, if so.
    #[serde(serialize_with = "messages")]
    pub held: [Option<Fault>; 2],
    /// Its number among the elements of the layout.
    #[serde(skip)]
    pub number: usize,
    /// And its number among the pieces of that cluster.
    #[serde(skip)]
    pub member: Option<usize>,
}

/// A key of an element with its value as it is written.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Written {
    pub key: String,
    pub text: String,
}

/// The keys by which an element's size is pulled, by what it is: the key, and the sides that it sets.
const PULLED: [(&str, [bool; 2]); 5] = [
    ("size", [true, true]),
    ("diameter", [true, true]),
    ("width", [true, false]),
    ("height", [false, true]),
    ("length", [true, false]),
];

/// The elements of a layout whose text is `root`, lowest first.
pub(super) fn elements(layout: &Layout, root: &Node, text: &str) -> Vec<Element> {
    let mut found: Vec<Element> = Vec::new();
    for number in 0..layout.elements.len() {
        let Some(mut one) = element(layout, root, text, number) else { continue };
        let taken = |id: &str| found.iter().any(|other| other.id == id);
        if taken(&one.id) {
            let mut others = (2..).map(|number| format!("{}-{number}", one.id));
            one.id = others.find(|id| !taken(id)).unwrap_or_default();
        }
        let members = members(layout, root, text, &one);
        found.push(one);
        found.extend(members);
    }
    found
}

/// The pieces of a cluster that are written out in its own list.
fn members(layout: &Layout, root: &Node, text: &str, cluster: &Element) -> Vec<Element> {
    let placed = layout.elements.get(cluster.number).map_or(&[][..], |placed| &placed.members);
    let list = with(&cluster.keys, Step::Key("pieces".to_owned()));
    let items = root.at(&list).map_or(&[][..], Node::items);
    let found = placed.iter().enumerate().filter_map(|(member, placed)| {
        let (number, kind) = item_at(items, placed.place.offset)?;
        let way = with(&list, Step::Item(number));
        let keys = with(&way, Step::Key(kind.clone()));
        let of = Of { number: cluster.number, member: Some(member) };
        let mut one = described(layout, root, text, Described { placed, of, way, keys, kind })?;
        one.of = Some(cluster.id.clone());
        Some(one)
    });
    found.collect()
}

/// Which of a list's items is described at a byte, and its kind.
fn item_at(items: &[Node], offset: usize) -> Option<(usize, String)> {
    let number = items.iter().position(|item| item.range.contains(&offset))?;
    let [(kind, _)] = items.get(number)?.pairs() else { return None };
    Some((number, kind.text()?.to_owned()))
}

/// An element of the layout, by its number there and, of a piece of a cluster, among that cluster's.
#[derive(Clone, Copy, Debug)]
struct Of {
    number: usize,
    member: Option<usize>,
}

/// An element of the layout and where its text stands.
struct Described<'a> {
    placed: &'a PlacedElement,
    of: Of,
    way: Way,
    keys: Way,
    kind: String,
}

/// What is written for the page: the messages alone.
fn messages<S: Serializer>(held: &[Option<Fault>; 2], serializer: S) -> Result<S::Ok, S::Error> {
    let told: BTreeSet<&str> = held.iter().flatten().map(|fault| fault.message.as_str()).collect();
    serializer.collect_seq(told)
}

/// The name of an element on its page: that of its photo where it has none of its own.
fn name_of(placed: &PlacedElement, written: &Node, kind: &str) -> String {
    let photo = written.get("photo").and_then(Node::text);
    match photo.filter(|_| kind == "photo" && written.get("id").is_none()) {
        Some(photo) => slug(photo),
        None => placed.id.clone(),
    }
}

fn element(layout: &Layout, root: &Node, text: &str, number: usize) -> Option<Element> {
    let placed = layout.elements.get(number)?;
    let (way, keys, kind) = found(root, placed.place.offset)?;
    let of = Of { number, member: None };
    described(layout, root, text, Described { placed, of, way, keys, kind })
}

fn described(
    layout: &Layout,
    root: &Node,
    text: &str,
    Described { placed, of, way, keys, kind }: Described<'_>,
) -> Option<Element> {
    let page = layout.pages.get(placed.page)?;
    let written = root.at(&keys)?;
    let parts = match of.member {
        Some(_) => parts_of_member(layout, placed),
        None => parts(layout, placed),
    };
    let listed = way.iter().any(|step| step == &Step::Key("pieces".to_owned()));
    let is_row = written.get("repeat").is_some();
    let open = open(written);
    let sizes = match pulled(written, &kind) {
        _ if placed.turn != 0.0 || is_row => [false; 2],
        Some((_, sides)) => sides,
        None => [reveal(written).is_some(); 2],
    };
    let is_strip = kind == "strip";
    let grows = grows(layout, placed, written, &kind);
    let one_size = grows.is_some()
        || pulled(written, &kind).is_none() && reveal(written).is_some_and(|(_, one)| one);
    let shares = if grows.is_none() && one_size { 2 } else { 1 };
    let keys_as_written = written.pairs().iter().filter_map(|(key, value)| {
        Some(Written { key: key.text()?.to_owned(), text: on_one_line(value, text) })
    });
    let is_down = written.get("down").is_some();
    let has_length = written.get("length").is_some();
    let moves = match (is_strip, is_down, has_length) {
        (true, false, false) => [false, true],
        (true, true, false) => [true, false],
        _ => [!placed.across_spread, true],
    };
    let held = match of.member {
        // It goes by its offset.
        Some(_) => [None, None],
        None => Held { layout, root, placed, keys: written, kind: &kind }.reasons(),
    };
    let moves = [0, 1].map(|axis| moves[axis] && held[axis].is_none());
    let name = name_of(placed, written, &kind);
    let turn = match written.get("turn").and_then(Node::text) {
        Some(turn) if is_row => turn.parse().unwrap_or(0.0),
        _ => placed.turn,
    };
    let [x, y] = placed.at.map(|length| length.show(layout.units));
    let Size { width, height } = placed.size;
    let told = format!(
        "{kind} {name}, {} x {}, {x} from the left, {y} from the top of the {page} page",
        width.show(layout.units),
        height.show(layout.units),
    );
    Some(Element {
        id: format!("{page}.{name}"),
        page: placed.page,
        way,
        keys,
        at: placed.at.map(Length::to_inches),
        size: placed.size.to_inches(),
        turn,
        line: placed.place.line.map(u64::from),
        moves,
        sizes: match is_strip {
            true if is_row || open[0] => [false; 2],
            true => [is_down, !is_down],
            false => [0, 1].map(|axis| sizes[axis] && !open[axis]),
        },
        turns: listed && !placed.across_spread && kind != "border" && open == [false; 2],
        listed,
        photos: photos_of(layout, &parts),
        parts,
        written: keys_as_written.collect(),
        one_size,
        shares,
        kind,
        across: placed.across_spread,
        told,
        stays: placed.stays,
        grows: grows.unwrap_or([1.0; 2]),
        of: None,
        held,
        number: of.number,
        member: of.member,
    })
}

/// How much each side of the box of an element grows with an inch of what is pulled. A star of a diameter is
/// less wide than that, and a word group grows wider as it grows higher. Nothing where its sides are pulled
/// each by itself.
fn grows(layout: &Layout, placed: &PlacedElement, written: &Node, kind: &str) -> Option<[f64; 2]> {
    let (key, _) = pulled(written, kind)?;
    let in_proportion = match key {
        "diameter" => true,
        "height" | "width" => matches!(kind, "title" | "shape") && written.get("size").is_none(),
        _ => false,
    };
    if !in_proportion {
        return None;
    }
    let measure = || {
        let measure =
            LengthSum::parse(written.get(key)?.text()?).ok()?.in_units(layout.units).ok()?;
        let page = if key == "height" { layout.page.height } else { layout.page.width };
        Some(measure.of(page).to_inches()).filter(|inches| *inches > 0.0)
    };
    let side = |measure: f64| placed.size.to_inches().map(|side| side / measure);
    Some(measure().map_or([1.0; 2], side))
}

/// The key by which an element's size is pulled.
pub(super) fn pulled(written: &Node, kind: &str) -> Option<(&'static str, [bool; 2])> {
    if kind == "strip" {
        return Some(("width", [true, true]));
    }
    PULLED.into_iter().find(|(key, _)| written.get(key).is_some())
}

/// The way from an element's keys to the reveal of its outermost mat, and whether it is one measure for all
/// sides.
pub(super) fn reveal(written: &Node) -> Option<(Way, bool)> {
    let mats = written.get("mats")?.items();
    let last = mats.len().checked_sub(1)?;
    let reveal = mats.get(last)?.get("reveal")?;
    let way = vec![Step::Key("mats".to_owned()), Step::Item(last), Step::Key("reveal".to_owned())];
    Some((way, reveal.text().is_some()))
}

/// The list item, keys and kind of what is described at a byte.
fn found(root: &Node, offset: usize) -> Option<(Way, Way, String)> {
    let holds = |node: &Node| node.range.contains(&offset);
    for page in ["left", "right", "single"] {
        let Some(list) = root.get(page).and_then(|page| page.get("pieces")) else { continue };
        if !list.items().iter().any(holds) {
            continue;
        }
        let (number, kind) = item_at(list.items(), offset)?;
        let way =
            vec![Step::Key(page.to_owned()), Step::Key("pieces".to_owned()), Step::Item(number)];
        let keys = [way.clone(), vec![Step::Key(kind.clone())]].concat();
        return Some((way, keys, kind));
    }
    if let Some(title) = root.get("title")
        && let Some(number) = title.items().iter().position(holds)
    {
        let way = vec![Step::Key("title".to_owned()), Step::Item(number)];
        return Some((way.clone(), way, "title".to_owned()));
    }
    let (key, story) = root.pair("journaling")?;
    let way = vec![Step::Key("journaling".to_owned())];
    (holds(story) || holds(key)).then(|| (way.clone(), way, "journaling".to_owned()))
}

/// Left and top, right and bottom.
pub(super) type Bounds = [[Length; 2]; 2];

/// The box of an element on its page.
pub(super) fn bounds(placed: &PlacedElement) -> Bounds {
    let size = [placed.size.width, placed.size.height];
    [placed.at, [0, 1].map(|axis| placed.at[axis] + size[axis])]
}

/// The pieces and photos of a piece of a cluster: their names begin with its own.
fn parts_of_member(layout: &Layout, placed: &PlacedElement) -> Vec<String> {
    let Some(page) = layout.pages.get(placed.page) else { return Vec::new() };
    let name = format!("{page}.{}", placed.id);
    let is_of = |id: &str| {
        id.strip_prefix(&name).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    let pieces = layout.pieces.iter().map(|piece| piece.id.to_string());
    let photos = layout.photos.iter().map(|photo| photo.id.to_string());
    pieces.chain(photos).filter(|id| is_of(id)).collect()
}

/// The names of the photos among an element's parts.
fn photos_of(layout: &Layout, parts: &[String]) -> Vec<String> {
    let is_part = |id: &str| parts.iter().any(|part| part == id);
    let photos = layout.photos.iter().filter(|photo| is_part(&photo.id));
    photos.map(|photo| photo.name.clone()).collect()
}

/// The pieces and photos that are described where an element is.
fn parts(layout: &Layout, placed: &PlacedElement) -> Vec<String> {
    let pieces = layout.pieces.iter().filter(|piece| piece.place == placed.place);
    let photos = layout.photos.iter().filter(|photo| photo.place == placed.place);
    let pieces = pieces.map(|piece| piece.id.to_string());
    pieces.chain(photos.map(|photo| photo.id.to_string())).collect()
}
