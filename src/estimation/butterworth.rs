//! The second-order Butterworth low-pass, run forth and back so that nothing is delayed.

use std::f64::consts::{PI, SQRT_2};

/// The reflected stretch at each end, in periods of the cutoff: the filter has forgotten its start by then.
const PADDING_PERIODS: f64 = 3.0;

/// A second-order low-pass filter, `y0 = a0 x0 + a1 x1 + a2 x2 + b1 y1 + b2 y2`, where 1 and 2 are one and two steps ago.
///
/// # References
/// Winter DA, Biomechanics and Motor Control of Human Movement: the section on filtering gives these formulae.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Butterworth {
    /// Weight of the input now.
    pub(crate) a0: f64,
    /// Weight of the input one step ago.
    pub(crate) a1: f64,
    /// Weight of the input two steps ago.
    pub(crate) a2: f64,
    /// Weight of the output one step ago.
    pub(crate) b1: f64,
    /// Weight of the output two steps ago.
    pub(crate) b2: f64,
    /// Values reflected at each end before filtering forth and back.
    padding: usize,
}

impl Butterworth {
    /// The filter that, run `passes` times, lets half the power through at `cutoff_hz`.
    ///
    /// Each pass lowers the cutoff, so that of one pass is raised by `1 / (2^(1/passes) - 1)^(1/4)`, for two by 1 / 0.802.
    /// `None` where no such filter exists: the cutoff must lie above 0 and below half of `rate_hz`.
    ///
    /// # Units
    /// Both frequencies in Hz.
    ///
    /// # References
    /// Winter DA, see [`Butterworth`].
    #[must_use]
    pub(crate) fn low_pass(cutoff_hz: f64, rate_hz: f64, passes: u32) -> Option<Self> {
        let sensible =
            rate_hz.is_finite() && 0.0 < cutoff_hz && cutoff_hz < rate_hz / 2.0 && passes > 0;
        if !sensible {
            return None;
        }
        let correction = ((1.0 / f64::from(passes)).exp2() - 1.0).powf(0.25);
        let omega = (PI * cutoff_hz / rate_hz).tan() / correction;
        let k1 = SQRT_2 * omega;
        let k2 = omega * omega;
        let a0 = k2 / (1.0 + k1 + k2);
        let k3 = 2.0 * a0 / k2;
        Some(Self {
            a0,
            a1: 2.0 * a0,
            a2: a0,
            b1: k3 - 2.0 * a0,
            b2: 1.0 - 2.0 * a0 - k3,
            padding: (PADDING_PERIODS * rate_hz / cutoff_hz).ceil() as usize,
        })
    }

    /// One pass over a series. The filter starts as if the first value had stood there for ever.
    #[must_use]
    fn once(&self, values: &[f64]) -> Vec<f64> {
        let first = values.first().copied().unwrap_or_default();
        let (mut x1, mut x2, mut y1, mut y2) = (first, first, first, first);
        values
            .iter()
            .map(|&x0| {
                let y0 = self.a0 * x0 + self.a1 * x1 + self.a2 * x2 + self.b1 * y1 + self.b2 * y2;
                (x2, x1) = (x1, x0);
                (y2, y1) = (y1, y0);
                y0
            })
            .collect()
    }

    /// Two passes, forth and back, so that no frequency is delayed; as long as `values`.
    ///
    /// The ends are reflected through their end point first, as far as there are values, so that a ramp runs on as a ramp.
    #[must_use]
    pub(crate) fn filtfilt(&self, values: &[f64]) -> Vec<f64> {
        let [first, .., last] = values else {
            return values.to_vec();
        };
        let pad = self.padding.min(values.len() - 1);
        let before = values[1..=pad].iter().rev().map(|v| 2.0 * first - v);
        let after = values[values.len() - 1 - pad..values.len() - 1]
            .iter()
            .rev()
            .map(|v| 2.0 * last - v);
        let padded: Vec<f64> = before.chain(values.iter().copied()).chain(after).collect();

        let mut back = self.once(&padded);
        back.reverse();
        let mut smooth = self.once(&back);
        smooth.reverse();
        smooth[pad..pad + values.len()].to_vec()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rounding of a few hundred steps of a stable recursion.
    const ROUNDING: f64 = 1e-9;

    #[test]
    fn a_ramp_passes_unchanged_and_undelayed() {
        let filter =
            Butterworth::low_pass(1.5, 10.0, 2).expect("the cutoff is below half the rate");
        let ramp: Vec<f64> = (0..200).map(|i| 3.0 + 0.2 * f64::from(i)).collect();
        for (smooth, value) in filter.filtfilt(&ramp).iter().zip(&ramp).skip(40).take(120) {
            assert!((smooth - value).abs() < ROUNDING);
        }
    }

    #[test]
    fn at_the_cutoff_two_passes_let_half_the_power_through() {
        let (rate, cutoff) = (10.0, 1.0);
        let filter =
            Butterworth::low_pass(cutoff, rate, 2).expect("the cutoff is below half the rate");
        let wave: Vec<f64> = (0..1000)
            .map(|i| (2.0 * PI * cutoff * f64::from(i) / rate).sin())
            .collect();
        let smooth = filter.filtfilt(&wave);
        let power = |s: &[f64]| s[300..700].iter().map(|v| v * v).sum::<f64>();
        assert!((power(&smooth) / power(&wave) - 0.5).abs() < 1e-6);
    }

    #[test]
    fn cutoffs_out_of_reach_give_no_filter() {
        for (cutoff, rate) in [
            (0.0, 10.0),
            (-1.0, 10.0),
            (5.0, 10.0),
            (f64::NAN, 10.0),
            (1.0, f64::NAN),
            (1.0, 0.0),
        ] {
            assert_eq!(Butterworth::low_pass(cutoff, rate, 2), None);
        }
        assert_eq!(Butterworth::low_pass(1.0, 10.0, 0), None);
    }

    #[test]
    fn short_series_come_back_as_long_as_they_were() {
        let filter =
            Butterworth::low_pass(1.0, 10.0, 2).expect("the cutoff is below half the rate");
        for n in 0..5 {
            assert_eq!(filter.filtfilt(&vec![2.5; n]).len(), n);
        }
    }
}
