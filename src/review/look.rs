//! Looks: how a second of the recording looks, and how much more like one kind of work, or like rest, than like anything else.
//!
//! Runs are told by the mean speed of each second, rest and intermittent work (a game, juggling, a warm-up) by the highest
//! second of five: who plays stands and walks as well, but not for long. Neighbouring seconds are no independent witnesses, and
//! "anything else" is never as described, so each second counts for a part of its log-odds only; durations and rests in
//! their order carry the session, and the look corrects them.
//!
//! Where intermittent work begins and ends is told by the borders themselves: he stands, then trots off; he slows down, or
//! walks off after stretching. What changes from the seconds before a moment to those after it is held against how often it
//! changes so anywhere in the recording.

use crate::motion::Motion;
use crate::plan::Category;
use crate::review::sums::{Sums, log_sum};

/// Speeds that part standing, strolling, walking, jogging, running, running fast and sprinting, m/s.
const RUN_EDGES_M_S: [f64; 6] = [0.3, 1.0, 1.9, 3.0, 4.2, 5.6];
/// Speeds that part standing, walking, trotting, running and running fast by the highest second of five, m/s.
const PLAY_EDGES_M_S: [f64; 4] = [0.7, 1.6, 2.2, 3.2];
/// The part of the log-odds of a second that counts: of runs, and of rest and intermittent work.
const RUN_WEIGHT: f64 = 0.5;
const PLAY_WEIGHT: f64 = 0.04;
/// The weight of a second in a long steady run, and what all of them count for at most, s: hundreds of them follow each other alike.
const STEADY_WEIGHT: f64 = 0.1;
const STEADY_S: f64 = 30.0;
/// A second faster than this is hardly rest, and costs so much.
const HARDLY_REST_M_S: f64 = 3.2;
const HARDLY_REST: f64 = 0.25;
/// A second faster than this that nothing explains costs so much.
const FAST_M_S: f64 = 4.2;
const FAST: f64 = 0.3;
/// A second faster than this within calm work costs so much: it ends before a sprint, or begins after it.
const SPRINTED_M_S: f64 = 5.6;
const SPRINTED: f64 = 0.3;
/// Anything else that goes on costs so much a second.
pub(super) const ELSE_A_SECOND: f64 = 0.004;
/// Longest grid, in ticks: beyond, ticks grow longer than a second.
const MOST_TICKS: f64 = 6000.0;

/// Shares of the seconds of anything else, by [`RUN_EDGES_M_S`].
const RUN_ELSE: [f64; 7] = [0.30, 0.16, 0.24, 0.12, 0.09, 0.05, 0.04];
/// Shares of the fives of seconds of anything else, by [`PLAY_EDGES_M_S`].
const PLAY_ELSE: [f64; 5] = [0.25, 0.35, 0.12, 0.14, 0.14];
const PLAY_REST: [f64; 5] = [0.42, 0.42, 0.08, 0.05, 0.03];

/// Seconds before and after a moment that are held against each other, s.
const BORDER_S: f64 = 5.0;
/// By how much he is faster after it than before, m/s.
const BORDER_EDGES_M_S: [f64; 6] = [-1.5, -0.9, -0.35, 0.35, 0.9, 1.5];
/// How much oftener, as a logarithm, work begins and ends with such a change than one is seen anywhere: of games, warm-ups and
/// cool-downs, and of technical work, which is often under way before it is seen to be. Counted over simulated sessions whose truth is known.
const BEGINS: [f64; 7] = [-2.5, -2.2, -1.6, -1.4, 0.3, 1.7, 2.2];
const BEGINS_TECHNICAL: [f64; 7] = [-1.0, -0.3, 0.0, -0.5, 0.8, 1.0, 0.9];
const ENDS: [f64; 7] = [0.6, 0.6, 0.7, -0.7, 0.4, 1.0, -1.5];
/// The part of that which counts.
const BORDER_WEIGHT: f64 = 0.6;

fn run_shares(category: Category) -> [f64; 7] {
    match category {
        Category::Strength => [0.02, 0.10, 0.30, 0.40, 0.15, 0.025, 0.005],
        Category::Speed => [0.01, 0.03, 0.06, 0.08, 0.12, 0.25, 0.45],
        Category::Technical => [0.08, 0.16, 0.30, 0.26, 0.14, 0.05, 0.01],
        _ => [0.01, 0.03, 0.06, 0.14, 0.36, 0.32, 0.08],
    }
}

/// The shares of the seconds of a run of minutes: whoever runs it keeps to a pace, and some jog it.
fn steady_shares(category: Category) -> Vec<[f64; 7]> {
    match category {
        Category::Resistance => vec![
            [0.01, 0.03, 0.06, 0.29, 0.38, 0.19, 0.04],
            [0.01, 0.03, 0.22, 0.62, 0.10, 0.01, 0.01],
            [0.01, 0.02, 0.04, 0.20, 0.60, 0.11, 0.02],
            [0.01, 0.02, 0.03, 0.08, 0.30, 0.50, 0.06],
        ],
        _ => vec![run_shares(category)],
    }
}

/// How intermittent work looks: at first, then, and which part of the planned time is the first.
struct Phases {
    first: [f64; 5],
    then: [f64; 5],
    part: f64,
    /// The other way round: the part of the planned time after which the first look comes instead, and how often it does.
    later: Option<(f64, f64)>,
}

/// Warm-ups and cool-downs begin with trotting and go over into stretching, which looks much like rest; some warm-ups begin with it.
fn phases(category: Category) -> Option<Phases> {
    let alike = |shares| Phases {
        first: shares,
        then: shares,
        part: 0.0,
        later: None,
    };
    match category {
        Category::Game => Some(alike([0.02, 0.08, 0.15, 0.33, 0.42])),
        Category::WarmUp => Some(Phases {
            first: [0.12, 0.12, 0.12, 0.54, 0.10],
            then: [0.34, 0.24, 0.17, 0.18, 0.07],
            part: 0.4,
            later: Some((0.35, 0.15)),
        }),
        Category::CoolDown => Some(Phases {
            first: [0.08, 0.10, 0.30, 0.50, 0.02],
            then: [0.46, 0.22, 0.17, 0.14, 0.01],
            part: 0.5,
            later: None,
        }),
        Category::Technical => Some(alike([0.24, 0.36, 0.20, 0.14, 0.06])),
        Category::Strength | Category::Resistance | Category::Speed | Category::Gym => None,
    }
}

/// The recording on a grid of ticks, as far as looks go. All sums run from the first tick to the end of each.
#[derive(Clone, Debug)]
pub(super) struct Look {
    /// Time of the first tick, s.
    pub start_s: f64,
    end_s: f64,
    /// Length of a tick, s.
    pub tick_s: f64,
    /// How many ticks.
    pub ticks: usize,
    /// Sums of the log-odds of rest against anything else.
    pub rest: Sums,
    /// Sums of what fast seconds cost that nothing explains.
    pub fast: Sums,
    /// What is left from each tick to the next of anything else that goes on.
    pub decay: Vec<f64>,
    /// Sums of the mean speeds, m/s times ticks.
    speed: Sums,
    run_else: [f64; 7],
    play_else: [f64; 5],
    run_class: Vec<Option<usize>>,
    play_class: Vec<Option<usize>>,
    /// What each tick costs calm work that is a sprint.
    sprinted: Vec<f64>,
    /// What each tick tells as the beginning of intermittent work, of technical work, and as the end of either.
    begins: Vec<f64>,
    begins_technical: Vec<f64>,
    ends: Vec<f64>,
}

impl Look {
    /// Looks at a motion.
    pub(crate) fn new(motion: &Motion, (start_s, end_s): (f64, f64)) -> Self {
        let length_s = (end_s - start_s).max(0.0);
        let tick_s = (length_s / MOST_TICKS).ceil().max(1.0);
        let ticks = (length_s / tick_s).ceil() as usize;
        let speeds = speeds(motion, start_s, tick_s, ticks);
        let class = |v: f64, edges: &[f64]| edges.iter().filter(|&&edge| v >= edge).count();
        let around = (2.0 / tick_s).round() as usize;
        let highest: Vec<Option<f64>> = (0..ticks)
            .map(|t| {
                let near = &speeds[t.saturating_sub(around)..(t + around + 1).min(ticks)];
                speeds[t].and(near.iter().flatten().copied().reduce(f64::max))
            })
            .collect();
        let borders: Vec<Option<usize>> = (faster(&speeds, (BORDER_S / tick_s).round() as usize)
            .into_iter())
        .map(|v| v.map(|v| class(v, &BORDER_EDGES_M_S)))
        .collect();
        let mut look = Self {
            start_s,
            end_s,
            tick_s,
            ticks,
            rest: Sums::of(std::iter::empty()),
            fast: Sums::of(std::iter::empty()),
            decay: Vec::new(),
            run_else: RUN_ELSE,
            play_else: PLAY_ELSE,
            speed: Sums::of(speeds.iter().map(|v| v.unwrap_or(0.0))),
            run_class: (speeds.iter())
                .map(|v| v.map(|v| class(v, &RUN_EDGES_M_S)))
                .collect(),
            play_class: (highest.iter())
                .map(|v| v.map(|v| class(v, &PLAY_EDGES_M_S)))
                .collect(),
            sprinted: (speeds.iter())
                .map(|v| {
                    let sprint = v.is_some_and(|v| v > SPRINTED_M_S);
                    tick_s * if sprint { SPRINTED } else { 0.0 }
                })
                .collect(),
            begins: told_by(&borders, &BEGINS),
            begins_technical: told_by(&borders, &BEGINS_TECHNICAL),
            ends: told_by(&borders, &ENDS),
        };
        look.run_else = background(&look.run_class, &RUN_ELSE);
        look.play_else = background(&look.play_class, &PLAY_ELSE);
        let play_rest = odds(&PLAY_REST, &look.play_else, PLAY_WEIGHT);
        look.rest = Sums::of(look.play_class.iter().zip(&speeds).map(|(class, v)| {
            let by_class = class.map_or(0.0, |c| play_rest[c]);
            let hardly = v.is_some_and(|v| v > HARDLY_REST_M_S);
            tick_s * (by_class - if hardly { HARDLY_REST } else { 0.0 })
        }));
        look.fast = Sums::of((speeds.iter()).map(|v| {
            let fast = v.is_some_and(|v| v > FAST_M_S);
            tick_s * if fast { FAST } else { 0.0 }
        }));
        let fast = look.fast.all();
        look.decay = (0..=ticks)
            .map(|t| {
                let fast = fast[t] - fast[t.saturating_sub(1)];
                (-ELSE_A_SECOND * tick_s - fast).exp()
            })
            .collect();
        look
    }

    /// Sums of the log-odds of a run of a category against anything else.
    pub(crate) fn run(&self, category: Category) -> Sums {
        let odds = odds(&run_shares(category), &self.run_else, RUN_WEIGHT);
        self.sums_of(&self.run_class, &odds)
    }

    /// Sums of the log-odds of a stretch of a category, planned to take so long, against anything else.
    ///
    /// Where it looks otherwise at first, what its first part tells more than the rest would is told by where it begins. A stretch that
    /// ends within its first part is taken to go on.
    pub(crate) fn stretch(&self, category: Category, planned_s: f64) -> Sums {
        if let Some(phases) = phases(category) {
            let first = odds(&phases.first, &self.play_else, PLAY_WEIGHT);
            let then = odds(&phases.then, &self.play_else, PLAY_WEIGHT);
            let begins = match category {
                Category::Technical => &self.begins_technical,
                _ => &self.begins,
            };
            let more: [f64; 5] = std::array::from_fn(|c| first[c] - then[c]);
            let more = Sums::of(self.valued(&self.play_class, &more));
            let up_to = |t: usize, part: f64| {
                let ticks = (part * planned_s / self.tick_s).round() as usize;
                more.at((t + ticks).min(self.ticks))
            };
            let first_part = |t: usize| {
                let usual = up_to(t, phases.part) - more.at(t);
                let Some((part, share)) = phases.later else {
                    return usual;
                };
                let later = up_to(t, 1.0) - up_to(t, part);
                log_sum(&[usual + (1.0 - share).ln(), later + share.ln()])
            };
            let sprinted = |cost: f64| {
                if category == Category::Game {
                    0.0
                } else {
                    cost
                }
            };
            return Sums::between(
                (self.valued(&self.play_class, &then).zip(&self.sprinted))
                    .map(|(v, cost)| v - sprinted(*cost)),
                |t| begins[t] + first_part(t),
                |t| self.ends[t],
            );
        }
        let odds = self.steady(category, planned_s);
        Sums::between(
            self.valued(&self.run_class, &odds),
            |t| self.begins[t],
            |t| self.ends[t],
        )
    }

    /// The log-odds of the classes for a run of minutes, at the pace that is told best by the planned time in which it is told best.
    fn steady(&self, category: Category, planned_s: f64) -> [f64; 7] {
        let ticks = ((planned_s / self.tick_s).round() as usize).min(self.ticks);
        let weight = STEADY_WEIGHT.min(STEADY_S / planned_s);
        let best = |odds: &[f64; 7]| {
            let sums = self.sums_of(&self.run_class, odds);
            (0..=self.ticks - ticks)
                .map(|t| sums.at(t + ticks) - sums.at(t))
                .fold(f64::NEG_INFINITY, f64::max)
        };
        (steady_shares(category).iter())
            .map(|shares| odds(shares, &self.run_else, weight))
            .max_by(|a, b| best(a).total_cmp(&best(b)))
            .unwrap_or_default()
    }

    fn sums_of(&self, classes: &[Option<usize>], odds: &[f64]) -> Sums {
        Sums::of(self.valued(classes, odds))
    }

    /// The log-odds of each tick by its class.
    fn valued<'v>(
        &self,
        classes: &'v [Option<usize>],
        odds: &'v [f64],
    ) -> impl Iterator<Item = f64> + use<'v> {
        let tick_s = self.tick_s;
        (classes.iter()).map(move |c| tick_s * c.map_or(0.0, |c| odds[c]))
    }

    /// The mean speed between two times, m/s; 0 where nothing was recorded.
    pub(crate) fn mean_speed(&self, from_s: f64, to_s: f64) -> f64 {
        let length = (to_s - from_s) / self.tick_s;
        (self.at(self.speed.all(), to_s) - self.at(self.speed.all(), from_s)) / length.max(1e-3)
    }

    /// The tick in which a time lies.
    pub(crate) fn tick(&self, time_s: f64) -> usize {
        (((time_s - self.start_s) / self.tick_s).round().max(0.0) as usize).min(self.ticks)
    }

    /// The time of a tick, s; the last is no later than the recording.
    pub(crate) fn time_s(&self, tick: usize) -> f64 {
        (self.start_s + tick as f64 * self.tick_s).min(self.end_s)
    }

    /// A sum up to a time between two ticks.
    pub(crate) fn at(&self, sums: &[f64], time_s: f64) -> f64 {
        let place = ((time_s - self.start_s) / self.tick_s).clamp(0.0, self.ticks as f64);
        let k = (place.floor() as usize).min(self.ticks.saturating_sub(1));
        let (Some(a), Some(b)) = (sums.get(k), sums.get(k + 1)) else {
            return 0.0;
        };
        a + (place - k as f64) * (b - a)
    }
}

/// How much of anything else is taken to look as the recording on the whole does.
const OWN: f64 = 0.7;

/// The shares of the classes in anything else: as usual, and as in the recording on the whole, most of which may be nothing
/// of the plan.
fn background<const N: usize>(classes: &[Option<usize>], usual: &[f64; N]) -> [f64; N] {
    let seen = classes.iter().flatten().count().max(1) as f64;
    let own = OWN;
    std::array::from_fn(|c| {
        let here = classes.iter().flatten().filter(|k| **k == c).count() as f64;
        (1.0 - own) * usual[c] + own * here / seen
    })
}

/// The log-odds of each class between two kinds of movement, so much of them as counts.
fn odds<const N: usize>(this: &[f64; N], other: &[f64; N], weight: f64) -> [f64; N] {
    std::array::from_fn(|c| weight * (this[c] / other[c]).ln())
}

/// What each tick tells as a border by its class; over the whole recording it tells nothing.
fn told_by(classes: &[Option<usize>], usual: &[f64; 7]) -> Vec<f64> {
    let told = |class: Option<usize>| class.map_or(0.0, |c| BORDER_WEIGHT * usual[c]);
    let all: f64 = classes.iter().map(|c| told(*c).exp()).sum();
    let middle = (all / classes.len().max(1) as f64).ln();
    let known = |class: Option<usize>| class.map_or(0.0, |_| told(class) - middle);
    classes.iter().map(|c| known(*c)).collect()
}

/// By how much the ticks after each border of ticks are faster than as many before it, m/s; `None` at the ends of the recording
/// and where none of them was recorded.
fn faster(speeds: &[Option<f64>], ticks: usize) -> Vec<Option<f64>> {
    let ticks = ticks.max(1);
    let mean = |of: &[Option<f64>]| {
        let known = || of.iter().flatten();
        let count = known().count();
        (count > 0).then(|| known().sum::<f64>() / count as f64)
    };
    (0..=speeds.len())
        .map(|t| {
            let before = mean(speeds.get(t.checked_sub(ticks)?..t)?)?;
            let after = mean(speeds.get(t..t + ticks)?)?;
            Some(after - before)
        })
        .collect()
}

/// The mean speed of each tick, m/s; `None` where nothing was recorded.
fn speeds(motion: &Motion, start_s: f64, tick_s: f64, ticks: usize) -> Vec<Option<f64>> {
    let mut sums = vec![(0.0, 0_u32); ticks];
    for sample in motion.samples.iter().filter(|s| !s.bridged) {
        let at = (sample.time_s - start_s) / tick_s;
        if at >= 0.0
            && let Some((sum, count)) = sums.get_mut(at as usize)
        {
            *sum += sample.speed_m_s;
            *count += 1;
        }
    }
    sums.into_iter()
        .map(|(sum, count)| (count > 0).then(|| sum / f64::from(count)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::{Sample, SpeedFrom};

    /// Standing, 200 s of trotting, 200 s of stretching with a few steps, standing.
    fn warmed_up() -> Motion {
        let samples = (0..700).map(|k| Sample {
            time_s: f64::from(k),
            speed_m_s: match k {
                100..300 => 2.5,
                300..500 if k % 40 < 8 => 1.3,
                _ => 0.1,
            },
            ..Sample::default()
        });
        Motion::of_run(samples.collect(), 1.0, SpeedFrom::Both)
    }

    /// Trotting belongs to the first part and stretching to the second: that he stops when the trotting does is hardly likelier by the
    /// look, and much less so by the time that the plan gives.
    #[test]
    fn a_warm_up_that_ends_in_stretching_ends_behind_it() {
        let look = Look::new(&warmed_up(), (0.0, 700.0));
        let told = |from: usize, to: usize| {
            let sums = look.stretch(Category::WarmUp, 400.0);
            sums.back(to).nth(to - from).map_or(f64::NAN, f64::ln)
        };
        let rested = |from: usize, to: usize| look.rest.at(to) - look.rest.at(from);
        let whole = told(100, 500);
        assert!(whole > told(100, 300) + rested(300, 500) - 4.0);
        assert!(whole > told(200, 600) + 5.0);
        assert!(whole > told(20, 420) + 5.0);
    }

    /// 180 s of stretching with a few steps, 240 s of trotting, standing: he ends when the trotting does, not at its beginning.
    #[test]
    fn a_warm_up_that_begins_with_stretching_begins_before_the_trotting() {
        let samples = (0..900).map(|k| Sample {
            time_s: f64::from(k),
            speed_m_s: match k {
                300..480 if k % 40 < 8 => 1.3,
                480..720 => 2.5,
                _ => 0.1,
            },
            ..Sample::default()
        });
        let motion = Motion::of_run(samples.collect(), 1.0, SpeedFrom::Both);
        let look = Look::new(&motion, (0.0, 900.0));
        let told = |from: usize, to: usize| {
            let sums = look.stretch(Category::WarmUp, 420.0);
            sums.back(to).nth(to - from).map_or(f64::NAN, f64::ln)
        };
        assert!(told(300, 720) > told(420, 840) + 1.0);
        assert!(told(300, 720) > told(180, 600) + 1.0);
    }

    /// Half an hour at a jog of 2.8 m/s is more than half of the recording: it looks like the run that was planned none the less, and no more
    /// so for five minutes of the warm-up before it.
    #[test]
    fn a_run_that_is_most_of_the_recording_is_seen() {
        let samples = (0..2900).map(|k| Sample {
            time_s: f64::from(k),
            speed_m_s: match k {
                200..500 => 2.2,
                600..2400 => 2.8,
                _ => 0.8,
            },
            ..Sample::default()
        });
        let motion = Motion::of_run(samples.collect(), 1.0, SpeedFrom::Both);
        let look = Look::new(&motion, (0.0, 2900.0));
        let sums = look.stretch(Category::Resistance, 1800.0);
        let told = |from: usize, to: usize| {
            let back = sums.back(to).nth(to - from);
            back.map_or(f64::NAN, f64::ln)
        };
        assert!(told(600, 2400) > 2.0, "{}", told(600, 2400));
        assert!(told(200, 2400) < told(600, 2400) + 4.0);
    }

    /// Twelve minutes at a jog between walking: all of it is the run, and no part of it alone.
    #[test]
    fn a_run_of_minutes_may_be_jogged() {
        let samples = (0..1400).map(|k| Sample {
            time_s: f64::from(k),
            speed_m_s: if (300..1020).contains(&k) { 2.7 } else { 1.2 },
            ..Sample::default()
        });
        let motion = Motion::of_run(samples.collect(), 1.0, SpeedFrom::Both);
        let look = Look::new(&motion, (0.0, 1400.0));
        let sums = look.stretch(Category::Resistance, 720.0);
        let told = |from: usize, to: usize| {
            let rested =
                look.rest.at(from) - look.rest.at(240) + look.rest.at(1080) - look.rest.at(to);
            rested + sums.back(to).nth(to - from).map_or(f64::NAN, f64::ln)
        };
        assert!(told(300, 1020) > told(300, 660) + 2.0);
        assert!(told(300, 1020) > told(280, 1040) + 1.0);
    }
}
