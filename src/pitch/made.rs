//! Motions for the tests of this module.

use crate::motion::{Motion, Sample, SpeedFrom};

/// A motion of these samples, a second apart.
pub(super) fn motion(samples: Vec<Sample>) -> Motion {
    Motion::of_run(samples, 1.0, SpeedFrom::Position)
}
