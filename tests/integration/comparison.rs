//! Sessions held beside each other.

use repledger::comparison::{Comparison, Difference, Quantity, Row, Side, Value, Verdict, compare};
use repledger::diary::{Activity, Diary, Filter, NewEntry};
use repledger::measured::Measured;
use repledger::plan::{Plan, parse};
use repledger::report;
use repledger::review::{BlockReview, BlockVerdict, RepReview, SetReview, Verdict as RepVerdict};
use repledger::simulation::Kind;
use serde_json::Value as Json;

use crate::support::outcome::Outcome;
use crate::support::schema;
use crate::support::sessions::reviewed;

fn plan(text: &str) -> Outcome<Plan> {
    parse(text).map_err(|mistakes| format!("{mistakes:?}").into())
}

fn row(comparison: &Comparison, quantity: Quantity) -> Outcome<&Row> {
    comparison
        .rows
        .iter()
        .find(|row| row.quantity == quantity)
        .ok_or_else(|| format!("no {quantity:?}").into())
}

#[test]
fn what_differs_by_more_than_the_intervals_is_told_and_nothing_else() -> Outcome {
    let session = reviewed(7, Kind::Unit10);
    let base = Side::of("base", &session);
    let mut far = base.clone();
    far.name = "far".to_owned();
    far.recorded.distance_m = Measured::within(5000.0, 4900.0, 5100.0);
    let mut near = far.clone();
    near.recorded.distance_m = Measured::within(5100.0, 5000.0, 5150.0);
    let mut less = far.clone();
    less.recorded.distance_m = Measured::within(4800.0, 4750.0, 4850.0);
    let comparison = compare(vec![far, near, less]);
    let distance = row(&comparison, Quantity::Distance)?;
    assert_eq!(distance.verdict(0), None);
    // Upwards hypot(100, 100) = 141.4 m are open, and 100 m is what was seen.
    assert_eq!(distance.verdict(1), Some(Verdict::NoClearChange));
    // Downwards hypot(50, 100) = 111.8 m are open, and 200 m were seen.
    assert_eq!(distance.verdict(2), Some(Verdict::Less));
    let Some(Difference::Judged(change)) = &distance.differences[1] else {
        return Err("not judged".into());
    };
    assert!((change.difference.value - 100.0).abs() < 1e-9);
    assert!((change.smallest - 100f64.hypot(100.0)).abs() < 1e-9);
    Ok(())
}

#[test]
fn a_session_against_itself_shows_no_clear_change_anywhere() {
    let session = reviewed(7, Kind::Watch1v);
    let comparison = compare(vec![Side::of("a", &session), Side::of("b", &session)]);
    assert!(!comparison.drills.is_empty());
    let rows = comparison
        .rows
        .iter()
        .chain(comparison.drills.iter().flat_map(|d| &d.rows));
    for row in rows {
        let judged = matches!(row.values[0], Some(Value::Measured(_)));
        assert_eq!(
            row.verdict(1),
            judged.then_some(Verdict::NoClearChange),
            "{row:?}"
        );
        assert_eq!(
            row.differences[1].as_ref().map(Difference::value),
            Some(0.0),
            "{row:?}"
        );
    }
}

#[test]
fn sums_and_counts_get_no_verdict() -> Outcome {
    let comparison = compare(vec![
        Side::of("a", &reviewed(7, Kind::Unit10)),
        Side::of("b", &reviewed(8, Kind::Unit10)),
    ]);
    for quantity in [
        Quantity::HighSpeedDistance,
        Quantity::SprintDistance,
        Quantity::Sprints,
        Quantity::Duration,
    ] {
        let row = row(&comparison, quantity)?;
        assert!(matches!(row.differences[1], Some(Difference::Plain(_))));
        assert_eq!(row.verdict(1), None);
    }
    Ok(())
}

#[test]
fn other_thresholds_are_shown_and_not_compared() -> Outcome {
    let session = reviewed(7, Kind::Unit10);
    let base = Side::of("men.gpx", &session);
    let mut other = Side::of("women.gpx", &session);
    other.recorded.thresholds_m_s = [5.3, 6.3];
    let comparison = compare(vec![base, other]);
    for quantity in [
        Quantity::HighSpeedDistance,
        Quantity::SprintDistance,
        Quantity::Sprints,
    ] {
        let row = row(&comparison, quantity)?;
        assert!(row.values[1].is_some());
        assert_eq!(row.differences[1], None);
    }
    assert!(row(&comparison, Quantity::Distance)?.verdict(1).is_some());
    let note = comparison.notes.first().ok_or("no note")?;
    for told in ["women.gpx", "men.gpx", "not compared"] {
        assert!(note.contains(told), "{note}");
    }
    let text = report::comparison::text::render(&comparison);
    for told in [
        "fast from 5.3 m/s, a sprint from 6.3 m/s",
        "a sprint from 7 m/s",
    ] {
        assert!(text.contains(told), "{text}");
    }
    Ok(())
}

#[test]
fn other_receivers_are_named() {
    let comparison = compare(vec![
        Side::of("unit", &reviewed(7, Kind::Unit10)),
        Side::of("watch", &reviewed(7, Kind::Watch1)),
        Side::of("unit too", &reviewed(8, Kind::Unit10)),
    ]);
    let told: Vec<_> = comparison
        .notes
        .iter()
        .filter(|n| n.contains("another kind of receiver"))
        .collect();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].starts_with("watch:"), "{told:?}");
}

/// A side with one block, of which each rep has this peak and verdict.
fn drilled(side: &Side, line: &str, peaks: &[(f64, RepVerdict)]) -> Outcome<Side> {
    let mut side = side.clone();
    let plan = plan(line)?;
    let block = plan.blocks.first().ok_or("no block")?.clone();
    let reps = peaks.iter().zip(1..).map(|((peak, verdict), index)| {
        let mut rep = RepReview::new(index, *verdict);
        rep.peak_speed_m_s = Some(Measured::within(*peak, peak - 0.1, peak + 0.1));
        rep
    });
    let review = BlockReview {
        index: 1,
        category: block.category,
        name: block.name.clone(),
        with_ball: block.with_ball,
        verdict: BlockVerdict::Done,
        start_s: None,
        end_s: None,
        reps_done: None,
        sets: vec![SetReview {
            index: 1,
            rest_after_s: None,
            rest_after_planned_s: None,
            rest_after_verdict: None,
            reps: reps.collect(),
            decrement_percent: None,
            reps_done: None,
        }],
    };
    side.blocks = vec![repledger::comparison::Drilled {
        block,
        review,
        fades: Vec::new(),
    }];
    Ok(side)
}

#[test]
fn reps_of_the_same_drill_stand_beside_each_other() -> Outcome {
    use RepVerdict::{Done, Short};
    let side = Side::of("a", &reviewed(7, Kind::Unit10));
    let line = "speed \"to halfway\", 3 x 40 m, rest walk back";
    let base = drilled(&side, line, &[(8.0, Done), (8.2, Done), (8.1, Done)])?;
    let more = "speed \"To halfway\", 4 x 40 m, rest 60 s";
    let other = drilled(
        &side,
        more,
        &[(8.5, Done), (8.25, Done), (5.0, Short), (8.4, Done)],
    )?;
    let comparison = compare(vec![base, other]);
    let [drill] = comparison.drills.as_slice() else {
        return Err(format!("{:?}", comparison.drills).into());
    };
    assert_eq!(drill.blocks, [Some(1), Some(1)]);
    assert_eq!(drill.like_for_like, [true, true]);
    assert_eq!(drill.reps.len(), 4);
    let verdicts: Vec<_> = drill
        .reps
        .iter()
        .map(|r| r.peak_differences[1].as_ref().and_then(Difference::verdict))
        .collect();
    // Half-widths of 0.1 each leave 0.14 m/s open; a rep cut short and one without a partner are not compared.
    assert_eq!(
        verdicts,
        [
            Some(Verdict::More),
            Some(Verdict::NoClearChange),
            None,
            None
        ]
    );
    assert!(drill.reps[3].reps[0].is_none() && drill.reps[3].reps[1].is_some());
    let peak = drill
        .rows
        .iter()
        .find(|r| r.quantity == Quantity::Peak)
        .ok_or("no peak")?;
    let Some(Value::Measured(mean)) = peak.values[1] else {
        return Err("no mean".into());
    };
    // Of the three reps run in full.
    assert!((mean.value - (8.5 + 8.25 + 8.4) / 3.0).abs() < 1e-9);
    Ok(())
}

#[test]
fn reps_that_cannot_be_told_are_not_called_fewer() -> Outcome {
    use RepVerdict::{Done, Missed, Unresolved};
    let side = Side::of("a", &reviewed(7, Kind::Unit10));
    let line = "speed \"to halfway\", 3 x 40 m, rest walk back";
    let with = |last| drilled(&side, line, &[(8.0, Done), (8.2, Done), (8.1, last)]);
    let comparison = compare(vec![with(Done)?, with(Unresolved)?, with(Missed)?]);
    let drill = comparison.drills.first().ok_or("no drill")?;
    let done = drill
        .rows
        .iter()
        .find(|r| r.quantity == Quantity::RepsDone)
        .ok_or("no reps")?;
    let share = |open| {
        Some(Value::Share {
            part: 2,
            of: 3,
            open,
        })
    };
    assert_eq!(done.values[1..], [share(1), share(0)]);
    assert_eq!(done.differences[1], None);
    assert!(done.differences[2].is_some());
    let text = report::comparison::text::render(&comparison);
    assert!(text.contains("2 of 3, 1 ?"), "{text}");
    Ok(())
}

#[test]
fn another_distance_under_the_same_name_is_not_compared() -> Outcome {
    let side = Side::of("a", &reviewed(7, Kind::Unit10));
    let done = [(8.0, RepVerdict::Done)];
    let comparison = compare(vec![
        drilled(&side, "speed \"flyers\", 1 x 40 m", &done)?,
        drilled(
            &side,
            "speed \"flyers\", 1 x 20 m",
            &[(9.0, RepVerdict::Done)],
        )?,
        drilled(&side, "resistance 1 x 40 m", &done)?,
    ]);
    let [drill] = comparison.drills.as_slice() else {
        return Err(format!("{:?}", comparison.drills).into());
    };
    assert_eq!(drill.blocks, [Some(1), Some(1), None]);
    assert_eq!(drill.like_for_like, [true, false, false]);
    assert_eq!(drill.reps[0].peak_differences, [None, None, None]);
    assert!(drill.rows.iter().all(|row| row.differences[1].is_none()));
    Ok(())
}

#[test]
fn an_entry_of_the_diary_is_compared_by_its_sums() -> Outcome {
    let session = reviewed(7, Kind::Unit10);
    let mut diary = Diary::in_memory()?;
    let note = NewEntry::note(
        "Mika",
        jiff::civil::date(2026, 5, 12),
        Activity::Training,
        3600.0,
    );
    let recorded = repledger::diary::Recorded::of(&session);
    diary.add(&note.clone().with_summary(recorded, [7; 32]))?;
    diary.add(&note)?;
    let entries = diary.entries(&Filter::default())?;
    let kept = Side::of_entry("diary:1", &entries[0]).ok_or("nothing recorded")?;
    assert!(Side::of_entry("diary:2", &entries[1]).is_none());
    let comparison = compare(vec![Side::of("a.gpx", &session), kept]);
    let distance = row(&comparison, Quantity::Distance)?;
    assert_eq!(distance.verdict(1), Some(Verdict::NoClearChange));
    assert!(comparison.drills.is_empty());
    // The diary keeps thresholds to the thousandth, so they are the same here.
    assert!(row(&comparison, Quantity::Sprints)?.differences[1].is_some());
    Ok(())
}

#[test]
fn json_is_as_the_schema_says() -> Outcome {
    let (a, b) = (reviewed(7, Kind::Unit10), reviewed(7, Kind::Watch1));
    let mut without = Side::of("c", &reviewed(9, Kind::Phone1));
    without.recorded.top_speed_m_s = None;
    without.recorded.distance_m.high = f64::INFINITY;
    let comparison = compare(vec![Side::of("a", &a), Side::of("b", &b), without]);
    let text = report::comparison::json::render(&comparison)?;
    let schema: Json = serde_json::from_str(&report::comparison::json::schema()?)?;
    let document: Json = serde_json::from_str(&text)?;
    let wrong: Vec<String> = schema::validator_for(&schema)?.faults(&document);
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert_eq!(document["schema"], report::comparison::json::NAME);
    for row in document["quantities"].as_array().ok_or("no rows")? {
        assert_eq!(row["values"].as_array().map(Vec::len), Some(3), "{row}");
        assert_eq!(row["differences"][0], Json::Null, "{row}");
    }
    let named = |name: &str| {
        let rows = document["quantities"].as_array();
        rows.and_then(|rows| rows.iter().find(|r| r["name"] == name))
            .cloned()
            .ok_or("no such row")
    };
    // What is not known, and what has no end, is null and not compared.
    assert_eq!(named("top_speed_m_s")?["values"][2], Json::Null);
    assert_eq!(named("distance_m")?["differences"][2], Json::Null);
    assert!(!document["drills"].as_array().ok_or("no drills")?.is_empty());
    Ok(())
}

#[test]
fn the_account_keeps_within_80_columns_and_drives_no_terminal() {
    let mut wild = Side::of("b\u{1b}[2J.gpx", &reviewed(8, Kind::Unit10));
    wild.title = Some("long ".repeat(40));
    wild.athlete = Some("Zo\u{202e}ë".to_owned());
    let mut base = Side::of("a.gpx", &reviewed(7, Kind::Unit10));
    base.athlete = Some("Mika".to_owned());
    let text = report::comparison::text::render(&compare(vec![base, wild]));
    let plain = anstream::adapter::strip_str(&text).to_string();
    for line in plain.lines() {
        assert!(line.chars().count() <= 80, "{line:?}");
    }
    assert!(!plain.contains(['\u{1b}', '\u{202e}']), "{plain:?}");
    for told in ["B less A", "seen from", "no clear change", "Notes", "Zoë"] {
        assert!(plain.contains(told), "no {told:?} in\n{plain}");
    }
}
