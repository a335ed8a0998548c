//! Planks with their grain, the same on every machine: what varies follows from a plank's number alone.

use kurbo::{BezPath, Rect, Shape as _};

use crate::draw::display_list::{Item, Paint, Shape, Stroke};
use crate::model::Color;

/// Shades of planks, as shares of the grain's colour in the paper's.
const SHADES: [f64; 3] = [0.0, 0.07, 0.14];
/// How dark grain and seams are, as shares of the grain's colour, and of black in that.
const GRAIN: f64 = 0.5;
const SEAM: f64 = 0.35;
/// Lines of grain in a plank, their width and that of a seam as shares of a plank's.
const LINES: i64 = 7;
const LINE: f64 = 1.0 / 64.0;
const SEAM_WIDTH: f64 = 1.0 / 50.0;
/// From one bend of the grain to the next, and the length of a plank, in widths of one.
const BEND: f64 = 1.3;
const LENGTH: f64 = 7.0;
/// The most curves of a layer; what has more is not drawn.
const MOST_CURVES: f64 = 40_000.0;

/// A part of what shows of wood.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Wood {
    width: f64,
    part: Part,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Part {
    /// The planks of a shade.
    Planks(usize),
    Grain,
    Seams,
}

impl Wood {
    /// Its parts, each in its ink, the lowest first.
    pub fn parts(ground: Color, grain: Color, width: f64) -> Vec<(Color, Self)> {
        let of = |part| Self { width, part };
        let planks = (1..SHADES.len())
            .map(|shade| (ground.mixed(grain, SHADES[shade]), of(Part::Planks(shade))));
        let lines = [
            (ground.mixed(grain, GRAIN), of(Part::Grain)),
            (grain.mixed(Color::BLACK, SEAM), of(Part::Seams)),
        ];
        planks.chain(lines).collect()
    }

    /// What of it lies over a field.
    pub fn over<'a>(&self, field: Rect, ink: &'a str) -> Item<'a> {
        let path = self.path(field);
        match self.part {
            Part::Planks(_) => Shape::path(path).filled(Paint::Ink(ink, 1.0)).into(),
            Part::Grain => Shape::path(path).stroked(Stroke::new(ink, self.width * LINE)).into(),
            Part::Seams => {
                Shape::path(path).stroked(Stroke::new(ink, self.width * SEAM_WIDTH)).into()
            }
        }
    }

    fn path(&self, field: Rect) -> BezPath {
        let (width, length) = (self.width, self.width * LENGTH);
        let mut path = BezPath::new();
        let planks = (field.x1 - field.x0) / width + 2.0;
        if planks * ((field.y1 - field.y0) / (width * BEND) + 3.0) * LINES as f64 > MOST_CURVES {
            return path;
        }
        for plank in whole(field.x0 / width) - 1..=whole(field.x1 / width) + 1 {
            let left = plank as f64 * width;
            // Boards end in each row somewhere else.
            let shift = varied([plank, 0, 1]) * length;
            let boards = whole((field.y0 - shift) / length)..=whole((field.y1 - shift) / length);
            for board in boards {
                let top = board as f64 * length + shift;
                match self.part {
                    Part::Planks(shade) if picked([plank, board, 2]) == shade => {
                        path.extend(
                            Rect::new(left, top, left + width, top + length).path_elements(0.1),
                        );
                    }
                    Part::Planks(_) => {}
                    Part::Seams => {
                        path.move_to((left, top));
                        path.line_to((left + width, top));
                        path.move_to((left, top));
                        path.line_to((left, top + length));
                    }
                    Part::Grain => self.grain(&mut path, field, [plank, board], [left, top]),
                }
            }
        }
        path
    }

    /// The grain of a board, from bend to bend; only what lies over the field.
    fn grain(&self, path: &mut BezPath, field: Rect, [plank, board]: [i64; 2], at: [f64; 2]) {
        let (space, bend) = (self.width / LINES as f64, self.width * BEND);
        let bends = whole(LENGTH / BEND) + 1;
        for line in 0..LINES {
            let seed = |bend: i64| [plank * 31 + board, line, 10 + bend];
            let place = |number: i64| {
                // Not farther than lines lie apart, so that none crosses another.
                let aside = (varied(seed(number)) - 0.5) * 0.9;
                let x = at[0] + (line as f64 + 0.5 + aside) * space;
                (x, at[1] + (number as f64 * bend).min(self.width * LENGTH))
            };
            let mut is_begun = false;
            for number in 0..bends {
                let ([left, top], [right, low]) =
                    (<[f64; 2]>::from(place(number)), <[f64; 2]>::from(place(number + 1)));
                if low < field.y0 || top > field.y1 || low <= top {
                    continue;
                }
                if !is_begun {
                    path.move_to((left, top));
                    is_begun = true;
                }
                let reach = (low - top) * 0.4;
                path.curve_to((left, top + reach), (right, low - reach), (right, low));
            }
        }
    }
}

/// A number from 0 up to 1 that follows from others (the mixing step of SplitMix64: Steele, Lea, Flood 2014).
fn varied(seed: [i64; 3]) -> f64 {
    let mut mixed: u64 = 0x9e37_79b9_7f4a_7c15;
    for part in seed {
        mixed = (mixed ^ part.cast_unsigned()).wrapping_add(0x9e37_79b9_7f4a_7c15);
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^= mixed >> 31;
    }
    f64::from(u32::try_from(mixed >> 32).unwrap_or(0)) / (f64::from(u32::MAX) + 1.0)
}

fn picked(seed: [i64; 3]) -> usize {
    usize::try_from(whole(varied(seed) * SHADES.len() as f64)).unwrap_or(0)
}

#[expect(clippy::cast_possible_truncation, reason = "places on a sheet")]
fn whole(value: f64) -> i64 {
    value.floor() as i64
}
