//! The low-pass that defines the truth: second-order Butterworth, run forth and back.

use std::f64::consts::{PI, SQRT_2};

/// Coefficients of a second-order Butterworth low-pass.
///
/// ## References
/// Winter (2009), Biomechanics and Motor Control of Human Movement, 4th ed., chapter 3.
#[derive(Clone, Copy, Debug)]
pub(super) struct Butterworth {
    a: [f64; 3],
    b: [f64; 2],
}

impl Butterworth {
    /// The filter whose two passes together have 3 dB at `cutoff_hz`.
    pub(super) fn zero_phase(cutoff_hz: f64, rate_hz: f64) -> Self {
        // Two passes damp more than one, so each gets a higher cutoff.
        let c = (SQRT_2 - 1.0).powf(0.25);
        let w = (PI * cutoff_hz / rate_hz).tan() / c;
        let k1 = SQRT_2 * w;
        let k2 = w * w;
        let a0 = k2 / (1.0 + k1 + k2);
        let k3 = 2.0 * a0 / k2;
        Self {
            a: [a0, 2.0 * a0, a0],
            b: [k3 - 2.0 * a0, 1.0 - 2.0 * a0 - k3],
        }
    }

    /// Forth and back; the series is taken as constant beyond its ends.
    pub(super) fn run(&self, series: &[f64]) -> Vec<f64> {
        let mut out = self.pass(series.iter().copied(), series.len());
        out.reverse();
        let mut back = self.pass(out.iter().copied(), out.len());
        back.reverse();
        back
    }

    fn pass(&self, series: impl Iterator<Item = f64>, len: usize) -> Vec<f64> {
        let mut out = Vec::with_capacity(len);
        let mut memory: Option<[f64; 4]> = None;
        for x in series {
            let [x1, x2, y1, y2] = memory.unwrap_or([x; 4]);
            let y =
                self.a[0] * x + self.a[1] * x1 + self.a[2] * x2 + self.b[0] * y1 + self.b[1] * y2;
            memory = Some([x, x1, y, y1]);
            out.push(y);
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::Butterworth;
    use std::f64::consts::TAU;

    /// Coefficients for a rate of ten times the cutoff, two passes: computed from Winter's formulae.
    #[test]
    fn coefficients_are_those_of_the_formulae() {
        let f = Butterworth::zero_phase(6.0, 60.0);
        for (got, want) in [
            (f.a[0], 0.094_447),
            (f.a[1], 0.188_893),
            (f.b[0], 0.962_641),
            (f.b[1], -0.340_428),
        ] {
            assert!((got - want).abs() < 1e-6, "{got} {want}");
        }
    }

    #[test]
    fn half_the_power_passes_at_the_cutoff_without_delay() {
        let wave: Vec<f64> = (0..2000)
            .map(|i| (TAU * 2.0 * f64::from(i) * 0.01).sin())
            .collect();
        let out = Butterworth::zero_phase(2.0, 100.0).run(&wave);
        for i in 800..1200 {
            assert!((out[i] - wave[i] * 0.5_f64.sqrt()).abs() < 2e-3);
        }
    }
}
