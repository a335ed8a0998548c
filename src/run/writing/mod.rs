//! The record, written: all rounding, words and paths as text happen here.

mod print;

pub(super) use print::{picture, print, print_scale, runs, stamp_row};
