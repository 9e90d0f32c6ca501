//! Lays a pitch of a known size where it fits the motion best, and says how sure that is.

use std::f64::consts::PI;

use crate::measured::Z95;
use crate::motion::Motion;
use crate::pitch::{Pitch, Size, Source};

/// Positions are taken so far apart in time, s: nearer ones say the same again.
const EVERY_S: f64 = 5.0;
/// How far a player steps over the lines, one standard deviation, m.
const OVER_M: f64 = 1.0;
/// What satellites may be off together while laps are run, one standard deviation along an axis, m: 4.9 m at 95 % under open
/// sky (GPS standard positioning service performance standard, seen quoted), and hardly less in the mean over minutes.
const SATELLITE_M: f64 = 2.0;
/// A position farther out counts no more than one so many standard deviations out: the way from the car is no misfit.
const FAR: f64 = 3.0;
/// Directions and places that are tried.
const TURNS: usize = 180;
const STEP_M: f64 = 0.5;
/// Fewest positions to fit to.
const LEAST_POSITIONS: usize = 60;
/// A fit less sure than this is not used: m, and rad.
const SURE_M: f64 = 3.0;
const SURE_RAD: f64 = 3.0 * PI / 180.0;
/// Of the time, more than this outside the lines makes another size likelier.
const MOST_OUTSIDE: f64 = 0.15;

/// What came of a fit.
#[derive(Clone, Debug, PartialEq)]
pub enum Fit {
    /// Sure enough to be used.
    Sure(Pitch),
    /// Not sure enough; the best there is.
    Unsure(Pitch),
    /// The motion leaves a pitch of this size for too much of the time.
    TooSmall {
        /// Share of the time outside.
        outside: f64,
    },
    /// Too little motion with positions.
    TooLittle,
}

/// Lays a pitch of `size` under the motion.
///
/// # Definition
/// Inside the lines every place is as likely as any other; outside, a position d m beyond a line costs d^2 / (2 s^2) nats, no
/// more than at 3 s, with s from how far players step over lines and what the positions are off. The posterior is summed
/// over 180 directions and all places half a metre apart; its mean is the pitch, its spread the standard deviation. A player
/// who keeps to a corner leaves it wide, laps along the lines make it narrow. Turned by half a pitch looks the same, so which
/// goal is which is never told.
///
/// # Units
/// m and rad, in the metres of the session.
#[must_use]
pub fn fit(motion: &Motion, size: Size) -> Fit {
    let places = places(motion);
    if places.len() < LEAST_POSITIONS {
        return Fit::TooLittle;
    }
    let drift_m = if motion.signs.by_satellite {
        SATELLITE_M
    } else {
        0.0
    };
    let sd_m = OVER_M.hypot(drift_m);
    let poses: Vec<Pose> = (0..TURNS)
        .map(|k| Pose::at(PI * k as f64 / TURNS as f64, &places, size, sd_m))
        .collect();
    let best = poses.iter().map(|p| p.weight).fold(f64::MIN, f64::max);
    let weights: Vec<f64> = poses.iter().map(|p| (p.weight - best).exp()).collect();
    let total: f64 = weights.iter().sum();
    let mean = |f: &dyn Fn(&Pose) -> f64| -> f64 {
        poses
            .iter()
            .zip(&weights)
            .map(|(p, w)| w * f(p))
            .sum::<f64>()
            / total
    };
    // A direction is one of a line, so that angles are doubled to be averaged.
    let (sin, cos) = (
        mean(&|p| (2.0 * p.turn_rad).sin()),
        mean(&|p| (2.0 * p.turn_rad).cos()),
    );
    let turn_rad = (0.5 * sin.atan2(cos)).rem_euclid(PI);
    let grid_rad = PI / TURNS as f64 / 12.0_f64.sqrt();
    let spread = (-2.0 * sin.hypot(cos).max(1e-12).ln()).max(0.0).sqrt();
    let centre_m = [mean(&|p| p.centre_m[0]), mean(&|p| p.centre_m[1])];
    // The wider of the two axes, and how far the centre moves from one direction to another.
    let within = mean(&|p| p.sd_m.powi(2));
    let between = mean(&|p| {
        0.5 * ((p.centre_m[0] - centre_m[0]).powi(2) + (p.centre_m[1] - centre_m[1]).powi(2))
    });
    let pitch = Pitch {
        size,
        centre_m,
        turn_rad,
        centre_sd_m: (within + between).sqrt().hypot(drift_m),
        turn_sd_rad: (0.5 * spread).hypot(grid_rad),
        source: Source::Fitted,
    };
    let outside = outside(&places, &pitch, Z95 * sd_m);
    if outside > MOST_OUTSIDE {
        Fit::TooSmall { outside }
    } else if pitch.centre_sd_m > SURE_M || pitch.turn_sd_rad > SURE_RAD {
        Fit::Unsure(pitch)
    } else {
        Fit::Sure(pitch)
    }
}

/// Where he was, every few seconds.
fn places(motion: &Motion) -> Vec<[f64; 2]> {
    if !motion.has_position {
        return Vec::new();
    }
    let mut next_s = f64::NEG_INFINITY;
    let mut places = Vec::new();
    for sample in motion.samples.iter().filter(|s| !s.bridged) {
        if sample.time_s >= next_s && sample.x_m.is_finite() && sample.y_m.is_finite() {
            places.push([sample.x_m, sample.y_m]);
            next_s = sample.time_s + EVERY_S;
        }
    }
    places
}

/// The share of places more than `over_m` outside the lines.
fn outside(places: &[[f64; 2]], pitch: &Pitch, over_m: f64) -> f64 {
    let out = places.iter().filter(|place| {
        let [along, across] = pitch.to_pitch(**place);
        along.abs() > pitch.size.length_m / 2.0 + over_m
            || across.abs() > pitch.size.width_m / 2.0 + over_m
    });
    out.count() as f64 / places.len() as f64
}

/// One direction, with the places that suit it.
struct Pose {
    turn_rad: f64,
    /// Log of the sum over all places.
    weight: f64,
    centre_m: [f64; 2],
    /// The larger standard deviation of the two axes.
    sd_m: f64,
}

impl Pose {
    fn at(turn_rad: f64, places: &[[f64; 2]], size: Size, sd_m: f64) -> Self {
        let (sin, cos) = turn_rad.sin_cos();
        let along = Side::of(
            places.iter().map(|[x, y]| cos * x + sin * y),
            size.length_m,
            sd_m,
        );
        let across = Side::of(
            places.iter().map(|[x, y]| cos * y - sin * x),
            size.width_m,
            sd_m,
        );
        Self {
            turn_rad,
            weight: along.weight + across.weight,
            centre_m: [
                cos * along.mean_m - sin * across.mean_m,
                sin * along.mean_m + cos * across.mean_m,
            ],
            sd_m: along.sd_m.max(across.sd_m),
        }
    }
}

/// The middle between two parallel lines.
struct Side {
    weight: f64,
    mean_m: f64,
    sd_m: f64,
}

impl Side {
    /// Sums over all middles, with the places counted in bins of half a metre.
    fn of(values: impl Iterator<Item = f64> + Clone, length_m: f64, sd_m: f64) -> Self {
        let mut sorted: Vec<f64> = values.collect();
        sorted.sort_by(f64::total_cmp);
        // The middle lies within half a length of the median, or half of the time would be outside.
        let median = sorted[sorted.len() / 2];
        let steps = (length_m / STEP_M).ceil() as i64;
        let costs: Vec<(f64, f64)> = (-steps / 2..=steps / 2)
            .map(|k| {
                let middle = median + k as f64 * STEP_M;
                (middle, cost(&sorted, middle, length_m / 2.0, sd_m))
            })
            .collect();
        let least = costs.iter().map(|c| c.1).fold(f64::INFINITY, f64::min);
        let (mut total, mut first, mut second) = (0.0, 0.0, 0.0);
        for (middle, cost) in &costs {
            let weight = (least - cost).exp();
            let off = middle - median;
            total += weight;
            first += weight * off;
            second += weight * off * off;
        }
        let mean = first / total;
        Self {
            weight: total.ln() - least,
            mean_m: median + mean,
            sd_m: (second / total - mean * mean)
                .max(STEP_M * STEP_M / 12.0)
                .sqrt(),
        }
    }
}

/// What the places beyond two lines `half_m` to either side of `middle` cost. Only those that are near a line are looked at
/// one by one: all that are too far count alike.
fn cost(sorted: &[f64], middle: f64, half_m: f64, sd_m: f64) -> f64 {
    let before = |place_m: f64| sorted.partition_point(|v| *v < place_m);
    let (from_m, to_m) = (middle - half_m, middle + half_m);
    let (far_below, below) = (before(from_m - FAR * sd_m), before(from_m));
    let (above, far_above) = (before(to_m), before(to_m + FAR * sd_m));
    let price = |over_m: f64| 0.5 * (over_m / sd_m).powi(2);
    let near_below: f64 = sorted[far_below..below]
        .iter()
        .map(|v| price(from_m - v))
        .sum();
    let near_above: f64 = sorted[above..far_above]
        .iter()
        .map(|v| price(v - to_m))
        .sum();
    let far = far_below + (sorted.len() - far_above);
    near_below + near_above + far as f64 * price(FAR * sd_m)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::Sample;
    use crate::pitch::made;
    use crate::simulation::Rng;

    const SIZE: Size = Size {
        length_m: 100.0,
        width_m: 64.0,
    };

    impl Pitch {
        /// The place of the session that lies so far from the centre mark along and across.
        fn to_local(&self, pitch_m: [f64; 2]) -> [f64; 2] {
            let (sin, cos) = self.turn_rad.sin_cos();
            let [along, across] = pitch_m;
            [
                self.centre_m[0] + cos * along - sin * across,
                self.centre_m[1] + sin * along + cos * across,
            ]
        }
    }

    fn motion(places: &[[f64; 2]]) -> Motion {
        let samples: Vec<Sample> = places
            .iter()
            .enumerate()
            .map(|(k, [x_m, y_m])| Sample {
                time_s: k as f64,
                x_m: *x_m,
                y_m: *y_m,
                ..Sample::default()
            })
            .collect();
        made::motion(samples)
    }

    fn truth(rng: &mut Rng) -> Pitch {
        Pitch {
            size: SIZE,
            centre_m: [rng.range(-80.0, 80.0), rng.range(-80.0, 80.0)],
            turn_rad: rng.range(0.0, PI),
            centre_sd_m: 0.0,
            turn_sd_rad: 0.0,
            source: Source::Corners,
        }
    }

    /// Laps a metre inside the lines at 2.6 m/s, give or take half a metre, then free running inside.
    fn laps(truth: &Pitch, laps: usize, rng: &mut Rng) -> Vec<[f64; 2]> {
        let (a, b) = (SIZE.length_m - 2.0, SIZE.width_m - 2.0);
        let round = 2.0 * (a + b);
        let mut places = Vec::new();
        for k in 0..(laps as f64 * round / 2.6) as usize {
            let way = (k as f64 * 2.6) % round;
            let [x, y] = if way < a {
                [way, 0.0]
            } else if way < a + b {
                [a, way - a]
            } else if way < 2.0 * a + b {
                [2.0 * a + b - way, b]
            } else {
                [0.0, round - way]
            };
            let off = || 0.5;
            places.push(truth.to_local([
                x - a / 2.0 + off() * rng.normal(),
                y - b / 2.0 + off() * rng.normal(),
            ]));
        }
        for _ in 0..1200 {
            places.push(truth.to_local([rng.range(-20.0, 40.0), rng.range(-25.0, 10.0)]));
        }
        places
    }

    #[test]
    fn laps_around_the_lines_tell_the_pitch() {
        let mut rng = Rng::stream(5, 1);
        let (mut held, mut all) = (0, 0);
        for _ in 0..40 {
            let truth = truth(&mut rng);
            let Fit::Sure(found) = fit(&motion(&laps(&truth, 3, &mut rng)), SIZE) else {
                panic!("three laps are sure");
            };
            let turn = (found.turn_rad - truth.turn_rad + PI / 2.0).rem_euclid(PI) - PI / 2.0;
            assert!(turn.abs() < 2.0_f64.to_radians(), "{turn}");
            for axis in 0..2 {
                let off = (found.centre_m[axis] - truth.centre_m[axis]).abs();
                assert!(off < 2.0, "{off}");
                all += 1;
                held += usize::from(off <= Z95 * found.centre_sd_m);
            }
        }
        assert!(10 * held >= 9 * all, "{held} of {all}");
    }

    #[test]
    fn a_corner_of_the_pitch_tells_too_little() {
        let mut rng = Rng::stream(6, 1);
        for _ in 0..10 {
            let truth = truth(&mut rng);
            let places: Vec<[f64; 2]> = (0..2000)
                .map(|_| truth.to_local([rng.range(0.0, 50.0), rng.range(0.0, 32.0)]))
                .collect();
            assert!(matches!(fit(&motion(&places), SIZE), Fit::Unsure(_)));
        }
    }

    #[test]
    fn a_run_through_town_fits_no_pitch() {
        let places: Vec<[f64; 2]> = (0..2000).map(|k| [f64::from(k) * 2.5, 0.0]).collect();
        assert!(matches!(
            fit(&motion(&places), SIZE),
            Fit::TooSmall { outside } if outside > 0.9
        ));
    }

    #[test]
    fn the_way_from_the_car_moves_it_little() {
        let mut rng = Rng::stream(7, 1);
        let truth = truth(&mut rng);
        let mut places: Vec<[f64; 2]> = (0..120)
            .map(|k| truth.to_local([20.0, 32.0 + 1.4 * f64::from(120 - k)]))
            .collect();
        places.extend(laps(&truth, 3, &mut rng));
        let Fit::Sure(found) = fit(&motion(&places), SIZE) else {
            panic!("laps are sure");
        };
        let off =
            (found.centre_m[0] - truth.centre_m[0]).hypot(found.centre_m[1] - truth.centre_m[1]);
        assert!(off < 3.0, "{off}");
    }

    #[test]
    fn nothing_is_fitted_to_nothing() {
        assert_eq!(fit(&motion(&[]), SIZE), Fit::TooLittle);
    }
}
