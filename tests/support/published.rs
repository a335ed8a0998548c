//! The published rectangle lists (tests/data/bin-packing/SOURCES.md).

/// Width and height of the sheet and of every piece.
pub struct List {
    pub sheet: [i64; 2],
    pub pieces: Vec<[i64; 2]>,
}

/// The fifty lists of a class.
pub fn lists(class: usize) -> Vec<List> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/bin-packing");
    let text = std::fs::read_to_string(format!("{folder}/Class_{class:02}.2bp"))
        .expect("the lists lie in tests/data");
    let rows: Vec<Vec<i64>> = text
        .lines()
        .map(|line| line.split_whitespace().map_while(|word| word.parse().ok()).collect())
        .filter(|row: &Vec<i64>| !row.is_empty())
        .collect();
    let mut lists = Vec::new();
    let mut row = 0;
    while row + 4 <= rows.len() {
        let count = usize::try_from(rows[row + 1][0]).expect("a count");
        let sheet = [rows[row + 3][1], rows[row + 3][0]];
        let pieces = rows[row + 4..row + 4 + count].iter().map(|piece| [piece[1], piece[0]]);
        lists.push(List { sheet, pieces: pieces.collect() });
        row += 4 + count;
    }
    lists
}
