//! Motions for the tests of this module.

use crate::motion::{Motion, Sample, Signs, SpeedFrom};

/// A motion of these samples, a second apart.
pub(super) fn motion(samples: Vec<Sample>) -> Motion {
    Motion {
        runs: std::iter::once(0..samples.len()).collect(),
        samples,
        step_s: 1.0,
        speed_from: SpeedFrom::Position,
        has_position: true,
        rate_hz: 1.0,
        irregular: false,
        signs: Signs::default(),
    }
}
