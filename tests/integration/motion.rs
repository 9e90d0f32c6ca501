//! Motion against what is known of it: standing, sprinting, gaps, shifted and turned recordings, and simulated truth.

use repledger::motion::{self, Method, Motion, Settings};
use repledger::simulation::{self, Kind, Mess, OrnsteinUhlenbeck, Rng};
use repledger::trace::{Clock, Fix, Format, Position, Trace};
use repledger::track::{self, Rules};

/// A recording in local metres with one fix for each `(time_s, [x_m, y_m])`.
fn recording(places: impl IntoIterator<Item = (f64, [f64; 2])>) -> Trace {
    let fixes = places
        .into_iter()
        .enumerate()
        .map(|(k, (time_s, [x_m, y_m]))| Fix {
            time_s,
            position: Some(Position::Local { x_m, y_m }),
            line: k as u64 + 1,
            ..Fix::default()
        })
        .collect();
    Trace::new(fixes, Clock::Elapsed, Format::Csv { delimiter: ',' })
}

fn smoothed_by(trace: &Trace, method: Method) -> Motion {
    let track = track::clean(trace, &Rules::default()).expect("a made recording is sound");
    motion::estimate(
        &track,
        &Settings {
            method,
            ..Settings::default()
        },
    )
}

fn smoothed(trace: &Trace) -> Motion {
    smoothed_by(trace, Method::Kalman)
}

fn distance_m(motion: &Motion) -> f64 {
    motion.distance(0..motion.samples.len()).value
}

/// Ten minutes of a receiver that lies still: slow drift and white noise.
///
/// The drift's spread and time are those of facts on receivers under open sky: Gloersen et al. (2018), Front Physiol
/// 9:1425, for the spread; correlation time about a minute.
fn lying_still(rate_hz: f64, drift_m: f64, white_m: f64, seed: u64) -> Trace {
    let mut rng = Rng::new(seed);
    let mut drift = [0, 1].map(|_| OrnsteinUhlenbeck::new(drift_m, 60.0, &mut rng));
    // Receivers smooth over a few seconds, so that the drift does not step from fix to fix.
    let mut seen: Option<[f64; 2]> = None;
    let dt_s = 1.0 / rate_hz;
    let places: Vec<(f64, [f64; 2])> = (0..(600.0 * rate_hz) as usize)
        .map(|k| {
            let wander = [drift[0].next(dt_s, &mut rng), drift[1].next(dt_s, &mut rng)];
            let before = seen.unwrap_or(wander);
            let now = [0, 1].map(|i| before[i] + (wander[i] - before[i]) * (dt_s / 10.0));
            seen = Some(now);
            (k as f64 * dt_s, now.map(|at| at + white_m * rng.normal()))
        })
        .collect();
    recording(places)
}

#[test]
fn standing_ten_minutes_adds_no_distance() {
    for seed in 1..=5 {
        let fast = distance_m(&smoothed(&lying_still(10.0, 0.6, 0.02, seed)));
        assert!(fast < 2.0, "10 Hz: {fast} m");
        let slow = distance_m(&smoothed(&lying_still(1.0, 2.0, 0.05, seed)));
        assert!(slow < 5.0, "1 Hz: {slow} m");
    }
}

/// Distance and speed of the mono-exponential sprint, Furusawa, Hill, Parkinson (1927), Proc R Soc B 102:29 (from memory).
fn sprint(t: f64) -> (f64, f64) {
    let (top_m_s, tau_s) = (9.0, 1.1);
    if t <= 0.0 {
        return (0.0, 0.0);
    }
    let speed = top_m_s * (1.0 - (-t / tau_s).exp());
    (top_m_s * t - tau_s * speed, speed)
}

#[test]
fn a_sprint_is_followed_at_ten_hertz() {
    let mut rng = Rng::new(3);
    let trace = recording((0..160).map(|k| {
        let t = f64::from(k) * 0.1;
        (
            t,
            [sprint(t - 6.0).0 + 0.02 * rng.normal(), 0.02 * rng.normal()],
        )
    }));
    let motion = smoothed(&trace);
    for sample in motion
        .samples
        .iter()
        .filter(|s| 7.0 < s.time_s && s.time_s < 15.0)
    {
        let (x_m, speed) = sprint(sample.time_s - 6.0);
        assert!(
            (sample.x_m - x_m).abs() < 0.1,
            "{sample:?}, true place {x_m}"
        );
        assert!(
            (sample.speed_m_s - speed).abs() < 0.25,
            "{sample:?}, true speed {speed}"
        );
    }
    assert!(
        motion
            .top_speed()
            .is_some_and(|top| top.holds(sprint(9.9).1)),
        "{:?}",
        motion.top_speed()
    );
}

#[test]
fn every_method_gives_the_speed_of_an_even_run() {
    let trace =
        recording((0..600).map(|k| (f64::from(k) * 0.1, [0.4 * f64::from(k), 0.3 * f64::from(k)])));
    for method in [
        Method::Kalman,
        Method::SavitzkyGolay { window_s: 1.0 },
        Method::Butterworth { cutoff_hz: 1.5 },
    ] {
        let motion = smoothed_by(&trace, method);
        let middle = &motion.samples[300];
        assert!(
            (middle.speed_m_s - 5.0).abs() < 0.01,
            "{method:?}: {middle:?}"
        );
    }
}

#[test]
fn a_gap_adds_no_distance() {
    let run =
        |from_s: f64| (0..300).map(move |k| (from_s + f64::from(k) * 0.1, f64::from(k) * 0.3));
    let near = recording(
        run(0.0)
            .chain(run(60.0).map(|(t, x)| (t, x + 90.0)))
            .map(|(t, x)| (t, [x, 0.0])),
    );
    let far = recording(
        run(0.0)
            .chain(run(60.0).map(|(t, x)| (t, x + 290.0)))
            .map(|(t, x)| (t, [x, 0.0])),
    );
    let (near, far) = (smoothed(&near), smoothed(&far));
    assert_eq!(near.runs.len(), 2);
    assert!((distance_m(&near) - distance_m(&far)).abs() < 1.0);
    assert!(
        (distance_m(&near) - 180.0).abs() < 3.0,
        "{}",
        distance_m(&near)
    );
}

/// The same session somewhere else, turned, and later changes nothing but its place, course and clock.
#[test]
fn place_turn_and_clock_change_nothing() {
    let session = simulation::session(31, Kind::Local25, Mess::Usual).trace();
    let (sin, cos) = 0.7_f64.sin_cos();
    let mut moved = session.clone();
    for fix in &mut moved.fixes {
        fix.time_s += 3600.0;
        if let Some(Position::Local { x_m, y_m }) = fix.position {
            fix.position = Some(Position::Local {
                x_m: 500.0 + cos * x_m - sin * y_m,
                y_m: -200.0 + sin * x_m + cos * y_m,
            });
        }
    }
    let (here, there) = (smoothed(&session), smoothed(&moved));
    assert_eq!(here.samples.len(), there.samples.len());
    // Rounding of large coordinates, through a search for noise levels that compares likelihoods: 1e-3 is plenty.
    assert!((distance_m(&here) / distance_m(&there) - 1.0).abs() < 1e-3);
    let worst = here
        .samples
        .iter()
        .zip(&there.samples)
        .map(|(a, b)| (a.speed_m_s - b.speed_m_s).abs())
        .fold(0.0, f64::max);
    assert!(worst < 0.02, "{worst} m/s");
}

#[test]
fn what_a_motion_says_is_finite_and_in_order() {
    for kind in Kind::ALL {
        let motion = smoothed(&simulation::session(8, kind, Mess::Messy).trace());
        assert!(motion.samples.windows(2).all(|w| w[0].time_s < w[1].time_s));
        assert!(
            motion
                .samples
                .windows(2)
                .all(|w| w[0].travel_m <= w[1].travel_m)
        );
        for s in &motion.samples {
            let numbers = [
                s.x_m,
                s.y_m,
                s.vx_m_s,
                s.vy_m_s,
                s.speed_m_s,
                s.acceleration_m_s2,
                s.travel_m,
            ];
            let spreads = [s.position_sd_m, s.speed_sd_m_s, s.acceleration_sd_m_s2];
            assert!(
                numbers.iter().all(|n| n.is_finite()) && s.speed_m_s >= 0.0,
                "{kind:?}: {s:?}"
            );
            assert!(
                spreads.iter().all(|n| n.is_finite() && *n >= 0.0),
                "{kind:?}: {s:?}"
            );
        }
        let covered: usize = motion.runs.iter().map(ExactSizeIterator::len).sum();
        assert_eq!(covered, motion.samples.len());
    }
}

/// A coarse watch over what `cargo bench --bench accuracy` measures finely: distance and top speed of a few sessions.
#[test]
fn simulated_truth_is_met() {
    // Shares of the truth; about three times what the bench finds in the mean.
    let bounds = [
        (Kind::Unit10, 0.02, 0.05),
        (Kind::Unit5, 0.02, 0.05),
        (Kind::Local25, 0.02, 0.03),
        // One watch in ten smooths its velocity as a vector, and turns swallow distance.
        (Kind::Watch1v, 0.12, 0.10),
        (Kind::Watch1, 0.12, 0.12),
    ];
    for (kind, distance_share, top_share) in bounds {
        for seed in 400..403 {
            let session = simulation::plain_session(seed, kind, Mess::Usual);
            let motion = smoothed(&session.trace());
            let distance = distance_m(&motion) / session.truth.distance_m - 1.0;
            assert!(
                distance.abs() < distance_share,
                "{kind:?} {seed}: distance off by {distance}"
            );
            let top = motion.top_speed().expect("there is speed").value
                / session.truth.top_speed_m_s
                - 1.0;
            assert!(
                top.abs() < top_share,
                "{kind:?} {seed}: top speed off by {top}"
            );
        }
    }
}

/// Short efforts as a watch writes them: positions through its own low-pass of 1 s, a fix a second. Left alone, a chord
/// between fixes reads such a peak 17 % (1.5 s), 12 % (2 s) and 6 % (3 s) low, by what sampling alone does (worked out from
/// the curve 8.5 (1 - exp(-t / 1.1)) braked at 4 m/s2). The interval must hold the truth at every phase of the fixes, and
/// reach farther above the value than below.
#[test]
fn the_peak_of_a_short_effort_is_held_by_the_interval_at_any_phase() {
    let (mut held, mut all) = (0, 0);
    for seconds in [1.5, 2.0, 3.0] {
        let peak_m_s = 8.5 * (1.0 - f64::exp(-seconds / 1.1));
        for phase in 0..5 {
            let (trace, starts_s) = short_efforts(seconds, peak_m_s, f64::from(phase) * 0.2);
            let motion = smoothed(&trace);
            for start_s in starts_s {
                let window = motion.window(start_s - 1.0, start_s + seconds + 4.0);
                let peak = motion.peak_speed(window);
                assert!(peak.high - peak.value > peak.value - peak.low);
                all += 1;
                held += usize::from(peak.holds(peak_m_s));
            }
        }
    }
    assert!(20 * held >= 18 * all, "{held} of {all}");
}

/// A recording in metres of efforts of so many seconds, and when each starts, in seconds from the first fix.
fn short_efforts(seconds: f64, peak_m_s: f64, phase_s: f64) -> (Trace, Vec<f64>) {
    const STEP_S: f64 = 0.01;
    let mut speeds = vec![0.0; 2500];
    let mut starts_s = Vec::new();
    for _ in 0..8 {
        starts_s.push(speeds.len() as f64 * STEP_S - phase_s);
        let up = (seconds / STEP_S) as usize;
        speeds.extend((0..up).map(|k| 8.5 * (1.0 - f64::exp(-(k as f64) * STEP_S / 1.1))));
        let down = (peak_m_s / 4.0 / STEP_S) as usize;
        speeds.extend((0..down).map(|k| peak_m_s - 4.0 * k as f64 * STEP_S));
        // Each effort meets the fixes at another phase.
        speeds.extend(std::iter::repeat_n(0.0, 3037));
    }
    let mut fixes = Vec::new();
    let (mut x_m, mut seen_m) = (0.0, 0.0);
    let first = (phase_s / STEP_S).round() as usize;
    for (k, speed) in speeds.iter().enumerate() {
        x_m += speed * STEP_S;
        seen_m += (x_m - seen_m) * STEP_S;
        if k >= first && (k - first).is_multiple_of(100) {
            fixes.push((((k - first) / 100) as f64, [seen_m, 0.0]));
        }
    }
    (recording(fixes), starts_s)
}
