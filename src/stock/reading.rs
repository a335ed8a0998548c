//! The text of `stock.yaml` to a [`Stock`]: values resolved, faults told with their places.

use crate::model::Fault;
use std::collections::BTreeMap;

use crate::description::{
    self, CoreColor, Distance, FileKind, FromText, Marked, Place, Problem, Problems, SheetCount,
    SheetPrice, Text, UnitWord, Written,
};
use crate::model::length::{Length, Sides, Size, Units};
use crate::model::naming::{nearest, slug};
use crate::model::{Choice, Color, Pattern, Price};

use super::file::{Corners, OffcutEntry, PaperEntry, PatternEntry, StockFile};
use super::labels;
use super::paper::{Offcut, Sheets, Stock, StockPaper, key};
use super::shape::Shape;

/// How messages speak of the file.
pub(super) const STOCK: FileKind = FileKind {
    name: "stock file",
    too_long: "leave out papers and offcuts that are gone",
    begin: "`papers:`; `cutleaf stock init` writes one to fill in",
    keys: "docs/stock.md lists every key",
};
/// Papers and offcuts that a stock may list: more than a shop for paper stocks of one maker.
const MOST_ENTRIES: usize = 2_000;
/// Letters of a label or a name.
const MOST_LETTERS: usize = 60;
/// The thickest paper: five times the heaviest cardstock, which has about 0.02 in (common practice, no
/// source).
const THICKEST: Length = Length::part(1, 10);
/// Endings of names of picture files.
const PICTURES: [&str; 7] = [".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".svg"];

/// Reads the user's file.
pub(super) fn parse(text: &str) -> Result<Stock, Problems> {
    let (file, doubts) = description::read::<StockFile>(text, &STOCK)?;
    let mut reader = Reader { units: Units::Inches, problems: Vec::new() };
    for doubt in doubts {
        reader.problem(doubt.place, doubt.message, doubt.help);
    }
    if let Some(UnitWord::Mm) = file.units.as_ref().and_then(|units| reader.value(units)) {
        reader.units = Units::Millimetres;
    }
    let papers = file.papers.as_ref().map(|papers| &papers.entries[..]).unwrap_or_default();
    let offcuts = file.offcuts.as_deref().unwrap_or_default();
    if papers.len().max(offcuts.len()) > MOST_ENTRIES {
        let message = format!("there are more than {MOST_ENTRIES} papers or offcuts");
        return Err(Problem::input(message, STOCK.too_long).into());
    }
    let papers = reader.papers(papers);
    let offcuts = reader.offcuts(offcuts, &papers);
    if reader.problems.is_empty() {
        Ok(Stock { units: reader.units, papers, offcuts, folder: None })
    } else {
        Err(Problems(reader.problems))
    }
}

struct Reader {
    units: Units,
    problems: Vec<Problem>,
}

impl Reader {
    fn problem(&mut self, place: Place, message: impl Into<String>, help: impl Into<String>) {
        self.problems.push(Problem::at(place, message, help));
    }

    fn fault(&mut self, place: Place, Fault { message, help }: Fault) {
        self.problem(place, message, help);
    }

    fn value<T: FromText>(&mut self, written: &Written<T>) -> Option<T> {
        match &written.value {
            Ok(value) => Some(value.clone()),
            Err(error) => {
                self.fault(written.place, error.clone());
                None
            }
        }
    }

    fn choice<T: Choice + FromText + Default>(&mut self, written: Option<&Written<T>>) -> T {
        written.and_then(|written| self.value(written)).unwrap_or_default()
    }

    fn price(&mut self, written: Option<&Written<SheetPrice>>) -> Option<Price> {
        let SheetPrice(price) = self.value(written?)?;
        Price::new(price)
    }

    fn length(&mut self, written: &Written<Distance>) -> Option<Length> {
        let Distance(sum) = self.value(written)?;
        match sum.in_units(self.units) {
            Ok(measure) => Some(measure.of(Length::ZERO)),
            Err(error) => {
                self.fault(written.place, error);
                None
            }
        }
    }

    fn positive(&mut self, written: Option<&Written<Distance>>, what: &str) -> Option<Length> {
        let written = written?;
        let length = self.length(written)?;
        if length <= Length::ZERO {
            let message = format!("the {what} is `{}`, which is not more than 0", &*written.text);
            self.problem(written.place, message, "write a length of more than 0");
            return None;
        }
        Some(length)
    }

    fn size(&mut self, written: &Written<Sides>) -> Option<Size> {
        let sides = self.value(written)?;
        match size_in(&sides, self.units) {
            Ok(size) => Some(size),
            Err(error) => {
                self.fault(written.place, error);
                None
            }
        }
    }

    /// A name of the user's: some letters, not too many.
    fn name(&mut self, name: &str, place: Place, what: &str) -> Option<String> {
        let name = name.trim();
        let letters = name.chars().count();
        if letters == 0 || letters > MOST_LETTERS || name.chars().any(char::is_control) {
            let message = format!("`{name}` can't be the {what}");
            self.problem(place, message, format!("write 1 to {MOST_LETTERS} letters"));
            return None;
        }
        Some(name.to_owned())
    }

    fn papers(&mut self, entries: &[(Option<String>, Marked<PaperEntry>)]) -> Vec<StockPaper> {
        let mut named: BTreeMap<String, Place> = BTreeMap::new();
        let mut papers = Vec::new();
        for (keyed, entry) in entries {
            let Marked { value, place } = entry;
            let name = match (keyed, &value.name) {
                (Some(name), None) => self.name(name, *place, "name of a paper"),
                (None, Some(name)) => self.name(&name.value, name.place, "name of a paper"),
                (Some(_), Some(name)) => {
                    let help = "leave out one of the two";
                    self.problem(name.place, "the paper has its name as key already", help);
                    None
                }
                (None, None) => {
                    let help = "write `name: …`, the name that specs use for it";
                    self.problem(*place, "a paper has no name", help);
                    None
                }
            };
            let Some(name) = name else { continue };
            if let Some(earlier) = named.insert(slug(&name), *place) {
                let message = format!("the paper `{name}` stands here twice");
                let help = format!("the other is on {}: keep one of the two", earlier.named());
                self.problem(*place, message, help);
            }
            let paper = self.paper(name, value);
            papers.push(paper);
        }
        papers
    }

    fn paper(&mut self, name: String, entry: &PaperEntry) -> StockPaper {
        let (color, picture) = self.color(entry);
        let price = self.price(entry.price.as_ref());
        let caliper = self.positive(entry.caliper.as_ref(), "caliper");
        if let (Some(written), Some(caliper)) = (&entry.caliper, caliper)
            && caliper > THICKEST
        {
            let message = format!("no paper is as thick as `{}`", &*written.text);
            let help = "write its thickness as a length: cardstock sold as 12 point has 0.012 in";
            self.problem(written.place, message, help);
        }
        let mut sheets: Vec<Sheets> = Vec::new();
        for entry in entry.sheets.iter().flat_map(|sheets| &sheets.entries) {
            let Marked { value, place } = entry;
            let count = self.value(&value.count).map_or(0, |SheetCount(count)| count);
            let own = self.price(value.price.as_ref());
            let Some(size) = self.size(&value.size) else { continue };
            if sheets.iter().any(|other| other.size == size) {
                let message =
                    format!("the size {} of `{name}` stands here twice", size.show(self.units));
                self.problem(*place, message, "add the counts up in one of the two");
            }
            sheets.push(Sheets { size, count, price: own.or(price) });
        }
        let (pattern, drawn) = self.pattern(entry.pattern.as_ref(), color);
        StockPaper {
            name,
            color,
            core: entry.core.as_ref().and_then(|core| self.value(core)).map(|CoreColor(core)| core),
            picture,
            picture_size: entry.picture_size.as_ref().and_then(|size| self.size(size)),
            picture_fill: entry.picture_fill.as_ref().and_then(|fill| self.value(fill)),
            pattern: pattern.or_else(|| Some(drawn.as_ref()?.kind.name().to_owned())),
            drawn,
            kind: self.choice(entry.kind.as_ref()),
            grain: self.choice(entry.grain.as_ref()),
            caliper,
            turn: entry.turn.as_ref().and_then(|turn| self.value(turn)),
            thinnest: self.positive(entry.thinnest.as_ref(), "thinnest stroke"),
            sheets,
        }
    }

    /// What the pattern is called, or the pattern itself.
    fn pattern(
        &mut self,
        written: Option<&Marked<PatternEntry>>,
        color: Option<Color>,
    ) -> (Option<String>, Option<Pattern>) {
        match written.map(|Marked { value, place }| (value, *place)) {
            None => (None, None),
            Some((PatternEntry::Named(name), _)) => (Some(name.trim().to_owned()), None),
            Some((PatternEntry::Drawn(pattern), place)) => {
                let (units, ground) = (self.units, color.unwrap_or(Color::WHITE));
                let tell = &mut |place, fault| self.fault(place, fault);
                (None, Some(pattern.read(units, ground, place, tell)))
            }
        }
    }

    /// The colour and the picture: the key `color` takes either.
    fn color(&mut self, entry: &PaperEntry) -> (Option<Color>, Option<String>) {
        let picture = entry.picture.as_ref().map(|file| file.value.trim().to_owned());
        let Some(Marked { value: Text(written), place }) = &entry.color else {
            return (None, picture);
        };
        let lower = written.to_lowercase();
        if PICTURES.iter().any(|ending| lower.ends_with(ending)) {
            if picture.is_some() {
                let help = "write the colour as \"#rrggbb\" beside the picture";
                self.problem(*place, "the paper has two pictures", help);
            }
            return (None, picture.or_else(|| Some(written.trim().to_owned())));
        }
        (self.value(&Written::<Color>::of(written, *place)), picture)
    }

    fn offcuts(&mut self, entries: &[Marked<OffcutEntry>], papers: &[StockPaper]) -> Vec<Offcut> {
        let written = entries.iter().filter_map(|entry| entry.value.label.as_ref());
        let mut taken: Vec<String> = written.map(|label| label.value.trim().to_owned()).collect();
        let mut labelled: BTreeMap<String, Place> = BTreeMap::new();
        let mut offcuts = Vec::new();
        for Marked { value, place } in entries {
            let Some(label) = &value.label else {
                let free = labels::free(|label| taken.iter().any(|other| other == label), "");
                let message = "an offcut has no label";
                self.problem(*place, message, format!("write `label: {free}`, and on its back"));
                taken.push(free);
                continue;
            };
            let place = label.place.or(*place);
            let Some(label) = self.name(&label.value, place, "label of an offcut") else {
                continue;
            };
            if let Some(earlier) = labelled.insert(label.to_lowercase(), place) {
                let free = labels::free(|label| taken.iter().any(|other| other == label), "");
                let message = format!("two offcuts are labelled `{label}`");
                let help = format!("the other is on {}: `{free}` is free", earlier.named());
                self.problem(place, message, help);
            }
            let paper = self.known(&value.paper, papers);
            let shape = self.shape(value, place);
            let (Some(paper), Some(shape)) = (paper, shape) else { continue };
            let from = value.from.as_ref().map_or_else(String::new, |from| from.value.0.clone());
            let added = value.added.as_ref().map_or(0, |added| added.value);
            offcuts.push(Offcut { label, paper, shape, from, added });
        }
        offcuts
    }

    /// The name of a paper that is listed.
    fn known(&mut self, name: &Marked<Text>, papers: &[StockPaper]) -> Option<String> {
        let written = name.value.trim();
        let names = || papers.iter().map(|paper| paper.name.as_str());
        if names().any(|name| name == written) {
            return Some(written.to_owned());
        }
        let help = nearest(written, names()).map_or_else(
            || "list it under `papers`, with no sheets if there are none".to_owned(),
            |near| format!("did you mean `{near}`? Else list it under `papers`"),
        );
        self.problem(name.place, format!("there is no paper `{written}`"), help);
        None
    }

    fn shape(&mut self, entry: &OffcutEntry, place: Place) -> Option<Shape> {
        let holes = entry.holes.as_deref().unwrap_or_default();
        let corners = match (&entry.size, &entry.corners) {
            (Some(size), None) => Shape::rectangle(self.size(size)?).corners().to_vec(),
            (None, Some(corners)) => self.corners(corners)?,
            (Some(_), Some(corners)) => {
                let help = "keep `size` for a rectangle, `corners` for any other shape";
                self.problem(corners.place, "the offcut has a size and corners", help);
                return None;
            }
            (None, None) => {
                let help =
                    "write `size: 4 x 6`, or `corners: [[0, 0], [6, 0], …]` for other shapes";
                self.problem(place, "the offcut has no size", help);
                return None;
            }
        };
        let place = entry.corners.as_ref().map_or(place, |corners| corners.place);
        let holes: Option<Vec<_>> = holes.iter().map(|hole| self.corners(hole)).collect();
        match Shape::new(corners, holes?) {
            Ok(shape) => Some(shape),
            Err(why) => {
                let help = "go round it from corner to corner, across and down by turns";
                self.problem(place, format!("this is no shape with square sides: {why}"), help);
                None
            }
        }
    }

    fn corners(&mut self, corners: &Marked<Corners>) -> Option<Vec<[Length; 2]>> {
        let mut read = Vec::new();
        for corner in &corners.value {
            let [x, y] = &corner[..] else {
                let help =
                    "write [across, down] for each, such as [[0, 0], [6, 0], [6, 4], [0, 4]]";
                self.problem(corners.place, "a corner is two lengths", help);
                return None;
            };
            read.push([self.length(x)?, self.length(y)?]);
        }
        Some(read)
    }
}

/// A size in which no share of a page occurs, and whose sides are more than 0.
pub(super) fn size_in(sides: &Sides, units: Units) -> Result<Size, Fault> {
    let whole = sides.texts().join(" x ");
    let mut read = [Length::ZERO; 2];
    for (side, measure) in read.iter_mut().zip(sides.in_units(units)) {
        *side = measure?.of(Length::ZERO);
    }
    if sides.sums().is_some_and(|sums| sums.iter().any(|sum| sum.is_share())) {
        let message = format!("`{whole}` is a share of a page");
        return Err(Fault::new(message, "write lengths here, such as 4 1/2 x 6"));
    }
    if read.iter().any(|side| *side <= Length::ZERO) {
        let message = format!("`{whole}` is no size of paper");
        return Err(Fault::new(message, "write sides of more than 0"));
    }
    Ok(Size::new(read[0], read[1]))
}

impl Stock {
    /// Reads `stock.yaml`; or tells what is wrong with it, and where.
    pub fn parse(text: &str) -> Result<Self, Problems> {
        parse(text)
    }

    /// The sheets of a paper and size, as it lies or turned.
    pub(super) fn listed(&self, paper: &str, size: Size) -> Option<Size> {
        let paper = self.paper(paper)?;
        let found = |size: Size| paper.sheets_of(size).map(|sheets| sheets.size);
        let turned = || found(size.turned()).filter(|_| key(size) != key(size.turned()));
        found(size).or_else(turned)
    }
}
