//! Load of a session by how hard it felt, and how alike the days of a week were.

/// The load of a session: its rating times its minutes.
///
/// # Units
/// `rpe` from 0 to 10 (CR-10, asked about half an hour after the session), `duration_s` in s; the load is in rating times
/// minutes, which has no other name than arbitrary units.
///
/// # Examples
/// ```
/// assert_eq!(repledger::progress::session_load(6.0, 80.0 * 60.0), 480.0);
/// ```
///
/// # References
/// Foster et al. (2001), J Strength Cond Res 15:109.
#[must_use]
pub fn session_load(rpe: f64, duration_s: f64) -> f64 {
    rpe * duration_s / 60.0
}

/// How alike the days of a week were.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Monotony {
    /// Sum of the daily loads.
    pub sum: f64,
    /// Mean over standard deviation of the daily loads; `None` where all days are equal.
    pub monotony: Option<f64>,
    /// Sum times monotony.
    pub strain: Option<f64>,
}

/// Monotony and strain of the daily loads of a week; a day of rest counts as 0.
///
/// # Definition
/// The mean of the daily loads over their sample standard deviation (n - 1), and that times their sum. With fewer than two
/// days, or all alike, there is no deviation and so neither.
///
/// # References
/// Foster (1998), Med Sci Sports Exerc 30:1164.
#[must_use]
pub(crate) fn monotony(daily: &[f64]) -> Monotony {
    let sum: f64 = daily.iter().sum();
    let n = daily.len() as f64;
    let mean = sum / n;
    let squares: f64 = daily.iter().map(|load| (load - mean).powi(2)).sum();
    let sd = (squares / (n - 1.0)).sqrt();
    // Equal days leave nothing but rounding.
    let monotony = (daily.len() > 1 && sd > 1e-9 * mean.abs().max(1.0)).then(|| mean / sd);
    Monotony {
        sum,
        monotony,
        strain: monotony.map(|m| m * sum),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked out from the definition of Foster (1998), with the sample deviation.
    #[test]
    fn weeks_of_the_same_sum_differ_in_monotony() {
        for (daily, sum, expected, strain) in [
            (
                [480.0, 300.0, 0.0, 560.0, 240.0, 0.0, 810.0],
                2390.0,
                1.1470,
                2741.23,
            ),
            (
                [300.0, 300.0, 300.0, 300.0, 300.0, 300.0, 0.0],
                1800.0,
                2.2678,
                4082.02,
            ),
            (
                [100.0, 500.0, 100.0, 500.0, 100.0, 500.0, 0.0],
                1800.0,
                1.1185,
                2013.24,
            ),
        ] {
            let found = monotony(&daily);
            assert!((found.sum - sum).abs() < 1e-9);
            assert!(
                (found.monotony.unwrap_or(0.0) - expected).abs() < 5e-5,
                "{found:?}"
            );
            assert!(
                (found.strain.unwrap_or(0.0) - strain).abs() < 5e-3,
                "{found:?}"
            );
        }
    }

    #[test]
    fn equal_days_have_no_monotony() {
        for daily in [&[300.0; 7][..], &[0.0; 7], &[0.1; 7], &[5.0], &[]] {
            assert_eq!(
                (monotony(daily).monotony, monotony(daily).strain),
                (None, None),
                "{daily:?}"
            );
        }
    }
}
