//! Finds efforts in the motion: sprints, high-speed runs, accelerations, decelerations, turns.
//!
//! A detector a file. Those that hold a value against a threshold share `threshold.rs`, which knows about dwell, dips
//! and the ends of runs, and `probability.rs`, which says how likely each counts and how many there were; none of them
//! smooths anything, the motion is taken as it comes.
//!
//! Efforts of different kinds may cover the same time: a high-speed run is any stretch at or above its threshold, so
//! each sprint of the usual settings lies inside one. The speed bands of [`bands`] are what shares time out without overlap.

mod acceleration;
mod band;
mod deceleration;
mod edge;
mod high_speed_run;
mod measure;
mod probability;
mod sequence;
mod sprint;
mod threshold;
mod turn;

use std::ops::Range;

pub use band::{Band, Within, bands};
pub(crate) use probability::successes;

use crate::measured::Measured;
use crate::motion::Motion;
use crate::note::Note;

/// Fewest fixes a second from which accelerations, decelerations and turns are counted.
///
/// Below it an acceleration of 0.5 s holds two fixes or fewer; the meta-analysis of Harper, Carling and Kiely (2019),
/// Sports Med 49:1923, 10.1007/s40279-019-01170-1, takes receivers of 5 Hz and more only.
pub const LEAST_RATE_HZ: f64 = 5.0;

/// Whether a receiver is meant to write so often: a rate is the median of rounded intervals, so that one of 5 Hz may come out a little
/// below 5.
pub(crate) fn is_fast_enough(rate_hz: f64) -> bool {
    const ROUNDING: f64 = 0.02;
    rate_hz >= LEAST_RATE_HZ * (1.0 - ROUNDING)
}

/// The efforts of a session.
#[derive(Clone, Debug, Default)]
pub struct Efforts {
    /// In order of their start; kinds are mixed.
    pub list: Vec<Effort>,
    /// How many of each kind there were: the sum of the probabilities of all that may have been one, with its 95 % interval, in the
    /// order of the kinds; without those that were not counted.
    pub counts: Vec<(Kind, Measured)>,
    /// Sprints that follow each other closely.
    pub sequences: Vec<Sequence>,
    /// Why accelerations, decelerations and turns were not counted, if they were not.
    pub not_counted: Option<Note>,
}

impl Efforts {
    /// How many of one kind there were; `None` where they were not counted.
    #[must_use]
    pub fn count(&self, kind: Kind) -> Option<Measured> {
        self.counts.iter().find(|(of, _)| *of == kind).map(|c| c.1)
    }

    /// The efforts of one kind, in order of their start.
    pub fn of_kind(&self, kind: Kind) -> impl Iterator<Item = &Effort> {
        self.list.iter().filter(move |effort| effort.kind == kind)
    }
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
    /// Whether the motion's own uncertainty decides if this counts: moved by its 95 % interval towards the threshold,
    /// the effort would not have been found.
    pub near_threshold: bool,
    /// The probability that it counts, given the errors of the motion: from 0.45, below which it is not listed, to 1.
    pub probability: f64,
}

impl Effort {
    /// From start to end, s.
    #[must_use]
    pub(crate) fn duration_s(&self) -> f64 {
        self.end_s - self.start_s
    }
}

/// Kinds of effort.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// At or above the sprint threshold.
    Sprint,
    /// At or above the high-speed threshold; holds the sprints.
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
    /// Least duration of a sprint, s.
    pub sprint_dwell_s: f64,
    /// Least duration of a high-speed run, s.
    pub high_speed_dwell_s: f64,
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

impl Default for Bands {
    fn default() -> Self {
        Self {
            walk_m_s: 0.2,
            jog_m_s: 2.0,
            run_m_s: 4.0,
            high_speed_m_s: 5.5,
            sprint_m_s: 7.0,
        }
    }
}

impl Default for Thresholds {
    fn default() -> Self {
        Self {
            bands: Bands::default(),
            sprint_dwell_s: 1.0,
            high_speed_dwell_s: 1.0,
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

/// Finds the efforts of a session, in order of their start.
///
/// Accelerations, decelerations and turns need [`LEAST_RATE_HZ`]; turns need positions too. What was not counted is
/// said in [`Efforts::not_counted`].
#[must_use]
pub fn detect(motion: &Motion, thresholds: &Thresholds) -> Efforts {
    let fast_enough = is_fast_enough(motion.rate_hz);

    let (sprints, sprint_count) = sprint::sprints(motion, thresholds);
    let sequences = sequence::sequences(&sprints, thresholds);
    let mut list = sprints;
    let mut counts = vec![(Kind::Sprint, sprint_count)];
    let mut add = |kind: Kind, (efforts, count): (Vec<Effort>, Measured)| {
        list.extend(efforts);
        counts.push((kind, count));
    };
    add(
        Kind::HighSpeedRun,
        high_speed_run::high_speed_runs(motion, thresholds),
    );
    if fast_enough {
        add(
            Kind::Acceleration,
            acceleration::accelerations(motion, thresholds),
        );
        add(
            Kind::Deceleration,
            deceleration::decelerations(motion, thresholds),
        );
        if motion.has_position {
            add(Kind::Turn, turn::turns(motion, thresholds));
        }
    } else {
        for effort in &mut list {
            effort.peak_acceleration_m_s2 = None;
        }
    }
    list.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));

    Efforts {
        list,
        counts,
        sequences,
        not_counted: not_counted(motion, fast_enough),
    }
}

/// What is said of what was left out, if anything was.
fn not_counted(motion: &Motion, fast_enough: bool) -> Option<Note> {
    if motion.samples.is_empty() {
        None
    } else if !fast_enough {
        Some(Note::FewFixes {
            rate_hz: motion.rate_hz,
            least_hz: LEAST_RATE_HZ,
        })
    } else if !motion.has_position {
        Some(Note::NoTurns)
    } else {
        None
    }
}
