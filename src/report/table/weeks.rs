//! One row a week (ISO 8601, from Monday) and athlete: the sums of its sessions.

use std::collections::BTreeMap;

use crate::diary::Recorded;
use crate::measured::Measured;
use crate::progress::{IsoWeek, heart_load, session_load, sum_of, surest};

use super::cell::Cell;
use super::column::{Columns, FINE, Type};
use super::item::Item;

pub(super) struct Row<'a> {
    athlete: Option<&'a str>,
    week: IsoWeek,
    items: Vec<&'a Item>,
}

/// The weeks with sessions, by athlete and then in time; sessions without a day belong to none.
pub(super) fn rows(items: &[Item]) -> Vec<Row<'_>> {
    let mut weeks: BTreeMap<_, Vec<&Item>> = BTreeMap::new();
    for item in items {
        if let Some(date) = item.date {
            let key = (item.athlete.as_deref(), IsoWeek::of(date));
            weeks.entry(key).or_default().push(item);
        }
    }
    let row = |((athlete, week), items)| Row {
        athlete,
        week,
        items,
    };
    weeks.into_iter().map(row).collect()
}

impl Row<'_> {
    fn recorded(&self) -> impl Iterator<Item = &Recorded> {
        let recordings = self.items.iter().filter_map(|i| i.recording.as_ref());
        recordings.map(|r| &r.summary)
    }

    /// A sum over what was recorded; not known where nothing was.
    fn sum(&self, of: impl Fn(&Recorded) -> f64) -> Option<f64> {
        self.recorded().next()?;
        Some(self.recorded().map(of).sum())
    }

    /// As `weeks` has it.
    fn distance_m(&self) -> Option<Measured> {
        self.recorded().map(|r| r.distance_m).reduce(sum_of)
    }

    /// As `weeks` has it.
    fn top_speed_m_s(&self) -> Option<Measured> {
        let speeds = self.recorded().map(|r| r.top_speed_m_s);
        speeds.fold(None, surest)
    }

    fn load(&self) -> Option<f64> {
        let loads: Vec<f64> = self
            .items
            .iter()
            .filter_map(|i| Some(session_load(i.rpe?, i.duration_s)))
            .collect();
        (!loads.is_empty()).then(|| loads.iter().sum())
    }

    /// A count over the sessions with a plan.
    fn reps(&self, of: fn(&crate::review::Counts) -> usize) -> Option<usize> {
        self.recorded()
            .filter_map(|r| r.counts.as_ref())
            .map(of)
            .reduce(|a, b| a + b)
    }
}

pub(super) fn columns<'a>() -> Columns<'a, Row<'a>> {
    Columns::<Row<'a>>::new()
        .text("athlete", "whose week it is", |r| r.athlete)
        .any(
            "week",
            Type::Text,
            "year and week of ISO 8601",
            |r: &Row<'_>| Cell::Text(r.week.to_string()),
        )
        .any("monday", Type::Day, "its first day", |r: &Row<'_>| {
            r.week.monday().map_or(Cell::Missing, Cell::Day)
        })
        .count("sessions", "how many sessions, noted ones included", |r| {
            Some(r.items.len())
        })
        .count(
            "recorded",
            "how many of them were recorded; distances, speeds and sprints are of these",
            |r| Some(r.recorded().count()),
        )
        .number(
            "duration_s",
            Some("s"),
            FINE,
            "how long they lasted together",
            |r: &Row<'_>| Some(r.items.iter().map(|i| i.duration_s).sum()),
        )
        .count(
            "rated",
            "how many of them have a rating of perceived exertion",
            |r| Some(r.items.iter().filter(|i| i.rpe.is_some()).count()),
        )
        .number(
            "load",
            Some("min x rating"),
            1,
            "sum of minutes times rating (Foster et al. 2001), of the rated ones",
            |r: &Row<'_>| r.load(),
        )
        .number(
            "heart_load",
            None,
            1,
            "sum of loads by heart rate, of the sessions that have one; no part of load",
            |r: &Row<'_>| {
                let loads = r.recorded().filter_map(|r| heart_load(r.heart.as_ref()?));
                loads.reduce(|a, b| a + b)
            },
        )
        .measured(
            "distance",
            ("_m", Some("m")),
            FINE,
            "distance moved; errors of sessions are taken as independent and add as squares",
            Row::distance_m,
        )
        .measured(
            "top_speed",
            ("_m_s", Some("m/s")),
            FINE,
            "the speed whose interval begins the highest",
            Row::top_speed_m_s,
        )
        .number(
            "high_speed_distance_m",
            Some("m"),
            FINE,
            "distance at high speed, sprints included",
            |r: &Row<'_>| r.sum(|r| r.fast_m[0]),
        )
        .number(
            "sprint_distance_m",
            Some("m"),
            FINE,
            "distance at sprint speed",
            |r: &Row<'_>| r.sum(|r| r.fast_m[1]),
        )
        .count("sprints", "how many sprints", |r| {
            r.recorded().map(|r| r.sprints).reduce(|a, b| a + b)
        })
        .count("reps_planned", "reps of the plans", |r| {
            r.reps(|c| c.planned)
        })
        .count("reps_done", "reps done as planned", |r| r.reps(|c| c.done))
}
