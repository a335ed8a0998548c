//! What a spec doesn't say of its papers, as the stock knows it.

use crate::description::{
    Marked, OffcutSpec, Ordered, PaperSpec, PatternSpec, Place, SheetsSpec, Spec, Text, Written,
};
use crate::model::length::{Length, Size};
use crate::stock::{Offcut, Stock, StockPaper};

use super::{PaperOnHand, ShapedOffcut};

/// The spec with the papers that it names and the stock knows. Of a paper that the spec lists, the stock adds
/// what isn't said there: the colour, that of the core, how it may be turned, the narrowest stroke, and the
/// sheets and offcuts if the spec lists none of either. A paper that the spec only uses comes from the stock
/// as a whole.
///
/// Offcuts that are no rectangles can't be written in a spec: [`add_shaped`] adds them to the layout.
pub fn with_stock(spec: &Spec, stock: &Stock) -> Spec {
    let mut filled = spec.clone();
    for (name, paper) in &mut filled.papers.0 {
        if let Some(known) = stock.paper(name) {
            fill(&mut paper.value, known, stock);
        }
    }
    let listed = |name: &str| spec.papers.0.iter().any(|(known, _)| known == name);
    for known in stock.papers.iter().filter(|known| !listed(&known.name)) {
        if spec.words.contains(&known.name) {
            let mut paper = PaperSpec::default();
            fill(&mut paper, known, stock);
            let marked = Marked { value: paper, place: Place::default() };
            filled.papers.0.push((known.name.clone(), marked));
        }
    }
    filled
}

/// Adds the offcuts that are no rectangles to the papers of a layout whose sheets are those of the stock.
pub fn add_shaped(papers: &mut [PaperOnHand], stock: &Stock, may: impl Fn(&Offcut) -> bool) {
    for paper in papers.iter_mut().filter(|paper| paper.from_stock) {
        let mut before = 0;
        for offcut in stock.oldest_first().into_iter().filter(|one| one.paper == paper.name) {
            if offcut.shape.as_rectangle().is_some() {
                before += 1;
            } else if may(offcut) {
                let (id, shape) = (offcut.label.as_str().into(), offcut.shape.clone());
                paper.shaped.push(ShapedOffcut { id, shape, before });
            }
        }
    }
}

/// Fills in what a paper doesn't say.
fn fill(paper: &mut PaperSpec, known: &StockPaper, stock: &Stock) {
    if paper.color.is_none() {
        paper.color = known.color.map(|color| written(&color.to_string()));
    }
    if let (None, None, Some(picture)) = (&paper.picture, &paper.pattern, &known.picture)
        && let Some(folder) = &stock.folder
    {
        paper.picture = Some(Marked { value: Text(picture.clone()), place: Place::default() });
        paper.picture_in = Some(folder.clone());
        paper.picture_size = known.picture_size.map(|of| written(&size(of)));
        paper.picture_fill = known.picture_fill.map(|fill| written(fill.name()));
    }
    if paper.pattern.is_none() && paper.picture.is_none() {
        let of_stock = known.drawn.as_ref().map(PatternSpec::of);
        paper.pattern = of_stock.map(|value| Marked { value, place: Place::default() });
    }
    if paper.core.is_none() {
        paper.core = known.core.map(|core| written(&core.to_string()));
    }
    if paper.turn.is_none() {
        paper.turn = known.turn.or(Some(known.turns())).map(|turns| written(turns.name()));
    }
    if paper.thinnest.is_none() {
        paper.thinnest = known.thinnest.map(|thinnest| written(&exact(thinnest)));
    }
    if !paper.sheets.0.is_empty() || !paper.offcuts.is_empty() {
        return;
    }
    paper.from_stock = true;
    let sheets = known.sheets.iter().map(|sheets| {
        let price = sheets.price.map(|price| written(&price.amount().to_string()));
        let of_size = SheetsSpec { count: written(&sheets.count.to_string()), price };
        (written(&size(sheets.size)), Marked { value: of_size, place: Place::default() })
    });
    paper.sheets = Ordered(sheets.collect());
    let offcuts = stock.oldest_first().into_iter().filter(|offcut| offcut.paper == known.name);
    paper.offcuts = offcuts.filter_map(offcut).collect();
}

fn offcut(offcut: &Offcut) -> Option<OffcutSpec> {
    let id = Marked { value: Text(offcut.label.clone()), place: Place::default() };
    Some(OffcutSpec { size: written(&size(offcut.shape.as_rectangle()?)), id: Some(id) })
}

fn written<T: crate::description::FromText>(text: &str) -> Written<T> {
    Written::of(text, Place::default())
}

fn size(size: Size) -> String {
    format!("{} x {}", exact(size.width), exact(size.height))
}

/// A length in millimetres, to the nanometre.
fn exact(length: Length) -> String {
    let nanometres = length.to_nanometres();
    format!("{}.{:06} mm", nanometres / 1_000_000, nanometres % 1_000_000)
}
