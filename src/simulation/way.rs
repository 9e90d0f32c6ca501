//! Where a recording begins and ends that knows the way to the pitch and home.

use crate::simulation::body::Place;
use crate::simulation::drill::Field;
use crate::simulation::rng::Rng;
use crate::simulation::world::{Habits, Ride};

/// A place off the field from which it is reached on foot in less than half of some time.
pub(super) fn outside(field: Field, within_s: f64, rng: &mut Rng) -> Place {
    let off_m = rng.range(15.0, (0.5 * within_s).clamp(16.0, 250.0));
    let along = rng.range(0.0, 1.0);
    match rng.whole(0, 3) {
        0 => [-off_m, along * field.width_m],
        1 => [field.length_m + off_m, along * field.width_m],
        2 => [along * field.length_m, -off_m],
        _ => [along * field.length_m, field.width_m + off_m],
    }
}

/// Where a ride begins or ends whose other end is a place by the field.
pub(super) fn far_off(field: Field, by: Place, ride: Ride) -> Place {
    let away = [by[0] - field.length_m / 2.0, by[1] - field.width_m / 2.0];
    let far = away[0].hypot(away[1]).max(1.0);
    // Stops and detours take a third of the time.
    let way_m = 0.65 * ride.speed_m_s * ride.length_s;
    [by[0] + way_m * away[0] / far, by[1] + way_m * away[1] / far]
}

/// Where the recording starts, and where the way on foot begins.
pub(super) fn start(field: Field, habits: &Habits, rng: &mut Rng) -> Option<(Place, Place)> {
    if habits.before_s <= 0.0 {
        return None;
    }
    let by = outside(field, habits.before_s, rng);
    let from = habits.rides[0].map_or(by, |ride| far_off(field, by, ride));
    Some((from, by))
}
