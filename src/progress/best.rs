//! The best so far, and which of it is a real gain.

use jiff::civil::Date;

use crate::diary::Entry;
use crate::measured::Measured;
use crate::profile::{Change, Direction, change};
use crate::progress::log::Log;
use crate::progress::totals::NEAR_MAXIMAL;
use crate::units::SpeedUnit;

/// A best.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Record {
    /// The number of its entry in the diary.
    pub id: i64,
    /// Its day.
    pub date: Date,
    /// Its value, m/s or s.
    pub value: Measured,
    /// Fixes a second of its recording.
    pub rate_hz: f64,
    /// Whether its plan asked for sprints.
    pub speed_planned: bool,
}

/// What a recording means against the mark that stood before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Before the first mark, without a sprint from rest, so that its top speed was none that was tried for.
    NotTried,
    /// The first mark; there is nothing to hold it against.
    First,
    /// Faster than the mark by more than the two intervals can explain. `confirmed` when a later recording is, too.
    Gain {
        /// Whether a later recording also lies clearly above the earlier mark.
        confirmed: bool,
    },
    /// Within what the two intervals leave open.
    WithinError,
    /// Clearly slower, though a sprint was asked for or came near the mark: not every day is a day for top speed.
    Below,
    /// Clearly slower, and no maximal sprint: none was planned, and none came within [`NEAR_MAXIMAL`] of the mark.
    NoMaximalSprint,
}

/// The top speed of a recording.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// The recording.
    pub record: Record,
    /// From the mark to this; `None` for the first.
    pub change: Option<Change>,
    /// What that means.
    pub outcome: Outcome,
}

/// The bests of an athlete.
#[derive(Clone, Debug, PartialEq)]
pub struct Best<'a> {
    /// Whose.
    pub athlete: &'a str,
    /// In which unit people are told speeds.
    pub speeds: SpeedUnit,
    /// The top speed with the highest lower end, m/s.
    pub top_speed_m_s: Option<Record>,
    /// The same of the curve of the best sprint, m/s.
    pub curve_top_m_s: Option<Record>,
    /// By distance, m, the time with the lowest upper end, s.
    pub splits: Vec<(f64, Record)>,
    /// Top speeds in time order, each held against the mark: the first recording with a sprint from rest (or where there is
    /// none the first of all), then each real gain.
    pub history: Vec<Point>,
    /// How much faster than the mark the next recording must be to be a real gain, if its interval is that of the latest, m/s.
    pub smallest_gain_m_s: Option<f64>,
    /// The mark that stands, m/s.
    pub mark_m_s: Option<Record>,
}

/// The bests of an athlete up to a day.
///
/// # Definition
/// The best speed is not the highest value but the one with the highest lower end, and the best time the one with the
/// lowest upper end: of many values with errors the highest is high by its error too, and a poor recording would win. A
/// gain is real when [`change`] tells it from the mark, which is the first recording with a sprint from rest and then each
/// real gain, so that
/// steps too small to tell one by one are told once they have added up. One in forty would pass by chance; a gain that a
/// later recording repeats is called confirmed.
#[must_use]
pub fn best<'a>(log: &Log<'a>, athlete: &'a str, until: Date) -> Best<'a> {
    let mut entries: Vec<&Entry> = (log.entries.iter())
        .filter(|entry| entry.athlete == athlete && entry.date <= until)
        .collect();
    entries.sort_by_key(|entry| (entry.date, entry.id));
    let speeds = |of: fn(&crate::diary::Recorded) -> Option<Measured>| -> Vec<Record> {
        let recorded = entries.iter().filter_map(|entry| {
            let recorded = entry.recorded.as_ref()?;
            record(entry, of(recorded)?)
        });
        recorded.collect()
    };
    let tops = speeds(|recorded| recorded.top_speed_m_s);
    let tried = (entries.iter())
        .filter_map(|entry| entry.recorded.as_ref())
        .filter(|recorded| recorded.top_speed_m_s.is_some())
        .position(|recorded| recorded.curve_top_m_s.is_some());
    let history = history(&tops, tried.unwrap_or(0));
    let mark_m_s = (history.iter().rev())
        .find(|point| matches!(point.outcome, Outcome::First | Outcome::Gain { .. }))
        .map(|point| point.record);
    let smallest_gain_m_s = mark_m_s.zip(tops.last()).map(|(mark, latest)| {
        // As wide as the latest, placed at the mark: how far up must it move?
        let shift = mark.value.value - latest.value.value;
        let like = Measured {
            value: mark.value.value,
            low: latest.value.low + shift,
            high: latest.value.high + shift,
        };
        -change(mark.value, like).difference.low
    });
    Best {
        athlete,
        speeds: log.speeds,
        top_speed_m_s: fastest(&tops),
        curve_top_m_s: fastest(&speeds(|recorded| recorded.curve_top_m_s)),
        splits: splits(&entries),
        history,
        smallest_gain_m_s,
        mark_m_s,
    }
}

fn record(entry: &Entry, value: Measured) -> Option<Record> {
    Some(Record {
        id: entry.id,
        date: entry.date,
        value,
        rate_hz: entry.recorded.as_ref()?.rate_hz,
        speed_planned: entry.recorded.as_ref()?.speed_planned,
    })
}

/// The speed with the highest lower end; of equal ones the first.
fn fastest(speeds: &[Record]) -> Option<Record> {
    speeds.iter().copied().reduce(|best, new| {
        if new.value.low > best.value.low {
            new
        } else {
            best
        }
    })
}

/// By distance the time with the lowest upper end.
fn splits(entries: &[&Entry]) -> Vec<(f64, Record)> {
    let mut best: Vec<(f64, Record)> = Vec::new();
    for entry in entries {
        for split in entry.recorded.iter().flat_map(|recorded| &recorded.splits) {
            let Some(new) = record(entry, split.time_s) else {
                continue;
            };
            match best
                .iter_mut()
                .find(|(distance, _)| *distance == split.distance_m)
            {
                Some((_, standing)) if new.value.high < standing.value.high => *standing = new,
                Some(_) => {}
                None => best.push((split.distance_m, new)),
            }
        }
    }
    best.sort_by(|a, b| a.0.total_cmp(&b.0));
    best
}

/// Each top speed against the mark before it; those before `from` set no mark.
fn history(tops: &[Record], from: usize) -> Vec<Point> {
    let values: Vec<Measured> = tops.iter().map(|record| record.value).collect();
    tops.iter()
        .zip(against_marks(&values, from))
        .map(|(&record, against)| {
            let far_below = |mark: Measured| record.value.value < NEAR_MAXIMAL * mark.value;
            let tried = record.speed_planned || !against.mark.is_some_and(far_below);
            Point {
                record,
                change: against.change,
                outcome: match against.outcome {
                    Outcome::Below if !tried => Outcome::NoMaximalSprint,
                    outcome => outcome,
                },
            }
        })
        .collect()
}

/// A value against the mark before it, if one was set.
pub(super) struct AgainstMark {
    mark: Option<Measured>,
    change: Option<Change>,
    pub(super) outcome: Outcome,
}

/// Each of some values, of which more is better, against the mark before it: the first from `from` on, then each clear gain.
pub(super) fn against_marks(values: &[Measured], from: usize) -> Vec<AgainstMark> {
    let mut mark: Option<Measured> = None;
    let mut out = Vec::with_capacity(values.len());
    for (at, &value) in values.iter().enumerate() {
        let found = mark.map(|mark| change(mark, value));
        let outcome = match (mark, found.map(|f| f.direction)) {
            (Some(mark), Some(Direction::Up)) => Outcome::Gain {
                confirmed: (values.iter().skip(at + 1))
                    .any(|&later| change(mark, later).direction == Direction::Up),
            },
            (_, Some(Direction::Down)) => Outcome::Below,
            (_, Some(_)) => Outcome::WithinError,
            (_, None) if at < from => Outcome::NotTried,
            (_, None) => Outcome::First,
        };
        out.push(AgainstMark {
            mark,
            change: found,
            outcome,
        });
        if matches!(outcome, Outcome::First | Outcome::Gain { .. }) {
            mark = Some(value);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn tops(values: &[(f64, f64)]) -> Vec<Record> {
        (1..)
            .zip(values)
            .map(|(id, &(value, half))| Record {
                id: i64::from(id),
                date: date(2026, 5, id),
                value: Measured::within(value, value - half, value + half),
                rate_hz: 10.0,
                speed_planned: false,
            })
            .collect()
    }

    #[test]
    fn small_steps_become_a_gain_once_they_have_added_up() {
        // Half-widths of 0.2 tell 0.283 m/s.
        let found = history(
            &tops(&[
                (8.0, 0.2),
                (8.2, 0.2),
                (8.3, 0.2),
                (8.35, 0.2),
                (8.0, 0.2),
                (7.9, 0.2),
            ]),
            0,
        );
        let outcomes: Vec<Outcome> = found.iter().map(|p| p.outcome).collect();
        assert_eq!(
            outcomes,
            [
                Outcome::First,
                Outcome::WithinError,
                Outcome::Gain { confirmed: true },
                Outcome::WithinError,
                Outcome::Below,
                Outcome::Below
            ]
        );
    }

    #[test]
    fn a_wide_interval_is_no_gain_and_no_best() {
        let tops = tops(&[(8.0, 0.1), (8.8, 1.0), (8.1, 0.1)]);
        assert!(
            history(&tops, 0)
                .iter()
                .all(|p| !matches!(p.outcome, Outcome::Gain { .. }))
        );
        assert_eq!(fastest(&tops).map(|r| r.id), Some(3));
    }

    #[test]
    fn a_session_without_a_maximal_sprint_is_not_called_slower() {
        // 6.5 of 8.4 was no try unless sprints were planned; 7.9 was near enough to be one.
        let mut tops = tops(&[(8.4, 0.1), (6.5, 0.1), (6.5, 0.1), (7.9, 0.1)]);
        tops[2].speed_planned = true;
        let outcomes: Vec<Outcome> = history(&tops, 0).iter().map(|p| p.outcome).collect();
        assert_eq!(
            outcomes,
            [
                Outcome::First,
                Outcome::NoMaximalSprint,
                Outcome::Below,
                Outcome::Below
            ]
        );
    }

    #[test]
    fn a_poor_recording_of_easy_work_is_not_called_slower() {
        // Its interval comes within 90 % of the mark; its value does not.
        let found = history(&tops(&[(8.4, 0.1), (6.5, 1.4)]), 0);
        assert_eq!(found[1].outcome, Outcome::NoMaximalSprint);
    }

    #[test]
    fn recordings_before_a_sprint_set_no_mark() {
        let found = history(&tops(&[(6.8, 0.1), (8.4, 0.1), (6.9, 0.1)]), 1);
        let outcomes: Vec<Outcome> = found.iter().map(|p| p.outcome).collect();
        assert_eq!(
            outcomes,
            [Outcome::NotTried, Outcome::First, Outcome::NoMaximalSprint]
        );
    }
}
