//! Reasons for an answer, as data, and their words.

/// Why one new sheet less can't do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit {
    /// What the pieces cover, in areas of the largest new sheet, offcuts taken off.
    Area(f64),
    /// The sizes of the pieces.
    Sizes,
    /// Every plan was tried.
    Tried,
}

impl Limit {
    /// The reason in words.
    pub fn told(self) -> String {
        match self {
            Self::Area(covered) => format!("the pieces cover {} sheets", above_whole(covered)),
            Self::Sizes => "too many of the pieces are too large to share a sheet".to_owned(),
            Self::Tried => "every way of sharing the pieces out was tried".to_owned(),
        }
    }
}

/// A number with as few decimals as still show that it is more than a whole one: `1.2`, `1.03`.
fn above_whole(number: f64) -> String {
    let shown = |decimals: usize| format!("{number:.decimals$}");
    let is_whole = |shown: &String| shown.trim_end_matches('0').ends_with('.');
    (1..4).map(shown).find(|shown| !is_whole(shown)).unwrap_or_else(|| shown(1))
}
