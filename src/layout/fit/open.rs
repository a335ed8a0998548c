//! What of an element is left open, and how it is written once it is fitted.

use crate::description::{Element, Extent, FIT, LengthOrFit, Marked, Text, Written};
use crate::model::length::{Length, Size, Units};

use super::super::reading::{Along, Reader};

/// Along which sides of the page width and height are measured.
const ALONG: [Along; 2] = [Along::Width, Along::Height];

fn is_fit(side: Option<&Written<LengthOrFit>>) -> bool {
    side.is_some_and(|side| side.value == Ok(LengthOrFit::Fit))
}

impl Element {
    /// Which of its sides are to be fitted, and its size as far as it is known; nothing if none is.
    pub(super) fn fits(&self, reader: &mut Reader<'_>) -> Option<([bool; 2], Size)> {
        if let Self::Bank(bank) = self {
            let axes = [&bank.width, &bank.height].map(|side| is_fit(side.as_ref()));
            return (bank.align.is_some() && axes.contains(&true))
                .then_some((axes, Size::default()));
        }
        if let Self::Strip(strip) = self {
            let [length, width] = [strip.length.as_ref(), Some(&strip.width)];
            let sides = if strip.down.is_some() { [width, length] } else { [length, width] };
            let axes = sides.map(is_fit);
            if !axes.contains(&true) {
                return None;
            }
            let page = [reader.page.width, reader.page.height];
            let known = [0, 1].map(|axis| match sides[axis] {
                None => page[axis],
                Some(side) => side
                    .given()
                    .map_or(Length::ZERO, |side| reader.positive(&side, ALONG[axis], "side")),
            });
            return Some((axes, Size::new(known[0], known[1])));
        }
        let size = self.extent()?;
        let extent = size.value.as_ref().ok()?;
        let Extent::Fit(sides) = extent else { return None };
        let place = size.place;
        let known = [0, 1].map(|axis| match &sides[axis] {
            None => Length::ZERO,
            Some(sum) => {
                let text = Text(sum.text().to_owned());
                let written = Written { value: Ok(sum.clone()), text, place };
                reader.positive(&written, ALONG[axis], ["width", "height"][axis])
            }
        });
        Some((extent.fits(), Size::new(known[0], known[1])))
    }

    /// What to write in place of `fit`, if a ruler shows it exactly.
    pub(super) fn to_write(&self, size: Size, fits: [bool; 2], units: Units) -> Option<String> {
        let sides = [size.width, size.height].map(|side| side.bare(units));
        if let Self::Strip(strip) = self {
            let along = usize::from(strip.down.is_some());
            let keys = (0..2).filter(|&axis| fits[axis]).map(|axis| {
                let key = if axis == along { "length" } else { "width" };
                Some(format!("{key}: {}", sides[axis].as_ref()?))
            });
            return Some(keys.collect::<Option<Vec<String>>>()?.join(", "));
        }
        let [width, height] = sides;
        Some(format!("size: {} x {}", width?, height?))
    }

    /// Writes what was fitted: width and height.
    pub(super) fn write_fit(&mut self, [width, height]: &[String; 2]) {
        if let Self::Bank(bank) = self {
            for (side, fitted) in [(&mut bank.width, width), (&mut bank.height, height)] {
                if let Some(side) = side.as_mut().filter(|side| side.text.trim() == FIT) {
                    *side = Written::of(fitted, side.place);
                }
            }
        } else if let Self::Strip(strip) = self {
            let sides = if strip.down.is_some() { [height, width] } else { [width, height] };
            if let Some(length) = strip.length.as_mut().filter(|length| length.text.trim() == FIT) {
                *length = Written::of(sides[0], length.place);
            }
            if strip.width.text.trim() == FIT {
                strip.width = Written::of(sides[1], strip.width.place);
            }
        } else if let Some(size) = self.extent_mut() {
            *size = Written::of(&format!("{width} x {height}"), size.place);
        }
    }
}

/// The block of an element whose size is to be fitted, before it is: as large as is known.
pub(in crate::layout) fn to_be_fitted(
    reader: &mut Reader<'_>,
    element: &Marked<Element>,
) -> Option<([bool; 2], Size)> {
    let (axes, known) = element.value.fits(reader)?;
    if let Some(turn) = element.value.common().turn.filter(|turn| turn.value != 0.0) {
        let message = "a piece that is turned can't be fitted";
        reader.problem(turn.place, message, "leave `turn` out, or write its size");
    }
    Some((axes, known))
}
