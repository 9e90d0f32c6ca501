//! The standard normal distribution. By hand: nothing else here would use a library of distributions.

/// The share of a standard normal distribution below `z`.
///
/// # References
/// Abramowitz and Stegun (1964), Handbook of Mathematical Functions, 26.2.17: off by at most 7.5e-8.
pub(crate) fn below(z: f64) -> f64 {
    const B: [f64; 5] = [
        0.319_381_530,
        -0.356_563_782,
        1.781_477_937,
        -1.821_255_978,
        1.330_274_429,
    ];
    let t = 1.0 / (1.0 + 0.231_641_9 * z.abs());
    let series = B.iter().rev().fold(0.0, |sum, b| (sum + b) * t);
    let tail = density(z) * series;
    if z < 0.0 { tail } else { 1.0 - tail }
}

/// The density of a standard normal distribution at `z`.
#[inline]
pub(crate) fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / std::f64::consts::TAU.sqrt()
}

/// The point above which a share `above` of a standard normal distribution lies, for shares of at most one half.
///
/// # References
/// Abramowitz and Stegun (1964), 26.2.23; the error is below 4.5e-4.
pub(crate) fn upper_point(above: f64) -> f64 {
    let t = (-2.0 * above.ln()).sqrt();
    let over = 2.515_517 + t * (0.802_853 + t * 0.010_328);
    let under = 1.0 + t * (1.432_788 + t * (0.189_269 + t * 0.001_308));
    t - over / under
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Table 26.1 of Abramowitz and Stegun: P(1) = 0.841344746, P(1.96) = 0.975002105.
    #[test]
    fn the_normal_distribution_is_that_of_the_table() {
        assert!((below(1.0) - 0.841_344_746).abs() < 1e-7);
        assert!((below(1.96) - 0.975_002_105).abs() < 1e-7);
        assert!((below(-1.0) - 0.158_655_254).abs() < 1e-7);
    }

    /// Abramowitz and Stegun (1964), table 26.5: 1.95996, 2.57583 and 3.29053.
    #[test]
    fn quantiles_are_those_of_the_table() {
        for (above, point) in [(0.025, 1.959_96), (0.005, 2.575_83), (0.0005, 3.290_53)] {
            assert!((upper_point(above) - point).abs() < 4.5e-4, "{above}");
        }
    }
}
