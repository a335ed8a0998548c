//! A page of the spread on several pages of the printer's paper.

use crate::emit::drawing::letters;
use crate::model::Rect;

/// How far tiles overlap at least, in inches.
const OVERLAP: f64 = 0.5;
/// Room above a tile for its name, ruler and map, in inches.
const HEADER: f64 = 0.6;
/// Places along a seam for join marks, as shares of its length.
const ALONG: [f64; 2] = [0.25, 0.75];

/// How a page is tiled; inches.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Tiling {
    /// The printer's paper, upright or lying.
    pub paper: [f64; 2],
    /// Where a tile's top left lies on the paper.
    pub at: [f64; 2],
    /// The largest tile.
    pub room: [f64; 2],
    /// Columns and rows.
    pub counts: [u32; 2],
    page: [f64; 2],
}

/// A part of a page.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Tile {
    /// Its name, such as `A2`: column and row.
    pub name: String,
    /// Column and row, from 0.
    pub place: [u32; 2],
    /// What it shows of the page.
    pub area: Rect,
}

/// A mark that lies on both tiles of a seam.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Join {
    /// Its letters, the same on both tiles.
    pub name: String,
    /// Where it lies on the page.
    pub at: [f64; 2],
}

impl Tiling {
    /// The tiling with the fewest tiles, the paper upright if that is as good.
    pub fn of(page: [f64; 2], paper: [f64; 2], margin: f64) -> Self {
        let upright = Self::on(page, paper, margin);
        let lying = Self::on(page, [paper[1], paper[0]], margin);
        let tiles = |tiling: &Self| u64::from(tiling.counts[0]) * u64::from(tiling.counts[1]);
        if tiles(&lying) < tiles(&upright) { lying } else { upright }
    }

    fn on(page: [f64; 2], paper: [f64; 2], margin: f64) -> Self {
        let at = [margin, margin + HEADER];
        let room = [paper[0] - 2.0 * margin, paper[1] - 2.0 * margin - HEADER];
        let room = room.map(|side| side.max(2.0 * OVERLAP));
        let count = |axis: usize| {
            let (page, room) = (page[axis], room[axis]);
            (1..100_u32)
                .find(|&count| f64::from(count) * (room - OVERLAP) + OVERLAP >= page - 1e-9)
                .unwrap_or(100)
        };
        Self { paper, at, room, counts: [count(0), count(1)], page }
    }

    /// Where the tiles of a column or row begin on the page, and how long they are: as much overlap at
    /// each seam.
    fn stretch(&self, axis: usize, number: u32) -> [f64; 2] {
        let length = self.room[axis].min(self.page[axis]);
        let count = self.counts[axis];
        let step = if count > 1 { (self.page[axis] - length) / f64::from(count - 1) } else { 0.0 };
        [step * f64::from(number), length]
    }

    /// All tiles, row by row.
    pub fn tiles(&self) -> Vec<Tile> {
        let [columns, rows] = self.counts;
        let places = (0..rows).flat_map(|row| (0..columns).map(move |column| [column, row]));
        places
            .map(|place| {
                let [across, down] = [self.stretch(0, place[0]), self.stretch(1, place[1])];
                Tile {
                    name: format!("{}{}", letters(place[0]), place[1] + 1),
                    place,
                    area: Rect { at: [across[0], down[0]], size: [across[1], down[1]] },
                }
            })
            .collect()
    }

    /// The join marks on a tile: two in the middle of each overlap with a neighbour.
    pub fn joins(&self, tile: &Tile) -> Vec<Join> {
        let mut joins = Vec::new();
        for axis in 0..2 {
            for before in [true, false] {
                let seam =
                    if before { tile.place[axis].checked_sub(1) } else { Some(tile.place[axis]) };
                let Some(seam) = seam.filter(|seam| seam + 1 < self.counts[axis]) else { continue };
                let [start, _] = self.stretch(axis, seam + 1);
                let [other, length] = self.stretch(axis, seam);
                let middle = f64::midpoint(start, other + length);
                for (number, share) in (0..).zip(ALONG) {
                    let along = tile.area.at[1 - axis] + share * tile.area.size[1 - axis];
                    let mut at = [middle; 2];
                    at[1 - axis] = along;
                    joins.push(Join {
                        name: self.name(axis, seam, tile.place[1 - axis], number),
                        at,
                    });
                }
            }
        }
        joins
    }

    /// The letters of a mark: seams are counted, those down the page first.
    fn name(&self, axis: usize, seam: u32, lane: u32, number: u32) -> String {
        let lanes = self.counts[1 - axis];
        let seams_down = (self.counts[0] - 1) * self.counts[1] * 2;
        let first = if axis == 0 { 0 } else { seams_down };
        letters(first + (seam * lanes + lane) * 2 + number)
    }
}
