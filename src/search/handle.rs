//! What a search is handed beside its job: a way to stop it, and a count of how far it is.
//!
//! Every search has its own, so that two jobs in one process are stopped one by one. Being stopped is the one
//! thing that is no function of the job: what has been found so far is kept, and the answer says so in
//! [`crate::nest::Nested::notes`], so that nobody takes it for the one the effort would have given.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

/// A search under way. Clones are handles on the same search, for other threads.
///
/// ```
/// use cutleaf::nest::{Job, Search};
///
/// let search = Search::new();
/// let handle = search.clone();
/// // From another thread, or when the user asks for it:
/// handle.stop();
/// assert!(search.is_stopped());
/// assert!(search.nest(&Job::default()).left_out.is_empty());
/// ```
#[derive(Clone, Debug, Default)]
pub struct Search {
    stopped: Arc<AtomicBool>,
    steps: Arc<AtomicU64>,
}

impl Search {
    /// A search that nobody has stopped yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Asks the search to stop with what it has.
    pub fn stop(&self) {
        self.stopped.store(true, Ordering::Relaxed);
    }

    /// Whether that has been asked.
    pub fn is_stopped(&self) -> bool {
        self.stopped.load(Ordering::Relaxed)
    }

    /// Steps taken so far: plans tried by ruin and recreate, and rounds of overlap minimisation.
    pub fn steps(&self) -> u64 {
        self.steps.load(Ordering::Relaxed)
    }

    /// Counts a step, unless the search is stopped; says whether it goes on.
    pub(crate) fn step(&self) -> bool {
        self.steps.fetch_add(1, Ordering::Relaxed);
        !self.is_stopped()
    }
}
