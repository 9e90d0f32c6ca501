//! How much: sets, reps and the work of one rep.

/// How much: `12 min`, `8 x 10 s`, `3 x 8 x 10 s`, `5 x 40 m`, `3 x 6 reps`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Dose {
    /// One unbroken bout of so many seconds; reviewed as one set of one rep.
    Continuous {
        /// Its length, s.
        duration_s: f64,
    },
    /// Sets of reps.
    Reps {
        /// How many sets, at least 1.
        sets: u32,
        /// How many reps in a set, at least 1.
        reps: u32,
        /// The work of one rep.
        work: Work,
    },
}

/// The work of one rep.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Work {
    /// For so many seconds.
    Duration(f64),
    /// Over so many metres.
    Distance(f64),
    /// Counted; its length is given by `over`, or not at all.
    Count,
}

impl Work {
    /// The seconds, of timed work.
    pub(crate) fn seconds(&self) -> Option<f64> {
        match *self {
            Self::Duration(seconds) => Some(seconds),
            Self::Distance(_) | Self::Count => None,
        }
    }

    /// The metres, of work over a distance.
    pub(super) fn metres(&self) -> Option<f64> {
        match *self {
            Self::Distance(metres) => Some(metres),
            Self::Duration(_) | Self::Count => None,
        }
    }
}
