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
