//! Any plan, within the bounds of the notation.

use jiff::civil::Date;
use proptest::option;
use proptest::prelude::*;
use repledger::plan::{Block, Category, Dose, Header, PitchSize, Plan, Rest, Target, Work};

fn seconds() -> impl Strategy<Value = f64> {
    prop_oneof![
        (1..=7_200_u32).prop_map(f64::from),
        (1..=100_u32).prop_map(|minutes| f64::from(minutes) * 60.0),
        (100..=86_400_000_u32).prop_map(|ms| f64::from(ms) / 1e3),
    ]
}

fn metres() -> impl Strategy<Value = f64> {
    prop_oneof![
        (1..=400_u32).prop_map(f64::from),
        (1..=400_u32).prop_map(|yards| (f64::from(yards) * 9144.0).round() / 1e4),
        (5_000..=1_000_000_000_u32).prop_map(|tenths_of_mm| f64::from(tenths_of_mm) / 1e4),
    ]
}

fn speed() -> impl Strategy<Value = f64> {
    prop_oneof![
        (5..=130_u32).prop_map(|tenths| f64::from(tenths) / 10.0),
        (20..=468_u32).prop_map(|tenths| f64::from(tenths) / 10.0 * (1.0 / 3.6)),
        0.5..=13.0,
    ]
}

fn text() -> impl Strategy<Value = String> {
    // Words of letters, digits and signs, a `#` and an `x` among them; quotes, control characters and runs of blanks
    // are no part of a name once it was read.
    proptest::string::string_regex(
        "[a-zA-Z0-9#'%,:;×&<>éßж\u{5d0}漢-]{1,8}( [a-zA-Z0-9#x'%,.-]{1,8}){0,3}",
    )
    .unwrap()
}

fn date() -> impl Strategy<Value = Date> {
    (1900..2200_i16, 1..=12_i8, 1..=28_i8).prop_map(|(y, m, d)| Date::constant(y, m, d))
}

fn category() -> impl Strategy<Value = Category> {
    prop::sample::select(&Category::ALL[..])
}

fn dose() -> impl Strategy<Value = Dose> {
    let work = prop_oneof![
        seconds().prop_map(Work::Duration),
        metres().prop_map(Work::Distance),
        Just(Work::Count)
    ];
    prop_oneof![
        seconds().prop_map(|duration_s| Dose::Continuous { duration_s }),
        (1..=20_u32, 1..=100_u32, work).prop_map(|(sets, reps, work)| Dose::Reps {
            sets,
            reps,
            work
        }),
    ]
}

fn block() -> impl Strategy<Value = Block> {
    let target = prop_oneof![
        (50_000..=1_200_000_u32)
            .prop_map(|millionths| Target::ShareOfTop(f64::from(millionths) / 1e6)),
        speed().prop_map(Target::Speed),
    ];
    let rest = prop_oneof![
        Just(Rest::RunOn),
        seconds().prop_map(Rest::Timed),
        Just(Rest::WalkBack)
    ];
    (
        (category(), option::of(text()), any::<bool>(), dose()),
        (
            option::of(metres()),
            any::<bool>(),
            option::of(target),
            rest,
        ),
        (option::of(seconds()), option::of(seconds())),
    )
        .prop_map(
            |(
                (category, name, with_ball, dose),
                (over_m, there_and_back, target, rest),
                (between, then),
            )| Block {
                category,
                name,
                with_ball,
                dose,
                over_m,
                there_and_back,
                target,
                rest,
                between_sets_s: between,
                then_s: then,
                line: 0,
            },
        )
}

fn header() -> impl Strategy<Value = Header> {
    let pitch = (50..=2000_u32, 50..=2000_u32).prop_map(|(a, b)| PitchSize {
        length_m: f64::from(a.max(b)) / 10.0,
        width_m: f64::from(a.min(b)) / 10.0,
    });
    (
        (option::of(text()), option::of(text())),
        (option::of(date()), option::of(date())),
        (option::of(pitch), option::of(speed())),
    )
        .prop_map(
            |((title, athlete), (date, match_day), (pitch, top_speed_m_s))| Header {
                title,
                athlete,
                date,
                match_day,
                pitch,
                top_speed_m_s,
            },
        )
}

pub fn plan() -> impl Strategy<Value = Plan> {
    (header(), prop::collection::vec(block(), 1..6))
        .prop_map(|(header, blocks)| Plan { header, blocks })
}
