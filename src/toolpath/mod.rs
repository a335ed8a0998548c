//! A short way through stops: in which order a lifted blade or pen visits what it has to draw.
//!
//! Few stops are searched to the end. Each stop can be entered in several ways, a closed contour at any of
//! its corners, an open line at either end. Greedy first (the nearest neighbour rule; Rosenkrantz, Stearns &
//! Lewis, SIAM J. Comput. 6, 1977), then moves of one to three stops (Or 1976) and reversals of stretches
//! (2-opt; Croes 1958), looked for among near stops only, with random kicks in between that are taken back
//! unless they help (iterated local search; Johnson & McGeoch 1997). In the end the ways are chosen anew,
//! exactly, for the order found. Work is counted, never timed, so that results repeat.

mod exact;

use kurbo::Point;

use crate::search::Chance;

/// Stops beyond which the greedy start is a walk in bands: it would take too long.
const MANY: usize = 3_000;
/// Near stops among which moves are looked for.
const NEIGHBOURS: usize = 8;
/// Longest stretch that is moved as a whole.
const LONGEST_MOVE: usize = 3;
/// Units of work, about a distance each: some tenths of a second.
const MOST_WORK: usize = 12_000_000;
/// Kicks a stop.
const KICKS: usize = 30;
/// Stops between the cuts of a kick at most.
const KICK_REACH: usize = 25;
/// Seed of the kicks; any number does.
const SEED: u64 = 0x7075_7274;
/// What is shorter than this, in inches, is no gain but rounding.
const GAIN: f64 = 1e-9;

/// One way to visit a stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BladeVisit {
    /// Where the blade comes down.
    pub enter: Point,
    /// Where it is lifted.
    pub leave: Point,
    /// The way lifted in between, in inches.
    pub inside: f64,
}

/// What has to be visited, in one of several ways; there is at least one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stop {
    /// The ways.
    pub ways: Vec<BladeVisit>,
}

/// An order of the stops, each with the way in which it is visited, from a point (or from anywhere).
/// Stops without a way are left out.
pub fn tour(from: Option<Point>, stops: &[Stop]) -> Vec<(usize, usize)> {
    let known: Vec<usize> = (0..stops.len()).filter(|&one| !stops[one].ways.is_empty()).collect();
    if let Some(best) = exact::exact(from, stops, &known) {
        return best;
    }
    let mut tour = Tour::new(from, stops, &known);
    tour.improve();
    tour.kick();
    tour.choose_ways();
    tour.order.iter().map(|&stop| (stop, tour.way[stop])).collect()
}

/// The length of a tour: all ways of the lifted blade, in inches.
pub fn length(from: Option<Point>, stops: &[Stop], tour: &[(usize, usize)]) -> f64 {
    let mut at = from;
    let mut sum = 0.0;
    for way in tour.iter().filter_map(|&(stop, way)| stops.get(stop)?.ways.get(way)) {
        sum += at.map_or(0.0, |at| at.distance(way.enter)) + way.inside;
        at = Some(way.leave);
    }
    sum
}

struct Tour<'a> {
    from: Option<Point>,
    stops: &'a [Stop],
    order: Vec<usize>,
    /// The place of each stop in the order.
    place: Vec<usize>,
    /// The way of each stop.
    way: Vec<usize>,
    near: Vec<Vec<usize>>,
    work: usize,
    chance: Chance,
}

/// A change of the order, and what it saves.
#[derive(Clone, Copy)]
enum Move {
    /// Turns the stretch between two places, both included, round.
    Reverse(usize, usize),
    /// Moves the stretch that begins at a place, so many stops long, before another place; turned round
    /// or not; a single stop is visited in the way given.
    Shift { from: usize, count: usize, before: usize, turned: bool, way: Option<usize> },
}

impl<'a> Tour<'a> {
    fn new(from: Option<Point>, stops: &'a [Stop], known: &[usize]) -> Self {
        let mut tour = Self {
            from,
            stops,
            order: Vec::with_capacity(known.len()),
            place: vec![usize::MAX; stops.len()],
            way: vec![0; stops.len()],
            near: vec![Vec::new(); stops.len()],
            work: 0,
            chance: Chance::new(SEED),
        };
        if known.len() > MANY {
            tour.walk_in_bands(known);
        } else {
            tour.greedy(known);
        }
        tour.number(0);
        tour.choose_ways();
        tour.find_near(known);
        tour
    }

    fn greedy(&mut self, known: &[usize]) {
        let mut waiting = known.to_vec();
        let mut at = self.from.unwrap_or_default();
        while !waiting.is_empty() {
            let mut best = (f64::INFINITY, 0, 0);
            for (index, &stop) in waiting.iter().enumerate() {
                for (number, way) in self.stops[stop].ways.iter().enumerate() {
                    let squared = at.distance_squared(way.enter);
                    if squared < best.0 {
                        best = (squared, index, number);
                    }
                }
            }
            let stop = waiting.remove(best.1);
            self.way[stop] = best.2;
            at = self.stops[stop].ways[best.2].leave;
            self.order.push(stop);
        }
    }

    /// Left to right and back in bands of about as many stops as there are bands.
    fn walk_in_bands(&mut self, known: &[usize]) {
        let enter = |stop: &usize| self.stops[*stop].ways[0].enter;
        let mut by_height = known.to_vec();
        by_height.sort_by(|one, other| enter(one).y.total_cmp(&enter(other).y));
        let band = by_height.len().isqrt().max(1);
        for (number, band) in by_height.chunks_mut(band).enumerate() {
            band.sort_by(|one, other| enter(one).x.total_cmp(&enter(other).x));
            if number % 2 == 1 {
                band.reverse();
            }
            self.order.extend_from_slice(band);
        }
    }

    fn find_near(&mut self, known: &[usize]) {
        let enter = |stop: usize| self.stops[stop].ways[0].enter;
        for (place, &stop) in self.order.iter().enumerate() {
            let mut others: Vec<usize> = if known.len() > MANY {
                let from = place.saturating_sub(NEIGHBOURS);
                let to = (place + NEIGHBOURS).min(self.order.len());
                self.order[from..to].to_vec()
            } else {
                known.to_vec()
            };
            others.retain(|&other| other != stop);
            let squared = |other: &usize| enter(stop).distance_squared(enter(*other));
            if others.len() > NEIGHBOURS {
                others.select_nth_unstable_by(NEIGHBOURS, |one, other| {
                    squared(one).total_cmp(&squared(other)).then(one.cmp(other))
                });
                others.truncate(NEIGHBOURS);
            }
            others
                .sort_by(|one, other| squared(one).total_cmp(&squared(other)).then(one.cmp(other)));
            self.near[stop] = others;
        }
    }

    fn number(&mut self, from: usize) {
        for place in from..self.order.len() {
            self.place[self.order[place]] = place;
        }
    }

    fn visit(&self, place: usize) -> BladeVisit {
        let stop = self.order[place];
        self.stops[stop].ways[self.way[stop]]
    }

    /// Where the blade is before a place.
    fn before(&self, place: usize) -> Option<Point> {
        match place.checked_sub(1) {
            Some(last) => Some(self.visit(last).leave),
            None => self.from,
        }
    }

    /// Where the blade goes at a place, if there is one.
    fn at(&self, place: usize) -> Option<Point> {
        (place < self.order.len()).then(|| self.visit(place).enter)
    }

    /// The way of a stop that goes the other way round, or the same.
    fn turned(&self, stop: usize) -> usize {
        let ways = &self.stops[stop].ways;
        let now = ways[self.way[stop]];
        let back = |way: &BladeVisit| way.enter == now.leave && way.leave == now.enter;
        ways.iter().position(back).unwrap_or(self.way[stop])
    }

    /// The length of the gaps between the stops of a stretch, and its ends, when it is turned round.
    fn stretch(&mut self, from: usize, to: usize, turned: bool) -> (f64, Point, Point) {
        self.work += to - from + 1;
        let visit = |place: usize| {
            let stop = self.order[place];
            let way = if turned { self.turned(stop) } else { self.way[stop] };
            self.stops[stop].ways[way]
        };
        let (first, last) = if turned { (to, from) } else { (from, to) };
        let mut sum = 0.0;
        for place in from..to {
            let (one, other) = (visit(place), visit(place + 1));
            sum += if turned {
                other.leave.distance(one.enter)
            } else {
                one.leave.distance(other.enter)
            };
        }
        (sum, visit(first).enter, visit(last).leave)
    }

    fn reversal(&mut self, from: usize, to: usize) -> f64 {
        let (before, after) = (self.before(from), self.at(to + 1));
        let (now, enter, leave) = self.stretch(from, to, false);
        let (then, other_enter, other_leave) = self.stretch(from, to, true);
        now + gap(before, Some(enter)) + gap(Some(leave), after)
            - then
            - gap(before, Some(other_enter))
            - gap(Some(other_leave), after)
    }

    /// What moving a stretch before a place saves, and the way of a single stop.
    fn shift(
        &mut self,
        from: usize,
        count: usize,
        before: usize,
        turned: bool,
    ) -> (f64, Option<usize>) {
        let to = from + count - 1;
        let (now, enter, leave) = self.stretch(from, to, false);
        let (last, next) = (self.before(from), self.at(to + 1));
        let saved = now + gap(last, Some(enter)) + gap(Some(leave), next) - gap(last, next);
        let (start, end) = (self.before(before), self.at(before));
        let closed = gap(start, end);
        if count == 1 {
            let stop = self.order[from];
            let now = self.stops[stop].ways[self.way[stop]].inside;
            self.work += self.stops[stop].ways.len();
            let ways = self.stops[stop].ways.iter().enumerate();
            let costs = ways.map(|(number, way)| {
                (gap(start, Some(way.enter)) + gap(Some(way.leave), end) + way.inside - now, number)
            });
            let (cost, way) = costs.min_by(|one, two| one.0.total_cmp(&two.0)).unwrap_or_default();
            return (saved + closed - cost, Some(way));
        }
        let (then, enter, leave) = self.stretch(from, to, turned);
        (saved + closed - then - gap(start, Some(enter)) - gap(Some(leave), end), None)
    }

    /// The best change near a stop.
    fn best_move(&mut self, stop: usize) -> Option<Move> {
        let here = self.place[stop];
        let last = self.order.len();
        let mut best = (GAIN, None);
        for near in 0..self.near[stop].len() {
            let there = self.place[self.near[stop][near]];
            let (low, high) = (here.min(there), here.max(there));
            for (from, to) in [(low + 1, high), (low, high - 1)] {
                if from < to {
                    let gain = self.reversal(from, to);
                    if gain > best.0 {
                        best = (gain, Some(Move::Reverse(from, to)));
                    }
                }
            }
            for count in 1..=LONGEST_MOVE {
                for from in [here, (here + 1).wrapping_sub(count)] {
                    if from >= last || from + count > last {
                        continue;
                    }
                    for before in [there, there + 1] {
                        if (from..=from + count).contains(&before) {
                            continue;
                        }
                        for turned in [false, true] {
                            if turned && count == 1 {
                                continue;
                            }
                            let (gain, way) = self.shift(from, count, before, turned);
                            if gain > best.0 {
                                let shift = Move::Shift { from, count, before, turned, way };
                                best = (gain, Some(shift));
                            }
                        }
                    }
                }
            }
        }
        best.1
    }

    /// Makes a change; returns the places between which stops have moved.
    fn make(&mut self, change: Move) -> [usize; 2] {
        let (low, high) = match change {
            Move::Reverse(from, to) => {
                self.turn_round(from, to);
                (from, to)
            }
            Move::Shift { from, count, before, turned, way } => {
                if let Some(way) = way {
                    self.way[self.order[from]] = way;
                } else if turned {
                    self.turn_round(from, from + count - 1);
                }
                if before > from {
                    self.order[from..before].rotate_left(count);
                    (from, before - 1)
                } else {
                    self.order[before..from + count].rotate_right(count);
                    (before, from + count - 1)
                }
            }
        };
        for place in low..=high {
            self.place[self.order[place]] = place;
        }
        self.work += high - low + 1;
        [low, high]
    }

    fn turn_round(&mut self, from: usize, to: usize) {
        for place in from..=to {
            let stop = self.order[place];
            self.way[stop] = self.turned(stop);
        }
        self.order[from..=to].reverse();
    }

    /// Makes changes that help, near the stops given and then near those they touch.
    fn improve_near(&mut self, mut queue: Vec<usize>) {
        let mut waiting = vec![false; self.stops.len()];
        queue.iter().for_each(|&stop| waiting[stop] = true);
        while let Some(stop) = queue.pop() {
            waiting[stop] = false;
            while self.work < MOST_WORK
                && let Some(change) = self.best_move(stop)
            {
                let [low, high] = self.make(change);
                let last = self.order.len() - 1;
                let ends = [low.saturating_sub(1), low, high, (high + 1).min(last)];
                for touched in ends.map(|place| self.order[place]) {
                    if !waiting[touched] {
                        waiting[touched] = true;
                        queue.push(touched);
                    }
                }
            }
        }
    }

    fn improve(&mut self) {
        loop {
            let stops: Vec<usize> = self.order.iter().rev().copied().collect();
            self.improve_near(stops);
            let length = self.length();
            self.choose_ways();
            if self.length() >= length - GAIN {
                return;
            }
        }
    }

    /// Exchanges two neighbouring stretches at random and improves; takes it back unless that helped.
    fn kick(&mut self) {
        let count = self.order.len();
        if count < 8 {
            return;
        }
        let mut best = self.length();
        for _ in 0..count * KICKS {
            if self.work >= MOST_WORK {
                break;
            }
            let reach = KICK_REACH.min(count / 3);
            let [one, two] = [1 + self.chance.place(reach), 1 + self.chance.place(reach)];
            let start = self.chance.place(count - one - two + 1);
            let kept = (self.order.clone(), self.way.clone());
            self.order[start..start + one + two].rotate_left(one);
            self.number(start);
            let ends = [start, start + two - 1, start + two, start + one + two - 1];
            let mut touched: Vec<usize> = ends.map(|place| self.order[place]).to_vec();
            touched.extend(start.checked_sub(1).map(|place| self.order[place]));
            touched.extend(self.order.get(start + one + two));
            self.improve_near(touched);
            self.work += 3 * count;
            let length = self.length();
            if length < best - GAIN {
                best = length;
            } else {
                (self.order, self.way) = kept;
                self.number(0);
            }
        }
    }

    fn length(&self) -> f64 {
        let visits = (0..self.order.len()).map(|place| self.visit(place));
        let mut at = self.from;
        let mut sum = 0.0;
        for way in visits {
            sum += gap(at, Some(way.enter)) + way.inside;
            at = Some(way.leave);
        }
        sum
    }

    /// Chooses the ways anew for the order as it is, the best of all choices (dynamic programming).
    fn choose_ways(&mut self) {
        // For each way of each stop, the least length up to its end and the way before it.
        let mut table: Vec<Vec<(f64, usize)>> = Vec::with_capacity(self.order.len());
        for (place, &stop) in self.order.iter().enumerate() {
            let last = place.checked_sub(1).map(|last| (&table[last], self.order[last]));
            let reached = self.stops[stop].ways.iter().map(|way| {
                let (cost, before) = match last {
                    None => (gap(self.from, Some(way.enter)), 0),
                    Some((costs, stop)) => costs
                        .iter()
                        .zip(&self.stops[stop].ways)
                        .map(|((cost, _), other)| cost + other.leave.distance(way.enter))
                        .enumerate()
                        .map(|(number, cost)| (cost, number))
                        .min_by(|one, other| one.0.total_cmp(&other.0))
                        .unwrap_or_default(),
                };
                (cost + way.inside, before)
            });
            table.push(reached.collect());
        }
        let Some(last) = table.last() else { return };
        let ends = last.iter().enumerate();
        let mut way = ends.min_by(|one, two| one.1.0.total_cmp(&two.1.0)).map_or(0, |end| end.0);
        for (place, costs) in table.iter().enumerate().rev() {
            self.way[self.order[place]] = way;
            way = costs[way].1;
        }
    }
}

/// The lifted way between two points; nothing where one of them isn't there.
fn gap(from: Option<Point>, to: Option<Point>) -> f64 {
    from.zip(to).map_or(0.0, |(from, to)| from.distance(to))
}
