//! Stamps: motifs at even distances, whole on their row.

use cutleaf::record::StampRow;
use proptest::prelude::*;

use crate::support::spreads::record_of;

fn rows(stamps: &str) -> Result<Vec<StampRow>, String> {
    let yaml = format!(
        "name: Stamps\npapers:\n  sand: {{color: '#e8d5a8', sheets: {{12 x 12: 2}}}}\nsingle:\n  pieces:\n    - strip: {{id: ribbon, paper: sand, width: 3/4, across: page, at: {{bottom: 2}}}}\nstamps:\n{stamps}"
    );
    let told = |problems: cutleaf::description::Problems| {
        problems
            .0
            .iter()
            .map(|one| format!("{} {}", one.message, one.help))
            .collect::<Vec<_>>()
            .join("; ")
    };
    Ok(record_of(&yaml).map_err(told)?.stamps)
}

fn one(stamp: &str) -> Result<StampRow, String> {
    Ok(rows(&format!("  - {{{stamp}}}\n"))?.remove(0))
}

#[test]
fn motifs_are_spaced_along_a_piece() {
    let row = one("along: single.ribbon, stamp: 3/4, count: 9").expect("a row");
    assert_eq!((row.along.as_str(), row.length, row.starts.len()), ("single.ribbon", 12.0, 9));
    let gap = (12.0 - 9.0 * 0.75) / 10.0;
    assert!((row.starts[0] - gap).abs() < 1e-6 && (row.starts[1] - 2.0 * gap - 0.75).abs() < 1e-6);
    let ends = one("length: 11, stamp: 3/4, count: 3, ends: 1/4").expect("a row");
    assert_eq!(ends.starts, [0.25, 5.125, 10.0]);
    let pitch = one("length: 11, stamp: 3/4, pitch: 1 1/4").expect("a row");
    assert_eq!(pitch.starts.len(), 9);
    assert!((pitch.starts[0] - 0.125).abs() < 1e-6);
}

#[test]
fn what_does_not_fit_is_told_with_what_would() {
    for (stamp, phrase) in [
        ("length: 3, stamp: 4, count: 1", "doesn't fit"),
        ("length: 3, stamp: 1, count: 4", "room for 1 to 3"),
        ("length: 3, stamp: 1, pitch: 3/4", "1 in or more"),
        ("length: 3, stamp: 1", "`count` and `pitch`"),
        ("length: 3, stamp: 1, count: 2, pitch: 2", "`count` and `pitch`"),
        ("stamp: 1, count: 2", "`along` and `length`"),
        ("along: single.ribon, stamp: 1, count: 2", "single.ribbon"),
        ("length: 3, stamp: 0, count: 2", "stamp"),
        ("length: 12, stamp: 1/64, pitch: 1/64", "768 motifs"),
        ("length: 12, stamp: 1/64, count: 600", "room for 1 to 500"),
    ] {
        let told = one(stamp).expect_err(stamp);
        assert!(told.contains(phrase), "{stamp}: {told}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_row_is_even_and_whole(
        length in 16_u32..320, stamp in 2_u32..16, count in 1_u32..12, by_pitch in any::<bool>(),
    ) {
        let rest = if by_pitch { format!("pitch: {}/16", stamp + count) } else { format!("count: {count}") };
        let Ok(row) = one(&format!("length: {length}/16, stamp: {stamp}/16, {rest}")) else {
            prop_assert!(!by_pitch && count * stamp > length);
            return Ok(());
        };
        let last = row.starts.last().expect("a motif") + row.stamp;
        prop_assert!((row.starts[0] - (row.length - last)).abs() < 1e-5, "the same at both ends");
        prop_assert!(row.starts[0] >= -1e-9);
        for pair in row.starts.windows(3) {
            prop_assert!((pair[2] - 2.0 * pair[1] + pair[0]).abs() < 1e-5);
        }
        for pair in row.starts.windows(2) {
            prop_assert!(pair[1] - pair[0] >= row.stamp - 1e-6);
        }
        // One more would not fit.
        if by_pitch {
            let pitch = f64::from(stamp + count) / 16.0;
            prop_assert!(last - row.starts[0] + pitch > row.length - 1e-6);
        }
    }
}

#[test]
fn the_guide_prints_every_row() {
    let yaml = "name: Stamps\nsingle: {}\nstamps:\n  - {length: 24, stamp: 3/4, count: 20}\n";
    let record = record_of(yaml).expect("a good spec");
    let font = cutleaf::lettering::fonts::FontBook::default().find("text").expect("built in");
    let pdf = cutleaf::emit::stamps::stamps_pdf(&record, &font).expect("a guide");
    let text = String::from_utf8_lossy(&pdf);
    assert_eq!(text.matches("/MediaBox").count(), 1);
    assert!(text.contains("/MediaBox [0 0 792 612]") || text.contains("/MediaBox[0 0 792 612]"));
}
