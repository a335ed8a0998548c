//! Patterns of papers: what they are called, in which colours, how large.

use serde::{Deserialize, Serialize};

use super::length::Length;
use super::{Color, choices};

/// Places along a repeat that are looked at to tell how much of a pattern is of which colour.
const LOOKED_AT: u32 = 48;
/// The width of a dot, as a share of the distance between two in a row (common practice, no source).
pub const DOT: f64 = 0.45;
/// The width of a line of a grid, as a share of the pitch (common practice, no source).
pub const GRID_LINE: f64 = 1.0 / 12.0;
/// The bands of a plaid: middle and width, as shares of the repeat, by the place of their colour; a further
/// colour has the last (common practice, no source).
const SETT: [&[[f64; 2]]; 3] = [&[[0.5, 0.42]], &[[0.12, 0.06], [0.88, 0.06]], &[[0.5, 0.08]]];
/// How much of a plank is grain.
const GRAIN: f64 = 0.12;

choices! {
    /// What a pattern is.
    pub enum PatternKind, "pattern", usual Stripe {
        /// Bands side by side, which run down the sheet: the paper's colour and the others, each as wide.
        Stripe = "stripe",
        /// A woven check: bands of half a pitch cross, and where they do the colour is full.
        Gingham = "gingham",
        /// Dots in rows, each row set off by half a pitch.
        Dot = "dot",
        /// Zigzag bands, which run across the sheet: the paper's colour and the others, each as high.
        Chevron = "chevron",
        /// A woven check of a wide band, narrow ones and lines: tartan.
        Plaid = "plaid",
        /// Lines that cross.
        Grid = "grid",
        /// Planks that run down the sheet, with their grain.
        Wood = "wood",
    }
}

/// After how much paper looks the same again along an axis of its sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Repeat {
    /// It looks the same all along.
    #[default]
    Plain,
    /// After this.
    Every(Length),
    /// Never on one sheet.
    Never,
}

/// A pattern on a sheet. It begins in the sheet's top left corner, is turned about it by [`Pattern::angle`],
/// and repeats from there over the whole sheet.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Pattern {
    /// What it is.
    pub kind: PatternKind,
    /// Its colours besides the paper's own.
    pub colors: Vec<Color>,
    /// The length after which it repeats, in inches; of dots the distance between two in a row, of wood the
    /// width of a plank.
    pub pitch: f64,
    /// Degrees clockwise by which it is turned on the sheet.
    pub angle: f64,
}

/// A band of a weave: its middle and its width in inches, and the colour of its thread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Its middle, from where the repeat begins.
    pub middle: f64,
    /// Its width.
    pub width: f64,
    /// Its thread.
    pub thread: Color,
}

impl Pattern {
    /// After how much it repeats across and down its sheet; nothing where it lies at an angle to both. Planks
    /// count by their seams: the grain of each is its own.
    pub fn repeats(&self) -> Option<[Repeat; 2]> {
        let every = |pitches: f64| Repeat::Every(Length::inches(self.pitch * pitches));
        let upright = match self.kind {
            PatternKind::Stripe | PatternKind::Wood => [every(1.0), Repeat::Plain],
            PatternKind::Gingham
            | PatternKind::Plaid
            | PatternKind::Grid
            | PatternKind::Chevron => [every(1.0); 2],
            // The colours of dots follow each other along a row.
            PatternKind::Dot => [every(self.colors.len().max(1) as f64), every(1.0)],
        };
        let [across, down] = upright;
        match self.angle.rem_euclid(180.0) {
            0.0 => Some([across, down]),
            90.0 => Some([down, across]),
            _ => None,
        }
    }

    /// The bands that are woven into paper: those that run down, and those that run across, the lowest
    /// first. None but of gingham and plaid.
    pub fn weave(&self) -> [Vec<Band>; 2] {
        let [Some(first), Some(last)] = [self.colors.first(), self.colors.last()] else {
            return [Vec::new(), Vec::new()];
        };
        let band = |[middle, width]: [f64; 2], thread: Color| Band {
            middle: middle * self.pitch,
            width: width * self.pitch,
            thread,
        };
        match self.kind {
            PatternKind::Gingham => [first, last].map(|thread| vec![band([0.75, 0.5], *thread)]),
            PatternKind::Plaid => {
                let of = |(place, thread): (usize, &Color)| {
                    let bands = SETT[place.min(SETT.len() - 1)].iter();
                    bands.map(|sett| band(*sett, *thread)).collect::<Vec<_>>()
                };
                // A plaid of one colour has its narrow bands in the same.
                let second = (self.colors.len() == 1).then_some((1, first));
                let colors = self.colors.iter().enumerate().chain(second);
                let bands: Vec<Band> = colors.flat_map(of).collect();
                [bands.clone(), bands]
            }
            PatternKind::Stripe
            | PatternKind::Dot
            | PatternKind::Chevron
            | PatternKind::Grid
            | PatternKind::Wood => [Vec::new(), Vec::new()],
        }
    }

    /// The colour at a place of the pattern, in inches from where it begins and before it is turned, on paper
    /// of the colour `ground`; of wood that of its planks.
    pub fn color_at(&self, ground: Color, [x, y]: [f64; 2]) -> Color {
        let pitch = self.pitch.max(f64::MIN_POSITIVE);
        let share = |place: f64| (place / pitch).rem_euclid(1.0);
        let bands = self.colors.len() + 1;
        let of_bands = |share: f64| match whole(share * bands as f64).min(self.colors.len()) {
            0 => ground,
            place => self.colors[place - 1],
        };
        match self.kind {
            PatternKind::Stripe => of_bands(share(x)),
            PatternKind::Chevron => of_bands(share(y - zigzag(share(x)) * pitch)),
            PatternKind::Gingham | PatternKind::Plaid => {
                let [down, across] = self.weave();
                let of = |bands: &[Band], place: f64| {
                    let within = |band: &&Band| {
                        (place - band.middle / pitch).abs() < band.width / pitch / 2.0
                    };
                    bands.iter().rev().find(within).map_or(ground, |band| band.thread)
                };
                of(&down, share(x)).mixed(of(&across, share(y)), 0.5)
            }
            PatternKind::Dot => {
                let row = whole((y / pitch * 2.0).rem_euclid(2.0));
                let along = x / pitch - if row == 0 { 0.25 } else { 0.75 };
                let off = [along - along.round(), (y / pitch * 2.0).rem_euclid(1.0) / 2.0 - 0.25];
                let number = along.round().rem_euclid(self.colors.len().max(1) as f64);
                let is_dot = off[0].hypot(off[1]) < DOT / 2.0;
                self.colors.get(whole(number)).filter(|_| is_dot).copied().unwrap_or(ground)
            }
            PatternKind::Grid => {
                let on = |place: f64| (share(place) - 0.5).abs() < GRID_LINE / 2.0;
                let across = self.colors.last().filter(|_| on(y));
                across.or(self.colors.first().filter(|_| on(x))).copied().unwrap_or(ground)
            }
            PatternKind::Wood => ground,
        }
    }

    /// Its colours with their shares of the area, the largest first, on paper of the colour `ground`.
    pub fn shades(&self, ground: Color) -> Vec<(Color, f64)> {
        if self.kind == PatternKind::Wood {
            let grain = self.colors.first().map(|grain| (*grain, GRAIN));
            return std::iter::once((ground, 1.0 - GRAIN)).chain(grain).collect();
        }
        // Dots of several colours repeat after as many pitches.
        let across = if self.kind == PatternKind::Dot { self.colors.len().max(1) } else { 1 };
        let step = self.pitch / f64::from(LOOKED_AT);
        let along = |places: u32| (0..places).map(move |at| (f64::from(at) + 0.5) * step);
        let places = LOOKED_AT * u32::try_from(across).unwrap_or(1);
        let mut shades: Vec<(Color, f64)> = Vec::new();
        for color in
            along(LOOKED_AT).flat_map(|y| along(places).map(move |x| self.color_at(ground, [x, y])))
        {
            match shades.iter_mut().find(|(known, _)| *known == color) {
                Some((_, share)) => *share += 1.0,
                None => shades.push((color, 1.0)),
            }
        }
        let all: f64 = shades.iter().map(|(_, share)| share).sum();
        shades.iter_mut().for_each(|(_, share)| *share /= all.max(1.0));
        shades.sort_by(|(_, one), (_, other)| other.total_cmp(one));
        shades
    }
}

/// How far below its highest point the edge of a zigzag band lies, in pitches: it falls and rises by half a
/// pitch at 45 degrees.
pub fn zigzag(share: f64) -> f64 {
    if share < 0.5 { share } else { 1.0 - share }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "small and not negative"
)]
fn whole(value: f64) -> usize {
    value.floor().max(0.0) as usize
}
