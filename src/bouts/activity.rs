//! Activity: how busy the player is, from speed and acceleration together.

use crate::bouts::Rules;
use crate::estimation::length;
use crate::estimation::quantile::of_rank;
use crate::motion::Motion;

/// The activity at every sample of the motion.
///
/// ## Definition
/// The mean over [`Rules::mean_s`] of the length of `(v, k a)`, with `v` the speed, `a` its rate of change and `k` of
/// [`Rules::acceleration_s`]. Speed alone cannot tell short shuttles, which average 1.5 m/s, from walking at 1.4 m/s; the
/// accelerations of the turns can. The mean does not reach across the end of a run.
///
/// ## Units
/// m/s.
///
/// ## References
/// Common practice, no source; the weight is where the two kinds of movement part in simulation.
pub(super) fn activity(motion: &Motion, rules: &Rules) -> Vec<f64> {
    let half = half_window(motion.step_s, rules.mean_s);
    let mut out = vec![0.0; motion.samples.len()];
    for run in &motion.runs {
        let Some(samples) = motion.samples.get(run.clone()) else {
            continue;
        };
        let mut sums = Vec::with_capacity(samples.len() + 1);
        let mut sum = 0.0;
        sums.push(sum);
        for sample in samples {
            sum += length(
                sample.speed_m_s,
                rules.acceleration_s * sample.acceleration_m_s2,
            );
            sums.push(sum);
        }
        for k in 0..samples.len() {
            let from = k.saturating_sub(half);
            let to = (k + half + 1).min(samples.len());
            out[run.start + k] = (sums[to] - sums[from]) / (to - from) as f64;
        }
    }
    out
}

/// Half of a window, in samples.
fn half_window(step_s: f64, window_s: f64) -> usize {
    if step_s > 0.0 {
        (window_s / step_s / 2.0).round().clamp(0.0, 1e6) as usize
    } else {
        0
    }
}

/// The levels of activity at which stretches are sought, increasing.
///
/// A ladder from the lowest level that can be work up to nearly the session's own height: a session of walking drills
/// gets few rungs, and one with sprints gets rungs up to where only the sprints rise above.
pub(super) fn levels(activity: &[f64], rules: &Rules) -> Vec<f64> {
    let mut sorted: Vec<f64> = activity.iter().copied().filter(|a| a.is_finite()).collect();
    let rank = sorted.len().saturating_sub(1) * 995 / 1000;
    let Some(height) = of_rank(&mut sorted, rank) else {
        return Vec::new();
    };
    let mut levels = Vec::new();
    let mut level = rules.lowest_m_s;
    while levels.len() < rules.levels && (levels.is_empty() || level < 0.75 * height) {
        levels.push(level);
        level *= rules.ratio;
    }
    levels
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ladder_stops_below_the_sessions_own_height() {
        let rules = Rules::default();
        let walk = levels(&[1.4; 100], &rules);
        assert_eq!(walk, vec![rules.lowest_m_s]);
        let sprint = levels(&[8.0; 100], &rules);
        assert_eq!(sprint.len(), rules.levels);
        assert!(levels(&[], &rules).is_empty());
    }
}
