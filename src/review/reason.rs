//! Why a rep is not simply done, as a kind with its facts; words are made where it is written.

/// What kept a rep from being done, or the recording from telling.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reason {
    /// The plan does not look like this recording's.
    NotThisPlan,
    /// The receiver wrote too seldom for work as short as this.
    TooSparse {
        /// Time from one place to the next, s.
        apart_s: f64,
    },
    /// It was started and cut off.
    CutOff {
        /// The share of it that was done.
        share: f64,
        /// What was planned.
        planned: Planned,
    },
    /// So much of the time of continuous work was done.
    PartOfTime {
        /// The share of it.
        share: f64,
    },
    /// It was run in full, but below the speed asked for; both stand beside it.
    Slow,
    /// Whether it was run in full cannot be told.
    FullOpen,
    /// It was not done in full; whether it was cut short or left out cannot be told.
    NotInFull,
    /// Whether it was this one cannot be told.
    WhichOpen,
    /// Whether it was this set cannot be told.
    SetOpen,
    /// Whether it was done cannot be told.
    DoneOpen,
    /// Where it was, or whether all of it, cannot be told.
    PlaceOpen,
    /// The reps of its set were counted, but not surely.
    CountOpen {
        /// About so many.
        reps: usize,
    },
    /// It was begun and left, after others of its set.
    Left {
        /// Those done in full.
        reps: usize,
    },
    /// Its set ended before it.
    SetEnded {
        /// Reps of it that were done.
        reps: usize,
    },
    /// The recording has a gap where it would be.
    Gap,
    /// Work that would suit it was done at another time than planned.
    OtherTime,
    /// As much time as its block takes passed where it should have been.
    TimePassed,
    /// One block like its own was done; which of the two cannot be told.
    AlikeDone,
    /// The receiver hardly shows work on so short a way.
    ShortWay,
    /// Nothing like it is found up to the end of the recording.
    NotToTheEnd,
    /// The recording begins with later work.
    BeginsLater,
    /// It is not in the recording.
    NotThere,
}

/// What was planned of a rep that was cut off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Planned {
    /// A time, s.
    Time(f64),
    /// A distance, m.
    Distance(f64),
}
