//! The truth simulator: what it calls the truth can be checked by hand.

mod outlook;

use std::fs;
use std::path::Path;

use repledger::plan::{self, Block, Category, Dose, Header, Plan, Rest, Target, Work};
use repledger::simulation::{
    At, Athlete, Departure, Departures, Kind, Mess, OrnsteinUhlenbeck, Outcome, Rng, demo, execute,
    plans, session,
};
use repledger::trace::{self, Position};

fn block(category: Category, dose: Dose) -> Block {
    Block {
        rest: Rest::Timed(30.0),
        ..Block::new(category, dose)
    }
}

fn sprints(metres: f64, reps: u32) -> Plan {
    let dose = Dose::Reps {
        sets: 1,
        reps,
        work: Work::Distance(metres),
    };
    Plan {
        header: Header::default(),
        blocks: vec![block(Category::Speed, dose)],
    }
}

/// Times at 5, 10, 15, 20, 30, 40 m of a mono-exponential sprint with 9.0 m/s and 1.2 s, computed from
/// x(t) = vmax (t - tau (1 - exp(-t/tau))) (Furusawa, Hill and Parkinson 1927).
#[test]
fn an_exact_sprint_takes_the_times_of_the_formula() {
    let want = [
        (5.0, 1.3735),
        (10.0, 2.1031),
        (15.0, 2.7448),
        (20.0, 3.3486),
        (30.0, 4.5052),
        (40.0, 5.6335),
    ];
    for (metres, seconds) in want {
        let mut plan = sprints(metres, 1);
        plan.header.top_speed_m_s = Some(9.0);
        let athlete = Athlete::exact(9.0, 1.2);
        let truth = execute(&plan, &athlete, &Departures::clean(), 1).expect("a plan of minutes");
        let run = truth.reps[0].run.expect("it was run");
        let took = run.end_s - run.start_s;
        // One step of the simulation is 0.01 s.
        assert!(
            (took - seconds).abs() <= 0.011,
            "{metres} m: {took} s, not {seconds} s"
        );
        // The 2 Hz low-pass looks a quarter of a second ahead into the braking, a few centimetres of way.
        assert!(
            (run.distance_m - metres).abs() < 0.15,
            "{} m",
            run.distance_m
        );
    }
}

/// Every rep of a set whose reps differ is run as long as it was planned, with rests, run on between lines and without.
#[test]
fn reps_that_differ_are_run_as_they_were_planned() {
    let by_metres = [10.0, 20.0, 30.0, 20.0, 10.0];
    let by_seconds = [15.0, 30.0, 45.0, 30.0, 15.0];
    for (line, metres, seconds) in [
        ("speed 10-20-30-20-10 m, walk back", Some(by_metres), None),
        ("resistance 10-20-30-20-10 m", Some(by_metres), None),
        (
            "resistance 15/30/45/30/15 s, rest 30 s",
            None,
            Some(by_seconds),
        ),
        ("resistance 15/30/45/30/15 s", None, Some(by_seconds)),
        ("game 15/30/45/30/15 s", None, Some(by_seconds)),
    ] {
        let plan = plan::parse(line).expect("a plan");
        let athlete = Athlete::exact(8.6, 1.2);
        let truth = execute(&plan, &athlete, &Departures::clean(), 5).expect("a plan of minutes");
        assert_eq!(truth.reps.len(), 5, "{line}");
        for (rep, run) in truth.reps.iter().enumerate() {
            let run = run.run.expect("it was run");
            if let Some(metres) = metres {
                // A turn on a line takes half a metre of the way off.
                let off = run.distance_m - metres[rep];
                assert!(
                    off.abs() < 0.8,
                    "{line}: rep {}, {} m",
                    rep + 1,
                    run.distance_m
                );
            }
            if let Some(seconds) = seconds {
                let off = run.end_s - run.start_s - seconds[rep];
                assert!(off.abs() < 0.6, "{line}: rep {}, {off} s off", rep + 1);
            }
        }
    }
}

#[test]
fn a_rep_left_out_is_missed_and_its_neighbours_rest_longer() {
    let plan = sprints(30.0, 4);
    let at = At {
        block: 0,
        set: 1,
        rep: 2,
    };
    let departures = Departures {
        list: vec![Departure::LeaveOut { at, waits: true }],
    };
    let athlete = Athlete::exact(9.0, 1.2);
    let truth = execute(&plan, &athlete, &departures, 3).expect("a plan of minutes");
    let outcomes: Vec<Outcome> = truth.reps.iter().map(|r| r.outcome).collect();
    assert_eq!(
        outcomes,
        [Outcome::Done, Outcome::Missed, Outcome::Done, Outcome::Done]
    );
    let rest = |i: usize| truth.reps[i].rest_s;
    assert!(
        (rest(2).expect("rest") - 30.0).abs() < 0.05,
        "{:?}",
        rest(2)
    );
    assert!(rest(0).expect("rest") > 60.0);
    assert_eq!(rest(3), None);
}

#[test]
fn a_cut_rep_is_short_by_its_share() {
    let plan = sprints(40.0, 2);
    let at = At {
        block: 0,
        set: 1,
        rep: 1,
    };
    let departures = Departures {
        list: vec![Departure::Cut { at, share: 0.5 }],
    };
    let truth =
        execute(&plan, &Athlete::exact(9.0, 1.2), &departures, 3).expect("a plan of minutes");
    assert_eq!(truth.reps[0].outcome, Outcome::Short);
    let metres = truth.reps[0].run.expect("run").distance_m;
    assert!((metres - 20.0).abs() < 0.15, "{metres}");
}

#[test]
fn shuttles_that_run_on_are_counted_inside_one_bout() {
    let mut plan = sprints(1.0, 1);
    plan.blocks[0] = Block {
        over_m: Some(9.0),
        there_and_back: true,
        rest: Rest::RunOn,
        ..block(
            Category::Strength,
            Dose::Reps {
                sets: 2,
                reps: 5,
                work: Work::Count,
            },
        )
    };
    plan.blocks[0].between_sets_s = Some(75.0);
    let truth = execute(&plan, &Athlete::exact(8.0, 1.1), &Departures::clean(), 5)
        .expect("a plan of minutes");
    assert_eq!(truth.reps.len(), 10);
    for pair in truth.reps[..5].windows(2) {
        let (a, b) = (pair[0].run.expect("run"), pair[1].run.expect("run"));
        assert!((b.start_s - a.end_s).abs() < 1e-9);
        // Out and home over 9 m; the smoothed vector cuts the corner at the turns.
        assert!((a.distance_m - 18.0).abs() < 1.0, "{}", a.distance_m);
    }
    let rest = truth.reps[4].rest_after_set_s.expect("rest after the set");
    assert!((rest - 75.0).abs() < 0.05, "{rest}");
}

/// Standard deviation of speed from differenced positions, sd 2 m and 1 m, T 60 s: computed from sd sqrt(2 (1 - phi))/dt.
#[test]
fn the_slow_error_differs_from_fix_to_fix_as_the_formula_says() {
    for (sd, dt, want) in [
        (2.0, 1.0, 0.364),
        (2.0, 0.2, 0.816),
        (2.0, 0.1, 1.154),
        (1.0, 1.0, 0.182),
        (1.0, 0.1, 0.577),
    ] {
        let mut rng = Rng::new(9);
        let mut process = OrnsteinUhlenbeck::new(sd, 60.0, &mut rng);
        let n = 100_000;
        let mut sum = 0.0;
        let mut before = process.value;
        for _ in 0..n {
            let now = process.next(dt, &mut rng);
            sum += ((now - before) / dt).powi(2);
            before = now;
        }
        let got = (sum / f64::from(n)).sqrt();
        // The standard error of such an estimate is 0.2 %.
        assert!((got / want - 1.0).abs() < 0.012, "{got} {want}");
    }
}

#[test]
fn a_seed_gives_the_same_bytes_again() {
    for kind in Kind::ALL {
        let (a, b) = (session(4, kind, Mess::Usual), session(4, kind, Mess::Usual));
        assert_eq!(a.bytes(), b.bytes());
    }
    let other = session(5, Kind::Watch1, Mess::Usual);
    assert_ne!(session(4, Kind::Watch1, Mess::Usual).bytes(), other.bytes());
}

#[test]
fn clean_sessions_are_done_as_planned() {
    for seed in 0..6 {
        let one = session(seed, Kind::Watch1, Mess::Clean);
        for rep in &one.truth.reps {
            assert_eq!(rep.outcome, Outcome::Done, "seed {seed}: {rep:?}");
            let run = rep.run.expect("run");
            assert!(run.start_s < run.end_s && run.end_s <= one.truth.duration_s());
        }
        let minutes = one.truth.duration_s() / 60.0;
        assert!(
            (15.0..150.0).contains(&minutes),
            "seed {seed}: {minutes} min"
        );
    }
}

#[test]
fn the_files_read_as_the_recordings_that_they_hold() {
    for kind in Kind::ALL {
        let one = session(11, kind, Mess::Usual);
        let read = trace::read(&one.bytes(), &trace::Options::default()).expect("readable");
        let made = one.trace();
        assert_eq!(read.clock, made.clock, "{kind:?}");
        assert_eq!(read.fixes.len(), made.fixes.len(), "{kind:?}");
        for (a, b) in read.fixes.iter().zip(&made.fixes) {
            assert!((a.time_s - b.time_s).abs() < 1e-6, "{kind:?}: {a:?} {b:?}");
            assert_eq!(a.position, b.position, "{kind:?}");
            assert_eq!(a.speed_m_s, b.speed_m_s, "{kind:?}");
            assert_eq!(a.heart_rate_bpm, b.heart_rate_bpm, "{kind:?}");
            assert_eq!(a.line, b.line, "{kind:?}");
        }
        assert!(
            read.set_aside.is_empty() && read.defects.is_empty(),
            "{kind:?}: {:?}",
            read.defects
        );
    }
}

fn fixture(name: &str) -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("fixtures")
        .join(name);
    fs::read(path).expect("a fixture")
}

/// `cargo bench --bench accuracy -- --demo` wrote the files. Values are compared to the last digit written and not the
/// bytes, because logarithm and cosine differ in their last bits from one platform to the next.
#[test]
fn the_shipped_recordings_are_those_of_the_shipped_plan() {
    let text = String::from_utf8(fixture("plans/demo.plan")).expect("UTF-8");
    let plan = plan::parse(&text).expect("a plan");
    for (kind, name) in [
        (Kind::Watch1v, "traces/demo_1hz.gpx"),
        (Kind::Unit10, "traces/demo_10hz.csv"),
    ] {
        let made = demo(&plan, kind).expect("a plan of 70 minutes").trace();
        let read = trace::read(&fixture(name), &trace::Options::default()).expect("readable");
        assert_eq!(read.clock, made.clock);
        assert_eq!(read.fixes.len(), made.fixes.len());
        for (a, b) in read.fixes.iter().zip(&made.fixes) {
            assert!((a.time_s - b.time_s).abs() < 1e-6);
            let (
                Some(Position::Geodetic {
                    latitude_deg: lat,
                    longitude_deg: lon,
                }),
                Some(Position::Geodetic {
                    latitude_deg,
                    longitude_deg,
                }),
            ) = (a.position, b.position)
            else {
                panic!("{a:?} {b:?}");
            };
            assert!(
                (lat - latitude_deg).abs() < 1.5e-7 && (lon - longitude_deg).abs() < 1.5e-7,
                "{a:?} {b:?}"
            );
            let difference = a.speed_m_s.expect("speed") - b.speed_m_s.expect("speed");
            assert!(difference.abs() < 0.015, "{a:?} {b:?}");
        }
    }
}

#[test]
fn the_demo_goes_as_its_description_says() {
    let text = String::from_utf8(fixture("plans/demo.plan")).expect("UTF-8");
    let plan = plan::parse(&text).expect("a plan");
    let truth = demo(&plan, Kind::Unit10)
        .expect("a plan of 70 minutes")
        .truth;
    assert_eq!(truth.reps.len(), 45);
    let odd: Vec<_> = (truth.reps.iter())
        .filter(|r| r.outcome != Outcome::Done)
        .map(|r| (r.block, r.set, r.rep, r.outcome))
        .collect();
    assert_eq!(
        odd,
        [
            (4, 2, 5, Outcome::Missed),
            (5, 1, 3, Outcome::Short),
            (6, 1, 5, Outcome::Slow)
        ]
    );
    assert_eq!(truth.unplanned.len(), 1);
}

#[test]
fn random_plans_can_be_written_and_read() {
    for seed in 0..200 {
        let mut rng = Rng::new(seed);
        let athlete = Athlete::random(&mut rng);
        let plan = plans::random(&athlete, &mut rng);
        let text = plan.to_string();
        let mut read = plan::parse(&text).unwrap_or_else(|m| panic!("{text}\n{m:?}"));
        for (a, b) in read.blocks.iter_mut().zip(&plan.blocks) {
            a.line = b.line;
        }
        assert_eq!(read, plan, "{text}");
    }
}

#[test]
fn a_plan_of_days_is_refused() {
    let plan = sprints(30.0, 10_000);
    let refused = execute(&plan, &Athlete::exact(9.0, 1.2), &Departures::clean(), 1);
    assert!(refused.is_err());
}

#[test]
fn nobody_outruns_himself() {
    let mut plan = sprints(30.0, 2);
    plan.blocks[0].target = Some(Target::Speed(40.0));
    let truth = execute(&plan, &Athlete::exact(9.0, 1.2), &Departures::clean(), 1)
        .expect("a plan of minutes");
    assert!(truth.top_speed_m_s < 9.5);
    assert!(truth.reps.iter().all(|r| r.outcome == Outcome::Slow));
}
