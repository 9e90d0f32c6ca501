//! The pitch under a session: its size, where it lies in the session's metres, its markings, and the time in its parts.
//!
//! It is one that was kept ([`Kept`]) or asked for, one of the plan's size, laid where it fits the motion ([`fit()`]), or one
//! that laps were run around ([`laps()`]);
//! [`Ground`] says which. A fit that is not sure is not used.

mod file;
mod fit;
mod ground;
mod kept;
mod laps;
#[cfg(test)]
mod made;
mod markings;
mod zones;

pub use file::{FileError, from_corners, read as read_corners};
pub use fit::{Fit, fit};
pub use ground::Ground;
pub use kept::Kept;
pub use laps::laps;
pub use markings::{Mark, Marking, markings};
pub(crate) use zones::{Part, zones};

/// The size of a pitch between the outer edges of its lines.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// Along the touchline, m.
    pub length_m: f64,
    /// Along the goal line, m.
    pub width_m: f64,
}

/// A pitch in the metres of a session.
#[derive(Clone, Debug, PartialEq)]
pub struct Pitch {
    /// Its size.
    pub size: Size,
    /// Its centre mark in the session's metres: east and north, or x and y.
    pub centre_m: [f64; 2],
    /// Direction of the touchlines, anticlockwise from the session's first axis, from 0 up to pi. Which goal is which is not
    /// told by it.
    pub turn_rad: f64,
    /// Standard deviation of the centre along one axis, m.
    pub centre_sd_m: f64,
    /// Standard deviation of the direction, rad.
    pub turn_sd_rad: f64,
    /// How it is known.
    pub source: Source,
}

/// How a pitch is known.
#[derive(Clone, Debug, PartialEq)]
pub enum Source {
    /// From its corners.
    Corners,
    /// From the pitches kept earlier, by this name.
    Kept(String),
    /// Of a size that was given, laid where it fits the motion best.
    Fitted,
    /// From laps around its lines.
    Laps,
}

impl Pitch {
    /// A place of the session in metres from the centre mark: along the touchlines, and across them.
    #[must_use]
    pub(crate) fn to_pitch(&self, place_m: [f64; 2]) -> [f64; 2] {
        let (sin, cos) = self.turn_rad.sin_cos();
        let (x, y) = (place_m[0] - self.centre_m[0], place_m[1] - self.centre_m[1]);
        [cos * x + sin * y, cos * y - sin * x]
    }
}
