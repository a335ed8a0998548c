//! What every shape keeps: its size, its direction, and no crossing of its own outline.

use cutleaf::geometry::boolean::contours;
use cutleaf::geometry::{Drawing, ring_area, rings};
use kurbo::Shape;

/// Equal within a hundred-thousandth.
pub fn close_to(value: f64, wanted: f64) -> bool {
    (value - wanted).abs() <= 1e-5 * wanted.abs().max(1.0)
}

/// Area of a drawing's paper.
pub fn area(drawing: &Drawing) -> f64 {
    drawing.outline.area()
}

/// Checks a drawing of a known size.
pub fn check_in_order(drawing: &Drawing, size: [f64; 2]) {
    let bounds = drawing.outline.bounding_box();
    assert!(bounds.x0.abs() < 1e-9 && bounds.y0.abs() < 1e-9, "{bounds:?} is not at the origin");
    assert!(close_to(bounds.width(), size[0]), "{} wide, not {}", bounds.width(), size[0]);
    assert!(close_to(bounds.height(), size[1]), "{} high, not {}", bounds.height(), size[1]);
    let rings = rings(&drawing.outline, 0.001);
    assert!(ring_area(&rings[0]) > 0.0, "the outside runs the wrong way");
    assert!(rings[1..].iter().all(|ring| ring_area(ring) < 0.0), "a hole runs the wrong way");
    let whole = contours(&drawing.outline);
    assert_eq!(whole.len(), rings.len(), "contours cross");
    let sum: f64 = whole.iter().map(|contour| contour.area).sum();
    // Segments too short for a blade are joined to their neighbours, 0.001 in on a side, and where curves
    // and polygons disagree the polygon is taken, within 5e-5 in all round.
    let slack = 1e-3 + 1e-4 * drawing.outline.perimeter(1e-3);
    assert!((sum - area(drawing)).abs() < slack, "the outline crosses itself");
}
