//! Where to break a paragraph: the best breaks over all its lines, never an overfull one.
//!
//! An exact dynamic programme over breaks in the manner of Knuth & Plass, "Breaking paragraphs into
//! lines", Software: Practice and Experience 11 (1981), without stretching: a line costs the square of
//! the room it leaves.

/// What a last line of one short word costs, in units of the full width squared: more than all lines
/// together, so that it is left only where there is no other way.
const LONELY_WORD: f64 = 1e3;
/// A last line shorter than this share of the width, with one word, is lonely.
const LONELY_SHARE: f64 = 0.25;
/// What each line costs, so that of two equal sums the one with fewer lines wins.
const LINE: f64 = 1e-6;

/// Lines of a paragraph as ranges of its segments, and what they cost.
#[derive(Clone, Debug, PartialEq)]
pub struct Breaks {
    /// Start and end of each line, in segments.
    pub lines: Vec<(usize, usize)>,
    /// Sum of the lines' costs; infinite if a segment fits no line.
    pub cost: f64,
}

/// What a line costs, its widths in shares of the full width; infinite if it is overfull.
pub fn line_cost(width: f64, words: usize, last: bool) -> f64 {
    if width > 1.0 + 1e-9 {
        return f64::INFINITY;
    }
    let room = (1.0 - width).max(0.0);
    match (last, words) {
        (true, 1) if width < LONELY_SHARE => LONELY_WORD + LINE,
        (true, _) => LINE,
        (false, _) => room * room + LINE,
    }
}

/// How many lines there are to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineCount {
    /// As many as it takes; the first so many differ in what they cost, the rest are like the last of
    /// those.
    Any(usize),
    /// So many.
    Exactly(usize),
}

/// The cheapest lines of `segments` segments where a line costs `cost(line, start, end)`, `line` counted
/// from 0; nothing if it can't be that long or reach so far. Dynamic programming over break and line
/// number; the cost is infinite if there is no way.
pub fn best_lines(
    segments: usize,
    count: LineCount,
    mut cost: impl FnMut(usize, usize, usize) -> Option<f64>,
) -> Breaks {
    let states = match count {
        LineCount::Any(kinds) => kinds.max(1) + 1,
        LineCount::Exactly(lines) => lines + 1,
    };
    // For each break and number of lines so far: the least cost, the break before, its number of lines.
    let mut best = vec![vec![(f64::INFINITY, 0_usize, 0_usize); states]; segments + 1];
    best[0][0].0 = 0.0;
    for start in 0..segments {
        for state in 0..states {
            let so_far = best[start][state].0;
            let (line, next) = match count {
                LineCount::Any(_) => (state.min(states - 2), (state + 1).min(states - 1)),
                LineCount::Exactly(_) if state + 1 == states => continue,
                LineCount::Exactly(_) => (state, state + 1),
            };
            if so_far.is_infinite() {
                continue;
            }
            for (end, reached) in best.iter_mut().enumerate().skip(start + 1) {
                let Some(cost) = cost(line, start, end) else { break };
                let reached = &mut reached[next];
                if so_far + cost < reached.0 {
                    *reached = (so_far + cost, start, state);
                }
            }
        }
    }
    let last = match count {
        LineCount::Any(_) => (0..states)
            .min_by(|&one, &other| best[segments][one].0.total_cmp(&best[segments][other].0))
            .unwrap_or(0),
        LineCount::Exactly(lines) => lines,
    };
    let least = best[segments][last].0;
    let (mut lines, mut end, mut state) = (Vec::new(), segments, last);
    while end > 0 && best[end][state].0.is_finite() {
        let (_, start, before) = best[end][state];
        lines.push((start, end));
        (end, state) = (start, before);
    }
    lines.reverse();
    Breaks { lines, cost: least }
}
