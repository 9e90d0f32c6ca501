//! Any plan, within the bounds of the notation.

use jiff::civil::Date;
use proptest::option;
use proptest::prelude::*;
use repledger::plan::{
    Block, Category, Dose, Each, Effort, FreeRest, Header, PitchSize, Plan, Rest, Round, Target,
    Work,
};

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
        (1..=10_u32, 1..=20_u32, work).prop_map(|(sets, reps, work)| Dose::Reps {
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
        (mixed(), manner()),
    )
        .prop_map(
            |(
                (category, name, with_ball, dose),
                (over_m, there_and_back, target, rest),
                (between, then),
                (mixed, manner),
            )| {
                let block = Block {
                    name,
                    with_ball,
                    over_m,
                    there_and_back,
                    target,
                    rest,
                    between_sets_s: between,
                    then_s: then,
                    ..Block::new(category, dose)
                };
                mannered(block, mixed, manner)
            },
        )
}

/// The reps of a mixed set, for some blocks.
fn mixed() -> impl Strategy<Value = Vec<Work>> {
    prop_oneof![
        6 => Just(Vec::new()),
        1 => prop::collection::vec(seconds().prop_map(Work::Duration), 3..8),
        1 => prop::collection::vec(metres().prop_map(Work::Distance), 3..8),
    ]
}

type Manner = (Option<Effort>, bool, Option<Each>, FreeRest, Option<f64>);

fn manner() -> impl Strategy<Value = Manner> {
    (
        option::of(prop::sample::select(vec![Effort::FlatOut, Effort::Easy])),
        any::<bool>(),
        option::weighted(0.2, prop::sample::select(vec![Each::Side, Each::Leg])),
        prop::sample::select(vec![FreeRest::Walk, FreeRest::Jog, FreeRest::Full]),
        option::weighted(0.2, seconds()),
    )
}

/// The block with what may be said of it beside its dose, where that can be.
fn mannered(
    block: Block,
    works: Vec<Work>,
    (effort, build_up, each, free_rest, every_s): Manner,
) -> Block {
    let mut block = Block {
        effort,
        build_up,
        ..block
    };
    if !works.is_empty() {
        let sets = block.sets();
        block = block.mixing(sets, works);
    }
    if let (Dose::Reps { sets, reps, work }, true) = (block.dose, block.mixed.is_empty())
        && let Some(each) = each
    {
        block.each = Some(each);
        block.dose = Dose::Reps {
            sets,
            reps: 2 * reps,
            work,
        };
    }
    if block.rest == Rest::WalkBack {
        block.free_rest = free_rest;
    }
    if let Some(every_s) = every_s {
        let before = (block.rest, block.free_rest);
        block.free_rest = FreeRest::Walk;
        if !block.start_every(every_s) {
            (block.rest, block.free_rest) = before;
        }
    }
    block
}

/// A list of blocks, done once or several times over.
fn rounds() -> impl Strategy<Value = Vec<Block>> {
    (
        prop::collection::vec(block(), 1..4),
        prop_oneof![3 => Just(1_u32), 1 => 2..5_u32],
        (option::of(seconds()), option::of(seconds())),
    )
        .prop_map(|(list, of, (between_s, then_s))| {
            if of == 1 {
                return list;
            }
            let mut out = Vec::new();
            for number in 1..=of {
                for (index, block) in list.iter().enumerate() {
                    let mut block = block.clone();
                    block.round = Some(Round { number, of });
                    if index + 1 == list.len() {
                        block.then_s = if number < of { between_s } else { then_s };
                    }
                    out.push(block);
                }
            }
            out
        })
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
                paced_by_cues: false,
            },
        )
}

pub fn plan() -> impl Strategy<Value = Plan> {
    (
        header(),
        any::<bool>(),
        prop::collection::vec(rounds(), 1..3),
    )
        .prop_map(|(header, paced_by_cues, rounds)| Plan {
            header: Header {
                paced_by_cues,
                ..header
            },
            blocks: rounds.concat(),
        })
}
