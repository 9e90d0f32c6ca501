//! One drill over time, and over a squad.
//!
//! What the diary keeps of the reps is enough: the plan's text says what a block asked for, the reps what was done. Nothing is read or
//! reviewed again.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::diary::Drilled;
use crate::estimation::normal::upper_point;
use crate::measured::{Measured, Z95};
use crate::plan::{self, Block, Category, Dose, Plan, Work};
use crate::profile::{change, slope};
use crate::progress::best::{Outcome, against_marks};
use crate::review::Verdict;
use crate::units::SpeedUnit;

/// What a drill asks for. Two blocks are the same drill when they agree in all of it, as sessions are compared.
#[derive(Clone, Debug, PartialEq)]
pub struct Drill {
    /// In which unit people are told speeds.
    pub speeds: SpeedUnit,
    /// Its category.
    pub category: Category,
    /// With the ball at the foot.
    pub with_ball: bool,
    /// Its name, as it was written first; `None` where no plan names it.
    pub name: Option<String>,
    /// The work of a rep.
    pub work: Work,
    /// The work of each rep of a set whose reps differ.
    pub mixed: Vec<Work>,
    /// Length of one way, m.
    pub over_m: Option<f64>,
    /// Out and home again.
    pub there_and_back: bool,
    /// Each session that did it, in order of days.
    pub times: Vec<Time>,
}

/// The drill in one session.
#[derive(Clone, Debug, PartialEq)]
pub struct Time {
    /// The number of the entry.
    pub id: i64,
    /// Whose; empty where nobody is named.
    pub athlete: String,
    /// The day.
    pub date: Date,
    /// Fixes a second of the recording.
    pub rate_hz: f64,
    /// Reps done, and planned.
    pub reps: [usize; 2],
    /// The best peak speed of a rep that was run in full: the one whose interval begins the highest, m/s.
    pub peak_m_s: Option<Measured>,
    /// The mean time of those reps, s.
    pub work_s: Option<Measured>,
    /// The mean distance of those reps, m.
    pub distance_m: Option<Measured>,
}

/// Fewest times that show a tendency.
const LEAST_TIMES: usize = 4;
/// Shortest time that shows one, days.
const LEAST_DAYS: f64 = 21.0;
/// The fastest receiver of a tendency has at most so many times the fixes of the slowest.
const ALIKE: f64 = 1.5;

/// By what a drill is judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gauge {
    /// The best peak speed, m/s: sprints.
    Peak,
    /// The mean time of a rep, s, where less is better: runs of one length and counted reps.
    Time,
    /// The mean distance of a rep, m: timed work.
    Distance,
}

/// A time against the mark before it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Against<'a> {
    /// The session.
    pub time: &'a Time,
    /// Its value by the drill's gauge.
    pub value: Measured,
    /// What that means: the first sets the mark, each clear gain the next.
    pub outcome: Outcome,
}

/// How a drill changed over all its times.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tendency {
    /// The change in four weeks, in the unit of the gauge.
    pub four_weeks: Measured,
    /// How many times it was done with a value.
    pub times: usize,
    /// From the first of them to the last, weeks.
    pub weeks: f64,
}

/// One athlete of those who did a drill.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing<'a> {
    /// Who.
    pub athlete: &'a str,
    /// How many sessions did it.
    pub times: usize,
    /// The best session, and its value.
    pub best: Option<(&'a Time, Measured)>,
    /// Those who did clearly less well, all pairs held against each other at once.
    pub clearly_above: Vec<&'a str>,
}

impl Drill {
    /// By what it is judged.
    #[must_use]
    pub fn gauge(&self) -> Gauge {
        match (self.category, self.work) {
            (Category::Speed, _) => Gauge::Peak,
            (_, Work::Duration(_)) => Gauge::Distance,
            (_, Work::Distance(_) | Work::Count) => Gauge::Time,
        }
    }

    /// What one rep asks for: `40 m`, `12 s`, `9 m there and back`.
    #[must_use]
    pub(crate) fn rep(&self) -> String {
        let mut text = match (self.mixed.is_empty(), self.work) {
            (false, _) => {
                let each: Vec<String> = self.mixed.iter().map(Work::to_string).collect();
                each.join(", ")
            }
            (true, Work::Count) => String::new(),
            (true, work) => work.to_string(),
        };
        if let Some(over_m) = self.over_m {
            let space = if text.is_empty() { "" } else { " " };
            text = format!("{text}{space}over {}", Work::Distance(over_m));
        }
        if self.there_and_back {
            text += " there and back";
        }
        if text.is_empty() {
            "counted reps".to_owned()
        } else {
            text
        }
    }

    /// What it is called: its name, else its category and what a rep asks for.
    #[must_use]
    pub fn title(&self) -> String {
        let unnamed = || format!("{} {}", self.category.word(), self.rep());
        self.name.clone().unwrap_or_else(unnamed)
    }

    /// Whether it is meant by a name, in small or capital letters.
    #[must_use]
    pub fn is_called(&self, name: &str) -> bool {
        folded(&self.title()) == folded(name)
    }

    /// Who did it, in alphabetical order.
    #[must_use]
    pub(crate) fn athletes(&self) -> Vec<&str> {
        let names: BTreeSet<&str> = self.times.iter().map(|t| t.athlete.as_str()).collect();
        names.into_iter().collect()
    }

    /// The value of a session by its gauge.
    #[must_use]
    fn value(&self, time: &Time) -> Option<Measured> {
        match self.gauge() {
            Gauge::Peak => time.peak_m_s,
            Gauge::Time => time.work_s,
            Gauge::Distance => time.distance_m,
        }
    }

    /// The sessions of an athlete with a value, each held against the mark: the first, then each clear gain.
    ///
    /// # Definition
    /// As with the bests: a gain is clear where [`change`] tells it from the mark, so that steps too small to tell one by one are
    /// told once they have added up. One in forty would pass by chance.
    #[must_use]
    pub fn over_time(&self, athlete: &str) -> Vec<Against<'_>> {
        let known: Vec<(&Time, Measured)> = (self.times.iter())
            .filter(|time| time.athlete == athlete)
            .filter_map(|time| Some((time, self.value(time)?)))
            .collect();
        let values: Vec<Measured> = known.iter().map(|(_, value)| self.turned(*value)).collect();
        known
            .into_iter()
            .zip(against_marks(&values, 0))
            .map(|((time, value), against)| Against {
                time,
                value,
                outcome: against.outcome,
            })
            .collect()
    }

    /// How an athlete's values of the drill changed over all times. `None` for fewer than four, for fewer than three weeks
    /// from the first to the last, and where receivers of different kinds recorded them, since a change of receiver is no change of the athlete.
    ///
    /// # Definition
    /// The slope of the line through all values by weighted least squares, with its 95 % interval, which is the larger of what the
    /// recordings leave open and of what the athlete's own scatter does. Steps too small to tell from the mark one by one may be
    /// clear together.
    ///
    /// # Units
    /// Those of the gauge, in four weeks.
    #[must_use]
    pub fn tendency(&self, athlete: &str) -> Option<Tendency> {
        const FOUR_WEEKS_DAYS: f64 = 28.0;
        let known: Vec<(&Time, Measured)> = (self.times.iter())
            .filter(|time| time.athlete == athlete)
            .filter_map(|time| Some((time, self.value(time)?)))
            .collect();
        let first = known.first()?.0.date;
        let days = |time: &Time| {
            let since = time.date.since(first).ok()?;
            Some(f64::from(since.get_days()))
        };
        let values: Option<Vec<(f64, Measured)>> = (known.iter())
            .map(|(time, value)| Some((days(time)? / FOUR_WEEKS_DAYS, *value)))
            .collect();
        let values = values?;
        let span_days = days(known.last()?.0)?;
        let rates = known.iter().map(|(time, _)| time.rate_hz);
        let (slowest, fastest) = rates.fold((f64::INFINITY, 0.0_f64), |(low, high), rate| {
            (low.min(rate), high.max(rate))
        });
        if values.len() < LEAST_TIMES || span_days < LEAST_DAYS || fastest > ALIKE * slowest {
            return None;
        }
        Some(Tendency {
            four_weeks: slope(&values)?,
            times: values.len(),
            weeks: span_days / 7.0,
        })
    }

    /// Whether a change is for the better, `None` where it is not clear.
    #[must_use]
    pub fn is_better(&self, change: Measured) -> Option<bool> {
        let change = self.turned(change);
        match (change.low > 0.0, change.high < 0.0) {
            (true, _) => Some(true),
            (_, true) => Some(false),
            _ => None,
        }
    }

    /// The best of some sessions: the one that is surely the best, whose interval's worse end is the best.
    #[must_use]
    pub fn best<'a>(&self, times: impl Iterator<Item = &'a Time>) -> Option<(&'a Time, Measured)> {
        times
            .filter_map(|time| Some((time, self.value(time)?)))
            .reduce(|best, new| {
                if self.turned(new.1).low > self.turned(best.1).low {
                    new
                } else {
                    best
                }
            })
    }

    /// Everybody who did it, in alphabetical order: nobody is ranked.
    ///
    /// # Definition
    /// One athlete stands clearly above another where the interval of the difference of their bests does not hold zero, widened so
    /// that among all pairs of the squad together one in twenty squads at most would show a difference by chance (Bonferroni). Who
    /// did it more often had more tries at a best; how often stands beside it.
    ///
    /// # References
    /// Dunn (1961), J Am Stat Assoc 56:52: multiple comparisons.
    #[must_use]
    pub fn standings(&self) -> Vec<Standing<'_>> {
        let mut standings: Vec<Standing<'_>> = (self.athletes().into_iter())
            .map(|athlete| {
                let own = || self.times.iter().filter(|time| time.athlete == athlete);
                Standing {
                    athlete,
                    times: own().count(),
                    best: self.best(own()),
                    clearly_above: Vec::new(),
                }
            })
            .collect();
        let known: Vec<(&str, Measured)> = (standings.iter())
            .filter_map(|s| Some((s.athlete, self.turned(s.best?.1))))
            .collect();
        let pairs = known.len() * known.len().saturating_sub(1) / 2;
        let wider = upper_point(0.025 / pairs.max(1) as f64) / Z95;
        for standing in &mut standings {
            let Some((_, own)) = standing.best else {
                continue;
            };
            let own = self.turned(own);
            standing.clearly_above = (known.iter())
                .filter(|(_, other)| {
                    let found = change(*other, own).difference;
                    found.value - wider * (found.value - found.low) > 0.0
                })
                .map(|(athlete, _)| *athlete)
                .collect();
        }
        standings
    }

    /// The value so that more is better.
    fn turned(&self, value: Measured) -> Measured {
        match self.gauge() {
            Gauge::Peak | Gauge::Distance => value,
            Gauge::Time => value.turned(),
        }
    }
}

/// The drills of some sessions: the most done first, then by name.
///
/// # Definition
/// Blocks are one drill when category, ball, name and the work of a rep agree, whatever the number of reps and sets; a block without a
/// name joins the one drill that agrees in all the rest, if there is one only. Continuous blocks have no reps and are no drills. A plan
/// that cannot be read any more is left out.
#[must_use]
pub fn drills(drilled: &[Drilled]) -> Vec<Drill> {
    let mut plans: BTreeMap<&str, Option<Plan>> = BTreeMap::new();
    let mut drills: Vec<Drill> = Vec::new();
    // Named ones first, so that those without a name find them.
    for named in [true, false] {
        for done in drilled {
            let text: &str = &done.plan;
            let plan = plans.entry(text).or_insert_with(|| plan::parse(text).ok());
            let block = (plan.as_ref())
                .zip(done.block.checked_sub(1))
                .and_then(|(plan, at)| plan.blocks.get(at));
            let Some(block) = block.filter(|block| block.name.is_some() == named) else {
                continue;
            };
            let Dose::Reps { work, .. } = block.dose else {
                continue;
            };
            let mut same = (drills.iter_mut())
                .filter(|drill| drill.asks_for(block, work))
                .filter(|drill| !named || drill.has_name_of(block));
            let (first, second) = (same.next(), same.next().is_some());
            let own = first.filter(|drill| drill.name.is_none() == block.name.is_none() || !second);
            if let Some(drill) = own {
                drill.add(done);
            } else {
                let mut drill = Drill {
                    speeds: SpeedUnit::default(),
                    category: block.category,
                    with_ball: block.with_ball,
                    name: block.name.as_deref().map(|name| name.trim().to_owned()),
                    work,
                    mixed: block.mixed.clone(),
                    over_m: block.over_m,
                    there_and_back: block.there_and_back,
                    times: Vec::new(),
                };
                drill.add(done);
                drills.push(drill);
            }
        }
    }
    for drill in &mut drills {
        drill.times.sort_by_key(|time| (time.date, time.id));
    }
    drills.sort_by(|a, b| {
        let key = |drill: &Drill| (folded(&drill.title()), drill.with_ball, drill.rep());
        (b.times.len().cmp(&a.times.len())).then_with(|| key(a).cmp(&key(b)))
    });
    drills
}

impl Drill {
    fn asks_for(&self, block: &Block, work: Work) -> bool {
        self.category == block.category
            && self.with_ball == block.with_ball
            && self.work == work
            && self.mixed == block.mixed
            && self.over_m == block.over_m
            && self.there_and_back == block.there_and_back
    }

    fn has_name_of(&self, block: &Block) -> bool {
        self.name.as_deref().map(folded) == block.name.as_deref().map(folded)
    }

    /// Adds a block; two of one session, as the rounds of a plan, are one time.
    fn add(&mut self, done: &Drilled) {
        let full = || done.reps.iter().filter(|rep| rep.verdict.is_in_full());
        let reps_done = (done.reps.iter())
            .filter(|rep| rep.verdict == Verdict::Done)
            .count();
        let peak_m_s = full()
            .filter_map(|rep| rep.peak_speed_m_s)
            .reduce(|best, new| if new.low > best.low { new } else { best });
        let mut time = Time {
            id: done.id,
            athlete: done.athlete.clone(),
            date: done.date,
            rate_hz: done.rate_hz,
            reps: [reps_done, done.reps.len()],
            peak_m_s,
            work_s: Measured::mean(full().filter_map(|rep| rep.work_s)),
            distance_m: Measured::mean(full().filter_map(|rep| rep.distance_m)),
        };
        let Some(earlier) = self.times.iter_mut().find(|time| time.id == done.id) else {
            self.times.push(time);
            return;
        };
        let weights = [earlier.reps[0] as f64, time.reps[0] as f64];
        earlier.work_s = both(earlier.work_s, time.work_s, weights);
        earlier.distance_m = both(earlier.distance_m, time.distance_m, weights);
        if let Some(new) = time.peak_m_s.take()
            && earlier.peak_m_s.is_none_or(|old| new.low > old.low)
        {
            earlier.peak_m_s = Some(new);
        }
        for (sum, new) in earlier.reps.iter_mut().zip(time.reps) {
            *sum += new;
        }
    }
}

/// A name as it is compared.
fn folded(name: &str) -> String {
    name.trim().to_lowercase()
}

/// The mean of two means.
fn both(a: Option<Measured>, b: Option<Measured>, weights: [f64; 2]) -> Option<Measured> {
    let (Some(a), Some(b)) = (a, b) else {
        return a.or(b);
    };
    let sum = weights[0] + weights[1];
    let share = if sum > 0.0 { weights[0] / sum } else { 0.5 };
    let mean = |of: fn(Measured) -> f64| share * of(a) + (1.0 - share) * of(b);
    Some(Measured::within(
        mean(|m| m.value),
        mean(|m| m.low),
        mean(|m| m.high),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_parts_of_a_session_weigh_by_their_reps() {
        let of = |value: f64| Some(Measured::within(value, value - 1.0, value + 1.0));
        assert_eq!(both(of(10.0), of(13.0), [2.0, 1.0]), of(11.0));
        assert_eq!(both(None, of(13.0), [0.0, 1.0]), of(13.0));
    }
}
