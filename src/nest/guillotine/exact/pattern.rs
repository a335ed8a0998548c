//! All guillotine patterns of a handful of rectangles.
//!
//! For every set of pieces the smallest rectangles are kept that it can be cut from: each pattern is
//! a piece, or two patterns side by side or one under the other with a kerf between them. This is
//! Wang's build-up (Operations Research 31, 1983) done for all sets, with the dominated rectangles
//! dropped, as in the recursion of Clautiaux, Jouglet & Moukrim (INFORMS Journal on Computing 25,
//! 2013). A set fits a sheet exactly if one of its rectangles does. Nothing is rounded.
//!
//! Where the levels of cuts are limited, a set has such a list for each direction of its first cuts and
//! each number of levels: its parts lie one after the other along that axis, and each is a piece or has
//! a pattern whose first cuts run the other way, with a level less. With two levels or more a larger
//! rectangle does as well, for what is over is cut off last at either level; with one the parts have to
//! be as long across as the rectangle itself.

use std::collections::HashMap;
use std::rc::Rc;

use crate::nest::Search;
use crate::nest::rectangles::{Rectangle, holds};

/// A set of pieces, one bit each.
pub(in crate::nest::guillotine) type Set = u32;

/// A rectangle from which a set can be cut.
#[derive(Clone, Copy, Debug)]
pub(in crate::nest::guillotine) struct Pattern {
    /// Width and height.
    pub size: [i64; 2],
    /// What it consists of.
    pub made: Made,
}

/// What a pattern consists of.
#[derive(Clone, Copy, Debug)]
pub(in crate::nest::guillotine) enum Made {
    /// One piece.
    Piece,
    /// Two patterns along an axis, by list and place in it.
    Two { axis: usize, parts: [(List, usize); 2] },
}

/// What a list of patterns is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(in crate::nest::guillotine) struct List {
    /// The pieces.
    pub set: Set,
    /// The first cuts and how many levels of them there may be; nothing where they are not limited.
    first: Option<(usize, u32)>,
}

impl List {
    /// The patterns of a set without a limit of levels.
    pub fn free(set: Set) -> Self {
        Self { set, first: None }
    }
}

/// A piece to be cut.
#[derive(Clone, Copy, Debug)]
pub(in crate::nest::guillotine) struct Piece {
    /// Measures and turns.
    pub form: Rectangle,
    /// Area with a kerf on two sides.
    pub area: f64,
    /// Whether the piece before it is the same.
    pub again: bool,
}

/// The patterns of all sets met so far.
pub(in crate::nest::guillotine) struct Patterns {
    /// The pieces, equal ones beside each other.
    pub pieces: Vec<Piece>,
    /// Sheet sizes; a pattern larger than all of them is of no use.
    sheets: Vec<[i64; 2]>,
    kerf: i64,
    /// Most levels of cuts, if limited.
    levels: Option<u32>,
    /// Pieces with an equal one before them.
    again: Set,
    known: HashMap<List, Rc<[Pattern]>>,
    /// Steps that are left.
    pub steps: u64,
    search: Search,
}

/// The steps have run out, so nothing is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::nest::guillotine) struct Spent;

impl Patterns {
    /// No pattern is known yet. More levels than there are pieces, and one, are no limit.
    pub fn new(
        pieces: Vec<Piece>,
        sheets: Vec<[i64; 2]>,
        kerf: i64,
        levels: Option<u32>,
        steps: u64,
        search: &Search,
    ) -> Self {
        let again = pieces.iter().enumerate().map(|(place, piece)| Set::from(piece.again) << place);
        let again = again.fold(0, |all, bit| all | bit);
        let levels = levels.filter(|&levels| levels as usize <= pieces.len());
        Self {
            pieces,
            sheets,
            kerf,
            levels,
            again,
            known: HashMap::new(),
            steps,
            search: search.clone(),
        }
    }

    /// Whether the levels of cuts are limited.
    pub fn limited(&self) -> bool {
        self.levels.is_some()
    }

    /// Takes a step, if there is one left.
    pub fn step(&mut self, count: u64) -> Result<(), Spent> {
        if self.search.is_stopped() {
            return Err(Spent);
        }
        self.steps = self.steps.checked_sub(count).ok_or(Spent)?;
        Ok(())
    }

    /// Whether of equal pieces the first ones are in the set.
    pub fn is_plain(&self, set: Set) -> bool {
        set & self.again & !(set << 1) == 0
    }

    /// The same set with the first ones of equal pieces.
    pub fn plain(&self, set: Set) -> Set {
        let mut set = set;
        // Each round moves a gap up by one place.
        loop {
            let loose = set & self.again & !(set << 1);
            if loose == 0 {
                return set;
            }
            set = (set & !loose) | (loose >> 1);
        }
    }

    /// Whether a bit stands for a piece that equals the one before it.
    pub fn same_as_before(&self, bit: Set) -> bool {
        self.again & bit != 0
    }

    /// Area of a set.
    pub fn area(&self, set: Set) -> f64 {
        members(set).map(|place| self.pieces[place].area).sum()
    }

    /// The area of a rectangle with a kerf on two sides.
    pub fn room(&self, size: [i64; 2]) -> f64 {
        (size[0] + self.kerf) as f64 * (size[1] + self.kerf) as f64
    }

    /// The pattern with which a set is cut from a sheet.
    pub fn fit(&mut self, set: Set, sheet: [i64; 2]) -> Result<Option<Pattern>, Spent> {
        // Rounding must not rule anything out.
        if self.area(set) > self.room(sheet) * (1.0 + 1e-9) {
            return Ok(None);
        }
        let Some(levels) = self.levels else {
            let patterns = self.of(List { set, first: None })?;
            return Ok(patterns.iter().copied().find(|pattern| holds(sheet, pattern.size)));
        };
        for axis in [0, 1] {
            let patterns = self.of(List { set, first: Some((axis, levels)) })?;
            let fits = |pattern: &&Pattern| {
                holds(sheet, pattern.size)
                    && (levels > 1 || pattern.size[1 - axis] == sheet[1 - axis])
            };
            if let Some(&pattern) = patterns.iter().find(fits) {
                return Ok(Some(pattern));
            }
        }
        Ok(None)
    }

    /// A pattern by list and place in it.
    pub fn at(&mut self, (list, place): (List, usize)) -> Option<Pattern> {
        self.of(list).ok()?.get(place).copied()
    }

    /// The undominated patterns of a list.
    pub fn of(&mut self, list: List) -> Result<Rc<[Pattern]>, Spent> {
        let list = List { set: self.plain(list.set), ..list };
        if let Some(known) = self.known.get(&list) {
            return Ok(Rc::clone(known));
        }
        self.step(1)?;
        let mut found = Vec::new();
        let area = self.area(list.set);
        let largest = self.sheets.iter().map(|&size| self.room(size)).fold(0.0, f64::max);
        if list.set.count_ones() == 1 {
            let form = self.pieces[list.set.trailing_zeros() as usize].form;
            for &turned in form.ways() {
                let pattern = Pattern { size: form.lying(turned), made: Made::Piece };
                self.keep(&mut found, pattern, list.first);
            }
        } else if area <= largest * (1.0 + 1e-9) {
            if let Some((axis, levels)) = list.first
                && levels > 1
            {
                // One part alone, cut the other way.
                let across = List { first: Some((1 - axis, levels - 1)), ..list };
                for &pattern in &*self.of(across)? {
                    self.keep(&mut found, pattern, list.first);
                }
            }
            self.join(list, &mut found)?;
        }
        let found: Rc<[Pattern]> = found.into();
        self.known.insert(list, Rc::clone(&found));
        Ok(found)
    }

    fn join(&mut self, list: List, found: &mut Vec<Pattern>) -> Result<(), Spent> {
        let first = list.set & list.set.wrapping_neg();
        let others = list.set & !first;
        // All proper subsets that hold the first piece, the other part being what is left.
        let mut rest = others;
        while rest != 0 {
            let one = list.set & !rest;
            if self.is_plain(one) {
                let two = List { set: self.plain(rest), ..list };
                self.join_two(List { set: one, ..list }, two, found)?;
            }
            rest = (rest - 1) & others;
        }
        Ok(())
    }

    fn join_two(&mut self, one: List, two: List, found: &mut Vec<Pattern>) -> Result<(), Spent> {
        let ones = self.of(one)?;
        if ones.is_empty() {
            return Ok(());
        }
        let twos = self.of(two)?;
        self.step(1 + (ones.len() * twos.len()) as u64)?;
        let axes = one.first.map_or([true; 2], |(first, _)| [0, 1].map(|axis| axis == first));
        for (place, left) in ones.iter().enumerate() {
            for (other, right) in twos.iter().enumerate() {
                for axis in [0, 1].into_iter().filter(|&axis| axes[axis]) {
                    let widths = [left, right].map(|pattern| pattern.size[1 - axis]);
                    if exact(one.first) && widths[0] != widths[1] {
                        continue;
                    }
                    let mut size = [0; 2];
                    size[axis] = left.size[axis] + self.kerf + right.size[axis];
                    size[1 - axis] = widths[0].max(widths[1]);
                    let made = Made::Two { axis, parts: [(one, place), (two, other)] };
                    self.keep(found, Pattern { size, made }, one.first);
                }
            }
        }
        Ok(())
    }

    /// Keeps a pattern if it fits a sheet and none does that takes less.
    fn keep(&self, found: &mut Vec<Pattern>, pattern: Pattern, first: Option<(usize, u32)>) {
        let fits = self.sheets.iter().any(|&sheet| holds(sheet, pattern.size));
        let across = first.filter(|_| exact(first)).map(|(axis, _)| 1 - axis);
        let as_good = |one: &Pattern, other: &Pattern| {
            holds(other.size, one.size)
                && across.is_none_or(|across| one.size[across] == other.size[across])
        };
        if fits && !found.iter().any(|other| as_good(other, &pattern)) {
            found.retain(|other| !as_good(&pattern, other));
            found.push(pattern);
        }
    }
}

/// Whether a rectangle must be just as long across the first cuts as the parts are.
fn exact(first: Option<(usize, u32)>) -> bool {
    first.is_some_and(|(_, levels)| levels <= 1)
}

/// The places of a set's pieces.
pub(in crate::nest::guillotine) fn members(set: Set) -> impl Iterator<Item = usize> {
    let mut rest = set;
    std::iter::from_fn(move || {
        let place = (rest != 0).then(|| rest.trailing_zeros() as usize);
        rest &= rest.wrapping_sub(1);
        place
    })
}

/// What makes pieces equal.
pub(in crate::nest::guillotine) fn form(shape: &Rectangle) -> ([i64; 2], bool) {
    let mut size = shape.size;
    let turns = shape.turns && size[0] != size[1];
    if turns {
        size.sort_unstable();
    }
    (size, turns)
}

/// Every copy as a piece, the largest first, equal ones beside each other.
pub(in crate::nest::guillotine) fn pieces_of(shapes: &[Rectangle], kerf: i64) -> Vec<Piece> {
    let mut pieces = Vec::new();
    for shape in shapes {
        let sides = shape.size.map(|length| (length + kerf) as f64);
        let piece = Piece { form: *shape, area: sides[0] * sides[1], again: false };
        pieces.extend(std::iter::repeat_n(piece, shape.copies as usize));
    }
    pieces.sort_by(|one, other| {
        other.area.total_cmp(&one.area).then(form(&one.form).cmp(&form(&other.form)))
    });
    for place in 1..pieces.len() {
        pieces[place].again = form(&pieces[place].form) == form(&pieces[place - 1].form);
    }
    pieces
}
