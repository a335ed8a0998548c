//! Photos that are printed, nested on sheets of photo paper.

use kurbo::BezPath;

use crate::description::{Place, Problem, Problems, slug};
use crate::geometry;
use crate::layout::{Layout, PlacedPhoto};
use crate::model::length::{Length, Size};
use crate::model::{Count, Rules, Stock, Tool, Turns};
use crate::nest::{Form, Item, Job, Nested, Search};

use super::account::Account;
use super::alike;
use super::redo;
use super::sheet::{Laid, Printing, Sheet, count_of, filled, in_all, some_of, times};

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
    let sheet =
        |size: Size, count: Count| Sheet { paper: name.clone(), size, count, ..Sheet::default() };
    let alike = alike::told_once(&nested.sheets, &job.stock);
    let cut = alike
        .iter()
        .map(|cut| filled(layout, &items, cut, sheet(job.stock[cut.stock].size, times(cut))));
    let whole = whole.into_iter().map(|photo| {
        let outline = outline_of(photo);
        let laid = Laid { id: &photo.id, tool: Tool::Hand, outline: &outline };
        let sheet = sheet(photo.size, Count::of(photo.copies));
        Sheet { placed: vec![laid.at(1, [0.0; 2], 0.0)], ..sheet }
    });
    let sheets = numbered(layout, &name, cut.chain(whole), on_hand);
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

/// The sheets with their names and the numbers of their pages. Of those that are printed alike, some may be
/// on hand and some not: they become two.
fn numbered(
    layout: &Layout,
    name: &str,
    sheets: impl Iterator<Item = Sheet>,
    on_hand: Option<u32>,
) -> Vec<Sheet> {
    let (mut numbered, mut before) = (Vec::new(), 0_u32);
    for sheet in sheets {
        let count = sheet.count.get();
        let here = on_hand.map_or(count, |on_hand| on_hand.saturating_sub(before).min(count));
        for (skip, some, to_buy) in [(0, here, false), (here, count - here, true)] {
            if some == 0 {
                continue;
            }
            let page = count_of(numbered.len() + 1);
            numbered.push(named(layout, name, some_of(&sheet, skip, some), before, page, to_buy));
            before = before.saturating_add(some);
        }
    }
    numbered
}

/// A sheet of photo paper under its name, after so many others.
fn named(layout: &Layout, name: &str, sheet: Sheet, before: u32, page: u32, to_buy: bool) -> Sheet {
    let number = usize::try_from(before).unwrap_or(usize::MAX).saturating_add(1);
    let id = layout.sheet_id(name, number);
    Sheet { to_buy, printing: Some(Printing::Page(page)), ..redo::named(layout, &sheet, id) }
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
    let (needed, on_hand) = (in_all(sheets), stock.count);
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
        copies: photo.copies,
        tool: Tool::Trimmer,
        turns: Turns::Quarter,
        together: None,
    });
    let count = photos.iter().fold(0_u32, |sum, photo| sum.saturating_add(photo.copies));
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
