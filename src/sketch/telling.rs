//! Edges on the ruler as a fit.

use super::arrangement::Arrangement;
use super::file::{Held, Role};
use super::fit::{Field, Fit, FitBank, FitPanel, FitPhoto, Rank};
use super::fitter::{Fitter, field, inner};
use super::frame::{Border, Edges, Frame, Framed};
use super::lining::nudge;
use super::ranking::rank;
use super::reading::{Bank, Holds, StripLies, on_page};
use crate::relations::Settled;

impl Fitter<'_> {
    /// The fit that edges make.
    pub fn told(&self, frame: &Frame<'_>, settled: [Settled; 2], arranged: &[Arrangement]) -> Fit {
        let side = self.paper.marks[0];
        let page_start = |page: usize| i64::try_from(page).unwrap_or(0) * side;
        let on_its_page = |edges: &Edges, page: usize| {
            let mut field = field(edges, &settled);
            field.at[0] -= page_start(page);
            field
        };
        let bank_rooms = frame.bank_rooms();
        let banks: Vec<FitBank> = bank_rooms
            .iter()
            .zip(&frame.banks)
            .zip(arranged)
            .map(|(((at, bank), mat), arrangement)| {
                let framed = &frame.rooms[*at];
                let mut room = inner(framed, &settled);
                room.at[0] -= page_start(framed.page);
                let each = bank.mat.filter(|_| arrangement.own > 0);
                let each = each.map(|mat| (mat, arrangement.own));
                FitBank {
                    id: framed.room.id.clone(),
                    page: framed.page,
                    field: on_its_page(mat, framed.page),
                    room,
                    bank: if each.is_some() || arrangement.bare {
                        Bank { mat: None, reveal: 0, ..**bank }
                    } else {
                        **bank
                    },
                    each,
                }
            })
            .collect();
        let bank_of = |photo: usize| {
            arranged.iter().position(|one| one.lines.iter().flatten().any(|&other| other == photo))
        };
        let photos: Vec<FitPhoto> = (0..self.wanted.len())
            .filter_map(|photo| {
                let (bank, edges) = (bank_of(photo)?, frame.photos[photo].as_ref()?);
                let page = banks[bank].page;
                let own = banks[bank].each.map_or(0, |(_, shows)| shows);
                let field = on_its_page(edges, page).widened(-own);
                Some(FitPhoto { photo, bank, page, field })
            })
            .collect();
        let mut wanted = self.wanted.to_vec();
        for photo in &photos {
            wanted[photo.photo].size = photo.field.size;
        }
        let mut fit = Fit {
            sketch: self.sketch.name.clone(),
            about: self.sketch.about.clone(),
            page: self.paper.size,
            marks: self.paper.marks,
            pages: self.sketch.pages.iter().map(|(name, _)| *name).collect(),
            wanted,
            panels: self.panels(frame, &on_its_page),
            strips: self.strips(frame, &settled),
            banks,
            photos,
            others: self.others(frame, &settled),
            rank: Rank::default(),
            relations: {
                let [across, down] = settled.clone();
                let [one, other] = frame.relations.clone();
                [(one, across), (other, down)]
            },
        };
        neaten(&mut fit);
        fit.rank = rank(&fit, self.sketch, self.wanted, [frame.missed, frame.close]);
        fit
    }

    fn panels(
        &self,
        frame: &Frame<'_>,
        on_its_page: &dyn Fn(&Edges, usize) -> Field,
    ) -> Vec<FitPanel> {
        let papered = frame.rooms.iter().filter_map(|framed| Some((framed, framed.room.paper?)));
        papered
            .map(|(framed, paper)| FitPanel {
                page: framed.page,
                field: on_its_page(&framed.edges, framed.page),
                bleeds: framed.borders.map(|sides| sides.map(|border| border != Border::Inner)),
                paper,
            })
            .collect()
    }

    fn strips(&self, frame: &Frame<'_>, settled: &[Settled; 2]) -> Vec<(Role, i64, i64)> {
        let height = self.paper.size.height;
        let strips = self.sketch.strips.iter().filter_map(|strip| {
            let top = match &strip.lies {
                StripLies::Below(top) => on_page(top, height),
                StripLies::Along(edge) => {
                    let along = |framed: &&Framed<'_>| framed.room.id == edge.room;
                    let framed = frame.rooms.iter().find(along)?;
                    settled[1].at(framed.edges[1][edge.side]) - strip.width / 2
                }
            };
            Some((strip.paper, top, strip.width))
        });
        strips.collect()
    }

    fn others(&self, frame: &Frame<'_>, settled: &[Settled; 2]) -> Vec<(Held, usize, Field)> {
        let side = self.paper.marks[0];
        frame
            .rooms
            .iter()
            .filter_map(|framed| match &framed.room.holds {
                Holds::Other(held) => {
                    let mut room = inner(framed, settled);
                    room.at[0] -= i64::try_from(framed.page).unwrap_or(0) * side;
                    Some((*held, framed.page, room))
                }
                Holds::Nothing | Holds::Rooms(..) | Holds::Photos(_) => None,
            })
            .collect()
    }
}

/// Words and strips a mark further or back where they would miss an edge by a hair.
fn neaten(fit: &mut Fit) {
    let pages: Vec<usize> = (0..fit.pages.len()).collect();
    for number in 0..fit.strips.len() {
        let (_, top, width) = fit.strips[number];
        let field = Field { at: [0, top], size: [fit.marks[0], width] };
        fit.strips[number].1 += nudge(fit, &pages, field, 1, &[0, 1]);
    }
    for number in 0..fit.others.len() {
        let (held, page, field) = fit.others[number];
        if held != Held::Story {
            continue;
        }
        for axis in [0, 1] {
            // The story begins at its room's upper left corner; where it ends its words decide.
            let by = nudge(fit, &[page], field, axis, &[0]);
            let field = &mut fit.others[number].2;
            (field.at[axis], field.size[axis]) = (field.at[axis] + by, field.size[axis] - by);
        }
    }
}
