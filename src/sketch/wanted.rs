//! The photos asked for: a list of sizes, or pictures that are still to be printed.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::description::{Problem, printable, slug};
use crate::model::length::{Length, Size, Units, parse_sides};
use crate::model::naming::nearest;
use crate::model::{Facing, MOST_PHOTOS};
use crate::picture::{COARSE, PictureFile, SHARP};

use super::file::Form;
use super::notes::SIDES;
use super::prints::{self, LEVELS, Print, dots_an_inch, lost};
use crate::relations::MARKS_PER_INCH;

pub use super::notes::{NOTES, Note, Notes};
pub use super::prints::Shape;

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
    /// The point of its picture that matters most, as shares of width and height; the middle if not given.
    pub focus: Option<[f64; 2]>,
    /// The form to which its picture is cropped, where that is not its own.
    pub cropped: Option<Shape>,
    /// Its picture, to print if no size was given, and its path from where the spec will stand.
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
            focus: None,
            cropped: None,
            picture: None,
        }
    }

    /// Whether it is a picture that is still to be printed.
    pub fn is_to_print(&self) -> bool {
        self.given.is_none() && self.picture.is_some()
    }

    /// Width and height of the picture that is still to be printed, in dots.
    pub(super) fn dots(&self) -> Option<[u32; 2]> {
        let (file, _) = self.picture.as_ref().filter(|_| self.is_to_print())?;
        Some(file.seen())
    }

    /// The share of its picture that the print leaves out; 0 for prints on hand.
    pub(super) fn lost(&self) -> f64 {
        self.dots().map_or(0.0, |dots| lost(dots, self.size))
    }

    /// Dots an inch of its print, if they are fewer than a good print has.
    pub(super) fn too_few_dots(&self) -> Option<f64> {
        let dots = dots_an_inch(self.dots()?, self.size);
        (dots < SHARP).then_some(dots)
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

    /// The same picture as a common print of that level in its own form, or the largest below that has dots
    /// enough; prints on hand stay.
    #[must_use]
    pub fn at_level(&self, level: usize) -> Self {
        let Some(dots) = self.dots() else { return self.clone() };
        let print = Print::of(dots, Shape::of(dots), level);
        let Print { size, bounds } = print.unwrap_or_else(|| Print::smallest(dots));
        Self { size, bounds, cropped: None, ..self.clone() }
    }

    /// The same picture cropped to a form that is not its own, if it is large enough for that.
    pub fn as_shape(&self, shape: Shape, level: usize) -> Option<Self> {
        let dots = self.dots().filter(|dots| Shape::of(*dots) != shape)?;
        let Print { size, bounds } = Print::of(dots, shape, level)?;
        Some(Self { size, bounds, cropped: Some(shape), ..self.clone() })
    }
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
    let [least, most] = SIDES;
    if [size.width, size.height].iter().any(|side| *side < least || *side > most) {
        let message = format!("a photo of `{}` can't be placed", printable(part));
        return Err(Problem::input(message, "write sides of 1/2 in to 50 in"));
    }
    Ok(Wanted::print(name, size, facing))
}

/// The names of the pictures of a folder, in order.
pub fn names(folder: &Path) -> Result<Vec<String>, Problem> {
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
    Ok(names)
}

/// The pictures of a folder, in the order of their names, with what is noted of them; `from` is the folder as
/// the spec will name it.
pub fn folder(folder: &Path, from: &Path, notes: &Notes) -> Result<Vec<Wanted>, Problem> {
    let mut wanted: Vec<Wanted> = Vec::new();
    for name in names(folder)? {
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
        let Note { focus, facing, size } = notes.of(&name);
        let print = match size {
            Some(size) => Wanted::print(&free, size, facing),
            None => Wanted { given: None, ..Wanted::print(&free, Size::inches(1.0, 1.0), facing) },
        };
        let picture = Some((Arc::new(file), from.join(&name)));
        let photo = Wanted { focus, picture, ..print }.at_level(LEVELS - 1);
        photo.printable(&name)?;
        wanted.push(photo);
    }
    Ok(wanted)
}

impl Wanted {
    /// Why its picture can't be printed, if so.
    fn printable(&self, name: &str) -> Result<(), Problem> {
        let Some(dots) = self.dots() else { return Ok(()) };
        let [width, height] = dots;
        let no = |why: &str| {
            let message = format!("`{}` has {width} x {height} dots, {why}", printable(name));
            let help = format!(
                "take it out of the folder, or a larger copy; of a print on hand write its size in {NOTES}: \
                 `{}: {{size: 4 x 6}}`",
                printable(name)
            );
            Err(Problem::input(message, help))
        };
        if dots_an_inch(dots, self.size) < COARSE {
            return no("too few for any common print");
        }
        if !prints::keeps_enough(self.size, dots) {
            return no("too long a strip for any common print");
        }
        Ok(())
    }
}

fn too_many(photos: usize) -> Result<(), Problem> {
    if photos <= MOST_PHOTOS {
        return Ok(());
    }
    let message = format!("{photos} photos are more than two pages can hold");
    Err(Problem::input(message, format!("name {MOST_PHOTOS} at most, for one spread at a time")))
}
