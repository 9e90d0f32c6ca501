//! The named filters against their publications and another library.

use crate::estimation::butterworth::Butterworth;
use crate::estimation::savitzky_golay;

/// Rounding of a few hundred steps of a stable recursion.
const ROUNDING: f64 = 1e-9;

/// Half of a symmetric or antisymmetric row, its middle last, mirrored to the whole.
fn mirrored(half: &[f64], sign: f64, divisor: f64) -> Vec<f64> {
    let back = half.iter().rev().skip(1).map(|value| sign * value);
    half.iter()
        .copied()
        .chain(back)
        .map(|value| value / divisor)
        .collect()
}

#[test]
fn savitzky_and_golay_1964() {
    // Savitzky and Golay (1964), Anal Chem 36:1627, 10.1021/ac60214a047, tables of convolutes, recomputed from the
    // least-squares fit (the printed tables hold a few misprints). Degree, derivative, sign of the mirror image,
    // divisor, first half with the middle.
    let tables: [(usize, usize, f64, f64, &[f64]); 12] = [
        (2, 0, 1.0, 35.0, &[-3.0, 12.0, 17.0]),
        (3, 0, 1.0, 35.0, &[-3.0, 12.0, 17.0]),
        (2, 0, 1.0, 21.0, &[-2.0, 3.0, 6.0, 7.0]),
        (2, 0, 1.0, 231.0, &[-21.0, 14.0, 39.0, 54.0, 59.0]),
        (2, 0, 1.0, 429.0, &[-36.0, 9.0, 44.0, 69.0, 84.0, 89.0]),
        (4, 0, 1.0, 231.0, &[5.0, -30.0, 75.0, 131.0]),
        (4, 0, 1.0, 429.0, &[15.0, -55.0, 30.0, 135.0, 179.0]),
        (2, 1, -1.0, 10.0, &[-2.0, -1.0, 0.0]),
        (2, 1, -1.0, 28.0, &[-3.0, -2.0, -1.0, 0.0]),
        (3, 1, -1.0, 12.0, &[1.0, -8.0, 0.0]),
        (3, 1, -1.0, 252.0, &[22.0, -67.0, -58.0, 0.0]),
        (2, 2, 1.0, 42.0, &[5.0, 0.0, -3.0, -4.0]),
    ];
    for (degree, derivative, sign, divisor, half) in tables {
        let weights = savitzky_golay::weights(half.len() - 1, degree, derivative, 0);
        let published = mirrored(half, sign, divisor);
        assert_eq!(weights.len(), published.len());
        for (weight, value) in weights.iter().zip(&published) {
            assert!(
                (weight - value).abs() < 1e-12,
                "degree {degree}, {weights:?}"
            );
        }
    }
}

#[test]
fn a_parabola_over_five_points_keeps_0_4857_of_white_noise() {
    // The sum of the squared weights; 17/35, 1/3 and 59/231 by the least-squares fit.
    for (half, kept) in [(2, 17.0 / 35.0), (3, 1.0 / 3.0), (4, 59.0 / 231.0)] {
        let sum: f64 = savitzky_golay::weights(half, 2, 0, 0)
            .iter()
            .map(|w| w * w)
            .sum();
        assert!((sum - kept).abs() < 1e-12);
    }
}

#[test]
fn winters_butterworth() {
    // Winter, Biomechanics and Motor Control of Human Movement: his worked example for one pass at a tenth of the rate
    // (0.067455, 0.13491, 1.14298, -0.41280); the rest computed from his formulae. Rate, cutoff (Hz), passes, a0, a1, b1, b2.
    let rows = [
        (60.0, 6.0, 1, 0.067_455, 0.13491, 1.14298, -0.41280),
        (60.0, 6.0, 2, 0.094_447, 0.188_893, 0.962_641, -0.340_428),
        (10.0, 1.5, 2, 0.175_264, 0.350_527, 0.518_438, -0.219_492),
        (10.0, 2.0, 2, 0.264_494, 0.528_988, 0.115_977, -0.173_952),
        (5.0, 1.0, 2, 0.264_494, 0.528_988, 0.115_977, -0.173_952),
        (1.0, 0.25, 2, 0.359_953, 0.719_907, -0.256_579, -0.183_235),
    ];
    for (rate_hz, cutoff_hz, passes, a0, a1, b1, b2) in rows {
        let filter = Butterworth::low_pass(cutoff_hz, rate_hz, passes)
            .expect("the cutoff is below half the rate");
        // Printed to five or six decimals.
        for (computed, published) in [
            (filter.a0, a0),
            (filter.a1, a1),
            (filter.a2, a0),
            (filter.b1, b1),
            (filter.b2, b2),
        ] {
            assert!(
                (computed - published).abs() < 6e-6,
                "{computed} is not {published}"
            );
        }
        let sum = filter.a0 + filter.a1 + filter.a2 + filter.b1 + filter.b2;
        assert!(
            (sum - 1.0).abs() < ROUNDING,
            "a constant must pass unchanged"
        );
    }
}

/// The columns of the committed values, by name; made by `scipy_values.py` beside it.
fn scipy(column: &str) -> Vec<f64> {
    let mut lines = include_str!("scipy_values.csv").lines();
    let header = lines.next().expect("the file has a header");
    let place = header
        .split(',')
        .position(|name| name == column)
        .expect("the column exists");
    lines
        .map(|line| {
            line.split(',')
                .nth(place)
                .and_then(|cell| cell.parse().ok())
                .expect("a number")
        })
        .collect()
}

fn assert_equal(ours: &[f64], theirs: &[f64]) {
    assert_eq!(ours.len(), theirs.len());
    for (k, (a, b)) in ours.iter().zip(theirs).enumerate() {
        assert!((a - b).abs() < ROUNDING, "value {k}: {a} is not {b}");
    }
}

#[test]
fn scipy_smooths_the_same_trace_to_the_same_values() {
    // scipy 1.17.1: signal.savgol_filter (mode "interp") and signal.filtfilt of signal.butter (odd padding).
    let speed = scipy("speed_m_s");
    assert_eq!(speed.len(), 300);
    let step_s = 0.1;
    assert_equal(
        &savitzky_golay::filter(&speed, 5, 2, 0, step_s),
        &scipy("savgol_11_2"),
    );
    assert_equal(
        &savitzky_golay::filter(&speed, 5, 2, 1, step_s),
        &scipy("savgol_11_2_slope"),
    );
    assert_equal(
        &savitzky_golay::filter(&speed, 4, 4, 0, step_s),
        &scipy("savgol_9_4"),
    );
    let filter = Butterworth::low_pass(1.5, 10.0, 2).expect("the cutoff is below half the rate");
    assert_equal(&filter.filtfilt(&speed), &scipy("butter_filtfilt"));
}
