//! One drill over time and over a squad, of made reps.

use std::sync::Arc;

use jiff::ToSpan;
use jiff::civil::date;
use repledger::diary::{Drilled, DrilledRep};
use repledger::figure;
use repledger::measured::Measured;
use repledger::plan::Category;
use repledger::progress::{Drill, Gauge, Outcome, drills};
use repledger::report;
use repledger::review::Verdict;
use serde_json::Value;

use crate::figure::assert_readable;
use crate::support::outcome::Outcome as Done;

const SPRINTS: &str = "speed \"To halfway\", 3 x 40 m, rest 60 s\n";

/// A session with three reps of a peak and a time.
fn session(id: i64, athlete: &str, plan: &str, peak: f64, half: f64) -> Drilled {
    let rep = |verdict, less: f64| DrilledRep {
        verdict,
        work_s: Some(Measured::within(
            50.0 / peak + less,
            50.0 / peak + less - 0.3,
            50.0 / peak + less + 0.3,
        )),
        distance_m: Some(Measured::within(40.0, 38.0, 42.0)),
        peak_speed_m_s: Some(Measured::within(
            peak - less,
            peak - less - half,
            peak - less + half,
        )),
    };
    let category = if plan.starts_with("speed") {
        Category::Speed
    } else {
        Category::Resistance
    };
    Drilled {
        id,
        athlete: athlete.to_owned(),
        date: date(2026, 3, 3) + (7 * id).days(),
        rate_hz: 10.0,
        plan: Arc::from(plan),
        block: 1,
        category,
        reps: vec![
            rep(Verdict::Done, 0.2),
            rep(Verdict::Done, 0.0),
            rep(Verdict::Short, -3.0),
        ],
    }
}

fn only(drilled: &[Drilled]) -> Drill {
    let mut found = drills(drilled);
    assert_eq!(found.len(), 1, "{found:?}");
    found.remove(0)
}

#[test]
fn blocks_are_one_drill_by_category_ball_name_and_the_work_of_a_rep() {
    let plans = [
        (SPRINTS, 0),
        // More reps, another case: the same. Another length, the ball, or another name: not.
        ("speed \"to HALFWAY \", 2 x 6 x 40 m, rest walk back\n", 0),
        ("speed \"To halfway\", 3 x 30 m, rest 60 s\n", 1),
        ("speed \"To halfway\", with ball, 3 x 40 m, rest 60 s\n", 2),
        ("speed \"By the wing\", 3 x 40 m, rest 60 s\n", 3),
    ];
    let made: Vec<Drilled> = (1..)
        .zip(plans)
        .map(|(id, (plan, _))| session(id, "Ana", plan, 8.0, 0.1))
        .collect();
    let found = drills(&made);
    assert_eq!(found.len(), 4, "{found:?}");
    assert_eq!(found[0].times.len(), 2);
    // Without a name it joins the drill that agrees in the rest, unless there are two.
    let unnamed = session(9, "Ana", "speed 3 x 40 m, rest 60 s\n", 8.0, 0.1);
    let alone = only(&[made[0].clone(), unnamed.clone()]);
    assert_eq!(
        (alone.title(), alone.times.len()),
        ("To halfway".to_owned(), 2)
    );
    let several = drills(&[made[0].clone(), made[4].clone(), unnamed]);
    assert_eq!(several.len(), 3);
    assert!(several.iter().any(|drill| drill.is_called("speed 40 m")));
    assert!(drills(&[session(1, "Ana", "game 12 min\n", 8.0, 0.1)]).is_empty());
}

#[test]
fn the_best_is_of_reps_run_in_full_and_a_gain_is_clear_or_none() {
    let peaks = [
        (8.0, 0.2),
        (8.2, 0.2),
        (8.3, 0.2),
        (9.5, 2.0),
        (8.32, 0.2),
        (7.5, 0.2),
    ];
    let made: Vec<Drilled> = (1..)
        .zip(peaks)
        .map(|(id, (peak, half))| session(id, "Ana", SPRINTS, peak, half))
        .collect();
    let drill = only(&made);
    assert_eq!(drill.gauge(), Gauge::Peak);
    let against = drill.over_time("Ana");
    let outcomes: Vec<Outcome> = against.iter().map(|a| a.outcome).collect();
    assert_eq!(
        outcomes,
        [
            Outcome::First,
            Outcome::WithinError,
            Outcome::Gain { confirmed: true },
            Outcome::WithinError,
            Outcome::WithinError,
            Outcome::Below
        ]
    );
    // The rep that was cut short has a peak of 11 and is none.
    assert!((against[0].value.value - 8.0).abs() < 1e-9);
    // A wide interval does not win.
    let best = drill.best(drill.times.iter()).map(|(time, _)| time.id);
    assert_eq!(best, Some(5));
}

#[test]
fn of_times_less_is_better() {
    let plan = "resistance \"channel\", 3 x 60 m, rest 60 s\n";
    let made = [
        session(1, "Ana", plan, 6.0, 0.2),
        session(2, "Ana", plan, 8.0, 0.2),
        session(3, "Ana", plan, 5.0, 0.2),
    ];
    let drill = only(&made);
    assert_eq!(drill.gauge(), Gauge::Time);
    let outcomes: Vec<Outcome> = drill.over_time("Ana").iter().map(|a| a.outcome).collect();
    assert_eq!(
        outcomes,
        [
            Outcome::First,
            Outcome::Gain { confirmed: false },
            Outcome::Below
        ]
    );
}

#[test]
fn nobody_stands_above_another_but_where_it_is_clear_for_the_whole_squad() {
    // 0.45 m/s apart with half-widths of 0.3: told for two athletes, not among the pairs of eight.
    let two = only(&[
        session(1, "Ana", SPRINTS, 8.45, 0.3),
        session(2, "Ben", SPRINTS, 8.0, 0.3),
    ]);
    let standings = two.standings();
    assert_eq!(standings[0].clearly_above, ["Ben"]);
    assert!(standings[1].clearly_above.is_empty());
    let mut made = vec![session(1, "Ana", SPRINTS, 8.45, 0.3)];
    made.extend((2..9).map(|id| session(id, &format!("Ben {id}"), SPRINTS, 8.0, 0.3)));
    let squad = only(&made);
    assert!(squad.standings().iter().all(|s| s.clearly_above.is_empty()));
    // A clear difference stays clear.
    made.push(session(9, "Cem", SPRINTS, 6.0, 0.3));
    let squad = only(&made);
    assert_eq!(squad.standings()[0].clearly_above, ["Cem"]);
    let names: Vec<&str> = squad.standings().iter().map(|s| s.athlete).collect();
    assert!(names.is_sorted(), "{names:?}");
}

#[test]
fn texts_documents_and_pictures_hold_for_large_squads_and_odd_names() -> Done {
    let long =
        "Ünal \"the wall\" <b>of</b> the second eleven, on loan from another club ".repeat(4);
    for athletes in [1, 2, 40] {
        let made: Vec<Drilled> = (0..athletes * 3)
            .map(|id| {
                let who = id % athletes;
                let name = if who == 0 {
                    long.clone()
                } else {
                    format!("Player {who}")
                };
                session(id, &name, SPRINTS, 6.0 + 0.1 * who as f64, 0.1)
            })
            .collect();
        let drill = only(&made);
        let standings = drill.standings();
        for text in [
            report::drill::text::list(std::slice::from_ref(&drill)),
            report::drill::text::squad(&drill, &standings),
            report::drill::text::over_time(&drill, &long),
        ] {
            for line in text.lines() {
                assert!(unicode_width::UnicodeWidthStr::width(line) <= 80, "{line}");
            }
        }
        let schema: Value = serde_json::from_str(&report::drill::json::schema()?)?;
        let document: Value =
            serde_json::from_str(&report::drill::json::render(std::slice::from_ref(&drill))?)?;
        let faults = crate::support::schema::validator_for(&schema)?.faults(&document);
        assert!(faults.is_empty(), "{faults:?}");
        let squad = figure::drill_of_squad(&drill, &standings)?.ok_or("nothing drawn")?;
        assert_readable("squad", &squad);
        let one = figure::drill_over_time(&drill, &long)?.ok_or("nothing drawn")?;
        assert_readable("one", &one);
    }
    Ok(())
}

/// Nine sessions a week apart, each a little faster than the one before.
fn rising(step: f64, half: f64) -> Vec<Drilled> {
    (0..9)
        .map(|k| {
            // A scatter that cancels.
            let scatter = [0.02, -0.02, 0.0][k as usize % 3];
            session(k, "Ana", SPRINTS, 8.0 + step * k as f64 + scatter, half)
        })
        .collect()
}

#[test]
fn small_steps_are_clear_together() {
    let drill = only(&rising(0.03, 0.15));
    // None of them is a gain for itself over the one before, and the last few hardly over the first.
    let tendency = drill.tendency("Ana").unwrap();
    assert_eq!(tendency.times, 9);
    assert!((tendency.weeks - 8.0).abs() < 1e-9);
    // Four steps in four weeks.
    let change = tendency.four_weeks;
    assert!((change.value - 0.12).abs() < 0.01, "{change:?}");
    assert!(0.0 < change.low && change.high < 0.3, "{change:?}");
    assert_eq!(drill.is_better(change), Some(true));
    let text = report::drill::text::over_time(&drill, "Ana");
    assert!(text.contains("clearly better."), "{text}");
    assert!(text.contains("m/s in four weeks"), "{text}");

    let vague = only(&rising(0.03, 1.0)).tendency("Ana").unwrap();
    assert_eq!(drill.is_better(vague.four_weeks), None);
}

#[test]
fn few_times_or_another_receiver_show_no_tendency() {
    let all = rising(0.03, 0.15);
    assert!(only(&all[..3]).tendency("Ana").is_none());
    let mut other = all.clone();
    other[8].rate_hz = 1.0;
    assert!(only(&other).tendency("Ana").is_none());
    assert!(only(&all).tendency("Ben").is_none());
    // Within three weeks.
    let near: Vec<Drilled> = (all.into_iter().zip(0..))
        .map(|(drilled, k)| Drilled {
            date: date(2026, 3, 3) + k.days(),
            ..drilled
        })
        .collect();
    assert!(only(&near).tendency("Ana").is_none());
}
