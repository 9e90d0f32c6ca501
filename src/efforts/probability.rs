//! How likely an effort counts, and how many there were.
//!
//! A speed of 7.1 m/s read to 0.3 m/s may have been 6.9. An effort has a **level**: the highest threshold that it would still have
//! met for long enough. What lies below the threshold has one as well, so that a count is the sum of probabilities on both
//! sides of it, and has an interval.

use std::ops::Range;

use crate::efforts::threshold::{Quantity, Rule, Stretch, find, in_run, stretches};
use crate::estimation::halving::highest;
use crate::estimation::normal::below;
use crate::measured::{Measured, Z95};
use crate::motion::{FAST_HZ, Motion};

/// Below the threshold, efforts are looked for down to these shares of it, in turn.
const SHARES: [f64; 5] = [0.97, 0.94, 0.9, 0.85, 0.8];
/// Above it, no level is looked for beyond this share.
const MOST_SHARE: f64 = 2.5;
/// Halvings of the search for a level.
const HALVINGS: usize = 10;
/// From here on an effort is listed: a little below one half, so that one that meets the threshold just so is.
pub(super) const LISTED: f64 = 0.45;
/// Less likely ones are left out of the count.
const LEAST: f64 = 0.005;
/// Where higher ones are more common, of those that read alike more were truly higher, but by no more than this, m/s2.
const MOST_HIGHER: f64 = 0.15;
/// What slow receivers get wrong, they get wrong alike: share of the variance of a level that all efforts of a session have in common.
const SHARED_BY_SLOW: f64 = 0.5;

/// A stretch near or above a threshold.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    pub(super) stretch: Stretch,
    /// How far its level lies above the threshold, in standard deviations, less what rarity takes off.
    z: f64,
}

impl Candidate {
    /// What lies so many standard deviations above a threshold.
    pub(super) fn at(stretch: Stretch, z: f64) -> Self {
        Self { stretch, z }
    }

    /// The probability that it counts.
    pub(super) fn probability(&self) -> f64 {
        below(self.z)
    }
}

/// All stretches that may count, in order of their start; `peak` is the measured peak of a window, as a positive quantity.
pub(super) fn candidates(
    motion: &Motion,
    quantity: Quantity,
    rule: Rule,
    peak: impl Fn(Range<usize>) -> Measured,
) -> Vec<Candidate> {
    let mut found: Vec<Candidate> = Vec::new();
    let mut upper = rule.from * MOST_SHARE;
    // What meets a higher threshold lies inside what meets the lowest one.
    let least = SHARES[SHARES.len() - 1] * rule.from;
    let wide: Vec<Range<usize>> = find(
        motion,
        quantity.value,
        Rule {
            from: least,
            ..rule
        },
    )
    .iter()
    .map(|stretch| around(motion, &stretch.window))
    .collect();
    for (step, share) in std::iter::once(1.0).chain(SHARES).enumerate() {
        let from = rule.from * share;
        let stretches = if step == 0 {
            stretches(motion, quantity, rule)
        } else {
            let rule = Rule { from, ..rule };
            let parts = wide.iter();
            parts
                .flat_map(|part| in_run(&motion.samples, part, quantity.value, rule))
                .collect()
        };
        let mut fresh = Vec::new();
        for stretch in stretches {
            let window = &stretch.window;
            let after = found.partition_point(|c| c.stretch.window.end <= window.start);
            let known = found
                .get(after)
                .is_some_and(|c| c.stretch.window.start < window.end);
            if known {
                continue;
            }
            let level = level(motion, quantity, rule, window, (from, upper));
            let peak = peak(window.clone());
            let off = level - rule.from;
            let sd = if off < 0.0 {
                peak.high - peak.value
            } else {
                peak.value - peak.low
            } / Z95;
            let sd = sd.max(1e-6);
            // Among values that get rarer by exp(-x / r), one read to `sd` stands for a normal distribution whose mean is lower by
            // sd^2 / r: the less is known, the more of those that read as fast were not.
            let lower = (sd * sd / quantity.rarer_over).max(-MOST_HIGHER);
            let z = (off - lower) / sd;
            fresh.push(Candidate { stretch, z });
        }
        found.extend(fresh.into_iter().filter(|c| c.probability() > LEAST));
        found.sort_by_key(|c| c.stretch.window.start);
        upper = from;
    }
    found
}

/// A window with the samples next to it in its run: a crossing lies between the last one inside and the first one outside.
fn around(motion: &Motion, window: &Range<usize>) -> Range<usize> {
    let at = motion.runs.partition_point(|run| run.end <= window.start);
    let run = motion.runs.get(at).unwrap_or(window);
    window.start.saturating_sub(1).max(run.start)..(window.end + 1).min(run.end)
}

/// The highest threshold that a window still meets for long enough, between the two given.
fn level(
    motion: &Motion,
    quantity: Quantity,
    rule: Rule,
    window: &Range<usize>,
    between: (f64, f64),
) -> f64 {
    let around = around(motion, window);
    highest(between, HALVINGS, |from| {
        let rule = Rule { from, ..rule };
        !in_run(&motion.samples, &around, quantity.value, rule).is_empty()
    })
}

/// How many of some candidates count, with its 95 % interval; what a slow receiver gets wrong of each it gets wrong alike.
pub(super) fn count(motion: &Motion, candidates: &[Candidate]) -> Measured {
    let shared = if motion.rate_hz < FAST_HZ {
        SHARED_BY_SLOW
    } else {
        0.0
    };
    count_alike(candidates, shared)
}

/// How many of some candidates count, of whose variance a share is the same for all.
///
/// # Definition
/// The distribution of the number of successes among independent ones of different probability (Poisson's binomial), mixed
/// over what they have in common by three points of a normal distribution: 0 with weight 2/3, the square root of 3 to either
/// side with 1/6 each (Gauss and Hermite's rule).
pub(super) fn count_alike(candidates: &[Candidate], shared: f64) -> Measured {
    let mut chances = vec![0.0; candidates.len() + 1];
    for (point, weight) in [(0.0, 2.0 / 3.0), (3.0, 1.0 / 6.0), (-3.0, 1.0 / 6.0)] {
        let shift = f64::sqrt(f64::abs(point)).copysign(point) * shared.sqrt();
        let own = (1.0 - shared).sqrt();
        let all = candidates.iter().map(|c| below((c.z + shift) / own));
        for (sum, chance) in chances.iter_mut().zip(successes(all)) {
            *sum += weight * chance;
        }
    }
    let expected: f64 = candidates.iter().map(Candidate::probability).sum();
    let quantile = |share: f64| {
        let mut sum = 0.0;
        let at = chances.iter().position(|chance| {
            sum += chance;
            sum >= share
        });
        at.unwrap_or(candidates.len()) as f64
    };
    let listed = candidates
        .iter()
        .filter(|c| c.probability() >= LISTED)
        .count() as f64;
    let (low, high) = (quantile(0.025), quantile(0.975));
    Measured::within(expected, low.min(listed), high.max(listed))
}

/// Numbers less likely than this are left out at either end, so that hundreds of efforts cost hundreds of steps each of a few
/// dozen numbers.
const UNLIKELY: f64 = 1e-12;

/// The chance of each number of successes, from none to all.
pub(crate) fn successes(chances: impl Iterator<Item = f64>) -> Vec<f64> {
    // The chances of the numbers from `fewest` on.
    let mut numbers = vec![1.0];
    let mut fewest = 0;
    for chance in chances {
        numbers.push(0.0);
        for k in (0..numbers.len()).rev() {
            let from_below = if k == 0 { 0.0 } else { numbers[k - 1] };
            numbers[k] = numbers[k] * (1.0 - chance) + from_below * chance;
        }
        while numbers.len() > 1 && numbers.last().is_some_and(|n| *n < UNLIKELY) {
            numbers.pop();
        }
        let below = numbers.iter().take_while(|n| **n < UNLIKELY).count();
        numbers.drain(..below);
        fewest += below;
    }
    let mut all = vec![0.0; fewest];
    all.append(&mut numbers);
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::efforts::Thresholds;
    use crate::efforts::measure::SPEED;
    use crate::efforts::measure::hand_made::sampled;

    /// Runs that hold these speeds for 2 s each, 10 s apart, read to `sd`.
    fn runs(speeds: &[f64], sd: f64) -> Motion {
        let mut motion = sampled(10.0 * speeds.len() as f64, 10.0, |t| {
            let k = (t / 10.0) as usize;
            let within = t - 10.0 * k as f64;
            let speed = speeds.get(k).copied().unwrap_or(0.0);
            if (4.0..6.0).contains(&within) {
                speed
            } else {
                2.0
            }
        });
        for sample in &mut motion.samples {
            sample.speed_sd_m_s = sd;
        }
        motion
    }

    fn sprints(motion: &Motion) -> Vec<Candidate> {
        let thresholds = Thresholds::default();
        let rule = Rule {
            from: thresholds.bands.sprint_m_s,
            dwell_s: thresholds.sprint_dwell_s,
            bridge_s: thresholds.bridge_s,
        };
        candidates(motion, SPEED, rule, |window| motion.peak_speed(window))
    }

    /// Ten throws of a fair coin: five heads in 252 of 1024 (Pascal's triangle).
    #[test]
    fn equal_chances_give_the_binomial_distribution() {
        let numbers = successes(std::iter::repeat_n(0.5, 10));
        assert!((numbers[5] - 252.0 / 1024.0).abs() < 1e-12);
        assert!((numbers.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn what_lies_clear_of_the_threshold_is_certain_on_either_side() {
        let found = sprints(&runs(&[8.5, 9.0, 5.0, 8.0], 0.05));
        assert_eq!(found.len(), 3);
        assert!(found.iter().all(|c| c.probability() > 0.999));
        let count = count(&runs(&[], 0.05), &found);
        assert!((count.value - 3.0).abs() < 0.01 && count.low > 2.5 && count.high < 3.5);
    }

    #[test]
    fn what_lies_near_it_counts_in_part_on_either_side() {
        let motion = runs(&[8.5, 7.1, 6.9, 6.8], 0.3);
        let found = sprints(&motion);
        let chances: Vec<f64> = found.iter().map(Candidate::probability).collect();
        assert_eq!(found.len(), 4);
        assert!(chances[0] > 0.99 && chances[1] > chances[2] && chances[2] > chances[3]);
        assert!((0.3..0.9).contains(&chances[1]) && (0.05..0.5).contains(&chances[2]));
        let count = count(&motion, &found);
        assert!(count.low >= 1.0 && count.high >= 2.0 && count.high <= 4.0);
    }

    /// Levels that get rarer by exp(-x / 1.5), each read with an error of 0.7: of those read at or above 7, exp(0.7^2 / 2 / 1.5^2) as
    /// many as there are (the mean of exp(e / 1.5)); their probabilities add up to what there are.
    #[test]
    fn probabilities_add_up_to_what_there_are_however_wide_the_error() {
        let (sd, rarer) = (0.7, 1.5);
        let (mut said, mut truly) = (0.0, 0.0);
        for k in 0..1200 {
            let x = -6.0 + 0.01 * f64::from(k);
            let density = (-x / rarer).exp() * 0.01;
            truly += if x >= 0.0 { density } else { 0.0 };
            // What is read as x: the density of truths, smeared by the error.
            let read = density * (sd * sd / (2.0 * rarer * rarer)).exp();
            said += read * below((x - sd * sd / rarer) / sd);
        }
        assert!((said / truly - 1.0).abs() < 0.01, "{said} for {truly}");
        let motion = runs(&[7.4], sd);
        let one = &sprints(&motion)[0];
        let peak = motion.peak_speed(one.stretch.window.clone());
        let sd = (peak.value - peak.low) / Z95;
        assert!(
            (one.z - (0.4 - sd * sd / rarer) / sd).abs() < 0.01,
            "{}",
            one.z
        );
    }
}
