//! The inks in which processes are drawn.

use serde::{Deserialize, Serialize};

use super::{Color, Process};

/// The ink of each process.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Inks {
    /// Ink of cut lines.
    pub cut: Color,
    /// Ink of score lines.
    pub score: Color,
    /// Ink of perforated lines.
    pub perforate: Color,
    /// Ink of pen lines.
    pub pen: Color,
    /// Ink of registration marks.
    pub register: Color,
}

impl Default for Inks {
    fn default() -> Self {
        Self {
            cut: Color::new([0x0b, 0x6e, 0x4f]),
            score: Color::new([0xb5, 0x54, 0x1c]),
            perforate: Color::new([0x6a, 0x3f, 0xa0]),
            pen: Color::new([0x33, 0x31, 0x2e]),
            register: Color::BLACK,
        }
    }
}

impl Inks {
    /// The ink of one process.
    pub fn of(&self, process: Process) -> &Color {
        match process {
            Process::Cut => &self.cut,
            Process::Score => &self.score,
            Process::Perforate => &self.perforate,
            Process::Pen => &self.pen,
            Process::Register => &self.register,
        }
    }
}
