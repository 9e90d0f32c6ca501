//! How many reps of sets that run on were done: by their turns, their time and their way, all sets of a block together.
//!
//! A turn between two fixes leaves no trace, so that few fixes count too few; but who needs 5 s a rep in one set needs
//! about as much in the next, and a set of eight that takes as long as its neighbours was no set of six. The pace is one
//! for the block and unknown, and so is the scale of the way: a receiver that cuts one set short at its turns cuts the next alike. For
//! each pace and each scale every number of reps has its likelihood, and what is told is the sum over them.
//! A bout may also have been found only in part, where a turn in the middle looked like its end: then more may have
//! followed, and nothing is said against the reps that are not seen.

use crate::motion::{Motion, SpeedFrom};
use crate::review::expect::Guess;
use crate::review::kernel::density;

/// A set was left before its end: 1 in 8.
const LEFT: f64 = 0.125;
/// A rep more than planned, and two.
const MORE: [f64; 2] = [0.03, 0.01];
/// How evenly a player paces the sets of a block, as a standard deviation of the logarithm.
const PACE_SD: f64 = 0.07;
/// A set that took far longer, with a stop in it or a run up to it, and how much that may be.
const STOPPED: f64 = 0.06;
const STOPPED_SD: f64 = 0.35;
/// What has less of the likeliest weight than this tells nothing.
const HARDLY: f64 = 1e-9;
/// Steps of the pace and of the scale of ways to each side, and how far they reach.
const STEPS: i32 = 40;
const SCALE_STEPS: i32 = 6;
const REACH_SD: f64 = 3.0;

/// What is known of a set that was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Seen {
    /// How long it took, s.
    pub time_s: f64,
    /// The reps counted by turns, with a fraction for one that was broken off, where turns can be counted.
    pub turned: Option<f64>,
    /// The reps by the way that was covered, where the plan gives the length of a rep.
    pub by_way: Option<f64>,
}

/// How far turns, edges and ways of a recording are to be trusted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Trust {
    /// The count by turns is right; it is one too few; each further one too few; one too many.
    turns: [f64; 4],
    /// A set was found in part only.
    part: f64,
    /// The logarithm of the way of a block, as a share of the true one.
    scale: Scale,
    /// Standard deviation of the logarithm of the way of a set about that of its block.
    way_sd: f64,
}

/// A logarithm, with its standard deviation.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Scale {
    ln: f64,
    sd: f64,
}

impl Trust {
    /// From rate and kind of a recording; shares as counted over simulated sets whose truth is known.
    pub(crate) fn of(motion: &Motion) -> Self {
        const FEW: [f64; 4] = [0.70, 0.13, 0.05, 0.05];
        if motion.irregular {
            Self {
                turns: FEW,
                part: 0.35,
                scale: Scale { ln: -0.4, sd: 0.3 },
                way_sd: 0.22,
            }
        } else if motion.rate_hz > 4.0 {
            Self {
                turns: [0.985, 0.008, 0.001, 0.003],
                part: 0.004,
                scale: Scale { ln: 0.0, sd: 0.045 },
                way_sd: 0.03,
            }
        } else if motion.speed_from == SpeedFrom::Position {
            let (part, scale, way_sd) = if motion.doubts.loses_fixes {
                (0.2, Scale { ln: -0.25, sd: 0.3 }, 0.18)
            } else {
                (0.1, Scale { ln: 0.0, sd: 0.15 }, 0.05)
            };
            Self {
                turns: FEW,
                part,
                scale,
                way_sd,
            }
        } else {
            Self {
                turns: FEW,
                part: 0.02,
                scale: Scale { ln: 0.0, sd: 0.07 },
                way_sd: 0.035,
            }
        }
    }

    /// How likely a count by turns is when so many reps were done.
    fn turns(&self, turned: f64, reps: f64) -> f64 {
        let [right, one_less, less, more] = self.turns;
        match turned - reps {
            // What goes beyond is a rep begun and left.
            off if (-0.35..0.75).contains(&off) => right,
            off if off >= 0.75 => more * 0.4_f64.powf(off - 1.0),
            off if off >= -1.35 => one_less,
            off => less * 0.6_f64.powf(-off - 2.0),
        }
    }
}

/// How many reps of a set were done.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Tally {
    /// How likely it is that so many were seen, and no more were run, from 0 on.
    ended: Vec<f64>,
    /// How likely it is that so many were seen, and that more may have followed.
    part: Vec<f64>,
}

impl Tally {
    /// How likely at least so many reps were run and seen.
    pub(crate) fn seen(&self, reps: usize) -> f64 {
        self.sum_from(reps).min(1.0)
    }

    /// The same before it is made a probability: densities may be more than 1.
    fn sum_from(&self, reps: usize) -> f64 {
        let sum = |list: &[f64]| list.iter().skip(reps).sum::<f64>();
        sum(&self.ended) + sum(&self.part)
    }

    /// How likely the set ended with fewer reps than that.
    pub(crate) fn ended_before(&self, reps: usize) -> f64 {
        self.ended.iter().take(reps).sum()
    }

    /// The number of reps that were as likely as not seen.
    pub(crate) fn middle(&self) -> usize {
        (1..self.ended.len())
            .take_while(|&reps| self.seen(reps) >= 0.5)
            .count()
    }
}

/// The tallies of the sets of a block, each of so many `planned` reps of about `each` s.
pub(super) fn tallies(sets: &[Seen], planned: usize, each: Guess, trust: &Trust) -> Vec<Tally> {
    let prior = prior(planned);
    let paces = steps(STEPS, each.value.ln(), each.sd);
    // Where no way is known its scale does not matter.
    let by_way = sets.iter().any(|set| set.by_way.is_some());
    let scales = steps(
        if by_way { SCALE_STEPS } else { 0 },
        trust.scale.ln,
        trust.scale.sd,
    );
    // Of each set what each number of reps is worth by its time at each pace, and by the rest at each scale.
    let in_time: Vec<Vec<Vec<f64>>> = (sets.iter())
        .map(|set| {
            (paces.iter())
                .map(|&(pace, _)| by_time(set, prior.len(), pace))
                .collect()
        })
        .collect();
    let by_shape: Vec<Vec<Tally>> = (sets.iter())
        .map(|set| {
            (scales.iter())
                .map(|&(scale, _)| by_turns_and_way(set, &prior, scale, trust))
                .collect()
        })
        .collect();
    let both = |set: usize, pace: usize, scale: usize| {
        let Tally { ended, part } = &by_shape[set][scale];
        let times = |list: &[f64]| -> Vec<f64> {
            (list.iter().zip(&in_time[set][pace]))
                .map(|(shape, time)| shape * time)
                .collect()
        };
        Tally {
            ended: times(ended),
            part: times(part),
        }
    };
    let grid: Vec<(usize, usize)> = (0..paces.len())
        .flat_map(|pace| (0..scales.len()).map(move |scale| (pace, scale)))
        .collect();
    let all: Vec<f64> = (grid.iter())
        .map(|&(pace, scale)| {
            let seen = (0..sets.len()).map(|set| both(set, pace, scale).sum_from(0).ln());
            paces[pace].1 + scales[scale].1 + seen.sum::<f64>()
        })
        .collect();
    let best = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    (0..sets.len())
        .map(|set| {
            let mut tally = Tally {
                ended: vec![0.0; prior.len()],
                part: vec![0.0; prior.len()],
            };
            for (&(pace, scale), sum) in grid.iter().zip(&all) {
                let weight = (sum - best).exp();
                if weight < HARDLY {
                    continue;
                }
                let here = both(set, pace, scale);
                let weight = weight / here.sum_from(0);
                for k in 0..prior.len() {
                    tally.ended[k] += weight * here.ended[k];
                    tally.part[k] += weight * here.part[k];
                }
            }
            let whole = tally.sum_from(0);
            for share in tally.ended.iter_mut().chain(&mut tally.part) {
                *share /= whole;
            }
            tally
        })
        .collect()
}

/// Steps of a logarithm about its middle, with the logarithms of their weights.
fn steps(count: i32, middle: f64, sd: f64) -> Vec<(f64, f64)> {
    (-count..=count)
        .map(|k| {
            let z = REACH_SD * f64::from(k) / f64::from(count.max(1));
            (middle + z * sd, -0.5 * z * z)
        })
        .collect()
}

/// How likely each number of reps is before anything is seen, from 0 on: all of them, or left the sooner the rarer.
fn prior(planned: usize) -> Vec<f64> {
    let nearness = |k: usize| 1.0 / (planned - k) as f64;
    let whole: f64 = (1..planned).map(nearness).sum();
    let mut prior: Vec<f64> = (0..planned)
        .map(|k| match k {
            0 => 0.0,
            k => LEFT * nearness(k) / whole,
        })
        .collect();
    prior.push(1.0 - prior.iter().sum::<f64>() - MORE.iter().sum::<f64>());
    prior.extend(MORE);
    prior
}

impl Seen {
    /// The reps that were run where so many ended: a rep begun and left takes its part of the time and of the way.
    fn run(&self, reps: usize) -> f64 {
        let begun = self.turned.map_or(0.0, |turned| turned - reps as f64);
        reps as f64
            + if (0.2..0.75).contains(&begun) {
                begun
            } else {
                0.0
            }
    }
}

/// At one pace, a logarithm, how likely the time of a set is with each number of reps.
fn by_time(set: &Seen, reps: usize, pace: f64) -> Vec<f64> {
    (0..reps)
        .map(|k| {
            let off = (set.time_s / set.run(k)).ln() - pace;
            (1.0 - STOPPED) * density(off, PACE_SD) + STOPPED * density(off, STOPPED_SD)
        })
        .collect()
}

/// At one scale of the ways, a logarithm, how likely the turns and the way of a set are together with each number of reps.
fn by_turns_and_way(set: &Seen, prior: &[f64], scale: f64, trust: &Trust) -> Tally {
    let shows = |k: usize| {
        let way = set.by_way.map_or(1.0, |by_way| {
            let off = (by_way / set.run(k)).ln() - scale;
            0.97 * density(off, trust.way_sd) + 0.03 * density(off, 1.0)
        });
        (set.turned).map_or(way, |turned| way * trust.turns(turned, k as f64))
    };
    let shown: Vec<f64> = (0..prior.len())
        .map(|k| if k == 0 { 0.0 } else { shows(k) })
        .collect();
    // In part: as likely after any of the reps that were to follow.
    let part = (0..prior.len())
        .map(|k| {
            let more: f64 = (k + 1..prior.len())
                .map(|n| prior[n] / (n - 1).max(1) as f64)
                .sum();
            trust.part * more * shown[k]
        })
        .collect();
    let ended = (prior.iter().zip(&shown))
        .map(|(prior, shown)| (1.0 - trust.part) * prior * shown)
        .collect();
    Tally { ended, part }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FEW: Trust = Trust {
        turns: [0.70, 0.13, 0.05, 0.05],
        part: 0.1,
        scale: Scale { ln: 0.0, sd: 0.2 },
        way_sd: 0.05,
    };
    const MANY: Trust = Trust {
        turns: [0.985, 0.008, 0.001, 0.003],
        part: 0.004,
        scale: Scale { ln: 0.0, sd: 0.045 },
        way_sd: 0.03,
    };

    fn seen(time_s: f64, turned: f64) -> Seen {
        Seen {
            time_s,
            turned: Some(turned),
            by_way: None,
        }
    }

    #[test]
    fn shares_add_up() {
        for tally in tallies(
            &[seen(30.0, 5.0), seen(41.0, 8.0)],
            8,
            Guess::new(5.0, 0.3),
            &FEW,
        ) {
            assert!((tally.seen(0) - 1.0).abs() < 1e-9);
            assert!((tally.seen(3) + tally.ended_before(3) - 1.0).abs() < tally.part.iter().sum());
        }
    }

    #[test]
    fn a_set_as_long_as_its_neighbours_was_as_many_reps_though_turns_were_lost() {
        let sets = [seen(40.0, 8.0), seen(41.0, 5.0), seen(39.5, 8.0)];
        for tally in tallies(&sets, 8, Guess::new(4.5, 0.35), &FEW) {
            assert!(tally.seen(8) > 0.9, "{tally:?}");
        }
    }

    #[test]
    fn a_set_left_early_is_told_where_turns_are_clear() {
        let sets = [seen(40.0, 8.0), seen(25.5, 5.0), seen(39.5, 8.0)];
        let all = tallies(&sets, 8, Guess::new(4.5, 0.35), &MANY);
        assert!(
            all[1].ended_before(6) > 0.9 && all[1].seen(5) > 0.9,
            "{:?}",
            all[1]
        );
        assert!(all[0].seen(8) > 0.95 && all[2].seen(8) > 0.95);
        // Where turns are often lost and sets found in part, nothing is said against the rest.
        let all = tallies(
            &sets,
            8,
            Guess::new(4.5, 0.35),
            &Trust { part: 0.35, ..FEW },
        );
        assert!(
            all[1].seen(5) > 0.8 && all[1].ended_before(6) < 0.9,
            "{:?}",
            all[1]
        );
    }

    /// Three sets of four reps seen by turns and way, and one of which only the time is known: three quarters of theirs, and so three reps.
    #[test]
    fn the_pace_of_sets_that_were_seen_counts_one_that_was_not() {
        let clear = Seen {
            time_s: 32.0,
            turned: Some(4.0),
            by_way: Some(4.0),
        };
        let hidden = Seen {
            time_s: 24.0,
            turned: None,
            by_way: None,
        };
        let all = tallies(
            &[clear, clear, hidden, clear],
            4,
            Guess::new(9.5, 0.35),
            &MANY,
        );
        assert!(
            all[2].ended_before(4) > 0.8 && all[2].middle() == 3,
            "{:?}",
            all[2]
        );
        assert!(all[0].seen(4) > 0.95, "{:?}", all[0]);
    }

    /// Four reps a set, each set 15 % short by its way and a turn lost in each: the receiver cuts all of them alike.
    #[test]
    fn ways_that_are_all_short_by_the_same_share_are_cut_by_the_receiver() {
        let cut = |by_way: f64| Seen {
            time_s: 33.0,
            turned: Some(3.0),
            by_way: Some(by_way),
        };
        let sets = [cut(3.35), cut(3.4), cut(3.35), cut(3.4)];
        let trust = Trust {
            part: 0.02,
            scale: Scale { ln: 0.0, sd: 0.07 },
            way_sd: 0.035,
            ..FEW
        };
        for tally in tallies(&sets, 4, Guess::new(8.4, 0.25), &trust) {
            assert!(tally.ended_before(4) < 0.75, "{tally:?}");
        }
    }

    #[test]
    fn every_set_one_short_is_told_by_clear_turns_whatever_the_pace() {
        let sets = [seen(35.0, 7.0), seen(35.5, 7.0), seen(34.5, 7.0)];
        for tally in tallies(&sets, 8, Guess::new(4.5, 0.35), &MANY) {
            assert!(tally.ended_before(8) > 0.85, "{tally:?}");
        }
    }
}
