//! Papers by the colours of the photos: three sets, each with its reason, from the stock or as colours to
//! look for.

use std::sync::Arc;

use crate::draw::patterns::DrawnPattern;
use crate::model::Color;
use crate::model::length::Size;
use crate::picture::PictureFile;
use crate::stock::Stock;

use super::candidates::{Candidate, candidates};
use super::color_names::name;
use super::file::Role;
use super::papers::{LEAST_CONTRAST, Papers, SHADES, no_mat, no_panel, too_few};
use super::photo_colors::{PhotoColor, apart, from_oklab, photo_colors};
use super::wanted::Wanted;

/// The parts in the order in which sets list them.
const ROLES: [Role; 4] = [Role::Base, Role::Panel, Role::Mat, Role::Accent];
/// How much it counts that the paper of a part is near to what is wished for.
const WEIGHTS: [f64; 4] = [2.0, 1.0, 1.0, 1.0];
/// Colours of more chroma in Oklab than this have a hue (common practice, no source).
const HAS_HUE: f64 = 0.03;
/// The hue, in degrees, of what has none of its own: that of wood and sand.
const WARM: f64 = 70.0;
/// Hues this near to each other are one, in degrees.
const ONE_HUE: f64 = 40.0;
/// A colour of a smaller share of the photos is no lightest or darkest.
const A_SHARE: f64 = 0.03;
/// What it costs that a base is there only once: two pages need two.
const ONCE: f64 = 0.05;
/// Papers of the stock that are tried for a part: those nearest to what is wished for, and the lightest and
/// darkest of all.
const TRIED: usize = 9;
const ENDS: usize = 3;
/// Steps in which a proposed mat is made darker until it stands out.
const DARKER: f64 = 0.03;
const STEPS: u32 = 12;

/// The papers that are proposed for photos.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposals {
    /// The sets, the first one first; at least one.
    pub sets: Vec<Papers>,
    /// The place of the one that is taken.
    pub taken: usize,
    /// The colours of the photos, the largest share first; none without pictures.
    pub colors: Vec<PhotoColor>,
    /// The pictures of papers of the stock; in drawings their numbers follow those of the photos.
    pub(super) pictures: Vec<Arc<PictureFile>>,
    /// Why there is a stock and no paper is taken from it, if that is so.
    pub not_from_stock: Option<String>,
}

/// What papers would look well with the photos, and why.
struct Idea {
    reason: String,
    /// Wished for by part, in Oklab.
    wishes: [[f64; 3]; 4],
}

impl Proposals {
    /// Sets of papers for photos and pages of a size: by the colours of the photos that have a picture, from
    /// the stock if there is one and it has papers that go together, else as colours; without pictures the
    /// one set that [`Papers::of_stock`] chooses, or the usual one.
    pub fn new(stock: Option<&Stock>, page: Size, wanted: &[Wanted]) -> Self {
        let colors = photo_colors(wanted);
        let ideas = if colors.is_empty() { Vec::new() } else { ideas(&colors) };
        let mut sets: Vec<Papers> = Vec::new();
        let mut not_from_stock = None;
        let mut pictures = Vec::new();
        let candidates = stock.map(|stock| candidates(stock, page, (wanted.len(), &mut pictures)));
        let candidates = candidates.unwrap_or_default();
        if stock.is_some() && !ideas.is_empty() {
            // Where no four go together, three may: of those, panel and accent are one.
            for few in [candidates.len() < ROLES.len(), true] {
                for idea in &ideas {
                    sets.extend(of_candidates(idea, (&candidates, few), &sets));
                }
                if !sets.is_empty() {
                    break;
                }
            }
            not_from_stock = sets.is_empty().then(|| why_none(&candidates, page));
        }
        if sets.is_empty() {
            for idea in &ideas {
                sets.extend(
                    as_colors(idea).filter(|set| sets.iter().all(|other| differ(set, other))),
                );
            }
        }
        if sets.is_empty() {
            let of_stock = stock.map(|stock| Papers::of_stock(stock, page));
            sets.push(match of_stock {
                Some(Ok(papers)) => Papers { drawn: drawn(&papers, &candidates), ..papers },
                None => Papers::usual(),
                Some(Err(reason)) => {
                    not_from_stock = Some(reason);
                    Papers::usual()
                }
            });
        }
        Self { sets, taken: 0, colors, pictures, not_from_stock }
    }

    /// One set alone.
    pub fn of(papers: Papers) -> Self {
        Self {
            sets: vec![papers],
            taken: 0,
            colors: Vec::new(),
            pictures: Vec::new(),
            not_from_stock: None,
        }
    }

    /// The pictures of papers, numbered from `first` on, those of which some set shows the paper.
    pub(super) fn picture_files(&self, first: usize) -> impl Iterator<Item = Option<&PictureFile>> {
        let drawn = self.sets.iter().flat_map(|set| &set.drawn);
        let shown: Vec<usize> = drawn.filter_map(|(_, drawn)| drawn.picture_number()).collect();
        let files = self.pictures.iter().enumerate();
        files.map(move |(place, file)| shown.contains(&(first + place)).then_some(&**file))
    }

    /// The set that is taken.
    pub fn papers(&self) -> &Papers {
        &self.sets[self.taken.min(self.sets.len() - 1)]
    }
}

/// Lightness, chroma and hue in degrees, of a colour in Oklab.
fn polar([light, a, b]: [f64; 3]) -> [f64; 3] {
    [light, a.hypot(b), b.atan2(a).to_degrees().rem_euclid(360.0)]
}

/// A colour in Oklab by its lightness, chroma and hue in degrees.
fn of_polar([light, chroma, hue]: [f64; 3]) -> [f64; 3] {
    let (sine, cosine) = hue.to_radians().sin_cos();
    [light, chroma * cosine, chroma * sine]
}

/// How far apart two hues are, in degrees.
fn between(one: f64, other: f64) -> f64 {
    let apart = (one - other).rem_euclid(360.0);
    apart.min(360.0 - apart)
}

fn ideas(colors: &[PhotoColor]) -> Vec<Idea> {
    let Some(first) = colors.first() else { return Vec::new() };
    let chroma = |one: &PhotoColor| polar(one.lab)[1];
    let largest = colors.iter().find(|one| chroma(one) > HAS_HUE).unwrap_or(first);
    let hue_of = |one: &PhotoColor| match polar(one.lab) {
        [_, chroma, hue] if chroma > HAS_HUE => hue,
        _ => WARM,
    };
    let hue = hue_of(largest);
    let across = (hue + 180.0).rem_euclid(360.0);
    // The strongest that is of another hue than the largest.
    let others =
        colors.iter().filter(|one| chroma(one) > HAS_HUE && between(hue_of(one), hue) > ONE_HUE);
    let strong = |one: &PhotoColor| chroma(one) * one.share.sqrt();
    let strongest = others.max_by(|one, other| strong(one).total_cmp(&strong(other)));
    let seen = || colors.iter().filter(|one| one.share >= A_SHARE);
    let light = |one: &&PhotoColor| one.lab[0];
    let darkest = seen().min_by(|one, other| light(one).total_cmp(&light(other))).unwrap_or(first);
    let lightest = seen().max_by(|one, other| light(one).total_cmp(&light(other))).unwrap_or(first);
    let [tint, shade] = [lightest, darkest].map(polar_of);
    let [l, c, _] = polar_of(largest);
    let accent = strongest.map_or([0.7, 0.13, across], |one| {
        let [l, c, h] = polar_of(one);
        [l.clamp(0.6, 0.78), c.clamp(0.11, 0.16), h]
    });
    let percent = largest.share * 100.0;
    let of_accent = strongest.map_or_else(
        || "nothing in them is of another hue, so the accent is from across".to_owned(),
        |one| format!("the accent is the one nearest to their {}", name(one.color)),
    );
    let largest = name(largest.color);
    let wishes = |wishes: [[f64; 3]; 4]| wishes.map(of_polar);
    vec![
        Idea {
            reason: format!(
                "near the photos' own colours: {largest} is {percent:.0} % of them, and {of_accent}"
            ),
            wishes: wishes([
                [0.95, tint[1].min(0.02), hue_of(lightest)],
                [l.clamp(0.62, 0.76), c.clamp(0.04, 0.1), hue],
                [shade[0].min(0.36), shade[1].clamp(0.02, 0.07), hue_of(darkest)],
                accent,
            ]),
        },
        Idea {
            reason: format!("from across the {largest} of the photos, so that they stand out"),
            wishes: wishes([
                [0.95, 0.012, across],
                [0.78, 0.045, across],
                [0.34, 0.05, hue],
                [0.66, 0.14, across],
            ]),
        },
        Idea {
            reason:
                "quiet papers with little colour of their own, so that the photos are the colour"
                    .to_owned(),
            wishes: wishes([
                [0.97, 0.004, WARM],
                [0.8, 0.018, hue],
                [0.3, 0.012, hue],
                [0.6, 0.06, hue],
            ]),
        },
    ]
}

fn polar_of(one: &PhotoColor) -> [f64; 3] {
    polar(one.lab)
}

/// The patterns and pictures of the papers of a set, by part.
fn drawn(papers: &Papers, candidates: &[Candidate]) -> Vec<(Role, DrawnPattern)> {
    let of_part = |(role, name, _): &(Role, String, Color)| {
        let paper = candidates.iter().find(|paper| paper.name == *name)?;
        Some((*role, paper.drawn.clone()?))
    };
    papers.parts.iter().filter_map(of_part).collect()
}

/// Whether papers go together: the base is light, the mat stands out from it, and on each of the four one of
/// the others can be read, so that a title can lie on any.
fn go_together([base, panel, mat, accent]: [&Candidate; 4]) -> bool {
    let carries = |paper: &Candidate| {
        [base, mat, panel, accent].iter().any(|other| other.contrast(paper) >= LEAST_CONTRAST)
    };
    base.is_light()
        && mat.contrast(base) >= LEAST_CONTRAST
        && mat.is_told_from(base)
        && panel.is_told_from(base)
        && panel.is_told_from(mat)
        && accent.is_told_from(base)
        && carries(panel)
        && carries(accent)
}

/// The papers that are nearest to an idea, go together, and differ from other sets; of `few`, panel and
/// accent may be one.
fn of_candidates(
    idea: &Idea,
    (candidates, few): (&[Candidate], bool),
    others: &[Papers],
) -> Option<Papers> {
    let tried = [0, 1, 2, 3].map(|part| tried(idea.wishes[part], candidates));
    let cost = |part: usize, paper: &Candidate| {
        let once = if part == 0 && paper.is_once { ONCE } else { 0.0 };
        WEIGHTS[part] * apart(paper.lab, idea.wishes[part]) + once
    };
    let mut best: Option<(f64, Papers)> = None;
    for base in tried[0].iter().filter(|paper| paper.is_light()) {
        for mat in tried[2].iter().filter(|mat| mat.contrast(base) >= LEAST_CONTRAST) {
            for panel in &tried[1] {
                for accent in &tried[3] {
                    let parts = [*base, *panel, *mat, *accent];
                    let cost: f64 =
                        parts.iter().enumerate().map(|(part, one)| cost(part, one)).sum();
                    let is_better = best.as_ref().is_none_or(|(least, _)| cost < *least);
                    if !is_better || is_repeated(parts, few) || !go_together(parts) {
                        continue;
                    }
                    let papers = papers(idea, parts, true);
                    if others.iter().all(|other| differ(&papers, other)) {
                        best = Some((cost, papers));
                    }
                }
            }
        }
    }
    best.map(|(_, papers)| papers)
}

/// Why no four of these papers go together.
fn why_none(candidates: &[Candidate], page: Size) -> String {
    if candidates.len() < 3 {
        return too_few(candidates.len(), page);
    }
    let Some(lightest) = candidates.iter().max_by(|one, other| one.lab[0].total_cmp(&other.lab[0]))
    else {
        return too_few(0, page);
    };
    if !candidates.iter().any(Candidate::is_light) {
        let name = &lightest.name;
        return format!("no paper is light enough for a page; the lightest is {name}");
    }
    let pairs = candidates.iter().filter(|base| base.is_light());
    let pairs = pairs.flat_map(|base| candidates.iter().map(move |mat| (mat, base)));
    let best = pairs
        .max_by(|(mat, base), (other, under)| mat.contrast(base).total_cmp(&other.contrast(under)));
    match best {
        Some((mat, base)) if mat.contrast(base) < LEAST_CONTRAST => {
            no_mat([&mat.name, &base.name], mat.contrast(base))
        }
        _ => no_panel(),
    }
}

/// Whether a paper plays two parts; of few papers, panel and accent may be one.
fn is_repeated([base, panel, mat, accent]: [&Candidate; 4], few: bool) -> bool {
    let same = |one: &Candidate, other: &Candidate| one.name == other.name;
    same(base, panel)
        || same(base, mat)
        || same(base, accent)
        || same(panel, mat)
        || same(mat, accent)
        || (same(panel, accent) && !few)
}

/// The papers that are tried for a part.
fn tried(wish: [f64; 3], candidates: &[Candidate]) -> Vec<&Candidate> {
    let mut sorted: Vec<&Candidate> = candidates.iter().collect();
    sorted.sort_by(|one, other| apart(one.lab, wish).total_cmp(&apart(other.lab, wish)));
    let mut tried: Vec<&Candidate> = sorted.iter().take(TRIED).copied().collect();
    sorted.sort_by(|one, other| one.lab[0].total_cmp(&other.lab[0]));
    for end in sorted.iter().take(ENDS).chain(sorted.iter().rev().take(ENDS)) {
        if tried.iter().all(|known| known.name != end.name) {
            tried.push(end);
        }
    }
    tried
}

/// An idea as colours to look for, if they go together.
fn as_colors(idea: &Idea) -> Option<Papers> {
    let mut wishes = idea.wishes;
    for _ in 0..STEPS {
        let mut names: Vec<String> = Vec::new();
        let candidates = wishes.map(|wish| {
            let color = from_oklab(wish);
            let called = name(color);
            let free = (1..).map(|number| match number {
                1 => called.clone(),
                _ => format!("{called} {number}"),
            });
            let free = free.take(ROLES.len() + 1).find(|name| !names.contains(name));
            let free = free.unwrap_or(called);
            names.push(free.clone());
            Candidate::plain(free, color)
        });
        let [base, panel, mat, accent] = &candidates;
        if go_together([base, panel, mat, accent]) {
            return Some(papers(idea, [base, panel, mat, accent], false));
        }
        wishes[2][0] -= DARKER;
        wishes[0][0] = (wishes[0][0] + DARKER / 3.0).min(0.99);
    }
    None
}

fn papers(idea: &Idea, parts: [&Candidate; 4], from_stock: bool) -> Papers {
    let parts = ROLES.into_iter().zip(parts);
    let drawn = parts.clone().filter_map(|(role, one)| Some((role, one.drawn.clone()?)));
    let shades = parts.clone().filter(|(_, one)| one.drawn.is_some());
    Papers {
        drawn: drawn.collect(),
        shades: shades.map(|(role, one)| (role, one.shades.clone())).collect(),
        parts: parts.map(|(role, one)| (role, one.name.clone(), one.color)).collect(),
        from_stock,
        reason: idea.reason.clone(),
    }
}

/// Whether some part of one set is told from the same part of the other.
fn differ(one: &Papers, other: &Papers) -> bool {
    ROLES.iter().any(|role| {
        let ([name, of_other], [color, other]) =
            ([one.of(*role).0, other.of(*role).0], [*one.of(*role).1, *other.of(*role).1]);
        name != of_other && color.difference(other) >= SHADES
    })
}
