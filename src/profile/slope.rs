//! The slope of measured values over numbers: speeds over reps, bests over days.

use crate::estimation::student::t_95;
use crate::measured::{Measured, Z95};

/// Fewest values with a slope; two always lie on a line.
const LEAST: usize = 3;

/// Slope of values over numbers, such as reps or days, by weighted least squares; `None` below three.
///
/// # Definition
/// Weights are one over the squared standard deviations that the intervals stand for. The half-width is the larger of what
/// the receiver leaves open, `1.96 / sqrt(Sxx)`, and of what the values' own scatter about the line does, Student's t for
/// n - 2 times the standard error.
///
/// # Units
/// Those of the values, for each 1 of the numbers.
///
/// # References
/// Weighted least squares: any textbook. Student's t: Student (1908), Biometrika 6:1.
pub(crate) fn slope(values: &[(f64, Measured)]) -> Option<Measured> {
    const LEAST_SD: f64 = 1e-6;
    if values.len() < LEAST {
        return None;
    }
    let weighted: Vec<(f64, f64, f64)> = values
        .iter()
        .map(|(x, y)| {
            (
                *x,
                y.value,
                (y.width() / (2.0 * Z95)).max(LEAST_SD).powi(-2),
            )
        })
        .collect();
    let total: f64 = weighted.iter().map(|(_, _, w)| w).sum();
    let mean_x = weighted.iter().map(|(x, _, w)| w * x).sum::<f64>() / total;
    let mean_y = weighted.iter().map(|(_, y, w)| w * y).sum::<f64>() / total;
    let sxx: f64 = weighted
        .iter()
        .map(|(x, _, w)| w * (x - mean_x).powi(2))
        .sum();
    let sxy: f64 = weighted
        .iter()
        .map(|(x, y, w)| w * (x - mean_x) * (y - mean_y))
        .sum();
    let slope = sxy / sxx;
    let freedom = values.len() - 2;
    let left: f64 = weighted
        .iter()
        .map(|(x, y, w)| w * (y - mean_y - slope * (x - mean_x)).powi(2))
        .sum();
    let by_receiver = Z95 / sxx.sqrt();
    let by_scatter = t_95(freedom) * (left / freedom as f64 / sxx).sqrt();
    let half = by_receiver.max(by_scatter);
    (slope.is_finite() && half.is_finite())
        .then(|| Measured::within(slope, slope - half, slope + half))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn speeds(values: &[f64], sd: f64) -> Vec<(f64, Measured)> {
        (1..)
            .map(f64::from)
            .zip(values.iter().map(|&v| Measured::normal(v, sd)))
            .collect()
    }

    /// Six speeds by hand: mean 8.0833, Sxy = -2.15, Sxx = 17.5, slope -0.122857; what is left 0.024190 makes a standard
    /// error of sqrt(0.024190 / 4 / 17.5) = 0.018590, times 2.776.
    #[test]
    fn six_speeds_by_hand() {
        let values = [8.4, 8.3, 8.1, 8.0, 7.9, 7.8];
        let found = slope(&speeds(&values, 0.001)).expect("six");
        let mean = values.iter().sum::<f64>() / 6.0;
        let line = (1..)
            .map(f64::from)
            .zip(values)
            .map(|(x, y)| (x - 3.5) * (y - mean))
            .sum::<f64>()
            / 17.5;
        let left: f64 = (1..)
            .map(f64::from)
            .zip(values)
            .map(|(x, y)| (y - mean - line * (x - 3.5)).powi(2))
            .sum();
        assert!((line + 0.122_857).abs() < 1e-6);
        assert!((found.value - line).abs() < 1e-9);
        assert!((found.high - found.value - 2.776 * (left / 4.0 / 17.5).sqrt()).abs() < 1e-9);
    }

    #[test]
    fn two_reps_have_no_slope() {
        assert_eq!(slope(&speeds(&[8.0, 7.0], 0.1)), None);
    }
}
