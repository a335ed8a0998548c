//! A paper's nest as the record's sheets.

use kurbo::BezPath;

use crate::geometry::{self, FLATTENING, Ring};
use crate::layout::{Layout, PlacedPiece};
use crate::length::Length;
use crate::nest::{self, CutLine, Fall, Nested, SheetCut, Stock, Tool};
use crate::record::rounded;
use crate::record::{
    Area, Cut, Falls, Offcut, OffcutLeft, OnMat, Paper, Placed, Record, Sheet, StockLeft,
};

/// Adds the sheets of one paper to the record; returns the paper with what is left of it.
pub(super) fn of_paper(
    layout: &Layout,
    paper: usize,
    stock_on_hand: &[Stock],
    pieces: &[usize],
    nested: &Nested,
    record: &mut Record,
) -> Paper {
    let on_hand = &layout.papers[paper];
    let mut left: Vec<u32> = stock_on_hand.iter().map(|stock| stock.count).collect();
    let mut new_sheets = 0;
    let before = record.sheets.iter().filter(|sheet| sheet.paper == on_hand.name).count();
    let laid_items: Vec<Laid<'_>> =
        pieces.iter().map(|&index| Laid::of(&layout.pieces[index])).collect();
    for (number, cut) in nested.sheets.iter().enumerate() {
        let stock = &stock_on_hand[cut.stock];
        left[cut.stock] = left[cut.stock].saturating_sub(1);
        new_sheets += u32::from(stock.offcut.is_none());
        let sheet = Sheet {
            id: layout.sheet_id(&on_hand.name, before + number + 1),
            paper: on_hand.name.clone(),
            size: stock.size.to_inches().map(rounded),
            from: stock.offcut.clone().unwrap_or_else(|| "new".to_owned()),
            to_buy: stock.to_buy,
            ..Sheet::default()
        };
        record.sheets.push(filled(layout, &laid_items, cut, sheet));
    }
    Paper {
        name: on_hand.name.clone(),
        color: on_hand.color.clone(),
        directional: on_hand.directional,
        turns: on_hand.turns.map_or_else(String::new, |turns| turns.name().to_owned()),
        left: stock_on_hand
            .iter()
            .zip(&left)
            .filter(|(stock, _)| stock.offcut.is_none() && !stock.to_buy)
            .map(|(stock, &count)| StockLeft {
                size: stock.size.to_inches().map(rounded),
                count,
                price: stock.price,
            })
            .collect(),
        offcuts_left: stock_on_hand
            .iter()
            .zip(&left)
            .filter(|(_, count)| **count > 0)
            .filter_map(|(stock, _)| {
                let id = stock.offcut.clone()?;
                Some(OffcutLeft { id, size: stock.size.to_inches().map(rounded) })
            })
            .collect(),
        new_sheets,
        bound: nested.bound,
        used: 0.0,
        notes: Vec::new(),
    }
}

/// What is laid on sheets, by place in the nester's job.
pub(super) struct Laid<'a> {
    pub id: &'a str,
    pub tool: Tool,
    pub outline: &'a BezPath,
}

impl<'a> Laid<'a> {
    /// A piece of the layout.
    pub fn of(piece: &'a PlacedPiece) -> Self {
        Self { id: &piece.id, tool: piece.tool, outline: &piece.drawing.outline }
    }
}

/// A sheet with its pieces, cuts and offcuts.
pub(super) fn filled(layout: &Layout, items: &[Laid<'_>], cut: &SheetCut, sheet: Sheet) -> Sheet {
    let placed: Vec<Placed> = cut
        .placed
        .iter()
        .map(|placed| {
            let item = &items[placed.item];
            let at = placed.at.map(rounded);
            Placed {
                piece: item.id.to_owned(),
                copy: placed.copy + 1,
                at,
                turn: placed.turn,
                tool: item.tool.name().to_owned(),
                rings: laid(item.outline, placed.turn, at),
            }
        })
        .collect();
    let offcuts: Vec<Offcut> = cut
        .offcuts
        .iter()
        .enumerate()
        .map(|(number, offcut)| Offcut {
            id: layout.free_offcut_id(format!("{}-offcut-{}", sheet.id, number + 1)),
            at: area(*offcut).at,
            size: area(*offcut).size,
        })
        .collect();
    let after = cut.on_mat.map_or(0, |paper| paper.after);
    let name = |fall: nest::Falls, place: usize| {
        let (what, id) = match fall.what {
            Fall::Piece(item, _) => ("piece", items[item].id.to_owned()),
            Fall::More => ("more", String::new()),
            Fall::Machine if place >= after => ("spent", String::new()),
            Fall::Machine => ("machine", String::new()),
            Fall::Offcut(number) => {
                ("offcut", offcuts.get(number).map_or_else(String::new, |one| one.id.clone()))
            }
            Fall::Scrap => ("scrap", String::new()),
        };
        Falls { what: what.to_owned(), id, area: area(fall.area) }
    };
    let cuts = (1..)
        .zip(cut.cuts.iter().enumerate())
        .map(|(number, (place, cut))| {
            let [from, to] = ends(cut);
            Cut {
                number,
                in_hand: area(cut.in_hand),
                from,
                to,
                fence: inches(cut.fence),
                keeps: name(cut.keeps, place),
                drops: name(cut.drops, place),
            }
        })
        .collect();
    let on_mat = cut.on_mat.map(on_mat);
    Sheet { placed, cuts, machine: cut.machine.map(area), on_mat, offcuts, ..sheet }
}

/// The paper on the mat as the record keeps it.
fn on_mat(paper: nest::mat::OnMat) -> OnMat {
    let Area { at, size } = area(paper.paper);
    OnMat {
        at,
        size,
        turn: if paper.turned { 90.0 } else { 0.0 },
        after: u32::try_from(paper.after).unwrap_or(u32::MAX),
    }
}

/// An outline's rings where it lies on a sheet.
pub(super) fn laid(path: &kurbo::BezPath, turn: f64, at: [f64; 2]) -> Vec<Ring> {
    let laying = geometry::laying(path, turn, at);
    geometry::rings(path, FLATTENING)
        .into_iter()
        .map(|ring| {
            ring.into_iter()
                .map(|[x, y]| {
                    let point = laying * kurbo::Point::new(x, y);
                    [rounded(point.x), rounded(point.y)]
                })
                .collect()
        })
        .collect()
}

fn ends(cut: &nest::Cut) -> [[f64; 2]; 2] {
    let nest::Area { left, top, size } = cut.in_hand;
    match cut.line {
        CutLine::Down(x) => [[inches(x), inches(top)], [inches(x), inches(top + size.height)]],
        CutLine::Across(y) => [[inches(left), inches(y)], [inches(left + size.width), inches(y)]],
    }
}

/// An area of the nest in the record's inches.
pub(super) fn area(area: nest::Area) -> Area {
    Area { at: [inches(area.left), inches(area.top)], size: area.size.to_inches().map(rounded) }
}

fn inches(length: Length) -> f64 {
    rounded(length.to_inches())
}
