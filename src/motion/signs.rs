//! What a recording shows of its receiver, beyond its rate.

use crate::track::{Track, apart_m};

/// Signs by which one kind of receiver is told from another.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Signs {
    /// Whether the positions are places on earth, as satellites give them, and not of a system at the pitch.
    pub by_satellite: bool,
    /// How long the path from fix to fix is while he runs, as a share of the integral of the receiver's speed; `None` where
    /// one of the two is not there, or hardly anything was run.
    ///
    /// A device that filters its positions cuts corners, so its path falls short of a speed that was taken before the
    /// filter. A path as long as the speed says shows that the speed was filtered as a vector too, and is cut alike.
    pub path_share: Option<f64>,
}

/// Both fixes of a step lie above this in the mean, m/s: the drift of a standing receiver makes a path, but no speed.
const RUNNING_M_S: f64 = 2.0;
/// Least distance run to judge by, m.
const LEAST_M: f64 = 300.0;

/// The signs of a track.
pub(super) fn of(track: &Track) -> Signs {
    let (mut path_m, mut by_speed_m) = (0.0, 0.0);
    for pair in track.points.windows(2) {
        let [before, after] = pair else { continue };
        if after.after_gap {
            continue;
        }
        if let (Some(a), Some(b), Some(from), Some(to)) = (
            before.position_m(),
            after.position_m(),
            before.speed_m_s(),
            after.speed_m_s(),
        ) {
            let speed = f64::midpoint(from, to);
            if speed > RUNNING_M_S {
                path_m += apart_m(a, b);
                by_speed_m += speed * (after.time_s - before.time_s);
            }
        }
    }
    Signs {
        by_satellite: track.frame.is_some(),
        path_share: (by_speed_m > LEAST_M).then(|| path_m / by_speed_m),
    }
}
