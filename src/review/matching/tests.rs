//! Sessions of runs between standing, matched.

use super::*;
use crate::motion::{Sample, SpeedFrom};
use crate::review::cost;
use crate::review::items::Kind;

/// A session of runs between standing, at 10 Hz: each from so many seconds for so many, along a line at 5 m/s.
fn session(runs: &[(f64, f64)], length_s: f64) -> Motion {
    session_at(5.0, runs, length_s)
}

/// The same at another speed.
fn session_at(top_m_s: f64, runs: &[(f64, f64)], length_s: f64) -> Motion {
    let mut x_m = 0.0;
    let samples = (0..(10.0 * length_s) as usize)
        .map(|k| {
            let time_s = k as f64 / 10.0;
            let speed_m_s = runs
                .iter()
                .map(|(from_s, run_s)| {
                    let in_s = time_s - from_s;
                    let left_s = from_s + run_s - time_s;
                    (4.0 * in_s.min(left_s)).clamp(0.0, top_m_s)
                })
                .fold(0.0, f64::max);
            x_m += 0.1 * speed_m_s;
            Sample {
                time_s,
                x_m,
                vx_m_s: speed_m_s,
                speed_m_s,
                ..Sample::default()
            }
        })
        .collect();
    let mut motion = Motion::of_run(samples, 10.0, SpeedFrom::Both);
    for k in 1..motion.samples.len() {
        motion.samples[k].acceleration_m_s2 =
            10.0 * (motion.samples[k].speed_m_s - motion.samples[k - 1].speed_m_s);
    }
    motion
}

fn matched(plan: &str, runs: &[(f64, f64)], length_s: f64) -> Matching {
    matched_in(plan, &session(runs, length_s), length_s)
}

fn matched_in(plan: &str, motion: &Motion, length_s: f64) -> Matching {
    let plan = crate::plan::parse(plan).expect("a plan");
    let bouts = crate::bouts::find(motion, &crate::bouts::Rules::default());
    matching(
        &plan,
        motion,
        &bouts,
        cost::quality(motion),
        (0.0, length_s),
        None,
        &Tolerances::default(),
    )
}

fn reps(matching: &Matching) -> Vec<Odds> {
    let all = matching.items.iter().zip(&matching.odds);
    all.filter(|(item, _)| item.kind != Kind::Extra)
        .map(|(_, odds)| *odds)
        .collect()
}

#[test]
fn reps_done_as_planned_are_surely_done() {
    let runs: Vec<(f64, f64)> = (0..4).map(|k| (60.0 + 42.0 * f64::from(k), 12.0)).collect();
    let matching = matched("resistance 4 x 12 s, rest 30 s", &runs, 300.0);
    for odds in reps(&matching) {
        assert!(odds.done > 0.95 && odds.here > 0.95, "{odds:?}");
    }
    assert!(matching.reordered.is_none());
    let [_, done, most] = matching.done[&(0, 0)];
    assert_eq!([done, most], [4.0; 2]);
}

/// One of two alike sets, with nothing before or behind it: which, nobody can tell, but three reps were done.
#[test]
fn of_two_alike_sets_the_number_of_reps_is_known() {
    let runs: Vec<(f64, f64)> = (0..3).map(|k| (60.0 + 42.0 * f64::from(k), 12.0)).collect();
    let plan = "resistance 2 x 3 x 12 s, rest 30 s, 2 min between sets";
    let matching = matched(plan, &runs, 220.0);
    assert_eq!(matching.done_of_block[&0], [3.0; 3]);
}

/// Who jogs his runs, at half of the speed that is usual, has done them: their times and rests are those of the plan.
#[test]
fn slow_runs_of_the_planned_time_are_done() {
    let runs: Vec<(f64, f64)> = (0..3)
        .map(|k| (120.0 + 150.0 * f64::from(k), 90.0))
        .collect();
    let motion = session_at(2.5, &runs, 560.0);
    let odds = reps(&matched_in(
        "resistance 3 x 90 s, rest 60 s",
        &motion,
        560.0,
    ));
    assert!(odds.iter().all(|o| o.done > 0.9), "{odds:?}");
}

/// Where its time passed a rep was left out in the middle; where it did not, at the end.
#[test]
fn the_rests_tell_which_rep_was_left_out() {
    let plan = "resistance 4 x 12 s, rest 30 s, then 2 min\nresistance 2 x 30 s, rest 60 s";
    let after = [(380.0, 30.0), (470.0, 30.0)];
    let middle = [&[(60.0, 12.0), (144.0, 12.0), (186.0, 12.0)][..], &after].concat();
    let odds = reps(&matched(plan, &middle, 560.0));
    assert!(odds[1].missing > 0.8 && odds[3].done > 0.8, "{odds:?}");
    let after = [(276.0, 30.0), (366.0, 30.0)];
    let end = [&[(60.0, 12.0), (102.0, 12.0), (144.0, 12.0)][..], &after].concat();
    let odds = reps(&matched(plan, &end, 460.0));
    assert!(odds[3].missing > 0.8 && odds[1].done > 0.8, "{odds:?}");
}

/// Rests of a third and of two and a half times their time, in all sets: nobody who keeps them so has left out the rep that would
/// have passed in the long ones.
#[test]
fn who_keeps_his_rests_loosely_has_left_out_nothing() {
    let mut at_s = 60.0;
    let mut runs = Vec::new();
    for rest_s in [14.0, 100.0, 17.0, 92.0, 15.0, 105.0, 13.0, 150.0] {
        runs.push((at_s, 8.0));
        at_s += 8.0 + rest_s;
    }
    for rest_s in [110.0, 16.0, 95.0, 14.0, 60.0] {
        runs.push((at_s, 8.0));
        at_s += 8.0 + rest_s;
    }
    let plan = "resistance 8 x 8 s, rest 40 s, then 2 min\nresistance 5 x 8 s, rest 40 s";
    let odds = reps(&matched(plan, &runs, at_s));
    assert!(odds.iter().all(|o| o.missing < 0.5), "{odds:?}");
}

/// Two alike blocks of one rep and one run: it is one of them, and as likely the one as the other within a factor of a few.
#[test]
fn what_cannot_be_told_is_left_open() {
    let plan = "resistance 1 x 12 s, rest 30 s\nresistance 1 x 12 s, rest 30 s";
    let odds = reps(&matched(plan, &[(100.0, 12.0)], 220.0));
    let found = odds[0].done + odds[1].done;
    assert!((found - 1.0).abs() < 0.1, "{odds:?}");
    assert!(odds.iter().all(|o| o.missing < 0.9), "{odds:?}");
}

/// A game is one rep, however often he stands, walks and bursts in it.
#[test]
fn a_game_holds_its_bursts() {
    let burst = |game: f64| (0..6).map(move |k| (game + 10.0 * f64::from(k), 7.0));
    let runs: Vec<(f64, f64)> = [60.0, 210.0, 360.0].into_iter().flat_map(burst).collect();
    let matching = matched("game \"3 v 3\", 3 x 60 s, rest 90 s", &runs, 480.0);
    for (fate, start_s) in matching.fates.iter().zip([60.0, 210.0, 360.0]) {
        let Fate::Stretch(from_s, to_s, false) = *fate else {
            panic!("{fate:?}");
        };
        let both = to_s.min(start_s + 60.0) - from_s.max(start_s);
        assert!(both > 40.0, "{fate:?}");
    }
}

#[test]
fn a_plan_of_another_session_gains_little() {
    let runs: Vec<(f64, f64)> = (0..4).map(|k| (60.0 + 42.0 * f64::from(k), 12.0)).collect();
    let right = matched("resistance 4 x 12 s, rest 30 s", &runs, 300.0);
    let wrong = matched("speed 4 x 60 m, rest 2 min", &runs, 300.0);
    assert!(
        right.gain > wrong.gain + 10.0,
        "{} {}",
        right.gain,
        wrong.gain
    );
}

/// The example of [`crate::review`], with the numbers that are told there.
#[test]
fn of_three_reps_the_second_was_left_out() {
    let (plan, runs) = (
        "resistance 3 x 12 s, rest 30 s",
        [(60.0, 12.0), (144.0, 12.0)],
    );
    let motion = session(&runs, 240.0);
    let bouts = crate::bouts::find(&motion, &crate::bouts::Rules::default());
    let quality = cost::quality(&motion);
    let parsed = crate::plan::parse(plan).expect("a plan");
    let rep = &items::schedule(&parsed, &[0], None).items[0];
    let near = |a: f64, b: f64| (a - b).abs() < 0.05;
    let told = [(60.0, 70.8, -1.3), (144.1, 154.8, -1.1)];
    assert_eq!(bouts.candidates.len(), told.len());
    for (bout, (start_s, end_s, nats)) in bouts.candidates.iter().zip(told) {
        assert!(
            near(bout.start_s, start_s) && near(bout.end_s, end_s),
            "{bout:?}"
        );
        assert!(cost::pair(rep, bout, &quality).is_some_and(|cost| near(cost, nats)));
    }
    let matching = matched(plan, &runs, 240.0);
    let account = [Fate::Bout(0), Fate::Missing, Fate::Bout(1), Fate::Missing];
    assert_eq!(matching.fates, account);
    let odds = reps(&matching);
    assert!(
        near(odds[1].missing, 0.94) && odds[1].at_first > 0.95,
        "{odds:?}"
    );
    assert!(odds[0].done > 0.99 && odds[2].done > 0.99, "{odds:?}");
    assert!((13.0..14.0).contains(&matching.gain), "{}", matching.gain);
}
