//! Stopping a search early: what has been found so far is kept.
//!
//! The one thing here that is not a function of the job. A search that was stopped says so in
//! [`super::Nested::notes`], so that nobody takes its answer for the one the effort would have given.

use std::sync::atomic::{AtomicBool, Ordering};

static ASKED: AtomicBool = AtomicBool::new(false);

/// The note of a search that was stopped.
pub const NOTE: &str = "the search was stopped early; this is the best found until then";

/// Asks every search under way, and every later one, to stop with what it has.
pub fn ask() {
    ASKED.store(true, Ordering::Relaxed);
}

/// Whether that has been asked.
pub fn asked() -> bool {
    ASKED.load(Ordering::Relaxed)
}
