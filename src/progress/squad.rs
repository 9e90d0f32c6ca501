//! Athletes beside each other.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::diary::Entry;
use crate::progress::iso_week::IsoWeek;
use crate::progress::log::{Log, athletes};
use crate::progress::match_week::{MatchWeek, Place};
use crate::progress::totals::{Totals, surest};
use crate::progress::trend::{Quantity, Step, Verdict, WeekRow, of_entries};
use crate::units::SpeedUnit;

/// What a squad is put in order by.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sort {
    /// Alphabetical.
    #[default]
    Name,
    /// Most sessions first.
    Sessions,
    /// Most minutes first.
    Minutes,
    /// Longest distance first.
    Distance,
    /// Most high-speed metres first.
    HighSpeed,
    /// Most sprint metres first.
    Sprint,
    /// Most near-maximal runs first.
    NearMaximal,
    /// Highest load first.
    Load,
    /// Highest load by heart rate first.
    HeartLoad,
    /// Highest top speed first.
    TopSpeed,
}

/// One athlete of a squad.
#[derive(Clone, Debug, PartialEq)]
pub struct Row<'a> {
    /// Who.
    pub athlete: &'a str,
    /// In which unit people are told speeds.
    pub speeds: SpeedUnit,
    /// What the span comes to.
    pub totals: Totals,
    /// The week of the first entry.
    pub first: Option<IsoWeek>,
    /// Weeks of the span in which something was done.
    pub weeks: usize,
    /// The place of the day it is looked at from.
    pub place: Option<Place>,
    /// Clear changes of the last whole week of the span, of [`Quantity::ALL`].
    pub clear: Vec<Step>,
    /// The weeks of the span from the athlete's first entry on, with steps of [`Quantity::EVERY`].
    pub by_week: Vec<WeekRow>,
}

/// The squad over the weeks `from` to `to`, both included, looked at from `today`.
///
/// Where the value to sort by is not known, an athlete comes last; equal ones are in alphabetical order.
#[must_use]
pub fn squad<'a>(
    log: &Log<'a>,
    (from, to): (IsoWeek, IsoWeek),
    today: Date,
    sort: Sort,
) -> Vec<Row<'a>> {
    let mut by_athlete: BTreeMap<&str, Vec<&Entry>> = athletes(log)
        .into_iter()
        .map(|name| (name, Vec::new()))
        .collect();
    for entry in log.entries {
        by_athlete.entry(&entry.athlete).or_default().push(entry);
    }
    let mut rows: Vec<Row<'a>> = by_athlete
        .into_iter()
        .map(|(athlete, entries)| row(log, athlete, &entries, (from, to), today))
        .collect();
    rows.sort_by(|a, b| {
        descending(key(sort, &a.totals), key(sort, &b.totals))
            .then_with(|| a.athlete.cmp(b.athlete))
    });
    rows
}

fn row<'a>(
    log: &Log<'a>,
    athlete: &'a str,
    entries: &[&'a Entry],
    (from, to): (IsoWeek, IsoWeek),
    today: Date,
) -> Row<'a> {
    let every = of_entries(
        athlete,
        entries.iter().copied(),
        &Quantity::EVERY,
        usize::MAX,
        today,
    );
    let mut weeks = every.weeks;
    let first = weeks.first().map(|row| row.week);
    weeks.retain(|row| (from..=to).contains(&row.week));
    let within: Vec<&Entry> = (entries.iter().copied())
        .filter(|entry| (from..=to).contains(&IsoWeek::of(entry.date)))
        .collect();
    let top = (entries.iter())
        .filter(|entry| IsoWeek::of(entry.date) <= to)
        .filter_map(|entry| entry.recorded.as_ref())
        .fold(None, |best, recorded| surest(best, recorded.top_speed_m_s));
    let shown = || weeks.iter().filter(|row| row.totals.sessions > 0);
    let clear = shown().rev().find(|row| !row.running).map(|row| {
        let clear = |step: &&Step| {
            Quantity::ALL.contains(&step.quantity)
                && matches!(step.verdict, Verdict::Up | Verdict::Down)
        };
        row.steps.iter().filter(clear).copied().collect()
    });
    Row {
        athlete,
        speeds: log.speeds,
        first,
        totals: Totals::of(within, top.map(|top| top.value)),
        weeks: shown().count(),
        by_week: weeks.clone(),
        place: MatchWeek::from(log, entries.iter().copied(), athlete).place(today),
        clear: clear.unwrap_or_default(),
    }
}

fn key(sort: Sort, totals: &Totals) -> Option<f64> {
    match sort {
        Sort::Name => None,
        Sort::Sessions => Some(totals.sessions as f64),
        Sort::Minutes => Some(totals.duration_s),
        Sort::Distance => totals.distance_m.map(|m| m.value),
        Sort::HighSpeed => totals.high_speed_m,
        Sort::Sprint => totals.sprint_m,
        Sort::NearMaximal => totals.near_maximal.map(|n| n as f64),
        Sort::Load => totals.load,
        Sort::HeartLoad => totals.heart_load,
        Sort::TopSpeed => totals.top_speed_m_s.map(|m| m.value),
    }
}

/// The higher first, the unknown last.
fn descending(a: Option<f64>, b: Option<f64>) -> Ordering {
    match (a, b) {
        (Some(a), Some(b)) => b.total_cmp(&a),
        (Some(_), None) => Ordering::Less,
        (None, Some(_)) => Ordering::Greater,
        (None, None) => Ordering::Equal,
    }
}
