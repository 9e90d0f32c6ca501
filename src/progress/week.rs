//! One week of one athlete: each day with its place around the match, what was done and what was planned.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::diary::{Entry, Planned};
use crate::measured::Measured;
use crate::progress::iso_week::IsoWeek;
use crate::progress::load::{Monotony, monotony};
use crate::progress::log::Log;
use crate::progress::match_week::{Match, MatchWeek, Place};
use crate::progress::totals::{Totals, load_of, surest};
use crate::units::SpeedUnit;

/// Seven days of an athlete.
#[derive(Clone, Debug)]
pub struct Week<'a> {
    /// Whose.
    pub athlete: &'a str,
    /// In which unit people are told speeds.
    pub speeds: SpeedUnit,
    /// Which.
    pub week: IsoWeek,
    /// The day it is looked at from.
    pub today: Date,
    /// From Monday on.
    pub days: Vec<Day<'a>>,
    /// All days together.
    pub totals: Totals,
    /// The athlete's top speed as far as recordings up to the end of the week tell, m/s.
    pub own_top_m_s: Option<Measured>,
    /// How alike the days were; `None` before the week is over, where a session was not rated, or without a session.
    pub monotony: Option<Monotony>,
    /// The next match on the day it is looked at from, or after it.
    pub next_match: Option<Match<'a>>,
    /// What each of the four weeks before it came to, the nearest first.
    pub earlier: [Totals; 4],
    /// The last day up to the week's end, or to the day it is looked at from, with a run at or above
    /// [`NEAR_MAXIMAL`](super::NEAR_MAXIMAL) of the own top speed, and how many sessions were recorded since.
    pub last_near_maximal: Option<(Date, usize)>,
}

/// One day.
#[derive(Clone, Debug)]
pub struct Day<'a> {
    /// Which.
    pub date: Date,
    /// Its place around the match.
    pub place: Option<Place>,
    /// The match on it.
    pub match_day: Option<Match<'a>>,
    /// What was done or noted, by number.
    pub entries: Vec<&'a Entry>,
    /// What that comes to.
    pub totals: Totals,
    /// What was planned for it.
    pub planned: Vec<PlannedDay<'a>>,
}

/// A plan for a day.
#[derive(Clone, Copy, Debug)]
pub struct PlannedDay<'a> {
    /// The plan.
    pub planned: &'a Planned,
    /// Whether a session of the day answers it.
    pub done: bool,
}

impl Week<'_> {
    /// Whether the week is over, its last day included.
    #[must_use]
    pub(crate) fn is_over(&self) -> bool {
        self.days.last().is_none_or(|day| day.date < self.today)
    }

    /// Plans that no session answers, in order.
    pub fn open(&self) -> impl Iterator<Item = &PlannedDay<'_>> {
        let plans = self.days.iter().flat_map(|day| &day.planned);
        plans.filter(|plan| !plan.done)
    }
}

/// The week of an athlete, looked at from `today`.
///
/// A plan counts as done when the diary names the session that did it, or when a session of its day was reviewed against a
/// plan: first the one with the same title, then any other; each session answers one plan.
#[must_use]
pub fn week<'a>(log: &Log<'a>, athlete: &'a str, week: IsoWeek, today: Date) -> Week<'a> {
    let dates = week.days();
    let last = dates.last().copied().unwrap_or(today);
    let own = || log.entries.iter().filter(|entry| entry.athlete == athlete);
    let own_top_m_s = own()
        .filter(|entry| entry.date <= last)
        .filter_map(|entry| entry.recorded.as_ref())
        .fold(None, |best, recorded| surest(best, recorded.top_speed_m_s));
    let mark = own_top_m_s.map(|top| top.value);
    let matches = MatchWeek::of(log, athlete);
    let mut by_day: BTreeMap<Date, Vec<&Entry>> = BTreeMap::new();
    for entry in own().filter(|entry| dates.contains(&entry.date)) {
        by_day.entry(entry.date).or_default().push(entry);
    }
    let days: Vec<Day<'_>> = dates
        .into_iter()
        .map(|date| {
            let mut entries = by_day.remove(&date).unwrap_or_default();
            entries.sort_by_key(|entry| entry.id);
            Day {
                date,
                place: matches.place(date),
                match_day: matches.on(date),
                totals: Totals::of(entries.iter().copied(), mark),
                planned: planned(log, athlete, date, &entries),
                entries,
            }
        })
        .collect();
    let totals = Totals::of(days.iter().flat_map(|d| d.entries.iter().copied()), mark);
    let monotony = (last < today && totals.sessions > 0 && totals.all_rated()).then(|| {
        let load = |day: &Day<'_>| day.entries.iter().filter_map(|e| load_of(e)).sum();
        monotony(&days.iter().map(load).collect::<Vec<f64>>())
    });
    let seen = last.min(today);
    let mut recorded: Vec<&Entry> = own()
        .filter(|entry| entry.date <= seen && entry.recorded.is_some())
        .collect();
    recorded.sort_by_key(|entry| (entry.date, entry.id));
    let is_near = |entry: &&Entry| {
        Totals::of([*entry], mark)
            .near_maximal
            .is_some_and(|n| n > 0)
    };
    let near = recorded.iter().rposition(is_near);
    let last_near_maximal =
        near.and_then(|at| Some((recorded.get(at)?.date, recorded.len() - 1 - at)));
    let earlier = [1, 2, 3, 4].map(|back| {
        let of = week.later(-back);
        Totals::of(
            own().filter(|entry| of == Some(IsoWeek::of(entry.date))),
            mark,
        )
    });
    Week {
        earlier,
        last_near_maximal,
        athlete,
        speeds: log.speeds,
        week,
        today,
        days,
        totals,
        own_top_m_s,
        monotony,
        next_match: matches.next(today),
    }
}

/// The plans for a day, and whether a session answers each.
fn planned<'a>(
    log: &Log<'a>,
    athlete: &str,
    date: Date,
    entries: &[&Entry],
) -> Vec<PlannedDay<'a>> {
    let mut plans: Vec<PlannedDay<'a>> = (log.planned.iter())
        .filter(|plan| plan.athlete == athlete && plan.date == date)
        .map(|planned| PlannedDay {
            planned,
            done: planned.done_by.is_some(),
        })
        .collect();
    plans.sort_by_key(|plan| plan.planned.id);
    let mut answers: Vec<&Entry> = (entries.iter().copied())
        .filter(|entry| entry.recorded.as_ref().is_some_and(|r| r.counts.is_some()))
        .filter(|entry| {
            plans
                .iter()
                .all(|plan| plan.planned.done_by != Some(entry.id))
        })
        .collect();
    for same_title in [true, false] {
        for plan in plans.iter_mut().filter(|plan| !plan.done) {
            let found =
                (answers.iter()).position(|entry| !same_title || entry.title == plan.planned.title);
            if let Some(at) = found {
                answers.remove(at);
                plan.done = true;
            }
        }
    }
    plans
}
