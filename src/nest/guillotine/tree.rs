//! Guillotine patterns as a tree of alternating cuts.
//!
//! Every node is a rectangle of paper: a piece, a leftover, or a rectangle that is cut into parts
//! along one axis. Parts of a split lie one after the other with a kerf between them, the leftover
//! (there is at most one) last. Read from the top, a tree is a sequence of edge-to-edge cuts
//! (Gardeyn & Wauters, EJOR 301, 2022, section 3). Measures are whole nanometres.

/// No node.
pub(super) const NONE: u32 = u32::MAX;

/// A place in a list as a node or block number; lists here are far shorter than 2^32.
pub(super) fn number(place: usize) -> u32 {
    u32::try_from(place).unwrap_or(NONE)
}

/// What a node is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// Not in use.
    Vacant,
    /// Paper without a piece.
    Leftover,
    /// A copy of a block, perhaps turned by a quarter.
    Piece { block: u32, turned: bool },
    /// Paper that is cut along an axis: 0 puts the parts side by side, 1 on top of each other.
    Split(usize),
}

/// A rectangle of paper in a tree.
#[derive(Clone, Copy, Debug)]
pub(super) struct Node {
    /// Width and height.
    pub size: [i64; 2],
    /// What it is.
    pub kind: Kind,
    /// The split it is a part of.
    pub parent: u32,
    /// First part.
    pub first: u32,
    /// Next part of the same split.
    pub next: u32,
    /// What a leftover is worth, see [`Forest::worth`].
    pub worth: f64,
}

/// A sheet that is in use.
#[derive(Clone, Copy, Debug)]
pub(super) struct Opened {
    /// Its stock, by place.
    pub stock: u32,
    /// The root of its tree.
    pub root: u32,
}

/// The trees of all sheets in use, and what waits for a place.
#[derive(Debug)]
pub(super) struct Forest {
    /// All nodes of all trees.
    pub nodes: Vec<Node>,
    /// Nodes to be used again.
    vacant: Vec<u32>,
    /// Sheets in use.
    pub sheets: Vec<Opened>,
    /// How many sheets of each stock are in use.
    pub used: Vec<u32>,
    /// How many copies of each block wait.
    pub waiting: Vec<u32>,
    /// What the sheets in use cost.
    pub cost: i128,
    /// Paper lost by a cut.
    pub kerf: i64,
    /// One over the longest sheet side: areas are counted in squares of that side.
    pub scale: f64,
}

impl Clone for Forest {
    fn clone(&self) -> Self {
        Self {
            nodes: self.nodes.clone(),
            vacant: self.vacant.clone(),
            sheets: self.sheets.clone(),
            used: self.used.clone(),
            waiting: self.waiting.clone(),
            ..*self
        }
    }

    fn clone_from(&mut self, source: &Self) {
        self.nodes.clone_from(&source.nodes);
        self.vacant.clone_from(&source.vacant);
        self.sheets.clone_from(&source.sheets);
        self.used.clone_from(&source.used);
        self.waiting.clone_from(&source.waiting);
        self.cost = source.cost;
        self.kerf = source.kerf;
        self.scale = source.scale;
    }
}

impl Forest {
    /// No sheet in use; everything waits.
    pub fn new(stocks: usize, waiting: Vec<u32>, kerf: i64, scale: f64) -> Self {
        Self {
            nodes: Vec::new(),
            vacant: Vec::new(),
            sheets: Vec::new(),
            used: vec![0; stocks],
            waiting,
            cost: 0,
            kerf,
            scale,
        }
    }

    /// Whether every block has its place.
    pub fn complete(&self) -> bool {
        self.waiting.iter().all(|&count| count == 0)
    }

    /// Takes a sheet into use and returns its root.
    pub fn open(&mut self, stock: usize, size: [i64; 2], cost: i128) -> u32 {
        let root = self.create(size, NONE);
        self.sheets.push(Opened { stock: number(stock), root });
        self.used[stock] += 1;
        self.cost += cost;
        root
    }

    /// Puts the sheet at `index` back, its pieces to those that wait.
    pub fn close(&mut self, index: usize, costs: &[i128]) {
        let sheet = self.sheets.remove(index);
        self.empty(sheet.root);
        self.release(sheet.root);
        let stock = sheet.stock as usize;
        self.used[stock] -= 1;
        self.cost -= costs[stock];
    }

    /// What a leftover is worth: its area to the power 1.25, so that one large leftover is worth
    /// more than two small ones. The paper takes 1.2; 1.25 needs nothing but square roots, which
    /// give the same bits on every machine.
    pub fn worth(&self, size: [i64; 2]) -> f64 {
        let area = self.area(size);
        area * area.sqrt().sqrt()
    }

    /// Area in squares of the longest sheet side.
    pub fn area(&self, size: [i64; 2]) -> f64 {
        (size[0] as f64 * self.scale) * (size[1] as f64 * self.scale)
    }

    /// What is left of `length` when a part of `extent` and the kerf beside it are gone.
    pub fn rest(&self, length: i64, extent: i64) -> i64 {
        (length - extent - self.kerf).max(0)
    }

    /// Adds a leftover of `size` as a part of `parent`.
    pub fn create(&mut self, size: [i64; 2], parent: u32) -> u32 {
        let worth = self.worth(size);
        let node = Node { size, kind: Kind::Leftover, parent, first: NONE, next: NONE, worth };
        if let Some(id) = self.vacant.pop() {
            self.nodes[id as usize] = node;
            return id;
        }
        self.nodes.push(node);
        number(self.nodes.len() - 1)
    }

    fn release(&mut self, id: u32) {
        self.nodes[id as usize].kind = Kind::Vacant;
        self.vacant.push(id);
    }

    fn resize(&mut self, id: u32, size: [i64; 2]) {
        let worth = self.worth(size);
        let node = &mut self.nodes[id as usize];
        node.size = size;
        node.worth = worth;
    }

    /// Puts a piece of `size` into a leftover, cut along `axis` first. The new leftovers, if any, are
    /// pushed onto `fresh`.
    pub fn place(
        &mut self,
        leftover: u32,
        kind: Kind,
        size: [i64; 2],
        axis: usize,
        fresh: &mut Vec<u32>,
    ) {
        let mut slot = leftover;
        for along in [axis, 1 - axis] {
            if self.nodes[slot as usize].size[along] > size[along] {
                slot = self.part(slot, along, size[along], fresh);
            }
        }
        self.nodes[slot as usize].kind = kind;
    }

    /// Cuts `extent` off a leftover along `axis` and returns the part cut off.
    pub fn part(&mut self, leftover: u32, axis: usize, extent: i64, fresh: &mut Vec<u32>) -> u32 {
        let node = self.nodes[leftover as usize];
        let (mut size, mut rest) = (node.size, node.size);
        size[axis] = extent;
        rest[axis] = self.rest(node.size[axis], extent);
        let beside =
            node.parent != NONE && self.nodes[node.parent as usize].kind == Kind::Split(axis);
        let parent = if beside { node.parent } else { leftover };
        let part = if beside {
            self.resize(leftover, size);
            leftover
        } else {
            let part = self.create(size, leftover);
            let node = &mut self.nodes[leftover as usize];
            node.kind = Kind::Split(axis);
            node.first = part;
            part
        };
        if rest[axis] > 0 {
            let rest = self.create(rest, parent);
            self.nodes[part as usize].next = rest;
            fresh.push(rest);
        }
        part
    }

    /// Takes everything out of a node, which is a leftover afterwards and joins the leftover beside
    /// it, if there is one.
    pub fn remove(&mut self, id: u32) {
        let mut id = id;
        loop {
            self.empty(id);
            let parent = self.nodes[id as usize].parent;
            if parent == NONE || !self.only_leftovers(parent, id) {
                if parent != NONE {
                    self.join(parent, id);
                }
                return;
            }
            id = parent;
        }
    }

    /// Makes a node a leftover; its pieces wait again.
    fn empty(&mut self, id: u32) {
        let node = self.nodes[id as usize];
        if let Kind::Piece { block, .. } = node.kind {
            self.waiting[block as usize] += 1;
        }
        let mut part = node.first;
        while part != NONE {
            let next = self.nodes[part as usize].next;
            self.empty(part);
            self.release(part);
            part = next;
        }
        let worth = self.worth(node.size);
        let node = &mut self.nodes[id as usize];
        node.kind = Kind::Leftover;
        node.first = NONE;
        node.worth = worth;
    }

    fn only_leftovers(&self, parent: u32, except: u32) -> bool {
        self.parts(parent).all(|id| id == except || self.nodes[id as usize].kind == Kind::Leftover)
    }

    /// The parts of a split, in order.
    pub fn parts(&self, id: u32) -> impl Iterator<Item = u32> + '_ {
        let first = self.nodes[id as usize].first;
        std::iter::successors((first != NONE).then_some(first), |&part| {
            let next = self.nodes[part as usize].next;
            (next != NONE).then_some(next)
        })
    }

    /// Joins all leftovers of a split into one at its end; `hole` is one of them.
    fn join(&mut self, parent: u32, hole: u32) {
        let split = self.nodes[parent as usize];
        let Kind::Split(axis) = split.kind else { return };
        let mut size = split.size;
        let (mut last, mut part) = (NONE, split.first);
        while part != NONE {
            let node = self.nodes[part as usize];
            if node.kind == Kind::Leftover {
                if part != hole {
                    self.release(part);
                }
            } else {
                size[axis] -= node.size[axis] + self.kerf;
                self.link(parent, last, part);
                last = part;
            }
            part = node.next;
        }
        self.link(parent, last, hole);
        self.nodes[hole as usize].next = NONE;
        self.resize(hole, size);
    }

    fn link(&mut self, parent: u32, last: u32, part: u32) {
        if last == NONE {
            self.nodes[parent as usize].first = part;
        } else {
            self.nodes[last as usize].next = part;
        }
    }

    /// The axis along which a node is cut from those beside it.
    pub fn axis_beside(&self, id: u32) -> Option<usize> {
        let parent = self.nodes[id as usize].parent;
        match self.nodes.get(parent as usize)?.kind {
            Kind::Split(axis) => Some(axis),
            Kind::Vacant | Kind::Leftover | Kind::Piece { .. } => None,
        }
    }

    /// How often the direction of cuts changes on the way down to a node.
    pub fn depth(&self, id: u32) -> u32 {
        let mut depth = 0;
        let mut parent = self.nodes[id as usize].parent;
        while parent != NONE {
            depth += 1;
            parent = self.nodes[parent as usize].parent;
        }
        depth
    }
}
