//! A spec's text as a tree of values, each with the bytes in which it stands.
//!
//! `description` reads what a spec means; this tree says only where its parts stand, so that an edit can
//! leave every other byte alone. Aliases are not followed: what one repeats is changed where it is written.

use std::ops::Range;

use granit_parser::{Event, Parser, ScalarStyle, Span, StructureStyle};

/// How deep a text may nest: as deep as a spec may.
const DEEPEST: usize = 40;

/// A value and the bytes in which it stands, without anchors before it.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    /// Its bytes; of a list or mapping in block style, from its first part to its last.
    pub range: Range<usize>,
    /// What it is.
    pub form: Form,
}

/// What a value is.
#[derive(Clone, Debug)]
pub(crate) enum Form {
    /// A word, number or text.
    Text { text: String, style: Style },
    /// A list.
    List { flow: bool, items: Vec<Node> },
    /// Keys with their values.
    Keys { flow: bool, pairs: Vec<(Node, Node)> },
    /// `*name`: what stands elsewhere.
    Alias,
}

/// How a text is written.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub(crate) enum Style {
    Plain,
    SingleQuoted,
    DoubleQuoted,
    /// `|`: line for line.
    Literal,
    /// `>`: lines that are joined.
    Folded,
}

/// Reads a text that is known to be YAML; nothing where it isn't, or isn't of one document.
pub(crate) fn parse(text: &str) -> Option<Node> {
    let mut parser = Parser::new_from_str(text);
    let mut root = None;
    while let Some(event) = parser.next_event() {
        match event.ok()? {
            (Event::StreamEnd, _) => break,
            (Event::DocumentStart(..), _) if root.is_some() => return None,
            (event, span) => {
                if let Some(node) = node(&mut parser, event, &span, text, 0)? {
                    root = Some(node);
                }
            }
        }
    }
    root
}

type Events<'text> = Parser<'text, granit_parser::StrInput<'text>>;

/// The value that begins with an event; nothing inside for an event that begins none.
#[expect(clippy::wildcard_enum_match_arm, reason = "an enum of `granit-parser`")]
fn node(
    parser: &mut Events<'_>,
    event: Event<'_>,
    span: &Span,
    text: &str,
    depth: usize,
) -> Option<Option<Node>> {
    if depth > DEEPEST {
        return None;
    }
    let range = span.byte_range()?;
    let node = match event {
        Event::Scalar(value, style, ..) => {
            let style = match style {
                ScalarStyle::Plain => Style::Plain,
                ScalarStyle::SingleQuoted => Style::SingleQuoted,
                ScalarStyle::DoubleQuoted => Style::DoubleQuoted,
                ScalarStyle::Literal => Style::Literal,
                ScalarStyle::Folded => Style::Folded,
            };
            let range = written(text, range);
            Node { range, form: Form::Text { text: value.into_owned(), style } }
        }
        Event::Alias(_) => Node { range, form: Form::Alias },
        Event::SequenceStart(style, ..) => list(parser, range, style, text, depth)?,
        Event::MappingStart(style, ..) => keys(parser, range, style, text, depth)?,
        _ => return Some(None),
    };
    Some(Some(node))
}

/// The next value of a list or mapping, or the range of its end.
fn next(parser: &mut Events<'_>, text: &str, depth: usize) -> Option<Result<Node, Range<usize>>> {
    loop {
        let (event, span) = parser.next_event()?.ok()?;
        if matches!(event, Event::SequenceEnd | Event::MappingEnd) {
            return Some(Err(span.byte_range()?));
        }
        if let Some(node) = node(parser, event, &span, text, depth + 1)? {
            return Some(Ok(node));
        }
    }
}

fn list(
    parser: &mut Events<'_>,
    start: Range<usize>,
    style: StructureStyle,
    text: &str,
    depth: usize,
) -> Option<Node> {
    let flow = style == StructureStyle::Flow;
    let mut items: Vec<Node> = Vec::new();
    let end = loop {
        match next(parser, text, depth)? {
            Ok(item) => items.push(item),
            Err(end) => break end,
        }
    };
    let last = items.last().map(|item| item.range.clone());
    let first = items.first().map(|item| item.range.start);
    let range = extent(flow, &start, first, last, &end);
    Some(Node { range, form: Form::List { flow, items } })
}

fn keys(
    parser: &mut Events<'_>,
    start: Range<usize>,
    style: StructureStyle,
    text: &str,
    depth: usize,
) -> Option<Node> {
    let flow = style == StructureStyle::Flow;
    let mut pairs: Vec<(Node, Node)> = Vec::new();
    let end = loop {
        let key = match next(parser, text, depth)? {
            Ok(key) => key,
            Err(end) => break end,
        };
        let Ok(mut value) = next(parser, text, depth)? else { return None };
        if value.range.is_empty() && value.range.start == key.range.end {
            // Nothing stands behind the colon.
            let behind = text.get(key.range.end..)?;
            if behind.trim_start().starts_with(':') {
                let end = key.range.end + behind.find(':')? + 1;
                value.range = end..end;
            }
        }
        pairs.push((key, value));
    };
    let last = pairs.last().map(|(key, value)| {
        value.range.start.max(key.range.start)..value.range.end.max(key.range.end)
    });
    let first = pairs.first().map(|(key, _)| key.range.start);
    let range = extent(flow, &start, first, last, &end);
    Some(Node { range, form: Form::Keys { flow, pairs } })
}

/// From the opening to the closing bracket in flow style, from the first part to the last in block style.
fn extent(
    flow: bool,
    start: &Range<usize>,
    first: Option<usize>,
    last: Option<Range<usize>>,
    end: &Range<usize>,
) -> Range<usize> {
    match (flow, first, last) {
        (false, Some(first), Some(last)) => first..last.end,
        _ => start.start..end.end,
    }
}

/// A text's own bytes: without the line ends and blanks that a block text takes with it.
fn written(text: &str, range: Range<usize>) -> Range<usize> {
    let kept = text.get(range.clone()).map_or(0, |own| own.trim_end().len());
    range.start..range.start + kept
}

impl Node {
    /// Its text, if it is one.
    pub(crate) fn text(&self) -> Option<&str> {
        match &self.form {
            Form::Text { text, .. } => Some(text),
            Form::List { .. } | Form::Keys { .. } | Form::Alias => None,
        }
    }

    /// All texts in it that are values.
    pub(crate) fn words(&self) -> Vec<&str> {
        match &self.form {
            Form::Text { text, .. } => vec![text],
            Form::List { items, .. } => items.iter().flat_map(Self::words).collect(),
            Form::Keys { pairs, .. } => pairs.iter().flat_map(|(_, value)| value.words()).collect(),
            Form::Alias => Vec::new(),
        }
    }

    /// The value of a key.
    pub(crate) fn get(&self, key: &str) -> Option<&Self> {
        self.pair(key).map(|(_, value)| value)
    }

    /// A key and its value.
    pub(crate) fn pair(&self, key: &str) -> Option<(&Self, &Self)> {
        let Form::Keys { pairs, .. } = &self.form else { return None };
        pairs.iter().find(|(name, _)| name.text() == Some(key)).map(|(key, value)| (key, value))
    }

    /// The items of a list, none where it is something else.
    pub(crate) fn items(&self) -> &[Self] {
        match &self.form {
            Form::List { items, .. } => items,
            Form::Text { .. } | Form::Keys { .. } | Form::Alias => &[],
        }
    }

    /// The keys and values of a mapping, none where it is something else.
    pub(crate) fn pairs(&self) -> &[(Self, Self)] {
        match &self.form {
            Form::Keys { pairs, .. } => pairs,
            Form::Text { .. } | Form::List { .. } | Form::Alias => &[],
        }
    }

    /// The value at the end of a way.
    pub(crate) fn at(&self, way: &[super::Step]) -> Option<&Self> {
        let mut node = self;
        for step in way {
            node = match step {
                super::Step::Key(key) => node.get(key)?,
                super::Step::Item(number) => node.items().get(*number)?,
            };
        }
        Some(node)
    }
}
