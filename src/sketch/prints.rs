//! Common prints, and the forms to which a picture is cropped for one.

use crate::picture::{KEPT, SHARP};
use crate::relations::MARKS_PER_INCH;

/// Prints that shops make, in marks, short side first, those of like size together (common practice, no
/// source): 2 x 3, 2 1/2 x 3 1/2; 3 x 4; 3 1/2 x 5, 4 x 5; 4 x 6, 4 1/2 x 6; 5 x 7; 6 x 8, 6 x 9 in; squares
/// of 2 to 6 in; panoramas of 1 1/2 x 4 to 4 1/2 x 11 in.
const PRINTS: [&[[i64; 2]]; LEVELS] = [
    &[[32, 48], [40, 56]],
    &[[48, 64]],
    &[[56, 80], [64, 80]],
    &[[64, 96], [72, 96]],
    &[[80, 112]],
    &[[96, 128], [96, 144]],
];
const SQUARES: [&[[i64; 2]]; LEVELS] =
    [&[[32, 32]], &[[40, 40]], &[[48, 48]], &[[64, 64]], &[[80, 80]], &[[96, 96]]];
const PANORAMAS: [&[[i64; 2]]; LEVELS] =
    [&[[24, 64]], &[[32, 80]], &[[40, 112]], &[[48, 128]], &[[64, 160]], &[[72, 176]]];
/// How many sizes there are of each form.
pub(super) const LEVELS: usize = 6;
/// Sides nearer to each other than this share make a square picture; farther apart than that, a panorama.
const SQUARE: f64 = 1.12;
const PANORAMA: f64 = 1.95;
/// How much wider or higher than a common print a picture may be printed, as a share of it: an eighth, or
/// less where the crop would leave out too much.
const STRETCH: [i64; 4] = [8, 16, 32, i64::MAX];

/// A form to which a picture is cropped; a panorama lies as the picture does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shape {
    /// Wider than high, up to twice as wide.
    Level,
    /// Higher than wide, up to twice as high.
    Upright,
    /// As wide as high.
    Square,
    /// About twice as long as wide, or longer.
    Panorama,
}

impl Shape {
    pub(super) const ALL: [Self; 4] = [Self::Level, Self::Upright, Self::Square, Self::Panorama];

    /// The form of a picture of so many dots.
    pub(super) fn of(dots: [u32; 2]) -> Self {
        let [width, height] = dots.map(f64::from);
        match width.max(height) / width.min(height) {
            ratio if ratio < SQUARE => Self::Square,
            ratio if ratio > PANORAMA => Self::Panorama,
            _ if width > height => Self::Level,
            _ => Self::Upright,
        }
    }

    /// As reasons name it.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Level => "a level print",
            Self::Upright => "an upright print",
            Self::Square => "a square",
            Self::Panorama => "a panorama",
        }
    }

    /// The prints of a level for a picture of so many dots.
    fn prints(self, level: usize, dots: [u32; 2]) -> impl Iterator<Item = [i64; 2]> {
        let (sizes, lies) = match self {
            Self::Level => (PRINTS, true),
            Self::Upright => (PRINTS, false),
            Self::Square => (SQUARES, false),
            Self::Panorama => (PANORAMAS, dots[0] > dots[1]),
        };
        let turned =
            move |[short, long]: [i64; 2]| if lies { [long, short] } else { [short, long] };
        sizes[level.min(LEVELS - 1)].iter().copied().map(turned)
    }
}

/// A size to print a picture at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Print {
    /// The common print, in marks.
    pub size: [i64; 2],
    /// The smallest and the largest that it may become.
    pub bounds: [[i64; 2]; 2],
}

impl Print {
    /// The print of a form and a level for a picture of so many dots, or the largest below that has dots
    /// enough after the crop; of those of one level the one that loses least of the picture.
    pub fn of(dots: [u32; 2], shape: Shape, level: usize) -> Option<Self> {
        (0..=level.min(LEVELS - 1)).rev().find_map(|level| {
            let good = |size: &[i64; 2]| is_fine(*size, dots) && keeps_enough(*size, dots);
            let good = shape.prints(level, dots).filter(good);
            let best = good.min_by(|one, other| lost(dots, *one).total_cmp(&lost(dots, *other)));
            best.map(|size| Self::stretched(size, dots))
        })
    }

    /// The smallest print of the picture's own form, whatever its dots.
    pub fn smallest(dots: [u32; 2]) -> Self {
        let size = Shape::of(dots).prints(0, dots).next().unwrap_or([32, 48]);
        Self { size, bounds: [size.map(|side| side - side / STRETCH[0]), size] }
    }

    fn stretched(size: [i64; 2], dots: [u32; 2]) -> Self {
        let bounds = |by: i64| {
            let least = size.map(|side| side - side / by);
            let most = [0, 1].map(|axis| {
                let most = size[axis] + size[axis] / by;
                (size[axis]..=most)
                    .rev()
                    .find(|side| f64::from(dots[axis]) >= needed(*side))
                    .unwrap_or(size[axis])
            });
            [least, most]
        };
        let keeps = |[least, most]: &[[i64; 2]; 2]| {
            keeps_enough([least[0], most[1]], dots) && keeps_enough([most[0], least[1]], dots)
        };
        let bounds = STRETCH.into_iter().map(bounds).find(keeps).unwrap_or([size, size]);
        Self { size, bounds }
    }
}

/// Dots that a side needs to print well.
fn needed(side: i64) -> f64 {
    SHARP * side as f64 / MARKS_PER_INCH as f64
}

fn is_fine(size: [i64; 2], dots: [u32; 2]) -> bool {
    size.iter().zip(dots).all(|(side, dots)| f64::from(dots) >= needed(*side))
}

/// The share of a picture's width and height that a print shows.
fn shown(dots: [u32; 2], size: [i64; 2]) -> [f64; 2] {
    let scales = [0, 1].map(|axis| f64::from(dots[axis]) / size[axis].max(1) as f64);
    let scale = scales[0].min(scales[1]);
    scales.map(|of| scale / of)
}

/// Dots an inch of a picture that is cropped to a print.
pub(super) fn dots_an_inch(dots: [u32; 2], size: [i64; 2]) -> f64 {
    let scales = [0, 1].map(|axis| f64::from(dots[axis]) / size[axis].max(1) as f64);
    scales[0].min(scales[1]) * MARKS_PER_INCH as f64
}

/// The share of a picture's area that a print of that size leaves out.
pub(super) fn lost(dots: [u32; 2], size: [i64; 2]) -> f64 {
    let [across, down] = shown(dots, size);
    1.0 - across * down
}

/// Whether a crop to that form keeps as much of the picture as the build asks for. It lies round the focus as
/// far as the picture goes and cuts along one side alone, so that it never cuts nearer to the focus than a
/// quarter of the picture's width or height.
pub(super) fn keeps_enough(size: [i64; 2], dots: [u32; 2]) -> bool {
    1.0 - lost(dots, size) >= KEPT
}
