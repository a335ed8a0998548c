//! Names: the nearest known one to a slip of the pen, and one that is fit for an id or a folder.

use std::path::Path;

use strsim::levenshtein;

/// The word of `known` that is nearest to `word`, if any is near enough to be a slip.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.trim().to_lowercase();
    let length = word.chars().count();
    if length > LONGEST_WORD {
        return None;
    }
    known
        .into_iter()
        .filter(|candidate| candidate.len() <= 4 * LONGEST_WORD)
        .map(|candidate| (levenshtein(&word, &candidate.to_lowercase()), candidate))
        .filter(|(distance, candidate)| *distance <= 1 + candidate.chars().count() / 3)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// The ids that a word stands for: the one that is just so, else those whose end it is, so that `sky` finds
/// `left.sky`.
pub fn by_end<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let ends =
        |id: &str| id == word || id.strip_suffix(word).is_some_and(|before| before.ends_with('.'));
    let mut found: Vec<&str> = known.into_iter().filter(|id| ends(id)).collect();
    found.dedup();
    if found.contains(&word) {
        found.retain(|id| *id == word);
    }
    found
}

/// Some ids as a question: `left.sky` or `right.sky`.
pub fn or_list(ids: &[&str]) -> String {
    let named: Vec<String> = ids.iter().map(|id| format!("`{id}`")).collect();
    format!("did you mean {}?", named.join(" or "))
}

/// Names in one folder that are looked at for one that is near.
const MOST_FILES: usize = 5_000;

/// The name in a missing file's folder that is nearest to the file's.
pub fn nearest_file(path: &Path) -> Option<String> {
    let wanted = path.file_name()?.to_str()?;
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let entries = std::fs::read_dir(folder.unwrap_or(Path::new("."))).ok()?;
    let files = entries.flatten().take(MOST_FILES).filter(|entry| entry.path().is_file());
    let mut names: Vec<String> =
        files.filter_map(|entry| entry.file_name().into_string().ok()).collect();
    names.sort_unstable();
    // A name with another ending is nearer than its letters tell: `kite.png` for `kite.svg`.
    let stem = Path::new(wanted).file_stem()?;
    let same_stem = names.iter().find(|name| Path::new(name).file_stem() == Some(stem)).cloned();
    nearest(wanted, names.iter().map(String::as_str)).map(str::to_owned).or(same_stem)
}

/// Letters of a word beyond which it is no slip of a known one: longer words are not compared, which keeps
/// hostile ones short.
const LONGEST_WORD: usize = 200;

/// A name for an id or a folder: letters and digits in lower case, joined by hyphens.
pub fn slug(text: &str) -> String {
    let mut slug = String::new();
    for letter in text.chars().flat_map(char::to_lowercase) {
        if letter.is_alphanumeric() {
            slug.push(letter);
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    let slug = slug.trim_end_matches('-');
    if slug.is_empty() { "piece".to_owned() } else { slug.chars().take(40).collect() }
}
