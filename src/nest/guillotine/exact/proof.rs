//! What a search to the end proves.

/// What is proven about a plan.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(in crate::nest) struct Proof {
    /// No plan uses fewer new sheets.
    pub sheets: Option<u32>,
    /// No plan that places everything costs less.
    pub cost: bool,
}

impl Proof {
    /// What two searches of the same job prove together.
    pub fn and(self, other: Self) -> Self {
        Self { sheets: self.sheets.max(other.sheets), cost: self.cost || other.cost }
    }
}
