//! Totals of the whole recording.

use crate::efforts;
use crate::review::{Evidence, Totals};

/// Distance, top speed, and time and distance by band.
pub(super) fn sum(evidence: &Evidence<'_>) -> Totals {
    let motion = evidence.motion;
    let all = 0..motion.samples.len();
    Totals {
        distance_m: motion.distance(all.clone()),
        top_speed_m_s: motion.top_speed(),
        bands: efforts::bands(motion, &evidence.thresholds.bands),
    }
}
