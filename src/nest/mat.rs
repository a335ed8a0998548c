//! The machine's mat: which paper lies on it, and where among the trimmer's cuts the machine has its turn.
//!
//! The larger the paper that is loaded, the better it holds and the fewer edges have to be met. So the
//! machine goes first wherever the whole sheet lies on the mat. Where it doesn't, the cuts that free a paper
//! that does come first, no more of them than it takes.

use super::rectangles::Patch;
use super::{Area, Cut};
use crate::model::length::{Length, Size};

/// How the paper that holds the machine's part lies on the mat, and when.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct OnMat {
    /// The paper that is loaded.
    pub paper: Area,
    /// Whether it lies turned by a quarter, clockwise.
    pub turned: bool,
    /// How many of the sheet's cuts are made before.
    pub after: usize,
}

/// Whether paper has to be turned by a quarter to lie on a mat; nothing if it doesn't lie on it either way.
/// Without a mat any paper does.
pub fn lies(paper: Size, mat: Option<Size>) -> Option<bool> {
    let Some(mat) = mat else { return Some(false) };
    let holds = |size: Size| size.width <= mat.width && size.height <= mat.height;
    match (holds(paper), holds(paper.turned())) {
        (true, _) => Some(false),
        (false, true) => Some(true),
        (false, false) => None,
    }
}

/// The largest part of some paper, at its top left, that lies on the mat.
pub(super) fn part_for(paper: Patch, mat: Option<Size>) -> Patch {
    let Some(mat) = mat else { return paper };
    let [width, height] = [mat.width, mat.height].map(Length::to_nanometres);
    let parts = [[width, height], [height, width]]
        .map(|most| Patch { size: [0, 1].map(|axis| paper.size[axis].min(most[axis])), ..paper });
    let [upright, turned] = parts;
    if turned.square_inches() > upright.square_inches() { turned } else { upright }
}

/// When the machine has its turn on a sheet: as early as the paper in hand that holds its part lies on the
/// mat. The cuts that come before move to the front; the others keep their order. Nothing if the paper never
/// fits.
pub(super) fn turn(
    sheet: Area,
    machine: Area,
    cuts: &mut Vec<Cut>,
    mat: Option<Size>,
) -> Option<OnMat> {
    let mut paper = sheet;
    let mut before: Vec<usize> = Vec::new();
    while before.len() <= cuts.len() {
        if let Some(turned) = lies(paper.size, mat) {
            to_the_front(cuts, &before);
            return Some(OnMat { paper, turned, after: before.len() });
        }
        let place = cuts.iter().position(|cut| cut.in_hand == paper)?;
        before.push(place);
        let halves = [cuts[place].keeps.area, cuts[place].drops.area];
        paper = halves.into_iter().find(|half| holds(half, &machine))?;
    }
    None
}

fn to_the_front(cuts: &mut Vec<Cut>, before: &[usize]) {
    let first: Vec<Cut> = before.iter().map(|&place| cuts[place].clone()).collect();
    let others = (0..cuts.len()).filter(|place| !before.contains(place));
    *cuts = first.into_iter().chain(others.map(|place| cuts[place].clone())).collect();
}

fn holds(outer: &Area, inner: &Area) -> bool {
    inner.left >= outer.left
        && inner.top >= outer.top
        && inner.left + inner.size.width <= outer.left + outer.size.width
        && inner.top + inner.size.height <= outer.top + outer.size.height
}
