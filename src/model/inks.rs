//! The inks in which processes are drawn.

use serde::{Deserialize, Serialize};

use super::Process;

/// The ink of each process, `#rrggbb`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Inks {
    /// Ink of cut lines.
    pub cut: String,
    /// Ink of score lines.
    pub score: String,
    /// Ink of perforated lines.
    pub perforate: String,
    /// Ink of pen lines.
    pub pen: String,
    /// Ink of registration marks.
    pub register: String,
}

impl Default for Inks {
    fn default() -> Self {
        Self {
            cut: "#0b6e4f".into(),
            score: "#b5541c".into(),
            perforate: "#6a3fa0".into(),
            pen: "#33312e".into(),
            register: "#000000".into(),
        }
    }
}

impl Inks {
    /// The ink of one process.
    pub fn of(&self, process: Process) -> &str {
        match process {
            Process::Cut => &self.cut,
            Process::Score => &self.score,
            Process::Perforate => &self.perforate,
            Process::Pen => &self.pen,
            Process::Register => &self.register,
        }
    }
}
