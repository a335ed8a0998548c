//! What the rooms of this floor share: rectangles in whole nanometres, patterns of them, and sheets.

mod blocks;
mod patch;
mod pattern;
mod running_on;
mod shape;
mod sheets;

pub(super) use blocks::{Block, blocks, bounding_size, least_room};
pub(super) use patch::{Patch, largest_first};
pub(super) use pattern::{Cell, What};
pub(super) use shape::{Parts, Rectangle, holds};
pub(super) use sheets::{
    COST_OF_A_COIN, LONGEST, MOST_COPIES, Sheets, costs, inside_rim, kerf, sheet_size, trim_margin,
    whole_number,
};
