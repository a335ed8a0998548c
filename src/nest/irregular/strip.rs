//! Strip mode: polygons on a strip of fixed height, as short as can be. The product packs sheets; this
//! serves to measure the search against published sets.

use jagua_rs::geometry::Transformation;
use jagua_rs::geometry::geo_traits::Transformable;

use super::arrangement::{Arrangement, Form, Pose, room};
use super::collision_polygon::{CollisionPolygon, narrow};
use super::separation::{Budget, Patience, Separator};
use super::shortening::Shortening;
use crate::geometry::Ring;
use crate::nest::Search;
use crate::search::Chance;

/// Share of the strip that the pieces cover at first: so little that any start can be disentangled.
const LOOSE: f32 = 0.5;
const PATIENCE: Patience = Patience { rounds: 200, returns: 3 };

/// A piece on a strip.
#[derive(Clone, Debug)]
pub struct StripPiece {
    /// Its polygon.
    pub ring: Ring,
    /// The turns it may have, in degrees.
    pub turns: Vec<f64>,
}

/// Pieces on a strip.
#[derive(Clone, Debug)]
pub struct Strip {
    /// Its length.
    pub length: f64,
    /// The pieces' polygons where they lie, in the order given.
    pub rings: Vec<Ring>,
}

/// Packs pieces on a strip of this height, evaluating about `evaluations` places; nothing if a piece is no
/// polygon or higher than the strip.
pub fn strip(height: f64, pieces: &[StripPiece], evaluations: u64) -> Option<Strip> {
    let mut forms: Vec<Form> = Vec::new();
    let mut kinds: Vec<&StripPiece> = Vec::new();
    let mut form_of = Vec::with_capacity(pieces.len());
    for piece in pieces {
        let known =
            kinds.iter().position(|kind| kind.ring == piece.ring && kind.turns == piece.turns);
        form_of.push(match known {
            Some(known) => known,
            None => {
                kinds.push(piece);
                forms.push(form(piece)?);
                forms.len() - 1
            }
        });
    }
    let area: f32 = form_of.iter().map(|&form| forms[form].solid.shape.area()).sum();
    let longest = forms.iter().map(|form| form.solid.shape.diameter()).fold(0.0, f32::max);
    let size = [(area / narrow(height) / LOOSE).max(longest), narrow(height)];
    let mut chance = Chance::new(1);
    let poses: Option<Vec<Pose>> = form_of
        .iter()
        .map(|&form| {
            let turns = forms[form].turns.iter();
            let fitting: Vec<(f32, [[f32; 2]; 2])> =
                turns.filter_map(|(turn, bounds)| Some((*turn, room(size, *bounds)?))).collect();
            let (turn, [low, high]) = *fitting.get(chance.place(fitting.len()))?;
            let at = [0, 1].map(|axis| chance.between(low[axis], high[axis]));
            Some(Pose { sheet: 0, turn, at })
        })
        .collect();
    let mut movers = Separator::new(Arrangement::new(&forms, &form_of, &[size], poses?));
    let search = Search::new();
    let mut budget = Budget::new(evaluations, &search);
    if !movers.separate(&[0], PATIENCE, &mut budget) {
        return None;
    }
    let mut shortening = Shortening::new(movers.into_arrangement(), 0, 0, vec![0]);
    shortening.run(budget.evaluations, u64::MAX, &search);
    let (length, poses) = shortening.best();
    let rings = pieces.iter().zip(&form_of).zip(poses).map(|((piece, &form), pose)| {
        let (sine, cosine) = f64::from(pose.turn).sin_cos();
        let middle = forms[form].solid.middle;
        piece
            .ring
            .iter()
            .map(|point| {
                let [x, y] = [point[0] - middle[0], point[1] - middle[1]];
                [
                    x * cosine - y * sine + f64::from(pose.at[0]),
                    x * sine + y * cosine + f64::from(pose.at[1]),
                ]
            })
            .collect()
    });
    Some(Strip { length: f64::from(length), rings: rings.collect() })
}

fn form(piece: &StripPiece) -> Option<Form> {
    let solid = CollisionPolygon::of_ring(&piece.ring)?;
    let turns = piece
        .turns
        .iter()
        .map(|turn| {
            let turn = narrow(turn.to_radians());
            let turned = solid.shape.transform_clone(&Transformation::from_rotation(turn));
            (turn, turned.bbox())
        })
        .collect();
    let weight = solid.shape.surrogate().convex_hull_area.sqrt();
    Some(Form { solid, turns, grown: 0.0, weight })
}
