//! Where a player stands, and what a standing receiver reads as speed.
//!
//! A speed is the length of a noisy velocity, so that a receiver at rest reads the noise itself: 0.06 to 0.19 m/s where the
//! noise along each axis is 0.05 to 0.15 m/s. Over a session with half its time at rest that sums up to a tenth of the
//! distance. The recording tells how loud the noise is, and each reading is then standing with a probability.

use crate::estimation::collected;
use crate::estimation::quantile::{median, of_share};
use crate::track::Point;

/// Over so long the mean square of the readings is taken, s, or over so many readings where they lie farther apart.
const OVER_S: f64 = 3.0;
const OVER_READINGS: usize = 7;
/// A mean square below this may be that of a standing receiver, m2/s2.
const MOST_SQUARE: f64 = 0.35 * 0.35;
/// So long a time like that is needed for the noise to be found, s, also as a share of all.
const LEAST_STILL_S: f64 = 25.0;
const LEAST_SHARE: f64 = 0.02;
/// The stillest places lie at this quantile; those within [`STILL_TIMES`] of it stand.
const STILL_QUANTILE: f64 = 0.25;
const STILL_TIMES: f64 = 2.0;
/// A receiver that reads nothing at all in this share of the still places cuts its noise off by itself.
const CUT_OFF_SHARE: f64 = 0.3;
/// Noise along one axis where the recording shows none, m/s.
pub(super) const USUAL_SD_M_S: f64 = 0.05;
/// Noise is never louder than this along one axis, m/s: slow walking is.
const MOST_SD_M_S: f64 = 0.2;
/// Noise is never quieter than this along one axis, m/s: readings are rounded.
const LEAST_SD_M_S: f64 = 0.02;
/// Speed along one axis of a player who moves, m/s: most of a session is walked.
const MOVING_SD_M_S: f64 = 1.5;
/// A player stands for so long at a time, s, and moves for so long.
const STANDS_S: f64 = 12.0;
const MOVES_S: f64 = 18.0;
/// Probability of standing before anything was read.
const STANDING_FIRST: f64 = 0.4;

/// The variance of the receiver's speed noise along one axis, m2/s2; `None` where the recording does not show it.
///
/// # Definition
/// A Rayleigh-distributed reading has a mean square of twice the variance along one axis. Mean squares over three seconds are
/// taken, and half the median of the lowest ones is the variance: a quarter of the still places lies below where the cut is
/// drawn, so that a minute more of standing moves it little.
///
/// # References
/// Rayleigh's distribution; the length of a vector with equal normal errors along both axes and no mean.
pub(super) fn noise_variance(runs: &[Vec<(f64, f64)>]) -> Option<f64> {
    let mut still = Vec::new();
    let (mut places, mut apart_s) = (0, 0.0);
    for known in runs {
        apart_s = spacing_s(known);
        let reach = ((OVER_S / apart_s) as usize).max(OVER_READINGS) / 2;
        let mut sums = Vec::with_capacity(known.len() + 1);
        sums.push(0.0);
        for (k, (_, speed)) in known.iter().enumerate() {
            sums.push(sums[k] + speed * speed);
        }
        for k in 0..known.len() {
            let (from, to) = (k.saturating_sub(reach), (k + reach + 1).min(known.len()));
            let square = (sums[to] - sums[from]).max(0.0) / (to - from) as f64;
            if square < MOST_SQUARE {
                still.push(square);
            }
        }
        places += known.len() as u32;
    }
    let count = still.len() as f64;
    if count * apart_s < LEAST_STILL_S || count < LEAST_SHARE * f64::from(places) {
        return None;
    }
    let silent = still.iter().filter(|&&s| s <= 1e-6).count();
    if silent as f64 > CUT_OFF_SHARE * count {
        return Some(0.0);
    }
    let cut = STILL_TIMES * of_share(&mut still, STILL_QUANTILE)?;
    still.retain(|&s| s <= cut);
    Some((median(still)? / 2.0).min(MOST_SD_M_S * MOST_SD_M_S))
}

/// For each reading of a run the probability that the player stands; `variance` is that of the noise along one
/// axis, which readings closer than `repeats_s` repeat.
///
/// # Definition
/// A chain of two states, standing and moving, that last 12 and 18 s in the mean. A reading v of the standing state has
/// Rayleigh's density for the noise, one of the moving state that for 1.5 m/s along each axis, so that their ratio is
/// (m2 / s2) exp(-v2 (1/s2 - 1/m2) / 2). Forwards and backwards through the chain gives the probability given all readings.
///
/// # References
/// Rabiner (1989), A tutorial on hidden Markov models, Proc IEEE 77:257 (from memory).
pub(super) fn probabilities(known: &[(f64, f64)], variance: f64, repeats_s: f64) -> Vec<f64> {
    let noise = variance.max(LEAST_SD_M_S * LEAST_SD_M_S);
    let moving = MOVING_SD_M_S * MOVING_SD_M_S;
    let (peak, slope) = ((moving / noise).ln(), (1.0 / noise - 1.0 / moving) / 2.0);
    let since = |k: usize| match k {
        0 => 0.0,
        _ => known[k].0 - known[k - 1].0,
    };
    // How much likelier a reading is standing than moving.
    let odds = |k: usize| {
        let weight = (since(k) / repeats_s).min(1.0);
        (weight * (peak - slope * known[k].1 * known[k].1))
            .clamp(-40.0, 40.0)
            .exp()
    };
    let change = |k: usize| {
        (
            (since(k) / STANDS_S).min(0.5),
            (since(k) / MOVES_S).min(0.5),
        )
    };
    let mut forward = Vec::with_capacity(known.len());
    let mut ratios = Vec::with_capacity(known.len());
    let mut standing = STANDING_FIRST;
    for k in 0..known.len() {
        let (leaves, arrives) = change(k);
        let before = standing * (1.0 - leaves) + (1.0 - standing) * arrives;
        let ratio = odds(k);
        let support = before * ratio;
        standing = (support / (support + 1.0 - before)).clamp(1e-9, 1.0 - 1e-9);
        forward.push(standing);
        ratios.push(ratio);
    }
    // What the later readings say for either state, in the same place.
    let (mut if_standing, mut if_moving) = (1.0, 1.0);
    for k in (0..known.len()).rev() {
        let (a, b) = (forward[k] * if_standing, (1.0 - forward[k]) * if_moving);
        forward[k] = a / (a + b);
        let (leaves, arrives) = change(k);
        let (s, m) = (ratios[k] * if_standing, if_moving);
        let (stays, moves) = (
            (1.0 - leaves) * s + leaves * m,
            arrives * s + (1.0 - arrives) * m,
        );
        (if_standing, if_moving) = (stays / (stays + moves), moves / (stays + moves));
    }
    forward
}

/// The speed of motion in a reading, m/s: the noise across the course makes a velocity longer.
///
/// While the player moves, one axis of the noise lies along the course and averages out, and the other adds about s2 / 2v.
pub(super) fn without_noise(speed_m_s: f64, standing: f64, variance: f64) -> f64 {
    (1.0 - standing) * (speed_m_s * speed_m_s - variance).max(0.0).sqrt()
}

/// Time and speed of each point with one.
pub(super) fn readings(points: &[Point]) -> Vec<(f64, f64)> {
    collected((points.iter()).filter_map(|p| p.speed_m_s().map(|v| (p.time_s, v))))
}

/// How far apart the readings of a run lie in the mean, s.
fn spacing_s(known: &[(f64, f64)]) -> f64 {
    let (Some(first), Some(last)) = (known.first(), known.last()) else {
        return 1.0;
    };
    ((last.0 - first.0) / known.len().max(2) as f64).max(1e-3)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The length of a vector (mean, 0) with noise of `sd` along each axis; two normals from a small generator.
    fn noisy(mean: f64, sd: f64, seed: &mut u64) -> f64 {
        let mut uniform = || {
            *seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            ((*seed >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
        };
        let radius = (-2.0 * uniform().ln()).sqrt() * sd;
        let (y, x) = (std::f64::consts::TAU * uniform()).sin_cos();
        (mean + radius * x).hypot(radius * y)
    }

    /// Stands for 60 s, walks at 1.4 m/s for 60 s, and so on, at `hz`.
    fn walk(hz: f64, sd: f64, minutes: usize) -> Vec<Point> {
        let mut seed = 7;
        (0..(minutes as f64 * 60.0 * hz) as usize)
            .map(|k| {
                let time_s = k as f64 / hz;
                let walks = (time_s / 60.0) as usize % 2 == 1;
                let speed_m_s = noisy(if walks { 1.4 } else { 0.0 }, sd, &mut seed);
                Point::new(time_s, None, Some(speed_m_s))
            })
            .collect()
    }

    #[test]
    fn the_noise_is_found_and_a_minute_more_of_standing_moves_it_little() {
        for (hz, sd) in [(10.0, 0.05), (10.0, 0.14), (5.0, 0.1), (1.0, 0.1)] {
            let points = walk(hz, sd, 20);
            let found = noise_variance(&[readings(&points)]).map_or(0.0, f64::sqrt);
            assert!((found / sd - 1.0).abs() < 0.12, "{found} for {sd} at {hz}");
            let shorter = noise_variance(&[readings(&points[..(19.0 * 60.0 * hz) as usize])])
                .map_or(0.0, f64::sqrt);
            assert!((shorter / found - 1.0).abs() < 0.02);
        }
    }

    #[test]
    fn a_receiver_that_never_stands_or_reads_nothing_at_rest_has_its_own_figures() {
        let running: Vec<Point> = walk(10.0, 0.1, 4)
            .into_iter()
            .map(|p| Point::new(p.time_s, None, Some(3.0)))
            .collect();
        assert_eq!(noise_variance(&[readings(&running)]), None);
        let silent: Vec<Point> = walk(10.0, 0.0, 4);
        assert_eq!(noise_variance(&[readings(&silent)]), Some(0.0));
        assert_eq!(noise_variance(&[]), None);
    }

    /// The mean of Rice's distribution for a mean of 1.4 and noise of 0.14 along each axis is 1.40701: sd sqrt(pi/2) L(-nu2 /
    /// 2 sd2) with Laguerre's function of order 1/2 (Rice 1945, Bell Syst Tech J 24:46).
    #[test]
    fn the_length_of_a_noisy_vector_loses_what_the_noise_added() {
        let mut seed = 3;
        let (mut plain, mut mended) = (0.0, 0.0);
        let n = 200_000;
        for _ in 0..n {
            let v = noisy(1.4, 0.14, &mut seed);
            plain += v / f64::from(n);
            mended += without_noise(v, 0.0, 0.14 * 0.14) / f64::from(n);
        }
        assert!((plain - 1.407_01).abs() < 0.001, "{plain}");
        assert!((mended - 1.4).abs() < 0.001, "{mended}");
    }

    #[test]
    fn standing_is_told_from_walking() {
        for hz in [10.0, 1.0] {
            let points = walk(hz, 0.1, 10);
            let standing = probabilities(&readings(&points), 0.01, 0.5);
            let wrong = standing
                .iter()
                .zip(&points)
                .filter(|(p, point)| (**p > 0.5) == ((point.time_s / 60.0) as usize % 2 == 1))
                .count();
            assert!(
                wrong as f64 <= 0.01 * points.len() as f64,
                "{wrong} at {hz}"
            );
        }
    }
}
