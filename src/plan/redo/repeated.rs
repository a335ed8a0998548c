//! A sheet cut again as it was: the same pieces in the same places, by the same cuts.

use crate::layout::{Layout, PaperOnHand};
use crate::model::length::{Length, Size};
use crate::model::{Area, Fall, OffcutId, SheetId, SheetSource, Stock};
use crate::nest::mat::OnMat;
use crate::plan::sheet::{Cut, Falls, Placed, Rest, Sheet, count_of};
use crate::record::{self, Record};

use super::{Chain, Redo};

/// The sheets among those to do again that can be cut just as they were: there is paper of just that size,
/// and what lies on them is cut whole. Their pieces are nested no more, and their paper is taken from the
/// layout's. They have no names yet: [`super::super::plan_with`] gives them.
///
/// Any other sheet's pieces are nested anew: from a sheet that went through the printer or was cut out of
/// another, with middles that were cut out for other pieces, or where no paper has its size.
pub fn repeat(layout: &mut Layout, chain: &Chain, wanted: &[Redo]) -> Vec<Sheet> {
    let whole = chain.whole();
    let mut repeated = Vec::new();
    for redo in wanted {
        let Redo::Sheet(id) = redo else { continue };
        let Some(sheet) = whole.sheets.iter().find(|sheet| sheet.id == *id) else { continue };
        let source = whole.source(sheet);
        let plain =
            sheet.printed.is_none() && sheet.in_register.is_none() && sheet.parts.is_empty();
        if !plain || !matches!(source, SheetSource::New | SheetSource::Offcut(_)) {
            continue;
        }
        let is_gutted = |placed: &record::Placed| {
            let piece = whole.pieces.iter().find(|piece| piece.id == placed.piece);
            piece.is_none_or(|piece| !piece.gutted.is_empty() || !piece.opened.is_empty())
        };
        if sheet.placed.iter().any(is_gutted) {
            continue;
        }
        let Some(placed) = lay(layout, chain, whole, sheet) else { continue };
        let strict = layout.strict;
        let Some(paper) = layout.papers.iter_mut().find(|paper| paper.name == sheet.paper) else {
            continue;
        };
        let was_new = source == SheetSource::New;
        let Some((source, to_buy)) = take(paper, Size::of_inches(sheet.size), was_new && !strict)
        else {
            continue;
        };
        for one in &placed {
            *layout.repeated.entry(one.piece.clone()).or_default() += 1;
        }
        repeated.push(as_it_was(sheet, placed, source, to_buy));
    }
    repeated
}

/// The sheet's pieces where they lay; nothing if one is not to be cut again, or was another then.
fn lay(
    layout: &Layout,
    chain: &Chain,
    whole: &Record,
    sheet: &record::Sheet,
) -> Option<Vec<Placed>> {
    let then = chain.records().find(|record| record.sheets.iter().any(|one| one.id == sheet.id))?;
    let made = |record: &Record, id: &str| {
        let piece = record.pieces.iter().find(|piece| piece.id == id)?;
        Some((piece.path.clone(), piece.tool, piece.lines.clone()))
    };
    let lay = |placed: &record::Placed| {
        let id = placed.piece.as_str();
        let wanted = layout.pieces.iter().find(|piece| piece.id == id).map_or(0, |one| one.copies);
        let lie = count_of(sheet.placed.iter().filter(|other| other.piece == id).count());
        let before = layout.repeated.get(id).copied().unwrap_or(0);
        if wanted < before + lie || made(then, id) != made(whole, id) {
            return None;
        }
        Some(Placed {
            piece: placed.piece.clone(),
            copy: placed.copy,
            at: placed.at,
            turn: placed.turn,
            tool: placed.tool,
            rings: placed.rings.clone(),
        })
    };
    sheet.placed.iter().map(lay).collect()
}

/// Takes a sheet of just this size: an offcut, then a new one, then one that has to be bought, if that may
/// be.
fn take(paper: &mut PaperOnHand, size: Size, may_buy: bool) -> Option<(SheetSource, bool)> {
    let free = paper.free();
    let of_size = |one: &&Stock| one.size == size && one.count > 0;
    let offcut = free.iter().filter(of_size).find_map(|one| one.offcut.clone());
    if let Some(id) = offcut {
        paper.taken.push(Stock { size, count: 1, offcut: Some(id.clone()), ..Stock::default() });
        return Some((SheetSource::Offcut(id), false));
    }
    if free.iter().filter(of_size).any(|one| one.offcut.is_none()) {
        paper.taken.push(Stock { size, count: 1, ..Stock::default() });
        return Some((SheetSource::New, false));
    }
    may_buy.then_some((SheetSource::New, true))
}

/// The sheet as the record tells it, with no name yet; its offcuts have those that they had.
fn as_it_was(
    sheet: &record::Sheet,
    placed: Vec<Placed>,
    source: SheetSource,
    to_buy: bool,
) -> Sheet {
    let place = |at: [f64; 2]| at.map(Length::inches);
    let falls = |falls: &record::Falls| Falls {
        what: falls.what.clone(),
        area: Area::of_inches(falls.area),
    };
    let cut = |cut: &record::Cut| Cut {
        in_hand: Area::of_inches(cut.in_hand),
        from: place(cut.from),
        to: place(cut.to),
        fence: Length::inches(cut.fence),
        keeps: falls(&cut.keeps),
        drops: falls(&cut.drops),
    };
    let on_mat = |paper: record::OnMat| OnMat {
        paper: Area::of_inches(paper.area()),
        turned: paper.is_turned(),
        after: usize::try_from(paper.after).unwrap_or(usize::MAX),
    };
    let offcut = |rest: &record::Offcut| Rest {
        id: rest.id.clone(),
        area: Area::of_inches(rest.area()),
        ..Rest::default()
    };
    Sheet {
        paper: sheet.paper.clone(),
        size: Size::of_inches(sheet.size),
        source,
        to_buy,
        placed,
        cuts: sheet.cuts.iter().map(cut).collect(),
        machine: sheet.machine.map(Area::of_inches),
        on_mat: sheet.on_mat.map(on_mat),
        offcuts: sheet.offcuts.iter().map(offcut).collect(),
        ..Sheet::default()
    }
}

/// A repeated sheet under a name of its own, and its offcuts under theirs.
pub(in crate::plan) fn named(layout: &Layout, sheet: &Sheet, id: SheetId) -> Sheet {
    let names: Vec<(OffcutId, OffcutId)> = (1..)
        .zip(&sheet.offcuts)
        .map(|(number, rest)| {
            (rest.id.clone(), layout.free_offcut_id(format!("{id}-offcut-{number}")))
        })
        .collect();
    let new_name = |old: &OffcutId| {
        names
            .iter()
            .find(|(was, _)| was == old)
            .map_or_else(|| old.clone(), |(_, name)| name.clone())
    };
    let falls = |falls: &Falls| match &falls.what {
        Fall::Offcut(old) => Falls { what: Fall::Offcut(new_name(old)), area: falls.area },
        Fall::Piece(_)
        | Fall::Part(_)
        | Fall::More
        | Fall::Scrap
        | Fall::Machine
        | Fall::Spent
        | Fall::PrintedBefore => falls.clone(),
    };
    let cuts = sheet.cuts.iter();
    let cuts =
        cuts.map(|cut| Cut { keeps: falls(&cut.keeps), drops: falls(&cut.drops), ..cut.clone() });
    let offcuts = sheet.offcuts.iter();
    let offcuts = offcuts.map(|rest| Rest { id: new_name(&rest.id), ..rest.clone() });
    Sheet { id, cuts: cuts.collect(), offcuts: offcuts.collect(), ..sheet.clone() }
}
