//! A spread as the eye takes it: what lies where, what belongs together, which colour is seen at a place.

use std::cell::OnceCell;
use std::num::NonZeroU64;
use std::rc::Rc;

use kurbo::{Point, Rect, Shape as _, Vec2};

use crate::description::Place;
use crate::geometry::{self, FLATTENING, ring_area};
use crate::layout::blocks::{Block, Content};
use crate::layout::lying::{Thing, What, lying};
use crate::layout::{Layout, PlacedPhoto};
use crate::model::Color;
use crate::picture::dots::{Dots, small_dots};

/// Dots along a photo's side that are looked at: about 20 an inch of a common print, as the eye takes it at
/// arm's length.
const DOTS: [u32; 2] = [96; 2];
/// Places that are looked at along an outline lie this far apart, in inches.
const STEP: f64 = 1.0 / 8.0;

/// Colours with their shares of an area.
pub(super) type Shades = [(Color, f64)];

/// Everything on the pages.
pub(super) struct Scene<'a> {
    pub layout: &'a Layout,
    /// Pieces and photos, lowest first.
    pub things: Vec<Thing<'a>>,
    /// What is placed as one, in the spec's order.
    pub groups: Vec<Group>,
    /// The colours of each paper with their shares of its area, the largest first.
    pub papers: Vec<Rc<Shades>>,
    /// The dots of each photo, once they were asked for.
    dots: Vec<OnceCell<Option<Dots>>>,
}

/// Places beside the outline of something, so far outside of it.
pub(super) fn beside(thing: &Thing<'_>, distance: f64) -> Vec<Point> {
    let rings = geometry::rings(&thing.outline, FLATTENING);
    let first = rings.first().map_or(0.0, ring_area);
    let mut places = Vec::new();
    for ring in &rings {
        let mut travelled = STEP / 2.0;
        for (at, &from) in ring.iter().enumerate() {
            let (from, to) = (geometry::point(from), geometry::point(ring[(at + 1) % ring.len()]));
            let along = to - from;
            let length = along.hypot();
            // What is paper lies on one side of every ring, holes too.
            let outwards =
                Vec2::new(along.y, -along.x) * (first.signum() * distance / length.max(1e-12));
            while travelled < length {
                places.push(from + along * (travelled / length) + outwards);
                travelled += STEP;
            }
            travelled -= length;
        }
    }
    places
}

/// What a group is to the eye.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    /// The page's own paper.
    Base,
    /// A panel or a strip.
    Band,
    /// A photo, or several, with their mats.
    Photo,
    /// Words of the title.
    Title,
    /// The story.
    Story,
    /// Anything else.
    Shape,
}

/// Pieces and photos that are placed as one.
#[derive(Clone, Debug)]
pub(super) struct Group {
    /// Its name in messages: `left.sky`, `title.hold`.
    pub id: String,
    pub page: usize,
    pub role: Role,
    /// Where it lies on its page, in inches.
    pub bounds: Rect,
    pub line: Option<NonZeroU64>,
    /// Its place among the elements of its page, or among the words of the title.
    pub place: usize,
    /// Whether its sides are level and it ends on its page.
    pub level: bool,
    /// Whether it is written as a cluster.
    pub cluster: bool,
    /// Where it is described.
    pub written: Place,
}

impl Group {
    /// From where to where it reaches: left to right (0) or top to bottom (1).
    pub const fn span(&self, axis: usize) -> [f64; 2] {
        let Rect { x0, y0, x1, y1 } = self.bounds;
        if axis == 0 { [x0, x1] } else { [y0, y1] }
    }
}

impl<'a> Scene<'a> {
    /// The scene that a layout shows.
    pub fn of(layout: &'a Layout) -> Self {
        let things = lying(layout);
        let groups = groups(layout, &things);
        let dots = layout.photos.iter().map(|_| OnceCell::new()).collect();
        let papers = layout.papers.iter().map(|paper| paper.shades().into()).collect();
        Self { layout, things, groups, papers, dots }
    }

    /// What is seen at a place of a page beneath all that lies as high as `order` or higher; nothing where
    /// that is not known.
    pub fn beneath(&self, page: usize, order: u32, at: Point) -> Option<Seen> {
        let lower = |thing: &&Thing<'_>| thing.page == page && thing.order < order;
        let holds = |thing: &&Thing<'_>| thing.bounds.contains(at) && thing.outline.contains(at);
        let top = self.things.iter().rev().filter(lower).find(holds)?;
        self.shades_of(top, at).map(|shades| Seen { shades, order: top.order })
    }

    fn shades_of(&self, thing: &Thing<'_>, at: Point) -> Option<Rc<Shades>> {
        let plain = |color: Color| Rc::from(vec![(color, 1.0)]);
        match thing.what {
            What::Photo(number, photo) => self.photo_color(number, photo, at).map(plain),
            What::Piece(piece) => {
                let paper = self.papers.get(piece.paper)?;
                match piece.print.as_deref() {
                    Some(print) if print.picture.is_some() => None,
                    Some(print) => {
                        let Some(ground) = print.ground else { return Some(Rc::clone(paper)) };
                        let on =
                            paper.iter().map(|(color, share)| (ground.on_paper(*color), *share));
                        Some(on.collect())
                    }
                    None => Some(Rc::clone(paper)),
                }
            }
        }
    }

    /// The colour of a print at a place of its page.
    fn photo_color(&self, number: usize, photo: &PlacedPhoto, at: Point) -> Option<Color> {
        let [width, height] = photo.size.to_inches();
        let print = geometry::rectangle(width, height);
        let Point { x, y } = geometry::laying(&print, photo.turn, photo.at).inverse() * at;
        let border = photo.border.to_inches();
        let [across, down] = [(x, width), (y, height)]
            .map(|(place, side)| (place - border) / (side - 2.0 * border).max(1e-9));
        let within = |share: f64| (0.0..1.0).contains(&share);
        if !within(across) || !within(down) {
            return Some(Color::WHITE);
        }
        let small = || {
            let framed = self.layout.picture(&photo.name)?;
            small_dots(&framed.file, &framed.crop, DOTS).ok()
        };
        let dots = self.dots.get(number)?.get_or_init(small).as_ref()?;
        dots.color(across, down)
    }

    /// The pieces of a group of the title, or of the story.
    pub fn words_of(&self, group: &Group) -> impl Iterator<Item = &Thing<'a>> + Clone {
        let is_part =
            |id: &str| id.strip_prefix(&*group.id).is_some_and(|rest| rest.starts_with('.'));
        self.things.iter().filter(move |thing| is_part(thing.id()))
    }

    /// The group that something belongs to.
    pub fn group_of(&self, thing: &Thing<'_>) -> Option<&Group> {
        self.groups.iter().find(|group| group.page == thing.page && group.written == thing.place())
    }

    /// What lies at a place of the order.
    pub fn at_order(&self, order: u32) -> Option<&Thing<'a>> {
        self.things.iter().find(|thing| thing.order == order)
    }

    /// The groups of a page that play one of some parts.
    pub fn groups_of(&self, page: usize, roles: &[Role]) -> Vec<&Group> {
        let wanted = |group: &&Group| group.page == page && roles.contains(&group.role);
        self.groups.iter().filter(wanted).collect()
    }
}

/// What is seen at a place.
pub(super) struct Seen {
    /// Its colours, with their shares where it is a pattern, the largest first.
    pub shades: Rc<Shades>,
    /// The order of what shows it.
    pub order: u32,
}

fn groups(layout: &Layout, things: &[Thing<'_>]) -> Vec<Group> {
    let Some(origin) = &layout.origin else { return Vec::new() };
    // How many elements of each page, and words of the title, came before.
    let mut places = vec![0; layout.pages.len() + 1];
    let mut groups = Vec::new();
    for block in &origin.blocks {
        let role = role(block);
        let list = if role == Role::Title { layout.pages.len() } else { block.page };
        let place = match (role, places.get_mut(list)) {
            (Role::Base | Role::Story, _) | (_, None) => 0,
            (_, Some(next)) => {
                *next += 1;
                *next - 1
            }
        };
        let is_part = |thing: &&Thing<'_>| thing.page == block.page && thing.place() == block.place;
        let bounds = things
            .iter()
            .filter(is_part)
            .map(|thing| thing.bounds)
            .reduce(|one, other| one.union(other));
        let Some(bounds) = bounds else { continue };
        let id = match role {
            Role::Title | Role::Story => block.id.clone(),
            Role::Base | Role::Band | Role::Photo | Role::Shape => {
                format!("{}.{}", layout.pages[block.page], block.id)
            }
        };
        groups.push(Group {
            id,
            page: block.page,
            role,
            bounds,
            line: block.place.line,
            place,
            level: block.turn == 0.0 && !block.across_spread,
            cluster: block.cluster,
            written: block.place,
        });
    }
    groups
}

fn role(block: &Block) -> Role {
    let is_photo = |content: &Content| matches!(content, Content::Photo { .. });
    let kind = block.parts.iter().find_map(|part| match &part.content {
        Content::Paper { kind, .. } => Some(*kind),
        Content::Photo { .. } => None,
    });
    match kind {
        _ if block.parts.iter().any(|part| is_photo(&part.content)) => Role::Photo,
        _ if block.id.starts_with("title.") => Role::Title,
        _ if block.cluster => Role::Shape,
        Some("base") => Role::Base,
        Some("journaling") => Role::Story,
        Some("panel" | "strip" | "border") => Role::Band,
        _ => Role::Shape,
    }
}
