//! A file of the user's, as messages speak of it.

/// How messages speak of a file as a whole.
pub(crate) struct FileKind {
    /// What it is, as in `the spec is empty`.
    pub name: &'static str,
    /// What to do about one that is too long.
    pub too_long: &'static str,
    /// How one begins.
    pub begin: &'static str,
    /// Where its keys are told.
    pub keys: &'static str,
}
