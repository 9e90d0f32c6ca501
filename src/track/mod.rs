//! Cleans a trace: ordered, spikes and duplicates set aside, in local metres.

use crate::trace::{Clock, SetAside};

/// A cleaned recording.
#[derive(Clone, Debug)]
pub struct Track {
    /// Points in strictly increasing time.
    pub points: Vec<Point>,
    /// What `time_s` counts from: the session's start, which is the first usable fix.
    pub start: Clock,
    /// Every fix of the file, used or not.
    pub fixes: usize,
    /// Fixes not used, by reason, those of the reading included: `points.len()` plus these is `fixes`.
    pub set_aside: Vec<SetAside>,
    /// Stretches with no usable fix that are too long to bridge, or breaks that the file itself marks.
    pub gaps: Vec<Gap>,
    /// The usual rate of fixes.
    pub rate: Rate,
    /// Notes for the reader of the account.
    pub notes: Vec<String>,
}

/// One usable fix in the local frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Seconds from the session's start.
    pub time_s: f64,
    /// East (or x) and north (or y), m; `None` where only speed was recorded.
    pub position_m: Option<[f64; 2]>,
    /// The receiver's speed, m/s.
    pub speed_m_s: Option<f64>,
    /// Heart rate, beats a minute.
    pub heart_rate_bpm: Option<f64>,
    /// Whether a gap lies between the point before and this one.
    pub after_gap: bool,
    /// Index into the fixes of the trace.
    pub fix: u32,
}

/// A stretch without usable fixes, seconds from the session's start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Time of the last fix before.
    pub start_s: f64,
    /// Time of the first fix after.
    pub end_s: f64,
}

/// How often the receiver wrote.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    /// Fixes a second: 1 over the median interval.
    pub hz: f64,
    /// Whether intervals vary by more than a dropped fix now and then explains.
    pub irregular: bool,
}

/// When a fix is set aside and when a silence is a gap.
#[derive(Clone, Debug, PartialEq)]
pub struct Rules {
    /// Longest silence that is bridged, s.
    pub bridge_s: f64,
    /// Fastest believable speed, m/s.
    pub max_speed_m_s: f64,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            bridge_s: 10.0,
            max_speed_m_s: 12.5,
        }
    }
}
