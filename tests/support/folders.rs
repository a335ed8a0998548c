//! Folders that the program writes, read back.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// Every file below a folder, by its path.
pub fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    let mut waiting = vec![folder.to_owned()];
    while let Some(next) = waiting.pop() {
        for entry in fs::read_dir(next).expect("a folder").flatten() {
            let path = entry.path();
            if path.is_dir() {
                waiting.push(path);
            } else {
                let name = path.strip_prefix(folder).expect("below").display().to_string();
                all.insert(name, fs::read(&path).expect("a file"));
            }
        }
    }
    all
}
