//! Papers of a stock that may play a part, by the colours that are seen of them.

use std::sync::Arc;

use crate::draw::patterns::DrawnPattern;
use crate::model::length::Size;
use crate::model::{Color, PictureFill, Rect};
use crate::picture::PictureFile;
use crate::picture::dots::small_dots;
use crate::picture::on_paper::on_sheet;
use crate::stock::{PaperKind, Stock, StockPaper};

use super::papers::{LIGHT, SHADES};
use super::photo_colors::{from_oklab, oklab};

/// A shade of a smaller share of a pattern is not looked at.
const A_SHADE: f64 = 0.1;
/// Dots along a picture's sides that are looked at for its colours.
const DOTS: [u32; 2] = [32; 2];

/// A paper that may play a part.
#[derive(Clone)]
pub(super) struct Candidate {
    pub name: String,
    pub color: Color,
    /// Its mean in Oklab.
    pub lab: [f64; 3],
    /// The colours that are seen of it.
    pub shades: Vec<Color>,
    pub drawn: Option<DrawnPattern>,
    pub is_once: bool,
}

/// The papers of a stock that a page can be cut from; their pictures are added to some, in drawings numbered
/// from `first` on.
pub(super) fn candidates(
    stock: &Stock,
    page: Size,
    (first, pictures): (usize, &mut Vec<Arc<PictureFile>>),
) -> Vec<Candidate> {
    let holds = |size: Size| size.holds(page) || size.turned().holds(page);
    let count = |paper: &StockPaper| -> u32 {
        let sheets = paper.sheets.iter().filter(|sheets| holds(sheets.size));
        sheets.map(|sheets| sheets.count).sum()
    };
    let kinds = [PaperKind::Cardstock, PaperKind::Patterned];
    let papers =
        stock.papers.iter().filter(|paper| kinds.contains(&paper.kind) && count(paper) > 0);
    let candidate = |paper: &StockPaper| {
        let seen = picture(stock, paper);
        let of_picture = seen.as_ref().map(|seen| seen.shades.clone());
        let color = paper.color.or_else(|| Some(of_picture.as_ref()?.first()?.0))?;
        let shades = match (&paper.drawn, of_picture) {
            (_, Some(shades)) => shades,
            (Some(pattern), None) => pattern.shades(color),
            (None, None) => vec![(color, 1.0)],
        };
        let all: f64 = shades.iter().map(|(_, share)| share).sum();
        let mean = |axis: usize| {
            let parts = shades.iter().map(|(one, share)| oklab(*one)[axis] * share);
            parts.sum::<f64>() / if seen.is_some() { all } else { 1.0 }
        };
        let lab = [0, 1, 2].map(mean);
        // Of a scan with many colours, none may have much of a share.
        let large = shades.iter().filter(|one| one.1 >= A_SHADE).map(|one| one.0);
        let mut large: Vec<Color> = large.collect();
        if large.is_empty() {
            large.extend(shades.first().map(|one| one.0));
        }
        let drawn = match seen {
            Some(Seen { file, size, fill, .. }) => {
                pictures.push(file);
                Some(DrawnPattern::picture(first + pictures.len() - 1, size, fill))
            }
            None => paper.drawn.as_ref().map(|pattern| DrawnPattern::new(pattern, color)),
        };
        Some(Candidate {
            name: paper.name.clone(),
            color,
            lab,
            drawn,
            shades: large,
            is_once: count(paper) < 2,
        })
    };
    papers.filter_map(candidate).collect()
}

/// The picture of a paper.
struct Seen {
    file: Arc<PictureFile>,
    /// Its real size, and how it lies on a sheet.
    size: [f64; 2],
    fill: PictureFill,
    /// Its colours with their shares, the largest first; at least one.
    shades: Vec<(Color, f64)>,
}

/// The picture of a paper; nothing where it has none that can be read.
fn picture(stock: &Stock, paper: &StockPaper) -> Option<Seen> {
    let name = paper.picture.as_ref()?;
    let file = PictureFile::open(&stock.folder.as_ref()?.join(name), name).ok()?;
    let sheets = paper.sheets.iter().map(|sheets| sheets.size);
    let largest = sheets.max_by(|one, other| one.area().total_cmp(&other.area()))?;
    let (size, usual) = on_sheet(&file, paper.picture_size.map(Size::to_inches), largest);
    let whole = Rect { at: [0.0; 2], size: file.seen().map(f64::from) };
    let shades = small_dots(&file, &whole, DOTS).ok()?.shades();
    let fill = paper.picture_fill.unwrap_or(usual);
    (!shades.is_empty()).then(|| Seen { file: Arc::new(file), size, fill, shades })
}

impl Candidate {
    pub fn plain(name: String, color: Color) -> Self {
        let (lab, shades) = (oklab(color), vec![color]);
        Self { name, color, lab, shades, drawn: None, is_once: false }
    }

    /// The least contrast of the colours of two papers.
    pub fn contrast(&self, other: &Self) -> f64 {
        let pairs =
            self.shades.iter().flat_map(|one| other.shades.iter().map(|two| one.contrast(*two)));
        pairs.fold(f64::INFINITY, f64::min)
    }

    pub fn is_light(&self) -> bool {
        self.shades.iter().all(|shade| shade.luminance() >= LIGHT)
    }

    pub fn is_told_from(&self, other: &Self) -> bool {
        let [one, two] = [self, other].map(|paper| from_oklab(paper.lab));
        one.difference(two) >= SHADES
    }
}
