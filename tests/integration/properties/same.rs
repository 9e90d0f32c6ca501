//! The same session told otherwise gives the same review: at another time or place, turned, in other units and formats,
//! with fixes doubled or left out.

use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;
use repledger::plan::{self, Plan};
use repledger::report;
use repledger::session;
use repledger::settings::Settings;
use serde_json::Value;

use crate::support::alike::{Within, differences};
use crate::support::any::moves::{Fix, Form, Moves, Table, Written, moves};

/// Both documents round to thousandths, so that two of their numbers may be one apart where the numbers behind them agree to
/// rounding; shares of percentages round to less.
const ROUNDED: Within = Within {
    plain: 0.001_5,
    share: 1e-6,
};

const PLAN: &str = "speed 3 x 6 s at 7 m/s, rest 20 s\nresistance 3 x 10 s, rest 20 s\n";

fn plan() -> Plan {
    plan::parse(PLAN).expect("the plan is written by the test")
}

fn review(bytes: &[u8]) -> Value {
    let session =
        session::analyse(bytes, Some(&plan()), &Settings::default()).expect("a sound recording");
    report::review::json::render(&session)
        .and_then(|text| serde_json::from_str(&text))
        .expect("the document is JSON")
}

fn on_earth(moves: &Moves, origin: [f64; 2]) -> Value {
    review(&moves.bytes(&Written {
        origin: Some(origin),
        ..Written::default()
    }))
}

fn in_metres(moves: &Moves) -> Value {
    review(&moves.bytes(&Written {
        origin: None,
        ..Written::default()
    }))
}

/// The angles of turns without their sign: what a mirror changes.
fn without_side(mut document: Value) -> Value {
    for effort in document["efforts"].as_array_mut().into_iter().flatten() {
        if let Some(turn) = effort["turn_deg"].as_f64() {
            effort["turn_deg"] = turn.abs().into();
        }
    }
    document
}

fn each(moves: &Moves, change: impl Fn([f64; 2]) -> [f64; 2]) -> Moves {
    let moved = |fix: &Fix| Fix {
        at_m: change(fix.at_m),
        ..*fix
    };
    Moves {
        hz: moves.hz,
        fixes: moves.fixes.iter().map(moved).collect(),
    }
}

fn number(document: &Value, path: &str) -> f64 {
    document
        .pointer(path)
        .and_then(Value::as_f64)
        .unwrap_or(f64::NAN)
}

const NONE: Vec<String> = Vec::new();

/// Times that calendars and clocks find hard: leap days, ends of years and of the range, a clock that rolled over.
fn starts() -> impl Strategy<Value = Timestamp> {
    let hard = [
        "1970-01-01T00:00:00Z",
        "2000-02-28T23:59:30Z",
        "2024-02-29T23:59:00Z",
        "2023-12-31T23:58:59.5Z",
        "2038-01-19T03:13:00Z",
        "2100-02-28T23:59:59.999Z",
        "2199-12-31T20:00:00Z",
    ];
    let hard: Vec<Timestamp> = hard
        .iter()
        .map(|text| text.parse().expect("RFC 3339"))
        .collect();
    prop_oneof![
        prop::sample::select(hard),
        (0..7_200_000_000_000_i64)
            .prop_map(|ms| Timestamp::from_millisecond(ms).expect("before 2200")),
        (0..7_200_000_000_i64).prop_map(|s| Timestamp::from_second(s).expect("before 2200")),
    ]
}

fn tables() -> impl Strategy<Value = Table> {
    let delimiters = vec![
        (',', '.'),
        (';', '.'),
        (';', ','),
        ('\t', '.'),
        ('\t', ','),
        ('|', '.'),
    ];
    let lengths = vec![
        ("m", 1.0),
        ("cm", 100.0),
        ("yd", 1.0 / 0.9144),
        ("ft", 3.0 / 0.9144),
        ("km", 1e-3),
    ];
    let speeds = vec![
        ("m/s", 1.0),
        ("km/h", 3.6),
        ("mph", 3600.0 / 1609.344),
        ("kn", 3600.0 / 1852.0),
        ("cm/s", 100.0),
        ("ft/s", 3.0 / 0.9144),
    ];
    // Not in ms or minutes: on the last bit of a time hangs whether a fix at exactly 2 s counts in the energy of a moment.
    let times = vec![None, Some(("s", 1.0))];
    (
        (
            prop::sample::select(delimiters),
            prop::sample::select(lengths),
            prop::sample::select(speeds),
        ),
        (
            prop::sample::select(times),
            prop::sample::select(vec!["\n", "\r\n"]),
            any::<bool>(),
        ),
    )
        .prop_map(
            |(((delimiter, point), length, speed), (time, ends, gzip))| Table {
                delimiter,
                point,
                length,
                speed,
                time,
                ends,
                gzip,
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, max_shrink_iters: 100, ..ProptestConfig::default() })]

    /// Times are told apart to a nanosecond, finer than any number of the review.
    #[test]
    fn at_another_time(moves in moves(), start in starts()) {
        let then = Written { start, ..Written::default() };
        let (a, b) = (review(&moves.bytes(&Written::default())), review(&moves.bytes(&then)));
        prop_assert_eq!(differences(&a, &b, ROUNDED), NONE);
        let began: Timestamp = b["session"]["start"].as_str().and_then(|text| text.parse().ok()).expect("a start");
        prop_assert!(began.duration_since(start).abs() < SignedDuration::from_millis(1));
    }

    /// The earth is round along a parallel, and 180 degrees is a meridian like others: degrees are written to the last bit,
    /// some 1e-8 m.
    #[test]
    fn farther_along_the_parallel(moves in moves(), lat in -80.0..80.0_f64, from in -180.0..180.0_f64, to in prop_oneof![
        Just(180.0), Just(-179.9995), Just(179.9995), Just(0.0), -180.0..180.0_f64
    ]) {
        let (a, b) = (on_earth(&moves, [lat, from]), on_earth(&moves, [lat, to]));
        prop_assert_eq!(differences(&a, &b, ROUNDED), NONE);
    }

    /// The ellipsoid is its own mirror at the equator; a turn to the left becomes one to the right.
    #[test]
    fn in_the_other_hemisphere(moves in moves(), lat in 0.0..80.0_f64, lon in -180.0..180.0_f64) {
        let north = on_earth(&moves, [lat, lon]);
        let south = on_earth(&each(&moves, |[x, y]| [x, -y]), [-lat, lon]);
        prop_assert_eq!(differences(&without_side(north), &without_side(south), ROUNDED), NONE);
    }

    /// Placed by another library's geodesics. The plane that touches the ellipsoid shortens a way of 1 km by less than
    /// 0.01 mm (`geodesy`), the shares of these sessions by far less than their rounding.
    #[test]
    fn anywhere_on_earth(moves in moves(), lat in -89.0..89.0_f64, lon in -180.0..180.0_f64) {
        let (a, b) = (on_earth(&moves, [0.0, 0.0]), on_earth(&moves, [lat, lon]));
        prop_assert_eq!(differences(&a, &b, ROUNDED), NONE);
    }

    /// Nothing in the filter prefers an axis: turned coordinates differ by rounding only.
    #[test]
    fn turned_moved_and_mirrored(
        moves in moves(),
        turn in 0.0..std::f64::consts::TAU,
        shift_m in [-5000.0..5000.0_f64, -5000.0..5000.0_f64],
        mirror in any::<bool>(),
    ) {
        let (sin, cos) = turn.sin_cos();
        let other = each(&moves, |[x, y]| {
            let y = if mirror { -y } else { y };
            [cos * x - sin * y + shift_m[0], sin * x + cos * y + shift_m[1]]
        });
        let (a, b) = (without_side(in_metres(&moves)), without_side(in_metres(&other)));
        prop_assert_eq!(differences(&a, &b, ROUNDED), NONE);
    }

    /// Units are exact by definition and numbers written in full: only their last bits differ.
    #[test]
    fn in_other_units(moves in moves(), table in tables()) {
        let other = Written { origin: None, form: Form::Table(table), ..Written::default() };
        let (a, b) = (in_metres(&moves), review(&moves.bytes(&other)));
        prop_assert_eq!(differences(&a, &b, ROUNDED), NONE, "{:?}", other.form);
    }

    /// As GPX, as CSV with any signs, packed or not: the same numbers are written in each.
    #[test]
    fn in_other_formats(moves in moves(), table in tables()) {
        let as_gpx = Written { form: Form::Gpx, ..Written::default() };
        let as_table = Written { form: Form::Table(table), ..Written::default() };
        let bytes = moves.bytes(&as_table);
        let (a, b) = (review(&moves.bytes(&as_gpx)), review(&bytes));
        prop_assert_eq!(differences(&a, &b, ROUNDED), NONE, "{:?}", as_table.form);
    }

    /// A fix written twice, or a file written twice, is known by its times.
    #[test]
    fn doubled(moves in moves(), whole in any::<bool>()) {
        let twice = if whole {
            moves.fixes.iter().chain(&moves.fixes).copied().collect()
        } else {
            moves.fixes.iter().flat_map(|fix| [*fix, *fix]).collect()
        };
        let other = Moves { hz: moves.hz, fixes: twice };
        let (a, b) = (in_metres(&moves), in_metres(&other));
        prop_assert_eq!(differences(&a, &b, ROUNDED), NONE);
        prop_assert_eq!(number(&b, "/recording/fixes"), 2.0 * number(&a, "/recording/fixes"));
        prop_assert_eq!(number(&b, "/recording/used"), number(&a, "/recording/used"));
    }

    /// What was not recorded adds no way and no effort. The smoother sees less of the recording and judges its noise anew,
    /// which may move the distance within its interval.
    #[test]
    fn with_a_gap(moves in moves(), from in 0.2..0.6_f64, lasts_s in 10.5..40.0_f64) {
        let whole_s = moves.fixes.last().map_or(0.0, |fix| fix.time_s);
        let (start_s, end_s) = (from * whole_s, from * whole_s + lasts_s);
        prop_assume!(end_s < whole_s - 5.0);
        let fixes = moves.fixes.iter().filter(|fix| !(start_s..end_s).contains(&fix.time_s)).copied().collect();
        let (a, b) = (in_metres(&moves), in_metres(&Moves { hz: moves.hz, fixes }));
        prop_assert!(number(&b, "/totals/distance_m/value") <= number(&a, "/totals/distance_m/high"));
        let gap = &b["recording"]["gaps"][0];
        let (start_s, end_s) = (number(gap, "/start_s"), number(gap, "/end_s"));
        prop_assert!(end_s - start_s >= lasts_s - 1.0);
        for effort in b["efforts"].as_array().into_iter().flatten() {
            let (from_s, to_s) = (number(effort, "/start_s"), number(effort, "/end_s"));
            // A sample of 0.1 or 0.2 s may be counted on either side.
            prop_assert!(to_s <= start_s + 0.2 || end_s <= from_s + 0.2, "{} in the gap from {} to {} s", effort, start_s, end_s);
        }
    }
}
