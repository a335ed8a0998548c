//! Which part of a picture is printed, and how its stored dots come to lie there. A part is a rectangle in
//! dots of the picture as it is seen.

use kurbo::Affine;

use crate::model::Rect;

/// Width and height as seen of a picture of `stored` dots with an EXIF orientation: from 5 on, width
/// and height change places (TIFF 6.0, tag 274; Exif 2.32).
pub fn seen([width, height]: [u32; 2], orientation: u8) -> [u32; 2] {
    if orientation >= 5 { [height, width] } else { [width, height] }
}

/// The largest part of a picture of `seen` dots that has the form of `field` and lies as near round
/// `focus` (shares of width and height) as the picture's edges permit.
pub fn crop(seen: [u32; 2], field: [f64; 2], focus: [f64; 2]) -> Rect {
    let seen = seen.map(f64::from);
    let scale = (seen[0] / field[0]).min(seen[1] / field[1]);
    let size = [0, 1].map(|axis| (field[axis] * scale).min(seen[axis]));
    let at = [0, 1].map(|axis| {
        let wanted = seen[axis] * focus[axis] - size[axis] / 2.0;
        wanted.clamp(0.0, seen[axis] - size[axis])
    });
    Rect { at, size }
}

/// Where a stored picture comes to be seen: the unit square of its stored dots, y down, onto the unit
/// square of what is seen (TIFF 6.0, tag 274: which side the first row and the first column are).
pub fn turning(orientation: u8) -> Affine {
    match orientation {
        2 => Affine::new([-1.0, 0.0, 0.0, 1.0, 1.0, 0.0]),
        3 => Affine::new([-1.0, 0.0, 0.0, -1.0, 1.0, 1.0]),
        4 => Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, 1.0]),
        5 => Affine::new([0.0, 1.0, 1.0, 0.0, 0.0, 0.0]),
        6 => Affine::new([0.0, 1.0, -1.0, 0.0, 1.0, 0.0]),
        7 => Affine::new([0.0, -1.0, -1.0, 0.0, 1.0, 1.0]),
        8 => Affine::new([0.0, -1.0, 1.0, 0.0, 0.0, 1.0]),
        _ => Affine::IDENTITY,
    }
}

/// The unit square of the stored dots, y down, onto a field of that size (in whatever unit) that shows
/// `crop` of the picture.
pub fn onto_field(stored: [u32; 2], orientation: u8, crop: &Rect, field: [f64; 2]) -> Affine {
    let [width, height] = seen(stored, orientation).map(f64::from);
    let [across, down] = [field[0] / crop.size[0], field[1] / crop.size[1]];
    Affine::scale_non_uniform(across, down)
        * Affine::translate((-crop.at[0], -crop.at[1]))
        * Affine::scale_non_uniform(width, height)
        * turning(orientation)
}

/// The whole stored dots that `crop` touches: left, top, width and height.
pub fn stored_part(stored: [u32; 2], orientation: u8, crop: &Rect) -> [u32; 4] {
    let [width, height] = seen(stored, orientation).map(f64::from);
    let part = kurbo::Rect::new(
        crop.at[0] / width,
        crop.at[1] / height,
        (crop.at[0] + crop.size[0]) / width,
        (crop.at[1] + crop.size[1]) / height,
    );
    let part = turning(orientation).inverse().transform_rect_bbox(part);
    let side = |from: f64, to: f64, dots: u32| {
        // A crop that ends on a dot's edge, give or take rounding, does not touch the next dot.
        let from = whole(from * f64::from(dots) + 1e-6).min(dots.saturating_sub(1));
        let to = whole((to * f64::from(dots) - 1e-6).ceil()).clamp(from + 1, dots);
        (from, to - from)
    };
    let (left, across) = side(part.x0, part.x1, stored[0]);
    let (top, down) = side(part.y0, part.y1, stored[1]);
    [left, top, across, down]
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to a u32")]
fn whole(dots: f64) -> u32 {
    dots.clamp(0.0, f64::from(u32::MAX)) as u32
}
