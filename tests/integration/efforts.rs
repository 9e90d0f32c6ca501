//! Efforts through the whole chain: a recording in, sprints out.

use std::fmt::Write as _;

use repledger::efforts::{self, Effort, Kind, LEAST_RATE_HZ};
use repledger::note::Note;
use repledger::session::{self, Session};
use repledger::settings::Settings;
use repledger::simulation::{self, Mess, Span};
use repledger::trace;

fn account(table: &str) -> Session {
    let settings = Settings::default();
    let trace = trace::read(table.as_bytes(), &settings.trace).expect("the table can be read");
    session::account(trace, None, &settings).expect("the recording holds motion")
}

/// Usain Bolt, Berlin 2009, 9.58 s: reaction time 0.146 s, then times at 10 to 100 m, s. Graubner and Nixdorf (2011),
/// Biomechanical analysis of the sprint and hurdles events at the 2009 IAAF World Championships, New Stud Athl 26(1/2):19
/// (as quoted by others; one copy has 1.88 and 8.74). The highest speed was 12.34 to 12.35 m/s near 65 to 70 m.
const BERLIN_S: [f64; 11] = [
    0.146, 1.89, 2.88, 3.78, 4.64, 5.47, 6.29, 7.10, 7.92, 8.75, 9.58,
];

/// Distance over time through the splits: a monotone cubic, so that speed runs without corners.
///
/// Slopes at the splits after Fritsch and Carlson (1980), SIAM J Numer Anal 17:238, as the harmonic mean of the mean speeds
/// on both sides (Butland's form); from memory.
fn berlin_m(time_s: f64) -> f64 {
    let mean = |k: usize| 10.0 / (BERLIN_S[k + 1] - BERLIN_S[k]);
    let slope = |k: usize| match k {
        0 => 0.0,
        10 => mean(9),
        _ => 2.0 / (1.0 / mean(k - 1) + 1.0 / mean(k)),
    };
    if time_s <= BERLIN_S[0] {
        return 0.0;
    }
    let Some(k) = (0..10).find(|&k| time_s < BERLIN_S[k + 1]) else {
        return 100.0 + slope(10) * (time_s - BERLIN_S[10]);
    };
    let (from_s, to_s) = (BERLIN_S[k], BERLIN_S[k + 1]);
    let h = to_s - from_s;
    let u = (time_s - from_s) / h;
    let from_m = 10.0 * k as f64;
    from_m + 10.0 * u * u * (3.0 - 2.0 * u) + h * slope(k) * u * (1.0 - u) * (1.0 - u)
        - h * slope(k + 1) * u * u * (1.0 - u)
}

/// The race between two minutes of standing at the start and braking evenly after the line: time, distance, speed.
fn race() -> impl Iterator<Item = (f64, f64, f64)> {
    let (wait_s, brake_m_s2) = (120.0, 2.5);
    let rate_hz = 10.0;
    let line_m_s = berlin_m(9.59) - berlin_m(9.58);
    let line_m_s = line_m_s / 0.01;
    let at = move |t: f64| {
        let since_line_s = (t - 9.58_f64).clamp(0.0, line_m_s / brake_m_s2);
        if t <= 9.58 {
            berlin_m(t)
        } else {
            100.0 + line_m_s * since_line_s - brake_m_s2 * since_line_s * since_line_s / 2.0
        }
    };
    (0..1600).map(move |k| {
        let time_s = f64::from(k) / rate_hz;
        let t = time_s - wait_s;
        (time_s, at(t), (at(t + 1e-4) - at(t - 1e-4)) / 2e-4)
    })
}

/// The one sprint of a race: top speed between 12.2 and 12.4 m/s and over 7 m/s for about nine tenths of the time.
fn check_race(session: &Session) {
    let sprints: Vec<&Effort> = session.efforts.of_kind(Kind::Sprint).collect();
    let [sprint] = sprints[..] else {
        panic!("one sprint expected, found {sprints:?}");
    };
    let top = session
        .review
        .totals
        .top_speed_m_s
        .expect("there is a top speed");
    assert!(12.2 <= top.value && top.value <= 12.4, "top speed {top:?}");
    assert!(
        top.holds(12.345),
        "{top:?} misses the published 12.34 to 12.35 m/s"
    );
    assert_eq!(sprint.peak_speed_m_s, top);

    let fast: Vec<f64> = race()
        .filter(|&(.., speed)| speed >= 7.0)
        .map(|(time_s, ..)| time_s)
        .collect();
    let (start_s, end_s) = (fast[0], fast[fast.len() - 1]);
    assert!(
        (sprint.start_s - start_s).abs() < 0.25,
        "{} for {start_s}",
        sprint.start_s
    );
    assert!(
        (sprint.end_s - end_s).abs() < 0.25,
        "{} for {end_s}",
        sprint.end_s
    );
    let said = session.efforts.not_counted.clone();
    assert_eq!(
        said,
        (!session.motion.has_position).then_some(Note::NoTurns)
    );
    assert!(session.efforts.of_kind(Kind::Acceleration).count() >= 1);
    assert_eq!(session.efforts.of_kind(Kind::Turn).count(), 0);
}

#[test]
fn the_hundred_metres_of_berlin_from_positions() {
    let mut table = String::from("time (s),x (m),y (m)\n");
    for (time_s, distance_m, _) in race() {
        // North by east, so that both axes carry part of it.
        let _ = writeln!(
            table,
            "{time_s:.1},{:.3},{:.3}",
            0.6 * distance_m,
            0.8 * distance_m
        );
    }
    check_race(&account(&table));
}

#[test]
fn the_hundred_metres_of_berlin_from_receiver_speed() {
    let mut table = String::from("time (s),speed (m/s)\n");
    for (time_s, _, speed) in race() {
        let _ = writeln!(table, "{time_s:.1},{speed:.2}");
    }
    check_race(&account(&table));
}

#[test]
fn below_five_fixes_a_second_accelerations_and_turns_are_not_counted() {
    for (kind, counted) in [
        (simulation::Kind::Unit10, true),
        (simulation::Kind::Unit5, true),
        (simulation::Kind::Watch1v, false),
        (simulation::Kind::WatchSparse, false),
    ] {
        let simulated = simulation::session(3, kind, Mess::Clean);
        let session = session::account(simulated.trace(), None, &Settings::default())
            .expect("it holds motion");
        let hard =
            |e: &&Effort| matches!(e.kind, Kind::Acceleration | Kind::Deceleration | Kind::Turn);
        let count = session.efforts.list.iter().filter(hard).count();
        assert_eq!(count > 0, counted, "{} has {count}", kind.word());
        assert_eq!(
            session.efforts.not_counted.is_none(),
            counted,
            "{}",
            kind.word()
        );
        assert_eq!(
            session.motion.rate_hz >= 0.98 * LEAST_RATE_HZ,
            counted,
            "{}",
            kind.word()
        );
        let with_peak = session
            .efforts
            .list
            .iter()
            .filter(|e| e.peak_acceleration_m_s2.is_some())
            .count();
        assert_eq!(with_peak > 0, counted, "{}", kind.word());
    }
}

/// How many of the true efforts were found, how many found are not true, and how many of the true ones were missed
/// although a threshold 3 % stricter finds them.
#[derive(Default)]
struct Score {
    found: usize,
    invented: usize,
    missed: usize,
    missed_clear: usize,
}

impl Score {
    fn add(&mut self, truth: &[Span], found: &[&Effort]) {
        let meet = |effort: &Effort, span: &Span| {
            effort.start_s < span.end_s && span.start_s < effort.end_s
        };
        self.invented += found
            .iter()
            .filter(|effort| !truth.iter().any(|span| meet(effort, span)))
            .count();
        for span in truth {
            if found.iter().any(|effort| meet(effort, span)) {
                self.found += 1;
            } else {
                self.missed += 1;
                self.missed_clear += usize::from(span.clear);
            }
        }
    }

    fn f1(&self) -> f64 {
        2.0 * self.found as f64 / (2 * self.found + self.invented + self.missed) as f64
    }
}

#[test]
fn efforts_of_simulated_sessions_are_those_of_the_truth() {
    let (mut sprints, mut runs, mut bursts) =
        (Score::default(), Score::default(), Score::default());
    for seed in 0..6 {
        let simulated = simulation::session(seed, simulation::Kind::Unit10, Mess::Usual);
        let session = session::account(simulated.trace(), None, &Settings::default())
            .expect("it holds motion");
        let of = |kind: Kind| session.efforts.of_kind(kind).collect::<Vec<_>>();
        sprints.add(&simulated.truth.sprints, &of(Kind::Sprint));
        runs.add(&simulated.truth.high_speed_runs, &of(Kind::HighSpeedRun));
        bursts.add(&simulated.truth.accelerations, &of(Kind::Acceleration));
    }
    // Most errors are efforts at the very threshold; none that is clear of it may be missed.
    assert!(
        sprints.found > 20,
        "too few sprints to judge by: {}",
        sprints.found
    );
    assert!(sprints.f1() > 0.9, "sprints {}", sprints.f1());
    assert_eq!(sprints.missed_clear, 0);
    assert!(runs.f1() > 0.95, "high-speed runs {}", runs.f1());
    assert!(bursts.f1() > 0.85, "accelerations {}", bursts.f1());
}

#[test]
fn bands_sum_to_the_session() {
    for kind in [simulation::Kind::Unit10, simulation::Kind::Phone1] {
        let simulated = simulation::session(5, kind, Mess::Usual);
        let settings = Settings::default();
        let session =
            session::account(simulated.trace(), None, &settings).expect("it holds motion");
        let bands = efforts::bands(&session.motion, &settings.efforts.bands);
        let distance_m: f64 = bands.iter().map(|band| band.distance_m).sum();
        let time_s: f64 = bands.iter().map(|band| band.time_s).sum();
        let samples = &session.motion.samples;
        let runs_s: f64 = session
            .motion
            .runs
            .iter()
            .map(|run| samples[run.end - 1].time_s - samples[run.start].time_s)
            .sum();
        assert!(
            (time_s - runs_s).abs() < 1e-6 * runs_s,
            "{time_s} s for {runs_s}"
        );
        let total_m = session.review.totals.distance_m.value;
        assert!(
            (distance_m - total_m).abs() < 0.001 * total_m,
            "{distance_m} m for {total_m}"
        );
    }
}
