//! A sheet as a picture of letters, for a terminal.

use kurbo::{BezPath, Point, Shape};

use crate::geometry::from_rings;
use crate::model::SheetSource;
use crate::model::length::Size;
use crate::record::{Record, Sheet};

/// Signs to an inch across, and of the smallest and the largest picture.
const SIGNS_AN_INCH: f64 = 7.0;
const FEWEST: f64 = 36.0;
const MOST: f64 = 84.0;
/// Places within a sign, down and across, at which pieces are looked for: thin ones show as well.
const PLACES: [f64; 4] = [0.125, 0.375, 0.625, 0.875];
/// How much taller a sign of a terminal is than it is wide (common practice, no source).
const TALLER: f64 = 2.0;
/// Signs for pieces, in the order in which they lie on the sheet; the last for all that follow.
const SIGNS: &str = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ#";
/// Paper that becomes no piece.
const PAPER: char = '·';

/// A sheet's name, size and source, its picture with a letter for each piece, and what the letters are.
pub fn sheet_in_letters(record: &Record, sheet: &Sheet) -> String {
    let units = record.shown_units();
    let size = |size: [f64; 2]| Size::inches(size[0], size[1]).show(units);
    let from = match record.source(sheet) {
        SheetSource::New if sheet.to_buy => "to buy".to_owned(),
        SheetSource::New => "on hand".to_owned(),
        SheetSource::Offcut(id) => format!("leftover {id}"),
        SheetSource::Middle(id) => format!("the {id}"),
        SheetSource::Part { whole, .. } => format!("cut from sheet {whole}"),
        SheetSource::FedOnce(start) => format!("printed once, free below {}", start.show(units)),
    };
    let outlines: Vec<Option<BezPath>> =
        sheet.placed.iter().map(|placed| from_rings(&placed.rings)).collect();
    let across = (sheet.size[0] * SIGNS_AN_INCH).clamp(FEWEST, MOST).round();
    let step = sheet.size[0] / across;
    let down = (sheet.size[1] / (step * TALLER)).round().max(1.0);
    let several = match sheet.count.get() {
        1 => String::new(),
        count => format!(", {count} sheets like this"),
    };
    let mut picture = format!("{}, {}, {from}{several}\n", sheet.names(), size(sheet.size));
    let line = "─".repeat(signs(across));
    picture += &format!("┌{line}┐\n");
    for row in 0..signs(down) {
        picture.push('│');
        for column in 0..signs(across) {
            let corner = [column as f64 * step, row as f64 * sheet.size[1] / down];
            picture.push(sign_in(&outlines, corner, [step, sheet.size[1] / down]));
        }
        picture.push_str("│\n");
    }
    picture += &format!("└{line}┘\n");
    for (place, placed) in sheet.placed.iter().enumerate() {
        let piece = record.pieces.iter().find(|piece| piece.id == placed.piece);
        let photo = record.photos.iter().find(|photo| photo.id == placed.piece);
        let of = piece.map(|piece| piece.size).or(photo.map(|photo| photo.size));
        let of = of.map_or_else(String::new, |of| format!(", {}", size(of)));
        picture += &format!("  {}  {}{of}\n", sign(place), placed.piece);
    }
    picture
}

/// A count of signs, which is small.
fn signs(count: f64) -> usize {
    (0_u16..).take_while(|&number| f64::from(number) < count).count()
}

fn sign(place: usize) -> char {
    SIGNS.chars().nth(place).or(SIGNS.chars().last()).unwrap_or('#')
}

/// The sign of the piece that fills the most of a cell. Where pieces lie over one another, as in another's
/// window, the later one shows.
fn sign_in(outlines: &[Option<BezPath>], corner: [f64; 2], cell: [f64; 2]) -> char {
    let mut filled: Vec<(usize, usize)> = Vec::new();
    for [x, y] in PLACES.iter().flat_map(|y| PLACES.map(|x| [x, *y])) {
        let at = Point::new(corner[0] + x * cell[0], corner[1] + y * cell[1]);
        let holds =
            |outline: &Option<BezPath>| outline.as_ref().is_some_and(|one| one.winding(at) != 0);
        let Some(place) = outlines.iter().rposition(holds) else { continue };
        match filled.iter_mut().find(|(piece, _)| *piece == place) {
            Some((_, times)) => *times += 1,
            None => filled.push((place, 1)),
        }
    }
    let most = filled.into_iter().max_by_key(|&(place, times)| (times, place));
    most.map_or(PAPER, |(place, _)| sign(place))
}
