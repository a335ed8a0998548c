//! Which paper plays which part: from the stock by how light and how strong its colours are, else four that
//! go together.

use crate::draw::patterns::DrawnPattern;
use crate::model::Color;
use crate::model::length::{Size, Units};
use crate::stock::{PaperKind, Stock};

use super::file::Role;

/// Papers where no stock is at hand: linen, fern, ink, apricot.
const USUAL: [(Role, &str, [u8; 3]); 4] = [
    (Role::Base, "linen", [0xf4, 0xee, 0xe1]),
    (Role::Panel, "fern", [0x86, 0xa2, 0x8c]),
    (Role::Mat, "ink", [0x2f, 0x48, 0x58]),
    (Role::Accent, "apricot", [0xe6, 0xa1, 0x55]),
];
/// A base has this luminance at least, so that ink and photos stand out from it (common practice, no source).
pub(super) const LIGHT: f64 = 0.55;
/// Letters are told from what lies beneath them by this contrast at least (WCAG 2.2, success criterion 1.4.3
/// for text of 18 pt and more).
pub(super) const LEAST_CONTRAST: f64 = 3.0;
/// Colours nearer to each other than this in L*a*b* are shades of one (common practice, no source).
pub(super) const SHADES: f64 = 14.0;

/// The paper of each part.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Papers {
    /// Part, name, colour.
    pub parts: Vec<(Role, String, Color)>,
    /// Whether they are from the stock, which knows how many sheets there are.
    pub from_stock: bool,
    /// Why these, if the photos had a say.
    pub reason: String,
    /// The patterns of those that have one, by part.
    pub(super) drawn: Vec<(Role, DrawnPattern)>,
    /// The colours of these, by part.
    pub(super) shades: Vec<(Role, Vec<Color>)>,
}

impl Papers {
    /// Four papers that go together.
    pub fn usual() -> Self {
        let parts = USUAL.into_iter();
        let parts = parts.map(|(role, name, color)| (role, name.to_owned(), Color::new(color)));
        Self { parts: parts.collect(), ..Self::default() }
    }

    /// Papers from a stock for a page of that size, or why it has none: three at least that would do, a mat
    /// that stands out from the base, and a panel that is told from both and that letters stand out from.
    pub fn of_stock(stock: &Stock, page: Size) -> Result<Self, String> {
        let holds = |size: Size| size.holds(page) || size.turned().holds(page);
        let mut known: Vec<(String, Color, u32)> = stock
            .papers
            .iter()
            .filter(|paper| matches!(paper.kind, PaperKind::Cardstock | PaperKind::Patterned))
            .filter_map(|paper| {
                let sheets = paper.sheets.iter().filter(|sheets| holds(sheets.size));
                let count = sheets.map(|sheets| sheets.count).sum();
                Some((paper.name.clone(), paper.color?, count))
            })
            .filter(|(_, _, count)| *count > 0)
            .collect();
        // The lightest that is light enough and there most often is the base.
        let lightest = |one: &&(String, Color, u32)| (one.1.luminance() >= LIGHT, one.2.min(2));
        let light = |one: &(String, Color, u32)| one.1.luminance();
        let base = known
            .iter()
            .max_by(|one, other| {
                lightest(one).cmp(&lightest(other)).then(light(one).total_cmp(&light(other)))
            })
            .cloned();
        if known.len() < 3 {
            return Err(too_few(known.len(), page));
        }
        let Some(base) = base else { return Err(too_few(0, page)) };
        known.retain(|paper| paper.0 != base.0);
        let mut take = |wish: &dyn Fn(Color) -> f64| {
            let wished = |paper: &(String, Color, u32)| wish(paper.1);
            let best = known.iter().enumerate().max_by(|one, other| {
                wished(one.1).total_cmp(&wished(other.1)).then(other.0.cmp(&one.0))
            });
            let best = best.map(|(place, _)| place).unwrap_or(0);
            if known.len() > 1 { known.remove(best) } else { known[best].clone() }
        };
        let mat = take(&|color| color.contrast(base.1));
        let accent = take(&strength);
        let told = |color: Color| color.difference(mat.1).min(color.difference(base.1));
        let carries =
            |color: Color| color.contrast(mat.1).max(color.contrast(base.1)) >= LEAST_CONTRAST;
        let panel = take(&|color| told(color) * if carries(color) { 1.0 } else { 0.1 });
        if mat.1.contrast(base.1) < LEAST_CONTRAST {
            return Err(no_mat([&mat.0, &base.0], mat.1.contrast(base.1)));
        }
        // Of few papers that are told from both, the strips have the panels' too.
        let is_panel = |color: Color| carries(color) && told(color) >= SHADES;
        let panel = if is_panel(panel.1) { panel } else { accent.clone() };
        if !is_panel(panel.1) {
            return Err(no_panel());
        }
        let parts =
            [(Role::Base, base), (Role::Panel, panel), (Role::Mat, mat), (Role::Accent, accent)];
        let parts = parts.into_iter().map(|(role, (name, color, _))| (role, name, color));
        Ok(Self { parts: parts.collect(), from_stock: true, ..Self::default() })
    }

    /// How well the papers of two parts are told from each other: the least contrast of their colours.
    pub fn contrast(&self, one: Role, other: Role) -> f64 {
        let shades = |role: Role| {
            let patterned = self.shades.iter().find(|(part, _)| *part == role);
            patterned.map_or_else(|| vec![*self.of(role).1], |(_, shades)| shades.clone())
        };
        let (one, other) = (shades(one), shades(other));
        let pairs = one.iter().flat_map(|one| other.iter().map(|other| one.contrast(*other)));
        pairs.fold(f64::INFINITY, f64::min)
    }

    /// The pattern of a part's paper, if it has one.
    pub fn pattern(&self, role: Role) -> Option<&DrawnPattern> {
        self.drawn.iter().find(|(part, _)| *part == role).map(|(_, drawn)| drawn)
    }

    /// The paper of a part.
    pub fn of(&self, role: Role) -> (&str, &Color) {
        let of = |wanted: Role| self.parts.iter().find(move |(part, _, _)| *part == wanted);
        let part = of(role).or_else(|| self.parts.first());
        part.map_or(("base", &Color::UNKNOWN), |(_, name, color)| (name.as_str(), color))
    }
}

/// Why so few papers make no set.
pub(super) fn too_few(count: usize, page: Size) -> String {
    let count = match count {
        0 => "none of its papers with a `color` has".to_owned(),
        1 => "only one of its papers with a `color` has".to_owned(),
        count => format!("only {count} of its papers with a `color` have"),
    };
    let page = page.show(Units::Inches);
    format!("{count} a sheet that holds a page of {page}, and it takes three")
}

/// Why papers make no set of which none is a mat.
pub(super) fn no_mat([mat, base]: [&str; 2], contrast: f64) -> String {
    format!(
        "no mat stands out from the page: {mat} on {base} has a contrast of {contrast:.1} to 1, and it takes \
         {LEAST_CONTRAST:.0}"
    )
}

/// Why papers make no set of which none is a panel.
pub(super) fn no_panel() -> String {
    "base and mat are there, but no further paper is told from both and can be read with them"
        .to_owned()
}

/// How strong a colour is: how far apart its channels lie.
fn strength(color: Color) -> f64 {
    let shares = color.shares();
    let most = shares.into_iter().fold(0.0, f32::max);
    f64::from(most - shares.into_iter().fold(1.0, f32::min))
}
