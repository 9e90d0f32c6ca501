//! Learning from a first matching: the session's own times, speeds and rests replace the guesses of the plan.
//!
//! Empirical Bayes, block by block: the middle of what was matched, drawn towards the guess as if that were a few reps
//! more. Middles and spreads are medians, so that a rep cut short or a drink does not teach.
//!
//! How loosely rests are kept is a habit of the player: what all blocks with planned rests show of it together stands beside what one
//! shows, since a set of five says little. Rests twice and half as long as planned, held against a guess of a sixth, would make reps
//! left out of the long ones.
//!
//! A block of which hardly anything was matched is expected to be run at the pace of those like it that were: else what one block
//! taught would make its twin, still held against the plan's guess, look like something else.

use crate::bouts::Bout;
use crate::estimation::quantile::{MAD_TO_SD, midpoint};
use crate::plan::Category;
use crate::review::cost::{self, Quality, bell};
use crate::review::expect::Guess;
use crate::review::items::{Ends, Item, Kind, Schedule};

/// The guess counts as this many reps, the vaguer it is the fewer: a player does alike what no plan tells beforehand.
const PRIOR_REPS: f64 = 3.0;
/// How far his times and rests lie apart at most, as the standard deviation of their logarithms: a guess is vaguer than that
/// about all of them together.
const WITHIN: f64 = 0.3;
/// Fewer reps than this teach nothing.
const LEAST_REPS: usize = 3;
/// A planned time of work is kept to this share at worst; more is a departure, not a habit.
const MOST_BIAS: f64 = 0.06;
/// How far peak speeds lie apart at least, m/s.
const LEAST_PEAK_SD_M_S: f64 = 0.35;
/// Nobody keeps rests more evenly than this.
const LEAST_REST_SD: f64 = 0.06;
/// A rest that is guessed more vaguely than this the plan leaves free.
const FREE_REST_SD: f64 = 0.3;
/// The guess of how loosely rests are kept counts as this many of them, in the session and then in a block; and the loosest that is
/// believed, as the standard deviation of their logarithms.
const LOOSENESS_RESTS: f64 = 6.0;
const LOOSEST_SD: f64 = 0.6;
/// How loosely those keep rests who hardly look at the watch.
const LOOSE_SD: f64 = 0.45;
/// Each pace and each peak that was learnt costs this at most: not all that a player does is foreseen.
const MOST_SURPRISE: f64 = 4.0;
/// How near the middle way of a block's runs is to that of the plan, as a logarithm: a line may be paced out wrongly. Anything else costs
/// this, and from these odds on it is known where the line is.
const LINE_SD: f64 = 0.07;
const LINE_FLOOR: f64 = 6.0;
const ENDS_SURE: f64 = 2.2;
/// Ways are paced out wrongly by so much, as logarithms, and sprints braked so long after their line, s.
const LENGTH_BIAS: (f64, f64) = (-0.12, 0.08);
const OVER_LINE_S: f64 = 0.3;
/// Who runs on for longer still owes no more than the plan asks.
const MOST_OVERTIME: f64 = 0.02;

/// Expects the rest after an item to be kept loosely, where the plan gives one.
pub(super) fn loosen(item: &mut Item) {
    if item.rest_after.sd <= FREE_REST_SD {
        item.rest_after.sd = LOOSE_SD;
    }
}

/// A schedule whose guesses are moved to what a matching found.
pub(super) fn learn(
    mut schedule: Schedule,
    path: &[(usize, usize)],
    candidates: &[Bout],
    quality: &Quality,
) -> Schedule {
    let blocks = schedule.items.iter().map(|i| i.block + 1).max();
    let ends = ends(&schedule.items, path, candidates, blocks.unwrap_or(0));
    for item in &mut schedule.items {
        item.ends = ends[item.block];
    }
    let mut seen = vec![Seen::default(); blocks.unwrap_or(0)];
    for (k, &(at, candidate)) in path.iter().enumerate() {
        let item = &schedule.items[at];
        let of_block = &mut seen[item.block];
        let bout = &candidates[candidate];
        let time_s = cost::end_s(item, bout) - bout.start_s;
        of_block.work.push((time_s / item.work.value).ln());
        of_block.share.push(
            cost::work_share(item, bout, time_s, quality)
                .0
                .max(0.01)
                .ln(),
        );
        of_block.peak.push(bout.peak_m_s);
        if let Some(shape) = &bout.shape {
            of_block.x_m.push(shape.middle_m[0]);
            of_block.y_m.push(shape.middle_m[1]);
        }
        if let Some(next) = path.get(k + 1)
            && next.0 == at + 1
            && item.kind == Kind::Bout
            && !item.last_of_set
        {
            let gap_s = candidates[next.1].start_s - cost::end_s(item, bout);
            let rest = (gap_s.max(0.5) / item.rest_after.value).ln();
            of_block.rest.push(rest);
        }
    }
    let taught: Vec<Taught> = seen.iter().map(Taught::of).collect();
    let guessed = schedule.items.clone();
    let looseness = looseness(&seen, &guessed);
    for item in &mut schedule.items {
        if item.kind == Kind::Stretch {
            continue;
        }
        let own = &taught[item.block];
        if own.peak.count >= LEAST_REPS {
            own.teach(item, looseness);
        } else if let Some((twin, expected)) = twin(item, &guessed, &taught) {
            twin.lend(item, expected);
        }
    }
    schedule
}

/// Where the runs of each block end, by how far their bouts went to where he braked and to where he stopped: the one or the other is the way
/// of the plan.
fn ends(items: &[Item], path: &[(usize, usize)], candidates: &[Bout], blocks: usize) -> Vec<Ends> {
    let mut off = vec![(Vec::new(), Vec::new()); blocks];
    for &(at, candidate) in path {
        let item = &items[at];
        if let Some(planned_m) = item.straight_m() {
            let bout = &candidates[candidate];
            let share = |way_m: f64| (way_m.max(0.1) / planned_m).ln();
            off[item.block].0.push(share(bout.path_to_end_m));
            off[item.block].1.push(share(bout.path_m));
        }
    }
    (off.iter())
        .map(|(brake, stop)| {
            if brake.len() < LEAST_REPS {
                return Ends::Open;
            }
            let unlike = |off: &[f64]| bell(median(off) / LINE_SD, LINE_FLOOR);
            let odds = (cost::STOPS / (1.0 - cost::STOPS)).ln() + unlike(brake) - unlike(stop);
            if odds > ENDS_SURE {
                Ends::AtStop
            } else if odds < -ENDS_SURE {
                Ends::AtBrake
            } else {
                Ends::Open
            }
        })
        .collect()
}

/// What it costs that the paces and peaks which were learnt of all blocks lie so far from what was expected: sprints that are jogs, say,
/// fit each other well once they have taught it.
pub(super) fn surprise(guessed: &[Item], learnt: &[Item]) -> f64 {
    let cost = |z: f64| (0.5 * z * z).min(MOST_SURPRISE);
    (guessed.iter().zip(learnt))
        .enumerate()
        .filter(|&(k, (item, _))| k == 0 || guessed[k - 1].block != item.block)
        .filter(|(_, (item, _))| item.kind == Kind::Bout)
        .map(|(_, (guess, learnt))| {
            let work = (learnt.work.value / guess.work.value).ln() / guess.work.sd;
            let peak = (learnt.peak.value - guess.peak.value) / guess.peak.sd;
            cost(work) + cost(peak)
        })
        .sum()
}

/// How far the rests that the plan gives lie apart in all blocks together, as the standard deviation of their logarithms about the middle
/// of their block, drawn towards the guess; `None` where nobody knows, or where they are kept as well as guessed.
fn looseness(seen: &[Seen], guessed: &[Item]) -> Option<f64> {
    let planned = |i: &&Item| !i.last_of_set && i.rest_after.sd <= FREE_REST_SD;
    // It is the same for all of them.
    let guess_sd = guessed.iter().find(planned)?.rest_after.sd;
    let mut apart = Vec::new();
    for (block, seen) in seen.iter().enumerate() {
        let n = seen.rest.len() as f64;
        let mut of_block = guessed.iter().filter(|i| i.block == block);
        if n > 1.0 && of_block.any(|i| planned(&i)) {
            let middle = median(&seen.rest);
            // The middle of few lies among them.
            let widened = (n / (n - 1.0)).sqrt();
            apart.extend(seen.rest.iter().map(|r| widened * (r - middle).abs()));
        }
    }
    let spread = MAD_TO_SD * median(&apart);
    let sd = pooled_sd((spread, apart.len()), guess_sd);
    (sd > guess_sd).then_some(sd)
}

/// A spread of so many, drawn towards a guess of it.
fn pooled_sd((spread, count): (f64, usize), guess_sd: f64) -> f64 {
    let n = count as f64;
    let sum = n * spread * spread + LOOSENESS_RESTS * guess_sd * guess_sd;
    (sum / (n + LOOSENESS_RESTS)).sqrt().min(LOOSEST_SD)
}

/// What was taught of the nearest block of the same work, with what its items were expected to be.
fn twin<'a>(
    item: &Item,
    guessed: &'a [Item],
    taught: &'a [Taught],
) -> Option<(&'a Taught, &'a Item)> {
    guessed
        .iter()
        .filter(|other| other.block != item.block && other.is_alike(item))
        .filter(|other| taught[other.block].peak.count >= LEAST_REPS)
        .min_by_key(|other| other.block.abs_diff(item.block))
        .map(|other| (&taught[other.block], other))
}

/// What was matched of one block: times of work and rests as logarithms of their share of the guess, speeds in m/s.
#[derive(Clone, Debug, Default)]
struct Seen {
    work: Vec<f64>,
    share: Vec<f64>,
    peak: Vec<f64>,
    rest: Vec<f64>,
    x_m: Vec<f64>,
    y_m: Vec<f64>,
}

/// The middles and spreads of that.
struct Taught {
    work: Middle,
    share: Middle,
    peak: Middle,
    rest: Middle,
    place_m: Option<[f64; 2]>,
}

impl Taught {
    fn of(seen: &Seen) -> Self {
        Self {
            work: Middle::of(&seen.work),
            share: Middle::of(&seen.share),
            peak: Middle::of(&seen.peak),
            rest: Middle::of(&seen.rest),
            place_m: (seen.x_m.len() >= 3).then(|| [median(&seen.x_m), median(&seen.y_m)]),
        }
    }

    /// Moves the guesses of an item of another block of the same work, of which the pace is all that it shares; how far it may be off
    /// is left as it was. `expected` is an item of the block that was seen.
    fn lend(&self, item: &mut Item, expected: &Item) {
        let pace = self.peak.speed_towards(expected.peak).value / expected.peak.value;
        item.peak.value *= pace;
        if !item.timed {
            item.work.value *= self.work.towards(0.0, item.work.sd, 0.05).value.exp();
        }
    }

    /// Moves the guesses of an item of the block.
    fn teach(&self, item: &mut Item, looseness: Option<f64>) {
        if item.timed {
            let learnt = self.work.towards(0.0, item.work.sd, 0.03);
            let bias = learnt.value.clamp(-MOST_BIAS, MOST_OVERTIME);
            item.work = Guess::new(item.work.value * bias.exp(), learnt.sd);
        } else {
            let learnt = self.work.towards(0.0, item.work.sd, 0.05);
            item.work = Guess::new(item.work.value * learnt.value.exp(), learnt.sd);
            let bias = self.share.towards(0.0, 0.05, 0.02).value;
            item.length_bias = bias.clamp(LENGTH_BIAS.0, most_length_bias(item)).exp();
        }
        item.place_m = self.place_m;
        item.peak = self.peak.speed_towards(item.peak);
        if !item.last_of_set {
            let learnt = self.rest.towards(0.0, item.rest_after.sd, LEAST_REST_SD);
            // A rest that the plan leaves free may be anything; one that it gives is not halved by habit.
            let is_free = item.rest_after.sd > FREE_REST_SD;
            let most = if is_free { 2.5 } else { 0.7 };
            let sd = match looseness {
                Some(all) if !is_free => {
                    pooled_sd((self.rest.spread, self.rest.count), all).max(LEAST_REST_SD)
                }
                _ => learnt.sd,
            };
            item.rest_after = Guess::new(
                item.rest_after.value * learnt.value.clamp(-most, most).exp(),
                sd,
            );
        }
    }
}

/// How much longer than planned, as a logarithm, the runs of a block may be by habit: on a short sprint it is far over the line that he
/// brakes.
fn most_length_bias(item: &Item) -> f64 {
    let over_m = match item.category {
        Category::Speed => OVER_LINE_S * item.peak.value,
        _ => 0.0,
    };
    (item.straight_m())
        .map_or(0.0, |planned_m| (over_m / planned_m).ln_1p())
        .max(LENGTH_BIAS.1)
}

/// The median of what was seen, and the spread from the median deviation.
#[derive(Clone, Copy, Debug)]
struct Middle {
    count: usize,
    value: f64,
    spread: f64,
}

impl Middle {
    fn of(seen: &[f64]) -> Self {
        let value = median(seen);
        let deviations: Vec<f64> = seen.iter().map(|s| (s - value).abs()).collect();
        Self {
            count: seen.len(),
            value,
            spread: MAD_TO_SD * median(&deviations),
        }
    }

    /// The middle of logarithms drawn towards a guess, which may be wrong about all reps together; the spread likewise.
    fn towards(self, guess: f64, guess_sd: f64, least_sd: f64) -> Guess {
        self.drawn_towards(guess, guess_sd, (least_sd, guess_sd.min(WITHIN)))
    }

    /// The middle of speeds drawn towards a guess; the spread likewise.
    fn speed_towards(self, guess: Guess) -> Guess {
        self.drawn_towards(guess.value, guess.sd, (LEAST_PEAK_SD_M_S, guess.sd))
    }

    /// Reps lie `within_sd` apart, and no nearer than `least_sd` for sure.
    fn drawn_towards(self, guess: f64, guess_sd: f64, (least_sd, within_sd): (f64, f64)) -> Guess {
        if self.count < LEAST_REPS {
            return Guess::new(guess, guess_sd);
        }
        let n = self.count as f64;
        let prior_reps = PRIOR_REPS * (within_sd / guess_sd).powi(2);
        let weight = n / (n + prior_reps);
        let variance = weight * self.spread * self.spread + (1.0 - weight) * within_sd * within_sd;
        Guess::new(
            weight * self.value + (1.0 - weight) * guess,
            variance.sqrt().clamp(least_sd, guess_sd.max(least_sd)),
        )
    }
}

/// The median; 0 of nothing.
pub(super) fn median(values: &[f64]) -> f64 {
    midpoint(values.to_vec()).unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::{Motion, SpeedFrom};
    use crate::review::items;

    /// Runs of a minute at 3.9 m/s in one block, and nothing matched of the other: both are expected so, the second as surely as before.
    #[test]
    fn a_block_of_which_nothing_was_found_is_expected_at_the_pace_of_its_twin() {
        let plan = crate::plan::parse("resistance 4 x 60 s, rest 1 min\nresistance with ball, 4 x 60 s, rest 90 s\nspeed 4 x 20 m")
            .expect("a plan");
        let schedule = items::schedule(&plan, &[0, 1, 2], None);
        let bout = |start_s: f64| Bout::run(start_s, (60.0, 228.0), (60.5, 230.0), 3.9);
        let candidates: Vec<Bout> = (0..4).map(|k| bout(120.0 * f64::from(k))).collect();
        let path: Vec<(usize, usize)> = (0..4).map(|k| (k, k)).collect();
        let quality = cost::quality(&Motion::of_run(Vec::new(), 10.0, SpeedFrom::Both));
        let guessed = schedule.items.clone();
        let taught = learn(schedule, &path, &candidates, &quality).items;
        let of = |items: &[Item], block: usize| {
            items
                .iter()
                .find(|i| i.block == block)
                .map(|i| i.peak)
                .expect("a block")
        };
        let [own, twin] = [of(&taught, 0), of(&taught, 1)];
        assert!(own.value < 4.7 && own.sd < of(&guessed, 0).sd, "{own:?}");
        assert!((twin.value - 0.95 * own.value).abs() < 1e-9, "{twin:?}");
        assert_eq!(twin.sd, of(&guessed, 1).sd);
        assert_eq!(of(&taught, 2), of(&guessed, 2));
    }

    /// Of sprints of 30 m who brakes after 30 m of 38 runs over his line, and who brakes after 20 m of 30 stands on it; two tell nothing, nor
    /// does a way that is neither.
    #[test]
    fn a_block_teaches_where_its_line_is() {
        let plan = crate::plan::parse("speed 6 x 30 m, rest 60 s").expect("a plan");
        let items = items::schedule(&plan, &[0], None).items;
        let told = |count: usize, brakes_m: f64, stops_m: f64| {
            let bout = Bout::run(0.0, (4.0, brakes_m), (6.0, stops_m), 8.0);
            let path: Vec<(usize, usize)> = (0..count).map(|k| (k, 0)).collect();
            ends(&items, &path, &[bout], 1)[0]
        };
        assert_eq!(told(5, 30.5, 38.0), Ends::AtBrake);
        assert_eq!(told(5, 20.0, 30.5), Ends::AtStop);
        assert_eq!(told(2, 20.0, 30.5), Ends::Open);
        assert_eq!(told(5, 24.0, 24.5), Ends::Open);
    }

    /// Sprints that turn out to be jogs are a surprise, which does not grow beyond its bound; sprints as expected are none.
    #[test]
    fn what_is_taught_far_from_the_guess_is_a_surprise() {
        let plan = crate::plan::parse("speed 6 x 50 m, rest 40 s").expect("a plan");
        let guessed = items::schedule(&plan, &[0], Some(9.0)).items;
        let at = |share: f64| -> f64 {
            let learnt = guessed.iter().map(|item| Item {
                work: Guess::new(item.work.value / share, 0.05),
                peak: Guess::new(item.peak.value * share, 0.3),
                ..item.clone()
            });
            surprise(&guessed, &learnt.collect::<Vec<_>>())
        };
        assert!(at(1.0) < 1e-9 && at(0.97) < 1.0, "{}", at(0.97));
        assert!(
            at(0.7) > 4.0 && at(0.3) <= 2.0 * MOST_SURPRISE,
            "{}",
            at(0.7)
        );
    }

    #[test]
    fn few_reps_teach_nothing_and_many_teach_much() {
        let guess = Guess::new(0.0, 1.0);
        let few = Middle::of(&[5.0, 5.0]).speed_towards(guess);
        assert!(few.value.abs() < 1e-12);
        let learnt = Middle::of(&[5.0; 27]).speed_towards(guess);
        assert!((learnt.value - 4.5).abs() < 1e-12);
    }

    /// Three times of a circuit whose length no plan gives, a fifth longer than guessed: by hand, a guess of 0.6 is four times vaguer in
    /// its square than reps of 0.3, and counts as three quarters of a rep.
    #[test]
    fn a_vague_guess_gives_way_to_three_alike_reps() {
        let learnt = Middle::of(&[0.2; 3]).towards(0.0, 0.6, 0.05);
        assert!((learnt.value - 0.2 * 3.0 / 3.75).abs() < 1e-12);
        assert!((learnt.sd - 0.3 * (0.75_f64 / 3.75).sqrt()).abs() < 1e-12);
        let kept = Middle::of(&[0.2; 3]).towards(0.0, 0.2, 0.05);
        assert!((kept.value - 0.1).abs() < 1e-12);
    }

    /// Rests a factor of e^0.6 apart in two blocks of four: by hand, about their middles 0.3 each, widened by 4/3 in the square, so that
    /// the median makes 1.4826 x 0.3464 = 0.5136; eight of them beside six of 0.16.
    #[test]
    fn loose_rests_of_all_blocks_are_one_habit() {
        let plan = crate::plan::parse("speed 5 x 20 m, rest 30 s\nspeed 5 x 30 m, rest 60 s")
            .expect("a plan");
        let guessed = items::schedule(&plan, &[0, 1], None).items;
        let loose = Seen {
            rest: vec![-0.3, 0.3, -0.3, 0.3],
            ..Seen::default()
        };
        let sd = looseness(&[loose.clone(), loose], &guessed).unwrap_or_default();
        let expected = ((8.0 * 0.5136_f64.powi(2) + 6.0 * 0.16_f64.powi(2)) / 14.0).sqrt();
        assert!((sd - expected).abs() < 1e-3, "{sd} {expected}");
        let kept = Seen {
            rest: vec![-0.05, 0.05, -0.05, 0.05],
            ..Seen::default()
        };
        assert_eq!(looseness(&[kept.clone(), kept], &guessed), None);
        assert_eq!(looseness(&[], &guessed), None);
    }
}
