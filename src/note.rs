//! Notes: what the reader of a review must know to trust its numbers.
//!
//! A stage that has something to say gives its kind and facts; the sentence is made where a review is written, so that no promise
//! hangs on how a sentence begins. Each kind says what it would give away of where and when a session was.

use jiff::civil::Date;

/// What there is to say.
#[derive(Clone, Debug, PartialEq)]
pub enum Note {
    /// Something in the file that did not stop the reading, such as a line that was passed over.
    InFile {
        /// Line of the file, from 1, if it has a place.
        line: Option<u64>,
        /// A sentence without its stop; of a line it may quote what stands there.
        message: String,
    },
    /// The recording holds no positions.
    NoPositions,
    /// Speed comes from positions, fewer than four a second.
    SpeedFromPositions,
    /// The receiver wrote at irregular intervals.
    Irregular {
        /// Mean interval, s.
        apart_s: f64,
    },
    /// Stretches without fixes that are not bridged.
    Gaps {
        /// How many.
        count: usize,
        /// Their length in all, s.
        lost_s: f64,
    },
    /// The times of the recording name no zone.
    NoZone,
    /// Fixes stood out of order in the file.
    OutOfOrder {
        /// How many.
        fixes: usize,
    },
    /// The clock of the recording has whole seconds only, with several fixes in each.
    WholeSeconds,
    /// Speeds of the receiver were not believable.
    WildSpeeds {
        /// How many.
        count: usize,
    },
    /// Positions were not believable, and the speed beside them was used.
    WildPositions {
        /// How many.
        count: usize,
    },
    /// The receiver's speed contradicts its own positions.
    SpeedDisagrees {
        /// Its speed over that of the positions.
        factor: f64,
    },
    /// The device pauses while its wearer stands.
    Pauses {
        /// How often.
        count: usize,
        /// Their length in all, s.
        total_s: f64,
    },
    /// Accelerations, decelerations and turns are not counted: the fixes are too far apart.
    FewFixes {
        /// Fixes a second.
        rate_hz: f64,
        /// Fewest that are needed, 1/s.
        least_hz: f64,
    },
    /// Turns are not counted, since there are no positions.
    NoTurns,
    /// Sprints have no curve: the fixes are too far apart.
    NoCurves,
    /// The recording does not look like the plan.
    NotThisPlan,
    /// Much of the plan is not in the recording.
    MuchNotInRecording,
    /// The blocks were done in another order than planned.
    OtherOrder {
        /// Blocks of the plan, from 1, in the order they were done.
        blocks: Vec<usize>,
    },
    /// Of some planned reps the recording cannot tell.
    Unresolved {
        /// How many.
        reps: usize,
        /// Of how many.
        planned: usize,
    },
    /// Plan and recording are of different days.
    OtherDay {
        /// The day in the plan's header.
        planned: Date,
        /// The day of the recording.
        recorded: Date,
    },
    /// Nothing of the plan was done as planned.
    NothingDone,
    /// The pitch that was asked for lies elsewhere.
    PitchElsewhere,
    /// A recording in metres does not say where on earth it is, so that the pitch asked for cannot be laid under it.
    PitchWithoutPlace,
    /// The motion leaves open where the plan's pitch lies.
    PitchOpen {
        /// 95 % of its centre lie within this, m.
        off_m: f64,
        /// 95 % of its direction lie within this, degrees.
        off_deg: f64,
    },
    /// The plan's pitch is smaller than the motion.
    PitchTooSmall {
        /// Share of the time that would be outside.
        outside: f64,
        /// Along the touchline, m.
        length_m: f64,
        /// Along the goal line, m.
        width_m: f64,
    },
}

/// What a note gives away of a session.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reveals {
    /// Nothing of where or when it was.
    Nothing,
    /// It may say where it was.
    Place,
    /// It says on which day it was.
    Day,
}

impl Note {
    /// What it gives away; whoever adds a kind decides it here.
    #[must_use]
    pub fn reveals(&self) -> Reveals {
        match self {
            // What was wrong with a line quotes it.
            Self::InFile { line: Some(_), .. } => Reveals::Place,
            Self::OtherDay { .. } => Reveals::Day,
            Self::InFile { line: None, .. }
            | Self::NoPositions
            | Self::SpeedFromPositions
            | Self::Irregular { .. }
            | Self::Gaps { .. }
            | Self::NoZone
            | Self::OutOfOrder { .. }
            | Self::WholeSeconds
            | Self::WildSpeeds { .. }
            | Self::WildPositions { .. }
            | Self::SpeedDisagrees { .. }
            | Self::Pauses { .. }
            | Self::FewFixes { .. }
            | Self::NoTurns
            | Self::NoCurves
            | Self::NotThisPlan
            | Self::MuchNotInRecording
            | Self::OtherOrder { .. }
            | Self::Unresolved { .. }
            | Self::NothingDone
            | Self::PitchElsewhere
            | Self::PitchWithoutPlace
            | Self::PitchOpen { .. }
            | Self::PitchTooSmall { .. } => Reveals::Nothing,
        }
    }
}
