//! What stands in one cell.

use std::fmt;

use jiff::civil::{Date, DateTime};
use jiff::{SignedDuration, Timestamp};

use super::super::parts::rounded;

/// A typed value, or none.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Words; they may come from a file and hold anything.
    Text(String),
    /// A count or a number in an order.
    Int(i64),
    /// A quantity, rounded.
    Number(f64),
    /// Yes or no.
    Bool(bool),
    /// A day.
    Day(Date),
    /// A moment.
    Time(Moment),
    /// Not known, or not so.
    Missing,
}

/// A moment of a recording.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Moment {
    /// In universal time.
    Utc(Timestamp),
    /// By a clock whose zone was not recorded.
    ZoneUnknown(DateTime),
}

impl Moment {
    /// Reads the start of a session as the diary keeps it: RFC 3339, without a zone where the file had none.
    #[must_use]
    pub(crate) fn read(text: &str) -> Option<Self> {
        let utc = text.parse().map(Self::Utc);
        utc.or_else(|_| text.parse().map(Self::ZoneUnknown)).ok()
    }

    /// So many seconds later, to the millisecond.
    #[must_use]
    pub(crate) fn after(self, seconds: f64) -> Option<Self> {
        let later = SignedDuration::from_millis((seconds * 1000.0).round() as i64);
        match self {
            Self::Utc(time) => time.checked_add(later).map(Self::Utc),
            Self::ZoneUnknown(time) => time.checked_add(later).map(Self::ZoneUnknown),
        }
        .ok()
    }

    /// Its date and time by its own clock.
    #[must_use]
    pub(crate) fn civil(self) -> DateTime {
        match self {
            Self::Utc(time) => jiff::tz::Offset::UTC.to_datetime(time),
            Self::ZoneUnknown(time) => time,
        }
    }

    /// The word for its zone.
    pub(super) fn zone(self) -> &'static str {
        match self {
            Self::Utc(_) => "UTC",
            Self::ZoneUnknown(_) => "not recorded",
        }
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Utc(time) => time.fmt(f),
            Self::ZoneUnknown(time) => time.fmt(f),
        }
    }
}

impl Cell {
    /// A text, or none.
    pub(super) fn text(text: Option<&str>) -> Self {
        text.map_or(Self::Missing, |text| Self::Text(text.to_owned()))
    }

    /// A count, or none.
    pub(super) fn count(count: Option<usize>) -> Self {
        count
            .and_then(|count| i64::try_from(count).ok())
            .map_or(Self::Missing, Self::Int)
    }

    /// A quantity, rounded; what is not finite is not known.
    pub(super) fn number(value: Option<f64>, decimals: i32) -> Self {
        value
            .and_then(|value| rounded(value, decimals))
            .map_or(Self::Missing, Self::Number)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_moment_keeps_what_is_known_of_its_zone() {
        for (start, later) in [
            ("2026-05-12T17:30:00.5Z", "2026-05-12T17:31:00.75Z"),
            ("2026-05-12T17:30:00.5", "2026-05-12T17:31:00.75"),
        ] {
            let moment = Moment::read(start).and_then(|m| m.after(60.25));
            assert_eq!(moment.map(|m| m.to_string()).as_deref(), Some(later));
        }
        assert_eq!(Moment::read("noon"), None);
    }
}
