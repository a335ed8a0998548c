//! Changes of a spec that are tried: what is written instead, and the spec with it.

use crate::description::{At, Element, LineUp, Marked, Place, Spec, Text, Where, Written};
use crate::layout::Layout;
use crate::model::length::{Length, LengthSum};

use super::scene::{Group, Role};

/// A change of one thing in a spec.
#[derive(Clone, Debug)]
pub(super) enum Change {
    /// A group moves right (0) or down (1), by less than nothing the other way.
    Move { group: Group, axis: usize, by: Length },
    /// Several groups move as one.
    MoveAll { groups: Vec<Group>, axis: usize, by: Length },
    /// A group goes to a place of a page, from the page's top left: its own page or the other one.
    Put { group: Group, page: usize, at: [Length; 2] },
    /// A group takes another paper, by place among the layout's.
    Paper { group: Group, paper: usize },
    /// The story is set larger: its type size.
    StorySize(&'static str),
    /// What is printed on a group is set larger: its type size.
    PrintSize { group: Group, size: &'static str },
    /// Two photos of equal size change places, by their names.
    Swap(String, String),
}

impl Change {
    /// What to write, and the spec with it; nothing where it can't be written so.
    pub fn written(&self, layout: &Layout) -> Option<(String, Spec)> {
        let mut spec = layout.origin.as_ref()?.spec.clone();
        let write = match self {
            Self::Move { group, axis, by } => {
                moved(at_of(&mut spec, layout, group)?, *axis, *by, layout)?
            }
            Self::MoveAll { groups, axis, by } => {
                let mut all = Vec::new();
                for group in groups {
                    let at = at_of(&mut spec, layout, group)?;
                    // What goes by another piece moves with it.
                    if !goes_by_another(at) {
                        all.push(format!("`{}` {}", group.id, moved(at, *axis, *by, layout)?));
                    }
                }
                (!all.is_empty()).then(|| all.join(", "))?
            }
            Self::Put { group, page, at } => put(&mut spec, layout, group, (*page, *at))?,
            Self::Paper { group, paper } => {
                let name = &layout.papers.get(*paper)?.name;
                let written = paper_of(&mut spec, layout, group)?;
                written.value = Text(name.clone());
                format!("paper: {name}")
            }
            Self::StorySize(size) => {
                let story = spec.journaling.as_mut()?;
                story.value.size = Some(Written::of(size, story.place));
                format!("size: {size}")
            }
            Self::PrintSize { group, size } => {
                let page = spec.page_named_mut(*layout.pages.get(group.page)?)?;
                let element = page.pieces.get_mut(group.place)?;
                let print = element.value.print_mut()?;
                print.value.size = Some(Written::of(size, print.place));
                format!("size: {size}")
            }
            Self::Swap(one, other) => {
                swap(&mut spec, layout, one, other);
                format!("`{one}` in the place of `{other}`, and `{other}` in that of `{one}`")
            }
        };
        Some((write, spec))
    }
}

fn at_of<'s>(spec: &'s mut Spec, layout: &Layout, group: &Group) -> Option<&'s mut At> {
    match group.role {
        Role::Base => None,
        Role::Title => Some(&mut spec.title.get_mut(group.place)?.value.at),
        Role::Story => Some(&mut spec.journaling.as_mut()?.value.at),
        Role::Band | Role::Photo | Role::Shape => {
            let page = spec.page_named_mut(*layout.pages.get(group.page)?)?;
            Some(page.pieces.get_mut(group.place)?.value.at_mut())
        }
    }
}

/// Whether a position is measured from another piece.
fn goes_by_another(at: &At) -> bool {
    let Where { below, above, right_of, left_of, on, .. } = &at.0;
    [below, above, right_of, left_of, on].into_iter().any(Option::is_some)
}

/// Puts a group where it is told to go; what to write.
fn put(
    spec: &mut Spec,
    layout: &Layout,
    group: &Group,
    (page, at): (usize, [Length; 2]),
) -> Option<String> {
    let [left, top] = [at[0].bare(layout.units)?, at[1].bare(layout.units)?];
    let written = |text: &str| Some(Written::of(text, Place::default()));
    *at_of(spec, layout, group)? =
        At(Where { left: written(&left), top: written(&top), ..Where::default() });
    let place = format!("at: [{left}, {top}]");
    if page == group.page {
        return Some(place);
    }
    let name = *layout.pages.get(page)?;
    match group.role {
        Role::Base | Role::Title => None,
        Role::Story => {
            spec.journaling.as_mut()?.value.page = Some(Written::of(name.name(), Place::default()));
            Some(format!("page: {name}, {place}"))
        }
        Role::Band | Role::Photo | Role::Shape => {
            let from = &mut spec.page_named_mut(*layout.pages.get(group.page)?)?.pieces;
            if group.place >= from.len() {
                return None;
            }
            let element = from.remove(group.place);
            spec.page_named_mut(name)?.pieces.push(element);
            Some(format!("`{}` under `{name}:` instead, {place}", group.id))
        }
    }
}

fn paper_of<'s>(
    spec: &'s mut Spec,
    layout: &Layout,
    group: &Group,
) -> Option<&'s mut Marked<Text>> {
    match group.role {
        Role::Base | Role::Photo | Role::Story => None,
        Role::Title => spec.title.get_mut(group.place)?.value.paper.as_mut(),
        Role::Band | Role::Shape => {
            let page = spec.page_named_mut(*layout.pages.get(group.page)?)?;
            page.pieces.get_mut(group.place)?.value.paper_mut()
        }
    }
}

/// Moves a position along an axis; what to write for it.
fn moved(at: &mut At, axis: usize, by: Length, layout: &Layout) -> Option<String> {
    let place = &mut at.0;
    let page = if axis == 0 { layout.page.width } else { layout.page.height };
    let names = [["left", "center", "right"], ["top", "middle", "bottom"]][axis];
    let [start, middle, end] = match axis {
        0 => [&mut place.left, &mut place.center, &mut place.right],
        _ => [&mut place.top, &mut place.middle, &mut place.bottom],
    };
    for (name, written, by) in [(names[0], start, by), (names[1], middle, by), (names[2], end, -by)]
    {
        if written.is_some() {
            return longer(written, page, by, layout).map(|text| format!("{name}: {text}"));
        }
    }
    let beside = [&place.right_of, &place.left_of, &place.below, &place.above].map(Option::is_some);
    let pushed = [[0, 1], [2, 3]][axis].map(|side| beside[side]);
    let is_only = beside.iter().filter(|side| **side).count() == 1;
    let lines_up = place.align.as_ref().is_none_or(|align| align.value == Ok(LineUp::Start));
    match pushed {
        [after, before] if after != before && is_only => {
            let none = || Written::of("0", Place::default());
            gap(place.gap.get_or_insert_with(none), page, if after { by } else { -by }, layout)
        }
        // Nothing is said along this axis: it begins at the page's edge.
        [false, false] if place.on.is_none() && !beside.contains(&true) && lines_up => {
            let text = by.bare(layout.units).filter(|_| by > Length::ZERO)?;
            let written = Some(Written::of(&text, Place::default()));
            *(if axis == 0 { &mut place.left } else { &mut place.top }) = written;
            Some(format!("{}: {text}", names[0]))
        }
        _ => None,
    }
}

fn gap(gap: &mut Written<LengthSum>, page: Length, by: Length, layout: &Layout) -> Option<String> {
    let mut written = Some(gap.clone());
    let text = longer(&mut written, page, by, layout)?;
    *gap = written?;
    Some(format!("gap: {text}"))
}

/// Writes a length that is longer by something, or shorter; nothing if less than nothing is left.
fn longer(
    written: &mut Option<Written<LengthSum>>,
    page: Length,
    by: Length,
    layout: &Layout,
) -> Option<String> {
    let before = written.as_ref()?;
    let length = before.value.as_ref().ok()?.in_units(layout.units).ok()?.of(page);
    let text = (length + by).bare(layout.units).filter(|_| length + by >= Length::ZERO)?;
    *written = Some(Written::of(&text, before.place));
    Some(text)
}

/// Has two photos change places.
fn swap(spec: &mut Spec, layout: &Layout, one: &str, other: &str) {
    let exchange = |name: &mut Marked<Text>| {
        if name.value.0 == one {
            name.value = Text(other.to_owned());
        } else if name.value.0 == other {
            name.value = Text(one.to_owned());
        }
    };
    for page in &layout.pages {
        for element in spec.page_named_mut(*page).into_iter().flat_map(|page| &mut page.pieces) {
            if let Element::Photo(photo) = &mut element.value {
                exchange(&mut photo.photo);
            } else if let Element::Bank(bank) = &mut element.value {
                bank.photos.iter_mut().for_each(exchange);
            }
        }
    }
}
