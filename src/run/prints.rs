//! Photos that are printed, nested on sheets of photo paper.

use kurbo::BezPath;

use crate::description::{Place, Problem, Problems, slug};
use crate::geometry;
use crate::layout::{Layout, PlacedPhoto};
use crate::length::Length;
use crate::nest::{Form, Item, Job, Nested, Rules, Search, Stock, Tool, Turns};
use crate::record::{PhotoPaper, Placed, Record, Sheet, StockLeft, rounded};

use super::sheets::{Laid, filled, laid};

/// Paper kept free round the prints for crop marks, where that takes no sheet more.
const MARK_ROOM: Length = Length::part(3, 16);

/// Nests the photos that name a file on photo paper, and writes the sheets into the record.
pub(super) fn print(layout: &Layout, search: &Search, record: &mut Record) -> Result<(), Problems> {
    let printed: Vec<&PlacedPhoto> =
        layout.photos.iter().filter(|photo| layout.picture(&photo.name).is_some()).collect();
    let paper = layout.photo_paper;
    if !printed.is_empty() || layout.photo_stock.is_some() {
        record.photo_paper = Some(PhotoPaper {
            size: paper.paper.to_inches().map(rounded),
            margin: rounded(paper.margin.to_inches()),
            left: None,
        });
    }
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
    let name = name.as_str();
    let sheet = |number: usize, size: [f64; 2]| Sheet {
        id: layout.sheet_id(name, number),
        paper: name.to_owned(),
        size: size.map(rounded),
        from: "new".to_owned(),
        printed: u32::try_from(number).unwrap_or(u32::MAX),
        ..Sheet::default()
    };
    for cut in &nested.sheets {
        let size = job.stock[cut.stock].size.to_inches();
        record.prints.push(filled(layout, &items, cut, sheet(record.prints.len() + 1, size)));
    }
    for photo in whole {
        let size = photo.size.to_inches();
        let placed = Placed {
            piece: photo.id.clone(),
            copy: 1,
            at: [0.0; 2],
            turn: 0.0,
            tool: Tool::Hand.name().to_owned(),
            rings: laid(&outline_of(photo), 0.0, [0.0; 2]),
        };
        let sheet = sheet(record.prints.len() + 1, size);
        record.prints.push(Sheet { placed: vec![placed], ..sheet });
    }
    bought(layout, &mut record.prints)?;
    if let (Some(stock), Some(paper)) = (&layout.photo_stock, &mut record.photo_paper) {
        let taken = record.prints.iter().filter(|sheet| !sheet.to_buy).count();
        let count = stock.count.saturating_sub(u32::try_from(taken).unwrap_or(u32::MAX));
        paper.left = Some(StockLeft { size: paper.size, count, price: stock.price });
    }
    for sheet in &mut record.prints {
        let area =
            |placed: &Placed| placed.rings.iter().map(geometry::ring_area).sum::<f64>().abs();
        let used: f64 = sheet.placed.iter().map(area).sum();
        sheet.used = rounded(used / (sheet.size[0] * sheet.size[1]));
    }
    Ok(())
}

/// Marks the sheets that have to be bought, the last ones; or says that there are too few.
fn bought(layout: &Layout, prints: &mut [Sheet]) -> Result<(), Problem> {
    let Some(stock) = &layout.photo_stock else { return Ok(()) };
    let on_hand = usize::try_from(stock.count).unwrap_or(usize::MAX);
    let needed = prints.len();
    let Some(lacking) = prints.get_mut(on_hand..).filter(|lacking| !lacking.is_empty()) else {
        return Ok(());
    };
    lacking.iter_mut().for_each(|sheet| sheet.to_buy = true);
    if !layout.strict {
        return Ok(());
    }
    let ids = lacking.iter().flat_map(|sheet| &sheet.placed).map(|placed| placed.piece.as_str());
    let ids: Vec<&str> = ids.collect();
    let place = layout.photos.iter().find(|photo| ids.contains(&photo.id.as_str()));
    let size = stock.size.show(layout.units);
    let message = format!("there is not enough photo paper: no sheet for {}", ids.join(", "));
    let help = format!(
        "the photos need {needed} sheets of {size}, of which `photo sheets` says {on_hand}: leave out \
         `--strict` to plan with sheets to buy"
    );
    Err(Problem::at(place.map_or_else(Place::default, |photo| photo.place), message, help)
        .cannot_cut())
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
    let cost = |(_, nested): &(Job, Nested)| (nested.left_out.len(), nested.sheets.len());
    if cost(&roomy) <= cost(&tight) { roomy } else { tight }
}

fn job(layout: &Layout, photos: &[&PlacedPhoto], rim: Length) -> Job {
    let items = photos.iter().map(|photo| Item {
        id: photo.id.clone(),
        form: Form::Rectangle(photo.size),
        copies: 1,
        tool: Tool::Trimmer,
        turns: Turns::Quarter,
        together: None,
    });
    let count = u32::try_from(photos.len()).unwrap_or(u32::MAX);
    let stock = Stock { size: layout.photo_paper.paper, count, price: 0.0, ..Stock::default() };
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
