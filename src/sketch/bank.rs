//! The photos of a bank as relations: lines, gaps, reveals, sizes.

use crate::description::LineUp;

use super::arrangement::Arrangement;
use super::frame::{Edges, Frame, IN_LINE, inches, side_of};
use super::reading::Bank;
use super::wanted::Wanted;
use crate::relations::{Edge, Relations};

/// What the wish weighs that a photo keeps its size (own choice, looked at).
const SIZE: f64 = 4.0;

impl Frame<'_> {
    /// The photos of a bank within the edges of its mat.
    pub fn photos_of_bank(
        &mut self,
        bank: &Bank,
        mat: Edges,
        arrangement: &Arrangement,
        wanted: &[Wanted],
    ) {
        let (along, over, gap) = (arrangement.along, 1 - arrangement.along, self.sketch.gap);
        let reveal = arrangement.rim(bank.reveal);
        let flush = arrangement.flush(wanted, gap).is_some();
        let lines = arrangement.lines.len();
        let mut above: Option<Edge> = None;
        for (number, line) in arrangement.lines.iter().enumerate() {
            let edges: Vec<Edges> = line.iter().map(|_| self.new_edges()).collect();
            let [upper, lower] = [self.relations[over].edge(), self.relations[over].edge()];
            let shown = match reveal {
                0 => IN_LINE.to_owned(),
                reveal => format!("a reveal of {}", inches(reveal)),
            };
            let apart = format!("a gap of {} between photos", inches(gap));
            match above {
                None => self.relations[over].exactly(mat[over][0], upper, reveal, &shown),
                Some(above) => self.relations[over].exactly(above, upper, gap, &apart),
            }
            if number + 1 == lines {
                self.relations[over].exactly(lower, mat[over][1], reveal, &shown);
            }
            above = Some(lower);
            let place = match (number, lines) {
                (_, 1) => LineUp::Center,
                (0, _) => LineUp::End,
                (number, lines) if number + 1 == lines => LineUp::Start,
                _ => LineUp::Center,
            };
            self.thickness(line, &edges, ([upper, lower], over), place, (wanted, arrangement.own));
            let lead = if flush { 0 } else { arrangement.lead(line, wanted, gap) };
            let relations = &mut self.relations[along];
            for (place, &photo) in line.iter().enumerate() {
                let [start, end] = edges[place][along];
                sides(relations, (&wanted[photo], arrangement.own), [start, end], along, flush);
                match place.checked_sub(1) {
                    None => relations.exactly(mat[along][0], start, reveal + lead, &shown),
                    Some(before) => {
                        relations.exactly(edges[before][along][1], start, gap, &apart);
                    }
                }
                self.photos[photo] = Some(edges[place]);
            }
            let Some(last) = edges.last().map(|last| last[along][1]) else { continue };
            if flush {
                relations.exactly(last, mat[along][1], reveal, &shown);
            } else {
                relations.at_least(last, mat[along][1], reveal, &shown);
            }
        }
        if !flush {
            let extent = arrangement.extent(wanted, gap)[along] + 2 * reveal;
            let longest = arrangement.longest(wanted, gap);
            let names: Vec<String> =
                longest.iter().map(|&photo| format!("`{}`", wanted[photo].name)).collect();
            let why = format!(
                "{} in a {} take {} with gaps and mat",
                names.join(", "),
                if along == 0 { "row" } else { "column" },
                inches(extent)
            );
            self.relations[along].exactly(mat[along][0], mat[along][1], extent, &why);
        }
    }

    /// The photos of a line are made equally thick, or lie on the side of the next line, so that gaps between
    /// lines are equal.
    fn thickness(
        &mut self,
        line: &[usize],
        edges: &[Edges],
        ([upper, lower], over): ([Edge; 2], usize),
        place: LineUp,
        (wanted, own): (&[Wanted], i64),
    ) {
        let bounds = |side: usize| line.iter().map(move |&photo| wanted[photo].bounds[side][over]);
        let (least, most) = (bounds(0).max().unwrap_or(0), bounds(1).min().unwrap_or(0));
        let even = least <= most;
        let thickest = line.iter().map(|&photo| wanted[photo].size[over]).max().unwrap_or(0);
        let relations = &mut self.relations[over];
        for (&photo, edges) in line.iter().zip(edges) {
            let [start, end] = edges[over];
            sides(relations, (&wanted[photo], own), [start, end], over, even);
            let lacks = if even { 0 } else { thickest - wanted[photo].size[over] };
            let lead = match place {
                LineUp::Start => 0,
                LineUp::Center => lacks / 4 * 2,
                LineUp::End => lacks,
            };
            relations.exactly(upper, start, lead, IN_LINE);
            if even {
                relations.exactly(end, lower, 0, IN_LINE);
            } else {
                relations.at_least(end, lower, 0, IN_LINE);
            }
        }
        let thick = line.iter().find(|&&photo| wanted[photo].size[over] == thickest);
        if let Some(&photo) = thick.filter(|_| !even) {
            let thickest = thickest + 2 * own;
            relations.exactly(upper, lower, thickest, &is(&wanted[photo], own, thickest, over));
        }
    }
}

/// The size of a photo with its own mat along an axis: as it is, or within its bounds and near what it is.
fn sides(
    relations: &mut Relations,
    (photo, own): (&Wanted, i64),
    [start, end]: [Edge; 2],
    axis: usize,
    free: bool,
) {
    let size = photo.size[axis] + 2 * own;
    let [least, most] = photo.bounds.map(|bound| bound[axis] + 2 * own);
    if !free || least == most {
        relations.exactly(start, end, size, &is(photo, own, size, axis));
        return;
    }
    relations.at_least(start, end, least, &format!("{} at least", is(photo, own, least, axis)));
    relations.at_least(end, start, -most, &format!("{} at most", is(photo, own, most, axis)));
    relations.wish(&[(end, 1.0), (start, -1.0)], size as f64, SIZE);
}

/// How large a photo is along an axis.
fn is(photo: &Wanted, own: i64, size: i64, axis: usize) -> String {
    let mat = if own > 0 { " with its mat" } else { "" };
    format!("`{}`{mat} is {} {}", photo.name, inches(size), side_of(axis))
}
