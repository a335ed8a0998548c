//! The same spread with one element written a little smaller: what a person could change in the spec.
//!
//! The layout keeps what it was made from, so that a change is laid out just as if it stood in the file.

use std::path::Path;

use crate::description::{Common, Element, Place, Reveal, Spec, Written};
use crate::model::length::{Length, LengthSum, Sides, Size, Units};

use super::blocks::{Block, Content};
use super::reading::Reader;
use super::{Layout, elements, hidden, place, stamps};

/// What a layout was made from.
#[derive(Debug, Default)]
pub(crate) struct Origin {
    /// The spec.
    pub spec: Spec,
    /// Its elements, measured, before they were placed: in the spec's order, each page's base first.
    pub blocks: Vec<Block>,
}

/// One measure of an element written smaller.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Change {
    /// The page, by place among the layout's pages.
    page: usize,
    /// The element, by place on its page.
    element: usize,
    what: Reduction,
    less: Length,
}

/// What is written smaller.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Reduction {
    /// The width of a panel or a strip.
    Width,
    /// The height of a panel.
    Height,
    /// The length of a strip that says one.
    Length,
    /// The reveal of a mat, by place from the photos.
    Reveal(usize),
}

/// A spread with a change.
pub(crate) struct Changed {
    /// Its layout.
    pub layout: Layout,
    /// The element that is changed, by its full id.
    pub piece: String,
    /// Where that is described.
    pub place: Place,
    /// What is changed, in words: `1/16 in less width of `left.sky``.
    pub what: String,
    /// What to write in the spec: `size: 2 15/16 x 12`.
    pub write: String,
    /// Whether the measure was written as a share of the page.
    pub share: bool,
}

impl Changed {
    /// Finds the hidden middles of the pieces of some papers. They take most of the time of a change, and
    /// most changes are ruled out by what is seen on one paper.
    pub(crate) fn find_middles(&mut self, of_paper: impl Fn(usize) -> bool + Sync) {
        hidden::find_for(&mut self.layout, of_paper);
    }
}

impl Layout {
    /// The changes by `less` that may make a piece of a paper smaller without the page looking another: a
    /// mat's reveal, a panel's or a strip's width or height. What is as large as the page, stays; so does
    /// what is torn, printed or worked on in another way.
    pub(crate) fn changes(&self, paper: usize, less: Length) -> Vec<Change> {
        let mut changes = Vec::new();
        let Some(origin) = &self.origin else { return changes };
        for (page, name) in self.pages.iter().copied().enumerate() {
            let Some(written) = origin.spec.page_named(name) else { continue };
            for (element, of) in written.pieces.iter().enumerate() {
                let block = self.block_of(page, element).and_then(|place| origin.blocks.get(place));
                let is_of_paper = block.is_some_and(|block| {
                    let of = |content: &Content| matches!(content, Content::Paper { paper: one, .. } if *one == paper);
                    block.parts.iter().any(|part| of(&part.content))
                });
                if is_of_paper && is_plain(of.value.common()) {
                    let whats = whats(&of.value).into_iter();
                    changes.extend(whats.map(|what| Change { page, element, what, less }));
                }
            }
        }
        changes
    }

    /// The layout with a change, but for hidden middles ([`Changed::find_middles`]); nothing if it leaves
    /// nothing of a piece, or no layout.
    pub(crate) fn changed(&self, change: Change) -> Option<Changed> {
        let origin = self.origin.as_ref()?;
        let name = *self.pages.get(change.page)?;
        let index = self.block_of(change.page, change.element)?;
        let before = origin.blocks.get(index)?;
        let mut spec = origin.spec.clone();
        let element = spec.page_named_mut(name)?.pieces.get_mut(change.element)?;
        let (write, share) = self.write(change, &mut element.value)?;
        let mut reader = Reader::new(&spec).ok()?;
        let element = spec.page_named(name)?.pieces.get(change.element)?;
        let mut blocks = origin.blocks.clone();
        blocks[index] = elements::element(
            &mut reader,
            self,
            Path::new(""),
            element,
            (&before.id, change.page),
        )?;
        // What is fitted is fitted anew, but for what bears print, which is measured with its fonts.
        let fitted = blocks.clone();
        super::fit::fit(&mut reader, self, Path::new(""), &mut blocks);
        let prints = |block: &&Block| block.fit.is_some() && block.print.is_some();
        let of_print = |blocks: &[Block]| -> Vec<Size> {
            blocks.iter().filter(prints).map(|block| block.size).collect()
        };
        if of_print(&fitted) != of_print(&blocks) {
            return None;
        }
        let mut layout = Self { pieces: Vec::new(), photos: Vec::new(), ..self.clone() };
        place::place(&mut reader, &mut layout, blocks);
        stamps::rows(&mut reader, &layout);
        reader.stop_on_problems().ok()?;
        let id = format!("{name}.{}", before.id);
        let what = format!(
            "{} less {}",
            change.less.show(self.units),
            told(change.what, &id, &element.value)
        );
        Some(Changed { layout, piece: id, place: before.place, what, write, share })
    }

    /// The place of an element's block.
    fn block_of(&self, page: usize, element: usize) -> Option<usize> {
        let origin = self.origin.as_ref()?;
        let pages = self.pages.iter().take(page + 1).map(|name| origin.spec.page_named(*name));
        let mut before = 0;
        for (number, written) in pages.enumerate() {
            let Some(written) = written else { continue };
            before += usize::from(written.base.is_some());
            before += if number < page { written.pieces.len() } else { element };
        }
        Some(before)
    }

    /// Writes a change into an element; what to write, and whether a share of the page stood there.
    fn write(&self, change: Change, element: &mut Element) -> Option<(String, bool)> {
        let [width, height] = [self.page.width, self.page.height];
        let less = |sum: &LengthSum, page| smaller(sum, page, change.less, self.units);
        match (element, change.what) {
            (Element::Panel(panel), what) => {
                let is_width = what == Reduction::Width;
                let (text, share) =
                    self.smaller_side(&panel.size.given()?, is_width, change.less)?;
                panel.size = Written::of(&text, panel.size.place);
                Some((format!("size: {text}"), share))
            }
            (Element::Strip(strip), what) => {
                let [along, beside] =
                    if strip.down.is_some() { [height, width] } else { [width, height] };
                let (key, written, page) = match what {
                    Reduction::Length => ("length", strip.length.as_mut()?, along),
                    Reduction::Width | Reduction::Height | Reduction::Reveal(_) => {
                        ("width", &mut strip.width, beside)
                    }
                };
                let (new, share) = less(&written.given()?.value.ok()?, page)?;
                *written = Written::of(&new, written.place);
                Some((format!("{key}: {new}"), share))
            }
            (Element::Photo(photo), Reduction::Reveal(mat)) => {
                reveal(&mut photo.mats.get_mut(mat)?.reveal.value, [width, height], less)
            }
            (Element::Bank(bank), Reduction::Reveal(mat)) => {
                reveal(&mut bank.mats.get_mut(mat)?.reveal.value, [width, height], less)
            }
            _ => None,
        }
    }

    /// A size with one side written smaller; nothing where its sides don't have the spec's own unit, since a
    /// side without one goes by the other's.
    fn smaller_side(
        &self,
        size: &Written<Sides>,
        is_width: bool,
        less: Length,
    ) -> Option<(String, bool)> {
        let page = [self.page.width, self.page.height];
        let lengths = |sides: &Sides| {
            let [width, height] = sides.in_units(self.units);
            Some([width.ok()?.of(page[0]), height.ok()?.of(page[1])])
        };
        let sides = size.value.as_ref().ok()?;
        let side = usize::from(!is_width);
        let sum = sides.sums()?[side];
        let (new, share) = smaller(sum, page[side], less, self.units)?;
        let mut texts = sides.texts().map(str::to_owned);
        texts[side] = new;
        let text = texts.join(" x ");
        let mut wanted = lengths(sides)?;
        wanted[side] -= less;
        (lengths(&Sides::parse(&text)?)? == wanted).then_some((text, share))
    }
}

/// Whether an element is cut from paper and nothing else is done to it.
fn is_plain(common: Common<'_>) -> bool {
    !common.works_on_paper()
}

/// What may be written smaller on an element.
fn whats(element: &Element) -> Vec<Reduction> {
    match element {
        Element::Panel(_) => vec![Reduction::Width, Reduction::Height],
        Element::Strip(_) => vec![Reduction::Width, Reduction::Length],
        Element::Photo(photo) => (0..photo.mats.len()).map(Reduction::Reveal).collect(),
        Element::Bank(bank) => (0..bank.mats.len()).map(Reduction::Reveal).collect(),
        Element::Circle(_)
        | Element::Ellipse(_)
        | Element::Rectangle(_)
        | Element::Tag(_)
        | Element::Banner(_)
        | Element::Ring(_)
        | Element::Polygon(_)
        | Element::Star(_)
        | Element::Heart(_)
        | Element::Scallop(_)
        | Element::ScallopEdge(_)
        | Element::Ticket(_)
        | Element::Pennants(_)
        | Element::Arrow(_)
        | Element::Plaque(_)
        | Element::Frame(_)
        | Element::Sunburst(_)
        | Element::Leaf(_)
        | Element::Cloud(_)
        | Element::Pocket(_)
        | Element::Envelope(_)
        | Element::Tent(_)
        | Element::Accordion(_)
        | Element::Gatefold(_)
        | Element::Step(_)
        | Element::PhotoCorner(_)
        | Element::Shape(_)
        | Element::Cluster(_)
        | Element::Border(_) => Vec::new(),
    }
}

/// What is changed of an element, in words.
fn told(what: Reduction, id: &str, element: &Element) -> String {
    let mats = whats(element).iter().filter(|what| matches!(what, Reduction::Reveal(_))).count();
    match what {
        Reduction::Width => format!("width of `{id}`"),
        Reduction::Height => format!("height of `{id}`"),
        Reduction::Length => format!("length of `{id}`"),
        Reduction::Reveal(_) if mats == 1 => format!("reveal of the mat of `{id}`"),
        Reduction::Reveal(0) => format!("reveal of the first mat of `{id}`"),
        Reduction::Reveal(1) => format!("reveal of the second mat of `{id}`"),
        Reduction::Reveal(mat) => format!("reveal of mat {} of `{id}`", mat + 1),
    }
}

/// Writes a reveal smaller on every side; nothing if a side has no more than that.
fn reveal(
    reveal: &mut Reveal,
    [width, height]: [Length; 2],
    less: impl Fn(&LengthSum, Length) -> Option<(String, bool)>,
) -> Option<(String, bool)> {
    let Reveal { top, right, bottom, left } = reveal;
    let mut shares = false;
    let mut written = Vec::new();
    for (text, page) in [(top, height), (right, width), (bottom, height), (left, width)] {
        let (new, share) = less(text.value.as_ref().ok()?, page)?;
        *text = Written::of(&new, text.place);
        shares |= share;
        written.push(new);
    }
    let [top, right, bottom, left] = &written[..] else { return None };
    let all = if [right, bottom, left].into_iter().all(|side| side == top) {
        format!("reveal: {top}")
    } else {
        format!("reveal: {{top: {top}, right: {right}, bottom: {bottom}, left: {left}}}")
    };
    Some((all, shares))
}

/// A length written `less`: a plain measure if a ruler shows it exactly, else as a difference; and whether
/// it is a share of the page. Nothing where that leaves nothing, or what is written fills the page.
fn smaller(sum: &LengthSum, page: Length, less: Length, units: Units) -> Option<(String, bool)> {
    let text = sum.text().trim();
    let length = sum.in_units(units).ok()?.of(page);
    if length >= page || length <= less {
        return None;
    }
    let share = sum.is_share();
    let whole = if share { None } else { (length - less).bare(units) };
    let new = match whole {
        Some(whole) => whole,
        None => format!("{text} - {}", less.bare(units)?),
    };
    Some((new, share))
}
