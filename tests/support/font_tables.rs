//! Font files made of the tables of the project's own sample font.

use std::fs;

pub type Table = ([u8; 4], Vec<u8>);

pub fn number(data: &[u8], at: usize, bytes: usize) -> usize {
    data[at..at + bytes].iter().fold(0, |number, byte| number << 8 | usize::from(*byte))
}

/// The tables of the project's own sample font.
pub fn tables() -> Vec<Table> {
    let data = fs::read("tests/data/fonts/sample-variable.ttf").expect("it lies there");
    (0..number(&data, 4, 2))
        .map(|index| {
            let entry = 12 + 16 * index;
            let tag = data[entry..entry + 4].try_into().expect("four letters");
            let (from, length) = (number(&data, entry + 8, 4), number(&data, entry + 12, 4));
            (tag, data[from..from + length].to_vec())
        })
        .collect()
}

pub fn without(dropped: &[&[u8; 4]]) -> Vec<Table> {
    tables().into_iter().filter(|(tag, _)| !dropped.contains(&tag)).collect()
}

/// The tables with one of them changed.
pub fn changed(mut tables: Vec<Table>, tag: [u8; 4], change: impl Fn(&mut Vec<u8>)) -> Vec<Table> {
    tables.iter_mut().filter(|table| table.0 == tag).for_each(|table| change(&mut table.1));
    tables
}

/// A font file of tables (OpenType: table directory; checksums are left 0, which readers don't ask for).
pub fn font(mut tables: Vec<Table>) -> Vec<u8> {
    tables.sort_by_key(|(tag, _)| *tag);
    let count = u16::try_from(tables.len()).expect("few");
    let mut file = vec![0, 1, 0, 0];
    file.extend(count.to_be_bytes());
    file.extend([0; 6]);
    let mut at = 12 + 16 * tables.len();
    for (tag, data) in &tables {
        file.extend(tag);
        file.extend([0; 4]);
        file.extend(u32::try_from(at).expect("small").to_be_bytes());
        file.extend(u32::try_from(data.len()).expect("small").to_be_bytes());
        at += data.len().next_multiple_of(4);
    }
    for (_, data) in &tables {
        file.extend(data);
        file.resize(file.len().next_multiple_of(4), 0);
    }
    file
}
