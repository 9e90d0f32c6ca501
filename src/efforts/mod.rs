//! Finds efforts in the motion: sprints, high-speed runs, accelerations, decelerations, turns.

use std::ops::Range;

use crate::measured::Measured;

/// The efforts of a session.
#[derive(Clone, Debug)]
pub struct Efforts {
    /// In order of their start; kinds are mixed.
    pub list: Vec<Effort>,
    /// Sprints that follow each other closely.
    pub sequences: Vec<Sequence>,
    /// Why accelerations, decelerations and turns were not counted, if they were not.
    pub not_counted: Option<String>,
}

/// One effort.
#[derive(Clone, Debug, PartialEq)]
pub struct Effort {
    /// What it is.
    pub kind: Kind,
    /// The samples of the motion that it covers.
    pub window: Range<usize>,
    /// Start, seconds from the session's start.
    pub start_s: f64,
    /// End, seconds from the session's start.
    pub end_s: f64,
    /// Distance covered, m.
    pub distance_m: f64,
    /// Highest speed inside, m/s.
    pub peak_speed_m_s: Measured,
    /// Largest acceleration inside (for a deceleration: the most negative), m/s2; `None` below 5 Hz.
    pub peak_acceleration_m_s2: Option<Measured>,
    /// Change of course, degrees, for turns; left (anticlockwise) positive.
    pub turn_deg: Option<f64>,
}

/// Kinds of effort.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// At or above the sprint threshold.
    Sprint,
    /// At or above the high-speed threshold.
    HighSpeedRun,
    /// Speeding up.
    Acceleration,
    /// Braking.
    Deceleration,
    /// Change of direction.
    Turn,
}

/// Sprints with short recoveries between.
#[derive(Clone, Debug, PartialEq)]
pub struct Sequence {
    /// Start of the first sprint, s.
    pub start_s: f64,
    /// End of the last sprint, s.
    pub end_s: f64,
    /// How many sprints.
    pub sprints: usize,
    /// Mean time from the end of one to the start of the next, s.
    pub mean_recovery_s: f64,
}

/// What counts as an effort; see `repledger settings` for each default's source.
#[derive(Clone, Debug, PartialEq)]
pub struct Thresholds {
    /// Edges between stand, walk, jog, run, high-speed run and sprint, m/s.
    pub bands: Bands,
    /// Least duration of a sprint or high-speed run, s.
    pub dwell_s: f64,
    /// Longest dip below the threshold that does not end an effort, s.
    pub bridge_s: f64,
    /// An acceleration reaches this, m/s2.
    pub acceleration_m_s2: f64,
    /// A deceleration reaches minus this, m/s2.
    pub deceleration_m_s2: f64,
    /// Least duration of an acceleration or deceleration, s.
    pub acceleration_dwell_s: f64,
    /// Least change of course of a turn, degrees.
    pub turn_deg: f64,
    /// Longest time for that change, s.
    pub turn_within_s: f64,
    /// Least speed before and after a turn, m/s.
    pub turn_speed_m_s: f64,
    /// Longest recovery between the sprints of a sequence, s.
    pub sequence_recovery_s: f64,
    /// Fewest sprints in a sequence.
    pub sequence_sprints: usize,
}

/// Lower edges of the speed bands, m/s, increasing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bands {
    /// Walking from here; below is standing.
    pub walk_m_s: f64,
    /// Jogging from here.
    pub jog_m_s: f64,
    /// Running from here.
    pub run_m_s: f64,
    /// High-speed running from here.
    pub high_speed_m_s: f64,
    /// Sprinting from here.
    pub sprint_m_s: f64,
}

impl Default for Thresholds {
    fn default() -> Self {
        Self {
            bands: Bands {
                walk_m_s: 0.2,
                jog_m_s: 2.0,
                run_m_s: 4.0,
                high_speed_m_s: 5.5,
                sprint_m_s: 7.0,
            },
            dwell_s: 1.0,
            bridge_s: 0.5,
            acceleration_m_s2: 3.0,
            deceleration_m_s2: 3.0,
            acceleration_dwell_s: 0.5,
            turn_deg: 90.0,
            turn_within_s: 1.6,
            turn_speed_m_s: 2.0,
            sequence_recovery_s: 60.0,
            sequence_sprints: 2,
        }
    }
}
