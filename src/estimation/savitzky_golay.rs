//! Savitzky-Golay smoothing: a polynomial fitted by least squares to a sliding window.

/// Smooths a series of equally spaced values, or takes its derivative.
///
/// The first and last `half_width` values come from the polynomial of the first and last full window, so that the
/// result is as long as the input. A series shorter than the window is fitted with the widest window that it holds.
///
/// # Units
/// `step` is the spacing of the values; a derivative is per unit of `step`, to the power of `derivative`.
///
/// # References
/// Savitzky A, Golay MJE (1964), Smoothing and differentiation of data by simplified least squares procedures, Anal Chem 36:1627,
/// 10.1021/ac60214a047; the ends after Gorry PA (1990), General least-squares smoothing and
/// differentiation by the convolution (Savitzky-Golay) method, Anal Chem 62:570, 10.1021/ac00205a007.
#[must_use]
pub(crate) fn filter(
    values: &[f64],
    half_width: usize,
    degree: usize,
    derivative: usize,
    step: f64,
) -> Vec<f64> {
    if values.is_empty() {
        return Vec::new();
    }
    let half = half_width.min((values.len() - 1) / 2);
    let width = 2 * half + 1;
    // The offset of a value from the middle of its window is 0 except at the two ends.
    let by_offset: Vec<Vec<f64>> = (0..width)
        .map(|place| {
            weights(
                half,
                degree,
                derivative,
                place.cast_signed() - half.cast_signed(),
            )
        })
        .collect();
    let per_step = step.powi(i32::try_from(derivative).unwrap_or(i32::MAX));
    let last_window = values.len() - width;
    (0..values.len())
        .map(|index| {
            let window = index.saturating_sub(half).min(last_window);
            let sum: f64 = by_offset[index - window]
                .iter()
                .zip(&values[window..])
                .map(|(weight, value)| weight * value)
                .sum();
            sum / per_step
        })
        .collect()
}

/// The weights for the value at `offset` from the middle, by Gram polynomials, which stay exact where the normal
/// equations of plain powers lose digits.
pub(super) fn weights(half: usize, degree: usize, derivative: usize, offset: isize) -> Vec<f64> {
    let degree = degree.min(2 * half);
    let at_offset = gram(half, degree, derivative, offset as f64);
    (0..=2 * half)
        .map(|place| {
            let at_place = gram(half, degree, 0, place as f64 - half as f64);
            let mut norm = 1.0 / (2 * half + 1) as f64;
            let mut sum = 0.0;
            for k in 0..=degree {
                // (2k + 1) (2m)^(k) / (2m + k + 1)^(k + 1) with falling factorials, built up from k to k + 1.
                sum += (2 * k + 1) as f64 * norm * at_place[k] * at_offset[k];
                norm *= (2 * half).saturating_sub(k) as f64 / (2 * half + k + 2) as f64;
            }
            sum
        })
        .collect()
}

/// The `derivative`-th derivatives of the Gram polynomials of degrees 0 to `degree` on `-half..=half`, at `x`.
fn gram(half: usize, degree: usize, derivative: usize, x: f64) -> Vec<f64> {
    let m = half as f64;
    let mut below: Vec<f64> = vec![0.0; degree + 1];
    for s in 0..=derivative {
        let mut these = vec![0.0; degree + 1];
        these[0] = if s == 0 { 1.0 } else { 0.0 };
        for k in 1..=degree {
            let order = k as f64;
            let scale = order * (2.0 * m - order + 1.0);
            let before = if k < 2 { 0.0 } else { these[k - 2] };
            these[k] = (4.0 * order - 2.0) / scale * (x * these[k - 1] + s as f64 * below[k - 1])
                - (order - 1.0) * (2.0 * m + order) / scale * before;
        }
        below = these;
    }
    below
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_polynomial_of_the_degree_passes_unchanged_up_to_the_ends() {
        let values: Vec<f64> = (0..20)
            .map(|i| 1.0 + 0.5 * f64::from(i) - 0.1 * f64::from(i * i))
            .collect();
        for (smooth, value) in filter(&values, 4, 2, 0, 1.0).iter().zip(&values) {
            assert!((smooth - value).abs() < 1e-10, "{smooth} is not {value}");
        }
    }

    #[test]
    fn a_derivative_counts_in_steps() {
        let step = 0.1;
        let values: Vec<f64> = (0..20).map(|i| (f64::from(i) * step).powi(2)).collect();
        for (i, slope) in filter(&values, 3, 2, 1, step).iter().enumerate() {
            assert!((slope - 2.0 * i as f64 * step).abs() < 1e-10);
        }
    }

    #[test]
    fn a_short_series_is_fitted_with_what_it_has() {
        assert!(filter(&[], 5, 2, 0, 1.0).is_empty());
        assert_eq!(filter(&[3.0], 5, 2, 0, 1.0), [3.0]);
        assert_eq!(filter(&[3.0], 5, 2, 1, 1.0), [0.0]);
        assert_eq!(filter(&[3.0, 4.0], 5, 2, 0, 1.0), [3.0, 4.0]);
        let smooth = filter(&[0.0, 1.0, 4.0], 5, 2, 0, 1.0);
        assert!((smooth[1] - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_weights_of_a_smoother_sum_to_one() {
        for half in 0..30 {
            let sum: f64 = weights(half, 4, 0, 0).iter().sum();
            assert!((sum - 1.0).abs() < 1e-10, "half width {half}: {sum}");
        }
    }
}
