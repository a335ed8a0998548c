//! Which letters are one piece.

use kurbo::{Rect, Shape};

use super::setting::Set;
use super::{Joined, Letter};
use crate::geometry::boolean;

/// Letters that share more than this are one piece, in square inches: a touch by rounding is none.
const SHARED_PAPER: f64 = 1e-5;

/// Joins the letters of one paper that touch, or all of one paper, or none.
pub(super) fn join(letters: Vec<Letter>, joined: Joined, set: &Set) -> Vec<Letter> {
    let groups = match joined {
        Joined::Never => return letters,
        Joined::Always => groups(&letters, |one, other| one.paper == other.paper),
        Joined::Auto => {
            let boxes: Vec<Rect> =
                letters.iter().map(|letter| letter.outline.bounding_box()).collect();
            let pairs = boxes.iter().enumerate().flat_map(|(one, bounds)| {
                let boxes = &boxes;
                (one + 1..boxes.len())
                    .filter(move |&other| bounds.intersect(boxes[other]).area() > 0.0)
                    .map(move |other| (one, other))
            });
            let touching: Vec<(usize, usize)> = pairs
                .filter(|&(one, other)| letters[one].paper == letters[other].paper)
                .filter(|&(one, other)| share_paper(&letters[one], &letters[other]))
                .collect();
            united(letters.len(), &touching)
        }
    };
    let mut pieces: Vec<Letter> = Vec::new();
    for group in groups {
        let members: Vec<&Letter> = group.iter().map(|&index| &letters[index]).collect();
        match members.as_slice() {
            [] => {}
            [one] => pieces.push((*one).clone()),
            [first, ..] => {
                let outlines: Vec<_> =
                    members.iter().map(|member| member.outline.clone()).collect();
                pieces.push(Letter {
                    text: text(&members, set),
                    count: members.iter().map(|member| member.count).sum(),
                    paper: first.paper,
                    outline: boolean::union(&outlines),
                    place: first.place,
                });
            }
        }
    }
    pieces
}

/// What joined letters say: as written, with a blank where words or lines part.
fn text(members: &[&Letter], set: &Set) -> String {
    let mut text = String::new();
    let mut last: Option<(usize, usize)> = None;
    for member in members {
        let (line, start) = member.place;
        let parted = last.is_some_and(|(last_line, end)| {
            let between = set.lines.get(line).and_then(|line| line.text.get(end..start));
            last_line != line || between.is_some_and(|between| between.contains(' '))
        });
        if parted {
            text.push(' ');
        }
        text.push_str(&member.text);
        last = Some((line, start + member.text.len()));
    }
    text
}

fn share_paper(one: &Letter, other: &Letter) -> bool {
    boolean::intersect(&one.outline, &other.outline).area().abs() > SHARED_PAPER
}

/// Groups of letters that are alike, in order of their first.
fn groups(letters: &[Letter], alike: impl Fn(&Letter, &Letter) -> bool) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (index, letter) in letters.iter().enumerate() {
        let own = groups
            .iter_mut()
            .find(|group| group.first().is_some_and(|&first| alike(&letters[first], letter)));
        match own {
            Some(group) => group.push(index),
            None => groups.push(vec![index]),
        }
    }
    groups
}

/// Groups of things that are linked, directly or by others, in order of their first.
fn united(count: usize, links: &[(usize, usize)]) -> Vec<Vec<usize>> {
    let mut group_of: Vec<usize> = (0..count).collect();
    for &(one, other) in links {
        let (low, high) = (group_of[one].min(group_of[other]), group_of[one].max(group_of[other]));
        for group in &mut group_of {
            if *group == high {
                *group = low;
            }
        }
    }
    (0..count)
        .map(|group| (0..count).filter(|&index| group_of[index] == group).collect::<Vec<usize>>())
        .filter(|group| !group.is_empty())
        .collect()
}
