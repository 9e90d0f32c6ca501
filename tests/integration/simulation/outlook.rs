//! How well a receiver could judge a plan, and how that is told.

use std::sync::atomic::{AtomicUsize, Ordering};

use repledger::plan::{self, Plan};
use repledger::report;
use repledger::session;
use repledger::settings::Settings;
use repledger::simulation::outlook::{Judged, Outlook, Study, example, outlook};
use repledger::simulation::{Departure, Kind};
use serde_json::Value;

use crate::support::outcome::Outcome;
use crate::support::schema;

/// Shuffles whose reps run on, and an easy end.
const SHUFFLES: &str = "title: Shuffles\ntop speed: 8.5 m/s\n\n\
    strength \"line touches\", 2 x 5 reps over 7 m there and back, 60 s between sets, then 1 min\n\
    cool-down 2 min\n";

fn read(text: &str) -> Outcome<Plan> {
    Ok(plan::parse(text).map_err(|mistakes| format!("{mistakes:?}"))?)
}

fn study(kinds: &[Kind], sessions: u32, seed: u64) -> Study {
    Study {
        kinds: kinds.to_vec(),
        sessions,
        seed,
    }
}

fn judged(text: &str, study: &Study) -> Outcome<Outlook> {
    Ok(outlook(&read(text)?, study, &Settings::default(), &|_| ())?)
}

#[test]
fn ten_fixes_a_second_tell_more_of_shuffles_than_irregular_ones() -> Outcome {
    let outlook = judged(SHUFFLES, &study(&[Kind::Unit10, Kind::WatchSparse], 6, 1))?;
    let [fast, slow] = outlook.receivers.as_slice() else {
        return Err("two receivers".into());
    };
    let (fast, slow) = (&fast.blocks[0], &slow.blocks[0]);
    assert_ne!(slow.judged, Judged::RepByRep, "{slow:?}");
    // Of the sets left out nobody can tell which they were; of what was done the fast one says more, and says it rightly.
    let (fast_share, slow_share) = (&fast.shares, &slow.shares);
    assert!(fast_share.resolved > slow_share.resolved && fast_share.right > slow_share.right);
    assert!(10 * fast_share.right >= 9 * fast_share.resolved, "{fast:?}");
    assert_eq!(fast.shares.planned, 60);
    Ok(())
}

#[test]
fn a_continuous_block_is_a_bout_at_best() -> Outcome {
    let outlook = judged(SHUFFLES, &study(&[Kind::Unit10], 2, 4))?;
    assert_ne!(outlook.receivers[0].blocks[1].judged, Judged::RepByRep);
    Ok(())
}

#[test]
fn counts_are_parts_of_what_they_are_counted_of() -> Outcome {
    let outlook = judged(SHUFFLES, &study(&Kind::ALL, 2, 2))?;
    assert_eq!(outlook.receivers.len(), Kind::ALL.len());
    for receiver in &outlook.receivers {
        let all = &receiver.all;
        assert_eq!(all.planned, 2 * 11);
        assert!(all.right <= all.resolved && all.resolved <= all.planned);
        assert!(all.named <= all.not_done && all.not_done <= all.planned);
        assert!(all.seen <= all.sets && all.sets <= 2 * 3);
        let of_blocks: usize = receiver.blocks.iter().map(|b| b.shares.right).sum();
        assert_eq!(all.right, of_blocks);
        for intervals in [all.work_s, all.peak_speed_m_s, all.distance_m, all.rest_s] {
            assert!(intervals.is_none_or(|i| i.width > 0.0 && i.held <= i.count));
        }
    }
    Ok(())
}

#[test]
fn a_seed_repeats_and_another_differs() -> Outcome {
    let kinds = [Kind::Unit5, Kind::Phone1];
    let one = judged(SHUFFLES, &study(&kinds, 3, 7))?;
    assert_eq!(one, judged(SHUFFLES, &study(&kinds, 3, 7))?);
    let other = judged(SHUFFLES, &study(&kinds, 3, 8))?;
    assert_ne!(one.receivers, other.receivers);
    Ok(())
}

#[test]
fn every_recording_is_told_of_once() -> Outcome {
    let last = AtomicUsize::new(0);
    let calls = AtomicUsize::new(0);
    let study = study(&[Kind::Watch1, Kind::Watch1v], 2, 1);
    outlook(&read(SHUFFLES)?, &study, &Settings::default(), &|done| {
        last.fetch_max(done, Ordering::Relaxed);
        calls.fetch_add(1, Ordering::Relaxed);
    })?;
    assert_eq!((last.into_inner(), calls.into_inner()), (4, 4));
    Ok(())
}

#[test]
fn the_athlete_has_the_top_speed_of_the_plan_or_of_the_settings() -> Outcome {
    let text = "speed 2 x 60 m, rest 60 s\n";
    let mut settings = Settings::default();
    settings.review.top_speed_m_s = Some(7.0);
    // The best of some sessions, since in one or another the sprints are left out or not recorded.
    let reaches = |text: &str| -> Outcome<f64> {
        let plan = read(text)?;
        let mut best_m_s = 0.0_f64;
        for seed in 0..8 {
            let simulated = example(&plan, Kind::Unit10, seed, &settings)?;
            best_m_s = best_m_s.max(simulated.truth.top_speed_m_s);
        }
        Ok(best_m_s)
    };
    // A sprint of 60 m comes within some percent of the athlete's top speed.
    let of_settings = reaches(text)?;
    assert!((6.4..=7.3).contains(&of_settings), "{of_settings}");
    let of_plan = reaches(&format!("top speed: 9.0 m/s\n{text}"))?;
    assert!((8.2..=9.4).contains(&of_plan), "{of_plan}");
    Ok(())
}

#[test]
fn the_example_is_one_of_the_sessions_and_keeps_the_order_of_blocks() -> Outcome {
    let plan = read("strength 4 x 8 s, rest 20 s\nspeed 3 x 20 m, rest walk back\n")?;
    for seed in 0..20 {
        let simulated = example(&plan, Kind::Watch1, seed, &Settings::default())?;
        let list = &simulated.departures.list;
        assert!(!list.iter().any(|d| matches!(d, Departure::Swap { .. })));
        session::analyse(&simulated.bytes(), Some(&plan), &Settings::default())?;
    }
    Ok(())
}

#[test]
fn a_plan_of_a_day_is_refused() {
    for text in [
        "resistance 20 x 20 min, rest 5 min\n".to_owned(),
        "speed 10000 x 1 s, rest 1 s\n".to_owned(),
    ] {
        let refused = judged(&text, &study(&[Kind::Unit10], 1, 1));
        let message = refused.map_err(|e| e.to_string()).map(|_| ());
        assert!(message.is_err_and(|m| m.contains("up to 4 h")), "{text}");
    }
}

#[test]
fn the_json_is_as_the_schema_says() -> Outcome {
    let schema: Value = serde_json::from_str(&report::simulation::json::schema()?)?;
    let validator = schema::validator_for(&schema)?;
    let faults = |document: &Value| -> Vec<String> { validator.faults(document) };
    let outlook = judged(SHUFFLES, &study(&[Kind::Local25, Kind::Phone1], 2, 5))?;
    let kept = example(&read(SHUFFLES)?, Kind::Local25, 5, &Settings::default())?;
    for kept in [None, Some(&kept)] {
        let document: Value =
            serde_json::from_str(&report::simulation::json::render(&outlook, kept)?)?;
        assert_eq!(document["schema"], report::simulation::json::NAME);
        assert_eq!(faults(&document), Vec::<String>::new());
        assert_eq!(document["kept"].is_null(), kept.is_none());
        let mut bad = document.clone();
        bad["receivers"][0]["blocks"][0]["judged"] = "perhaps".into();
        assert!(!faults(&bad).is_empty());
        let mut bad = document;
        bad["receivers"][0]["all"]["unheard_of"] = Value::Null;
        assert!(!faults(&bad).is_empty());
    }
    Ok(())
}

#[test]
fn the_text_keeps_to_80_columns_and_names_cannot_drive_the_terminal() -> Outcome {
    let long = format!(
        "{SHUFFLES}technical \"{}\", 2 min\n",
        "wall passes ".repeat(12)
    );
    for kinds in [&Kind::ALL[..], &[Kind::Watch1]] {
        let mut outlook = judged(&long, &study(kinds, 1, 3))?;
        outlook.plan.header.title = Some("Made\u{1b}[2J up".to_owned());
        outlook.plan.blocks[0].name = Some("line\u{1b}[1A touches".to_owned());
        let text = report::simulation::text::render(&outlook);
        assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
        assert!(!text.contains('\u{1b}'), "{text}");
        assert!(text.contains("7 m shuffles"), "{text}");
        assert!(text.contains("This watch "), "{text}");
        // The overview of several receivers.
        assert_eq!(text.contains("unit10 unit5 local25"), kinds.len() > 1);
    }
    Ok(())
}
