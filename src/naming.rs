//! Names: the nearest known one to a slip of the pen, and one that is fit for an id or a folder.

/// The word of `known` that is nearest to `word`, if any is near enough to be a slip.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_lowercase();
    known
        .into_iter()
        .map(|candidate| (edit_distance(&word, &candidate.to_lowercase()), candidate))
        .filter(|(distance, candidate)| *distance <= 1 + candidate.chars().count() / 3)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// Levenshtein's edit distance (Levenshtein 1966), in letters.
fn edit_distance(one: &str, other: &str) -> usize {
    let other: Vec<char> = other.chars().collect();
    let mut row: Vec<usize> = (0..=other.len()).collect();
    for (line, letter) in one.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = line + 1;
        for (column, other_letter) in other.iter().enumerate() {
            let replaced = diagonal + usize::from(letter != *other_letter);
            diagonal = row[column + 1];
            row[column + 1] = replaced.min(row[column] + 1).min(diagonal + 1);
        }
    }
    row[other.len()]
}

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
