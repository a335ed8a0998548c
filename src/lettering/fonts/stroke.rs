//! How thin a font's strokes are, and which letters show it at its best.

use kurbo::{Affine, BezPath};

use super::Font;
use crate::geometry::boolean::polygon::edges;
use crate::geometry::{Ring, ring_area};

/// Letters whose strokes are measured: thick and thin, straight and round.
const MEASURED: &str = "HAOSaeonst";
/// Letters of other scripts that are measured or shown.
const MOST_OTHERS: usize = 10;
/// Points measured from along one contour.
const PROBES: f64 = 160.0;
/// Most contours times edges of a letter that is measured: each point looks at every edge. Letters of plain
/// faces have some thousand, distressed ones a hundred thousand.
const MOST_FACING: usize = 1_000_000;
/// How far polygons may stray from the letter at capitals 1 in high, in inches.
const FLAT: f64 = 1e-3;
/// Edges that face each other this squarely (the cosine of the angle between them) bound a stroke; a
/// serif's bracket or a corner's tip does not.
const SQUARE: f64 = 0.94;
/// The share of a letter's measured widths that may be thinner than what is told: joints and tips.
const LEFT_OUT: f64 = 0.08;

impl Font {
    /// Width of the thinnest strokes of a few letters, in inches at capitals 1 in high. Measured across
    /// strokes from evenly spread points; the thinnest twelfth, joints and tips, is left out.
    pub fn thinnest_stroke(&self) -> Option<f64> {
        let latin: Vec<char> =
            MEASURED.chars().filter(|letter| self.glyph(*letter).is_some()).collect();
        let letters = if latin.is_empty() { self.own_letters() } else { latin };
        letters
            .into_iter()
            .filter_map(|letter| self.outline(self.glyph(letter)?))
            .filter_map(|outline| thinnest(&(Affine::scale(1.0 / self.cap_height) * outline)))
            .min_by(f64::total_cmp)
    }

    /// A few words in its own script: a sentence for Latin, else the first letters it has.
    pub fn sample(&self, words: &str) -> String {
        if words.chars().all(|letter| letter == ' ' || self.glyph(letter).is_some()) {
            return words.to_owned();
        }
        self.own_letters().into_iter().collect()
    }

    /// The first letters it has that are drawn.
    fn own_letters(&self) -> Vec<char> {
        self.face
            .charmap()
            .unicodes()
            .filter_map(|(code, _)| char::from_u32(code))
            .filter(|letter| letter.is_alphabetic())
            .filter(|letter| {
                let outline = self.glyph(*letter).and_then(|glyph| self.outline(glyph));
                outline.is_some_and(|outline| !outline.elements().is_empty())
            })
            .take(MOST_OTHERS)
            .collect()
    }
}

/// The width that all but a few places of an outline's strokes have.
fn thinnest(outline: &BezPath) -> Option<f64> {
    let rings = crate::geometry::rings(outline, FLAT);
    let all: Vec<[[f64; 2]; 2]> = rings.iter().flat_map(edges).collect();
    // Whichever way the font winds, its largest ring has paper inside.
    let clockwise = rings.first().is_some_and(|ring| ring_area(ring) > 0.0);
    if rings.len().saturating_mul(all.len()) > MOST_FACING {
        return None;
    }
    let mut widths: Vec<f64> =
        rings.iter().flat_map(|ring| widths(ring, &all, clockwise)).collect();
    widths.sort_by(f64::total_cmp);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share of a small count"
    )]
    let place = (widths.len() as f64 * LEFT_OUT) as usize;
    widths.get(place).copied()
}

/// Widths across strokes from points spread along a ring.
fn widths(ring: &Ring, all: &[[[f64; 2]; 2]], clockwise: bool) -> Vec<f64> {
    let length: f64 = edges(ring).map(|[a, b]| (b[0] - a[0]).hypot(b[1] - a[1])).sum();
    let step = (length / PROBES).max(1e-3);
    let mut found = Vec::new();
    let mut left = step / 2.0;
    for [one, two] in edges(ring) {
        let along = [two[0] - one[0], two[1] - one[1]];
        let own = along[0].hypot(along[1]);
        if own < 1e-9 {
            continue;
        }
        let along = along.map(|part| part / own);
        let inward = if clockwise { [-along[1], along[0]] } else { [along[1], -along[0]] };
        while left < own {
            let at = [one[0] + along[0] * left, one[1] + along[1] * left];
            found.extend(across(at, inward, all));
            left += step;
        }
        left -= own;
    }
    found
}

/// How far it is from a point to the edge that faces it, if that edge bounds the same stroke.
fn across(at: [f64; 2], inward: [f64; 2], all: &[[[f64; 2]; 2]]) -> Option<f64> {
    let mut nearest: Option<(f64, f64)> = None;
    for [one, two] in all {
        let along = [two[0] - one[0], two[1] - one[1]];
        let facing = inward[0] * along[1] - inward[1] * along[0];
        if facing.abs() < 1e-12 {
            continue;
        }
        let to = [one[0] - at[0], one[1] - at[1]];
        let reach = (to[0] * along[1] - to[1] * along[0]) / facing;
        let share = (to[0] * inward[1] - to[1] * inward[0]) / facing;
        if reach > 1e-6 && (0.0..=1.0).contains(&share) {
            let square = facing.abs() / along[0].hypot(along[1]);
            if nearest.is_none_or(|(known, _)| reach < known) {
                nearest = Some((reach, square));
            }
        }
    }
    nearest.filter(|(_, square)| *square >= SQUARE).map(|(reach, _)| reach)
}
