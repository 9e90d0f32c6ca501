//! How well a receiver could judge a plan: the plan is carried out many times over, and what the review says of each
//! recording is held against what truly happened.
//!
//! Half of the sessions keep to the plan, half depart from it up to 5 times, as players do; the blocks keep their order,
//! since telling swapped blocks apart is no question of the receiver. The same session is seen by every receiver.

use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;

use crate::estimation::quantile::median;
use crate::plan::{Block, Dose, Plan};
use crate::session;
use crate::settings::Settings;
use crate::simulation::Simulated;
use crate::simulation::athlete::Athlete;
use crate::simulation::departures::{Departure, Departures, Mess};
use crate::simulation::execute::{TooLong, execute_in};
use crate::simulation::receiver::{Kind, Receiver};
use crate::simulation::rng::Rng;
use crate::simulation::score::{self, Clocks, Expected, Held, RepScore, SetScore};
use crate::simulation::truth::Truth;
use crate::simulation::world::World;
use crate::units::SpeedUnit;

/// Least share of reps that get a verdict where a block is called judged rep by rep (a choice, no source).
pub const RESOLVED: f64 = 0.8;
/// Least share of those verdicts that are right (a choice, no source).
pub const RIGHT: f64 = 0.9;
/// Least share of sets whose stretch is found where a block is called judged as a bout (a choice, no source).
pub const SEEN: f64 = 0.8;

/// What is asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Study {
    /// The receivers.
    pub kinds: Vec<Kind>,
    /// Sessions a receiver.
    pub sessions: u32,
    /// The same seed gives the same sessions.
    pub seed: u64,
}

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlook {
    /// What was asked.
    pub study: Study,
    /// The plan, with the top speed of the settings where it names none.
    pub plan: Plan,
    /// An answer a receiver, in the order asked.
    pub receivers: Vec<ReceiverOutlook>,
    /// In which unit people are told speeds.
    pub speeds: SpeedUnit,
}

/// How well one kind of receiver judges the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct ReceiverOutlook {
    /// Which.
    pub kind: Kind,
    /// Sessions whose recording gave no account; their reps count as not judged.
    pub failed: usize,
    /// Each block of the plan.
    pub blocks: Vec<BlockOutlook>,
    /// All blocks together.
    pub all: Shares,
}

/// How well one block is judged.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockOutlook {
    /// From 1.
    pub index: usize,
    /// In a word.
    pub judged: Judged,
    /// In numbers.
    pub shares: Shares,
}

/// How well a block is judged, in a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Judged {
    /// At least [`RESOLVED`] of its reps get a verdict, and [`RIGHT`] of those are right.
    RepByRep,
    /// At least [`SEEN`] of its sets are found where they were, but their reps are not told apart. A continuous block is
    /// one bout and is never judged better.
    AsBout,
    /// Neither.
    NotAtAll,
}

/// Counts over all simulated sessions.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shares {
    /// Reps planned.
    pub planned: usize,
    /// Of those, reps that got a verdict.
    pub resolved: usize,
    /// Of those, reps whose verdict was right.
    pub right: usize,
    /// Reps that were truly not done: left out, cut off, too slow.
    pub not_done: usize,
    /// Of those, reps that were named as not done.
    pub named: usize,
    /// Sets that were run, whole or in part.
    pub sets: usize,
    /// Of those, sets found where they were.
    pub seen: usize,
    /// Reps that were found and had a speed to reach.
    pub marked: usize,
    /// Of those, reps with a clear answer on whether they reached it.
    pub answered: usize,
    /// Of those, answers that were right.
    pub answered_right: usize,
    /// Intervals of the time of work, s.
    pub work_s: Option<Intervals>,
    /// Intervals of the highest speed of a rep, m/s.
    pub peak_speed_m_s: Option<Intervals>,
    /// Intervals of the distance of a rep, m.
    pub distance_m: Option<Intervals>,
    /// Intervals of the rest after a rep, s.
    pub rest_s: Option<Intervals>,
}

/// The 95 % intervals to expect of one quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Intervals {
    /// Median width, upper end less lower end.
    pub width: f64,
    /// How many there were.
    pub count: usize,
    /// How many held the truth.
    pub held: usize,
}

impl Shares {
    /// The part of planned reps that got a verdict; `None` without reps.
    #[must_use]
    pub(crate) fn resolved_share(&self) -> Option<f64> {
        share(self.resolved, self.planned)
    }

    /// The part of verdicts that were right.
    #[must_use]
    pub(crate) fn right_share(&self) -> Option<f64> {
        share(self.right, self.resolved)
    }

    /// The part of sets that were found where they were.
    #[must_use]
    fn seen_share(&self) -> Option<f64> {
        share(self.seen, self.sets)
    }

    fn of<'a>(sets: impl Iterator<Item = &'a SetScore>) -> Self {
        let sets: Vec<&SetScore> = sets.collect();
        let reps: Vec<&RepScore> = sets.iter().flat_map(|s| &s.reps).collect();
        let count = |is: fn(&RepScore) -> bool| reps.iter().filter(|r| is(r)).count();
        let intervals = |of: fn(&RepScore) -> Option<Held>| {
            let all: Vec<Held> = reps.iter().filter_map(|r| of(r)).collect();
            Intervals::of(&all)
        };
        Self {
            planned: reps.len(),
            resolved: count(RepScore::resolved),
            right: count(RepScore::right),
            not_done: count(|r| !r.truly_done()),
            named: count(|r| !r.truly_done() && r.named()),
            sets: sets.iter().filter(|s| s.seen.is_some()).count(),
            seen: sets.iter().filter(|s| s.seen == Some(true)).count(),
            marked: count(|r| r.matched && r.truth.mark_m_s.is_some()),
            answered: count(|r| r.matched && r.reached_right().is_some()),
            answered_right: count(|r| r.matched && r.reached_right() == Some(true)),
            work_s: intervals(|r| r.work),
            peak_speed_m_s: intervals(|r| r.peak),
            distance_m: intervals(|r| r.distance),
            rest_s: intervals(|r| r.rest),
        }
    }
}

impl Intervals {
    fn of(all: &[Held]) -> Option<Self> {
        Some(Self {
            width: median(all.iter().map(|h| h.width).collect())?,
            count: all.len(),
            held: all.iter().filter(|h| h.holds).count(),
        })
    }
}

impl Judged {
    fn of(block: &Block, shares: &Shares) -> Self {
        let at_least = |share: Option<f64>, least: f64| share.is_some_and(|s| least <= s);
        let told = at_least(shares.resolved_share(), RESOLVED);
        let by_rep = told && at_least(shares.right_share(), RIGHT);
        let continuous = matches!(block.dose, Dose::Continuous { .. });
        if by_rep && !continuous {
            Self::RepByRep
        } else if by_rep || at_least(shares.seen_share(), SEEN) {
            Self::AsBout
        } else {
            Self::NotAtAll
        }
    }
}

fn share(part: usize, of: usize) -> Option<f64> {
    (of > 0).then(|| part as f64 / of as f64)
}

/// One session of the study, before any receiver has seen it.
struct Played {
    plan: Plan,
    world: World,
    departures: Departures,
    truth: Truth,
    seed: u64,
}

impl Played {
    /// The session of a number, from 0. Every other one, the first among them, departs from the plan.
    fn of(plan: &Plan, study: &Study, number: u32) -> Result<Self, TooLong> {
        let seed = study.seed.wrapping_mul(100_000).wrapping_add(number.into());
        let mut athlete = Athlete::random(&mut Rng::stream(seed, 21));
        if let Some(top) = plan.header.top_speed_m_s {
            athlete.top_speed_m_s = top;
        }
        let mess = if number.is_multiple_of(2) {
            Mess::Usual
        } else {
            Mess::Clean
        };
        let mut departures = Departures::of(mess, plan, &mut Rng::stream(seed, 22));
        (departures.list).retain(|d| !matches!(d, Departure::Swap { .. }));
        let world = World::random(athlete, &mut Rng::stream(seed, 25));
        let truth = execute_in(plan, &world, &departures, seed)?;
        Ok(Self {
            plan: plan.clone(),
            world,
            departures,
            truth,
            seed,
        })
    }

    fn receiver(&self, kind: Kind) -> Receiver {
        Receiver::random(kind, &mut Rng::stream(self.seed, 23))
    }

    /// What the review of one receiver's recording is worth; `Err` with as many sets where there is no review.
    fn score(&self, kind: Kind, settings: &Settings) -> Result<Vec<SetScore>, Vec<SetScore>> {
        let bytes = self.receiver(kind).record(&self.truth, self.seed).bytes();
        let expected = Expected::of(&self.truth);
        let untold = || score::untold(&expected);
        let session = session::analyse(&bytes, Some(&self.plan), settings).map_err(|_| untold())?;
        let clocks = Clocks::of(&session, &self.truth);
        let review = session.review.plan.as_ref().ok_or_else(untold)?;
        Ok(score::sets(&expected, review, clocks))
    }
}

/// The plan as the athlete carries it out: with the top speed of the settings where it names none.
fn with_top_speed(plan: &Plan, settings: &Settings) -> Plan {
    let mut plan = plan.clone();
    let known = plan.header.top_speed_m_s.or(settings.review.top_speed_m_s);
    plan.header.top_speed_m_s = known;
    plan
}

/// The first session of a study, which departs from the plan, as one kind of receiver records it.
///
/// # Errors
/// When the plan takes longer than 4 hours.
pub fn example(
    plan: &Plan,
    kind: Kind,
    seed: u64,
    settings: &Settings,
) -> Result<Simulated, TooLong> {
    let study = Study {
        kinds: vec![kind],
        sessions: 1,
        seed,
    };
    let played = Played::of(&with_top_speed(plan, settings), &study, 0)?;
    let receiver = played.receiver(kind);
    let recording = receiver.record(&played.truth, played.seed);
    Ok(Simulated {
        plan: played.plan,
        world: played.world,
        departures: played.departures,
        truth: played.truth,
        receiver,
        recording,
    })
}

/// How well each receiver of a study could judge a plan.
///
/// The athlete has the plan's top speed, else that of the settings, else one drawn from the range of footballers.
/// Recordings are reviewed in parallel; after each, `told` hears how many are done. The answer does not depend on the
/// order in which they are.
///
/// # Errors
/// When the plan takes longer than 4 hours.
pub fn outlook(
    plan: &Plan,
    study: &Study,
    settings: &Settings,
    told: &(dyn Fn(usize) + Sync),
) -> Result<Outlook, TooLong> {
    let plan = with_top_speed(plan, settings);
    let done = AtomicUsize::new(0);
    let sessions: Vec<Vec<Result<Vec<SetScore>, Vec<SetScore>>>> = (0..study.sessions)
        .into_par_iter()
        .map(|number| {
            let played = Played::of(&plan, study, number)?;
            let scores = study.kinds.par_iter().map(|&kind| {
                let score = played.score(kind, settings);
                told(done.fetch_add(1, Ordering::Relaxed) + 1);
                score
            });
            Ok(scores.collect())
        })
        .collect::<Result<_, TooLong>>()?;
    let receivers = (study.kinds.iter().enumerate())
        .map(|(at, &kind)| {
            let of_kind: Vec<_> = sessions.iter().filter_map(|s| s.get(at)).collect();
            receiver(&plan, kind, &of_kind)
        })
        .collect();
    Ok(Outlook {
        study: study.clone(),
        plan,
        receivers,
        speeds: settings.speeds,
    })
}

fn receiver(
    plan: &Plan,
    kind: Kind,
    sessions: &[&Result<Vec<SetScore>, Vec<SetScore>>],
) -> ReceiverOutlook {
    let sets = || (sessions.iter()).flat_map(|s| s.as_ref().unwrap_or_else(|untold| untold));
    let blocks = (1..).zip(&plan.blocks).map(|(index, block)| {
        let shares = Shares::of(sets().filter(|s| s.block == index));
        BlockOutlook {
            index,
            judged: Judged::of(block, &shares),
            shares,
        }
    });
    ReceiverOutlook {
        kind,
        failed: sessions.iter().filter(|s| s.is_err()).count(),
        blocks: blocks.collect(),
        all: Shares::of(sets()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan;

    fn judged(line: &str, shares: Shares) -> Option<Judged> {
        let plan = plan::parse(line).ok()?;
        Some(Judged::of(plan.blocks.first()?, &shares))
    }

    #[test]
    fn the_word_follows_from_the_shares() {
        let runs = "resistance 4 x 12 s, rest 30 s";
        let all = Shares {
            planned: 100,
            resolved: 80,
            right: 72,
            sets: 10,
            seen: 10,
            ..Shares::default()
        };
        assert_eq!(judged(runs, all), Some(Judged::RepByRep));
        assert_eq!(judged("warm-up 12 min", all), Some(Judged::AsBout));
        let wrong = Shares { right: 71, ..all };
        assert_eq!(judged(runs, wrong), Some(Judged::AsBout));
        let open = Shares {
            resolved: 79,
            ..all
        };
        assert_eq!(judged(runs, open), Some(Judged::AsBout));
        let unseen = Shares { seen: 7, ..wrong };
        assert_eq!(judged(runs, unseen), Some(Judged::NotAtAll));
        assert_eq!(judged(runs, Shares::default()), Some(Judged::NotAtAll));
    }
}
