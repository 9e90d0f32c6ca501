//! Rests: from the end of work to the start of the next, held against the plan.

use crate::measured::Measured;
use crate::plan::Category;
use crate::review::{RestVerdict, Tolerances};

/// The verdict on a rest against its planned length; `None` planned is free.
///
/// ## Definition
/// Kept within the larger of [`Tolerances::rest_s`] and [`Tolerances::rest_share`] of the plan, plus one interval between
/// fixes. Longer and shorter are reported, not judged. `None` where the interval of a rest that is longer or shorter holds the plan.
///
/// ## References
/// Common practice, no source: a rest of 30 s instead of 60 s changes what a session trains, three seconds do not.
pub(super) fn verdict(
    rest_s: Measured,
    planned_s: Option<f64>,
    tolerances: &Tolerances,
    interval_s: f64,
) -> Option<RestVerdict> {
    let Some(planned_s) = planned_s else {
        return Some(RestVerdict::Free);
    };
    let tolerance = tolerances.rest_s.max(tolerances.rest_share * planned_s) + interval_s;
    if rest_s.value > planned_s + tolerance {
        (rest_s.low > planned_s).then_some(RestVerdict::Long)
    } else if rest_s.value < planned_s - tolerance {
        (rest_s.high < planned_s).then_some(RestVerdict::Short)
    } else {
        Some(RestVerdict::Kept)
    }
}

/// Errors of edges have heavier tails than a normal distribution; simulated sessions ask for so much more.
const HEAVY_TAILS: f64 = 1.25;

/// A time from one edge of a rep to another, with its interval: both are found to within `edge_sd_s`.
pub(super) fn measured(time_s: f64, edge_sd_s: f64) -> Measured {
    let edge_sd_s = of_rep_sd_s(edge_sd_s);
    between(time_s, [edge_sd_s, edge_sd_s], 0.0)
}

/// A time with its interval, from the standard deviations of the edges that bound it, whose errors are taken as independent; what is
/// before it may have ended up to `late_s` later than told.
pub(super) fn between(time_s: f64, [from_sd_s, to_sd_s]: [f64; 2], late_s: f64) -> Measured {
    Measured::normal(time_s.max(0.0), from_sd_s.hypot(to_sd_s))
        .reaching(late_s, 0.0)
        .at_least(0.0)
}

/// How well an edge of a rep is known, s, where edges are found to within `edge_sd_s`.
pub(super) fn of_rep_sd_s(edge_sd_s: f64) -> f64 {
    HEAVY_TAILS * edge_sd_s
}

/// How well the time of a stretch of mixed work is known, s: a warm-up or a game begins and ends more gently than a rep.
pub(super) fn stretch_sd_s(planned_s: f64) -> f64 {
    0.04 * planned_s + 4.0
}

/// How well the start and the end of a stretch are known, s: a game is told from rest at both, a warm-up ends in stretching that looks
/// like rest, and work with the ball begins and ends as gently as what is around it. So many times the deviation of the stretch's time,
/// as counted over simulated sessions whose truth is known.
pub(super) fn of_stretch_sd_s(category: Category, planned_s: f64) -> [f64; 2] {
    let times = match category {
        Category::WarmUp => [1.0, 1.5],
        Category::Technical => [1.5, 1.5],
        Category::CoolDown => [0.7, 1.0],
        _ => [0.7, 0.7],
    };
    times.map(|times| times * stretch_sd_s(planned_s))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rest_is_as_sure_as_the_edges_that_bound_it() {
        let close = |a: f64, b: f64| (a - b).abs() < 1e-9;
        // 1.96 times the root of 3 s squared and 4 s squared.
        let rest = between(60.0, [3.0, 4.0], 0.0);
        assert!(close(rest.high - 60.0, 1.959_963_984_540_054 * 5.0));
        assert!(close(60.0 - rest.low, rest.high - 60.0));
        // Edges of reps at 1 Hz: 0.5 s each, and a quarter more for the tails.
        let sd_s = std::f64::consts::SQRT_2 * 1.25 * 0.5;
        assert!(close(
            measured(60.0, 0.5).high - 60.0,
            1.959_963_984_540_054 * sd_s
        ));
        assert!(close(between(1.0, [3.0, 4.0], 0.0).low, 0.0));
    }

    #[test]
    fn nobody_rested_too_long_whose_interval_holds_the_plan() {
        let tolerances = Tolerances::default();
        let check = |half_s: f64, planned_s| {
            let rest_s = Measured::within(140.0, 140.0 - half_s, 140.0 + half_s);
            verdict(rest_s, planned_s, &tolerances, 0.1)
        };
        assert_eq!(check(5.0, Some(120.0)), Some(RestVerdict::Long));
        assert_eq!(check(68.0, Some(120.0)), None);
        assert_eq!(check(68.0, Some(180.0)), None);
        assert_eq!(check(68.0, Some(140.0)), Some(RestVerdict::Kept));
        assert_eq!(check(5.0, None), Some(RestVerdict::Free));
    }

    #[test]
    fn the_larger_of_both_tolerances_counts() {
        let tolerances = Tolerances::default();
        let exact = |rest_s| Measured::within(rest_s, rest_s, rest_s);
        let check = |rest_s, planned_s| {
            let said = verdict(exact(rest_s), Some(planned_s), &tolerances, 0.1);
            said.expect("nothing is open")
        };
        // 3 s and 0.1 s about 10 s; 15 % of 60 s are 9 s.
        assert_eq!(check(13.0, 10.0), RestVerdict::Kept);
        assert_eq!(check(13.2, 10.0), RestVerdict::Long);
        assert_eq!(check(51.0, 60.0), RestVerdict::Kept);
        assert_eq!(check(50.8, 60.0), RestVerdict::Short);
        let free = verdict(exact(500.0), None, &tolerances, 1.0);
        assert_eq!(free, Some(RestVerdict::Free));
    }
}
