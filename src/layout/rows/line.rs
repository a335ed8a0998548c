//! The line or the arc that a row runs along.

use std::f64::consts::PI;

use crate::model::length::Length;

/// The largest radius: an arc of more is a line on any page.
pub(super) const MOST_RADIUS: Length = Length::part(200, 1);

/// A line or an arc; places on it count from its start.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line {
    form: Form,
}

#[derive(Clone, Copy, Debug)]
enum Form {
    Straight { from: [Length; 2], to: [Length; 2] },
    Arc { center: [Length; 2], radius: Length, degrees: [f64; 2] },
}

impl Line {
    pub const fn straight(from: [Length; 2], to: [Length; 2]) -> Self {
        Self { form: Form::Straight { from, to } }
    }

    /// An arc by its angles, clockwise from straight up.
    pub const fn arc(center: [Length; 2], radius: Length, degrees: [f64; 2]) -> Self {
        Self { form: Form::Arc { center, radius, degrees } }
    }

    /// Whether it is a whole circle.
    pub fn is_closed(&self) -> bool {
        match self.form {
            Form::Straight { .. } => false,
            Form::Arc { degrees: [from, to], .. } => (to - from).abs() >= 360.0,
        }
    }

    /// Its length.
    pub fn length(&self) -> Length {
        match self.form {
            Form::Straight { from, to } => {
                let [across, down] = [to[0] - from[0], to[1] - from[1]];
                if across == Length::ZERO || down == Length::ZERO {
                    return across.abs() + down.abs();
                }
                Length::inches(across.to_inches().hypot(down.to_inches()))
            }
            Form::Arc { radius, degrees: [from, to], .. } => {
                Length::inches(radius.to_inches() * (to - from).abs() * PI / 180.0)
            }
        }
    }

    /// Degrees clockwise that a line which runs to the right is turned by; 0 of an arc, whose pieces' own
    /// width counts.
    pub fn angle(&self) -> f64 {
        match self.form {
            Form::Straight { from, to } => {
                let [across, down] = [to[0] - from[0], to[1] - from[1]].map(Length::to_inches);
                down.atan2(across).to_degrees()
            }
            Form::Arc { .. } => 0.0,
        }
    }

    /// Where the middle of a piece lies that begins at `start`, and how far it is turned if it turns with the
    /// line. On an arc its top is turned outwards; where the arc hangs below its middle, inwards.
    pub fn at(&self, start: Length, width: Length) -> ([Length; 2], f64) {
        let middle = start + width / 2;
        match self.form {
            Form::Straight { from, to } => {
                let length = self.length().to_nanometres().max(1);
                let step = |axis: usize| {
                    let whole = i128::from((to[axis] - from[axis]).to_nanometres());
                    let part = whole * i128::from(middle.to_nanometres()) / i128::from(length);
                    from[axis] + Length::nanometres(i64::try_from(part).unwrap_or_default())
                };
                ([step(0), step(1)], self.angle())
            }
            Form::Arc { center, radius, degrees: [from, to] } => {
                let part = middle.to_inches() / self.length().to_inches();
                let angle = from + (to - from) * part;
                let hangs = ((from + to) / 2.0).to_radians().cos() < -1e-9;
                let (sine, cosine) = angle.to_radians().sin_cos();
                let radius = radius.to_inches();
                let at = [
                    center[0] + Length::inches(radius * sine),
                    center[1] - Length::inches(radius * cosine),
                ];
                (at, if hangs && !self.is_closed() { angle - 180.0 } else { angle })
            }
        }
    }

    /// How distances along it are told.
    pub const fn in_words(&self) -> &'static str {
        match self.form {
            Form::Straight { .. } => "",
            Form::Arc { .. } => " along the arc",
        }
    }
}
