//! Kinds of receiver, and what to call them.

/// Kinds of receiver.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// 10 Hz with the receiver's speed.
    Unit10,
    /// 5 Hz with the receiver's speed.
    Unit5,
    /// 25 Hz in local metres, without speed.
    Local25,
    /// 1 Hz with the device's own low-pass and its speed.
    Watch1v,
    /// 1 Hz with the device's own low-pass, positions only.
    Watch1,
    /// 1 Hz with dropouts, jumps and doubles.
    Phone1,
    /// A fix every 1 to 7 s.
    WatchSparse,
    /// Any rate, noise and filter, drawn wider than those of the kinds above: what nothing was tuned on.
    Mixed,
}

impl Kind {
    /// Those that stand for something that can be bought, best first.
    pub const ALL: [Self; 7] = [
        Self::Unit10,
        Self::Unit5,
        Self::Local25,
        Self::Watch1v,
        Self::Watch1,
        Self::Phone1,
        Self::WatchSparse,
    ];

    /// A word for tables and file names.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Unit10 => "unit10",
            Self::Unit5 => "unit5",
            Self::Local25 => "local25",
            Self::Watch1v => "watch1v",
            Self::Watch1 => "watch1",
            Self::Phone1 => "phone1",
            Self::WatchSparse => "watch_sparse",
            Self::Mixed => "mixed",
        }
    }

    /// What it is, in plain words.
    #[must_use]
    pub fn description(self) -> &'static str {
        match self {
            Self::Unit10 => "a fast receiver worn between the shoulders, 10 Hz with speed",
            Self::Unit5 => "a receiver worn between the shoulders, 5 Hz with speed",
            Self::Local25 => "a system fixed at the pitch, 25 Hz in metres, without speed",
            Self::Watch1v => "a watch on the wrist, a fix a second, with speed",
            Self::Watch1 => "a watch on the wrist, a fix a second, positions only",
            Self::Phone1 => "a phone carried along, a fix a second with gaps and jumps",
            Self::WatchSparse => "a watch that saves its battery, a fix every 1 to 7 s",
            Self::Mixed => "a receiver of any rate, noise and filter",
        }
    }

    /// What to call it in a sentence.
    #[must_use]
    pub(crate) fn noun(self) -> &'static str {
        match self {
            Self::Unit10 | Self::Unit5 | Self::Mixed => "receiver",
            Self::Local25 => "system",
            Self::Watch1v | Self::Watch1 | Self::WatchSparse => "watch",
            Self::Phone1 => "phone",
        }
    }
}
