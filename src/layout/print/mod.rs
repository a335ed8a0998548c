//! What is printed on pieces before the machine cuts them: ground, picture, lines and words, measured.

mod lines;
mod picture;
mod words;

use std::path::Path;

use kurbo::{Affine, BezPath, Rect, Shape};

use crate::description::{Common, Marked, PrintSpec};
use crate::geometry::offset::{self, Holes};
use crate::lettering::fonts::FontBook;
use crate::model::Color;
use crate::model::length::Length;

use super::Layout;
use super::blocks::{Block, Content, Part};
use super::elements::lines::give_to_the_machine;
use super::print_on_paper::{self, Impairment, Inked, Printed};
use super::printed::Print;
use super::reading::Reader;

/// How far colour runs on under the machine's cut, in inches: more than blade and printer are off
/// together (common practice, no source). Half of what a trimmer's cut by eye needs.
pub(crate) const BLEED: f64 = 1.0 / 16.0;

/// A part of a block that carries print.
struct Carrier {
    /// Its place among the block's parts.
    part: usize,
    /// What is seen of it: the outline, or the faces of a folded thing that show.
    seen: BezPath,
    /// The largest part of that on which words stand upright.
    face: Option<BezPath>,
    /// The outline with the bleed.
    field: BezPath,
    /// Where it lies in its block.
    offset: [f64; 2],
    paper: usize,
}

impl Carrier {
    fn of(part: usize, of: &Part) -> Option<Self> {
        let Content::Paper { drawing, finished, paper, .. } = &of.content else { return None };
        let outline = drawing.outline.clone();
        let field = offset::outward(&outline, BLEED, Holes::Keep);
        let offset = of.offset.map(Length::to_inches);
        let (seen, face) = match finished {
            None => (outline.clone(), Some(outline)),
            Some(finished) => {
                let faces = finished.drawn_on();
                let upright = faces.iter().filter(|(face, _)| face.is_upright());
                let area = |path: &BezPath| path.area().abs();
                // Of two as large as each other the first: the left gate of a card.
                let largest = upright
                    .map(|(_, path)| path)
                    .reduce(|one, other| if area(other) > area(one) + 1e-9 { other } else { one });
                let face = largest.cloned();
                (faces.into_iter().flat_map(|(_, path)| path).collect(), face)
            }
        };
        Some(Self { part, seen, face, field, offset, paper: *paper })
    }

    /// The box of its field in the block.
    fn bounds(&self) -> Rect {
        (Affine::translate((self.offset[0], self.offset[1])) * &self.field).bounding_box()
    }
}

/// Checks that an element can carry print, and gives it to the machine.
pub(super) fn prepare(reader: &mut Reader<'_>, block: &mut Block, common: Common<'_>) {
    let Some(print) = common.print else { return };
    let message = if block.across_spread {
        "a strip over both pages is two pieces, which can't carry one print"
    } else {
        ""
    };
    if !message.is_empty() {
        reader.problem(print.place, message, "leave `print` out, or lay a printed piece on it");
        return;
    }
    let Some(Part { content: Content::Paper { tool, .. }, .. }) = block.parts.first_mut() else {
        return;
    };
    let message = "a printed piece is cut by the machine, in register";
    give_to_the_machine(reader, common, tool, message);
    block.print = Some(print.clone());
}

/// Measures the print of every block that carries one.
pub(super) fn add(
    reader: &mut Reader<'_>,
    layout: &mut Layout,
    blocks: &mut [Block],
    folder: &Path,
    fonts: &FontBook,
) {
    for block in blocks {
        if let Some(print) = block.print.take() {
            let id = full_id(block);
            let carriers = carriers(block);
            Prints { spec: &print, reader, layout, folder, fonts, id }.add(block, &carriers);
        }
        // The pieces of a cluster carry each its own.
        for part in 0..block.parts.len() {
            if let Some(print) = block.parts[part].own.print.take() {
                let id = block.parts[part].id.clone();
                Prints { spec: &print, reader, layout, folder, fonts, id }.add(block, &[part]);
            }
        }
    }
}

/// The parts that carry a block's print: the letters of a title, or else the first piece.
fn carriers(block: &Block) -> Vec<usize> {
    let is_letter = |part: &usize| {
        let content = &block.parts[*part].content;
        matches!(content, Content::Paper { kind: "letter" | "word" | "stencil", .. })
    };
    let letters: Vec<usize> = (0..block.parts.len()).filter(is_letter).collect();
    if letters.is_empty() && !block.parts.is_empty() { vec![0] } else { letters }
}

/// The id of what carries the print, as messages name it.
fn full_id(block: &Block) -> String {
    if block.id.starts_with("title.") {
        return block.id.clone();
    }
    block.parts.first().map_or_else(String::new, |part| part.id.clone())
}

/// A print as it is read, and what it is read with.
struct Prints<'a, 'r> {
    spec: &'a Marked<PrintSpec>,
    reader: &'a mut Reader<'r>,
    layout: &'a mut Layout,
    folder: &'a Path,
    fonts: &'a FontBook,
    id: String,
}

impl Prints<'_, '_> {
    /// Measures the print and gives each part that carries it its own.
    fn add(self, block: &mut Block, parts: &[usize]) {
        let carriers: Vec<Carrier> =
            parts.iter().filter_map(|part| Carrier::of(*part, &block.parts[*part])).collect();
        let whole = carriers.iter().map(Carrier::bounds).reduce(|all, one| all.union(one));
        let Some(whole) = whole else { return };
        let Some(prints) = self.measured(&carriers, whole) else { return };
        for (carrier, print) in carriers.iter().zip(prints) {
            block.parts[carrier.part].print = Some(Box::new(print));
        }
    }

    /// The print of each carrier, `whole` being the box round all of their fields.
    fn measured(mut self, carriers: &[Carrier], whole: Rect) -> Option<Vec<Print>> {
        let spec = &self.spec.value;
        let shown = [
            spec.ground.is_some(),
            spec.picture.is_some(),
            spec.hatch.is_some(),
            spec.rule.is_some(),
            spec.text.is_some(),
        ];
        if !shown.contains(&true) {
            let help = "write `ground`, `picture`, `hatch`, `rule` or `text`, or leave it out";
            self.reader.problem(self.spec.place, "the print has nothing to print", help);
            return None;
        }
        if let (Some(text), true) = (&spec.text, self.id.starts_with("title.")) {
            let message = "letters are too small to carry words";
            self.reader.problem(text.place, message, "leave `text` out");
            return None;
        }
        let ground = spec.ground.as_ref().map(|color| self.reader.color(Some(color), Color::WHITE));
        let papers: Vec<usize> = carriers.iter().map(|carrier| carrier.paper).collect();
        let ink = self.ink(ground, &papers);
        let picture = self.picture(whole)?;
        let hatch = self.hatch(ink);
        let rule = self.rule(ink);
        let mut prints = Vec::new();
        for carrier in carriers {
            let lines = self.lines(carrier, hatch.as_ref(), rule.as_ref())?;
            let text = self.text(carrier, ink)?;
            prints.push(Print {
                bleed: BLEED,
                field: carrier.field.clone(),
                ground,
                picture: picture.as_ref().map(|picture| picture.on(carrier.offset)),
                lines,
                text,
            });
        }
        self.tell_seen(&prints, &papers, ground, [hatch.as_ref(), rule.as_ref()]);
        Some(prints)
    }

    /// Warns of what won't show on its paper as it is written.
    fn tell_seen(
        &mut self,
        prints: &[Print],
        papers: &[usize],
        ground: Option<Color>,
        [hatch, rule]: [Option<&lines::Measures>; 2],
    ) {
        let text = prints.iter().find_map(|print| print.text.as_ref());
        let text = text.map(|text| Inked { what: Impairment::Type(text.type_size), ink: text.ink });
        let lines = [(Impairment::Hatch, hatch), (Impairment::Rule, rule)];
        let lines = lines.into_iter().filter_map(|(what, of)| Some(Inked { what, ink: of?.ink }));
        let printed = Printed {
            id: &self.id,
            piece: &self.id,
            line: self.spec.place.line,
            papers,
            ground,
            ground_key: "ground",
            picture: self.spec.value.picture.is_some(),
            inks: text.into_iter().chain(lines).collect(),
        };
        print_on_paper::tell(self.reader, self.layout, &printed);
    }
}
