//! In which order cuts are made, so that the fence is set anew as seldom as can be.
//!
//! Paper that is cut along one axis is a chain: each cut frees one part at the fence, and a freed part may
//! be a chain of its own. With the fence where it stands every cut of that measure is made that can be
//! made: to put one off never helps. So what is sought is the shortest row of settings. It is found layer
//! by layer, a setting each; a measure that no paper still to be freed asks for is set at once, since it
//! has to be set once anyway. Layers are kept whole up to a number of states, and so far the row is the
//! shortest there is; beyond that the states with the least left to do go on (beam search).

use std::collections::HashSet;

/// Most states of a layer that go on.
const BEAM: usize = 128;
/// Fewer where a sheet has many cuts, so that no sheet takes long.
const SHORT_BEAM: usize = 12;
/// Cuts from which a sheet has many.
const MANY_CUTS: usize = 150;

/// Paper that is cut along one axis.
#[derive(Clone, Debug, Default)]
pub(in crate::nest) struct Chain {
    /// What is cut from it, in the order of the fixed chain.
    pub parts: Vec<Link>,
    /// Whether paper is left beyond the parts; else the last part needs no cut.
    pub leftover: bool,
    /// Whether the parts have to come in the order given.
    pub fixed: bool,
}

/// A part of a chain.
#[derive(Clone, Copy, Debug)]
pub(in crate::nest) struct Link {
    /// Its measure between fence and blade.
    pub measure: i64,
    /// The chain that it becomes, by place.
    pub then: Option<usize>,
    /// Its place in the pattern's split.
    pub place: usize,
}

/// Parts of a chain that are cut with one setting.
struct Group {
    chain: usize,
    measure: i64,
    parts: Vec<usize>,
}

struct Model<'a> {
    chains: &'a [Chain],
    groups: Vec<Group>,
    /// The groups of each chain.
    of: Vec<Vec<usize>>,
    /// The group that frees each chain, nothing for the sheet itself.
    freed_by: Vec<Option<usize>>,
}

/// What has been cut, group by group.
type State = Vec<bool>;

/// The settings in order for chains of which the first is the sheet. `fence` is how the fence stands.
pub(in crate::nest) fn settings(chains: &[Chain], fence: Option<i64>) -> Vec<i64> {
    let model = Model::new(chains);
    let cuts: usize = chains.iter().map(|chain| chain.parts.len()).sum();
    let beam = if cuts > MANY_CUTS { SHORT_BEAM } else { BEAM };
    let mut start = vec![false; model.groups.len()];
    model.settle(&mut start, &mut |_| {});
    if let Some(fence) = fence {
        model.cut(&mut start, fence);
    }
    // Steps of all ways tried: the one before, and the setting.
    let mut steps: Vec<(usize, i64)> = Vec::new();
    let mut layer: Vec<(State, usize)> = vec![(start, usize::MAX)];
    loop {
        if let Some((_, end)) = layer.iter().find(|(state, _)| state.iter().all(|&done| done)) {
            return trail(&steps, *end);
        }
        let mut known: HashSet<State> = HashSet::new();
        let mut next: Vec<(State, usize)> = Vec::new();
        for (state, before) in &layer {
            for measure in model.measures(state) {
                let mut state = state.clone();
                model.cut(&mut state, measure);
                if known.insert(state.clone()) {
                    steps.push((*before, measure));
                    next.push((state, steps.len() - 1));
                }
            }
        }
        if next.is_empty() {
            // Nothing can be cut any more: chains that nothing frees are no part of the sheet.
            return layer.first().map_or_else(Vec::new, |(_, end)| trail(&steps, *end));
        }
        if next.len() > beam {
            next.sort_by_cached_key(|(state, step)| (model.to_do(state), *step));
            next.truncate(beam);
        }
        layer = next;
    }
}

/// The order in which the parts of each chain are freed by these settings, by their place in the pattern.
pub(in crate::nest) fn orders(
    chains: &[Chain],
    fence: Option<i64>,
    settings: &[i64],
) -> Vec<Vec<usize>> {
    let model = Model::new(chains);
    let mut orders: Vec<Vec<usize>> = vec![Vec::new(); chains.len()];
    let mut state = vec![false; model.groups.len()];
    let mut tell = |group: usize| {
        let Group { chain, parts, .. } = &model.groups[group];
        orders[*chain].extend(parts.iter().map(|&part| chains[*chain].parts[part].place));
    };
    model.settle(&mut state, &mut tell);
    for &measure in fence.iter().chain(settings) {
        model.cut_and_tell(&mut state, measure, &mut tell);
    }
    orders
}

fn trail(steps: &[(usize, i64)], end: usize) -> Vec<i64> {
    let mut trail = Vec::new();
    let mut here = end;
    while let Some(&(before, measure)) = steps.get(here) {
        trail.push(measure);
        here = before;
    }
    trail.reverse();
    trail
}

impl<'a> Model<'a> {
    fn new(chains: &'a [Chain]) -> Self {
        let mut groups: Vec<Group> = Vec::new();
        let mut of = Vec::with_capacity(chains.len());
        let mut freed_by = vec![None; chains.len()];
        for (place, chain) in chains.iter().enumerate() {
            let first = groups.len();
            for (part, &Link { measure, .. }) in chain.parts.iter().enumerate() {
                let alike = groups[first..].iter_mut().find(|group| group.measure == measure);
                match alike.filter(|_| !chain.fixed) {
                    Some(group) => group.parts.push(part),
                    None => groups.push(Group { chain: place, measure, parts: vec![part] }),
                }
            }
            of.push((first..groups.len()).collect());
        }
        for (index, group) in groups.iter().enumerate() {
            for &part in &group.parts {
                if let Some(then) = chains[group.chain].parts[part].then {
                    freed_by[then] = Some(index);
                }
            }
        }
        Self { chains, groups, of, freed_by }
    }

    fn is_free(&self, state: &State, chain: usize) -> bool {
        chain == 0 || self.freed_by[chain].is_some_and(|group| state[group])
    }

    /// The groups of a chain that can be cut next, if the chain is free.
    fn open<'s>(&'s self, state: &'s State, chain: usize) -> impl Iterator<Item = usize> + 's {
        let most = if self.chains[chain].fixed { 1 } else { usize::MAX };
        self.of[chain].iter().copied().filter(|&group| !state[group]).take(most)
    }

    /// Whether the one thing left of a chain needs no cut of its own.
    fn falls_off(&self, state: &State, chain: usize) -> Option<usize> {
        let mut left = self.of[chain].iter().copied().filter(|&group| !state[group]);
        let only = left.next().filter(|_| left.next().is_none())?;
        (!self.chains[chain].leftover && self.groups[only].parts.len() == 1).then_some(only)
    }

    /// Frees what needs no cut.
    fn settle(&self, state: &mut State, tell: &mut impl FnMut(usize)) {
        loop {
            let off = (0..self.chains.len())
                .filter(|&chain| self.is_free(state, chain))
                .find_map(|chain| self.falls_off(state, chain));
            let Some(group) = off else { return };
            state[group] = true;
            tell(group);
        }
    }

    /// Makes every cut of a measure that can be made.
    fn cut(&self, state: &mut State, measure: i64) {
        self.cut_and_tell(state, measure, &mut |_| {});
    }

    /// The same; `tell` hears of each group that is freed.
    fn cut_and_tell(&self, state: &mut State, measure: i64, tell: &mut impl FnMut(usize)) {
        loop {
            let mut cut = false;
            for chain in 0..self.chains.len() {
                if !self.is_free(state, chain) {
                    continue;
                }
                let group =
                    self.open(state, chain).find(|&one| self.groups[one].measure == measure);
                if let Some(group) = group {
                    state[group] = true;
                    tell(group);
                    cut = true;
                }
                if let Some(group) = self.falls_off(state, chain) {
                    state[group] = true;
                    tell(group);
                    cut = true;
                }
            }
            if !cut {
                return;
            }
        }
    }

    /// The settings worth trying next.
    fn measures(&self, state: &State) -> Vec<i64> {
        let mut open: Vec<(i64, bool)> = Vec::new();
        let mut later: HashSet<i64> = HashSet::new();
        for chain in 0..self.chains.len() {
            let free = self.is_free(state, chain);
            let mut waiting = self.of[chain].iter().copied().filter(|&group| !state[group]);
            let ready: Vec<usize> = if free { self.open(state, chain).collect() } else { vec![] };
            for group in waiting.by_ref() {
                let Group { measure, parts, .. } = &self.groups[group];
                if !ready.contains(&group) {
                    later.insert(*measure);
                    continue;
                }
                let needed = self.chains[chain].leftover || parts.len() > 1;
                match open.iter_mut().find(|(known, _)| known == measure) {
                    Some((_, known)) => *known |= needed,
                    None => open.push((*measure, needed)),
                }
            }
        }
        let at_once = open.iter().find(|(measure, needed)| *needed && !later.contains(measure));
        match at_once {
            Some(&(measure, _)) => vec![measure],
            None => open.into_iter().map(|(measure, _)| measure).collect(),
        }
    }

    /// How much is left to do: measures that have to be set, then groups that are not cut.
    fn to_do(&self, state: &State) -> (usize, usize) {
        let left = || self.groups.iter().zip(state).filter(|(_, done)| !**done);
        let needed: HashSet<i64> = left()
            .filter(|(group, _)| self.chains[group.chain].leftover || group.parts.len() > 1)
            .map(|(group, _)| group.measure)
            .collect();
        (needed.len(), left().count())
    }
}
