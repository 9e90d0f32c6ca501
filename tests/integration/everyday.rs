//! Recordings as they come: by car to the pitch, paused by the watch itself, forgotten on a shelf, in two files. All are
//! derived from the demo, whose account is known.

use jiff::{SignedDuration, Timestamp};
use repledger::plan::{self, Plan};
use repledger::report::{reason, terminal};
use repledger::review::Verdict;
use repledger::session::{self, Session};
use repledger::settings::Settings;
use repledger::simulation::{self, Kind, Mess};
use repledger::trace::{self, Options};
use repledger::track::Reason;

/// A point of the demo.
#[derive(Clone, Debug)]
struct Point {
    time: Timestamp,
    lat_deg: f64,
    lon_deg: f64,
    speed_m_s: f64,
}

/// Metres of a degree of latitude, and of one of longitude where the demo was made: near enough for a way.
const LAT_M: f64 = 111_000.0;
const LON_M: f64 = 87_500.0;

/// The points of the demo at 1 Hz.
fn demo() -> Vec<Point> {
    let text = std::fs::read_to_string("fixtures/traces/demo_1hz.gpx").expect("the demo");
    let between = |line: &str, from: &str, to: &str| -> Option<String> {
        let rest = line.split_once(from)?.1;
        Some(rest.split_once(to)?.0.to_owned())
    };
    let point = |line: &str| {
        Some(Point {
            lat_deg: between(line, "lat=\"", "\"")?.parse().ok()?,
            lon_deg: between(line, "lon=\"", "\"")?.parse().ok()?,
            time: between(line, "<time>", "</time>")?.parse().ok()?,
            speed_m_s: between(line, "<s:speed>", "</s:speed>")?.parse().ok()?,
        })
    };
    text.lines().filter_map(point).collect()
}

fn gpx(segments: &[Vec<Point>]) -> String {
    let point = |p: &Point| {
        format!(
            "<trkpt lat=\"{:.7}\" lon=\"{:.7}\"><time>{}</time><extensions><s:speed>{:.2}</s:speed></extensions></trkpt>",
            p.lat_deg, p.lon_deg, p.time, p.speed_m_s
        )
    };
    let segment = |points: &Vec<Point>| {
        let points: Vec<String> = points.iter().map(point).collect();
        format!("<trkseg>\n{}\n</trkseg>\n", points.join("\n"))
    };
    let segments: Vec<String> = segments.iter().map(segment).collect();
    let head = "<gpx version=\"1.1\" xmlns:s=\"urn:repledger:sensor\"><trk>\n";
    [head, &segments.concat(), "</trk></gpx>\n"].concat()
}

/// Legs of so many seconds at a speed in a direction, a point a second, without jerks; the way from the first point.
fn ride(legs: &[(u32, f64, f64)]) -> Vec<(f64, f64, f64)> {
    let (mut x_m, mut y_m, mut speed) = (0.0, 0.0, 0.0_f64);
    let mut way = Vec::new();
    for &(seconds, wanted, direction_deg) in legs {
        let (sin, cos) = f64::to_radians(direction_deg).sin_cos();
        for _ in 0..seconds {
            speed += (wanted - speed).clamp(-2.5, 1.8);
            x_m += speed * cos;
            y_m += speed * sin;
            way.push((x_m, y_m, speed));
        }
    }
    way
}

/// Seven minutes through a town: halts, corners, up to 50 km/h.
const CAR: &[(u32, f64, f64)] = &[
    (20, 0.0, 0.0),
    (40, 8.0, 40.0),
    (60, 13.9, 70.0),
    (35, 0.0, 70.0),
    (60, 11.0, 10.0),
    (25, 5.0, 70.0),
    (60, 13.9, 90.0),
    (40, 0.0, 90.0),
    (50, 8.0, 0.0),
    (30, 3.0, 40.0),
];
/// Nearly four minutes at 7 m/s.
const BICYCLE: &[(u32, f64, f64)] = &[
    (10, 0.0, 0.0),
    (70, 7.0, 200.0),
    (60, 7.0, 150.0),
    (10, 2.0, 150.0),
    (70, 7.0, 220.0),
];

/// The demo with a ride before it that ends where it begins.
fn before(legs: &[(u32, f64, f64)]) -> Vec<Point> {
    let demo = demo();
    let way = ride(legs);
    let (end, first) = (way[way.len() - 1], &demo[0]);
    let mut points: Vec<Point> = way
        .iter()
        .zip((1..=way.len() as u32).rev())
        .map(|((x_m, y_m, speed_m_s), earlier_s)| Point {
            time: first.time - SignedDuration::from_secs(i64::from(earlier_s)),
            lat_deg: first.lat_deg + (y_m - end.1) / LAT_M,
            lon_deg: first.lon_deg + (x_m - end.0) / LON_M,
            speed_m_s: *speed_m_s,
        })
        .collect();
    points.extend(demo);
    points
}

/// The demo with a ride after it.
fn after(legs: &[(u32, f64, f64)]) -> Vec<Point> {
    let mut points = demo();
    let last = points[points.len() - 1].clone();
    points.extend(ride(legs).iter().zip(1_i64..).map(|(way, later_s)| Point {
        time: last.time + SignedDuration::from_secs(later_s),
        lat_deg: last.lat_deg + way.1 / LAT_M,
        lon_deg: last.lon_deg + way.0 / LON_M,
        speed_m_s: way.2,
    }));
    points
}

/// The demo by a watch that stops writing when he has stood for so long, and begins again when he has moved for so long.
fn paused(still_s: usize, moving_s: usize) -> Vec<Vec<Point>> {
    let (mut segments, mut writes, mut since) = (vec![Vec::new()], true, 0);
    for point in demo() {
        let changes = if writes {
            point.speed_m_s < 0.6
        } else {
            point.speed_m_s > 0.9
        };
        since = if changes { since + 1 } else { 0 };
        if since > if writes { still_s } else { moving_s } {
            writes = !writes;
            since = 0;
            if writes {
                segments.push(Vec::new());
            }
        }
        if writes && let Some(segment) = segments.last_mut() {
            segment.push(point);
        }
    }
    segments
}

fn planned() -> Plan {
    let text = std::fs::read_to_string("fixtures/plans/demo.plan").expect("the plan of the demo");
    plan::parse(&text).expect("the plan of the demo")
}

fn account(segments: &[Vec<Point>], settings: &Settings) -> Session {
    session::analyse(gpx(segments).as_bytes(), Some(&planned()), settings).expect("a session")
}

fn usual(segments: &[Vec<Point>]) -> Session {
    account(segments, &Settings::default())
}

/// The verdicts of the blocks that are run rep by rep.
fn verdicts(session: &Session) -> Vec<Verdict> {
    let review = session.review.plan.as_ref().expect("a plan was given");
    let reps = review.blocks[2..7].iter().flat_map(|b| &b.sets);
    reps.flat_map(|s| &s.reps).map(|r| r.verdict).collect()
}

#[test]
fn by_car_to_the_pitch_the_account_is_that_of_the_session_alone() {
    let alone = usual(&[demo()]);
    let by_car = usual(&[before(CAR)]);
    assert_eq!(by_car.review.plan, alone.review.plan);
    assert_eq!(by_car.efforts.list, alone.efforts.list);
    assert_eq!(by_car.motion.samples, alone.motion.samples);
    assert_eq!(by_car.track.start, alone.track.start);
    let [left_out] = by_car.track.left_out.as_slice() else {
        panic!("{:?}", by_car.track.left_out);
    };
    assert_eq!(left_out.reason, Reason::OnTheWay);
    assert!(
        (left_out.start_s, left_out.end_s) == (-420.0, 0.0),
        "{left_out:?}"
    );
    assert!(
        (3000.0..3500.0).contains(&left_out.distance_m),
        "{left_out:?}"
    );
    let aside: usize = by_car.track.set_aside.iter().map(|s| s.count).sum();
    assert_eq!(aside, 420);
    assert_eq!(by_car.track.points.len() + aside, by_car.track.fixes);
    let text = anstream::adapter::strip_str(&terminal::render(&by_car)).to_string();
    let line = "\nLeft out   7:00 on the way, 3.2 km, up to 14 m/s (50 km/h)\n";
    assert!(text.contains(line), "{text}");
}

#[test]
fn a_setting_counts_all() {
    let mut settings = Settings::default();
    settings.track.leave_out = false;
    let all = account(&[before(CAR)], &settings);
    assert!(all.track.left_out.is_empty() && all.track.set_aside.is_empty());
    let top = all.review.totals.top_speed_m_s.map_or(0.0, |top| top.value);
    assert!(top > 13.0, "{top}");
}

#[test]
fn the_way_home_and_an_hour_on_a_shelf_change_no_number() {
    let alone = usual(&[demo()]);
    for legs in [CAR, BICYCLE, &[CAR, &[(3600, 0.0, 0.0)]].concat()] {
        let home = usual(&[after(legs)]);
        assert_eq!(verdicts(&home), verdicts(&alone));
        let (far, near) = (
            home.review.totals.distance_m.value,
            alone.review.totals.distance_m.value,
        );
        assert!((far - near).abs() < 5.0, "{far} for {near}");
        assert_eq!(home.efforts.list.len(), alone.efforts.list.len());
        // Up to half a minute of standing before he sets off may stay.
        let longer_s = home.track.end_s().unwrap_or(0.0) - alone.track.end_s().unwrap_or(0.0);
        assert!((0.0..30.0).contains(&longer_s), "{longer_s}");
        let reasons: Vec<Reason> = home.track.left_out.iter().map(|l| l.reason).collect();
        let lies = legs.len() > CAR.len();
        let expected = [Reason::OnTheWay, Reason::LyingStill];
        assert_eq!(reasons, expected[..=usize::from(lies)]);
    }
}

#[test]
fn by_bicycle_to_the_pitch_nothing_is_counted_and_a_jog_there_stays() {
    let alone = usual(&[demo()]);
    let by_bicycle = usual(&[before(BICYCLE)]);
    assert_eq!(by_bicycle.review.plan, alone.review.plan);
    assert_eq!(by_bicycle.motion.samples, alone.motion.samples);
    let jog = usual(&[before(&[(300, 2.8, 100.0)])]);
    assert!(jog.track.left_out.is_empty());
    let longer_m = jog.review.totals.distance_m.value - alone.review.totals.distance_m.value;
    assert!((790.0..890.0).contains(&longer_m), "{longer_m}");
}

#[test]
fn a_watch_that_pauses_by_itself_leaves_reps_and_rests_to_judge() {
    let alone = usual(&[demo()]);
    for segments in [paused(2, 0), vec![paused(2, 0).concat()]] {
        let session = usual(&segments);
        assert_eq!(session.track.gaps, []);
        assert!(session.track.pauses.len() > 30);
        assert_eq!(verdicts(&session), verdicts(&alone));
        let review = session.review.plan.as_ref().expect("a plan was given");
        assert!(review.counts.unresolved <= 2, "{:?}", review.counts);
        let judged = |session: &Session| {
            let review = session.review.plan.as_ref().expect("a plan was given");
            let reps = review
                .blocks
                .iter()
                .flat_map(|b| &b.sets)
                .flat_map(|s| &s.reps);
            reps.filter(|r| r.rest_verdict.is_some()).count()
        };
        assert_eq!(judged(&session), judged(&alone));
        // He woke the watch by moving: what that leaves open is told.
        assert!(session.track.pauses.iter().all(|p| p.still_to_s <= p.end_s));
    }
}

#[test]
fn two_files_are_one_session_with_a_gap() {
    let points = demo();
    let (first, rest) = points.split_at(1750);
    let read = |part: &[Point]| {
        trace::read(gpx(&[part.to_vec()]).as_bytes(), &Options::default()).expect("a part")
    };
    // The watch lay stopped for a minute and a half.
    let joined = trace::join(vec![read(&rest[90..]), read(first)]).expect("one session");
    assert_eq!(joined.order, [1, 0]);
    let session =
        session::account(joined.trace, Some(&planned()), &Settings::default()).expect("a session");
    let [gap] = session.track.gaps.as_slice() else {
        panic!("{:?}", session.track.gaps);
    };
    assert!((gap.end_s - gap.start_s - 91.0).abs() < 1e-6, "{gap:?}");
    let alone = usual(&[demo()]);
    assert_eq!(session.track.start, alone.track.start);
    // Nothing changes but what the gap hides: three reps of a set of six, and with them which of the six the others were.
    let (mut hidden, mut otherwise) = (0, 0);
    for (with, without) in verdicts(&session).iter().zip(verdicts(&alone)) {
        hidden += usize::from(*with == Verdict::Unresolved);
        otherwise += usize::from(*with != Verdict::Unresolved && *with != without);
    }
    assert!(
        hidden <= 6 && otherwise == 0,
        "{hidden} hidden, {otherwise} otherwise"
    );
}

#[test]
fn a_fix_every_few_seconds_accuses_nobody_of_short_work() {
    for every in [5, 10, 15] {
        let points = demo().into_iter().step_by(every).collect();
        let session = usual(&[points]);
        let review = session.review.plan.as_ref().expect("a plan was given");
        let accused = |v: &Verdict| !matches!(v, Verdict::Done | Verdict::Unresolved);
        let verdicts = verdicts(&session);
        assert!(!verdicts.iter().any(accused), "{every} s: {verdicts:?}");
        // The bouts of minutes are told.
        assert!(review.counts.done >= 10, "{every} s: {:?}", review.counts);
        // Of each block with open reps one reason is given.
        for block in &review.blocks[2..7] {
            let reps = block.sets.iter().flat_map(|s| &s.reps);
            let mut reasons: Vec<_> = reps
                .filter_map(|r| r.why.as_ref().map(reason::text))
                .collect();
            reasons.sort();
            reasons.dedup();
            assert!(reasons.len() <= 1, "{every} s: {reasons:?}");
        }
    }
}

#[test]
fn a_watch_that_wakes_late_accuses_of_no_more_than_one_that_never_sleeps() {
    let alone = verdicts(&usual(&[demo()]));
    let session = usual(&paused(3, 2));
    for (late, awake) in verdicts(&session).iter().zip(&alone) {
        assert!(
            late == awake || *late == Verdict::Unresolved,
            "{late:?} for {awake:?}"
        );
    }
    let review = session.review.plan.as_ref().expect("a plan was given");
    assert!(review.counts.unresolved <= 2, "{:?}", review.counts);
}

/// The simulated session of this seed begins with 1.4 km by bicycle at 6 to 8 m/s, with four halts, and 20 min of car park and
/// changing room: in no stretch does he get far ahead of a runner.
#[test]
fn a_ride_by_bicycle_that_halts_at_every_light_is_left_out_of_a_simulated_session() {
    for kind in [Kind::Unit5, Kind::Watch1v, Kind::Watch1] {
        let one = simulation::session(271_800_001, kind, Mess::Clean);
        assert_eq!(one.truth.rides.len(), 1);
        let session = session::analyse(&one.bytes(), None, &Settings::default())
            .unwrap_or_else(|error| panic!("{kind:?}: {error}"));
        let [left_out] = session.track.left_out.as_slice() else {
            panic!("{kind:?}: {:?}", session.track.left_out);
        };
        assert_eq!(left_out.reason, Reason::OnTheWay);
        assert!(
            (1300.0..1500.0).contains(&left_out.distance_m),
            "{left_out:?}"
        );
        let way = session.review.totals.distance_m;
        assert!(
            (way.value / one.truth.distance_m - 1.0).abs() < 0.05,
            "{kind:?}: {way:?} {}",
            one.truth.distance_m
        );
    }
}
