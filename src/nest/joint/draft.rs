//! A plan that is not written out yet: sheets in use, and what waits.

use crate::nest::PlacedItem;
use crate::nest::guillotine::Trimmed;
use crate::nest::rectangles::{Cell, Patch};

/// A sheet in use.
#[derive(Clone, Debug)]
pub(super) struct Open {
    /// Its stock, by place in the job.
    pub stock: usize,
    /// The trimmer's pattern, or nothing for a sheet that goes to the machine whole.
    pub root: Option<Cell>,
    /// What goes to the machine.
    pub part: Option<IrregularPart>,
}

/// Paper for the machine with what lies on it.
#[derive(Clone, Debug)]
pub(super) struct IrregularPart {
    /// Where it lies on its sheet, rim included: all of a leftover.
    pub patch: Patch,
    /// Its pieces, measured from its top left.
    pub placed: Vec<PlacedItem>,
}

/// A plan that is not written out yet.
#[derive(Clone, Debug, Default)]
pub(super) struct Draft {
    /// Sheets in use.
    pub open: Vec<Open>,
    /// How many of each stock are in use.
    pub used: Vec<u32>,
    /// Copies of each item without a place.
    pub left_out: Vec<u32>,
}

impl Draft {
    /// The trimmer's share alone.
    pub fn of(trimmed: &Trimmed) -> Self {
        let open = trimmed.sheets.iter().map(|sheet| Open {
            stock: sheet.stock,
            root: Some(sheet.root.clone()),
            part: None,
        });
        Self {
            open: open.collect(),
            used: trimmed.used.clone(),
            left_out: trimmed.left_out.clone(),
        }
    }
}

/// A copy of a machine item: the item by place in the job, and which copy.
pub(super) type Copy = (usize, u32);
