//! What lies on a page, in the order of glueing down, and where its number and name can be read.

use std::sync::Arc;

use kurbo::{Affine, BezPath, Rect, Shape};

use crate::draw::display_list::{Group, Item};
use crate::emit::drawing::laying_rectangle;
use crate::emit::labels::{Label, Labels, Names};
use crate::emit::printed_page::{BOLD, PLAIN, POINT, words};
use crate::geometry::boolean::polygon::Polygons;
use crate::geometry::{laying, readable, rectangle};
use crate::lettering::fonts::Font;
use crate::lettering::label::label_width;
use crate::model::PageName;
use crate::record::{Raised, Record, Tucked};

/// Type sizes of labels in points, best first; names are not printed in the last.
const SIZES: [f64; 4] = [10.0, 8.0, 6.5, 5.0];
/// Names beside nothing: each in what shows of its thing, with that much room round it, in inches.
const NAMES: Names = Names { sizes: &[], room: 0.03, rim: 0.0, all: false };
/// Gap between number and name in ems.
const GAP: f64 = 0.45;
/// Bold figures are a little wider than those of the label font.
const BOLDER: f64 = 1.1;
/// How far beyond its own edge a thing's cover is noted, in inches, so that a line on the edge is whole.
const BESIDE: f64 = 0.05;
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
    /// How it is tucked under another, if it is.
    pub tucked: Option<Tucked>,
    /// The foam it stands on, if it is raised.
    pub raised: Option<Raised>,
    /// That foam's squares on the page.
    pub foam: BezPath,
    /// Its outline on the page.
    pub path: BezPath,
    /// The faces of a folded or torn thing on the page, the lowest first.
    pub faces: Vec<BezPath>,
    /// What lies on it.
    pub covered: BezPath,
    /// Where it is labelled, if there is room.
    pub label: Option<Label>,
}

impl PagePlan {
    /// What lies on a page of a record; names keep off `marks`, where there is room beside them.
    pub fn of(record: &Record, page: PageName, font: &Arc<Font>, marks: &[Rect]) -> Self {
        let thing = |id: &str, of: &str, at: [f64; 2], turn: f64, path: BezPath| Thing {
            number: 0,
            id: id.to_owned(),
            of: of.to_owned(),
            at,
            turn,
            tucked: None,
            raised: None,
            foam: BezPath::new(),
            path,
            faces: Vec::new(),
            covered: BezPath::new(),
            label: None,
        };
        let pieces = record.drawn().filter(|piece| piece.page == page).map(|piece| {
            let outline = piece.seen();
            let lay = laying(&outline, piece.turn, piece.at);
            let faces = piece.finished().into_iter().flat_map(|finished| &finished.faces);
            let faces = faces.filter_map(|face| Some(lay * readable(&face.path)?)).collect();
            let thing = thing(&piece.id, &piece.paper, piece.at, piece.turn, lay * outline);
            let (tucked, raised) = (piece.tucked.clone(), piece.raised.clone());
            let foam = foam(raised.as_ref(), lay);
            (piece.order, Thing { faces, tucked, raised, foam, ..thing })
        });
        let photos = record.photos.iter().filter(|photo| photo.page == page).map(|photo| {
            let [width, height] = photo.size;
            let lay = laying_rectangle(photo.size, photo.turn, photo.at);
            let path = lay * rectangle(width, height);
            let thing = thing(&photo.id, "photo", photo.at, photo.turn, path);
            let (tucked, raised) = (photo.tucked.clone(), photo.raised.clone());
            let foam = foam(raised.as_ref(), lay);
            (photo.order, Thing { tucked, raised, foam, ..thing })
        });
        let mut things: Vec<(u32, Thing)> = pieces.chain(photos).collect();
        things.sort_by_key(|(order, _)| *order);
        let things = (1..).zip(things).map(|(number, (_, thing))| Thing { number, ..thing });
        let mut things: Vec<Thing> = things.collect();
        place_labels(record.page, &mut things, font, marks);
        Self { page: page.name().to_owned(), things }
    }
}

/// The squares of foam on the page, under a piece that lies there by `lay`.
fn foam(raised: Option<&Raised>, lay: Affine) -> BezPath {
    let squares = raised.into_iter().flat_map(|raised| {
        let square = rectangle(raised.square, raised.square);
        let half = raised.square / 2.0;
        raised.at.iter().map(move |[x, y]| Affine::translate((x - half, y - half)) * &square)
    });
    lay * squares.fold(BezPath::new(), |mut all, square| {
        all.extend(square);
        all
    })
}

/// A label with its number bold.
pub(super) fn drawn<'a>(label: &Label, font: &Font) -> Item<'a> {
    let at = |from_left: f64| [from_left - label.width / 2.0, label.baseline()];
    let (number, name) = label.text.split_once(' ').unwrap_or((&label.text, ""));
    let size = label.size / POINT;
    let name_at = label.width - label_width(&font.with_its_stand_ins(), name) * label.size;
    let number = words(BOLD, size, at(0.0), number);
    let name = (!name.is_empty()).then(|| words(PLAIN, size, at(name_at), name).into());
    Group::laid(label.lay(), std::iter::once(number.into()).chain(name).collect()).into()
}

/// Labels from the top down, each in what shows of its thing and off the others.
fn place_labels(page: [f64; 2], things: &mut [Thing], font: &Font, marks: &[Rect]) {
    let fonts = font.with_its_stand_ins();
    let em = |text: &str| match text.split_once(' ') {
        Some((number, name)) => {
            label_width(&fonts, number) * BOLDER + GAP + label_width(&fonts, name)
        }
        None => label_width(&fonts, text) * BOLDER,
    };
    let whole = rectangle(page[0], page[1]);
    let mut labels = Labels::new(NAMES, &em, whole.bounding_box());
    let whole = Polygons::within_tolerance(&whole, COARSE);
    let sizes = SIZES.map(|size| size * POINT);
    let [named @ .., _] = &sizes;
    let mut above = Polygons::default();
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
        let number = thing.number.to_string();
        let name = format!("{number} {}", thing.id);
        let mut label = |shape: &BezPath, marks: &[Rect]| {
            let label = labels.near_middle(shape, (&name, named, true), marks);
            label.or_else(|| labels.near_middle(shape, (&number, &sizes, false), marks))
        };
        thing.label = on_face
            .and_then(|shows| label(&shows, marks))
            .or_else(|| label(&shows, marks))
            .or_else(|| label(&shows, &[]));
    }
}
