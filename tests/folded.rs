//! Folded things: panels add up to the flat size, tabs lie behind the face, an envelope holds its card; on
//! their page they lie folded.

use cutleaf::model::Fault;
use std::f64::consts::PI;

use crate::support::in_order::{area, check_in_order, close_to};
use crate::support::spreads::{layout_of, record_of};
use cutleaf::emit::SmallCopies;
use cutleaf::emit::spread::spread_svg;
use cutleaf::geometry::boolean::subpaths;
use cutleaf::geometry::{Drawing, Fold};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::plan::{self, Chain, Redo, redo_layout};
use cutleaf::shapes::finished::Finished;
use cutleaf::shapes::folding::other_side_up;
use cutleaf::shapes::{
    Envelope, SCORE_STOP, accordion, envelope, folded_accordion, folded_envelope, folded_gatefold,
    folded_photo_corner, folded_pocket, folded_tent, gatefold, photo_corner, pocket, step, tent,
};
use kurbo::{Affine, Point, Rect, Shape};
use proptest::prelude::*;

/// The folds of a drawing: which, from where to where.
fn folds(drawing: &Drawing) -> Vec<(Fold, Point, Point)> {
    drawing
        .lines
        .iter()
        .map(|line| {
            let segment = line.path.segments().next().unwrap();
            (
                line.fold.unwrap(),
                kurbo::ParamCurve::start(&segment),
                kurbo::ParamCurve::end(&segment),
            )
        })
        .collect()
}

/// A reflection in a fold: where paper lies once it is folded flat.
fn over(from: Point, to: Point) -> Affine {
    Affine::reflect(from, to - from)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn panels_sum_to_the_flat_strip(panels in 2_u32..12, w in 0.5..3.0_f64, h in 0.5..5.0_f64) {
        let strip = accordion(panels, w, h, SCORE_STOP).unwrap();
        check_in_order(&strip, [f64::from(panels) * w, h]);
        let folds = folds(&strip);
        prop_assert_eq!(folds.len() + 1, panels as usize);
        let mut at = 0.0;
        for (index, (fold, from, to)) in folds.iter().enumerate() {
            prop_assert!(close_to(from.x - at, w) && close_to(to.x, from.x));
            at = from.x;
            prop_assert_eq!(*fold, if index % 2 == 0 { Fold::Valley } else { Fold::Mountain });
            prop_assert!(close_to(from.y, SCORE_STOP) && close_to(to.y, h - SCORE_STOP));
        }
        prop_assert!(close_to(f64::from(panels) * w - at, w));
    }

    #[test]
    fn gates_meet_and_tents_halve(w in 1.0..6.0_f64, h in 1.0..6.0_f64, gap in 0.0..0.1_f64) {
        let card = gatefold(w, h, gap, 0.0).unwrap();
        check_in_order(&card, [2.0 * w - gap, h]);
        let [(_, left, left_end), (_, right, right_end)] = folds(&card)[..] else { panic!() };
        prop_assert!(close_to(right.x - left.x, w) && left.y == 0.0);
        // Folded over, the gates' free edges lie so far apart.
        let one = over(left, left_end) * Point::new(0.0, 0.0);
        let other = over(right, right_end) * Point::new(2.0 * w - gap, 0.0);
        prop_assert!(close_to(other.x - one.x, gap));
        let stands = tent(w, h, 0.0).unwrap();
        check_in_order(&stands, [w, 2.0 * h]);
        let (fold, from, _) = folds(&stands)[0];
        prop_assert!(fold == Fold::Mountain && close_to(from.y, h));
    }

    #[test]
    fn tabs_of_a_pocket_lie_behind_its_face(w in 1.5..6.0_f64, h in 1.0..6.0_f64, share in 0.1..1.0_f64, notch in 0.0..0.4_f64) {
        let tab = share * ((w / 2.0).min(h) - 1.0 / 16.0);
        let shape = pocket([w, h], tab, notch, SCORE_STOP).unwrap();
        check_in_order(&shape, [w + 2.0 * tab, h + tab]);
        let [beside, below] = [tab.min(h / 4.0), tab.min(w / 4.0)];
        let tabs = 2.0 * tab * (h - beside) + tab * (w - below);
        prop_assert!(close_to(area(&shape), w * h + tabs - PI * notch * notch / 2.0));
        let face = Rect::new(tab, 0.0, tab + w, h).inflate(1e-9, 1e-9);
        for (fold, from, to) in folds(&shape) {
            prop_assert_eq!(fold, Fold::Mountain);
            let outside = shape.outline.elements().iter().filter_map(|element| element.end_point());
            for corner in outside.filter(|corner| !face.contains(*corner)) {
                let side = |point: Point| (to - from).cross(point - from);
                // Only the tab at this fold: what lies beyond it and between its ends.
                let along = (corner - from).dot(to - from) / (to - from).hypot2();
                if side(corner) * side(face.center()) < -1e-9 && (-0.01..=1.01).contains(&along) {
                    prop_assert!(face.contains(over(from, to) * corner), "{corner:?} sticks out");
                }
            }
        }
    }

    #[test]
    fn an_envelope_holds_its_card(w in 2.0..8.0_f64, h in 2.0..6.0_f64, clearance in 0.0625..0.25_f64) {
        let measures = Envelope::for_card([w, h], clearance);
        let shape = envelope(measures, 0.0).unwrap();
        let [wide, high] = [w + clearance, h + clearance];
        check_in_order(&shape, [wide + 2.0 * measures.side, high + measures.flap + measures.bottom]);
        let [(_, top, top_end), (_, right, right_end), (_, bottom, bottom_end), (_, left, left_end)] =
            folds(&shape)[..] else { panic!() };
        // The card lies within the folds with the clearance both ways.
        let back = Rect::from_points(top, right_end);
        prop_assert!(close_to(back.width() - w, clearance) && close_to(back.height() - h, clearance));
        // Every flap, folded over, lies on the back; the bottom and the flap overlap and hold the card.
        let bounds = shape.outline.bounding_box();
        let folded = |from: Point, to: Point, part: Rect| over(from, to).transform_rect_bbox(part);
        let flap = folded(top, top_end, Rect::new(back.x0, bounds.y0, back.x1, back.y0));
        let low = folded(bottom, bottom_end, Rect::new(back.x0, back.y1, back.x1, bounds.y1));
        let near = folded(left, left_end, Rect::new(bounds.x0, back.y0, back.x0, back.y1));
        let far = folded(right, right_end, Rect::new(back.x1, back.y0, bounds.x1, back.y1));
        for part in [flap, low, near, far] {
            prop_assert!(back.inflate(1e-9, 1e-9).contains_rect(part), "{part:?}");
        }
        prop_assert!(flap.y1 > low.y0 + 0.06, "the flap doesn't reach the bottom");
        prop_assert!(near.x1 < far.x0, "the side flaps meet");
        prop_assert!(low.y0 < near.y1 && low.y0 < far.y1, "the bottom isn't glued on the sides");
        prop_assert!(folds(&shape).iter().all(|(fold, _, _)| *fold == Fold::Valley));
    }

    #[test]
    fn steps_fold_flat_and_corners_close(w in 1.0..4.0_f64, riser in 0.3..2.0_f64, tread in 0.3..2.0_f64, tab in 0.2..0.9_f64) {
        let strip = step(w, riser, tread, tab, SCORE_STOP).unwrap();
        check_in_order(&strip, [w, riser + tread + 2.0 * tab]);
        let kinds: Vec<Fold> = folds(&strip).iter().map(|(fold, _, _)| *fold).collect();
        prop_assert_eq!(kinds, [Fold::Valley, Fold::Mountain, Fold::Valley]);
        let at: Vec<f64> = folds(&strip).iter().map(|(_, from, _)| from.y).collect();
        prop_assert!(close_to(at[1] - at[0], tread) && close_to(at[2] - at[1], riser));
        let cut = tab.min(w / 4.0);
        prop_assert!(close_to(area(&strip), w * (riser + tread) + 2.0 * tab * (w - cut)));
        let corner = photo_corner(w, w * 3.0 / 8.0, 0.0).unwrap();
        check_in_order(&corner, [w * 11.0 / 8.0, w * 11.0 / 8.0]);
        prop_assert!(close_to(area(&corner), w * w / 2.0 + 2.0 * (w * 3.0 / 8.0) * (w * 5.0 / 8.0)));
    }
}

#[test]
fn what_cannot_be_folded_is_refused_with_help() {
    let tight = Envelope { flap: 0.5, ..Envelope::for_card([4.0, 3.0], 0.125) };
    let cases: Vec<(&str, Result<Drawing, Fault>)> = vec![
        ("tab", pocket([2.0, 2.0], 1.5, 0.0, 0.0)),
        ("tab", pocket([2.0, 2.0], 0.0, 0.0, 0.0)),
        ("notch", pocket([2.0, 2.0], 0.5, 1.0, 0.0)),
        ("flap", envelope(tight, 0.0)),
        ("1 panels", accordion(1, 2.0, 2.0, 0.0)),
        ("larger than any paper", accordion(90, 2.0, 2.0, 0.0)),
        ("height", tent(1.0, 0.0, 0.0)),
        ("gap", gatefold(1.0, 1.0, 1.0, 0.0)),
        ("riser", step(1.0, 0.0, 1.0, 0.25, 0.0)),
        ("tab", photo_corner(1.0, 0.5, 0.0)),
    ];
    for (index, (named, result)) in cases.into_iter().enumerate() {
        let error = result.expect_err(&format!("case {index} ({named}) went through"));
        assert!(error.message.contains(named), "case {index}: {} has no `{named}`", error.message);
        assert!(!error.help.is_empty());
    }
}

/// Whether each face of a folded thing is a part of the flat piece between its folds, and lies within what
/// is seen of it.
fn check_faces(name: &str, flat: &Drawing, folded: &Finished) {
    let seen = folded.outline.bounding_box().inflate(1e-9, 1e-9);
    assert!(seen.x0.abs() < 1e-8 && seen.y0.abs() < 1e-8, "{name} isn't at the origin");
    for face in &folded.faces {
        let bounds = face.path.bounding_box();
        assert!(seen.contains_rect(bounds), "{name}: {bounds:?} sticks out");
        let part = face.flat();
        assert!(part.area() > 0.0 && close_to(part.area(), face.path.area().abs()), "{name}");
        // Every corner lies on the flat piece, and no fold runs through the face.
        let middle = part.bounding_box().center();
        for corner in part.segments().map(|one| kurbo::ParamCurve::start(&one)) {
            let on_edge = |one: kurbo::PathSeg| {
                kurbo::ParamCurveNearest::nearest(&one, corner, 1e-9).distance_sq < 1e-18
            };
            let on_paper = flat.outline.winding(corner) != 0;
            assert!(on_paper || flat.outline.segments().any(on_edge), "{name}: {corner:?}");
            for (_, from, to) in folds(flat) {
                let side = |at: Point| (to - from).cross(at - from) / (to - from).hypot();
                let crossed = side(corner) * side(middle) < -1e-9;
                let across = (corner - from).dot(to - from) / (to - from).hypot2();
                assert!(!crossed || !(0.0..=1.0).contains(&across), "{name}: folded in its middle");
            }
        }
        // A face that shows its back was folded over an odd number of times.
        assert_eq!(face.from.determinant() > 0.0, face.up, "{name}");
    }
}

#[test]
fn faces_are_parts_of_the_flat_piece() {
    let measures = Envelope::for_card([3.0, 2.0], 0.125);
    let things = [
        (
            "pocket",
            pocket([3.0, 4.0], 0.5, 0.375, 0.0),
            folded_pocket([3.0, 4.0], 0.5, 0.375),
            [3.0, 4.0],
        ),
        ("envelope", envelope(measures, 0.0), folded_envelope(measures), [3.125, 2.125]),
        ("tent", tent(2.5, 1.5, 0.0), folded_tent(2.5, 1.5), [2.5, 1.5]),
        ("odd accordion", accordion(5, 1.0, 2.0, 0.0), folded_accordion(5, 1.0, 2.0), [1.0, 2.0]),
        ("even accordion", accordion(4, 1.0, 2.0, 0.0), folded_accordion(4, 1.0, 2.0), [1.0, 2.0]),
        (
            "gatefold",
            gatefold(3.0, 4.0, 0.03125, 0.0),
            folded_gatefold(3.0, 4.0, 0.03125),
            [3.0, 4.0],
        ),
        (
            "photo corner",
            photo_corner(0.75, 0.28, 0.0),
            folded_photo_corner(0.75, 0.28),
            [0.75, 0.75],
        ),
    ];
    for (name, flat, folded, size) in things {
        let flat = flat.expect(name);
        let found = folded.size();
        assert!((0..2).all(|axis| close_to(found[axis], size[axis])), "{name}: {found:?}");
        check_faces(name, &flat, &folded);
        let kinds: Vec<Fold> = folds(&flat).iter().map(|(fold, ..)| *fold).collect();
        let (turned, same) = other_side_up(flat.clone(), folded.clone());
        check_in_order(&turned, flat.size());
        // Mirrored, the faces are where they were, and each shows the other side of the cut.
        for (face, other) in folded.faces.iter().zip(&same.faces) {
            assert!(face.path == other.path && face.up != other.up, "{name}");
            let moved = face.from.inverse() * face.path.bounding_box().center();
            let mirrored = other.from.inverse() * other.path.bounding_box().center();
            assert!(close_to(moved.x + mirrored.x, flat.size()[0]), "{name}");
        }
        assert!(
            folds(&turned).iter().zip(kinds).all(|((fold, ..), before)| *fold != before),
            "{name}"
        );
    }
}

const HEAD: &str = "name: Folded\npapers: {chalk: {color: '#f4efe3', sheets: {12 x 12: 9}}}\nsingle:\n  base: chalk\n  pieces:\n";

#[test]
fn positions_and_warnings_take_the_folded_size() {
    // The element, its place, and where its face then lies: left, top, width, height.
    let rows: [(&str, &str, [f64; 4]); 8] = [
        (
            "pocket: {id: it, paper: chalk, size: 3 x 4",
            "{right: 0, bottom: 0}",
            [9.0, 8.0, 3.0, 4.0],
        ),
        (
            "envelope: {id: it, paper: chalk, card: 3 x 2",
            "{left: 0, top: 0}",
            [0.0, 0.0, 3.125, 2.125],
        ),
        ("tent: {id: it, paper: chalk, size: 2 1/2 x 1 1/2", "{bottom: 0}", [0.0, 10.5, 2.5, 1.5]),
        (
            "accordion: {id: it, paper: chalk, panels: 5, size: 2 x 3",
            "{right: 0}",
            [10.0, 0.0, 2.0, 3.0],
        ),
        ("gatefold: {id: it, paper: chalk, size: 3 x 4", "center", [4.5, 4.0, 3.0, 4.0]),
        ("photo corner: {id: it, paper: chalk, size: 1", "{right: 0}", [11.0, 0.0, 1.0, 1.0]),
        (
            "pocket: {id: it, paper: chalk, size: 3 x 4, turn: 90",
            "{right: 0, top: 0}",
            [8.0, 0.0, 4.0, 3.0],
        ),
        // A step lies flat as long as its card is open.
        ("step: {id: it, paper: chalk, width: 2, riser: 3/4", "[1, 1]", [1.0, 1.0, 2.0, 2.25]),
    ];
    for (element, at, [left, top, width, height]) in rows {
        let yaml = format!(
            "{HEAD}    - {element}, at: {at}}}\n    - circle: {{id: seal, paper: chalk, diameter: 1/2, at: {{on: it}}}}\n"
        );
        let layout = layout_of(&yaml).expect(element);
        let told: Vec<&str> = layout.warnings.iter().map(|one| one.message.as_str()).collect();
        assert!(told.is_empty(), "{element}: {told:?}");
        let piece = |id: &str| layout.pieces.iter().find(|piece| piece.id == id).expect(id);
        let bounds = piece("single.it").on_page().bounding_box();
        let found = [bounds.x0, bounds.y0, bounds.width(), bounds.height()];
        let wanted = [left, top, width, height];
        assert!(
            found.iter().zip(wanted).all(|(one, other)| (one - other).abs() < 1e-6),
            "{element}: {found:?}"
        );
        let seal = piece("single.seal").on_page().bounding_box().center();
        let middle = Point::new(left + width / 2.0, top + height / 2.0);
        assert!(seal.distance(middle) < 1e-6, "{element}: the seal lies at {seal:?}");
        // What is cut is the flat piece.
        let record = plan::record(&layout).expect(element);
        let cut = record.pieces.iter().find(|piece| piece.id == "single.it").expect("cut");
        let flat = cut.curves().bounding_box();
        assert!(close_to(flat.width(), cut.size[0]) && close_to(flat.height(), cut.size[1]));
        let is_step = element.starts_with("step");
        assert_eq!(cut.folded.is_none(), is_step, "{element}");
        if let Some(folded) = &cut.folded {
            assert!(folded.size[0] * folded.size[1] < cut.size[0] * cut.size[1], "{element}");
        }
    }
}

#[test]
fn stitches_run_round_the_faces_that_are_seen() {
    // The element, the folded faces that are sewn, and whether what was drawn inside is cut outside up.
    for (element, seams, note) in [
        ("pocket: {id: it, paper: chalk, size: 3 x 4", 1, ""),
        ("envelope: {id: it, paper: chalk, card: 3 x 2", 2, "outside up"),
        ("tent: {id: it, paper: chalk, size: 3 x 2", 1, ""),
        ("accordion: {id: it, paper: chalk, panels: 4, size: 2 x 3", 1, "outside up"),
        ("accordion: {id: it, paper: chalk, panels: 5, size: 2 x 3", 1, "from the left"),
        ("gatefold: {id: it, paper: chalk, size: 3 x 4", 2, "outside up"),
        ("photo corner: {id: it, paper: chalk, size: 1", 1, ""),
    ] {
        let layout = layout_of(&format!("{HEAD}    - {element}, stitch: {{}}}}\n")).expect(element);
        let piece = layout.pieces.iter().find(|piece| piece.id == "single.it").expect("there");
        let folded = piece.finished.as_ref().expect("folded");
        assert!(piece.notes.iter().any(|one| one.contains(note)), "{element}: {:?}", piece.notes);
        let faces = folded.drawn_on();
        assert_eq!(faces.len(), seams, "{element}");
        let mut sewn = vec![0; faces.len()];
        let seam =
            piece.drawing.lines.iter().find(|line| line.process.name() == "pen").expect("sewn");
        for dash in subpaths(&seam.path) {
            let at = dash.bounding_box().center();
            let face = faces.iter().position(|(_, flat)| flat.winding(at) != 0);
            sewn[face.unwrap_or_else(|| panic!("{element}: {at:?} is on no face"))] += 1;
        }
        assert!(sewn.iter().all(|count| *count > 3), "{element}: {sewn:?}");
    }
}

#[test]
fn words_stand_upright_on_a_face_or_are_refused() {
    for (element, says) in [
        ("pocket: {paper: chalk, size: 3 x 4", None),
        ("gatefold: {paper: chalk, size: 4 x 4", None),
        ("accordion: {paper: chalk, panels: 4, size: 2 x 3", None),
        ("envelope: {paper: chalk, card: 4 x 3", Some("stand on their head")),
    ] {
        let yaml = format!("{HEAD}    - {element}, print: {{text: up it went}}}}\n")
            .replace("12 x 12: 9", "12 x 12: 9, 8.5 x 11: 9");
        match (layout_of(&yaml), says) {
            (Err(problems), Some(says)) => {
                assert!(problems.0[0].message.contains(says), "{element}: {problems:?}");
            }
            (Ok(layout), None) => {
                let piece =
                    layout.pieces.iter().find(|piece| piece.print.is_some()).expect("printed");
                let text =
                    piece.print.as_ref().and_then(|print| print.text.as_ref()).expect("words");
                let first = &text.runs[0].glyphs[0];
                let at = Point::new(first.x, text.baseline - 0.02);
                let folded = piece.finished.as_ref().expect("folded");
                assert!(
                    folded.drawn_on().iter().any(|(_, flat)| flat.winding(at) != 0),
                    "{element}"
                );
            }
            (other, _) => panic!("{element}: {:?}", other.map(|layout| layout.warnings)),
        }
    }
}

#[test]
fn pictures_and_redos_keep_the_folded_form() {
    let yaml = format!(
        "{HEAD}    - envelope: {{id: letter, paper: chalk, card: 3 x 2, stitch: {{}}}}\n    - pocket: {{id: bag, paper: chalk, size: 2 x 2, at: [6, 6]}}\n"
    );
    let record = record_of(&yaml).expect("enough paper");
    let book = FontBook::new(vec![]);
    let font = book.find("text").expect("built in");
    let svg = spread_svg(&record, &[], &font, &SmallCopies::default()).document();
    // Back, two sides, bottom and flap; of the pocket its face.
    let faces = |id: &str| {
        let end = svg.find(&format!("<title>{id}: ")).expect("drawn");
        let start = svg[..end].rfind("</title>").unwrap_or_default();
        svg[start..end].matches("class=\"face\"").count()
    };
    assert_eq!((faces("single.letter"), faces("single.bag")), (5, 1));
    let again =
        redo_layout(&Chain::of(record.clone()), &[Redo::Piece("single.letter".into())], &book)
            .expect("a redo");
    let again = plan::record(&again).expect("enough paper");
    let letter = |record: &cutleaf::record::Record| {
        record
            .pieces
            .iter()
            .find(|piece| piece.id == "single.letter")
            .expect("there")
            .folded
            .clone()
    };
    assert!(letter(&record).is_some());
    assert_eq!(letter(&again), letter(&record));
}
