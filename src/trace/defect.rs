//! What could not be used, and what is worth a word: kept with its reason and place, never dropped.

use std::fmt;

/// Fixes set aside for one reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetAside {
    /// Why, in plain words, such as "no time".
    pub reason: String,
    /// How many.
    pub count: usize,
    /// Line of the first one, if it has a place.
    pub first_line: Option<u64>,
}

/// Something wrong or worth a word in the file that did not stop the reading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Defect {
    /// Line of the file, from 1, if it has a place.
    pub line: Option<u64>,
    /// One plain sentence.
    pub message: String,
}

impl Defect {
    pub(super) fn at(line: u64, message: impl Into<String>) -> Self {
        Self {
            line: Some(line),
            message: message.into(),
        }
    }

    pub(super) fn new(message: impl Into<String>) -> Self {
        Self {
            line: None,
            message: message.into(),
        }
    }
}

/// Why a fix is set aside. A fixed set, so that a hostile file cannot make the account grow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Reason {
    /// The time field is missing or empty.
    NoTime,
    /// The time field holds something else.
    BadTime,
    /// A time before 1970 or after 2200, or an elapsed time that no recording reaches.
    TimeOutOfRange,
    /// Another kind of time than most fixes of the file carry.
    OtherClock,
    /// Neither a position nor a speed.
    NothingMeasured,
    /// One coordinate of two.
    HalfPosition,
    /// A coordinate that is not a number.
    BadPosition,
    /// A column of hemispheres says something else, or nothing.
    BadHemisphere,
    /// A coordinate outside its range, or not finite.
    PositionOutOfRange,
    /// The only measured field is a speed that is no usable number.
    BadSpeed,
    /// The receiver says that it had no fix.
    NoFix,
    /// A row with more cells than columns.
    TooManyCells,
    /// A row that is no row: longer, or with more cells, than any table has.
    LineTooLong,
    /// The file ends inside it.
    CutOff,
    /// One point inside another.
    Nested,
    /// It stands after the damage at which the reading stopped.
    AfterDamage,
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoTime => "no time",
            Self::BadTime => "time not readable",
            Self::TimeOutOfRange => "time out of range (1970 to 2200)",
            Self::OtherClock => "another kind of time than most fixes of the file",
            Self::NothingMeasured => "no position and no speed",
            Self::HalfPosition => "one coordinate of two missing",
            Self::BadPosition => "position not a number",
            Self::BadHemisphere => "hemisphere not readable (N, S, E or W)",
            Self::PositionOutOfRange => "position out of range",
            Self::BadSpeed => "speed not usable",
            Self::NoFix => "the receiver says it had no fix",
            Self::TooManyCells => "more cells than columns",
            Self::LineTooLong => "line too long",
            Self::CutOff => "cut off",
            Self::Nested => "inside another point",
            Self::AfterDamage => "after the damage in the file",
        })
    }
}

/// Counts by key, with the line of the first of each. The keys are few, so a list is searched.
#[derive(Debug)]
pub(super) struct Tally<K>(Vec<(K, usize, u64)>);

impl<K> Default for Tally<K> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<K: PartialEq + Copy> Tally<K> {
    pub(super) fn add(&mut self, key: K, line: u64) {
        self.add_many(key, 1, line);
    }

    pub(super) fn add_many(&mut self, key: K, count: usize, line: u64) {
        if count == 0 {
            return;
        }
        match self.0.iter_mut().find(|entry| entry.0 == key) {
            Some(entry) => {
                entry.1 += count;
                entry.2 = entry.2.min(line);
            }
            None => self.0.push((key, count, line)),
        }
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = (K, usize, u64)> + '_ {
        self.0.iter().copied()
    }

    pub(super) fn total(&self) -> usize {
        self.0.iter().map(|entry| entry.1).sum()
    }
}

impl Tally<Reason> {
    pub(super) fn into_set_aside(self) -> Vec<SetAside> {
        self.0
            .into_iter()
            .map(|(reason, count, line)| SetAside {
                reason: reason.to_string(),
                count,
                first_line: Some(line),
            })
            .collect()
    }
}
