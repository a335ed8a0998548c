//! The run that stands in a folder: what its record says of itself.

use std::fs;
use std::path::Path;

use serde::Deserialize;
use serde_json::Value;

use cutleaf::record::Record;

use super::RECORD;
use super::tree::Written;

/// Files that versions wrote whose records don't list them; their cut files are named after sheets.
const EARLIER_FILES: [&str; 11] = [
    RECORD,
    "guide.pdf",
    "proof.html",
    "spread.svg",
    "spread.png",
    "print/strips.pdf",
    "print/in-register.pdf",
    "print/photos.pdf",
    "print/stamps.pdf",
    "print/placement.pdf",
    "print/placement-whole.pdf",
];
/// What of a record says where and by what it was written and printed, not what was decided.
const CIRCUMSTANCES: [&str; 4] = ["spec", "files", "cutleaf", "print_scale"];

/// What a record says of its run; of any version, so nothing else of it is read.
#[derive(Debug, Deserialize)]
pub struct Standing {
    /// The spread's name.
    pub name: String,
    /// Where its spec stands, seen from the folder.
    #[serde(default)]
    pub spec: Option<String>,
    #[serde(default)]
    files: Vec<String>,
    #[serde(default)]
    sheets: Vec<SheetId>,
    #[serde(skip)]
    all: Value,
}

#[derive(Debug, Deserialize)]
struct SheetId {
    id: String,
}

impl Standing {
    /// Reads the record of a folder.
    pub fn read(folder: &Path) -> Result<Self, String> {
        let text = fs::read_to_string(folder.join(RECORD)).map_err(|error| error.to_string())?;
        let all: Value = serde_json::from_str(&text).map_err(|error| error.to_string())?;
        let standing = Self::deserialize(&all).map_err(|error| error.to_string())?;
        Ok(Self { all, ..standing })
    }

    /// The files that the program wrote into the folder.
    pub fn written(&self) -> Written {
        if !self.files.is_empty() {
            return self.files.iter().map(Into::into).collect();
        }
        let cut = self.sheets.iter().map(|sheet| format!("cut/{}.svg", sheet.id));
        EARLIER_FILES.iter().map(Into::into).chain(cut.map(Into::into)).collect()
    }

    /// Whether a run decided the very same.
    pub fn decided_as(&self, record: &Record) -> bool {
        let Ok(fresh) = serde_json::to_string(record) else { return false };
        let Ok(mut fresh) = serde_json::from_str::<Value>(&fresh) else { return false };
        let mut all = self.all.clone();
        for side in [&mut fresh, &mut all] {
            if let Some(side) = side.as_object_mut() {
                CIRCUMSTANCES.iter().for_each(|key| {
                    side.remove(*key);
                });
            }
        }
        fresh == all
    }

    /// Whether a run takes the same paper: what redos say of what is left is then still true.
    pub fn takes_paper_as(&self, record: &Record) -> bool {
        let standing = Record::deserialize(&self.all);
        standing.is_ok_and(|standing| standing.paper_digest() == record.paper_digest())
    }
}
