//! The pattern of one sheet, apart from any plan.

use super::tree::{Forest, Kind, NONE, Node, number};

/// A sheet with its tree; the root comes first.
#[derive(Clone, Debug)]
pub(super) struct SheetPattern {
    /// The sheet's stock, by place.
    pub stock: usize,
    nodes: Vec<Node>,
}

impl SheetPattern {
    /// A sheet of `size` with nothing on it.
    pub fn empty(stock: usize, size: [i64; 2]) -> Self {
        let mut forest = Forest::new(stock + 1, Vec::new(), 0, 1.0);
        forest.open(stock, size, 0);
        forest.pattern(0)
    }

    /// The blocks on the sheet in rising order, one for each copy.
    pub fn blocks(&self) -> Vec<usize> {
        let pieces = self.nodes.iter().filter_map(|node| match node.kind {
            Kind::Piece { block, .. } => Some(block as usize),
            Kind::Vacant | Kind::Leftover | Kind::Split(_) => None,
        });
        let mut blocks: Vec<usize> = pieces.collect();
        blocks.sort_unstable();
        blocks
    }
}

impl Forest {
    /// A copy of the sheet at `index`.
    pub fn pattern(&self, index: usize) -> SheetPattern {
        let sheet = self.sheets[index];
        let root = self.nodes[sheet.root as usize];
        let mut nodes = vec![Node { parent: NONE, next: NONE, ..root }];
        let mut place = 0;
        while place < nodes.len() {
            let mut part = nodes[place].first;
            let mut last = NONE;
            while part != NONE {
                let node = self.nodes[part as usize];
                let copy = number(nodes.len());
                nodes.push(Node { parent: number(place), next: NONE, ..node });
                if last == NONE {
                    nodes[place].first = copy;
                } else {
                    nodes[last as usize].next = copy;
                }
                last = copy;
                part = node.next;
            }
            place += 1;
        }
        SheetPattern { stock: sheet.stock as usize, nodes }
    }

    /// Takes a sheet into use as `pattern` fills it. Where no copy of a block waits, its place is left
    /// over.
    pub fn adopt(&mut self, pattern: &SheetPattern, cost: i128) {
        let root = self.open(pattern.stock, pattern.nodes[0].size, cost);
        let mut own = vec![root];
        for node in &pattern.nodes[1..] {
            own.push(self.create(node.size, own[node.parent as usize]));
        }
        let id = |place: u32| if place == NONE { NONE } else { own[place as usize] };
        let mut too_many = Vec::new();
        for (node, &copy) in pattern.nodes.iter().zip(&own) {
            let made = &mut self.nodes[copy as usize];
            (made.kind, made.first, made.next) = (node.kind, id(node.first), id(node.next));
            if let Kind::Piece { block, .. } = node.kind {
                let waiting = &mut self.waiting[block as usize];
                if *waiting == 0 {
                    too_many.push((copy, block));
                }
                *waiting = waiting.saturating_sub(1);
            }
        }
        for (copy, block) in too_many {
            self.remove(copy);
            self.waiting[block as usize] -= 1;
        }
    }
}
