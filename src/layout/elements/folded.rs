//! Things that are cut flat, scored and folded, measured; with notes that say how they are folded. On
//! their page they take the place of the folded thing.

use crate::description::{
    Accordion, Common, Envelope, Gatefold, Marked, PhotoCorner, Place, Pocket, ScoreEnd, Step,
    Tent, Text, Written,
};
use crate::geometry::Drawing;
use crate::model::Fault;
use crate::model::length::{Length, Size};
use crate::shapes::finished::Finished;
use crate::shapes::folding::other_side_up;
use crate::shapes::{self, SCORE_STOP};

use super::super::blocks::Content;
use super::super::reading::Reader;
use super::drawn::{Measured, across, by_form};
use super::positive_size;

/// Panels of an accordion, if the spec says nothing.
const PANELS: u32 = 4;

/// What pictures show; the marks for folds are those of paper folders (Yoshizawa-Randlett).
const LEGEND: &str =
    "score: dashes are valley folds (towards you), dashes and dots mountain folds (away)";

/// A pocket.
pub(super) fn pocket(reader: &mut Reader<'_>, pocket: &Pocket, id: &str) -> Measured {
    let size = positive_size(reader, &pocket.size)?;
    let tab = reader.distance(pocket.tab.as_ref(), Length::part(1, 2), "tab").to_inches();
    let notch = reader.distance(pocket.notch.as_ref(), Length::ZERO, "notch").to_inches();
    let stop = stop(reader, &pocket.scores);
    let drawing = shapes::pocket(size.to_inches(), tab, notch, stop);
    let notes = [
        format!("folded: {}", size.show(reader.units)),
        "fold the three tabs behind the face and glue their backs to the page; the top stays open"
            .to_owned(),
    ];
    let folded = shapes::folded_pocket(size.to_inches(), tab, notch);
    let piece = (&pocket.paper, "pocket", id, pocket.size.place);
    finished(reader, piece, drawing, Some(folded), notes)
}

/// An envelope.
pub(super) fn envelope(reader: &mut Reader<'_>, envelope: &Envelope, id: &str) -> Measured {
    let card = positive_size(reader, &envelope.card)?;
    let clearance = reader.distance(envelope.clearance.as_ref(), Length::part(1, 8), "clearance");
    let closed = Size::new(card.width + clearance, card.height + clearance);
    let mut measures = shapes::Envelope::for_card(card.to_inches(), clearance.to_inches());
    measures.flap = reader.distance(envelope.flap.as_ref(), closed.height / 2, "flap").to_inches();
    let stop = stop(reader, &envelope.scores);
    let (drawing, folded, side) = side_up(
        shapes::envelope(measures, stop),
        shapes::folded_envelope(measures),
        envelope.common(),
    );
    let notes = [
        format!("folded: {}, for a card of {}", closed.show(reader.units), card.show(reader.units)),
        format!(
            "{side}: fold the sides in, then the bottom up; glue the bottom's edges on the side flaps"
        ),
    ];
    let piece = (&envelope.paper, "envelope", id, envelope.card.place);
    finished(reader, piece, drawing, Some(folded), notes)
}

/// A tent tag.
pub(super) fn tent(reader: &mut Reader<'_>, tent: &Tent, id: &str) -> Measured {
    let size = positive_size(reader, &tent.size)?;
    let [width, height] = size.to_inches();
    let stop = stop(reader, &tent.scores);
    let notes = [
        format!("folded: {}", size.show(reader.units)),
        "fold in the middle, away from you: the tent stands on its two lower edges".to_owned(),
    ];
    let drawing = shapes::tent(width, height, stop);
    let folded = shapes::folded_tent(width, height);
    finished(reader, (&tent.paper, "tent", id, tent.size.place), drawing, Some(folded), notes)
}

/// An accordion.
pub(super) fn accordion(reader: &mut Reader<'_>, strip: &Accordion, id: &str) -> Measured {
    let size = positive_size(reader, &strip.size)?;
    let [width, height] = size.to_inches();
    let panels = strip.panels.as_ref().map_or(PANELS, |panels| panels.value);
    let stop = stop(reader, &strip.scores);
    let folded = shapes::folded_accordion(panels, width, height);
    let (drawing, folded, side) =
        side_up(shapes::accordion(panels, width, height, stop), folded, strip.common());
    let how = if side == OUTSIDE_UP && panels.is_multiple_of(2) {
        "outside up, from the right, fold mountain and valley in turn; glue the right end panel down"
    } else {
        "from the left, fold valley and mountain in turn; glue the back of the left end panel"
    };
    let notes = [format!("folded: {}", size.show(reader.units)), how.to_owned()];
    let place = strip.panels.as_ref().map_or(strip.size.place, |panels| panels.place);
    finished(reader, (&strip.paper, "accordion", id, place), drawing, Some(folded), notes)
}

/// A gatefold card.
pub(super) fn gatefold(reader: &mut Reader<'_>, card: &Gatefold, id: &str) -> Measured {
    let size = positive_size(reader, &card.size)?;
    let [width, height] = size.to_inches();
    let gap = reader.distance(card.gap.as_ref(), Length::part(1, 32), "gap").to_inches();
    let stop = stop(reader, &card.scores);
    let (drawing, folded, side) = side_up(
        shapes::gatefold(width, height, gap, stop),
        shapes::folded_gatefold(width, height, gap),
        card.common(),
    );
    let notes = [
        format!("folded: {}", size.show(reader.units)),
        format!("{side}: fold both gates in until they meet; glue the back of the middle"),
    ];
    let piece = (&card.paper, "gatefold", id, card.size.place);
    finished(reader, piece, drawing, Some(folded), notes)
}

/// A step of a pop-up.
pub(super) fn step(reader: &mut Reader<'_>, step: &Step, id: &str) -> Measured {
    let width = across(reader, &step.width, "width")?;
    let riser = across(reader, &step.riser, "riser")?;
    let tread = reader.distance(step.tread.as_ref(), riser, "tread");
    let tab = reader.distance(step.tab.as_ref(), Length::part(3, 8), "tab").to_inches();
    let stop = stop(reader, &step.scores);
    let units = reader.units;
    let notes = [
        format!("folded: {} high, {} deep", riser.show(units), tread.show(units)),
        format!(
            "glue the lower tab {} below the card's fold and the upper tab {} above it, both tabs \
             pointing away from the fold: so the step lies flat when the card is closed, and as it is \
             cut when the card lies open",
            tread.show(units),
            riser.show(units)
        ),
    ];
    let drawing = shapes::step(width.to_inches(), riser.to_inches(), tread.to_inches(), tab, stop);
    finished(reader, (&step.paper, "step", id, step.width.place), drawing, None, notes)
}

/// A photo corner.
pub(super) fn photo_corner(reader: &mut Reader<'_>, corner: &PhotoCorner, id: &str) -> Measured {
    let size = across(reader, &corner.size, "size")?;
    let tab = reader.distance(corner.tab.as_ref(), size * 3 / 8, "tab").to_inches();
    let stop = stop(reader, &corner.scores);
    let notes = [
        format!("folded: {} on either side of the corner", size.show(reader.units)),
        "fold both tabs behind the triangle, slip the photo's corner between, glue the tabs' backs"
            .to_owned(),
    ];
    let drawing = shapes::photo_corner(size.to_inches(), tab, stop);
    let folded = shapes::folded_photo_corner(size.to_inches(), tab);
    let piece = (&corner.paper, "photo corner", id, corner.size.place);
    finished(reader, piece, drawing, Some(folded), notes)
}

fn stop(reader: &mut Reader<'_>, scores: &Option<Written<ScoreEnd>>) -> f64 {
    match reader.choice(scores.as_ref(), ScoreEnd::Short) {
        ScoreEnd::Short => SCORE_STOP,
        ScoreEnd::Edge => 0.0,
    }
}

/// Which side of a thing lies up while it is cut, if its inside lies up else.
const INSIDE_UP: &str = "inside up";
const OUTSIDE_UP: &str = "outside up";

/// The thing with its outside up if something is drawn or printed on it and only its outside is seen.
fn side_up(
    drawing: Result<Drawing, Fault>,
    folded: Finished,
    common: Common<'_>,
) -> (Result<Drawing, Fault>, Finished, &'static str) {
    let drawn_on = common.stitch.is_some() || common.hatch.is_some() || common.print.is_some();
    match drawing {
        Ok(drawing) if drawn_on && folded.drawn_on().is_empty() => {
            let (drawing, folded) = other_side_up(drawing, folded);
            (Ok(drawing), folded, OUTSIDE_UP)
        }
        drawing => (drawing, folded, INSIDE_UP),
    }
}

/// The piece with its notes, as large as it lies on its page.
fn finished(
    reader: &mut Reader<'_>,
    (paper, kind, id, place): (&Marked<Text>, &'static str, &str, Place),
    drawing: Result<Drawing, Fault>,
    on_page: Option<Finished>,
    told: [String; 2],
) -> Measured {
    let (mut size, mut parts) = by_form(reader, paper, kind, id, place, drawing)?;
    for part in &mut parts {
        if let Content::Paper { notes, finished, .. } = &mut part.content {
            notes.extend(told.iter().cloned());
            notes.push(LEGEND.to_owned());
            if let Some(on_page) = &on_page {
                let [width, height] = on_page.size();
                size = Size::inches(width, height);
            }
            *finished = on_page.clone().map(Box::new);
        }
    }
    Some((size, parts))
}
