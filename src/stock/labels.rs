//! Labels to pencil on the backs of offcuts: a letter and a number, such as `B7`.

/// The letters of labels: not I and O, which look like 1 and 0.
const LETTERS: &str = "ABCDEFGHJKLMNPQRSTUVWXYZ";
/// Numbers to each letter while there are few offcuts, and where there are many.
const FEW: usize = 9;
const MANY: usize = 99;

/// The first label after `last` that is not taken, so that one that was in use lately is not given at once to
/// another piece.
pub(super) fn free(is_taken: impl Fn(&str) -> bool, last: &str) -> String {
    let all = |numbers: usize| {
        LETTERS
            .chars()
            .flat_map(move |letter| (1..=numbers).map(move |number| format!("{letter}{number}")))
    };
    let few: Vec<String> = all(FEW).collect();
    let start = few.iter().position(|label| label == last).map_or(0, |at| at + 1);
    let turned = few[start..].iter().chain(&few[..start]).cloned();
    let longer = (MANY..).step_by(100).flat_map(all);
    turned.chain(longer).find(|label| !is_taken(label)).unwrap_or_default()
}
