//! Bounds: how few sheets can do, what they cost at the least, and which pieces never share one.

mod dual_feasible;
mod fewest_sheets;
mod least_cost;
mod sharing;

pub(super) use dual_feasible::weights;
pub(super) use fewest_sheets::{Bound, Demand, bound};
pub(super) use least_cost::{least_cost, least_cost_by_area, least_price};
pub use sharing::cannot_share;
