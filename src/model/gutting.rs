//! When hidden middles are cut out.

use super::choices;

choices! {
    /// When hidden middles are cut out.
    pub enum When, "time to gut", usual SavesASheet {
        /// Where that saves a new sheet.
        SavesASheet = "saves-a-sheet",
        /// Wherever there is one.
        Always = "always",
        /// Never, unless an element asks for it.
        Never = "never",
    }
}
