//! The photos asked for: a list of sizes, or pictures that are still to be printed.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::description::{Problem, printable, slug};
use crate::model::Facing;
use crate::model::length::{Length, Size, Units, parse_sides};
use crate::model::naming::nearest;
use crate::picture::PictureFile;

use super::file::Form;
use super::relations::MARKS_PER_INCH;

/// Photos that are placed at most; more lie on no two pages.
const MOST_PHOTOS: usize = 60;
/// Prints that shops make, in marks, short side first (common practice, no source: 2 x 3, 3 x 4, 3 1/2 x 5,
/// 4 x 6, 5 x 7, 6 x 8 in), squares, and panoramas.
const PRINTS: [[i64; 2]; 6] = [[32, 48], [48, 64], [56, 80], [64, 96], [80, 112], [96, 128]];
const SQUARES: [[i64; 2]; 6] = [[32, 32], [40, 40], [48, 48], [64, 64], [80, 80], [96, 96]];
const PANORAMAS: [[i64; 2]; 6] = [[24, 64], [32, 80], [40, 112], [48, 128], [64, 160], [72, 176]];
/// How many sizes there are of each form.
pub const LEVELS: usize = PRINTS.len();
/// Sides nearer to each other than this share make a square picture; farther apart than that, a panorama.
const SQUARE: f64 = 1.12;
const PANORAMA: f64 = 1.95;
/// How much wider or higher than a common print a picture may be printed, as a share of it.
const STRETCH: i64 = 8;
/// Dots an inch of a good print; fewer are a warning of the build (common practice, no source).
const FINE: f64 = 240.0;

/// A photo to place.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// Its name in the spec.
    pub name: String,
    /// Its size as it was written, for messages.
    pub size: [i64; 2],
    /// The exact size, where it was given; it may lie between marks.
    pub given: Option<Size>,
    /// The smallest and the largest that it may become, in marks.
    pub bounds: [[i64; 2]; 2],
    /// The way people in it look.
    pub facing: Option<Facing>,
    /// The picture to print, and its path from where the spec will stand.
    pub picture: Option<(Arc<PictureFile>, PathBuf)>,
}

impl Wanted {
    /// A print on hand, which stays as it is.
    pub fn print(name: &str, size: Size, facing: Option<Facing>) -> Self {
        let up = |length: Length| {
            let mark = Length::part(1, MARKS_PER_INCH).to_nanometres();
            (length.to_nanometres() + mark - 1).div_euclid(mark)
        };
        let marks = [up(size.width), up(size.height)];
        Self {
            name: name.to_owned(),
            size: marks,
            given: Some(size),
            bounds: [marks, marks],
            facing,
            picture: None,
        }
    }

    /// Which way it stands.
    pub fn form(&self) -> Form {
        match self.size[0].cmp(&self.size[1]) {
            std::cmp::Ordering::Less => Form::Upright,
            std::cmp::Ordering::Equal => Form::Square,
            std::cmp::Ordering::Greater => Form::Level,
        }
    }

    /// The area in square marks.
    pub fn area(&self) -> f64 {
        (self.size[0] * self.size[1]) as f64
    }

    /// The same picture as a common print of that level, or the largest below that has dots enough; prints on
    /// hand stay.
    #[must_use]
    pub fn at_level(&self, level: usize) -> Self {
        let Some((file, _)) = &self.picture else { return self.clone() };
        let dots = file.seen();
        let size = (0..=level.min(LEVELS - 1))
            .rev()
            .map(|level| print_of(dots, level))
            .find(|size| size.iter().zip(dots).all(|(side, dots)| is_fine(*side, dots)))
            .unwrap_or_else(|| print_of(dots, 0));
        let least = size.map(|side| side - side / STRETCH);
        let most = [0, 1].map(|axis| {
            let most = size[axis] + size[axis] / STRETCH;
            (size[axis]..=most).rev().find(|side| is_fine(*side, dots[axis])).unwrap_or(size[axis])
        });
        Self { size, bounds: [least, most], ..self.clone() }
    }
}

fn is_fine(side: i64, dots: u32) -> bool {
    f64::from(dots) * MARKS_PER_INCH as f64 >= FINE * side as f64
}

fn print_of(dots: [u32; 2], level: usize) -> [i64; 2] {
    let [width, height] = dots.map(f64::from);
    let ratio = width.max(height) / width.min(height);
    let sizes = match ratio {
        ratio if ratio < SQUARE => &SQUARES,
        ratio if ratio > PANORAMA => &PANORAMAS,
        _ => &PRINTS,
    };
    let [short, long] = sizes[level.min(LEVELS - 1)];
    if width > height { [long, short] } else { [short, long] }
}

/// Reads a list such as `4x6, 4x6 facing left, 3 1/2 x 5`: sizes of prints, width x height, in inches unless
/// a unit is written.
///
/// ```
/// use cutleaf::model::Facing;
/// let photos = cutleaf::sketch::wanted::photos("4x6, 5x7 facing left").unwrap();
/// assert_eq!((photos[1].size, photos[1].facing), ([80, 112], Some(Facing::Left)));
/// ```
pub fn photos(list: &str) -> Result<Vec<Wanted>, Problem> {
    let parts: Vec<&str> =
        list.split([',', ';']).map(str::trim).filter(|part| !part.is_empty()).collect();
    if parts.is_empty() {
        let help = "write their sizes, width x height: \"4x6, 3x3, 3 1/2 x 5 facing left\"";
        return Err(Problem::input("no photo is named", help));
    }
    too_many(parts.len())?;
    let numbered = parts.iter().enumerate();
    numbered.map(|(number, part)| photo(part, &format!("photo-{}", number + 1))).collect()
}

fn photo(part: &str, name: &str) -> Result<Wanted, Problem> {
    let (size, facing) = match part.split_once("facing") {
        None => (part, None),
        Some((size, word)) => {
            let word = word.trim();
            let facing = Facing::ALL.into_iter().find(|facing| facing.name() == word);
            let facing = facing.ok_or_else(|| {
                let near = nearest(word, Facing::ALL.into_iter().map(Facing::name));
                let help = near
                    .map_or("write `facing left` or `facing right`".to_owned(), |near| {
                        format!("did you mean `facing {near}`?")
                    });
                Problem::input(format!("`{}`: people face left or right", printable(part)), help)
            })?;
            (size, Some(facing))
        }
    };
    let none = || {
        let message = format!("`{}` is not the size of a photo", printable(part));
        Problem::input(
            message,
            "write width x height, such as 4x6 or 3 1/2 x 5, and a comma between photos",
        )
    };
    let sides = parse_sides(size.trim(), Units::Inches).ok_or_else(none)?;
    let [width, height] = sides.map(|side| side.map(|side| side.of(Length::ZERO)));
    let size = Size::new(width.map_err(|_| none())?, height.map_err(|_| none())?);
    let [least, most] = [Length::part(1, 2), Length::part(50, 1)];
    if [size.width, size.height].iter().any(|side| *side < least || *side > most) {
        let message = format!("a photo of `{}` can't be placed", printable(part));
        return Err(Problem::input(message, "write sides of 1/2 in to 50 in"));
    }
    Ok(Wanted::print(name, size, facing))
}

/// The pictures of a folder, in the order of their names; `from` is the folder as the spec will name it.
pub fn folder(folder: &Path, from: &Path) -> Result<Vec<Wanted>, Problem> {
    let unread = |error: std::io::Error| {
        let message = format!("`{}` can't be read: {error}", folder.display());
        Problem::input(message, "name a folder of pictures, or sizes such as \"4x6, 3x3\"")
    };
    let mut names = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(unread)? {
        let path = entry.map_err(unread)?.path();
        let kind = path.extension().map(|kind| kind.to_string_lossy().to_lowercase());
        let is_picture =
            matches!(kind.as_deref(), Some("jpg" | "jpeg" | "png" | "tif" | "tiff" | "webp"));
        if is_picture && path.is_file() {
            names.extend(path.file_name().map(|name| name.to_string_lossy().into_owned()));
        }
    }
    names.sort();
    if names.is_empty() {
        let message = format!("there is no picture in `{}`", folder.display());
        let help = "put JPEG, PNG, TIFF or WebP files there, or name sizes such as \"4x6, 3x3\"";
        return Err(Problem::input(message, help));
    }
    too_many(names.len())?;
    let mut wanted: Vec<Wanted> = Vec::new();
    for name in names {
        let file = PictureFile::open(&folder.join(&name), &name).map_err(Problem::from)?;
        let stem = Path::new(&name).file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let stem = Some(slug(&stem)).filter(|stem| !stem.is_empty()).unwrap_or("photo".to_owned());
        let taken = |name: &str| wanted.iter().any(|other| other.name == name);
        let mut free = stem.clone();
        let mut number = 2;
        while taken(&free) {
            free = format!("{stem}-{number}");
            number += 1;
        }
        let photo = Wanted {
            name: free,
            size: [0, 0],
            given: None,
            bounds: [[0, 0]; 2],
            facing: None,
            picture: Some((Arc::new(file), from.join(&name))),
        };
        wanted.push(photo.at_level(LEVELS - 1));
    }
    Ok(wanted)
}

fn too_many(photos: usize) -> Result<(), Problem> {
    if photos <= MOST_PHOTOS {
        return Ok(());
    }
    let message = format!("{photos} photos are more than two pages can hold");
    Err(Problem::input(message, format!("name {MOST_PHOTOS} at most, for one spread at a time")))
}
