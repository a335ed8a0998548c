//! Edges, tickets, pennants, arrows, plaques, frames, plants and sky have the sizes and areas that
//! their makers ask for.

use cutleaf::model::Fault;
use std::f64::consts::{FRAC_PI_3, PI};

use cutleaf::geometry::Drawing;
use cutleaf::geometry::boolean::contours;
use cutleaf::model::Process;
use cutleaf::shapes::{
    Corner, Notches, Pennant, Windows, arrow, cloud, frame, leaf, pennants, plaque, scallop_edge,
    sunburst, ticket,
};
use kurbo::{ParamCurve, Rect, Shape};
use proptest::prelude::*;

use crate::support::in_order::{area, check_in_order, close_to};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn scalloped_edges_are_whole_bumps(w in 1.0..12.0_f64, h in 1.0..12.0_f64, bump in 0.1..0.6_f64, edges in any::<[bool; 4]>()) {
        let Ok(shape) = scallop_edge(w, h, edges, bump) else { return Ok(()) };
        check_in_order(&shape, [w, h]);
        // A rectangle inside the bumps, and pieces of circles of 2.6 radians on its sides.
        let high = |chord: f64| chord / 2.0 * 0.65_f64.tan();
        let lone = [true, false, true, false].map(|own| own && edges[0] && !edges[1] && !edges[2] && !edges[3]);
        if lone[0] {
            let count = (w / bump).round();
            let chord = w / count;
            let radius = chord / 2.0 / 1.3_f64.sin();
            let bumps = count * radius * radius / 2.0 * (2.6 - 2.6_f64.sin());
            prop_assert!(close_to(area(&shape), w * (h - high(chord)) + bumps));
        }
        // Each bump is four cubics; their ends on the base line are evenly spaced.
        let cubics = shape.outline.segments().filter(|one| matches!(one, kurbo::PathSeg::Cubic(_))).count();
        prop_assert_eq!(cubics % 4, 0);
        prop_assert_eq!(cubics > 0, edges.contains(&true));
        prop_assert!(area(&shape) <= w * h + 1e-9);
        prop_assert!(area(&shape) >= (w - 2.0 * high(bump * 1.6)) * (h - 2.0 * high(bump * 1.6)) - 1e-9);
    }

    #[test]
    fn tickets_lose_their_notches(w in 1.0..8.0_f64, h in 0.6..4.0_f64, share in 0.05..0.95_f64) {
        let radius = share * ((h - 0.125) / 2.0).min((w - 0.0625) / 2.0);
        for notches in [Notches::Ends, Notches::Corners] {
            let shape = ticket(w, h, notches, radius).unwrap();
            check_in_order(&shape, [w, h]);
            prop_assert!(close_to(area(&shape), w * h - PI * radius * radius));
        }
    }

    #[test]
    fn pennants_hang_on_one_band(count in 1_u32..16, w in 5.0..12.0_f64, h in 1.5..3.0_f64, band in 0.1..0.4_f64, gap in 0.0..0.05_f64) {
        let many = f64::from(count);
        let one = (w - (many - 1.0) * gap) / many;
        let shape = pennants(w, h, (count, Pennant::Point), band, gap).unwrap();
        check_in_order(&shape, [w, h]);
        prop_assert!(close_to(area(&shape), w * band + many * one * (h - band) / 2.0));
        if let Ok(shape) = pennants(w, h, (count, Pennant::Dovetail), band, gap.max(0.01)) {
            let one = (w - (many - 1.0) * gap.max(0.01)) / many;
            check_in_order(&shape, [w, h]);
            prop_assert!(close_to(area(&shape), w * band + many * one * (h - band - one / 4.0)));
        }
    }

    #[test]
    fn arrows_are_a_shaft_and_a_head(w in 1.0..8.0_f64, h in 0.5..4.0_f64, long in 0.1..0.9_f64, thick in 0.1..0.9_f64) {
        let (head, shaft) = (long * (w - 0.0625), 0.0625 + thick * (h - 0.1875));
        let shape = arrow(w, h, head, shaft).unwrap();
        check_in_order(&shape, [w, h]);
        prop_assert!(close_to(area(&shape), shaft * (w - head) + h * head / 2.0));
    }

    #[test]
    fn plaques_are_what_their_brackets_leave(w in 1.5..8.0_f64, h in 0.5..4.0_f64, share in 0.05..0.99_f64) {
        let depth = share * (h / (1.0 + FRAC_PI_3.sin() / 0.5)).min(w / 2.0 - 0.04);
        let shape = plaque(w, h, depth).unwrap();
        check_in_order(&shape, [w, h]);
        // The middle, a strip beside it with two round corners, and two halves of the point.
        let (corner, beak) = (depth / 2.0, depth);
        let half_point = beak * beak * (FRAC_PI_3.sin() - FRAC_PI_3 / 2.0 - (2.0 * FRAC_PI_3).sin() / 4.0);
        let end = corner * h - 2.0 * corner * corner * (1.0 - PI / 4.0) + 2.0 * half_point;
        prop_assert!(close_to(area(&shape), (w - 2.0 * depth) * h + 2.0 * end));
    }

    #[test]
    fn frames_keep_every_window(columns in 1_u32..5, rows in 1_u32..4, one in 0.5..1.5_f64, gap in 0.0625..0.4_f64, rim in 0.1..1.0_f64, round in 0.01..0.24_f64) {
        let [w, h] = [columns, rows].map(|count| {
            f64::from(count) * one + f64::from(count - 1) * gap + 2.0 * rim
        });
        let windows = Windows { size: [one, one], columns, rows, gap, corner: Corner::Round(round) };
        let shape = frame(w, h, Corner::Square, windows).unwrap();
        check_in_order(&shape, [w, h]);
        let openings = f64::from(columns * rows) * (one * one - (4.0 - PI) * round * round);
        prop_assert!(close_to(area(&shape), w * h - openings));
        prop_assert_eq!(contours(&shape.outline).len(), 1 + (columns * rows) as usize);
    }

    #[test]
    fn sunbursts_are_half_rays(rays in 3_u32..24, d in 1.5..8.0_f64, share in 0.3..0.8_f64) {
        let middle = d * share;
        let Ok(shape) = sunburst(d, rays, middle) else { return Ok(()) };
        let bounds = shape.outline.bounding_box();
        check_in_order(&shape, [bounds.width(), bounds.height()]);
        prop_assert!(bounds.width() <= d + 1e-4 && bounds.height() <= d + 1e-4);
        prop_assert!(close_to(area(&shape), PI / 8.0 * (d * d + middle * middle)));
    }

    #[test]
    fn leaves_and_clouds_fill_their_size(w in 0.5..6.0_f64, h in 1.0..6.0_f64, veins in 0_u32..7) {
        let shape = leaf(w, h, veins).unwrap();
        check_in_order(&shape, [w, h]);
        prop_assert!((0.6..0.7).contains(&(area(&shape) / (w * h))), "{}", area(&shape) / (w * h));
        let veins = &shape.lines[0];
        prop_assert_eq!(veins.process, Process::Score);
        for segment in veins.path.segments() {
            for step in 0..=8 {
                let at = segment.eval(f64::from(step) / 8.0);
                prop_assert!(shape.outline.winding(at) != 0, "a vein leaves the leaf at {at:?}");
            }
        }
        let shape = cloud(w, h).unwrap();
        check_in_order(&shape, [w, h]);
        prop_assert!((0.7..0.85).contains(&(area(&shape) / (w * h))), "{}", area(&shape) / (w * h));
        let whole = Rect::new(0.0, 0.0, w, h).inflate(1e-9, 1e-9);
        prop_assert!(whole.contains_rect(shape.outline.bounding_box()));
    }
}

#[test]
fn what_cannot_be_cut_is_refused_with_help() {
    let one = Windows::one([1.0, 1.0]);
    let row = Windows { columns: 3, gap: 0.25, ..one };
    let edge = [true, false, true, false];
    let cases: Vec<(&str, Result<Drawing, Fault>)> = vec![
        ("scallop", scallop_edge(2.0, 1.0, edge, 0.0)),
        ("too small", scallop_edge(2.0, 1.0, edge, 0.01)),
        ("nothing between", scallop_edge(2.0, 0.3, edge, 1.0)),
        ("height", scallop_edge(2.0, f64::NAN, edge, 0.5)),
        ("notch", ticket(2.0, 1.0, Notches::Ends, 0.45)),
        ("notch", ticket(2.0, 1.0, Notches::Corners, 0.0)),
        ("0 pennants", pennants(6.0, 1.0, (0, Pennant::Point), 0.2, 0.0)),
        ("too narrow", pennants(6.0, 1.0, (60, Pennant::Point), 0.2, 0.0)),
        ("gap", pennants(6.0, 1.0, (6, Pennant::Point), 0.2, -1.0)),
        ("band", pennants(6.0, 1.0, (6, Pennant::Point), 1.0, 0.0)),
        ("band", pennants(6.0, 1.0, (2, Pennant::Dovetail), 0.2, 0.0)),
        ("head", arrow(2.0, 1.0, 2.0, 0.4)),
        ("shaft", arrow(2.0, 1.0, 0.5, 1.0)),
        ("brackets", plaque(2.0, 1.0, 0.5)),
        ("window", frame(3.0, 2.0, Corner::Square, row)),
        ("bars", frame(6.0, 2.0, Corner::Square, Windows { gap: 0.01, ..row })),
        ("0 windows", frame(6.0, 2.0, Corner::Square, Windows { rows: 0, ..row })),
        ("window", frame(1.2, 1.2, Corner::Round(0.6), one)),
        ("corner", frame(2.0, 2.0, Corner::Round(1.5), one)),
        ("rays", sunburst(2.0, 1, 1.0)),
        ("too thin", sunburst(2.0, 90, 0.5)),
        ("no rays", sunburst(2.0, 12, 1.95)),
        ("veins", leaf(1.0, 2.0, 30)),
        ("width", cloud(0.0, 1.0)),
    ];
    for (index, (named, result)) in cases.into_iter().enumerate() {
        let error = result.expect_err(&format!("case {index} ({named}) went through"));
        assert!(error.message.contains(named), "case {index}: {} has no `{named}`", error.message);
        assert!(!error.help.is_empty());
    }
}
