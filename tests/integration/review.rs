//! Plans held against motions made by hand.

use proptest::prelude::*;
use repledger::bouts::{self, Rules};
use repledger::efforts::{self, Thresholds};
use repledger::measured::Measured;
use repledger::plan;
use repledger::review::{self, Evidence, Fits, PlanReview, RestVerdict, Tolerances, Verdict};
use repledger::trace::Clock;
use repledger::track::{Rate, Track};

use crate::support::script::Script;

fn check(plan: &str, script: Script) -> PlanReview {
    check_as(plan, script, &Tolerances::default())
}

fn check_as(plan: &str, script: Script, tolerances: &Tolerances) -> PlanReview {
    let motion = script.motion();
    let track = Track {
        points: Vec::new(),
        start: Clock::Elapsed,
        fixes: 0,
        set_aside: Vec::new(),
        gaps: Vec::new(),
        pauses: Vec::new(),
        left_out: Vec::new(),
        rate: Rate {
            hz: 10.0,
            irregular: false,
        },
        north_up: true,
        frame: None,
        notes: Vec::new(),
    };
    let bouts = bouts::find(&motion, &Rules::default());
    let evidence = Evidence {
        track: &track,
        motion: &motion,
        efforts: &efforts::detect(&motion, &Thresholds::default()),
        bouts: &bouts,
        thresholds: &Thresholds::default(),
    };
    let plan = plan::parse(plan).expect("the plan is written by the test");
    let review = review::assess(&evidence, Some(&plan), tolerances);
    review.plan.expect("a plan was given")
}

/// One letter a rep: d(one), s(hort), l (slow), m(issed), u(nresolved); sets apart by spaces, blocks by bars.
fn letters(review: &PlanReview) -> String {
    let letter = |v: &Verdict| match v {
        Verdict::Done => 'd',
        Verdict::Short => 's',
        Verdict::Slow => 'l',
        Verdict::Missed => 'm',
        Verdict::Unresolved => 'u',
    };
    let blocks: Vec<String> = review
        .blocks
        .iter()
        .map(|block| {
            let sets: Vec<String> = block
                .sets
                .iter()
                .map(|set| set.reps.iter().map(|r| letter(&r.verdict)).collect())
                .collect();
            sets.join(" ")
        })
        .collect();
    blocks.join("|")
}

const RUNS: &str = "resistance \"channel runs\", 2 x 4 x 12 s, rest 25 s, 90 s between sets\n";

/// A run of 12 s with the rest of 25 s after it; braking from 5 m/s at 4 m/s2 takes 1.25 s of the rest.
fn rep(script: Script) -> Script {
    script.run(12.0, 5.0).turn().stand(23.75)
}

fn set(script: Script) -> Script {
    script.times(4, rep).stand(65.0)
}

#[test]
fn a_session_as_planned_is_done_and_its_rests_kept() {
    let review = check(RUNS, Script::new().stand(20.0).times(2, set));
    assert_eq!(letters(&review), "dddd dddd");
    assert_eq!((review.counts.planned, review.counts.done), (8, 8));
    assert!(review.unplanned.is_empty());
    let first = &review.blocks[0].sets[0];
    for rep in &first.reps[..3] {
        assert_eq!(rep.rest_verdict, Some(RestVerdict::Kept), "{rep:?}");
        assert!(
            rep.work_s.is_some_and(|w| (w.value - 12.0).abs() < 0.5),
            "{rep:?}"
        );
    }
    let rest = first.rest_after_s.unwrap();
    assert!((rest.value - 90.0).abs() < 1.0, "{rest:?}");
    // Both edges are those of reps, so it is as sure as the rests between them.
    let between = first.reps[0].rest_s.unwrap();
    assert!((rest.high - rest.low - (between.high - between.low)).abs() < 1e-9);
}

#[test]
fn a_rest_beside_a_warm_up_is_less_sure_than_one_between_runs() {
    let plan = format!("warm-up 5 min, then 60 s\n{RUNS}");
    let script = Script::new().stand(20.0).run(300.0, 3.0).turn();
    let review = check(&plan, script.stand(60.0).times(2, set));
    let wide = |rest: Option<Measured>| rest.map(|rest| rest.high - rest.value).unwrap();
    let behind_it = wide(review.blocks[0].sets[0].rest_after_s);
    let between = wide(review.blocks[1].sets[0].reps[0].rest_s);
    // The time of a warm-up of 5 min is known to 16 s (4 % and 4 s), its end, in stretching that looks like rest, to half as much again.
    let edge_s = 1.5 * (0.04 * 300.0 + 4.0);
    assert!(between < 2.0, "{between} s");
    assert!(
        (1.96 * edge_s..1.96 * edge_s + between).contains(&behind_it),
        "{behind_it} s"
    );
}

#[test]
fn reps_that_differ_are_judged_each_by_its_own_work() {
    const PYRAMID: &str = "resistance 12-16-20-16-12 s, rest 30 s\n";
    let run = |script: Script, s: f64| script.run(s, 5.0).turn().stand(28.75);
    let pyramid = |works: [f64; 5]| works.into_iter().fold(Script::new().stand(20.0), run);
    let review = check(PYRAMID, pyramid([12.0, 16.0, 20.0, 16.0, 12.0]).stand(60.0));
    assert_eq!(letters(&review), "ddddd");
    let planned: Vec<Option<f64>> = (review.blocks[0].sets[0].reps.iter())
        .map(|rep| rep.work_planned_s)
        .collect();
    assert_eq!(planned, [12.0, 16.0, 20.0, 16.0, 12.0].map(Some));
    // 12 s are too short for the third rep, and are the whole of the first.
    let review = check(PYRAMID, pyramid([12.0, 16.0, 12.0, 16.0, 12.0]).stand(60.0));
    assert_eq!(letters(&review), "ddsdd");
}

#[test]
fn work_that_no_recording_shows_is_not_judged() {
    let plan = format!("gym \"legs\", 40 min\n{RUNS}gym 3 x 8 reps, 90 s between sets\n");
    let review = check(&plan, Script::new().stand(20.0).times(2, set));
    assert_eq!(letters(&review), "|dddd dddd|");
    assert_eq!((review.counts.planned, review.counts.done), (8, 8));
    assert!(review.blocks[0].sets.is_empty() && review.blocks[2].start_s.is_none());
}

#[test]
fn a_build_up_owes_no_speed() {
    let plan = "top speed: 6 m/s\nspeed 3 x 40 m at 95%, build up, rest 25 s\n";
    let run = |script: Script, m_s: f64| script.run(40.0 / m_s, m_s).turn().stand(23.75);
    let script = [4.5, 6.0, 4.5]
        .into_iter()
        .fold(Script::new().stand(20.0), run);
    let review = check(plan, script.stand(60.0));
    let reached: Vec<bool> = (review.blocks[0].sets[0].reps.iter())
        .map(|rep| rep.reached.is_some())
        .collect();
    assert_eq!(reached, [false, true, true]);
}

#[test]
fn a_rep_left_out_is_named() {
    let script = Script::new()
        .stand(20.0)
        .times(2, rep)
        .stand(37.0)
        .times(1, rep)
        .stand(65.0);
    assert_eq!(letters(&check(RUNS, set(script))), "ddmd dddd");
}

/// Sprints of 20 m each with the rest that came after it, s, where 60 s were planned.
fn rested(rests_s: &[f64]) -> PlanReview {
    let set = |script: Script, rests_s: &[f64]| {
        rests_s.iter().fold(script, |script, rest_s| {
            script.run(3.6, 6.6).turn().stand(rest_s - 1.65)
        })
    };
    let usual = set(
        Script::new().stand(20.0),
        &[151.0, 80.0, 105.0, 52.0, 48.0, 44.0, 290.0],
    );
    let plan = "speed 2 x 7 x 20 m, rest 60 s, 2:30 between sets\n";
    check(plan, set(usual, rests_s).stand(60.0))
}

#[test]
fn who_rests_as_he_likes_left_out_nothing_if_all_of_a_set_is_there() {
    let review = rested(&[38.0, 30.0, 23.0, 19.0, 36.0, 115.0, 60.0]);
    assert_eq!(review.counts.missed, 0, "{}", letters(&review));
}

#[test]
fn nothing_is_said_against_a_rep_that_a_short_silence_may_hide() {
    // The third begins at 96 s, where another stood, and no fix was written for most of it.
    let script = Script::new()
        .stand(20.0)
        .times(2, rep)
        .stand(37.0)
        .times(1, rep);
    let script = set(script.stand(65.0)).lost(96.0, 105.0);
    assert_eq!(letters(&check(RUNS, script)), "ddud dddd");
}

#[test]
fn a_rep_cut_off_is_short() {
    let script = Script::new()
        .stand(20.0)
        .times(2, rep)
        .run(7.0, 5.0)
        .turn()
        .stand(28.75);
    let script = rep(script).stand(65.0);
    assert_eq!(letters(&check(RUNS, set(script))), "ddsd dddd");
}

/// Sprints of 30 m that are braked behind the line, over 8 m; the third comes to stand on the line, or is broken off after 17 m.
#[test]
fn a_sprint_that_ends_on_its_line_is_not_cut_short() {
    let sprint = |script: Script, seconds: f64| script.run(seconds, 8.0).turn().stand(58.0);
    let said = |third_s: f64| {
        let sprints = [4.85, 4.85, third_s, 4.85, 4.85, 4.85];
        let script = sprints.into_iter().fold(Script::new().stand(20.0), sprint);
        letters(&check("speed 6 x 30 m, rest 60 s", script))
    };
    assert_eq!(said(3.75), "dduddd");
    assert_eq!(said(3.1), "ddsddd");
}

/// A jog of 25 minutes is most of the recording, after runs that are faster.
#[test]
fn a_run_that_is_most_of_the_recording_is_found() {
    let script = (Script::new().stand(60.0))
        .times(3, |s| s.run(57.0, 3.6).turn().stand(75.0))
        .stand(60.0)
        .run(1500.0, 2.8)
        .stand(120.0);
    let plan = "resistance 3 x 200 m, rest 75 s, then 2 min\nresistance 25 min";
    assert_eq!(letters(&check(plan, script)), "ddd|d");
}

/// 250 m in two minutes each, by somebody who hardly runs.
#[test]
fn runs_at_hardly_more_than_a_walk_may_be_those_that_are_missing() {
    let trot = |script: Script| script.run(115.0, 2.15).turn().stand(20.0);
    let script = Script::new().stand(200.0).times(6, trot).stand(60.0);
    let said = letters(&check("resistance 6 x 250 m, rest 20 s", script));
    assert!(!said.contains('m'), "{said}");
}

#[test]
fn one_more_than_planned_is_unplanned() {
    let script = Script::new().stand(20.0).times(5, rep).stand(65.0);
    let review = check(RUNS, set(script));
    assert_eq!(letters(&review), "dddd dddd");
    assert_eq!(review.unplanned.len(), 1);
}

/// Passing at a wall: a few steps, standing, and in the middle a sprint; then a jog and stretching.
#[test]
fn a_sprint_while_the_ball_is_practised_is_unplanned() {
    let passes = |script: Script| script.times(12, |s| s.run(3.0, 2.4).stand(4.0));
    let script = passes(passes(Script::new().stand(20.0)).run(5.0, 8.0).stand(4.0));
    let review = check("technical \"wall passes\", 3 min\n", script.stand(30.0));
    assert_eq!(letters(&review), "d");
    let [sprint] = review.unplanned.as_slice() else {
        panic!("{:?}", review.unplanned);
    };
    assert!(sprint.peak_speed_m_s.value > 7.5 && sprint.end_s - sprint.start_s < 8.0);
}

#[test]
fn of_alike_sets_the_one_left_out_is_not_made_up() {
    let plan = "resistance 3 x 4 x 12 s, rest 25 s, 90 s between sets\n";
    let review = check(plan, Script::new().stand(20.0).times(2, set));
    // Eight reps were done; which of the three sets was left out nobody can say for sure.
    let sets = review.blocks[0].sets.iter().filter_map(|set| set.reps_done);
    let (low, high) = sets.fold((0.0, 0.0), |(low, high), m| (low + m.low, high + m.high));
    assert!(low <= 8.0 && 8.0 <= high, "{low} to {high}");
    assert!(review.counts.done <= 8 && review.counts.missed <= 4);
    assert!(review.counts.done + review.counts.unresolved >= 8);
}

const TWO: &str = "resistance 4 x 12 s, rest 25 s, then 2 min\nspeed 5 x 4 s, rest 40 s, then 2 min\nresistance 3 x 30 s, rest 30 s\n";

fn long_runs(script: Script) -> Script {
    script.times(4, rep).stand(95.0)
}

fn sprints(script: Script) -> Script {
    script
        .times(5, |s| s.run(4.0, 7.0).turn().stand(38.0))
        .stand(80.0)
}

fn longest(script: Script) -> Script {
    script.times(3, |s| s.run(30.0, 4.5).turn().stand(29.0))
}

#[test]
fn a_block_skipped_is_missed_as_a_whole() {
    let script = longest(long_runs(Script::new().stand(20.0)));
    assert_eq!(letters(&check(TWO, script)), "dddd|mmmmm|ddd");
}

#[test]
fn blocks_in_another_order_are_done() {
    let script = longest(long_runs(sprints(Script::new().stand(20.0))));
    assert_eq!(letters(&check(TWO, script)), "dddd|ddddd|ddd");
}

#[test]
fn a_recording_that_starts_late_misses_only_what_it_does_not_hold() {
    let script = longest(sprints(Script::new().stand(3.0).times(2, rep).stand(95.0)));
    // Whether the first two were done before it began or the last two left out nothing tells: of four, two were done.
    let review = check(TWO, script);
    assert_eq!(&letters(&review)[5..], "ddddd|ddd");
    let first = &review.blocks[0].sets[0];
    assert_eq!(first.reps_done.map(|m| m.value), Some(2.0));
    let sure = |v| first.reps.iter().filter(|r| r.verdict == v).count();
    assert!(sure(Verdict::Missed) <= 2 && sure(Verdict::Done) <= 2);
}

#[test]
fn a_recording_that_stops_early_misses_only_what_it_does_not_hold() {
    let script = sprints(long_runs(Script::new().stand(20.0)))
        .run(30.0, 4.5)
        .stand(5.0);
    assert_eq!(letters(&check(TWO, script)), "dddd|ddddd|dmm");
}

#[test]
fn shuttles_of_seven_metres_are_counted() {
    // 4 m/s2 up and down without a pause covers 7 m in 2.6 s: 1.3 s up, 1.3 s of braking, 1.3 * 5.2 m.
    let plan = "strength \"cones\", 2 x 5 reps over 7 m there and back, 75 s between sets\n";
    let legs = |n| move |s: Script| s.times(n, |s| s.run(1.3, 5.2).turn()).stand(75.0);
    let review = check(plan, legs(10)(legs(10)(Script::new().stand(20.0))));
    assert_eq!(letters(&review), "ddddd ddddd");
    let review = check(plan, legs(8)(legs(10)(Script::new().stand(20.0))));
    assert_eq!(letters(&review), "ddddd ddddm");
}

#[test]
fn turns_that_were_not_recorded_are_not_held_against_him() {
    let plan = "strength \"cones\", 2 x 5 reps over 7 m there and back, 75 s between sets\n";
    let legs = |s: Script| s.times(10, |s| s.run(1.3, 5.2).turn()).stand(75.0);
    // Eight seconds in the middle of the second set hold three of its ten turns.
    let script = legs(legs(Script::new().stand(20.0)));
    let second_s = 20.0 + 10.0 * 2.6 + 75.0;
    let review = check(plan, script.lost(second_s + 9.0, second_s + 17.0));
    assert_eq!(letters(&review), "ddddd ddddd");
}

/// One block of two that differ in the ball alone: nothing tells which it was. With other work between them their order does.
#[test]
fn which_of_two_alike_blocks_was_done_is_left_open() {
    let block = |s: Script| s.times(4, rep).stand(95.0);
    let alike =
        "resistance 4 x 12 s, rest 25 s, then 2 min\nresistance with ball, 4 x 12 s, rest 25 s\n";
    let said = letters(&check(alike, block(Script::new().stand(20.0))));
    assert!(!said.contains('m'), "{said}");
    let apart = "resistance 4 x 12 s, rest 25 s, then 2 min\nstrength 3 x 4 x 9 m there and back, rest 25 s, then 2 min\n\
        resistance with ball, 4 x 12 s, rest 25 s\n";
    let shuttles = |s: Script| {
        s.times(4, |s| s.run(1.7, 5.2).turn().run(1.7, 5.2).stand(25.0))
            .stand(50.0)
    };
    let script = shuttles(shuttles(shuttles(
        block(Script::new().stand(20.0)).stand(25.0),
    )));
    let said = letters(&check(apart, script.stand(240.0)));
    assert!(said.ends_with("|mmmm"), "{said}");
}

/// A rep left out while its time passed is named by who asks for nine in ten, and by nobody who asks to be all but sure.
#[test]
fn what_is_held_against_him_can_be_asked_to_be_surer() {
    let left_out = || {
        let two = set(Script::new().stand(20.0)).times(2, rep);
        two.stand(37.0).times(1, rep).stand(30.0)
    };
    assert_eq!(letters(&check(RUNS, left_out())), "dddd ddmd");
    let surer = Tolerances {
        accuse: 0.99,
        ..Tolerances::default()
    };
    assert_eq!(letters(&check_as(RUNS, left_out(), &surer)), "dddd ddud");
}

#[test]
fn of_a_recording_unlike_the_plan_nothing_is_said() {
    for script in [Script::new(), Script::new().stand(300.0)] {
        let review = check(RUNS, script);
        assert_eq!(review.fits, Fits::No);
        assert_eq!(letters(&review), "uuuu uuuu");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    /// Whatever was run: every planned rep is there once, counts add up, and no bout is used twice.
    #[test]
    fn every_rep_is_answered_once(
        runs in proptest::collection::vec((2.0_f64..20.0, 3.0_f64..8.0, 8.0_f64..60.0), 0..14)
    ) {
        let script = runs.iter().fold(Script::new().stand(10.0), |script, &(work_s, speed, rest_s)| {
            script.run(work_s, speed).turn().stand(rest_s)
        });
        let review = check(RUNS, script);
        let reps: Vec<_> = review.blocks.iter().flat_map(|b| &b.sets).flat_map(|s| &s.reps).collect();
        prop_assert_eq!(reps.len(), 8);
        let c = review.counts;
        prop_assert_eq!(c.planned, c.done + c.short + c.slow + c.missed + c.unresolved);
        let mut spans: Vec<(f64, f64)> = reps.iter().filter_map(|r| r.start_s.zip(r.end_s)).collect();
        spans.sort_by(|a, b| a.0.total_cmp(&b.0));
        for pair in spans.windows(2) {
            prop_assert!(pair[0].1 <= pair[1].0 + 0.5);
        }
    }
}
