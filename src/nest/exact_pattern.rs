//! All guillotine patterns of a handful of rectangles.
//!
//! For every set of pieces the smallest rectangles are kept that it can be cut from: each pattern is
//! a piece, or two patterns side by side or one under the other with a kerf between them. This is
//! Wang's build-up (Operations Research 31, 1983) done for all sets, with the dominated rectangles
//! dropped, as in the recursion of Clautiaux, Jouglet & Moukrim (INFORMS Journal on Computing 25,
//! 2013). A set fits a sheet exactly if one of its rectangles does. Nothing is rounded.

use std::collections::HashMap;
use std::rc::Rc;

use super::interrupt;
use super::trimmer_problem::{Shape, holds};

/// A set of pieces, one bit each.
pub(super) type Set = u32;

/// A rectangle from which a set can be cut.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pattern {
    /// Width and height.
    pub size: [i64; 2],
    /// What it consists of.
    pub made: Made,
}

/// What a pattern consists of.
#[derive(Clone, Copy, Debug)]
pub(super) enum Made {
    /// One piece.
    Piece,
    /// Two patterns along an axis, by set and place in its list.
    Two { axis: usize, parts: [(Set, usize); 2] },
}

/// A piece to be cut.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    /// Measures and turns.
    pub form: Shape,
    /// Area with a kerf on two sides.
    pub area: f64,
    /// Whether the piece before it is the same.
    pub again: bool,
}

/// The patterns of all sets met so far.
pub(super) struct Patterns {
    /// The pieces, equal ones beside each other.
    pub pieces: Vec<Piece>,
    /// Sheet sizes; a pattern larger than all of them is of no use.
    sheets: Vec<[i64; 2]>,
    kerf: i64,
    /// Pieces with an equal one before them.
    again: Set,
    known: HashMap<Set, Rc<[Pattern]>>,
    /// Steps that are left.
    pub steps: u64,
}

/// The steps have run out, so nothing is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Spent;

impl Patterns {
    /// No pattern is known yet.
    pub fn new(pieces: Vec<Piece>, sheets: Vec<[i64; 2]>, kerf: i64, steps: u64) -> Self {
        let again = pieces.iter().enumerate().map(|(place, piece)| Set::from(piece.again) << place);
        let again = again.fold(0, |all, bit| all | bit);
        Self { pieces, sheets, kerf, again, known: HashMap::new(), steps }
    }

    /// Takes a step, if there is one left.
    pub fn step(&mut self, count: u64) -> Result<(), Spent> {
        if interrupt::asked() {
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
    pub fn fit(&mut self, set: Set, sheet: [i64; 2]) -> Result<Option<usize>, Spent> {
        // Rounding must not rule anything out.
        if self.area(set) > self.room(sheet) * (1.0 + 1e-9) {
            return Ok(None);
        }
        let patterns = self.of(set)?;
        Ok(patterns.iter().position(|pattern| holds(sheet, pattern.size)))
    }

    /// The undominated patterns of a set.
    pub fn of(&mut self, set: Set) -> Result<Rc<[Pattern]>, Spent> {
        let set = self.plain(set);
        if let Some(known) = self.known.get(&set) {
            return Ok(Rc::clone(known));
        }
        self.step(1)?;
        let mut found = Vec::new();
        let area = self.area(set);
        let largest = self.sheets.iter().map(|&size| self.room(size)).fold(0.0, f64::max);
        if set.count_ones() == 1 {
            let form = self.pieces[set.trailing_zeros() as usize].form;
            for &turned in form.ways() {
                self.keep(&mut found, Pattern { size: form.lying(turned), made: Made::Piece });
            }
        } else if area <= largest * (1.0 + 1e-9) {
            self.join(set, &mut found)?;
        }
        let found: Rc<[Pattern]> = found.into();
        self.known.insert(set, Rc::clone(&found));
        Ok(found)
    }

    fn join(&mut self, set: Set, found: &mut Vec<Pattern>) -> Result<(), Spent> {
        let first = set & set.wrapping_neg();
        let others = set & !first;
        // All proper subsets that hold the first piece, the other part being what is left.
        let mut rest = others;
        while rest != 0 {
            let one = set & !rest;
            if self.is_plain(one) {
                self.join_two(one, self.plain(rest), found)?;
            }
            rest = (rest - 1) & others;
        }
        Ok(())
    }

    fn join_two(&mut self, one: Set, two: Set, found: &mut Vec<Pattern>) -> Result<(), Spent> {
        let ones = self.of(one)?;
        if ones.is_empty() {
            return Ok(());
        }
        let twos = self.of(two)?;
        self.step(1 + (ones.len() * twos.len()) as u64)?;
        for (place, left) in ones.iter().enumerate() {
            for (other, right) in twos.iter().enumerate() {
                for axis in [0, 1] {
                    let mut size = [0; 2];
                    size[axis] = left.size[axis] + self.kerf + right.size[axis];
                    size[1 - axis] = left.size[1 - axis].max(right.size[1 - axis]);
                    let made = Made::Two { axis, parts: [(one, place), (two, other)] };
                    self.keep(found, Pattern { size, made });
                }
            }
        }
        Ok(())
    }

    /// Keeps a pattern if it fits a sheet and none is as small.
    fn keep(&self, found: &mut Vec<Pattern>, pattern: Pattern) {
        let fits = self.sheets.iter().any(|&sheet| holds(sheet, pattern.size));
        if fits && !found.iter().any(|other| holds(pattern.size, other.size)) {
            found.retain(|other| !holds(other.size, pattern.size));
            found.push(pattern);
        }
    }
}

/// The places of a set's pieces.
pub(super) fn members(set: Set) -> impl Iterator<Item = usize> {
    let mut rest = set;
    std::iter::from_fn(move || {
        let place = (rest != 0).then(|| rest.trailing_zeros() as usize);
        rest &= rest.wrapping_sub(1);
        place
    })
}
