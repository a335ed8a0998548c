//! Colours beside each other, and over the spread.

use std::collections::BTreeMap;

use crate::model::{AdviceKind, Color};

use super::Found;
use super::change::Change;
use super::scene::{Group, Role, Scene, beside};
use crate::layout::lying::{Thing, What};

/// Large letters are told from what lies beneath them by this contrast at least (WCAG 2.2, success criterion
/// 1.4.3 for text of 18 pt and more).
const LEAST_CONTRAST: f64 = 3.0;
/// How much of the places round a title's letters may have less.
const SOME: f64 = 0.25;
/// Colours nearer to each other than this are one to the eye: the difference in L*a*b* that is just noticed
/// (Mahy, Van Eycken and Oosterlinck 1994).
const JUST_NOTICED: f64 = 2.3;
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
    let seen: Vec<(Color, Color)> = letters
        .iter()
        .flat_map(|letter| {
            let own = letter.paper().and_then(|paper| scene.layout.papers.get(paper));
            let beside = beside(letter, BESIDE).into_iter();
            let beneath = beside.filter_map(|at| scene.beneath(letter.page, letter.order, at));
            let pairs = beneath.filter_map(|seen| Some((own?.color, seen.color)));
            pairs.collect::<Vec<_>>()
        })
        .collect();
    let low = |of: &dyn Fn(Color) -> Color| {
        let low = seen.iter().filter(|(own, beneath)| of(*own).contrast(*beneath) < LEAST_CONTRAST);
        low.count() as f64 / seen.len().max(1) as f64
    };
    let share = low(&|own| own);
    if share <= SOME {
        return None;
    }
    let worst =
        seen.iter().map(|(own, beneath)| own.contrast(*beneath)).fold(f64::INFINITY, f64::min);
    let message = format!(
        "`{}` has a contrast of {worst:.1} to 1 with what lies beneath it, over {:.0} % of its edges less than 3",
        group.id,
        share * 100.0
    );
    let reason =
        "under 3 to 1 large letters are hard to read (WCAG 2.2); another paper or a backing helps";
    let worst_of = |color: Color| {
        seen.iter().map(|(_, beneath)| color.contrast(*beneath)).fold(f64::INFINITY, f64::min)
    };
    let papers = scene.layout.papers.iter().enumerate();
    let mut papers: Vec<(f64, usize)> = papers
        .filter(|(_, paper)| low(&|_| paper.color) <= SOME)
        .map(|(number, paper)| (worst_of(paper.color), number))
        .collect();
    papers.sort_by(|(one, _), (other, _)| other.total_cmp(one));
    let changes = papers.into_iter().take(2);
    let changes = changes.map(|(_, paper)| Change::Paper { group: group.clone(), paper });
    Some(Found::new(AdviceKind::Contrast, message, reason).of_group(group).mended_by(changes))
}

/// Pieces that lie on paper of their own colour: their edge is lost.
pub(super) fn touching(scene: &Scene<'_>) -> Vec<Found> {
    let mut found: Vec<Found> = Vec::new();
    for thing in &scene.things {
        let What::Piece(piece) = &thing.what else { continue };
        // Letters have their contrast, strips of the story their type; a mat under a mat is meant to be seen.
        if matches!(piece.kind, "base" | "letter" | "word" | "journaling") {
            continue;
        }
        let Some(own) = scene.layout.papers.get(piece.paper).map(|paper| paper.color) else {
            continue;
        };
        let beside = beside(thing, BESIDE);
        let mut alike: BTreeMap<u32, usize> = BTreeMap::new();
        for seen in beside.iter().filter_map(|at| scene.beneath(thing.page, thing.order, *at)) {
            if own.difference(seen.color) < JUST_NOTICED {
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
        let message =
            format!("`{}` lies on `{}`, which is of the same colour", piece.id, under.id());
        let reason = "its edge is lost; a mat, another paper or a torn edge brings it out";
        let group = scene.groups.iter().find(|group| group.id == piece.id.as_str());
        let changes = group.into_iter().flat_map(|group| other_papers(scene, group, own));
        let one = Found::new(AdviceKind::SameColor, message, reason);
        found.push(one.of(&piece.id, thing.line()).mended_by(changes));
    }
    found
}

/// Papers that are used on the spread and told from a colour.
fn other_papers(scene: &Scene<'_>, group: &Group, own: Color) -> Vec<Change> {
    let papers = scene.layout.papers.iter().enumerate();
    let is_used = |number: usize| scene.things.iter().any(|thing| thing.paper() == Some(number));
    let told =
        papers.filter(|(number, paper)| is_used(*number) && paper.color.difference(own) >= SHADES);
    told.map(|(paper, _)| Change::Paper { group: group.clone(), paper }).take(2).collect()
}

/// Colours of which much shows on one page of two, and nothing on the other.
pub(super) fn alone(scene: &Scene<'_>) -> Vec<Found> {
    if scene.layout.pages.len() != 2 {
        return Vec::new();
    }
    let area = |page: usize, color: Color| {
        let of_color = scene.things.iter().filter(|thing| {
            let paper = thing.paper().and_then(|paper| scene.layout.papers.get(paper));
            thing.page == page && paper.is_some_and(|paper| paper.color.difference(color) < SHADES)
        });
        of_color.map(|thing| kurbo::Shape::area(&thing.outline).abs()).sum::<f64>()
    };
    let mut found = Vec::new();
    for page in [0, 1] {
        let papers = scene.layout.papers.iter().enumerate().filter(|(_, paper)| {
            area(page, paper.color) >= A_TOUCH && area(1 - page, paper.color) <= 0.0
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
