//! Totals of the whole recording.

use crate::efforts;
use crate::motion::Motion;
use crate::review::{Evidence, Totals};

/// Distance, top speed, and time and distance by band.
pub(super) fn sum(evidence: &Evidence<'_>) -> Totals {
    let motion = evidence.motion;
    let all = 0..motion.samples.len();
    Totals {
        distance_m: motion.distance(all.clone()),
        top_speed_m_s: has_speed(motion).then(|| motion.peak_speed(all)),
        bands: efforts::bands(motion, &evidence.thresholds.bands),
    }
}

/// A top speed needs at least two samples that were measured and not bridged.
fn has_speed(motion: &Motion) -> bool {
    motion
        .samples
        .iter()
        .filter(|s| !s.bridged)
        .nth(1)
        .is_some()
}
