//! Rows: the weight of all accounts of the recording up to each tick, and how weight passes on through work and rest.

use crate::review::kernel::Kernel;
use crate::review::sums::Sums;

/// Weights by tick, as parts of `exp(scale)`; the largest is 1.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// Logarithm of what 1 stands for; -infinity where nothing is possible.
    pub scale: f64,
    /// The weights.
    pub weights: Vec<f32>,
}

/// Weights smaller than this part of the largest are left out.
const LEAST: f64 = 1e-26;

impl Row {
    /// No account at all.
    pub fn nothing(ticks: usize) -> Self {
        Self {
            scale: f64::NEG_INFINITY,
            weights: vec![0.0; ticks + 1],
        }
    }

    /// Weights as parts of `exp(scale)`, of any size.
    pub fn of(scale: f64, weights: &[f64]) -> Self {
        let largest = weights.iter().copied().fold(0.0, f64::max);
        if largest <= 0.0 || !largest.is_finite() || scale == f64::NEG_INFINITY {
            return Self::nothing(weights.len().saturating_sub(1));
        }
        Self {
            scale: scale + largest.ln(),
            weights: (weights.iter())
                .map(|w| w / largest)
                .map(|w| if w < LEAST { 0.0 } else { w as f32 })
                .collect(),
        }
    }

    /// The sum of rows, each times `exp(factor)`.
    pub fn sum(ticks: usize, parts: &[(&Self, f64)]) -> Self {
        let scale = parts
            .iter()
            .map(|(row, factor)| row.scale + factor)
            .fold(f64::NEG_INFINITY, f64::max);
        if scale == f64::NEG_INFINITY {
            return Self::nothing(ticks);
        }
        let mut sum = vec![0.0; ticks + 1];
        for (row, factor) in parts {
            let part = (row.scale + factor - scale).exp();
            if part > 0.0 {
                for (sum, weight) in sum.iter_mut().zip(&row.weights) {
                    *sum += part * f64::from(*weight);
                }
            }
        }
        Self::of(scale, &sum)
    }

    /// The weight of a tick, as part of `exp(scale)`.
    pub fn at(&self, tick: usize) -> f64 {
        self.weights.get(tick).copied().map_or(0.0, f64::from)
    }

    /// The weight of a tick, as part of `exp(scale)` given.
    pub fn part(&self, tick: usize, scale: f64) -> f64 {
        let weight = self.at(tick);
        if weight > 0.0 {
            weight * (self.scale - scale).exp()
        } else {
            0.0
        }
    }
}

/// What is spent from tick to tick: so long with such a look. Parts of the row's own scale.
pub(super) fn spend(from: &Row, kernel: &Kernel, look: &Sums, out: &mut [f64]) {
    let ticks = out.len() - 1;
    let longest = kernel.longest();
    let (mut spent, mut rising) = (Vec::new(), Vec::new());
    for (chunk, sources) in from.weights.chunks(Sums::chunk()).enumerate() {
        let Some(first) = sources.iter().position(|w| *w > 0.0) else {
            continue;
        };
        let begin = chunk * Sums::chunk();
        let room = (begin + sources.len() + longest).min(ticks + 1) - begin;
        spent.clear();
        spent.resize(room, 0.0_f64);
        for (k, weight) in sources
            .iter()
            .enumerate()
            .skip(first)
            .filter(|(_, w)| **w > 0.0)
        {
            let weight = f64::from(*weight) * look.down(begin + k);
            let Some(into) = spent.get_mut(k + kernel.from..) else {
                continue;
            };
            for (into, duration) in into.iter_mut().zip(&kernel.weights) {
                *into += weight * duration;
            }
        }
        look.rising(chunk, &mut rising, room);
        for ((out, spent), up) in out[begin..].iter_mut().zip(&spent).zip(&rising) {
            *out += spent * up;
        }
    }
}

/// What begins at a tick and may go on for any time; `decay` is what is left of it from each tick to the next.
pub(super) fn linger(from: &Row, enter: f64, decay: &[f64], out: &mut [f64]) {
    let enter = (-enter).exp();
    let mut lingering = 0.0;
    for ((out, decay), weight) in out.iter_mut().zip(decay).zip(&from.weights) {
        lingering = lingering * decay + enter * f64::from(*weight);
        *out += lingering;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::review::expect::Guess;

    /// Passing weight on by chunks is the sum over all pairs of ticks.
    #[test]
    fn spending_is_the_sum_over_all_durations() {
        let ticks = 700;
        let look = Sums::of((0..ticks).map(|t| 0.2 * (t as f64 / 37.0).sin()));
        let weights: Vec<f64> = (0..=ticks)
            .map(|t| f64::from(u8::from(t % 7 == 0)))
            .collect();
        let row = Row::of(0.0, &weights);
        let kernel = Kernel::rest(Guess::new(30.0, 0.2), 1.0, ticks);
        let mut out = vec![0.0; ticks + 1];
        spend(&row, &kernel, &look, &mut out);
        for t in [0, 5, 40, 256, 300, 699] {
            let all: f64 = (0..=t)
                .map(|s| {
                    row.at(s)
                        * kernel.weights.get(t - s).copied().unwrap_or(0.0)
                        * (look.at(t) - look.at(s)).exp()
                })
                .sum();
            assert!((out[t] - all).abs() <= 1e-9 * all.max(1e-12), "{t}");
        }
    }
}
