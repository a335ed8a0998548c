//! Boxes to tick while the work goes on. The browser keeps them, by the spread's name and what the record
//! holds: another plan begins with none ticked.

use maud::{Markup, html};
use sha2::{Digest, Sha256};

use super::Proof;
use crate::record::Record;

/// Bytes of the hash that tells one plan from another.
const TOLD_BY: usize = 8;

/// The name under which the browser keeps the ticks of a record.
pub(super) fn key(record: &Record) -> String {
    // A record that can't be written down has ticks of its own all the same.
    let written = serde_json::to_vec(record).unwrap_or_default();
    let hash = Sha256::digest(written);
    let hash: String = hash.iter().take(TOLD_BY).map(|byte| format!("{byte:02x}")).collect();
    format!("cutleaf ticks, {}, {hash}", record.name)
}

impl Proof<'_> {
    /// A box to tick for something that is done.
    pub(super) fn tick(&self, what: &str, id: &str, told: &str) -> Markup {
        html! {
            input type="checkbox" autocomplete="off" data-tick={ (what) " " (id) }
                aria-label={ (id) " " (told) };
        }
    }

    /// How many are ticked, and a way to begin anew; shown where a script runs.
    pub(super) fn ticked(&self) -> Markup {
        html! {
            p class="ticked" data-ticked hidden {
                span role="status" {}
                " "
                button type="button" { "Untick all" }
            }
        }
    }
}
