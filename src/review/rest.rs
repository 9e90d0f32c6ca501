//! Rests: from the end of work to the start of the next, held against the plan.

use crate::measured::Measured;
use crate::review::{RestVerdict, Tolerances};

/// The verdict on a rest against its planned length; `None` planned is free.
///
/// ## Definition
/// Kept within the larger of [`Tolerances::rest_s`] and [`Tolerances::rest_share`] of the plan, plus one interval between
/// fixes. Longer and shorter are reported, not judged.
///
/// ## References
/// Common practice, no source: a rest of 30 s instead of 60 s changes what a session trains, three seconds do not.
pub(super) fn verdict(
    rest_s: f64,
    planned_s: Option<f64>,
    tolerances: &Tolerances,
    interval_s: f64,
) -> RestVerdict {
    let Some(planned_s) = planned_s else {
        return RestVerdict::Free;
    };
    let tolerance = tolerances.rest_s.max(tolerances.rest_share * planned_s) + interval_s;
    if rest_s > planned_s + tolerance {
        RestVerdict::Long
    } else if rest_s < planned_s - tolerance {
        RestVerdict::Short
    } else {
        RestVerdict::Kept
    }
}

/// Errors of edges have heavier tails than a normal distribution; simulated sessions ask for so much more.
const HEAVY_TAILS: f64 = 1.25;

/// A rest, or work, with its interval: both edges are found to within `edge_sd_s`.
pub(super) fn measured(rest_s: f64, edge_sd_s: f64) -> Measured {
    let sd = HEAVY_TAILS * std::f64::consts::SQRT_2 * edge_sd_s;
    Measured::normal(rest_s.max(0.0), sd).at_least(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_larger_of_both_tolerances_counts() {
        let tolerances = Tolerances::default();
        let check = |rest_s, planned_s| verdict(rest_s, Some(planned_s), &tolerances, 0.1);
        // 3 s and 0.1 s about 10 s; 15 % of 60 s are 9 s.
        assert_eq!(check(13.0, 10.0), RestVerdict::Kept);
        assert_eq!(check(13.2, 10.0), RestVerdict::Long);
        assert_eq!(check(51.0, 60.0), RestVerdict::Kept);
        assert_eq!(check(50.8, 60.0), RestVerdict::Short);
        assert_eq!(verdict(500.0, None, &tolerances, 1.0), RestVerdict::Free);
    }
}
