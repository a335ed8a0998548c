//! The colours of photos: their dots in Oklab (B. Ottosson 2020), gathered round a few centres by k-means (S.
//! Lloyd 1982) from starts that follow from the dots alone.

use std::collections::BTreeMap;

use palette::{FromColor, Oklab, Srgb};
use rayon::prelude::*;

use crate::model::{Color, Rect};
use crate::picture::PictureFile;
use crate::picture::dots::small_dots;

use super::wanted::Wanted;

/// Dots along a picture's sides that are looked at: what is finer is no colour of the whole.
const DOTS: [u32; 2] = [64; 2];
/// Dots whose channels agree in that many upper bits are looked at as one, of the mean of them.
const BITS: u32 = 4;
/// Centres that are looked for, and rounds at most until they keep their places.
pub const CENTERS: usize = 6;
const ROUNDS: usize = 100;
/// Centres nearer to each other than this are one colour (common practice, no source).
const ONE: f64 = 0.06;
/// A centre of a smaller share of the photos is no colour of theirs.
const A_TOUCH: f64 = 0.01;
/// A squared distance by which no start is worth adding.
const NONE: f64 = 1e-9;

/// A colour with its weight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weighted {
    /// Lightness, green to red, blue to yellow, in Oklab.
    pub lab: [f64; 3],
    /// How much there is of it.
    pub weight: f64,
}

/// A colour of the photos.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PhotoColor {
    /// The colour.
    pub color: Color,
    /// The same in Oklab.
    pub lab: [f64; 3],
    /// Its share of the photos, each photo as much as any.
    pub share: f64,
}

/// A colour in Oklab.
pub fn oklab(color: Color) -> [f64; 3] {
    let [red, green, blue] = color.channels();
    let lab = Oklab::from_color(Srgb::new(red, green, blue).into_linear::<f64>());
    [lab.l, lab.a, lab.b]
}

/// The colour of sRGB that is nearest to one in Oklab, channel by channel.
pub fn from_oklab([l, a, b]: [f64; 3]) -> Color {
    let rgb = Srgb::<f64>::from_color(Oklab::new(l, a, b)).into_format::<u8>();
    Color::new([rgb.red, rgb.green, rgb.blue])
}

/// How far apart two colours are in Oklab, squared.
pub fn apart(one: [f64; 3], other: [f64; 3]) -> f64 {
    (0..3).map(|axis| (one[axis] - other[axis]).powi(2)).sum()
}

/// The colours of the photos that have a picture, the largest share first; none without pictures.
pub fn photo_colors(wanted: &[Wanted]) -> Vec<PhotoColor> {
    let points = points(wanted);
    let centers = settled(&points, &starts(&points, CENTERS));
    let all: f64 = centers.iter().map(|center| center.weight).sum();
    let mut colors: Vec<Weighted> = Vec::new();
    for center in centers {
        match colors.iter_mut().find(|known| apart(known.lab, center.lab) < ONE * ONE) {
            Some(known) => *known = mean(&[*known, center]),
            None => colors.push(center),
        }
    }
    let mut colors: Vec<PhotoColor> = colors
        .into_iter()
        .map(|one| PhotoColor {
            color: from_oklab(one.lab),
            lab: one.lab,
            share: one.weight / all.max(f64::MIN_POSITIVE),
        })
        .filter(|one| one.share >= A_TOUCH)
        .collect();
    colors.sort_by(|one, other| {
        other.share.total_cmp(&one.share).then(one.color.as_str().cmp(other.color.as_str()))
    });
    colors
}

/// The colours of the photos' dots, those that are nearly the same as one; each photo weighs 1.
pub fn points(wanted: &[Wanted]) -> Vec<Weighted> {
    let of_each: Vec<Vec<Weighted>> = wanted
        .par_iter()
        .map(|photo| photo.picture.as_ref().map_or_else(Vec::new, |(file, _)| points_of(file)))
        .collect();
    of_each.concat()
}

fn points_of(file: &PictureFile) -> Vec<Weighted> {
    let whole = Rect { at: [0.0; 2], size: file.seen().map(f64::from) };
    let Ok(dots) = small_dots(file, &whole, DOTS) else { return Vec::new() };
    let channels = usize::from(dots.channels.max(1));
    let mut alike: BTreeMap<[u8; 3], ([u64; 3], u32)> = BTreeMap::new();
    for dot in dots.samples.chunks_exact(channels) {
        let dot = [0, 1, 2].map(|channel| dot[channel.min(channels - 1)]);
        let (sum, count) = alike.entry(dot.map(|value| value >> (8 - BITS))).or_default();
        sum.iter_mut().zip(dot).for_each(|(sum, value)| *sum += u64::from(value));
        *count += 1;
    }
    let all: f64 = alike.values().map(|(_, count)| f64::from(*count)).sum();
    let point = |(sum, count): ([u64; 3], u32)| {
        let mean = sum.map(|sum| {
            let count = u64::from(count.max(1));
            u8::try_from((sum + count / 2) / count).unwrap_or(u8::MAX)
        });
        Weighted { lab: oklab(Color::new(mean)), weight: f64::from(count) / all }
    };
    alike.into_values().map(point).collect()
}

/// Centres to start from: the point of most weight, then each time the one whose weight times its squared
/// distance from the nearest start is largest (k-means++ of Arthur and Vassilvitskii 2007, without its
/// chance).
pub fn starts(points: &[Weighted], count: usize) -> Vec<[f64; 3]> {
    let mut starts: Vec<[f64; 3]> = Vec::new();
    while starts.len() < count {
        let worth = |point: &Weighted| {
            let near = starts.iter().map(|start| apart(point.lab, *start));
            let near = near.fold(f64::INFINITY, f64::min);
            point.weight * if near.is_finite() { near } else { 1.0 }
        };
        // Of equals the first.
        let best = points
            .iter()
            .map(|point| (worth(point), point.lab))
            .reduce(|best, one| if one.0 > best.0 { one } else { best });
        match best {
            Some((worth, lab)) if worth > NONE => starts.push(lab),
            _ => break,
        }
    }
    starts
}

/// Where centres come to lie that move to the mean of the points nearest to them, until they stay; each with
/// the weight of its points.
pub fn settled(points: &[Weighted], starts: &[[f64; 3]]) -> Vec<Weighted> {
    let mut centers: Vec<Weighted> =
        starts.iter().map(|lab| Weighted { lab: *lab, weight: 0.0 }).collect();
    let mut belongs: Vec<usize> = Vec::new();
    for _ in 0..ROUNDS {
        let nearest = |point: &Weighted| {
            let far = centers.iter().enumerate().map(|(at, one)| (apart(point.lab, one.lab), at));
            far.reduce(|best, one| if one.0 < best.0 { one } else { best }).map_or(0, |(_, at)| at)
        };
        let now: Vec<usize> = points.iter().map(nearest).collect();
        if now == belongs {
            break;
        }
        belongs = now;
        for (number, center) in centers.iter_mut().enumerate() {
            let own = points.iter().zip(&belongs).filter(|(_, at)| **at == number);
            let own: Vec<Weighted> = own.map(|(point, _)| *point).collect();
            // One that lost all its points stays.
            *center = if own.is_empty() { Weighted { weight: 0.0, ..*center } } else { mean(&own) };
        }
    }
    centers
}

fn mean(points: &[Weighted]) -> Weighted {
    let weight: f64 = points.iter().map(|point| point.weight).sum();
    let lab = [0, 1, 2].map(|axis| {
        let sum: f64 = points.iter().map(|point| point.lab[axis] * point.weight).sum();
        sum / weight.max(f64::MIN_POSITIVE)
    });
    Weighted { lab, weight }
}
