//! What is done along a line.

use super::choices;

choices! {
    /// What is done along a line.
    #[derive(PartialOrd, Ord, Hash)]
    pub enum Process, "process" {
        /// Marks by which layers and steps are lined up.
        Register = "register",
        /// Drawn with a pen.
        Pen = "pen",
        /// Cut in dashes, to be torn off.
        Perforate = "perforate",
        /// Pressed, to be folded.
        Score = "score",
        /// Cut through.
        Cut = "cut",
    }
}

impl Process {
    /// Every process, in the order in which a sheet is worked so that paper is never loose early.
    pub const IN_ORDER: [Self; 5] = Self::ALL;

    /// What is done, as a sentence says it: to score, to draw.
    pub const fn verb(self) -> &'static str {
        match self {
            Self::Register => "mark",
            Self::Pen => "draw with a pen",
            Self::Perforate => "perforate",
            Self::Score => "score",
            Self::Cut => "cut",
        }
    }
}
