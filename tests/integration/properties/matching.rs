//! The plan against any motion: each planned rep has one verdict, no bout is used twice, and done reps lie in the recording.

use proptest::prelude::*;
use repledger::plan::{self, Plan};
use repledger::review::{PlanReview, RepReview, Verdict};
use repledger::session;
use repledger::settings::Settings;
use repledger::simulation::{self, Kind, Mess};

use crate::support::any::moves::{self, Moves, Written};
use crate::support::sessions::long;

/// A stop may seem to lie this far behind the next start: the matching lets neighbours overlap by it, s.
const OVERLAP_S: f64 = 0.3;

fn reps(review: &PlanReview) -> impl Iterator<Item = &RepReview> {
    review
        .blocks
        .iter()
        .flat_map(|block| &block.sets)
        .flat_map(|set| &set.reps)
}

/// Everything that cannot be of a plan held against a recording of so many seconds.
fn wrong(plan: &Plan, review: &PlanReview, whole_s: f64) -> Vec<String> {
    let mut wrong = Vec::new();
    let planned: u32 = plan
        .blocks
        .iter()
        .map(|block| block.sets() * block.reps())
        .sum();
    if reps(review).count() != planned as usize {
        wrong.push(format!("{} reps of {planned}", reps(review).count()));
    }
    let of = |verdict: Verdict| reps(review).filter(|rep| rep.verdict == verdict).count();
    let c = review.counts;
    let counted = [c.planned, c.done, c.short, c.slow, c.missed, c.unresolved];
    let seen = [
        planned as usize,
        of(Verdict::Done),
        of(Verdict::Short),
        of(Verdict::Slow),
        of(Verdict::Missed),
        of(Verdict::Unresolved),
    ];
    if counted != seen {
        wrong.push(format!("counts {counted:?} of reps {seen:?}"));
    }
    let mut spans = Vec::new();
    for block in &review.blocks {
        let mut last_s = f64::NEG_INFINITY;
        for rep in block.sets.iter().flat_map(|set| &set.reps) {
            match (rep.start_s, rep.end_s) {
                (Some(start_s), Some(end_s)) => {
                    if start_s < last_s - OVERLAP_S
                        || end_s < start_s
                        || start_s < 0.0
                        || end_s > whole_s + 0.01
                    {
                        wrong.push(format!(
                            "rep from {start_s} to {end_s} s after {last_s} s, of {whole_s} s"
                        ));
                    }
                    last_s = end_s;
                    spans.push((start_s, end_s));
                }
                (None, None) if matches!(rep.verdict, Verdict::Missed | Verdict::Unresolved) => {}
                other => wrong.push(format!("{:?} at {other:?}", rep.verdict)),
            }
        }
    }
    spans.extend(
        review
            .unplanned
            .iter()
            .map(|work| (work.start_s, work.end_s)),
    );
    let planned = spans.len() - review.unplanned.len();
    let mut in_time = spans[..planned].to_vec();
    in_time.sort_by(|a, b| a.0.total_cmp(&b.0));
    for pair in in_time.windows(2) {
        if pair[1].0 < pair[0].1 - OVERLAP_S {
            wrong.push(format!("two reps share a stretch: {pair:?}"));
        }
    }
    wrong
}

fn block() -> impl Strategy<Value = String> {
    prop_oneof![
        (1..4_u32, 1..5_u32, 3..14_u32, 5..40_u32).prop_map(|(sets, reps, work, rest)| format!(
            "resistance {sets} x {reps} x {work} s, rest {rest} s, 40 s between sets"
        )),
        (1..6_u32, prop::sample::select(vec![10, 20, 30, 40]))
            .prop_map(|(reps, metres)| format!("speed {reps} x {metres} m at 95%, rest walk back")),
        (1..4_u32, 2..6_u32, 4..12_u32).prop_map(|(sets, reps, way)| format!(
            "strength {sets} x {reps} reps over {way} m there and back, 30 s between sets"
        )),
        (5..120_u32).prop_map(|s| format!("technical {s} s")),
    ]
}

fn any_plan() -> impl Strategy<Value = Plan> {
    prop::collection::vec(block(), 1..5).prop_map(|blocks| {
        plan::parse(&blocks.join("\n")).expect("the plan is written by the test")
    })
}

fn check(bytes: &[u8], plan: &Plan) -> Vec<String> {
    let session =
        session::analyse(bytes, Some(plan), &Settings::default()).expect("a sound recording");
    let whole_s = session
        .track
        .points
        .last()
        .map_or(0.0, |point| point.time_s);
    session
        .review
        .plan
        .as_ref()
        .map_or(vec!["no plan".to_owned()], |review| {
            wrong(plan, review, whole_s)
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, max_shrink_iters: 200, ..ProptestConfig::default() })]

    /// Runs that have nothing to do with the plan.
    #[test]
    fn any_runs_against_any_plan(moves in moves::moves(), plan in any_plan()) {
        prop_assert_eq!(check(&moves.bytes(&Written { origin: None, ..Written::default() }), &plan), Vec::<String>::new());
    }

    /// Runs that are the plan's, more or less: some left out, some longer, some more than planned.
    #[test]
    fn runs_near_a_plan(
        reps in 3..9_usize,
        runs in prop::collection::vec((0.5..1.2_f64, 0.5..1.5_f64, prop::bool::weighted(0.85)), 3..12),
        hz in prop::sample::select(vec![1.0, 10.0]),
        seed in any::<u64>(),
    ) {
        let plan = plan::parse(&format!("resistance {reps} x 8 s, rest 20 s\n")).expect("the plan is written by the test");
        let run = |(k, &(work, rest, _)): (usize, &(f64, f64, bool))| moves::Run {
            rest_s: 20.0 * rest,
            heading_rad: k as f64 * std::f64::consts::PI,
            work_s: 8.0 * work,
            speed_m_s: 6.0,
        };
        let runs: Vec<_> = runs.iter().enumerate().filter(|(_, run)| run.2).map(run).collect();
        let moves: Moves = moves::ran(&runs, hz, false, seed);
        prop_assert_eq!(check(&moves.bytes(&Written { origin: None, ..Written::default() }), &plan), Vec::<String>::new());
    }
}

/// Sessions of an hour and more, by receivers of every kind, as planned and otherwise: with `LONG=1` each kind both ways.
#[test]
fn simulated_sessions_use_no_bout_twice() {
    for (seed, kind) in (70..).zip(Kind::ALL) {
        let both = [Mess::Usual, Mess::Messy];
        let ways = if long() {
            &both[..]
        } else {
            &both[seed as usize % 2..][..1]
        };
        for &mess in ways {
            let simulated = simulation::session(seed, kind, mess);
            let plan = &simulated.plan;
            let session = session::account(simulated.trace(), Some(plan), &Settings::default())
                .expect("a sound recording");
            let whole_s = session
                .track
                .points
                .last()
                .map_or(0.0, |point| point.time_s);
            let review = session.review.plan.as_ref().expect("a plan was given");
            assert_eq!(
                wrong(plan, review, whole_s),
                Vec::<String>::new(),
                "{kind:?} {mess:?}"
            );
        }
    }
}
