//! What it costs that a photo is in a bank: too large or too small for its place, of another form or weight,
//! looking out of the spread.

use crate::description::BankRun;
use crate::model::Facing;

use super::assignment::NEVER;
use super::file::Form;
use super::fitter::Fitter;
use super::frame::whole;
use super::wanted::Wanted;

/// What a photo costs (own choice, looked at): a mark squared too large, too small (a share of it), farther
/// than its room, of another form than its place is for, of another weight, looking out of the spread.
const TOO_LARGE: i64 = 2;
const TOO_SMALL: i64 = 8;
const BEYOND: i64 = 20_000;
const OTHER_FORM: i64 = 800;
const OTHER_WEIGHT: f64 = 900.0;
const LOOKS_OUT: i64 = 4_000;
const LOOKS_ASIDE: i64 = 400;
/// What it costs that all of a picture is cropped away: a third of it costs as much as another form (own
/// choice, looked at).
const CROPPED: f64 = 2_400.0;

impl Fitter<'_> {
    /// What it costs that a share of a picture is cropped away.
    pub fn cropping(lost: f64) -> i64 {
        whole(CROPPED * lost.max(0.0))
    }

    /// What it costs that a photo is in a bank of so many.
    pub fn cost(&self, photo: usize, bank: usize, count: usize) -> i64 {
        self.cost_of(&self.wanted[photo], bank, count)
    }

    /// The same of any photo.
    pub fn cost_of(&self, wanted: &Wanted, bank: usize, count: usize) -> i64 {
        let (room, it) = (self.rooms[bank], self.banks[bank]);
        if count == 0 {
            return NEVER;
        }
        let number = i64::try_from(count).unwrap_or(i64::MAX);
        let mut cost = 0;
        for axis in [0, 1] {
            let whole = room.size[axis] - 2 * it.reveal;
            let shared = match (it.run, axis) {
                (BankRun::Across, 0) | (BankRun::Down, 1) => whole / number,
                (BankRun::Grid, _) => root(whole, count),
                _ => whole,
            };
            let side = wanted.size[axis];
            let over = (side - shared).max(0);
            cost += over * over * TOO_LARGE;
            let under = (shared - side).max(0);
            cost += under * under / TOO_SMALL;
            let beyond = side - whole;
            if beyond > 0 {
                cost += BEYOND + beyond * beyond;
            }
        }
        let form = wanted.form();
        if it.prefers != Form::Either && it.prefers != form {
            cost += OTHER_FORM;
        }
        cost += self.weight(wanted, bank);
        cost + self.looking(wanted, bank)
    }

    fn weight(&self, photo: &Wanted, bank: usize) -> i64 {
        let heaviest = self.banks.iter().map(|bank| bank.weight).fold(f64::MIN, f64::max);
        let lightest = self.banks.iter().map(|bank| bank.weight).fold(f64::MAX, f64::min);
        let areas = || self.wanted.iter().map(Wanted::area);
        let (largest, smallest) =
            (areas().fold(f64::MIN, f64::max), areas().fold(f64::MAX, f64::min));
        if heaviest - lightest < 1e-6 || largest - smallest < 1e-6 {
            return 0;
        }
        let wished = (self.banks[bank].weight - lightest) / (heaviest - lightest);
        let has = (photo.area() - smallest) / (largest - smallest);
        whole(OTHER_WEIGHT * (wished - has).powi(2))
    }

    /// What it costs that people look out of the spread.
    fn looking(&self, photo: &Wanted, bank: usize) -> i64 {
        let Some(facing) = photo.facing else { return 0 };
        let room = self.rooms[bank];
        let middle = room.at[0] + room.size[0] / 2;
        let spread = self.paper.marks[0] * i64::try_from(self.sketch.pages.len()).unwrap_or(1);
        // How far the spread goes on where they look.
        let ahead = match facing {
            Facing::Left => middle,
            Facing::Right => spread - middle,
        };
        match ahead * 6 {
            ahead if ahead < spread * 9 / 4 => LOOKS_OUT,
            ahead if ahead < spread * 3 => LOOKS_ASIDE,
            _ => 0,
        }
    }
}

/// A side shared by so many photos in a grid.
fn root(side: i64, count: usize) -> i64 {
    whole(side as f64 / (count as f64).sqrt())
}
