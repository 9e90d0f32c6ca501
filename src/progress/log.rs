//! What of a diary the weeks are made of.

use std::collections::BTreeSet;

use crate::diary::{Entry, MatchDay, Planned};
use crate::units::SpeedUnit;

/// The part of a diary that is looked at. The order within is free.
#[derive(Clone, Copy, Debug)]
pub struct Log<'a> {
    /// Sessions and notes.
    pub entries: &'a [Entry],
    /// Days with a match.
    pub matches: &'a [MatchDay],
    /// Plans for days.
    pub planned: &'a [Planned],
    /// In which unit people are told speeds.
    pub speeds: SpeedUnit,
}

/// Everybody that the log names, in alphabetical order; the empty name stands for "nobody is named".
#[must_use]
pub fn athletes<'a>(log: &Log<'a>) -> Vec<&'a str> {
    let entries = log.entries.iter().map(|e| e.athlete.as_str());
    let planned = log.planned.iter().map(|p| p.athlete.as_str());
    let names: BTreeSet<&str> = entries.chain(planned).collect();
    names.into_iter().collect()
}

/// Whether a match day is one of the athlete's.
#[must_use]
pub(crate) fn same_athlete(day: &MatchDay, athlete: &str) -> bool {
    day.athlete.as_deref().is_none_or(|of| of == athlete)
}
