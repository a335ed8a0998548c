//! Folded things: panels add up to the flat size, tabs lie behind the face, an envelope holds its card.

#[path = "support/in_order.rs"]
mod in_order;

use std::f64::consts::PI;

use cutleaf::outline::shapes::{
    Envelope, SCORE_STOP, ShapeError, accordion, envelope, gatefold, photo_corner, pocket, step,
    tent,
};
use cutleaf::outline::{Drawing, Fold};
use in_order::{area, check_in_order, close_to};
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
    let cases: Vec<(&str, Result<Drawing, ShapeError>)> = vec![
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
