//! The search for a fit.
//!
//! Photos are shared out among the banks at the least cost of being there ([`super::assignment`]), for each
//! way to fill the banks that looks promising. Where relations then contradict each other, the banks of the
//! chain are arranged otherwise; if that is not enough, its photos pay for being there and all are assigned
//! anew (combinatorial Benders cuts: Codato & Fischetti, Operations Research 54, 2006). What fits is settled
//! and ranked.

use std::collections::BTreeMap;

use crate::model::length::Size;

use super::arrangement::{Arrangement, arrangements};
use super::assignment::{NEVER, assign};
use super::contradiction::{Failure, chain_of, contradiction, failure_banks};
use super::fit::{Field, Fit, Refusal};
use super::frame::{Edges, Frame, Framed, Paper, whole};
use super::reading::{Bank, Sketch};
use super::wanted::Wanted;
use crate::relations::{Conflict, Settled};

/// Ways to fill the banks that are looked at, assigned, and tried.
const MOST_FILLINGS: usize = 4_000;
const MOST_ASSIGNED: usize = 60;
const MOST_TRIED: usize = 8;
/// Ways that are settled; the best of them is taken.
const MOST_SETTLED: usize = 2;
/// How often photos are assigned anew, and banks arranged anew, where relations contradict each other.
const MOST_REASSIGNED: usize = 3;
const MOST_REARRANGED: usize = 8;
/// How much uncovered a bank may be for mats of their own to be no better (own choice, looked at).
const OWN_MATS: f64 = 0.05;
/// The same for photos without a mat, and how narrow a photo's own mat may be, in marks.
const NO_MATS: f64 = 0.14;
const NARROW: [i64; 2] = [2, 1];
/// Swaps of photos between banks.
const MOST_SWAPS: usize = 12;
/// What arranging banks may come to while photos are swapped: the cube of its photos for each bank.
const MOST_WEIGHED: usize = 20_000_000;
/// What a photo of a contradiction pays for its bank, a mark that is too much.
const IN_THE_WAY: i64 = 500;

pub(super) fn no_way(sketch: &Sketch) -> Refusal {
    Refusal {
        sketch: sketch.name.clone(),
        message: "no way to place the photos was found".to_owned(),
        help: "leave one of them out".to_owned(),
        excess: None,
    }
}

pub(super) struct Fitter<'a> {
    pub sketch: &'a Sketch,
    pub paper: Paper,
    pub wanted: &'a [Wanted],
    pub banks: Vec<&'a Bank>,
    /// The room of each bank, as it is before photos are in it, across the whole spread.
    pub rooms: Vec<Field>,
    /// The same with as much as the other rooms can spare.
    pub roomy: Vec<Field>,
    pub frame: Frame<'a>,
}

impl<'a> Fitter<'a> {
    pub fn new(sketch: &'a Sketch, page: Size, wanted: &'a [Wanted]) -> Result<Self, Refusal> {
        let refused = |message: String, help: String| Refusal {
            sketch: sketch.name.clone(),
            message,
            help,
            excess: None,
        };
        let (least, most) = sketch.takes();
        let count = wanted.len();
        if count < least || count > most {
            let takes = match least == most {
                true => least.to_string(),
                false => format!("{least} to {most}"),
            };
            let are = if count == 1 { "is" } else { "are" };
            let message = format!("it takes {takes} photos, and {count} {are} asked for");
            let help = match count > most {
                true => format!("leave {} out, or take a sketch of more places", count - most),
                false => format!("add {}, or take a sketch of fewer places", least - count),
            };
            return Err(refused(message, help));
        }
        let paper = Paper::of(page);
        let frame = Frame::rooms(sketch, paper, false);
        let mut settled = Vec::new();
        for (axis, relations) in frame.relations.iter().enumerate() {
            let at = relations.settle().map_err(|conflict| {
                let reasons = chain_of(relations, &conflict);
                contradiction(&sketch.name, axis, conflict.excess, &reasons, &[])
            })?;
            settled.push(at);
        }
        let bank_rooms = frame.bank_rooms();
        let rooms = bank_rooms.iter().map(|(at, _)| inner(&frame.rooms[*at], &settled)).collect();
        let banks = bank_rooms.iter().map(|(_, bank)| *bank).collect();
        let roomy = Frame::rooms(sketch, paper, true);
        let at: Vec<Settled> =
            roomy.relations.iter().filter_map(|relations| relations.settle().ok()).collect();
        let roomy = bank_rooms.iter().map(|(room, _)| inner(&roomy.rooms[*room], &at)).collect();
        Ok(Self { sketch, paper, wanted, banks, rooms, roomy, frame })
    }

    pub fn fit(&self) -> Result<Fit, Refusal> {
        let mut ways: Vec<(i64, Vec<usize>)> = self
            .fillings()
            .into_iter()
            .filter_map(|filling| {
                let (cost, _) = self.assigned(&filling, &[])?;
                Some((cost, filling))
            })
            .collect();
        ways.sort();
        let mut best: Option<Fit> = None;
        let mut nearest: Option<Failure> = None;
        let mut settled = 0;
        for (_, filling) in ways.into_iter().take(MOST_TRIED) {
            match self.try_filling(&filling) {
                Ok(fit) => {
                    if best.as_ref().is_none_or(|best| fit.rank.score > best.rank.score) {
                        best = Some(fit);
                    }
                    settled += 1;
                    if settled == MOST_SETTLED {
                        break;
                    }
                }
                Err(Some(failure)) => {
                    let excess = failure.conflict.excess;
                    if nearest.as_ref().is_none_or(|one| excess < one.conflict.excess) {
                        nearest = Some(failure);
                    }
                }
                Err(None) => {}
            }
        }
        match (best, nearest) {
            (Some(best), _) => Ok(best),
            (None, Some(failure)) => {
                let Failure { axis, conflict, reasons, .. } = failure;
                Err(contradiction(&self.sketch.name, axis, conflict.excess, &reasons, self.wanted))
            }
            (None, None) => Err(no_way(self.sketch)),
        }
    }

    /// How many photos each bank holds, the ways that suit the rooms best first.
    pub fn fillings(&self) -> Vec<Vec<usize>> {
        let mut all = Vec::new();
        self.fill(self.wanted.len(), &mut Vec::new(), &mut all);
        all.sort();
        let photos: f64 = self.wanted.iter().map(Wanted::area).sum();
        let rooms: Vec<f64> = self.rooms.iter().map(|room| area(*room)).collect();
        let room: f64 = rooms.iter().sum::<f64>().max(1.0);
        let mean = photos / self.wanted.len().max(1) as f64;
        let unevenness = |filling: &Vec<usize>| {
            let shares = filling.iter().zip(&rooms);
            let off = shares.map(|(&count, area)| {
                let wanted = photos * area / room / mean;
                (count as f64 - wanted).powi(2)
            });
            off.sum::<f64>()
        };
        all.sort_by(|one, other| unevenness(one).total_cmp(&unevenness(other)));
        all.truncate(MOST_ASSIGNED);
        all
    }

    /// Fills the banks from the next one on, first with about as many photos as suit its room, until there
    /// are ways enough.
    fn fill(&self, left: usize, filling: &mut Vec<usize>, all: &mut Vec<Vec<usize>>) {
        if all.len() >= MOST_FILLINGS {
            return;
        }
        let rest = &self.banks[filling.len()..];
        let Some(bank) = rest.first() else {
            if left == 0 {
                all.push(filling.clone());
            }
            return;
        };
        let mut areas = self.rooms[filling.len()..].iter().map(|room| area(*room));
        let own = areas.next().unwrap_or_default();
        let suits = left as f64 * own / (own + areas.sum::<f64>()).max(1.0);
        let others = |of: fn(&Bank) -> usize| rest[1..].iter().map(|bank| of(bank)).sum::<usize>();
        let (least, most) = (others(|bank| bank.takes.least), others(|bank| bank.takes.most));
        let mut counts: Vec<usize> = (bank.takes.least..=bank.takes.most.min(left)).collect();
        counts.sort_by(|one, other| {
            let off = |count: &usize| (*count as f64 - suits).abs();
            off(one).total_cmp(&off(other))
        });
        for count in counts {
            if (least..=most).contains(&(left - count)) {
                filling.push(count);
                self.fill(left - count, filling, all);
                filling.pop();
            }
        }
    }

    /// Of the ways to print each photo those that suit the places best, where banks hold so many.
    pub fn suited(&self, filling: &[usize], ways: &[Vec<Wanted>]) -> Option<Vec<Wanted>> {
        let slots = slots(filling);
        let cheapest = |ways: &Vec<Wanted>, bank: usize| {
            let own = ways.first().map_or(0.0, Wanted::lost);
            let costs = ways.iter().enumerate().map(|(way, photo)| {
                (self.cost_of(photo, bank, filling[bank]) + Self::cropping(photo.lost() - own), way)
            });
            costs.min().unwrap_or((NEVER, 0))
        };
        let by_bank: Vec<Vec<(i64, usize)>> = ways
            .iter()
            .map(|ways| (0..filling.len()).map(|bank| cheapest(ways, bank)).collect())
            .collect();
        let costs: Vec<Vec<i64>> = by_bank
            .iter()
            .map(|banks| slots.iter().map(|&bank| banks[bank].0.min(NEVER)).collect())
            .collect();
        let (_, places) = assign(&costs)?;
        let chosen = places.into_iter().enumerate().map(|(photo, place)| {
            let (_, way) = by_bank[photo][slots[place]];
            ways[photo].get(way).cloned()
        });
        chosen.collect()
    }

    /// The photos of each bank at the least cost. `paid` is what photos pay for a bank besides.
    fn assigned(&self, filling: &[usize], paid: &[Vec<i64>]) -> Option<(i64, Vec<Vec<usize>>)> {
        let slots = slots(filling);
        let costs: Vec<Vec<i64>> = (0..self.wanted.len())
            .map(|photo| {
                let of = |bank: usize| {
                    let paid = paid.get(photo).map_or(0, |paid| paid[bank]);
                    (self.cost(photo, bank, filling[bank]) + paid).min(NEVER)
                };
                let by_bank: Vec<i64> = (0..filling.len()).map(of).collect();
                slots.iter().map(|&bank| by_bank[bank]).collect()
            })
            .collect();
        let (cost, places) = assign(&costs)?;
        let mut banks = vec![Vec::new(); filling.len()];
        for (photo, place) in places.into_iter().enumerate() {
            banks[slots[place]].push(photo);
        }
        Some((cost, banks))
    }

    /// A way to fill the banks, settled; or the nearest that it comes.
    fn try_filling(&self, filling: &[usize]) -> Result<Fit, Option<Failure>> {
        let mut paid = vec![vec![0; self.banks.len()]; self.wanted.len()];
        let mut nearest: Option<Failure> = None;
        for round in 0..MOST_REASSIGNED {
            let Some((_, mut banks)) = self.assigned(filling, &paid) else { break };
            if round > 0 {
                self.swap(&mut banks);
            }
            let failure = match self.arrange(&banks) {
                Ok(arranged) => return self.settled(&arranged).ok_or(None),
                Err(failure) => failure,
            };
            let photos = self.photos_named(&failure.reasons);
            for (bank, members) in banks.iter().enumerate() {
                for &photo in members.iter().filter(|photo| photos.contains(photo)) {
                    paid[photo][bank] += IN_THE_WAY * failure.conflict.excess;
                }
            }
            let excess = failure.conflict.excess;
            if nearest.as_ref().is_none_or(|one| excess < one.conflict.excess) {
                nearest = Some(failure);
            }
        }
        Err(nearest)
    }

    /// Swaps photos between banks as long as banks then suit their rooms better.
    fn swap(&self, banks: &mut [Vec<usize>]) {
        let gap = self.sketch.gap;
        // The same photos come to the same bank time and again.
        let mut known: BTreeMap<(usize, Vec<usize>), i64> = BTreeMap::new();
        let mut weighed = 0_usize;
        let mut awkward = |bank: usize, photos: &[usize]| {
            if weighed > MOST_WEIGHED {
                return NEVER;
            }
            *known.entry((bank, photos.to_vec())).or_insert_with(|| {
                weighed += photos.len().pow(3);
                let ways = arrangements(self.banks[bank].run, photos, self.wanted, gap, 0);
                ways.iter().map(|way| self.awkward(way, bank)).min().unwrap_or(NEVER)
            })
        };
        let mut now: Vec<i64> =
            banks.iter().enumerate().map(|(bank, photos)| awkward(bank, photos)).collect();
        for _ in 0..MOST_SWAPS {
            let mut best: Option<(i64, [usize; 4], [i64; 2])> = None;
            for one in 0..banks.len() {
                for other in one + 1..banks.len() {
                    for first in 0..banks[one].len() {
                        for second in 0..banks[other].len() {
                            let mut pair = [banks[one].clone(), banks[other].clone()];
                            (pair[0][first], pair[1][second]) = (pair[1][second], pair[0][first]);
                            let after = [awkward(one, &pair[0]), awkward(other, &pair[1])];
                            let gain = now[one] + now[other] - after[0] - after[1];
                            if gain > best.map_or(0, |(gain, _, _)| gain) {
                                best = Some((gain, [one, other, first, second], after));
                            }
                        }
                    }
                }
            }
            let Some((_, [one, other, first, second], after)) = best else { break };
            let kept = banks[one][first];
            banks[one][first] = banks[other][second];
            banks[other][second] = kept;
            [now[one], now[other]] = after;
        }
    }

    fn photos_named(&self, reasons: &[String]) -> Vec<usize> {
        let names = |photo: &Wanted| {
            let quoted = format!("`{}`", photo.name);
            reasons.iter().any(|reason| reason.contains(&quoted))
        };
        (0..self.wanted.len()).filter(|&photo| names(&self.wanted[photo])).collect()
    }

    /// Arranges banks so that no relation contradicts another.
    fn arrange(&self, banks: &[Vec<usize>]) -> Result<Vec<Arrangement>, Failure> {
        let gap = self.sketch.gap;
        let ways: Vec<Vec<Arrangement>> = banks
            .iter()
            .zip(&self.banks)
            .enumerate()
            .map(|(number, (photos, bank))| {
                let mut ways = arrangements(bank.run, photos, self.wanted, gap, 0);
                // Where one mat would show more than a rim, each photo gets its own.
                if bank.mat.is_some() && photos.len() > 1 {
                    let bare: Vec<Arrangement> =
                        ways.iter().map(|way| Arrangement { bare: true, ..way.clone() }).collect();
                    let narrower = NARROW.into_iter().filter(|own| *own < bank.reveal);
                    for own in std::iter::once(bank.reveal).chain(narrower) {
                        ways.extend(arrangements(bank.run, photos, self.wanted, gap, own));
                    }
                    ways.extend(bare);
                }
                ways.sort_by_cached_key(|way| self.awkward(way, number));
                ways
            })
            .collect();
        if ways.iter().any(Vec::is_empty) {
            return Err(self.failure_of_nothing());
        }
        let mut chosen = vec![0; ways.len()];
        let mut tried = vec![chosen.clone()];
        let mut nearest: Option<Failure> = None;
        for _ in 0..MOST_REARRANGED {
            let arranged: Vec<Arrangement> =
                ways.iter().zip(&chosen).map(|(ways, &way)| ways[way].clone()).collect();
            let Some(failure) = self.contradicting(&arranged) else { return Ok(arranged) };
            let axis = failure.axis;
            let next = failure_banks(&failure, &self.frame)
                .into_iter()
                .flat_map(|bank| {
                    let now = ways[bank][chosen[bank]].extent(self.wanted, gap)[axis];
                    let shorter = ways[bank].iter().enumerate().map(move |(way, arrangement)| {
                        (bank, way, arrangement.extent(self.wanted, gap)[axis] - now)
                    });
                    shorter.filter(|(_, _, change)| *change < 0).collect::<Vec<_>>()
                })
                .map(|(bank, way, change)| {
                    let mut next = chosen.clone();
                    next[bank] = way;
                    // The first that is short enough, in the order of how well they look.
                    ((-change).min(failure.conflict.excess), way, next)
                })
                .filter(|(_, _, next)| !tried.contains(next))
                .min_by_key(|(gain, way, next)| (std::cmp::Reverse(*gain), *way, next.clone()));
            if nearest.as_ref().is_none_or(|one| failure.conflict.excess < one.conflict.excess) {
                nearest = Some(failure);
            }
            let Some((_, _, next)) = next else { break };
            tried.push(next.clone());
            chosen = next;
        }
        Err(nearest.unwrap_or_else(|| self.failure_of_nothing()))
    }

    fn failure_of_nothing(&self) -> Failure {
        let conflict = Conflict { chain: Vec::new(), excess: i64::MAX / NEVER };
        Failure { axis: 0, conflict, reasons: Vec::new() }
    }

    /// How badly an arrangement suits its bank's room: marks over its sides, holes, another shape.
    fn awkward(&self, way: &Arrangement, bank: usize) -> i64 {
        let (room, usual) = (self.roomy[bank], self.banks[bank].reveal);
        let reveal = way.rim(usual);
        let holes = way.holes(self.wanted, self.sketch.gap);
        // White between mats is light; a mat of which much shows is heavy.
        let holes = match (way.own > 0, self.banks[bank].mat) {
            // A narrower mat than the sketch's is a little less.
            (true, _) => holes + OWN_MATS + 0.01 * (usual - way.own) as f64,
            (false, Some(_)) if way.bare => holes + NO_MATS,
            (false, Some(_)) => 2.0 * holes,
            (false, None) => holes,
        };
        let extent = way.extent(self.wanted, self.sketch.gap);
        let room = room.size.map(|side| (side - 2 * reveal).max(1));
        let over: i64 = (0..2).map(|axis| (extent[axis] - room[axis]).max(0)).sum();
        let shape = |size: [i64; 2]| (size[0] as f64 / size[1].max(1) as f64).ln();
        let off = (shape(extent) - shape(room)).abs();
        over * 100 + whole(600.0 * holes) + whole(150.0 * off)
    }

    fn contradicting(&self, arranged: &[Arrangement]) -> Option<Failure> {
        let frame = self.frame.clone().with_photos(self.wanted, arranged);
        let failures = (0..2).filter_map(|axis| {
            let relations = &frame.relations[axis];
            let conflict = relations.conflict()?;
            let reasons = chain_of(relations, &conflict);
            Some(Failure { axis, conflict, reasons })
        });
        failures.max_by_key(|failure| failure.conflict.excess)
    }

    fn settled(&self, arranged: &[Arrangement]) -> Option<Fit> {
        let mut frame = self.frame.clone().with_photos(self.wanted, arranged);
        frame.keep_together();
        let mut settled = [frame.relations[0].settle().ok()?, frame.relations[1].settle().ok()?];
        frame.line_up(arranged, &mut settled)?;
        // What breaks a relation on the ruler is never offered.
        if frame.relations.iter().zip(&settled).any(|(one, at)| one.broken(at.all()).is_some()) {
            return None;
        }
        Some(self.told(&frame, settled, arranged))
    }
}

/// The bank of each place.
fn slots(filling: &[usize]) -> Vec<usize> {
    let banks = filling.iter().enumerate();
    banks.flat_map(|(bank, &count)| std::iter::repeat_n(bank, count)).collect()
}

pub(super) fn field(edges: &Edges, settled: &[Settled]) -> Field {
    let place = |axis: usize, side: usize| settled[axis].at(edges[axis][side]);
    let at = [0, 1].map(|axis| place(axis, 0));
    Field { at, size: [0, 1].map(|axis| place(axis, 1) - at[axis]) }
}

/// What of a room things may cover.
pub(super) fn inner(framed: &Framed<'_>, settled: &[Settled]) -> Field {
    let Field { at, size } = field(&framed.edges, settled);
    let [across, down] = framed.pads;
    Field {
        at: [at[0] + across[0], at[1] + down[0]],
        size: [size[0] - across[0] - across[1], size[1] - down[0] - down[1]],
    }
}

fn area(field: Field) -> f64 {
    field.size[0].max(0) as f64 * field.size[1].max(0) as f64
}
