//! The lines of a pitch.

use super::Size;

/// One line, arc or mark, in metres from the centre mark: along the touchlines, and across them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Mark {
    /// A straight line.
    Line {
        /// One end.
        from_m: [f64; 2],
        /// The other.
        to_m: [f64; 2],
    },
    /// Part of a circle, or the whole.
    Arc {
        /// Its middle.
        centre_m: [f64; 2],
        /// Its radius.
        radius_m: f64,
        /// Where it begins, anticlockwise from the touchline's direction.
        from_rad: f64,
        /// How far it goes on, anticlockwise; a turn for a whole circle.
        sweep_rad: f64,
    },
    /// A mark on the ground.
    Spot {
        /// Its middle.
        at_m: [f64; 2],
    },
}

/// A mark with its name in the Laws of the Game.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Marking {
    /// Its name.
    pub name: &'static str,
    /// Its shape.
    pub mark: Mark,
}

/// The touchlines and goal lines of a pitch of this size.
#[must_use]
pub fn markings(size: Size) -> Vec<Marking> {
    let (half_length, half_width) = (size.length_m / 2.0, size.width_m / 2.0);
    let line = |name, from_m, to_m| Marking {
        name,
        mark: Mark::Line { from_m, to_m },
    };
    [-1.0, 1.0]
        .into_iter()
        .flat_map(|side| {
            let (along, across) = (side * half_length, side * half_width);
            [
                line("touchline", [-half_length, across], [half_length, across]),
                line("goal line", [along, -half_width], [along, half_width]),
            ]
        })
        .collect()
}
