//! Why something can't be done.

use std::fmt;

/// Why something that comes from outside can't be used: a text, a font, a drawing, a picture.
///
/// ```
/// use cutleaf::model::Fault;
/// let fault = Fault::new("`4,5` has a comma", "write 4.5, with a point");
/// assert_eq!(fault.to_string(), "`4,5` has a comma: write 4.5, with a point");
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Fault {
    /// What is wrong, in a sentence.
    pub message: String,
    /// What to do about it.
    pub help: String,
}

impl Fault {
    /// From what is wrong and what to do about it.
    pub fn new(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { message: message.into(), help: help.into() }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}: {}", self.message, self.help)
    }
}

impl std::error::Error for Fault {}
