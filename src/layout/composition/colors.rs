//! Colours beside each other, and over the spread.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use crate::model::{AdviceKind, Color};

use super::Found;
use super::change::Change;
use super::scene::{Group, Role, Scene, Shades, beside};
use crate::layout::lying::{Thing, What};

/// Large letters are told from what lies beneath them by this contrast at least (WCAG 2.2, success criterion
/// 1.4.3 for text of 18 pt and more).
const LEAST_CONTRAST: f64 = 3.0;
/// From this share on, a title has too little contrast all round.
const ALL: f64 = 0.95;
/// How much of the places round a title's letters may have less.
const SOME: f64 = 0.25;
/// Colours nearer to each other than this are one to the eye: the difference in L*a*b* that is just noticed
/// (Mahy, Van Eycken and Oosterlinck 1994).
const JUST_NOTICED: f64 = 2.3;
/// Shares of a pattern that differ by less are the same to the eye (common practice, no source).
const A_PART: f64 = 0.1;
/// How much of a piece's outline may lie on its own colour.
const HALF: f64 = 0.5;
/// Colours nearer to each other than this are shades of one (common practice, no source).
const SHADES: f64 = 14.0;
/// A colour of which less than this shows is no part of the scheme, in square inches.
const A_TOUCH: f64 = 1.5;
/// How far outside of an outline the paper beneath is looked at, in inches.
const BESIDE: f64 = 1.0 / 32.0;

/// Titles with letters that are hardly told from what lies beneath them.
pub(super) fn contrast(scene: &Scene<'_>) -> Vec<Found> {
    let titles = scene.groups.iter().filter(|group| group.role == Role::Title);
    titles.filter_map(|group| low_contrast(scene, group)).collect()
}

fn low_contrast(scene: &Scene<'_>, group: &Group) -> Option<Found> {
    let letters: Vec<&Thing<'_>> = scene.words_of(group)
        .filter(|thing| matches!(thing.what, What::Piece(piece) if matches!(piece.kind, "letter" | "word")))
        .collect();
    let seen: Vec<Beside<'_>> = letters
        .iter()
        .flat_map(|letter| {
            let number = letter.paper();
            let own = number.and_then(|paper| scene.papers.get(paper));
            let beside = beside(letter, BESIDE).into_iter();
            let beneath = beside.filter_map(|at| scene.beneath(letter.page, letter.order, at));
            let paper_of = |order: u32| scene.at_order(order).and_then(Thing::paper);
            let pairs = beneath.filter_map(|seen| {
                let papers = [number, paper_of(seen.order)];
                Some(Beside { own: own?, beneath: seen.shades, papers })
            });
            pairs.collect::<Vec<_>>()
        })
        .collect();
    // Of patterns, each colour counts by its area.
    let low = |paper: Option<&Rc<Shades>>| {
        let low = seen.iter().map(|one| low_share(paper.unwrap_or(one.own), &one.beneath));
        low.sum::<f64>() / seen.len().max(1) as f64
    };
    let share = low(None);
    if share <= SOME {
        return None;
    }
    let contrast = |one: &Beside<'_>| worst(one.own, &one.beneath);
    let lowest = seen.iter().min_by(|one, other| contrast(one).total_cmp(&contrast(other)))?;
    let name = |paper: Option<usize>| {
        paper.and_then(|paper| scene.layout.papers.get(paper)).map(|paper| paper.name.as_str())
    };
    let lies_on = name(lowest.papers[1]).unwrap_or("a photo");
    let along = if share < ALL {
        format!(" along {:.0} % of its edges", share * 100.0)
    } else {
        String::new()
    };
    let message = format!(
        "`{}` is of {} and lies on {lies_on}{along}: a contrast of {:.1} to 1",
        group.id,
        name(lowest.papers[0]).unwrap_or("a paper"),
        contrast(lowest)
    );
    let reason = "large letters are easy to read from 3 to 1 on (WCAG 2.2; 1 to 1 is the same colour, 21 to 1 black \
                  on white): cut them or what lies beneath from a lighter or a darker paper";
    let worst_of = |paper: &Shades| {
        let worst = seen.iter().map(|one| self::worst(paper, &one.beneath));
        worst.fold(f64::INFINITY, f64::min)
    };
    let papers = scene.papers.iter().enumerate();
    let mut papers: Vec<(f64, usize)> = papers
        .filter(|(_, paper)| low(Some(paper)) <= SOME)
        .map(|(number, paper)| (worst_of(paper), number))
        .collect();
    papers.sort_by(|(one, _), (other, _)| other.total_cmp(one));
    let changes = papers.into_iter().take(2);
    let changes = changes.map(|(_, paper)| Change::Paper { group: group.clone(), paper });
    Some(Found::new(AdviceKind::Contrast, message, reason).of_group(group).mended_by(changes))
}

/// How much of the area where colours meet has too little contrast, as a share.
fn low_share(own: &Shades, beneath: &Shades) -> f64 {
    let pairs = own.iter().flat_map(|one| beneath.iter().map(move |other| (one, other)));
    let low = pairs.filter(|((one, _), (other, _))| one.contrast(*other) < LEAST_CONTRAST);
    low.map(|((_, one), (_, other))| one * other).sum()
}

/// The least contrast of colours that meet.
fn worst(own: &Shades, beneath: &Shades) -> f64 {
    let pairs = own.iter().flat_map(|one| beneath.iter().map(move |other| (one, other)));
    pairs.map(|((one, _), (other, _))| one.contrast(*other)).fold(f64::INFINITY, f64::min)
}

/// Whether two papers are one to the eye: the same colours, each on as much of them.
fn is_alike(own: &Shades, other: &Shades) -> bool {
    own.len() == other.len()
        && own.iter().zip(other).all(|((one, part), (other, of_other))| {
            one.difference(*other) < JUST_NOTICED && (part - of_other).abs() < A_PART
        })
}

/// What is seen on both sides of a letter's edge.
struct Beside<'a> {
    own: &'a Rc<Shades>,
    beneath: Rc<Shades>,
    /// The letter's paper and the one beneath, by place among the layout's; none is a photo.
    papers: [Option<usize>; 2],
}

/// Pieces that lie on paper of their own colour: their edge is lost.
pub(super) fn touching(scene: &Scene<'_>) -> Vec<Found> {
    let mut found: Vec<Found> = Vec::new();
    let mut rows = BTreeSet::new();
    for thing in &scene.things {
        let What::Piece(piece) = &thing.what else { continue };
        // Letters have their contrast, strips of the story their type; a mat under a mat is meant to be seen.
        if matches!(piece.kind, "base" | "letter" | "word" | "journaling") {
            continue;
        }
        let Some(own) = scene.papers.get(piece.paper) else { continue };
        let beside = beside(thing, BESIDE);
        let mut alike: BTreeMap<u32, usize> = BTreeMap::new();
        for seen in beside.iter().filter_map(|at| scene.beneath(thing.page, thing.order, *at)) {
            if is_alike(own, &seen.shades) {
                *alike.entry(seen.order).or_default() += 1;
            }
        }
        let in_all: usize = alike.values().sum();
        if in_all as f64 <= HALF * beside.len().max(1) as f64 {
            continue;
        }
        let most = alike.iter().max_by_key(|(_, count)| **count).map(|(order, _)| *order);
        let Some(under) = scene.things.iter().find(|other| Some(other.order) == most) else {
            continue;
        };
        // A row or a border is one thing to the eye.
        let row = scene.group_of(thing).filter(|group| is_one_of_a_row(group, &piece.id));
        let id = row.map_or(piece.id.as_str(), |row| &row.id);
        if row.is_some() && !rows.insert((id.to_owned(), under.id().to_owned())) {
            continue;
        }
        let message = format!("`{id}` lies on `{}`, which is of the same colour", under.id());
        let reason = "its edge can't be seen; a mat, another paper or a torn edge brings it out";
        let group = row.or_else(|| scene.groups.iter().find(|group| group.id == id));
        let changes = group.into_iter().flat_map(|group| other_papers(scene, group, piece.paper));
        let one = Found::new(AdviceKind::SameColor, message, reason);
        found.push(one.of(id, thing.line()).mended_by(changes));
    }
    found
}

/// Whether a piece is one of several that its element was repeated to.
fn is_one_of_a_row(group: &Group, piece: &str) -> bool {
    let rest = piece.strip_prefix(&*group.id).and_then(|rest| rest.strip_prefix('.'));
    let number = rest.map(|rest| rest.split_once('.').map_or(rest, |(number, _)| number));
    number.is_some_and(|number| number.parse::<u32>().is_ok())
}

/// Papers that are used on the spread and told from a colour.
fn other_papers(scene: &Scene<'_>, group: &Group, own: usize) -> Vec<Change> {
    let main = |paper: usize| scene.papers[paper].first().map_or(Color::UNKNOWN, |(main, _)| *main);
    let papers = 0..scene.papers.len();
    let is_used = |number: usize| scene.things.iter().any(|thing| thing.paper() == Some(number));
    let told =
        papers.filter(|paper| is_used(*paper) && main(*paper).difference(main(own)) >= SHADES);
    told.map(|paper| Change::Paper { group: group.clone(), paper }).take(2).collect()
}

/// Colours of which much shows on one page of two, and nothing on the other.
pub(super) fn alone(scene: &Scene<'_>) -> Vec<Found> {
    if scene.layout.pages.len() != 2 {
        return Vec::new();
    }
    let area = |page: usize, color: Color| {
        let on_page = scene.things.iter().filter(|thing| thing.page == page);
        let of_color = on_page.map(|thing| {
            let shades = thing.paper().and_then(|paper| scene.papers.get(paper));
            let near = shades.into_iter().flat_map(|shades| shades.iter());
            let near = near.filter(|(shade, _)| shade.difference(color) < SHADES);
            let share: f64 = near.map(|(_, share)| share).sum();
            if share > 0.0 { kurbo::Shape::area(&thing.outline).abs() * share } else { 0.0 }
        });
        of_color.sum::<f64>()
    };
    let mut found = Vec::new();
    for page in [0, 1] {
        let papers = scene.layout.papers.iter().enumerate().filter(|(number, paper)| {
            let main = scene.papers[*number].first().map_or(paper.color, |(main, _)| *main);
            area(page, main) >= A_TOUCH && area(1 - page, main) <= 0.0
        });
        for (number, paper) in papers {
            if !scene.things.iter().any(|thing| thing.paper() == Some(number)) {
                continue;
            }
            let [here, there] = [page, 1 - page].map(|page| scene.layout.pages[page]);
            let message = format!("{} shows on the {here} page only", paper.name);
            let reason = "a colour that comes again on the other page ties the two together";
            let shapes = scene.groups_of(1 - page, &[Role::Shape]);
            let changes = shapes.into_iter().take(3);
            let changes: Vec<Change> = changes
                .map(|group| Change::Paper { group: group.clone(), paper: number })
                .collect();
            let piece = scene
                .things
                .iter()
                .find(|thing| thing.page == page && thing.paper() == Some(number));
            let Some(piece) = piece else { continue };
            let reason =
                format!("{reason}: a strip, a tag or a letter of it on the {there} page will do");
            let one = Found::new(AdviceKind::LoneColor, message, &reason);
            found.push(one.of(piece.id(), piece.line()).mended_by(changes));
        }
    }
    found
}
