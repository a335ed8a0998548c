//! Where the user's file is.

use std::path::{Path, PathBuf};

/// The user's file.
pub const STOCK_NAME: &str = "stock.yaml";
/// The ledger beside it: JSON, a line an entry. A line of its own can be added without touching the others,
/// is damaged without damaging others, and can be told by its number.
pub const LEDGER_NAME: &str = "stock-ledger.jsonl";

/// The `stock.yaml` in a folder, or in the nearest folder above that has one; `start` is a folder or a file
/// in it.
pub fn find_file(start: &Path) -> Option<PathBuf> {
    let whole = std::path::absolute(start).ok()?;
    let folder = if whole.is_dir() { whole.as_path() } else { whole.parent()? };
    // The shortest way to name it, where it is in the folder itself or in the one that is worked in.
    let shown = if start.is_dir() { Some(start) } else { start.parent() };
    let near = shown.map(|folder| folder.join(STOCK_NAME)).filter(|file| file.is_file());
    near.or_else(|| {
        folder.ancestors().map(|folder| folder.join(STOCK_NAME)).find(|file| file.is_file())
    })
}
