//! Kernels: how likely each duration of work or rest is, on the grid of ticks.

use crate::review::expect::Guess;

/// Log-likelihoods of durations, by ticks from `from` on.
#[derive(Clone, Debug)]
pub(super) struct Kernel {
    /// The shortest duration, in ticks.
    pub from: usize,
    /// The likelihood of each duration, the first `from` ticks long.
    pub weights: Vec<f64>,
}

/// The shares of the planned time at which a stretch is cut short, and what that costs.
const SHORT: (f64, f64) = (0.3, 0.85);
const CUT_SHORT: f64 = 5.0;
/// One stretch in so many goes by feel and not by the clock.
const BY_FEEL: f64 = 0.3;
/// Any other time costs so much.
const UNLIKE: f64 = 14.0;
/// Rests are about as planned but for one in so many, which may be anything about it.
const LOOSE: f64 = 0.1;
const LOOSE_SD: f64 = 0.35;
/// A drink, a talk, a ball over the fence: a rest may be so much longer.
const PAUSE_S: f64 = 60.0;
/// A rest of any other length, up to a few times the planned.
const ANY_REST: f64 = 6.5;

/// The density of a logarithm that is so far off, but for a constant.
pub(super) fn density(off: f64, sd: f64) -> f64 {
    let z = off / sd;
    (-0.5 * z * z).exp() / sd
}

/// The same of a duration about a guess.
fn about(guess_s: f64, sd: f64, duration_s: f64) -> f64 {
    density((duration_s.max(0.5) / guess_s).ln(), sd)
}

impl Kernel {
    /// How long a stretch of work takes that the plan gives so long.
    pub(crate) fn work(expected: Guess, tick_s: f64, ticks: usize) -> Self {
        let longest_s = expected.value * (4.0 * expected.sd).exp();
        Self::over(
            (SHORT.0 * expected.value, longest_s),
            (tick_s, ticks),
            |s| {
                let share = s / expected.value;
                let is_short = SHORT.0 < share && share < SHORT.1;
                (1.0 - BY_FEEL) * about(expected.value, expected.sd, s)
                    + BY_FEEL * about(expected.value, 2.0 * expected.sd, s)
                    + if is_short {
                        (-CUT_SHORT).exp()
                    } else {
                        (-UNLIKE).exp()
                    }
            },
        )
    }

    /// How long work takes that nothing shows: of all times together no likelier than one that is seen, and never so long
    /// that it would be.
    pub(crate) fn hidden(expected: Guess, longest_s: f64, (tick_s, ticks): (f64, usize)) -> Self {
        let mut kernel = Self::work(expected, tick_s, ticks).in_all();
        let longest = ((longest_s / tick_s) as usize).saturating_sub(kernel.from);
        kernel.weights.truncate(longest + 1);
        kernel
    }

    /// How long the time of a rep takes that is left out, and the rest after it: of all times together as likely as none at all,
    /// since nothing is seen to begin or to end there.
    pub(crate) fn passed(expected: Guess, tick_s: f64, ticks: usize) -> Self {
        Self::rest(expected, tick_s, ticks).in_all()
    }

    /// The same shares of all times, which together make 1.
    fn in_all(mut self) -> Self {
        let all: f64 = self.weights.iter().sum();
        self.weights.iter_mut().for_each(|w| *w /= all.max(1e-9));
        self
    }

    /// How long a rest takes.
    pub(crate) fn rest(expected: Guess, tick_s: f64, ticks: usize) -> Self {
        let wide = expected.sd.max(LOOSE_SD);
        let longest_s = expected.value * (3.0 * expected.sd.max(0.4)).exp() + PAUSE_S;
        Self::over((0.0, longest_s), (tick_s, ticks), |s| {
            (1.0 - LOOSE) * about(expected.value, expected.sd, s)
                + LOOSE * about(expected.value, wide, s)
                + (-ANY_REST).exp()
        })
    }

    fn over(
        (shortest_s, longest_s): (f64, f64),
        (tick_s, ticks): (f64, usize),
        likelihood: impl Fn(f64) -> f64,
    ) -> Self {
        let from = ((shortest_s / tick_s).floor() as usize).min(ticks);
        let to = ((longest_s / tick_s).ceil() as usize).clamp(from, ticks);
        Self {
            from,
            weights: (from..=to).map(|d| likelihood(d as f64 * tick_s)).collect(),
        }
    }

    /// The longest duration, in ticks.
    pub(crate) fn longest(&self) -> usize {
        self.from + self.weights.len().saturating_sub(1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The time of a rep that is left out begins and ends unseen: where it lies adds nothing, however many moments there are.
    #[test]
    fn the_time_of_a_rep_left_out_is_as_likely_as_none_in_all() {
        for tick_s in [1.0, 2.0] {
            let passed = Kernel::passed(Guess::new(40.0, 0.16), tick_s, 1000);
            let all: f64 = passed.weights.iter().sum();
            assert!((all - 1.0).abs() < 1e-12);
            let most = (0..passed.weights.len())
                .max_by(|a, b| passed.weights[*a].total_cmp(&passed.weights[*b]));
            let likeliest = most.map(|k| (passed.from + k) as f64 * tick_s);
            assert_eq!(likeliest, Some(40.0));
        }
    }
}
