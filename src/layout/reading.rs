//! Resolves the spec's values: lengths by its units and page, names by what it lists; and collects what is
//! wrong with them.

use crate::model::Fault;
use std::path::{Component, Path, PathBuf};

use crate::description::{
    Copies, Distance, FromText, Marked, Place, Problem, Problems, Spec, Text, UnitWord, Written,
    nearest,
};
use crate::model::length::{Length, LengthSum, Measure, Sides, Size, Units};
use crate::model::naming::nearest_file;
use crate::model::{Choice, Color, PageName, Turns, Warning};

use super::print_on_paper::cause::Alike;

/// Sides of a page that can be made: a smaller one holds nothing a blade can cut, a larger one lies on no
/// table, and its picture and its tiles at full size would not fit into memory.
const LEAST_PAGE: Length = Length::part(1, 1);
const MOST_PAGE: Length = Length::part(50, 1);
/// Sides of pages that are made: pocket cards have 3 x 4 in, the largest album pages and posters stay below
/// 40 in (common practice, no source).
const SMALL_PAGE: Length = Length::part(3, 1);
const LARGE_PAGE: Length = Length::part(40, 1);

/// What was decided of a bank whose photos end flush.
#[derive(Clone, Debug)]
pub(super) struct BankTold {
    /// In a sentence.
    pub message: String,
    /// What to write to keep it.
    pub write: Option<String>,
    /// Where it stands.
    pub place: Place,
}

/// The spec with what is needed to read its lengths: the unit and the page.
pub(super) struct Reader<'a> {
    pub spec: &'a Spec,
    pub units: Units,
    pub page: Size,
    pub pages: Vec<PageName>,
    problems: Vec<Problem>,
    warnings: Vec<Warning>,
    /// The sizes of photos that were made alike.
    pub fitted_photos: std::collections::BTreeMap<String, Size>,
    /// Banks whose photos end flush, by their ids, and what was decided.
    pub fitted_banks: std::collections::BTreeMap<String, BankTold>,
    /// Prints that were warned of, by what they have in common.
    pub prints: Vec<Alike>,
}

/// Along which side of the page a share of it is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Along {
    Width,
    Height,
}

impl<'a> Reader<'a> {
    /// Reads the unit and the page, on which every other length rests.
    pub fn new(spec: &'a Spec) -> Result<Self, Problems> {
        let units = match &spec.units {
            None => Units::Inches,
            Some(written) => match &written.value {
                Ok(UnitWord::In | UnitWord::Inch | UnitWord::Inches) => Units::Inches,
                Ok(UnitWord::Mm) => Units::Millimetres,
                Err(error) => {
                    return Err(Problem::at(written.place, &error.message, &error.help).into());
                }
            },
        };
        let pages = match (&spec.single, &spec.left, &spec.right) {
            (Some(_), None, None) => vec![PageName::Single],
            (None, Some(_), None) => vec![PageName::Left],
            (None, None, Some(_)) => vec![PageName::Right],
            (None, Some(_), Some(_)) => vec![PageName::Left, PageName::Right],
            _ => {
                return Err(Problem::at(
                    spec.name.place,
                    "the spec has no page, or both `single` and `left` or `right`",
                    "write `left:` and `right:` for a spread, or `single:` for one page",
                )
                .into());
            }
        };
        let page = Size::inches(12.0, 12.0);
        let mut reader = Self {
            spec,
            units,
            page,
            pages,
            problems: Vec::new(),
            warnings: Vec::new(),
            prints: Vec::new(),
            fitted_photos: std::collections::BTreeMap::new(),
            fitted_banks: std::collections::BTreeMap::new(),
        };
        if spec.name.value.trim().is_empty() {
            reader.problem(spec.name.place, "the name is empty", "write a name for the spread");
        }
        for doubt in &spec.doubts {
            reader.warn(Warning {
                kind: "value cut by a comment".to_owned(),
                message: doubt.message.clone(),
                help: doubt.help.clone(),
                piece: None,
                line: doubt.place.line,
            });
        }
        if let Some(text) = &spec.page {
            reader.page = reader.size(text);
            reader.stop_on_problems()?;
            reader.doubt_page(text);
        }
        reader.stop_on_problems()?;
        Ok(reader)
    }

    /// Refuses a page that no album has, and asks about one that few have: its number may be in another
    /// unit than was meant.
    fn doubt_page(&mut self, text: &Written<Sides>) {
        let [width, height] = [self.page.width, self.page.height];
        let (least, most) = (width.min(height), width.max(height));
        let written = text.text.trim();
        let other = match self.units {
            Units::Inches => "bare numbers are inches here: write `units: mm` if they are not",
            Units::Millimetres => "bare numbers are millimetres here: write `in` behind inches",
        };
        if least < LEAST_PAGE || most > MOST_PAGE {
            let message = format!("a page of `{written}` can't be made");
            let [least, most] = [LEAST_PAGE, MOST_PAGE].map(|side| side.show(self.units));
            self.problem(text.place, message, format!("write sides of {least} to {most}; {other}"));
        } else if least < SMALL_PAGE || most > LARGE_PAGE {
            let size = self.page.show(self.units);
            self.warn(Warning {
                kind: "odd page size".to_owned(),
                message: format!("is the page meant to be {size}?"),
                help: other.to_owned(),
                piece: None,
                line: text.place.line,
            });
        }
    }

    pub fn problem(&mut self, place: Place, message: impl Into<String>, help: impl Into<String>) {
        let problem = Problem::at(place, message, help);
        if !self.problems.contains(&problem) {
            self.problems.push(problem);
        }
    }

    /// Adds a warning; its number.
    pub fn warn(&mut self, warning: Warning) -> usize {
        self.warnings.push(warning);
        self.warnings.len() - 1
    }

    /// Says a warning in other words.
    pub fn reword(&mut self, number: usize, message: String) {
        if let Some(warning) = self.warnings.get_mut(number) {
            warning.message = message;
        }
    }

    pub fn take_warnings(&mut self) -> Vec<Warning> {
        std::mem::take(&mut self.warnings)
    }

    pub fn has_problems(&self) -> bool {
        !self.problems.is_empty()
    }

    pub fn stop_on_problems(&mut self) -> Result<(), Problems> {
        if self.problems.is_empty() {
            return Ok(());
        }
        Err(Problems(std::mem::take(&mut self.problems)))
    }

    /// A length along a side of the page; 0 with a problem noted when it is none.
    pub fn length(&mut self, written: &Written<LengthSum>, along: Along) -> Length {
        let read = in_units(written, self.units);
        self.on_page(read, written.place, along)
    }

    fn on_page(&mut self, read: Result<Measure, Fault>, place: Place, along: Along) -> Length {
        let side = match along {
            Along::Width => self.page.width,
            Along::Height => self.page.height,
        };
        match read {
            Ok(measure) => measure.of(side),
            Err(error) => {
                self.problem(place, error.message, error.help);
                Length::ZERO
            }
        }
    }

    /// A length that is more than 0.
    pub fn positive(&mut self, written: &Written<LengthSum>, along: Along, what: &str) -> Length {
        let read = in_units(written, self.units);
        self.more_than_nothing(read, &written.text, written.place, along, what)
    }

    fn more_than_nothing(
        &mut self,
        read: Result<Measure, Fault>,
        text: &str,
        place: Place,
        along: Along,
        what: &str,
    ) -> Length {
        let is_read = read.is_ok();
        let length = self.on_page(read, place, along);
        if is_read && length <= Length::ZERO {
            let message = format!("the {what} is `{text}`, which is not more than 0");
            self.problem(place, message, "write a length of more than 0");
        }
        length
    }

    /// A length that has nothing to do with the page, or why it is none.
    pub fn fixed(&self, written: &Written<Distance>) -> Result<Length, Fault> {
        let Distance(sum) = written.value.as_ref().map_err(Fault::clone)?;
        Ok(sum.in_units(self.units)?.of(Length::ZERO))
    }

    /// A length that is 0 or more, or `otherwise` where nothing is written.
    pub fn distance(
        &mut self,
        written: Option<&Written<Distance>>,
        otherwise: Length,
        what: &str,
    ) -> Length {
        let Some(written) = written else { return otherwise };
        let length = match self.fixed(written) {
            Ok(length) => length,
            Err(error) => {
                self.problem(written.place, error.message, error.help);
                return otherwise;
            }
        };
        if length < Length::ZERO {
            let message = format!("the {what} is `{}`, which is less than 0", &*written.text);
            self.problem(written.place, message, "write 0 or more");
            return otherwise;
        }
        length
    }

    /// A length that may be less than 0; 0 where nothing is written.
    pub fn signed(&mut self, written: Option<&Written<Distance>>, what: &str) -> Length {
        let Some(written) = written else { return Length::ZERO };
        self.fixed(written).unwrap_or_else(|error| {
            self.problem(written.place, format!("{what}: {}", error.message), error.help);
            Length::ZERO
        })
    }

    /// A size, `width x height`, both more than 0.
    pub fn size(&mut self, written: &Written<Sides>) -> Size {
        self.size_at(written, written.place)
    }

    /// A size that is told to stand at `place`.
    pub fn size_at(&mut self, written: &Written<Sides>, place: Place) -> Size {
        let sides = match &written.value {
            Ok(sides) => sides,
            Err(error) => {
                self.problem(place, &error.message, &error.help);
                return Size::default();
            }
        };
        let [wide, high] = sides.texts();
        let [width, height] = sides.in_units(self.units);
        let width = self.more_than_nothing(width, wide, place, Along::Width, "width");
        let height = self.more_than_nothing(height, high, place, Along::Height, "height");
        Size::new(width, height)
    }

    /// What was read at a place; nothing, with a problem noted, where that is no such value.
    pub fn value<T: FromText>(&mut self, written: &Written<T>) -> Option<T> {
        match &written.value {
            Ok(value) => Some(value.clone()),
            Err(error) => {
                self.problem(written.place, &error.message, &error.help);
                None
            }
        }
    }

    /// One of a few words; `otherwise` where nothing is written, or no such word.
    pub fn choice<T: Choice>(&mut self, written: Option<&Written<T>>, otherwise: T) -> T {
        written.and_then(|written| self.value(written)).unwrap_or(otherwise)
    }

    /// Degrees clockwise on the page, 0 where nothing is written.
    pub fn turn(&mut self, turn: Option<&Marked<f64>>) -> f64 {
        match turn {
            Some(turn) if turn.value.is_finite() && turn.value.abs() <= 360.0 => turn.value,
            Some(turn) => {
                self.problem(turn.place, "the turn is not within 360 degrees", "write degrees");
                0.0
            }
            None => 0.0,
        }
    }

    /// How something may be turned on a sheet, if that is written.
    pub fn turns(&mut self, written: Option<&Written<Turns>>) -> Option<Turns> {
        written.and_then(|written| self.value(written))
    }

    /// How many of something are made.
    pub fn copies(&mut self, written: Option<&Written<Copies>>) -> u32 {
        written.and_then(|written| self.value(written)).map_or(1, |Copies(copies)| copies)
    }

    /// A colour, `#rrggbb`.
    pub fn color(&mut self, written: Option<&Written<Color>>, otherwise: Color) -> Color {
        written.and_then(|written| self.value(written)).unwrap_or(otherwise)
    }

    /// The place of a paper in the spec's list.
    pub fn paper(&mut self, text: &Marked<Text>) -> usize {
        let names: Vec<&str> = self.spec.papers.keys().collect();
        if let Some(paper) = names.iter().position(|name| *name == &*text.value.0) {
            return paper;
        }
        let help = match nearest(&text.value, names.iter().copied()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("add it under `papers:`; there are: {}", names.join(", ")),
        };
        self.problem(text.place, format!("there is no paper `{}`", &*text.value), help);
        0
    }

    /// The path of a file that the spec names. It may lie below the spec's folder, never elsewhere.
    pub fn file_beside(&mut self, folder: &Path, file: &Marked<Text>) -> Option<PathBuf> {
        let name = Path::new(&*file.value.0);
        let inside =
            name.components().all(|part| matches!(part, Component::Normal(_) | Component::CurDir));
        if !inside || name.as_os_str().is_empty() {
            let message = format!("`{}` leads out of the spec's folder", &*file.value);
            self.problem(file.place, message, "copy the file beside the spec");
            return None;
        }
        let path = folder.join(name);
        if path.exists() && !path.is_file() {
            let message = format!("`{}` is not a file", &*file.value);
            self.problem(file.place, message, "name a file in the spec's folder");
            return None;
        }
        if !path.exists() {
            let message = format!("there is no file `{}`", &*file.value);
            let near = nearest_file(&path).and_then(|near| {
                let named = name.with_file_name(near);
                named.to_str().map(|named| format!("did you mean `{named}`? "))
            });
            let help = "write its path from the spec's folder";
            self.problem(file.place, message, near.unwrap_or_default() + help);
            return None;
        }
        Some(path)
    }

    /// The place of a page among the spread's pages.
    pub fn page_named(&mut self, written: Option<&Written<PageName>>, otherwise: usize) -> usize {
        let Some(written) = written else { return otherwise };
        let named = written.value.as_ref().ok();
        if let Some(page) = self.pages.iter().position(|page| Some(page) == named) {
            return page;
        }
        let message = format!("there is no page `{}`", &*written.text);
        let pages: Vec<&str> = self.pages.iter().map(|page| page.name()).collect();
        let near = nearest(&written.text, pages.iter().copied()).filter(|_| named.is_none());
        let near = near.map_or_else(String::new, |near| format!("did you mean `{near}`? "));
        let help = format!("{near}this spec has: {}", pages.join(", "));
        self.problem(written.place, message, help);
        otherwise
    }
}

/// What a length comes to, or why it is none.
fn in_units(written: &Written<LengthSum>, units: Units) -> Result<Measure, Fault> {
    let sum = written.value.as_ref().map_err(Fault::clone)?;
    sum.in_units(units)
}
