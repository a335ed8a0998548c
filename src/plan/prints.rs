//! Photos that are printed, nested on sheets of photo paper.

use kurbo::BezPath;

use crate::description::{Place, Problem, Problems, slug};
use crate::geometry;
use crate::layout::{Layout, PlacedPhoto};
use crate::model::length::{Length, Size};
use crate::model::{Rules, Stock, Tool, Turns};
use crate::nest::{Form, Item, Job, Nested, Search};

use super::account::Account;
use super::sheet::{Laid, Printing, Sheet, count_of, filled};

/// Paper kept free round the prints for crop marks, where that takes no sheet more.
const MARK_ROOM: Length = Length::part(3, 16);

/// The photos that are printed, on their sheets.
#[derive(Clone, Debug, Default)]
pub struct Prints {
    /// The sheets of photo paper, in the order of their pages.
    pub sheets: Vec<Sheet>,
    /// Whether there is photo paper at all: photos to print, or a stock of it.
    pub has_paper: bool,
    /// What is taken, bought and left of it, where it is said how much there was.
    pub account: Option<Account>,
}

/// Nests the photos that name a file on photo paper; or says what doesn't fit.
pub(super) fn prints(layout: &Layout, search: &Search) -> Result<Prints, Problems> {
    let printed: Vec<&PlacedPhoto> =
        layout.photos.iter().filter(|photo| layout.picture(&photo.name).is_some()).collect();
    let paper = layout.photo_paper;
    let has_paper = !printed.is_empty() || layout.photo_stock.is_some();
    let (whole, parts): (Vec<&PlacedPhoto>, Vec<&PlacedPhoto>) =
        printed.into_iter().partition(|photo| is_whole(layout, photo));
    let (job, nested) = nest(layout, search, &parts);
    // Where the border is narrower than the rim, the rim would stay white.
    let cut_short = whole.iter().filter(|photo| photo.border < paper.margin);
    let left_out = nested.left_out.iter().filter_map(|left_out| parts.get(left_out.item));
    let problems: Vec<Problem> =
        cut_short.chain(left_out).map(|photo| too_large(layout, photo)).collect();
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    let outlines: Vec<BezPath> = parts.iter().map(|photo| outline_of(photo)).collect();
    let items: Vec<Laid<'_>> = parts
        .iter()
        .zip(&outlines)
        .map(|(photo, outline)| Laid { id: &photo.id, tool: Tool::Trimmer, outline })
        .collect();
    let name = paper_name(layout);
    let on_hand = layout.photo_stock.as_ref().map(|stock| stock.count);
    let sheet = |number: u32, size: Size| Sheet {
        id: layout.sheet_id(&name, number as usize),
        paper: name.clone(),
        size,
        to_buy: on_hand.is_some_and(|on_hand| number > on_hand),
        printing: Some(Printing::Page(number)),
        ..Sheet::default()
    };
    let cut = (1..)
        .zip(&nested.sheets)
        .map(|(number, cut)| filled(layout, &items, cut, sheet(number, job.stock[cut.stock].size)));
    let mut sheets: Vec<Sheet> = cut.collect();
    let first = count_of(sheets.len()).saturating_add(1);
    sheets.extend((first..).zip(whole).map(|(number, photo)| {
        let outline = outline_of(photo);
        let laid = Laid { id: &photo.id, tool: Tool::Hand, outline: &outline };
        Sheet { placed: vec![laid.at(1, [0.0; 2], 0.0)], ..sheet(number, photo.size) }
    }));
    if layout.strict
        && let Some(problem) = lacking(layout, &sheets)
    {
        return Err(problem.into());
    }
    let account = layout.photo_stock.as_ref().map(|stock| {
        let mut account = Account::open(&name, std::slice::from_ref(stock));
        sheets.iter().for_each(|sheet| account.enter(sheet));
        account
    });
    Ok(Prints { sheets, has_paper, account })
}

/// Says that there is too little photo paper, if there is.
fn lacking(layout: &Layout, sheets: &[Sheet]) -> Option<Problem> {
    let stock = layout.photo_stock.as_ref()?;
    let lacking = sheets.iter().filter(|sheet| sheet.to_buy);
    let ids = lacking.flat_map(|sheet| &sheet.placed).map(|placed| placed.piece.as_str());
    let ids: Vec<&str> = ids.collect();
    if ids.is_empty() {
        return None;
    }
    let place = layout.photos.iter().find(|photo| ids.contains(&photo.id.as_str()));
    let size = stock.size.show(layout.units);
    let message = format!("there is not enough photo paper: no sheet for {}", ids.join(", "));
    let (needed, on_hand) = (sheets.len(), stock.count);
    let help = format!(
        "the photos need {needed} sheets of {size}, of which `photo sheets` says {on_hand}: leave out \
         `--strict` to plan with sheets to buy"
    );
    let place = place.map_or_else(Place::default, |photo| photo.place);
    Some(Problem::at(place, message, help).cannot_cut())
}

/// The name of the photo paper, which no paper of the spec has.
pub(super) fn paper_name(layout: &Layout) -> String {
    let taken = |name: &str| layout.papers.iter().any(|paper| slug(&paper.name) == slug(name));
    let numbered = (1..).map(|number| match number {
        1 => "photo paper".to_owned(),
        _ => format!("photo paper {number}"),
    });
    numbered.into_iter().find(|name| !taken(name)).unwrap_or_default()
}

fn outline_of(photo: &PlacedPhoto) -> BezPath {
    let [width, height] = photo.size.to_inches();
    geometry::rectangle(width, height)
}

/// Whether a photo is as large as a sheet of photo paper.
fn is_whole(layout: &Layout, photo: &PlacedPhoto) -> bool {
    let paper = layout.photo_paper.paper;
    photo.size == paper || photo.size.turned() == paper
}

/// The nest with room for crop marks all round, or without it where that takes fewer sheets.
fn nest(layout: &Layout, search: &Search, photos: &[&PlacedPhoto]) -> (Job, Nested) {
    let with_rim = |rim: Length| {
        let job = job(layout, photos, rim);
        let nested = search.nest(&job);
        (job, nested)
    };
    let margin = layout.photo_paper.margin;
    let roomy = with_rim(margin + MARK_ROOM);
    let tight = with_rim(margin);
    let cost =
        |(job, nested): &(Job, Nested)| (nested.left_out.len(), nested.new_sheets(&job.stock));
    if cost(&roomy) <= cost(&tight) { roomy } else { tight }
}

fn job(layout: &Layout, photos: &[&PlacedPhoto], rim: Length) -> Job {
    let items = photos.iter().map(|photo| Item {
        id: photo.id.to_string(),
        form: Form::Rectangle(photo.size),
        copies: 1,
        tool: Tool::Trimmer,
        turns: Turns::Quarter,
        together: None,
    });
    let count = count_of(photos.len());
    let stock = Stock { size: layout.photo_paper.paper, count, price: None, ..Stock::default() };
    let rules = Rules { trim_margin: rim, rim_is_paper: true, ..layout.rules };
    Job { stock: vec![stock], items: items.collect(), rules, effort: layout.effort }
}

fn too_large(layout: &Layout, photo: &PlacedPhoto) -> Problem {
    let units = layout.units;
    let paper = layout.photo_paper;
    let size = photo.size.show(units);
    let message = format!(
        "the print of `{}` is {size} and does not fit the photo paper of {}, less a rim of {}",
        photo.name,
        paper.paper.show(units),
        paper.margin.show(units)
    );
    let help = "name a larger paper with `printer: {photo paper: …}`, or write `photo margin: 0` if \
                the printer prints without borders";
    Problem::at(photo.place, message, help).cannot_cut()
}
