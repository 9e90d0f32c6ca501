//! Rows: the weight of all accounts of the recording up to each tick, and how weight passes on through work and rest.
//!
//! Weights are kept as parts of a scale of each chunk of ticks of its own: whoever has left out a set is behind whoever is
//! done with it only where both could be, and not by all that the set would have told. What counts as nothing is settled in the
//! same way, by the [`Beam`]: an account is given up where, at that very tick, another is out of its reach.

use crate::review::kernel::Kernel;
use crate::review::sums::Sums;

/// How far, as a logarithm, an account may be behind the best at its tick.
const BEAM: f64 = 50.0;
/// The least part of a chunk's largest weight that can be written down.
const LEAST: f64 = 1e-36;
/// Weights further above their scale than this, as a logarithm, get another.
const HIGH: f64 = 200.0;

/// Weights by tick, as parts of the exponential of their chunk's scale.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// By chunk, the logarithm of what 1 stands for; -infinity where nothing is possible.
    scales: Vec<f64>,
    weights: Vec<f32>,
}

impl Row {
    /// The logarithm of what the weight 1 stands for at a tick.
    pub(crate) fn scale(&self, tick: usize) -> f64 {
        (self.scales.get(tick / Sums::chunk()).copied()).unwrap_or(f64::NEG_INFINITY)
    }

    /// The logarithm of the weight of a tick; -infinity where there is none.
    pub(crate) fn log(&self, tick: usize) -> f64 {
        let weight = self.weights.get(tick).copied().map_or(0.0, f64::from);
        if weight > 0.0 {
            self.scale(tick) + weight.ln()
        } else {
            f64::NEG_INFINITY
        }
    }

    /// The weight of a tick, as part of `exp(scale)`.
    pub(crate) fn part(&self, tick: usize, scale: f64) -> f64 {
        let weight = self.weights.get(tick).copied().map_or(0.0, f64::from);
        if weight > 0.0 {
            weight * (self.scale(tick) - scale).exp()
        } else {
            0.0
        }
    }

    /// The weights of the ticks from one back to the first, as parts of `exp(scale)`.
    pub(crate) fn back(&self, tick: usize, scale: f64) -> impl Iterator<Item = f64> + '_ {
        let chunk = Sums::chunk();
        let last = (tick + 1).min(self.weights.len());
        (0..last.div_ceil(chunk)).rev().flat_map(move |c| {
            let factor = (self.scales[c] - scale).exp();
            let weights = &self.weights[c * chunk..((c + 1) * chunk).min(last)];
            weights.iter().rev().map(move |w| f64::from(*w) * factor)
        })
    }
}

/// A row that is being summed up.
#[derive(Clone, Debug)]
pub(super) struct Sheet {
    scales: Vec<f64>,
    weights: Vec<f64>,
}

impl Sheet {
    /// Nothing so far.
    pub(crate) fn new(ticks: usize) -> Self {
        Self {
            scales: vec![f64::NEG_INFINITY; (ticks + 1).div_ceil(Sums::chunk())],
            weights: vec![0.0; ticks + 1],
        }
    }

    /// What parts of `exp(scale)` are to be multiplied by to be added to a chunk.
    fn enter(&mut self, chunk: usize, scale: f64) -> f64 {
        let above = scale - self.scales[chunk];
        if above > HIGH {
            let begin = chunk * Sums::chunk();
            let end = (begin + Sums::chunk()).min(self.weights.len());
            let less = (-above).exp();
            self.weights[begin..end].iter_mut().for_each(|w| *w *= less);
            self.scales[chunk] = scale;
            1.0
        } else {
            above.exp()
        }
    }

    /// Adds a weight, a part of `exp(scale)`, at a tick.
    pub(crate) fn add(&mut self, tick: usize, weight: f64, scale: f64) {
        if weight > 0.0 && scale > f64::NEG_INFINITY {
            self.weights[tick] += weight * self.enter(tick / Sums::chunk(), scale);
        }
    }

    /// Adds a row times `exp(factor)`.
    pub(crate) fn add_row(&mut self, row: &Row, factor: f64) {
        for (chunk, weights) in row.weights.chunks(Sums::chunk()).enumerate() {
            let scale = row.scales[chunk] + factor;
            if scale == f64::NEG_INFINITY {
                continue;
            }
            let factor = self.enter(chunk, scale);
            let begin = chunk * Sums::chunk();
            for (sum, weight) in self.weights[begin..].iter_mut().zip(weights) {
                *sum += factor * f64::from(*weight);
            }
        }
    }

    /// The row that this is, without what the beam gives up; the beam learns from it.
    pub(crate) fn into_row(self, beam: &mut Beam) -> Row {
        let mut row = Row {
            scales: self.scales,
            weights: vec![0.0; self.weights.len()],
        };
        let chunks = self.weights.chunks(Sums::chunk());
        for (chunk, (weights, out)) in chunks
            .zip(row.weights.chunks_mut(Sums::chunk()))
            .enumerate()
        {
            let scale = row.scales[chunk];
            let largest = weights.iter().copied().fold(0.0, f64::max);
            if largest <= 0.0 || !largest.is_finite() || scale == f64::NEG_INFINITY {
                row.scales[chunk] = f64::NEG_INFINITY;
                continue;
            }
            let (best, level) = beam.meet(chunk, weights, scale);
            let mut any = false;
            for ((out, weight), best) in out.iter_mut().zip(weights).zip(best) {
                let part = weight / largest;
                if part >= LEAST && *weight >= *best * level {
                    *out = part as f32;
                    any = true;
                }
            }
            row.scales[chunk] = if any {
                scale + largest.ln()
            } else {
                f64::NEG_INFINITY
            };
        }
        row
    }
}

/// The best account so far at each tick, whatever it is about.
#[derive(Clone, Debug)]
pub(super) struct Beam {
    best: Sheet,
}

impl Beam {
    /// Nothing so far.
    pub(crate) fn new(ticks: usize) -> Self {
        Self {
            best: Sheet::new(ticks),
        }
    }

    /// Learns from weights of a chunk, parts of `exp(scale)`: gives the best, and by what these are to be multiplied to
    /// be the least that counts, in the scale of the weights.
    fn meet(&mut self, chunk: usize, weights: &[f64], scale: f64) -> (&[f64], f64) {
        let factor = self.best.enter(chunk, scale);
        let begin = chunk * Sums::chunk();
        let best = &mut self.best.weights[begin..begin + weights.len()];
        for (best, weight) in best.iter_mut().zip(weights) {
            *best = best.max(weight * factor);
        }
        (best, (self.best.scales[chunk] - scale - BEAM).exp())
    }
}

/// What is spent from tick to tick, so long with such a look, is added to a sheet, times `exp(factor)`.
pub(super) fn spend(from: &Row, factor: f64, kernel: &Kernel, look: &Sums, out: &mut Sheet) {
    let ticks = out.weights.len() - 1;
    let size = Sums::chunk();
    let longest = kernel.longest();
    let (mut spent, mut rising) = (Vec::new(), Vec::new());
    for (chunk, sources) in from.weights.chunks(size).enumerate() {
        let scale = from.scales[chunk] + factor;
        if scale == f64::NEG_INFINITY {
            continue;
        }
        let Some(first) = sources.iter().position(|w| *w > 0.0) else {
            continue;
        };
        let begin = chunk * size;
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
        for (k, (spent, rising)) in spent.chunks(size).zip(rising.chunks(size)).enumerate() {
            let factor = out.enter(chunk + k, scale);
            let out = &mut out.weights[(chunk + k) * size..];
            for ((out, spent), up) in out.iter_mut().zip(spent).zip(rising) {
                *out += factor * spent * up;
            }
        }
    }
}

/// What begins at a tick and may go on for any time is added to a sheet; `decay` is what is left of it from each tick to the next.
pub(super) fn linger(from: &Row, factor: f64, decay: &[f64], out: &mut Sheet) {
    let size = Sums::chunk();
    let (mut lingering, mut level) = (0.0, f64::NEG_INFINITY);
    for (chunk, weights) in from.weights.chunks(size).enumerate() {
        let scale = from.scales[chunk] + factor;
        let higher = level.max(scale);
        if higher == f64::NEG_INFINITY {
            continue;
        }
        lingering *= (level - higher).exp();
        level = higher;
        let enter = (scale - level).exp();
        let factor = out.enter(chunk, level);
        let begin = chunk * size;
        let out = out.weights[begin..].iter_mut().zip(&decay[begin..]);
        for ((out, decay), weight) in out.zip(weights) {
            lingering = lingering * decay + enter * f64::from(*weight);
            *out += factor * lingering;
        }
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
        let row = row(ticks, |t| f64::from(u8::from(t % 7 == 0)));
        let kernel = Kernel::rest(Guess::new(30.0, 0.2), 1.0, ticks);
        let mut out = Sheet::new(ticks);
        spend(&row, 0.0, &kernel, &look, &mut out);
        let out = out.into_row(&mut Beam::new(ticks));
        for t in [0, 5, 40, 256, 300, 699] {
            let all: f64 = (0..=t)
                .map(|s| {
                    row.part(s, 0.0)
                        * kernel.weights.get(t - s).copied().unwrap_or(0.0)
                        * (look.at(t) - look.at(s)).exp()
                })
                .sum();
            assert!(
                (out.part(t, 0.0) - all).abs() <= 1e-6 * all.max(1e-12),
                "{t}"
            );
        }
    }

    fn row(ticks: usize, weight: impl Fn(usize) -> f64) -> Row {
        let mut sheet = Sheet::new(ticks);
        for t in 0..=ticks {
            sheet.add(t, weight(t), 0.0);
        }
        sheet.into_row(&mut Beam::new(ticks))
    }

    /// What goes on for any time decays from wherever it began, however far apart the scales are.
    #[test]
    fn lingering_passes_from_chunk_to_chunk() {
        let ticks = 300;
        let mut sheet = Sheet::new(ticks);
        sheet.add(10, 1.0, 400.0);
        sheet.add(200, 1.0, 399.0);
        let from = sheet.into_row(&mut Beam::new(ticks));
        let mut out = Sheet::new(ticks);
        linger(&from, -2.0, &vec![0.99; ticks + 1], &mut out);
        let out = out.into_row(&mut Beam::new(ticks));
        let expected =
            398.0 + 240.0 * 0.99_f64.ln() + (1.0 + (-1.0 - 190.0 * 0.99_f64.ln()).exp()).ln();
        assert!((out.log(250) - expected).abs() < 1e-5, "{}", out.log(250));
    }

    /// An account that is far behind one at a later tick is not given up, one far behind at its own tick is.
    #[test]
    fn an_account_is_given_up_for_a_better_one_at_the_same_tick_only() {
        let ticks = 300;
        let mut sheet = Sheet::new(ticks);
        sheet.add(10, 1.0, 0.0);
        sheet.add(290, 1.0, 500.0);
        let mut beam = Beam::new(ticks);
        let ahead = sheet.into_row(&mut beam);
        assert!(ahead.log(10).abs() < 1e-6 && (ahead.log(290) - 500.0).abs() < 1e-4);
        let mut sheet = Sheet::new(ticks);
        sheet.add(10, 1.0, -BEAM + 1.0);
        sheet.add(290, 1.0, 500.0 - BEAM - 1.0);
        let behind = sheet.into_row(&mut beam);
        assert!((behind.log(10) + BEAM - 1.0).abs() < 1e-5);
        assert!(behind.log(290) == f64::NEG_INFINITY);
    }
}
