//! Where a sheet comes from.

/// Where a sheet comes from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum SheetSource {
    /// A new sheet.
    #[default]
    New,
    /// An offcut on hand, by its id.
    Offcut(String),
    /// The hidden middle of a piece, by its id.
    Middle(String),
    /// A part of a larger sheet that is cut down first.
    Part {
        /// The id of that sheet.
        whole: String,
        /// The name of the part, before it was a sheet.
        part: String,
    },
}

impl SheetSource {
    /// How a record says of a sheet that it is new; no offcut can be called so.
    pub const NEW: &str = "new";
}
