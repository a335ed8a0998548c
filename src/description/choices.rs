//! Words that only a spec uses; those that other rooms share are in `model`.

use crate::model::{MarkKind, Process, choices};

choices! {
    /// How far a strip runs from left to right.
    pub enum StripAcross, "way for a strip to run", usual Page {
        /// Over one page.
        Page = "page",
        /// Over both pages.
        Spread = "spread",
    }
}

choices! {
    /// How far a strip runs from top to bottom.
    pub enum StripDown, "way for a strip to run down" {
        /// Over the page.
        Page = "page",
    }
}

choices! {
    /// How the photos of a bank follow each other.
    pub enum BankRun, "way to run", usual Across {
        /// Side by side.
        Across = "across",
        /// One under the other.
        Down = "down",
        /// In rows and columns.
        Grid = "grid",
    }
}

choices! {
    /// Along which sides the photos of a bank are made alike.
    pub enum BankAlign, "way to line photos up" {
        /// All photos of a row are equally high.
        Heights = "heights",
        /// All photos of a column are equally wide.
        Widths = "widths",
    }
}

choices! {
    /// How the photos of a bank are made alike.
    pub enum BankBy, "way to make photos alike", usual Crop {
        /// They are cropped: pictures round their `focus`, prints on hand with the trimmer if they may be.
        Crop = "crop",
        /// They are printed larger or smaller.
        Enlarge = "enlarge",
        /// Each gets a mat of its own that makes up for what it lacks.
        Mat = "mat",
    }
}

choices! {
    /// An edge of a piece.
    pub enum Edge, "edge" {
        /// The upper edge.
        Top = "top",
        /// The right edge.
        Right = "right",
        /// The lower edge.
        Bottom = "bottom",
        /// The left edge.
        Left = "left",
    }
}

choices! {
    /// Where a border runs.
    pub enum BorderSide, "side of a border" {
        /// Along the upper edge.
        Top = "top",
        /// Along the right edge.
        Right = "right",
        /// Along the lower edge.
        Bottom = "bottom",
        /// Along the left edge.
        Left = "left",
        /// Along all four.
        Round = "round",
    }
}

choices! {
    /// What of a border stays as it is written.
    pub enum BorderKeep, "part of a border to keep", usual Gap {
        /// The gap, within an eighth of an inch: the blocks are made to fit.
        Gap = "gap",
        /// The blocks: the gap is made to fit.
        Block = "block",
    }
}

choices! {
    /// The form of a tag's shoulders.
    pub enum Shoulders, "form of shoulders", usual Clipped {
        /// Cut off straight.
        Clipped = "clipped",
        /// Round.
        Round = "round",
    }
}

choices! {
    /// The form of a banner's end.
    pub enum BannerEnd, "banner end" {
        /// A straight edge.
        Straight = "straight",
        /// A notch between two points.
        Dovetail = "dovetail",
        /// One point.
        Point = "point",
    }
}

choices! {
    /// Where score lines end.
    pub enum ScoreEnd, "end for score lines", usual Short {
        /// 1/16 in from the edge.
        Short = "short",
        /// At the edge.
        Edge = "edge",
    }
}

choices! {
    /// How stitches are made.
    pub enum StitchKind, "kind of stitch", usual Pen {
        /// Drawn.
        Pen = "pen",
        /// Pierced for a needle.
        Holes = "holes",
        /// Cut as slits.
        Dashes = "dashes",
    }
}

choices! {
    /// What is done along the lines of one colour.
    pub enum LineProcess, "process" {
        /// Cut through.
        Cut = "cut",
        /// Pressed, to be folded.
        Score = "score",
        /// Cut in dashes, to be torn off.
        Perforate = "perforate",
        /// Drawn with a pen.
        Pen = "pen",
    }
}

impl From<LineProcess> for Process {
    fn from(process: LineProcess) -> Self {
        match process {
            LineProcess::Cut => Self::Cut,
            LineProcess::Score => Self::Score,
            LineProcess::Perforate => Self::Perforate,
            LineProcess::Pen => Self::Pen,
        }
    }
}

choices! {
    /// What becomes of the counters of letters in the layers behind them.
    pub enum Counters, "way to treat counters", usual Filled {
        /// They are closed.
        Filled = "filled",
        /// They stay open.
        Kept = "kept",
    }
}

choices! {
    /// How the place of what is glued on is shown.
    pub enum PlacementLine, "way to show a place", usual None {
        /// Not at all.
        None = "none",
        /// A pen draws its outline.
        Pen = "pen",
        /// Its outline is scored.
        Score = "score",
    }
}

impl PlacementLine {
    /// What draws the outline.
    pub const fn process(self) -> Option<Process> {
        match self {
            Self::None => None,
            Self::Pen => Some(Process::Pen),
            Self::Score => Some(Process::Score),
        }
    }
}

choices! {
    /// What parts a span of words from the one before.
    pub enum Parting, "way to part words", usual Space {
        /// A space.
        Space = "space",
        /// A new line.
        Line = "line",
        /// Nothing.
        Nothing = "nothing",
    }
}

impl Parting {
    /// What stands between the words.
    pub const fn text(self) -> &'static str {
        match self {
            Self::Space => " ",
            Self::Line => "\n",
            Self::Nothing => "",
        }
    }
}

choices! {
    /// Which edges line up with those of the piece that a position goes by.
    pub enum LineUp, "way to align", usual Start {
        /// The left or upper ones.
        Start = "start",
        /// The middles.
        Center = "center",
        /// The right or lower ones.
        End = "end",
    }
}

choices! {
    /// The form of registration marks, if there are to be any.
    pub enum MarkForm, "registration mark", usual Cross {
        /// Two lines that cross in the middle.
        Cross = "cross",
        /// Two lines that meet at a right angle and run towards the middle of the sheet.
        Corner = "corner",
        /// A circle.
        Ring = "ring",
        /// No marks.
        None = "none",
    }
}

impl MarkForm {
    /// The form, if there are to be marks.
    pub const fn kind(self) -> Option<MarkKind> {
        match self {
            Self::Cross => Some(MarkKind::Cross),
            Self::Corner => Some(MarkKind::Corner),
            Self::Ring => Some(MarkKind::Ring),
            Self::None => None,
        }
    }
}

choices! {
    /// Which sheets bear registration marks.
    pub enum MarkedSheets, "place of marks", usual Printed {
        /// Those whose print carries them, too.
        Printed = "printed sheets",
        /// Every sheet of the machine.
        Every = "every sheet",
    }
}

choices! {
    /// The unit of numbers without one.
    pub enum UnitWord, "unit for a spread" {
        /// Inches.
        In = "in",
        /// Millimetres.
        Mm = "mm",
        /// Inches.
        Inch = "inch",
        /// Inches.
        Inches = "inches",
    }
}
