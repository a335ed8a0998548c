//! Offcuts before new sheets: pieces move from new sheets to leftovers that have room for them.

use super::{RuinAndRecreate, Slot, Waiting};
use crate::nest::guillotine::tree::{Forest, Kind};

/// Most offcuts that are looked at: more is no box of leftovers.
const MOST_OFFCUTS: usize = 200;

impl RuinAndRecreate<'_> {
    /// Moves pieces from new sheets to offcuts as long as any has room for one, the largest first. No plan
    /// costs more afterwards.
    pub fn onto_offcuts(&mut self, mut forest: Forest) -> Forest {
        let sheets = &self.problem.sheets;
        if sheets.iter().all(|sheets| sheets.cost > 0 || sheets.count == 0) {
            return forest;
        }
        let mut opened = 0;
        for (stock, sheets) in sheets.iter().enumerate().filter(|(_, sheets)| sheets.cost == 0) {
            while forest.used[stock] < sheets.count && opened < MOST_OFFCUTS {
                forest.open(stock, sheets.size, 0);
                opened += 1;
            }
        }
        let mut by_area: Vec<usize> = (0..self.order.len()).collect();
        by_area.sort_by_key(|&shape| self.order[shape]);
        for shape in by_area {
            while self.move_one(&mut forest, shape) {}
        }
        self.close_empty(&mut forest);
        forest
    }

    /// Moves a copy of a shape from a new sheet to an offcut, if one has room.
    fn move_one(&mut self, forest: &mut Forest, shape: usize) -> bool {
        let form = &self.problem.shapes[shape];
        let waiting = Waiting {
            shape,
            size: form.size,
            turns: form.ways().len() > 1,
            options: 0,
            order: self.order[shape],
        };
        self.leftovers.clear();
        self.active.clear();
        let mut from = None;
        for sheet in &forest.sheets {
            let on_offcut = self.costs[sheet.stock as usize] == 0;
            if !on_offcut && from.is_some() {
                continue;
            }
            let mut open = vec![sheet.root];
            while let Some(id) = open.pop() {
                let node = &forest.nodes[id as usize];
                match node.kind {
                    Kind::Leftover if on_offcut && waiting.fits(node.size) > 0 => {
                        self.leftovers.push(Slot { id, size: node.size });
                    }
                    Kind::Piece { block, .. } if !on_offcut && block as usize == shape => {
                        from = Some(id);
                    }
                    Kind::Split(_) => open.extend(forest.parts(id)),
                    Kind::Vacant | Kind::Leftover | Kind::Piece { .. } => {}
                }
            }
        }
        let Some(from) = from else { return false };
        let Some(way) = self.cheapest(forest, &waiting, false) else { return false };
        let leftover = self.leftovers[way.place].id;
        // On another sheet, so the leftover stays as it is.
        forest.remove(from);
        self.place(forest, leftover, shape, way);
        true
    }
}
