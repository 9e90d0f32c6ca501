//! Week by week, and which change is clear.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::diary::Entry;
use crate::estimation::student::t_95;
use crate::measured::Measured;
use crate::profile::{Direction, change};
use crate::progress::iso_week::IsoWeek;
use crate::progress::log::Log;
use crate::progress::totals::{Totals, surest};
use crate::units::SpeedUnit;

/// Fewest differences between weeks that say how much an athlete's weeks scatter.
const FEWEST: usize = 4;

/// What is compared from week to week.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Minutes of all sessions.
    Minutes,
    /// Recorded distance, m.
    Distance,
    /// Recorded distance at high speed, m.
    HighSpeed,
    /// Recorded distance at sprint, m.
    Sprint,
    /// Load of a week in which every session was rated.
    Load,
    /// Top speed, m/s.
    TopSpeed,
    /// Runs at or above 90 % of the athlete's own top speed.
    NearMaximal,
    /// Reps done of those that plans asked for, %.
    RepsDone,
    /// Load by heart rate, of the sessions that recorded it.
    HeartLoad,
}

impl Quantity {
    /// Those that the weeks of one athlete are told by.
    pub const ALL: [Self; 6] = [
        Self::Minutes,
        Self::Distance,
        Self::HighSpeed,
        Self::Sprint,
        Self::Load,
        Self::TopSpeed,
    ];

    /// Those that a squad is shown by, one at a time.
    pub const EVERY: [Self; 9] = [
        Self::Minutes,
        Self::Distance,
        Self::HighSpeed,
        Self::Sprint,
        Self::NearMaximal,
        Self::Load,
        Self::HeartLoad,
        Self::TopSpeed,
        Self::RepsDone,
    ];

    /// Its value in a week, where it is known. What is counted exactly, or carries no interval in the diary, has a width of 0.
    #[must_use]
    pub(crate) fn of(self, totals: &Totals) -> Option<Measured> {
        let exact = |value: f64| Measured::within(value, value, value);
        match self {
            Self::Minutes => (totals.sessions > 0).then(|| exact(totals.minutes())),
            Self::Distance => totals.distance_m,
            Self::HighSpeed => totals.high_speed_m.map(exact),
            Self::Sprint => totals.sprint_m.map(exact),
            Self::Load => totals.load.filter(|_| totals.all_rated()).map(exact),
            Self::TopSpeed => totals.top_speed_m_s,
            Self::HeartLoad => totals.heart_load.map(exact),
            Self::NearMaximal => {
                let (runs, sure) = (totals.near_maximal?, totals.near_maximal_sure?);
                Some(Measured::within(runs as f64, sure as f64, runs as f64))
            }
            Self::RepsDone => {
                let counts = totals.counts.filter(|counts| counts.planned > 0)?;
                let share = |reps: usize| 100.0 * reps as f64 / counts.planned as f64;
                let (done, open) = (counts.done, counts.unresolved);
                Some(Measured::within(
                    share(done),
                    share(done),
                    share(done + open),
                ))
            }
        }
    }
}

/// What can be said of a step from one week to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It rose beyond the intervals and beyond the usual scatter.
    Up,
    /// It fell beyond both.
    Down,
    /// It stayed within one of the two.
    NotClear,
    /// Too few weeks say how much this athlete's weeks scatter.
    TooFewWeeks,
}

/// The step of a quantity from the last week in which it was known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// What.
    pub quantity: Quantity,
    /// The week it is compared with.
    pub from: IsoWeek,
    /// The later less the earlier.
    pub difference: Measured,
    /// Smallest step that stands out from the athlete's own weeks, by the other steps; `None` where there are too few.
    pub scatter: Option<f64>,
    /// What can be said.
    pub verdict: Verdict,
}

/// A week in the row.
#[derive(Clone, Debug, PartialEq)]
pub struct WeekRow {
    /// Which.
    pub week: IsoWeek,
    /// What it comes to.
    pub totals: Totals,
    /// Whether it is not over yet; such a week is compared with none.
    pub running: bool,
    /// Steps to it from the weeks before, of each quantity known in both.
    pub steps: Vec<Step>,
}

/// The weeks of an athlete.
#[derive(Clone, Debug, PartialEq)]
pub struct Trend<'a> {
    /// Whose.
    pub athlete: &'a str,
    /// In which unit people are told speeds.
    pub speeds: SpeedUnit,
    /// In order, without a hole; a week in which nothing was noted has no sessions.
    pub weeks: Vec<WeekRow>,
}

impl WeekRow {
    /// The step of a quantity.
    #[must_use]
    pub fn step(&self, quantity: Quantity) -> Option<&Step> {
        self.steps.iter().find(|step| step.quantity == quantity)
    }
}

impl Trend<'_> {
    /// The last week that is over and in which something was done.
    #[must_use]
    pub(crate) fn last_whole(&self) -> Option<&WeekRow> {
        let whole = |row: &&WeekRow| !row.running && row.totals.sessions > 0;
        self.weeks.iter().rev().find(whole)
    }
}

/// The `last` weeks of an athlete up to the one that holds `today`.
///
/// # Definition
/// A step from one week to the next is clear when it lies beyond the two intervals ([`change`]) and beyond the athlete's own
/// scatter from week to week. The latter is the typical error, the standard deviation of successive differences over sqrt 2,
/// times sqrt 2 and Student's t for 95 %; the step that is judged is left out of it, since it would hide itself. All weeks of
/// the diary count for it, not only those that are shown, and at least four other steps are needed. One step in twenty would
/// pass as clear by chance.
///
/// # References
/// Hopkins (2000), Sports Med 30:1: typical error from difference scores (from memory).
#[must_use]
pub fn trend<'a>(log: &Log<'a>, athlete: &'a str, last: usize, today: Date) -> Trend<'a> {
    let own = log.entries.iter().filter(|entry| entry.athlete == athlete);
    Trend {
        speeds: log.speeds,
        ..of_entries(athlete, own, &Quantity::ALL, last, today)
    }
}

/// The same where the athlete's entries are sorted out already.
pub(super) fn of_entries<'a, 'e>(
    athlete: &'a str,
    entries: impl Iterator<Item = &'e Entry>,
    quantities: &[Quantity],
    last: usize,
    today: Date,
) -> Trend<'a> {
    let now = IsoWeek::of(today);
    let mut by_week: BTreeMap<IsoWeek, Vec<&Entry>> = BTreeMap::new();
    for entry in entries {
        let week = IsoWeek::of(entry.date);
        if week <= now {
            by_week.entry(week).or_default().push(entry);
        }
    }
    let mut top = None;
    let mut rows: Vec<WeekRow> = Vec::new();
    for (week, entries) in by_week {
        let recorded = || entries.iter().filter_map(|entry| entry.recorded.as_ref());
        top = recorded().fold(top, |best, r| surest(best, r.top_speed_m_s));
        rows.push(WeekRow {
            week,
            totals: Totals::of(entries.iter().copied(), top.map(|top| top.value)),
            running: week == now,
            steps: Vec::new(),
        });
    }
    for &quantity in quantities {
        for (at, step) in steps(quantity, &rows) {
            if let Some(row) = rows.get_mut(at) {
                row.steps.push(step);
            }
        }
    }
    let from = now.later(1 - i64::try_from(last.max(1)).unwrap_or(i64::MAX));
    let mut by_week: BTreeMap<IsoWeek, WeekRow> =
        rows.into_iter().map(|row| (row.week, row)).collect();
    let mut weeks = Vec::new();
    // No row before the first entry: a diary that begins in May has nothing to say of April.
    let begin = by_week.keys().next();
    let mut next = begin.map(|&first| from.map_or(first, |from| first.max(from)));
    while let Some(week) = next.filter(|&week| week <= now) {
        weeks.push(by_week.remove(&week).unwrap_or_else(|| WeekRow {
            week,
            totals: Totals::default(),
            running: week == now,
            steps: Vec::new(),
        }));
        next = week.later(1);
    }
    Trend {
        athlete,
        speeds: SpeedUnit::default(),
        weeks,
    }
}

/// The steps of a quantity with the rows that they lead to.
fn steps(quantity: Quantity, rows: &[WeekRow]) -> Vec<(usize, Step)> {
    let known: Vec<(usize, IsoWeek, Measured)> = rows
        .iter()
        .enumerate()
        .filter(|(_, row)| !row.running)
        .filter_map(|(at, row)| Some((at, row.week, quantity.of(&row.totals)?)))
        .collect();
    let differences: Vec<f64> = known
        .windows(2)
        .map(|pair| pair[1].2.value - pair[0].2.value)
        .collect();
    let scatter = Scatter::of(&differences);
    known
        .windows(2)
        .zip(&differences)
        .map(|(pair, &difference)| {
            let found = change(pair[0].2, pair[1].2);
            let scatter = scatter.limit_without(difference);
            let verdict = match scatter {
                None => Verdict::TooFewWeeks,
                Some(limit) if difference.abs() <= limit => Verdict::NotClear,
                Some(_) => match found.direction {
                    Direction::Up => Verdict::Up,
                    Direction::Down => Verdict::Down,
                    Direction::Unclear => Verdict::NotClear,
                },
            };
            let step = Step {
                quantity,
                from: pair[0].1,
                difference: found.difference,
                scatter,
                verdict,
            };
            (pair[1].0, step)
        })
        .collect()
}

/// How far an athlete's successive weeks lie apart.
struct Scatter {
    count: usize,
    sum: f64,
    squares: f64,
}

impl Scatter {
    fn of(differences: &[f64]) -> Self {
        Self {
            count: differences.len(),
            sum: differences.iter().sum(),
            squares: differences.iter().map(|d| d * d).sum(),
        }
    }

    /// The smallest step that stands out from all others but the one given.
    fn limit_without(&self, difference: f64) -> Option<f64> {
        let count = self.count.checked_sub(1).filter(|&n| n >= FEWEST)?;
        let n = count as f64;
        let mean = (self.sum - difference) / n;
        let squares = self.squares - difference * difference - n * mean * mean;
        let sd = (squares.max(0.0) / (n - 1.0)).sqrt();
        let typical_error = sd / std::f64::consts::SQRT_2;
        Some(t_95(count - 1) * std::f64::consts::SQRT_2 * typical_error)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_limit_is_students_t_times_the_deviation_of_the_other_steps() {
        // The other five, -2 -1 0 1 2, have the mean 0 and the variance 10 / 4.
        let scatter = Scatter::of(&[-2.0, 100.0, -1.0, 0.0, 1.0, 2.0]);
        let limit = scatter.limit_without(100.0).unwrap_or(0.0);
        assert!((limit - 2.776 * 2.5_f64.sqrt()).abs() < 1e-9, "{limit}");
        assert_eq!(Scatter::of(&[1.0, 2.0, 3.0, 4.0]).limit_without(4.0), None);
    }
}
