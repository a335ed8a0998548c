//! What several tests share.

pub mod folders;
pub mod font_tables;
pub mod in_order;
pub mod kite_spread;
pub mod pictures;
pub mod published;
pub mod replay;
pub mod routed;
pub mod spreads;

/// The number of a line in a spec; 0 for what has none.
pub fn line_number(line: Option<std::num::NonZeroU64>) -> u64 {
    line.map_or(0, std::num::NonZeroU64::get)
}
