//! What a record says of paper, as one short text.

use sha2::{Digest, Sha256};

use crate::model::Count;

use super::Record;

/// Steps to an inch in which the digest compares: coarser than what writing and reading a number may change,
/// finer than any blade.
const STEPS: f64 = 1e6;

impl Record {
    /// A digest (SHA-256, FIPS 180-4) of where its paper goes: what is left of each paper, and the sheets
    /// with what lies on them. What comes after a record can only use the paper that this leaves. What is
    /// left of paper from the stock is not told by a record: the ledger knows.
    pub fn paper_digest(&self) -> String {
        let mut hash = Hash(Sha256::new());
        for paper in self.papers.iter().filter(|paper| !paper.from_stock) {
            hash.text(&paper.name);
            for left in &paper.left {
                hash.lengths(&left.size);
                hash.text(&left.count.to_string());
            }
            for left in &paper.offcuts_left {
                hash.text(&left.id);
                hash.lengths(&left.size);
                hash.count(left.count);
            }
        }
        self.tell_sheets(&mut hash);
        if let Some(left) = self.photo_paper.and_then(|paper| paper.left) {
            hash.lengths(&left.size);
            hash.text(&left.count.to_string());
        }
        hash.told()
    }

    /// A digest of its sheets and what lies on them: two runs with the same one are cut in the same way.
    pub fn sheets_digest(&self) -> String {
        let mut hash = Hash(Sha256::new());
        self.tell_sheets(&mut hash);
        hash.told()
    }

    fn tell_sheets(&self, hash: &mut Hash) {
        for sheet in self.sheets.iter().chain(&self.prints) {
            let from = sheet.from.as_deref().unwrap_or_default();
            for text in [sheet.id.as_str(), &sheet.paper, from] {
                hash.text(text);
            }
            hash.lengths(&sheet.size);
            hash.count(sheet.count);
            for placed in &sheet.placed {
                hash.text(&placed.piece);
                hash.text(&placed.copy.to_string());
                hash.lengths(&placed.at);
                hash.lengths(&[placed.turn]);
            }
            for offcut in &sheet.offcuts {
                hash.text(&offcut.id);
                hash.lengths(&offcut.at);
                hash.lengths(&offcut.size);
                hash.count(offcut.count);
            }
        }
    }
}

/// What has been told so far; each part ends with a mark of its own.
struct Hash(Sha256);

impl Hash {
    fn text(&mut self, text: &str) {
        self.0.update(text.as_bytes());
        self.0.update([0]);
    }

    /// One is not told: a record without counts has the digest that it always had.
    fn count(&mut self, count: Count) {
        if !count.is_one() {
            self.text(&format!("x {count}"));
        }
    }

    fn told(self) -> String {
        self.0.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
    }

    fn lengths(&mut self, lengths: &[f64]) {
        for length in lengths {
            self.text(&format!("{:.0}", length * STEPS));
        }
    }
}
