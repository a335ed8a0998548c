//! What a spec leaves to be fitted on a page that is begun: sizes, places between two things, rows and
//! columns, banks whose photos end flush.
//!
//! What has its size and place is a fixed term. What is open is measured here, once everything else is
//! measured and before anything is placed, and from then on is like any other piece; what was decided is told
//! as data ([`crate::model::Fitted`]).

pub mod asked;
mod breaking;
mod ends;
pub mod flush;
pub mod line;
pub mod open;
mod prints;
mod room;
pub mod told;

use std::path::Path;

use crate::model::length::{Length, Units};

use super::blocks::{Block, FitAsked};
use super::reading::Reader;
use super::resolver::Resolver;
use super::{Layout, elements, rows};

/// Measures all blocks of which a size is to be fitted, by where the others lie.
pub(super) fn fit(reader: &mut Reader<'_>, layout: &Layout, folder: &Path, blocks: &mut [Block]) {
    // How high a row of photos is, is known once it is as long as its room.
    measure(reader, layout, folder, blocks, true);
    measure(reader, layout, folder, blocks, false);
    // What goes by a row along a piece of open size is measured after that piece.
    let count = |blocks: &[Block]| blocks.iter().filter(|block| is_unmeasured(block)).count();
    let mut open = count(blocks);
    while open > 0 && !reader.has_problems() {
        measure(reader, layout, folder, blocks, false);
        let left = count(blocks);
        if left == open {
            let stuck = blocks.iter().find(|block| is_unmeasured(block));
            let Some(block) = stuck.filter(|_| !reader.has_problems()) else { return };
            let message = format!(
                "the size of `{}` depends on itself: it goes by a row along it",
                block.called()
            );
            reader.problem(block.place, message, "write its size, or let it go by another piece");
        }
        open = left;
    }
}

/// Whether nothing is known yet of a block of which a size is to be fitted.
fn is_unmeasured(block: &Block) -> bool {
    block.fit.is_some() && block.parts.is_empty()
}

/// Measures those that are banks, or all.
fn measure(
    reader: &mut Reader<'_>,
    layout: &Layout,
    folder: &Path,
    blocks: &mut [Block],
    banks: bool,
) {
    let open: Vec<(usize, FitAsked)> = blocks
        .iter()
        .enumerate()
        .filter_map(|(index, block)| block.fit.map(|fit| (index, fit)))
        .filter(|(_, fit)| fit.is_bank || !banks)
        .collect();
    if open.is_empty() || reader.has_problems() {
        return;
    }
    let sizes: Vec<[Option<Length>; 2]> = {
        // Rows and borders take room as they are laid.
        let waiting = rows::along_unmeasured(reader, blocks);
        let laid = rows::laid_out(reader, layout, blocks.to_vec(), &waiting);
        let mut resolver = Resolver::new(reader, layout.page, &laid, true);
        resolver.unlaid = waiting;
        for (index, _) in &open {
            resolver.resolve(reader, *index);
        }
        let known = |index: &usize| {
            if resolver.unsure[*index] { [None; 2] } else { resolver.sizes[*index] }
        };
        open.iter().map(|(index, _)| known(index)).collect()
    };
    if reader.has_problems() {
        return;
    }
    let spec = reader.spec;
    for ((index, asked), size) in open.into_iter().zip(sizes) {
        let block = &blocks[index];
        let (Some(name), [Some(width), Some(height)]) = (layout.pages.get(block.page), size) else {
            continue;
        };
        let known = [block.size.width, block.size.height];
        let [wide, high] = asked.axes;
        if !(block.parts.is_empty() || wide && known[0] != width || high && known[1] != height) {
            continue;
        }
        let written = spec.page_named(*name).and_then(|page| page.pieces.get(asked.element));
        let Some(mut element) = written.cloned() else { continue };
        let lengths = [width, height].map(|length| in_words(length, reader.units));
        element.value.write_fit(&lengths);
        let (id, page) = (block.id.clone(), block.page);
        if let Some(measured) = elements::element(reader, layout, folder, &element, (&id, page)) {
            blocks[index] = Block { fit: Some(asked), ..measured };
        }
    }
}

/// A length with its unit, as it is read again to the nanometre.
fn in_words(length: Length, units: Units) -> String {
    match length.bare(units) {
        Some(text) if units == Units::Inches => format!("{text} in"),
        Some(text) => format!("{text} mm"),
        None => format!(
            "{}.{:06} mm",
            length.to_nanometres() / 1_000_000,
            length.to_nanometres() % 1_000_000
        ),
    }
}
