//! The room that is left on a page: between two things, beside a piece, in a row or a column.

use crate::description::{Between, Gap, LineSpec, LineUp, Marked, Place, Text, Where, Written};
use crate::model::length::Length;

use super::super::blocks::{Frame, lined_up};
use super::super::reading::{Along, Reader};
use super::super::resolver::Resolver;
use super::asked::{Asked, Room, WAYS, clashes};
use super::ends::{End, edge_name};
use super::line::{Line, Member, Spacing};

impl<'s> Resolver<'_, 's> {
    /// Finds the pieces of all rows and columns.
    pub(in crate::layout) fn find_lines(&mut self, reader: &mut Reader<'s>) {
        let spec = reader.spec;
        for (page, name) in reader.pages.clone().into_iter().enumerate() {
            let lines = spec.page_named(name).map(|page| &page.fit[..]).unwrap_or_default();
            for line in lines {
                self.find_line(reader, page, line);
            }
        }
    }

    fn find_line(&mut self, reader: &mut Reader<'s>, page: usize, line: &'s Marked<LineSpec>) {
        let spec = &line.value;
        let place = spec.place().unwrap_or(line.place);
        let (axis, names) = match (&spec.row[..], &spec.column[..]) {
            ([], []) => {
                let help = "write `row: [one, other]` or `column: [one, other]`";
                reader.problem(line.place, "this names no pieces", help);
                return;
            }
            (row, []) => (0, row),
            ([], column) => (1, column),
            (_, _) => {
                let help = "write the column as an entry of its own";
                reader.problem(place, "this is a row and a column at once", help);
                return;
            }
        };
        let mut members = Vec::new();
        for name in names {
            let Some((member, part)) = self.named_on(reader, page, None, name) else { return };
            if part.is_some() {
                let whole = &self.blocks[member].id;
                let message =
                    format!("`{}` is a piece of `{whole}`, which is placed as one", name.value.0);
                reader.problem(name.place, message, format!("name the whole: `{whole}`"));
                return;
            }
            let elsewhere =
                self.lines.iter().any(|one| one.axis == axis && one.members.contains(&member));
            if members.contains(&member) || elsewhere {
                let what = if axis == 0 { "row" } else { "column" };
                let message = format!("`{}` stands in a {what} already", name.value.0);
                reader.problem(name.place, message, "name it once");
                return;
            }
            members.push(member);
        }
        self.lines.push(Asked {
            spec,
            place,
            axis,
            members,
            placed: None,
            under_way: false,
            unsure: false,
        });
    }

    /// The row or column in which a block stands along an axis.
    pub(in crate::layout) fn line_of(&self, index: usize, axis: usize) -> Option<usize> {
        self.lines.iter().position(|line| line.axis == axis && line.members.contains(&index))
    }

    /// Where a block begins along a row or a column.
    pub(in crate::layout) fn in_line(
        &mut self,
        reader: &mut Reader<'_>,
        (line, index): (usize, usize),
    ) -> Option<Length> {
        self.is_unsure |= self.lines[line].unsure;
        if self.lines[line].placed.is_none() && !self.lines[line].unsure {
            if self.lines[line].under_way {
                let message = "where this row or column lies depends on itself";
                let help =
                    "let it lie between edges of the page, or pieces that are placed without it";
                reader.problem(self.lines[line].place, message, help);
                return None;
            }
            self.lines[line].under_way = true;
            let unlaid = |member: &usize| self.unlaid[*member];
            let is_open = self.lines[line].members.iter().any(unlaid);
            let before = std::mem::replace(&mut self.is_unsure, is_open);
            if !is_open {
                self.solve_line(reader, line);
            }
            self.lines[line].unsure = self.is_unsure;
            self.is_unsure |= before;
        }
        let asked = &self.lines[line];
        let (room, placed) = asked.placed.as_ref()?;
        let member = asked.members.iter().position(|member| *member == index)?;
        placed.spans.get(member).map(|[start, _]| room.ends[0] + *start)
    }

    fn solve_line(&mut self, reader: &mut Reader<'_>, line: usize) {
        let (spec, place, axis) =
            (self.lines[line].spec, self.lines[line].place, self.lines[line].axis);
        let members = self.lines[line].members.clone();
        let Some(&first) = members.first() else { return };
        let page = self.page_frame();
        let room = match &spec.between {
            None => Some(page.room(axis)),
            Some(between) => match &between.value.0[..] {
                [pair] => {
                    let place = if between.place.line.is_some() { between.place } else { place };
                    self.room_between(reader, (first, &members), (pair, place), Some(axis), page)
                        .map(|(_, room)| room)
                }
                _ => {
                    let message = "a row or a column lies between two things";
                    reader.problem(between.place, message, "write one pair");
                    None
                }
            },
        };
        let Some(room) = room else { return };
        let open = members.iter().any(|&member| self.sizes[member][axis].is_none());
        let is_fit =
            |member: &usize| self.blocks[*member].fit.as_ref().is_some_and(|fit| fit.axes[axis]);
        let spacing = match spec.gap.as_ref().map(|gap| (gap, reader.value(gap))) {
            None | Some((_, None)) if members.iter().any(is_fit) => Spacing::Gap(Length::ZERO),
            None | Some((_, None | Some(Gap::Even))) if !members.iter().any(is_fit) => {
                Spacing::Even
            }
            Some((gap, Some(Gap::Given(distance)))) => {
                let written =
                    Written { value: Ok(distance), text: gap.text.clone(), place: gap.place };
                Spacing::Gap(reader.distance(Some(&written), Length::ZERO, "gap"))
            }
            Some((gap, _)) => {
                let message = "the sizes and the gaps are both left open here";
                let help = "write a gap, such as `gap: 1/8`, or sizes in place of `fit`";
                reader.problem(gap.place, message, help);
                return;
            }
            None => Spacing::Even,
        };
        let margin = reader.distance(spec.margin.as_ref(), Length::ZERO, "margin");
        let line_members = members.iter().map(|&member| Member {
            name: format!("`{}`", self.blocks[member].called()),
            size: self.sizes[member][axis],
        });
        let wanted = Line {
            axis,
            ends: room.names.clone(),
            room: room.ends[1] - room.ends[0],
            margin,
            spacing,
            members: line_members.collect(),
            units: reader.units,
        };
        match wanted.solve() {
            Ok(placed) => {
                if open {
                    for (&member, [_, long]) in members.iter().zip(&placed.spans) {
                        self.sizes[member][axis] = Some(*long);
                    }
                }
                self.lines[line].placed = Some((room, placed));
            }
            Err(clash) => clashes(reader, place, &clash),
        }
    }

    /// Where a piece that says nothing about it lies beside the first of its row or column, the other way.
    pub(in crate::layout) fn lined_up(
        &mut self,
        reader: &mut Reader<'_>,
        (line, index): (usize, usize),
        cross: usize,
    ) -> Option<(Length, f64)> {
        let first = *self.lines[line].members.first().filter(|first| **first != index)?;
        let align = reader.choice(self.lines[line].spec.align.as_ref(), LineUp::Center);
        let at = self.resolve(reader, first)[cross];
        let room = self.sizes[first][cross]? - self.sizes[index][cross]?;
        Some(lined_up(align, at, room))
    }

    /// Which point of a piece of a row or a column stays while its size changes: what it grows by is taken
    /// from what is left open there, before and behind it.
    pub(in crate::layout) fn stays_in_line(&self, (line, index): (usize, usize)) -> f64 {
        let asked = &self.lines[line];
        let Some(member) = asked.members.iter().position(|member| *member == index) else {
            return 0.0;
        };
        let axis = asked.axis;
        let is_open = |at: usize| {
            self.blocks[asked.members[at]].fit.as_ref().is_some_and(|fit| fit.axes[axis])
        };
        let all = 0..asked.members.len();
        let open = all.clone().filter(|at| is_open(*at)).count();
        let (before, whole) = if open > 0 {
            (all.filter(|at| *at < member && is_open(*at)).count(), open)
        } else if asked.spec.gap.as_ref().is_some_and(|gap| matches!(gap.value, Ok(Gap::Given(_))))
        {
            (1, 2)
        } else if asked.spec.margin.is_some() {
            (member, (all.len() - 1).max(1))
        } else {
            (member + 1, all.len() + 1)
        };
        before as f64 / whole as f64
    }

    /// Where it is written what a block lies between.
    pub(in crate::layout) fn place_of_between(&self, index: usize, at: &Where) -> Place {
        let place = at.between.as_ref().map(|between| between.place);
        place.filter(|place| place.line.is_some()).unwrap_or(self.blocks[index].place)
    }

    /// The rooms that `between` names, across and down.
    pub(in crate::layout) fn rooms_between(
        &mut self,
        reader: &mut Reader<'_>,
        index: usize,
        at: &Where,
        frame: Frame,
    ) -> [Option<Room>; 2] {
        let mut rooms = [None, None];
        let Some(between) = &at.between else { return rooms };
        let Between(pairs) = &between.value;
        let place = self.place_of_between(index, at);
        for pair in pairs {
            let found = self.room_between(reader, (index, &[index]), (pair, place), None, frame);
            let Some((axis, room)) = found else { continue };
            if rooms[axis].is_some() {
                let message = format!("`between` names two pairs {}", WAYS[axis]);
                reader.problem(place, message, "keep one across and one down");
            }
            rooms[axis] = Some(room);
        }
        rooms
    }

    /// The room between two things, along an axis or along that in which they are apart.
    fn room_between(
        &mut self,
        reader: &mut Reader<'_>,
        (index, own): (usize, &[usize]),
        (pair, place): (&[String; 2], Place),
        axis: Option<usize>,
        frame: Frame,
    ) -> Option<(usize, Room)> {
        let ends = pair.each_ref().map(|name| End::of(name));
        let axes = ends.each_ref().map(End::axis);
        let told = axes[0].or(axes[1]).or(axis);
        let [one, other] = pair;
        if axes.into_iter().flatten().chain(axis).any(|axis| Some(axis) != told) {
            let message =
                format!("nothing lies between {one} and {other}: one is across, the other down");
            reader.problem(
                place,
                message,
                "name two things beside each other, or one over the other",
            );
            return None;
        }
        let mut spans: Vec<[[Length; 2]; 2]> = Vec::new();
        let mut names: Vec<String> = Vec::new();
        for end in &ends {
            let (found, name) = match end {
                End::Edge(axis, side) => (frame, format!("the {}", edge_name(*axis, *side))),
                End::EdgeOf(_, _, piece) | End::Piece(piece) => {
                    let named = Marked { value: Text(piece.clone()), place };
                    let page = self.blocks[index].page;
                    let other = self.named_on(reader, page, Some(index), &named)?;
                    if own.contains(&other.0) {
                        let message =
                            format!("`{piece}` can't lie between itself and something else");
                        reader.problem(
                            place,
                            message,
                            "name another piece, or an edge of the page",
                        );
                        return None;
                    }
                    (self.frame_of_named(reader, other)?, format!("`{piece}`"))
                }
            };
            let mut span = [0, 1].map(|axis| [found.at[axis], found.at[axis] + found.size[axis]]);
            let mut name = name;
            if let End::Edge(axis, side) | End::EdgeOf(axis, side, _) = end {
                span[*axis] = [span[*axis][*side]; 2];
                if let End::EdgeOf(_, _, piece) = end {
                    name = format!("the {} of `{piece}`", edge_name(*axis, *side));
                }
            }
            spans.push(span);
            names.push(name);
        }
        let [first, second] = [spans.first()?, spans.get(1)?];
        // The one that lies before the other comes first.
        let ordered = |axis: usize| {
            let middle = |span: &[[Length; 2]; 2]| span[axis][0] + span[axis][1];
            if middle(second) < middle(first) { [1, 0] } else { [0, 1] }
        };
        let room = |axis: usize| {
            let [before, after] = ordered(axis);
            [spans[before][axis][1], spans[after][axis][0]]
        };
        let apart: Vec<usize> = (0..2).filter(|&axis| room(axis)[1] > room(axis)[0]).collect();
        let touching = (0..2).find(|&axis| room(axis)[1] == room(axis)[0]);
        let axis = match (told, &apart[..], touching) {
            (Some(axis), _, _) => axis,
            (None, [axis], _) => *axis,
            (None, [], Some(axis)) => axis,
            (None, [], None) => {
                let message =
                    format!("{} and {} overlap: there is no room between them", names[0], names[1]);
                reader.problem(place, message, "move one of them, or name two others");
                return None;
            }
            (None, _, _) => {
                let message =
                    format!("{} and {} lie apart both across and down", names[0], names[1]);
                let help = format!(
                    "say which edges are meant: `[right edge of {one}, left edge of {other}]`, or \
                     `[bottom edge of {one}, top edge of {other}]`"
                );
                reader.problem(place, message, help);
                return None;
            }
        };
        let names = ordered(axis).map(|place| names[place].clone());
        Some((axis, Room { ends: room(axis), names }))
    }

    /// Where a block lies in its room, and how long it is if that is to be fitted.
    pub(in crate::layout) fn in_room(
        &mut self,
        reader: &mut Reader<'_>,
        (index, axis): (usize, usize),
        room: &Room,
        at: &Where,
    ) -> Option<Length> {
        let block = &self.blocks[index];
        let margin = reader.distance(at.margin.as_ref(), Length::ZERO, "margin");
        let wanted = Line {
            axis,
            ends: room.names.clone(),
            room: room.ends[1] - room.ends[0],
            margin,
            spacing: Spacing::Gap(Length::ZERO),
            members: vec![Member {
                name: format!("`{}`", block.called()),
                size: self.sizes[index][axis],
            }],
            units: reader.units,
        };
        match wanted.solve() {
            Ok(placed) => {
                let [start, long] = *placed.spans.first()?;
                self.sizes[index][axis] = Some(long);
                // What begins at a place that is written begins there.
                let said = match axis {
                    0 => [
                        at.left.is_some() || at.right_of.is_some(),
                        at.right.is_some() || at.left_of.is_some(),
                    ],
                    _ => [
                        at.top.is_some() || at.below.is_some(),
                        at.bottom.is_some() || at.above.is_some(),
                    ],
                };
                Some(match said {
                    [true, false] => room.ends[0] + margin,
                    [false, true] => room.ends[1] - margin - long,
                    [true, true] | [false, false] => room.ends[0] + start,
                })
            }
            Err(clash) => {
                clashes(reader, block.place, &clash);
                None
            }
        }
    }

    /// The room of a piece of a size to be fitted, where no `between` says it: from what its `at` says to the
    /// far edge of the page, or of the piece that `on` names.
    pub(in crate::layout) fn room_left(
        &mut self,
        reader: &mut Reader<'_>,
        (index, axis): (usize, usize),
        at: &Where,
        frame: Frame,
    ) -> Option<Room> {
        let mut room = frame.room(axis);
        let along = [Along::Width, Along::Height][axis];
        let [start, middle, end] = match axis {
            0 => [&at.left, &at.center, &at.right],
            _ => [&at.top, &at.middle, &at.bottom],
        };
        if let Some(text) = middle.as_ref().filter(|text| text.place.line.is_some()) {
            let message = "a size can't be fitted round a middle";
            let help = "write its edges, or what it lies between";
            reader.problem(text.place, message, help);
            return None;
        }
        let gap = at.gap.as_ref().map_or(Length::ZERO, |text| reader.length(text, Along::Width));
        let beside = match axis {
            0 => [&at.right_of, &at.left_of],
            _ => [&at.below, &at.above],
        };
        let across = match axis {
            0 => [&at.below, &at.above],
            _ => [&at.right_of, &at.left_of],
        };
        for (side, name) in beside.into_iter().enumerate() {
            let Some(name) = name else { continue };
            let found = self.frame_of(reader, index, name)?;
            room.names[side] = format!("`{}`", name.value.0);
            room.ends[side] = match side {
                0 => found.at[axis] + found.size[axis] + gap,
                _ => found.at[axis] - gap,
            };
        }
        if beside.iter().all(|name| name.is_none()) {
            // Beside a piece it is as long as that piece.
            for name in across.into_iter().flatten() {
                let found = self.frame_of(reader, index, name)?;
                room.ends = [found.at[axis], found.at[axis] + found.size[axis]];
                room.names = [0, 1]
                    .map(|side| format!("the {} of `{}`", edge_name(axis, side), name.value.0));
            }
        }
        let own = |text: &Written<_>| format!("the {} at {}", ["left", "top"][axis], text.text.0);
        if let Some(text) = start {
            room.ends[0] = frame.at[axis] + reader.length(text, along);
            room.names[0] = own(text);
        }
        if let Some(text) = end {
            room.ends[1] = frame.at[axis] + frame.size[axis] - reader.length(text, along);
            room.names[1] =
                format!("{} from the {}", text.text.0, ["right edge", "bottom edge"][axis]);
        }
        Some(room)
    }
}
