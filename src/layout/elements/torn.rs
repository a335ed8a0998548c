//! Edges torn by hand: a piece is cut larger on each torn side, and what is too much is torn off.
//!
//! On its sheet it is a rectangle, as it is cut; on its page it lies as it is torn, as large as the spec
//! says.

use kurbo::{Affine, BezPath, Shape};

use crate::description::{Common, Edge, TornSpec, Written};
use crate::geometry::{self, Drawing};
use crate::model::length::{Length, Size, Units};
use crate::model::{Color, Tool, Turns, Warning};
use crate::shapes;
use crate::shapes::finished::{Finished, Torn};

use super::super::fit::line::mark;
use super::super::print::BLEED;
use super::super::reading::Reader;
use super::super::{Layout, PaperOnHand, USUAL_SHEET};

/// Paper to tear off, if the spec says nothing: as much as two fingers hold (common practice, no source).
const ALLOWANCE: Length = Length::part(1, 4);
/// Depth of a torn edge in inches: what tearing along a ruler leaves (common practice, no source).
const TORN_DEPTH: f64 = 0.125;

/// What tears mean, whatever the piece: which hand goes where (common practice, no source).
const WHICH_WAY: &str = "with the face up, pull what comes off towards you: so the paper's core shows along the \
                         edge; pulled away from you, it stays hidden";

/// A rectangle with torn edges.
pub(super) struct Tearing {
    /// Its id.
    pub id: String,
    /// As large as it lies on its page.
    pub finished: Size,
    /// How much is torn off at the top, right, bottom and left; nothing where that edge isn't torn.
    off: [Option<Length>; 4],
    /// The colour of its core, if that shows.
    core: Option<Color>,
}

impl Tearing {
    /// How an element's piece is torn, if it is. Where no sheet is as large as the piece with its
    /// allowances, those are as large as a sheet allows.
    pub fn of(
        reader: &mut Reader<'_>,
        layout: &Layout,
        common: Common<'_>,
        (id, finished, paper): (&str, Size, usize),
    ) -> Option<Self> {
        let edges = edges(reader, &common.torn.edges);
        if !edges.contains(&true) {
            return None;
        }
        let allowance = reader.distance(common.torn.allowance.as_ref(), ALLOWANCE, "allowance");
        let wanted = edges.map(|torn| torn.then_some(allowance));
        let core = layout.papers.get(paper).and_then(|paper| paper.core);
        let mut tearing = Self { id: id.to_owned(), finished, off: wanted, core };
        let Some(paper) = layout.papers.get(paper) else { return Some(tearing) };
        let turns = reader.turns(common.cut_turn).or(paper.turns);
        let sheets = usable(layout, paper, common);
        let crosswise = turns.is_none_or(Turns::crosswise);
        tearing.off = fitting(finished, wanted, &sheets, crosswise, reader.units);
        if tearing.off != wanted {
            let line = common.torn.place().and_then(|place| place.line);
            reader.warn(Warning { line, ..tearing.less(allowance, &paper.name, reader.units) });
        }
        Some(tearing)
    }

    /// How much larger the piece is cut, at its top, right, bottom and left.
    pub fn allowances(&self) -> [Length; 4] {
        self.off.map(Option::unwrap_or_default)
    }

    /// As large as it is cut.
    pub fn cut(&self) -> Size {
        let [top, right, bottom, left] = self.allowances();
        Size::new(self.finished.width + left + right, self.finished.height + top + bottom)
    }

    /// The piece as it lies on its page.
    pub fn torn(&self) -> Result<Finished, crate::model::Fault> {
        let [width, height] = self.finished.to_inches();
        let seed = self
            .id
            .bytes()
            .fold(7, |seed: u64, byte| seed.wrapping_mul(31).wrapping_add(u64::from(byte)));
        let depth = TORN_DEPTH.min(width.min(height) / 4.0);
        let edges = self.off.map(|off| off.is_some());
        let outline = shapes::torn(width, height, edges, depth, seed)?;
        let [top, _, _, left] = self.allowances().map(Length::to_inches);
        let filling = filling(&outline, [width, height]);
        let outline = filling * outline;
        let face = match self.core {
            Some(_) => filling * shapes::torn_face(width, height, edges, depth, seed)?,
            None => outline.clone(),
        };
        let torn = Some(Torn { off: self.off, core: self.core });
        Ok(Finished { outline, torn, ..Finished::one(face, [left, top]) })
    }

    /// What to tell the person.
    pub fn notes(&self, units: Units) -> [String; 2] {
        let named: Vec<(&str, Length)> = Edge::ALL
            .into_iter()
            .zip(self.off)
            .filter_map(|(edge, off)| Some((edge.name(), off?)))
            .collect();
        let first = named.iter().find(|(_, off)| *off > Length::ZERO);
        let alike = named.iter().all(|(_, off)| Some(*off) == first.map(|(_, off)| *off));
        let sides = |of: &[&str]| match of {
            [.., _, _] => format!("{} edges", of.join(" and ")),
            _ => format!("{} edge", of.join("")),
        };
        let what = match first {
            Some((_, off)) if alike => {
                let of: Vec<&str> = named.iter().map(|(edge, _)| *edge).collect();
                format!("{} off the {}", off.show(units), sides(&of))
            }
            _ => {
                let each = named.iter().map(|(edge, off)| match *off {
                    Length::ZERO => format!("along the {}", sides(&[edge])),
                    off => format!("{} off the {}", off.show(units), sides(&[edge])),
                });
                each.collect::<Vec<_>>().join(" and ")
            }
        };
        let (cut, left) = (self.cut().show(units), self.finished.show(units));
        let left = match first {
            Some(_) => format!("{left} is left"),
            None => "up to 1/8 in deep".to_owned(),
        };
        [format!("cut {cut}, tear {what}, towards you: {left}"), WHICH_WAY.to_owned()]
    }

    /// The warning that there is less to tear off than `wanted`.
    fn less(&self, wanted: Length, paper: &str, units: Units) -> Warning {
        let fewer = Edge::ALL.into_iter().zip(self.off);
        let fewer =
            fewer.filter_map(|(edge, off)| Some((edge.name(), off.filter(|off| *off < wanted)?)));
        let (edges, off): (Vec<&str>, Vec<Length>) = fewer.unzip();
        let least = off.into_iter().min().unwrap_or_default();
        let edges = edges.join(" and the ");
        let id = &self.id;
        let finished = self.finished.show(units);
        let (message, help) = match least {
            Length::ZERO => (
                format!(
                    "`{id}` has no paper to tear off at the {edges}: no sheet of {paper} is larger"
                ),
                format!(
                    "it is cut at its size, {finished}, and the tear goes into it; make it smaller, or use a \
                     larger sheet"
                ),
            ),
            least => (
                format!(
                    "`{id}` has {} to tear off at the {edges} instead of {}: no sheet of {paper} is larger",
                    least.show(units),
                    wanted.show(units)
                ),
                "tear along a ruler, or make the piece smaller".to_owned(),
            ),
        };
        Warning {
            kind: "little to tear off".to_owned(),
            message,
            help,
            piece: Some(id.clone()),
            line: None,
        }
    }
}

/// Which edges are named: top, right, bottom, left.
pub(super) fn edges(reader: &mut Reader<'_>, written: &[Written<Edge>]) -> [bool; 4] {
    let edges: Vec<Edge> = written.iter().filter_map(|edge| reader.value(edge)).collect();
    Edge::ALL.map(|edge| edges.contains(&edge))
}

/// Notes a problem where a strip over both pages, which is cut at the gutter, is torn at an end.
pub(super) fn not_at_gutter(reader: &mut Reader<'_>, torn: &TornSpec) {
    let ends = torn.edges.iter().find(|edge| matches!(edge.value, Ok(Edge::Left | Edge::Right)));
    if let Some(end) = ends {
        let message = "a strip over both pages would be torn at the gutter, too";
        let help = "tear its top or bottom only, or write a strip `across: page` for each page";
        reader.problem(end.place, message, help);
    }
}

/// What of each sheet of a paper, on hand or to buy, can be used for a piece.
fn usable(layout: &Layout, paper: &PaperOnHand, common: Common<'_>) -> Vec<Size> {
    let printed = common.print.is_some();
    let by_machine = printed || common.tool.is_some_and(|tool| tool.value == Ok(Tool::Machine));
    let mut sheets: Vec<Size> = paper.stock.iter().map(|stock| stock.size).collect();
    if paper.stock.iter().all(|stock| stock.offcut.is_some()) {
        sheets.extend([USUAL_SHEET, layout.printer.paper]);
    }
    if printed {
        sheets = vec![layout.printer.paper];
    }
    let rim = match (printed, by_machine) {
        (true, _) => layout.rules.machine_margin.max(layout.printer.margin) + Length::inches(BLEED),
        (false, true) => layout.rules.machine_margin,
        (false, false) => layout.rules.trim_margin,
    };
    let less_rim = |size: Size| Size::new(size.width - rim * 2, size.height - rim * 2);
    sheets.into_iter().map(less_rim).collect()
}

/// The allowances that one of the sheets has, as near to those wanted as can be.
fn fitting(
    finished: Size,
    wanted: [Option<Length>; 4],
    sheets: &[Size],
    crosswise: bool,
    units: Units,
) -> [Option<Length>; 4] {
    let [top, right, bottom, left] = wanted.map(Option::unwrap_or_default);
    let both = [left + right, top + bottom];
    let turned =
        sheets.iter().filter(|_| crosswise).map(|sheet| Size::new(sheet.height, sheet.width));
    let room = sheets
        .iter()
        .copied()
        .chain(turned)
        .map(|sheet| [sheet.width - finished.width, sheet.height - finished.height])
        .filter(|spare| spare.iter().all(|spare| *spare >= Length::ZERO))
        .map(|spare| [0, 1].map(|axis| spare[axis].min(both[axis])))
        .max_by_key(|room| room[0] + room[1]);
    // A piece that fits no sheet at all is told of where it is nested.
    let Some(room) = room else { return wanted };
    let mark = mark(units);
    let mut off = wanted;
    for (axis, sides) in [(0, [1, 3]), (1, [0, 2])] {
        if room[axis] >= both[axis] {
            continue;
        }
        let is_one = sides.iter().filter(|side| wanted[**side].is_some()).count() == 1;
        // Two sides share what there is, in whole marks of the ruler.
        let half = room[axis] / 2;
        let marks = half.to_nanometres() / mark.to_nanometres();
        let each = if is_one { room[axis] } else { mark * marks };
        for side in sides {
            off[side] = off[side].map(|_| each);
        }
    }
    off
}

/// Stretches a torn outline by a hair, so that its highest points reach the edges of its rectangle.
fn filling(outline: &BezPath, size: [f64; 2]) -> Affine {
    let bounds = outline.bounding_box();
    let stretch = Affine::scale_non_uniform(size[0] / bounds.width(), size[1] / bounds.height());
    stretch * Affine::translate((-bounds.x0, -bounds.y0))
}

/// The piece as it is cut.
pub(super) fn as_cut(tearing: &Tearing) -> (Size, Drawing) {
    let cut = tearing.cut();
    let [width, height] = cut.to_inches();
    (cut, Drawing::of(geometry::rectangle(width, height)))
}
