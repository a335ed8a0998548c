//! What lies on a page, in the order of glueing down, and where its number and name can be read.

use std::sync::Arc;

use kurbo::{BezPath, ParamCurve, PathEl, PathSeg, Point, Rect, Shape};

use crate::emit::drawing::laying_rectangle;
use crate::geometry::boolean::polygon::Polygons;
use crate::geometry::{laying, readable, rectangle};
use crate::lettering::fonts::Font;
use crate::lettering::label::label_width;
use crate::model::PageName;
use crate::record::Record;

/// Type sizes of labels in points, best first.
const SIZES: [f64; 4] = [10.0, 8.0, 6.5, 5.0];
/// The smallest size at which a name is still worth printing.
const LEAST_FOR_NAMES: f64 = 6.5;
/// Height of capitals in ems, and room round a label in inches.
const CAPITALS: f64 = 0.72;
const ROOM: f64 = 0.04;
/// Gap between number and name in ems.
const GAP: f64 = 0.45;
/// Distance in inches of the places that are tried for a label.
const STEP: f64 = 0.125;
/// Places tried along a side, at most.
const MOST_STEPS: u32 = 120;
/// How far beyond its own edge a thing's cover is noted, in inches, so that a line on the edge is whole.
const BESIDE: f64 = 0.05;
/// What an edge may miss a line by and still be looked at, in inches: rounding.
const ROUNDING: f64 = 1e-9;
/// How far polygons may stray from their curves here, in inches.
const COARSE: f64 = 0.01;

/// A page of the spread.
pub(super) struct PagePlan {
    /// Its name.
    pub page: String,
    /// What lies on it, lowest first.
    pub things: Vec<Thing>,
}

/// A piece or photo on its page.
pub(super) struct Thing {
    /// Its place in the order, from 1.
    pub number: u32,
    /// Its id.
    pub id: String,
    /// Its paper, or `photo`.
    pub of: String,
    /// Top left of its bounding box.
    pub at: [f64; 2],
    /// Degrees clockwise.
    pub turn: f64,
    /// Its outline on the page.
    pub path: BezPath,
    /// The faces of a folded thing on the page, the lowest first.
    pub faces: Vec<BezPath>,
    /// What lies on it.
    pub covered: BezPath,
    /// Where it is labelled, if there is room.
    pub label: Option<Label>,
}

/// A number, and the name if there is room.
pub(super) struct Label {
    /// What it takes up.
    pub bounds: Rect,
    /// Type size in points.
    pub size: f64,
    /// The baseline below the top.
    pub rise: f64,
    /// Where the name begins right of the number.
    pub name_at: Option<f64>,
}

impl PagePlan {
    /// What lies on a page of a record; names keep off `marks`, where there is room beside them.
    pub fn of(record: &Record, page: PageName, font: &Arc<Font>, marks: &[Rect]) -> Self {
        let mut things: Vec<(u32, Thing)> = Vec::new();
        for piece in record.pieces.iter().filter(|piece| piece.page == page) {
            let outline = piece.seen();
            let lay = laying(&outline, piece.turn, piece.at);
            let folded = piece.folded.iter().flat_map(|folded| &folded.faces);
            let faces = folded.filter_map(|face| readable(&face.path)).collect::<Vec<_>>();
            let path = lay * outline;
            let thing = Thing {
                number: 0,
                id: piece.id.clone(),
                of: piece.paper.clone(),
                at: piece.at,
                turn: piece.turn,
                path,
                faces: faces.into_iter().map(|face| lay * face).collect(),
                covered: BezPath::new(),
                label: None,
            };
            things.push((piece.order, thing));
        }
        for photo in record.photos.iter().filter(|photo| photo.page == page) {
            let [width, height] = photo.size;
            let path =
                laying_rectangle(photo.size, photo.turn, photo.at) * rectangle(width, height);
            let thing = Thing {
                number: 0,
                id: photo.id.clone(),
                of: "photo".to_owned(),
                at: photo.at,
                turn: photo.turn,
                path,
                faces: Vec::new(),
                covered: BezPath::new(),
                label: None,
            };
            things.push((photo.order, thing));
        }
        things.sort_by_key(|(order, _)| *order);
        let mut things: Vec<Thing> = things.into_iter().map(|(_, thing)| thing).collect();
        for (number, thing) in (1..).zip(&mut things) {
            thing.number = number;
        }
        place_labels(record.page, &mut things, font, marks);
        Self { page: page.name().to_owned(), things }
    }
}

/// Labels from the top down, each in what shows of its thing and off the others.
fn place_labels(page: [f64; 2], things: &mut [Thing], font: &Font, marks: &[Rect]) {
    let whole = Polygons::within_tolerance(&rectangle(page[0], page[1]), COARSE);
    let mut above = Polygons::default();
    let mut taken: Vec<Rect> = Vec::new();
    for thing in things.iter_mut().rev() {
        let own = Polygons::within_tolerance(&thing.path, COARSE).within(&whole);
        let shows = own.without(&above).to_path();
        thing.covered = above.within(&own.offset(BESIDE)).to_path();
        above = above.with(&own);
        // Of a folded thing, rather on its topmost face than over the edge of one.
        let face = thing.faces.last().filter(|_| thing.faces.len() > 1);
        let on_face = face.map(|face| {
            let face = Polygons::within_tolerance(face, COARSE);
            Polygons::within_tolerance(&shows, COARSE).within(&face).to_path()
        });
        let clear = [marks, &taken].concat();
        thing.label = on_face
            .and_then(|shows| label(&shows, thing, font, &clear))
            .or_else(|| label(&shows, thing, font, &clear))
            .or_else(|| label(&shows, thing, font, &taken));
        taken.extend(thing.label.as_ref().map(|label| label.bounds));
    }
}

fn label(shows: &BezPath, thing: &Thing, font: &Font, taken: &[Rect]) -> Option<Label> {
    let box_of = shows.bounding_box();
    if shows.elements().is_empty() || box_of.is_zero_area() {
        return None;
    }
    let fonts = font.with_its_stand_ins();
    let ems = |text: &str| label_width(&fonts, text);
    // Bold figures are a little wider than those of the label font.
    let number = ems(&thing.number.to_string()) * 1.1;
    let name = ems(&thing.id);
    let named = SIZES.iter().filter(|size| **size >= LEAST_FOR_NAMES).map(|size| (*size, true));
    let bare = SIZES.iter().map(|size| (*size, false));
    named.chain(bare).find_map(|(size, with_name)| {
        let em = size / 72.0;
        let shift = (number + GAP) * em;
        let width = if with_name { shift + name * em } else { number * em };
        let place = place(shows, box_of, [width, CAPITALS * em], taken)?;
        Some(Label {
            bounds: place,
            size,
            rise: CAPITALS * em,
            name_at: with_name.then_some(shift),
        })
    })
}

/// The place nearest to the middle at which a box of this size lies in a shape and off what is taken.
fn place(shape: &BezPath, bounds: Rect, [width, height]: [f64; 2], taken: &[Rect]) -> Option<Rect> {
    let room = [bounds.width() - width, bounds.height() - height];
    if room.iter().any(|room| *room < 0.0) {
        return None;
    }
    let steps = room.map(|room| {
        (1..MOST_STEPS).find(|&count| room / f64::from(count) <= STEP).unwrap_or(MOST_STEPS)
    });
    let middle = Point::new(bounds.x0 + room[0] / 2.0, bounds.y0 + room[1] / 2.0);
    let is_free =
        |found: Rect| taken.iter().all(|other| !other.inflate(ROOM, ROOM).overlaps(found));
    // The distance from the middle, then the order of rows and columns; the rows in the middle come first, so
    // that most others are farther than what is found already.
    let mut nearest: Option<(f64, [u32; 2], Rect)> = None;
    for row in from_the_middle(steps[1]) {
        let y = bounds.y0 + room[1] * f64::from(row) / f64::from(steps[1]);
        let mut along: Option<Along> = None;
        for column in from_the_middle(steps[0]) {
            let x = bounds.x0 + room[0] * f64::from(column) / f64::from(steps[0]);
            let at = Point::new(x, y);
            let away = at.distance_squared(middle);
            let is_farther = |(least, place, _): &(f64, [u32; 2], Rect)| {
                away.total_cmp(least).then([row, column].cmp(place)).is_ge()
            };
            if nearest.as_ref().is_some_and(is_farther) {
                continue;
            }
            let found = Rect::from_origin_size(at, (width, height));
            if !is_free(found) {
                continue;
            }
            let box_of = found.inflate(ROOM / 2.0, ROOM / 2.0);
            if along.get_or_insert_with(|| Along::new(shape, box_of)).holds(box_of) {
                nearest = Some((away, [row, column], found));
            }
        }
    }
    nearest.map(|(_, _, found)| found)
}

/// The numbers from 0 to `last`, those in the middle first.
fn from_the_middle(last: u32) -> impl Iterator<Item = u32> {
    let middle = last / 2;
    let after = (middle..=last).map(Some).chain(std::iter::repeat(None));
    let before = (0..middle).rev().map(Some).chain(std::iter::repeat(None));
    let both = after.zip(before).take_while(|(after, before)| after.is_some() || before.is_some());
    both.flat_map(|(after, before)| [after, before]).flatten()
}

/// Three lines across a shape, each with those of the shape's edges that reach it.
struct Along([(f64, BezPath); 3]);

impl Along {
    /// The top, middle and bottom of a box.
    fn new(shape: &BezPath, box_of: Rect) -> Self {
        let lines = [box_of.y0, f64::midpoint(box_of.y0, box_of.y1), box_of.y1];
        Self(lines.map(|y| {
            let reaches = |edge: &PathSeg| {
                let (one, other) = (edge.start().y, edge.end().y);
                (one.min(other) - ROUNDING..=one.max(other) + ROUNDING).contains(&y)
            };
            // Polygons: no edge is a curve that reaches farther than its ends.
            let edges = shape.segments().filter(reaches);
            let edges = edges.flat_map(|edge| [PathEl::MoveTo(edge.start()), edge.as_path_el()]);
            (y, edges.collect())
        }))
    }

    /// Whether a box of that height and place lies in the shape, looked at along the lines.
    fn holds(&self, box_of: Rect) -> bool {
        let across =
            (1..100_u32).find(|&count| box_of.width() / f64::from(count) <= 0.08).unwrap_or(100);
        self.0.iter().all(|(y, edges)| {
            (0..=across).all(|step| {
                let x = box_of.x0 + box_of.width() * f64::from(step) / f64::from(across);
                edges.winding(Point::new(x, *y)) != 0
            })
        })
    }
}
