//! Whether two sessions can be compared, and what must be said of them.

use super::{Quantity, Row, Side};
use crate::motion::SpeedFrom;

/// Rates within this share of each other are the same.
const SAME_RATE: f64 = 0.2;
/// The diary keeps thresholds to the thousandth.
const SAME_THRESHOLD_M_S: f64 = 1e-3;

/// Whether running counted as fast from the same speeds on.
pub(super) fn same_thresholds(a: &Side, b: &Side) -> bool {
    a.recorded
        .thresholds_m_s
        .iter()
        .zip(b.recorded.thresholds_m_s)
        .all(|(a, b)| (a - b).abs() < SAME_THRESHOLD_M_S)
}

/// Whether a sprint counted as one by the same rules.
pub(super) fn same_sprints(a: &Side, b: &Side) -> bool {
    let rules = match (&a.rules, &b.rules) {
        (Some(a), Some(b)) => {
            a.efforts.sprint_dwell_s == b.efforts.sprint_dwell_s
                && a.efforts.bridge_s == b.efforts.bridge_s
        }
        // What the diary kept does not tell; the thresholds must do.
        _ => true,
    };
    rules && same_thresholds(a, b)
}

/// Whether both were smoothed in the same way, as far as it is known.
pub(super) fn same_smoothing(a: &Side, b: &Side) -> bool {
    match (&a.rules, &b.rules) {
        (Some(a), Some(b)) => a.smoothing == b.smoothing,
        _ => true,
    }
}

/// Whether both seem to come from one kind of receiver.
fn same_receiver(a: &Side, b: &Side) -> bool {
    let (a, b) = (a.receiver, b.receiver);
    let known = |one: Option<SpeedFrom>, other| one.is_none() || other == one;
    let rates = (a.rate_hz - b.rate_hz).abs() <= SAME_RATE * a.rate_hz.max(b.rate_hz);
    let speeds = b.speed_from.is_none() || known(a.speed_from, b.speed_from);
    let steady = match (a.irregular, b.irregular) {
        (Some(a), Some(b)) => a == b,
        _ => true,
    };
    rates && speeds && steady
}

/// What must be said of the sessions against the base.
pub(super) fn notes(sides: &[Side], rows: &[Row]) -> Vec<String> {
    let Some((base, others)) = sides.split_first() else {
        return Vec::new();
    };
    let mut notes = Vec::new();
    for other in others {
        if !same_thresholds(base, other) {
            notes.push(format!(
                "{}: running counts as fast and as a sprint from other speeds on than in {}; fast distances and sprints are not \
                 compared.",
                other.name, base.name
            ));
        } else if !same_sprints(base, other) {
            notes.push(format!(
                "{}: a sprint has another least duration or may dip longer than in {}; sprints are not compared.",
                other.name, base.name
            ));
        }
        if !same_smoothing(base, other) {
            notes.push(format!(
                "{}: smoothed by another filter than {}; what is measured is not compared.",
                other.name, base.name
            ));
        }
        if !same_receiver(base, other) {
            notes.push(format!(
                "{}: recorded by another kind of receiver than {} ({}; {}). What a receiver always gets wrong in one way does not \
                 cancel between the two.",
                other.name,
                base.name,
                receiver(other),
                receiver(base)
            ));
        }
        if let (Some(own), Some(athlete)) = (&base.athlete, &other.athlete)
            && own != athlete
        {
            notes.push(format!(
                "{} is of {athlete}, {} of {own}.",
                other.name, base.name
            ));
        }
    }
    if rows.iter().any(|row| row.quantity == Quantity::Sprints) {
        notes.push(
            "Sums and counts have no interval and get no verdict: a run near the threshold may be counted in one recording and not in \
             the other."
                .to_owned(),
        );
    }
    notes
}

fn receiver(side: &Side) -> String {
    let rate = format!("{:.1} Hz", side.receiver.rate_hz).replace(".0 Hz", " Hz");
    let irregular = if side.receiver.irregular == Some(true) {
        ", irregular"
    } else {
        ""
    };
    let speed = match side.receiver.speed_from {
        Some(SpeedFrom::Receiver) => ", its own speed",
        Some(SpeedFrom::Position) => ", speed from positions",
        Some(SpeedFrom::Both) => ", its own speed and positions",
        None => "",
    };
    format!("{rate}{irregular}{speed}")
}
