//! What was decided of what a page left open, as data and in a sentence each.

use crate::description::Place;
use crate::model::length::Length;
use crate::model::{Fitted, FittedKind, rounded};

use super::super::Layout;
use super::super::blocks::{Block, Part};
use super::super::reading::Reader;
use super::super::resolver::{Reached, Resolver};

/// What was decided, in the order of the blocks, rows and columns after the pieces.
pub(in crate::layout) fn told(
    reader: &Reader<'_>,
    resolver: &Resolver<'_, '_>,
    layout: &Layout,
) -> Vec<Fitted> {
    let mut told = Vec::new();
    for (index, block) in resolver.blocks.iter().enumerate() {
        let in_lines = [0, 1].map(|axis| resolver.line_of(index, axis).is_some());
        let fits = block.fit.map_or([false; 2], |fit| fit.axes);
        let between = block.at.0.between.is_some();
        if !fits.contains(&true) && !between {
            continue;
        }
        let ids = vec![full_id(layout, block)];
        if reader.fitted_banks.contains_key(&ids[0]) {
            continue;
        }
        let (kind, said, write) = if fits.contains(&true) {
            let size = block.size;
            let element = block.fit.and_then(|fit| {
                let page = reader.spec.page_named(*layout.pages.get(block.page)?)?;
                page.pieces.get(fit.element)
            });
            let write =
                element.and_then(|element| element.value.to_write(size, fits, layout.units));
            let what = match fits {
                [true, true] => size.show(layout.units),
                [true, false] => format!("{} wide", size.width.show(layout.units)),
                [false, _] => format!("{} high", size.height.show(layout.units)),
            };
            (FittedKind::Size, format!("is {what}"), write)
        } else {
            let at = place_of(resolver, index);
            let places: Vec<String> = [0, 1]
                .into_iter()
                .filter(|axis| !in_lines[*axis])
                .map(|axis| {
                    let from = ["left", "top"][axis];
                    format!("{from} {}", at[axis].show(layout.units))
                })
                .collect();
            let write = [0, 1].map(|axis| at[axis].bare(layout.units));
            let write = match write {
                [Some(left), Some(top)] => Some(format!("at: [{left}, {top}]")),
                _ => None,
            };
            (FittedKind::Place, format!("lies at {}", places.join(", ")), write)
        };
        let message = format!("`{}` {said}{}", block.called(), why(block));
        told.push(fitted(layout, resolver, (kind, ids, &[index]), (message, write, block.place)));
    }
    told.extend(banks(reader, resolver, layout));
    for line in &resolver.lines {
        let Some((_, placed)) = &line.placed else { continue };
        let blocks = line.members.iter().map(|&index| &resolver.blocks[index]);
        let ids = blocks.clone().map(|block| full_id(layout, block)).collect();
        let names: Vec<String> = blocks.map(|block| format!("`{}`", block.called())).collect();
        let show = |length: Length| length.show(reader.units);
        let [first, last] = placed.ends;
        let ends =
            if first == last { show(first) } else { format!("{} and {}", show(first), show(last)) };
        let starts = line.members.iter().map(|&index| place_of(resolver, index)[line.axis]);
        let starts: Option<Vec<String>> = starts.map(|start| start.bare(reader.units)).collect();
        let from = ["left", "top"][line.axis];
        let write = starts.map(|starts| format!("{from}: {}", starts.join(", ")));
        let gaps = if line.members.len() > 1 {
            format!("{} between them, ", show(placed.gap))
        } else {
            String::new()
        };
        let way = ["row", "column"][line.axis];
        let message = format!("{} in a {way}: {gaps}{ends} at the ends", names.join(", "));
        let one = fitted(
            layout,
            resolver,
            (FittedKind::Line, ids, &line.members),
            (message, write, line.place),
        );
        told.push(Fitted { gap: Some(rounded(placed.gap.to_inches())), ..one });
    }
    told
}

/// What was decided of banks whose photos end flush.
fn banks(reader: &Reader<'_>, resolver: &Resolver<'_, '_>, layout: &Layout) -> Vec<Fitted> {
    let mut told = Vec::new();
    for (index, block) in resolver.blocks.iter().enumerate() {
        let Some(bank) = reader.fitted_banks.get(&full_id(layout, block)) else { continue };
        let [left, top] = place_of(resolver, index);
        let photos = block.parts.iter().filter(|part| part.photo_name().is_some());
        let at = |part: &Part| {
            [(left, 0), (top, 1)]
                .map(|(start, axis)| rounded((start + part.offset[axis]).to_inches()))
        };
        told.push(Fitted {
            kind: FittedKind::Bank,
            pieces: photos.clone().map(|part| part.id.clone()).collect(),
            sizes: photos.clone().map(|part| part.size.to_inches().map(rounded)).collect(),
            at: photos.map(at).collect(),
            gap: None,
            message: format!(
                "`{}` is {}: {}",
                block.id,
                block.size.show(layout.units),
                bank.message
            ),
            write: bank.write.clone(),
            line: bank.place.line,
        });
    }
    told
}

fn fitted(
    layout: &Layout,
    resolver: &Resolver<'_, '_>,
    (kind, pieces, members): (FittedKind, Vec<String>, &[usize]),
    (message, write, place): (String, Option<String>, Place),
) -> Fitted {
    debug_assert_eq!(pieces.len(), members.len(), "on {:?}", layout.pages);
    let size = |index: &usize| resolver.blocks[*index].size.to_inches().map(rounded);
    let at = |index: &usize| place_of(resolver, *index).map(|at| rounded(at.to_inches()));
    Fitted {
        kind,
        pieces,
        sizes: members.iter().map(size).collect(),
        at: members.iter().map(at).collect(),
        gap: None,
        message,
        write,
        line: place.line,
    }
}

/// What it lies between, as it was written.
fn why(block: &Block) -> String {
    let Some(between) = &block.at.0.between else { return ": what is left".to_owned() };
    let quoted = |name: &String| match name.split_once(" edge of ") {
        Some((edge, piece)) => format!("the {edge} edge of `{piece}`"),
        None if name.ends_with(" edge") => format!("the {name}"),
        None => format!("`{name}`"),
    };
    let pairs = between.value.0.iter();
    let pairs = pairs.map(|[one, other]| format!("between {} and {}", quoted(one), quoted(other)));
    format!(", {}", pairs.collect::<Vec<_>>().join(", "))
}

fn full_id(layout: &Layout, block: &Block) -> String {
    layout.pages.get(block.page).map_or_else(String::new, |page| format!("{page}.{}", block.id))
}

fn place_of(resolver: &Resolver<'_, '_>, index: usize) -> [Length; 2] {
    match resolver.found[index] {
        Reached::At(at) => at,
        Reached::NotYet | Reached::UnderWay => [Length::ZERO; 2],
    }
}
