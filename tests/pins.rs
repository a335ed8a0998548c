//! Holes by which the layers of a title are lined up on pins.

use crate::support::spreads::record_of;
use cutleaf::geometry::boolean::{outsides, union};
use cutleaf::geometry::readable;
use cutleaf::model::Process;
use cutleaf::record::{Piece, Record};
use kurbo::{Affine, BezPath, Point, Shape};
use proptest::prelude::*;

const PAPERS: &str = "name: Dunes\npapers:\n  chalk: {color: '#f4efe3', sheets: {12 x 12: 20}}\ncutting: {effort: quick}\nsingle: {}\n";

fn record(words: &str, height: &str, backing: &str) -> Record {
    let yaml = format!(
        "{PAPERS}title:\n  - {{words: {words}, id: it, height: {height}, paper: chalk, bridges: {{}}, at: [1, 1], backing: {{paper: chalk, {backing}}}}}\n"
    );
    record_of(&yaml).unwrap_or_else(|problems| panic!("{}", problems.render("a", &yaml, false)))
}

fn on_page(piece: &Piece, path: &str) -> BezPath {
    Affine::translate((piece.at[0], piece.at[1])) * readable(path).expect("path data")
}

/// The middles and radii of a layer's holes on the page.
fn holes(piece: &Piece) -> Vec<(Point, f64)> {
    let cut = piece.lines.iter().filter(|line| line.process == Process::Cut);
    cut.map(|line| {
        let bounds = on_page(piece, &line.path).bounding_box();
        (bounds.center(), bounds.width() / 2.0)
    })
    .collect()
}

fn of_kind<'a>(record: &'a Record, kind: &'a str) -> impl Iterator<Item = &'a Piece> {
    record.pieces.iter().filter(move |piece| piece.kind == kind)
}

/// Whether a disc lies in what an outline holds.
fn holds(outline: &BezPath, middle: Point, radius: f64) -> bool {
    (0..24).all(|step| {
        let way = kurbo::Vec2::from_angle(f64::from(step) * std::f64::consts::TAU / 24.0);
        outline.winding(middle + way * radius) != 0
    })
}

fn warned(record: &Record) -> Option<&str> {
    record.warnings.iter().find(|one| one.kind == "pins").map(|one| one.message.as_str())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn every_layer_has_the_same_holes_hidden_under_the_letters(
        words in "[A-Za-z]{2,5}",
        height in 10u32..28,
        margin in 1u32..6,
        layers in 2u32..4,
        kept in any::<bool>(),
    ) {
        let counters = if kept { "kept" } else { "filled" };
        let backing = format!("margin: {margin}/32, layers: {layers}, counters: {counters}, pins: 1/32");
        let record = record(&words, &format!("{height}/16"), &backing);
        let letters: Vec<BezPath> = record
            .pieces
            .iter()
            .filter(|piece| piece.kind == "letter" || piece.kind == "word")
            .map(|piece| on_page(piece, &piece.path))
            .collect();
        let letters = union(&letters);
        let backings: Vec<&Piece> = of_kind(&record, "backing").collect();
        prop_assert_eq!(backings.len(), layers as usize);
        let topmost = backings.iter().find(|piece| piece.id == "title.it.backing").expect("there");
        let first = holes(topmost);
        let parts = outsides(&on_page(topmost, &topmost.path)).len();
        prop_assert!(first.len() == 2 * parts || warned(&record).is_some(), "{} in {parts}", first.len());
        for layer in backings {
            let outline = on_page(layer, &layer.path);
            let here = holes(layer);
            prop_assert_eq!(here.len(), first.len());
            prop_assert_eq!(layer.notes.is_empty(), first.is_empty());
            for (&(middle, radius), &(there, _)) in here.iter().zip(&first) {
                // Each middle is told on a grid of 1e-6 in, within half a step either way.
                prop_assert!(middle.distance(there) < 2e-6);
                prop_assert!((radius - 1.0 / 64.0).abs() < 1e-5);
                // 1/64 in of paper round a hole at least, and a letter over all of that.
                prop_assert!(holds(&letters, middle, radius + 1.0 / 64.0 - 0.001));
                prop_assert!(holds(&outline, middle, radius + 1.0 / 64.0 - 0.001));
            }
        }
        for pair in first.chunks(2) {
            prop_assert!(pair[0].0.distance(pair[1].0) >= 0.375);
        }
    }
}

/// Large capitals: two places, as far apart as the word is long, and every sheet's cut file has them.
#[test]
fn pins_stand_far_apart_and_are_cut() {
    let record = record("WIND", "1", "margin: 1/8, layers: 2, pins: 1/32");
    let layer = of_kind(&record, "backing").next().expect("there");
    let [(one, _), (other, _)] = holes(layer)[..] else { panic!("{:?}", layer.lines) };
    assert!(one.distance(other) > 0.75 * layer.size[0], "{one} {other}");
    for layer in of_kind(&record, "backing") {
        let strokes = record.sheets.iter().flat_map(|sheet| &sheet.strokes);
        let cut = strokes.filter(|one| one.piece == layer.id && one.process == Process::Cut);
        assert_eq!(cut.count(), 3, "two holes and the outside of {}", layer.id);
        assert!(layer.notes.iter().any(|note| note.contains("2 holes")), "{:?}", layer.notes);
    }
    assert_eq!(warned(&record), None);
}

#[test]
fn what_can_t_be_pinned_is_told() {
    let alone = record("WIND", "1", "margin: 1/8, pins: 1/32");
    assert!(warned(&alone).is_some_and(|said| said.contains("one layer")), "{:?}", alone.warnings);
    assert!(of_kind(&alone, "backing").all(|piece| piece.lines.is_empty()));
    let small = record("wind", "3/16", "margin: 1/8, layers: 2, pins: 1/8");
    let said = warned(&small).expect("told");
    assert!(said.contains("the backing has no two places for pins"), "{said}");
    // Far apart, a backing falls into parts; each has pins of its own.
    let parts = record("W W", "1", "margin: 1/32, layers: 2, pins: 1/32");
    let layer = of_kind(&parts, "backing").next().expect("there");
    assert_eq!(holes(layer).len(), 4);
    let too_wide = format!(
        "{PAPERS}title:\n  - words: WIND\n    height: 1\n    paper: chalk\n    backing: {{paper: chalk, layers: 2, margin: 1/8, pins: 1}}\n"
    );
    let told = record_of(&too_wide).expect_err("too wide").render("a", &too_wide, false);
    assert!(
        told.contains("pins don't need holes of `1`") && told.contains("1/4 in or less"),
        "{told}"
    );
}
