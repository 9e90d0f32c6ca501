//! The account and the JSON of made sessions.

use repledger::measured::Measured;
use repledger::note::Note;
use repledger::plan::Category;
use repledger::report::{self, terminal};
use repledger::review::{
    BlockReview, BlockVerdict, Counts, Fits, PlanReview, Planned, Reached, Reason, RepReview,
    RestVerdict, SetReview, TopSpeed, TopSpeedSource, Unplanned, Verdict,
};
use repledger::session::{self, Session};
use repledger::settings::Settings;
use repledger::trace::{Clock, Fix, Format, Position, SetAside, Trace};
use serde_json::Value;

use crate::support::account::used_and_set_aside_make_all;
use crate::support::outcome::Outcome;
use crate::support::schema;

/// Runs of 6 s up to 8 m/s and 24 s of walking, turn by turn, along one line; `hz` fixes a second with speed.
fn trace(hz: f64, minutes: f64) -> Trace {
    let mut x_m = 0.0;
    let fixes = (0..(hz * 60.0 * minutes) as u32).map(|i| {
        let time_s = f64::from(i) / hz;
        let into_s = time_s % 30.0;
        let speed_m_s = if into_s < 6.0 {
            8.0 * (into_s * std::f64::consts::PI / 6.0).sin().max(0.15)
        } else {
            1.2
        };
        x_m += speed_m_s / hz;
        Fix {
            time_s,
            position: Some(Position::Local { x_m, y_m: 0.0 }),
            speed_m_s: Some(speed_m_s),
            line: u64::from(i) + 2,
            ..Fix::default()
        }
    });
    Trace {
        fixes: fixes.collect(),
        clock: Clock::Elapsed,
        offset: None,
        format: Format::Csv { delimiter: ',' },
        title: Some("Made\u{1b}[2J up\u{202e}".to_owned()),
        device: None,
        set_aside: vec![SetAside {
            reason: "no time".to_owned(),
            count: 3,
            first_line: Some(7),
        }],
        defects: Vec::new(),
    }
}

fn session(hz: f64, minutes: f64) -> Outcome<Session> {
    Ok(session::account(
        trace(hz, minutes),
        None,
        &Settings::default(),
    )?)
}

fn why(verdict: Verdict) -> Option<Reason> {
    match verdict {
        Verdict::Done => None,
        Verdict::Short => Some(Reason::CutOff {
            share: 0.6,
            planned: Planned::Time(6.0),
        }),
        Verdict::Slow => Some(Reason::Slow),
        Verdict::Missed => Some(Reason::NotThere),
        Verdict::Unresolved => Some(Reason::DoneOpen),
    }
}

fn rep(index: usize, verdict: Verdict) -> RepReview {
    let found = verdict != Verdict::Missed;
    let of = |value, half| found.then_some(Measured::within(value, value - half, value + half));
    RepReview {
        index,
        verdict,
        probability: (verdict != Verdict::Unresolved).then_some(0.97),
        why: why(verdict),
        start_s: found.then_some(30.0 * index as f64),
        end_s: found.then_some(30.0 * index as f64 + 6.0),
        work_s: of(6.1, 0.2),
        work_planned_s: Some(6.0),
        distance_m: of(31.4, 1.0),
        distance_planned_m: None,
        peak_speed_m_s: of(8.0, 0.1),
        of_top_speed: of(0.95, 0.012),
        reached: found.then_some(Reached::Unclear),
        rest_s: of(41.0, 0.3),
        rest_planned_s: Some(25.0),
        rest_verdict: found.then_some(RestVerdict::Long),
        heart_rate_end_bpm: found.then_some(171.0),
        heart_rate_drop_bpm: None,
    }
}

/// A review of so many blocks, each of two sets of six reps, of every verdict one.
fn plan_review(blocks: usize) -> PlanReview {
    let verdicts = [
        Verdict::Done,
        Verdict::Done,
        Verdict::Short,
        Verdict::Slow,
        Verdict::Missed,
        Verdict::Unresolved,
    ];
    let set = |index| SetReview {
        index,
        rest_after_s: Some(Measured::normal(91.2, 0.4)),
        rest_after_planned_s: Some(90.0),
        rest_after_verdict: Some(RestVerdict::Kept),
        reps: (1..).zip(verdicts).map(|(i, v)| rep(i, v)).collect(),
        decrement_percent: Some(3.77),
        reps_done: None,
    };
    let block = |index| BlockReview {
        index,
        category: Category::Resistance,
        name: Some("channel runs 走る along the whole of the touchline\u{7}".to_owned()),
        with_ball: true,
        verdict: BlockVerdict::Short,
        start_s: Some(30.0),
        end_s: Some(200.0),
        reps_done: None,
        sets: vec![set(1), set(2)],
    };
    let each = 2 * blocks;
    PlanReview {
        blocks: (1..=blocks).map(block).collect(),
        unplanned: vec![Unplanned {
            start_s: 300.0,
            end_s: 322.0,
            distance_m: Measured::within(120.0, 118.0, 122.0),
            peak_speed_m_s: Measured::within(6.2, 6.0, 6.4),
        }],
        fits: Fits::Yes,
        counts: Counts {
            planned: 6 * each,
            done: 2 * each,
            short: each,
            slow: each,
            missed: each,
            unresolved: each,
        },
        top_speed: Some(TopSpeed {
            speed_m_s: Measured::within(8.4, 8.4, 8.4),
            source: TopSpeedSource::Plan,
        }),
    }
}

fn plain(session: &Session) -> String {
    anstream::adapter::strip_str(&terminal::render(session)).to_string()
}

/// What the schema has to say against the document.
fn faults(document: &Value) -> Outcome<Vec<String>> {
    let schema: Value = serde_json::from_str(&report::review::json::schema()?)?;
    let validator = schema::validator_for(&schema)?;
    Ok(validator.faults(document))
}

fn document(session: &Session) -> Outcome<Value> {
    Ok(serde_json::from_str(&report::review::json::render(
        session,
    )?)?)
}

#[test]
fn a_game_has_no_decrement() -> Outcome {
    for (category, known) in [(Category::Resistance, true), (Category::Game, false)] {
        let mut session = session(10.0, 5.0)?;
        let mut plan = plan_review(1);
        plan.blocks[0].category = category;
        session.review.plan = Some(plan);
        let document = document(&session)?;
        let set = &document["plan"]["blocks"][0]["sets"][0];
        assert_eq!(set["decrement_percent"].is_number(), known, "{category:?}");
    }
    Ok(())
}

#[test]
fn the_json_is_as_the_schema_says() -> Outcome {
    for hz in [1.0, 10.0] {
        let mut session = session(hz, 6.0)?;
        assert_eq!(faults(&document(&session)?)?, Vec::<String>::new());
        session.review.plan = Some(plan_review(3));
        assert_eq!(faults(&document(&session)?)?, Vec::<String>::new());
    }
    Ok(())
}

#[test]
fn the_schema_notices_what_is_missing_renamed_or_wrong() -> Outcome {
    let mut session = session(10.0, 6.0)?;
    session.review.plan = Some(plan_review(1));
    let good = document(&session)?;
    for (pointer, field) in [
        ("", "notes"),
        ("/recording", "used"),
        ("/plan/blocks/0/sets/0/reps/0", "reached"),
        ("/totals/distance_m", "low"),
    ] {
        let mut bad = good.clone();
        let object = bad
            .pointer_mut(pointer)
            .and_then(Value::as_object_mut)
            .ok_or(pointer)?;
        object.remove(field).ok_or(field)?;
        assert!(
            !faults(&bad)?.is_empty(),
            "{pointer}/{field} may be missing"
        );
        let mut bad = good.clone();
        let object = bad
            .pointer_mut(pointer)
            .and_then(Value::as_object_mut)
            .ok_or(pointer)?;
        object.insert("unheard_of".to_owned(), Value::Null);
        assert!(!faults(&bad)?.is_empty(), "{pointer} may hold anything");
    }
    let mut bad = good.clone();
    *bad.pointer_mut("/plan/blocks/0/sets/0/reps/0/verdict")
        .ok_or("verdict")? = "perhaps".into();
    assert!(!faults(&bad)?.is_empty());
    Ok(())
}

#[test]
fn every_field_of_the_schema_is_described() -> Outcome {
    fn bare(value: &Value, path: &str, found: &mut Vec<String>) {
        if let Some(properties) = value.get("properties").and_then(Value::as_object) {
            for (name, field) in properties {
                if field
                    .get("description")
                    .and_then(Value::as_str)
                    .is_none_or(str::is_empty)
                {
                    found.push(format!("{path}/{name}"));
                }
            }
        }
        match value {
            Value::Object(map) => map
                .iter()
                .for_each(|(k, v)| bare(v, &format!("{path}/{k}"), found)),
            Value::Array(list) => list.iter().for_each(|v| bare(v, path, found)),
            _ => {}
        }
    }
    let mut found = Vec::new();
    bare(
        &serde_json::from_str(&report::review::json::schema()?)?,
        "",
        &mut found,
    );
    assert_eq!(found, Vec::<String>::new());
    Ok(())
}

#[test]
fn used_and_set_aside_make_all_fixes() -> Outcome {
    let document = document(&session(10.0, 3.0)?)?;
    let recording = &document["recording"];
    used_and_set_aside_make_all(recording)?;
    assert_eq!(recording["fixes"], 1803);
    Ok(())
}

#[test]
fn what_is_not_known_is_null() -> Outcome {
    let mut session = session(1.0, 6.0)?;
    let slow = document(&session)?;
    assert_eq!(slow["plan"], Value::Null);
    assert_eq!(slow["session"]["start"], Value::Null);
    for effort in slow["efforts"].as_array().ok_or("no efforts")? {
        assert_eq!(effort["peak_acceleration_m_s2"], Value::Null);
    }
    session.review.plan = Some(plan_review(1));
    let missed = &document(&session)?["plan"]["blocks"][0]["sets"][0]["reps"][4];
    assert_eq!(missed["verdict"], "missed");
    for field in [
        "start_s",
        "work_s",
        "distance_m",
        "peak_speed_m_s",
        "rest_s",
        "rest_verdict",
    ] {
        assert_eq!(missed[field], Value::Null, "{field}");
    }
    Ok(())
}

#[test]
fn fields_of_a_rep_stand_in_a_fixed_order() -> Outcome {
    let mut session = session(1.0, 3.0)?;
    session.review.plan = Some(plan_review(1));
    let text = report::review::json::render(&session)?;
    let mut rest = text.split_once("\"reps\"").ok_or("no reps")?.1;
    for field in [
        "index",
        "verdict",
        "start_s",
        "end_s",
        "work_s",
        "work_planned_s",
        "distance_m",
        "distance_planned_m",
        "peak_speed_m_s",
        "of_top_speed",
        "reached",
        "rest_s",
        "rest_planned_s",
        "rest_verdict",
    ] {
        rest = rest.split_once(&format!("\"{field}\":")).ok_or(field)?.1;
    }
    Ok(())
}

#[test]
fn no_line_is_wider_than_a_terminal_and_no_name_drives_it() -> Outcome {
    for (hz, blocks) in [(1.0, 0), (10.0, 0), (1.0, 1), (10.0, 12)] {
        let mut session = session(hz, 20.0)?;
        session.title = Some("wide 名前 ".repeat(30));
        if blocks > 0 {
            session.review.plan = Some(plan_review(blocks));
        }
        session.review.notes.push(Note::InFile {
            line: None,
            message: "word ".repeat(60) + &"x".repeat(200),
        });
        let text = plain(&session);
        for line in text.lines() {
            assert!(
                unicode_width::UnicodeWidthStr::width(line) <= 80,
                "too wide: {line}"
            );
            assert_eq!(line, line.trim_end(), "blanks at the end");
        }
        assert!(
            !text.chars().any(|c| c.is_control() && c != '\n'),
            "{text:?}"
        );
    }
    Ok(())
}

#[test]
fn names_from_the_file_lose_their_escape_sequences() -> Outcome {
    let session = session(10.0, 3.0)?;
    assert!(plain(&session).starts_with("Made up\n"));
    assert!(!terminal::render(&session).contains("\u{1b}[2J"));
    Ok(())
}

#[test]
fn sprints_are_listed_and_a_long_list_is_cut_with_a_word() -> Outcome {
    let text = plain(&session(10.0, 3.0)?);
    assert!(
        text.contains("6 sprints at or above 7 m/s for 1 s or longer\n"),
        "{text}"
    );
    let text = plain(&session(10.0, 20.0)?);
    assert!(
        text.contains("the 8 fastest of 40; all of them with --json"),
        "{text}"
    );
    assert!(text.lines().count() <= 40, "{text}");
    Ok(())
}

#[test]
fn with_a_plan_the_verdict_comes_first_and_what_fell_short_is_named() -> Outcome {
    let mut session = session(10.0, 6.0)?;
    session.review.plan = Some(plan_review(1));
    let text = plain(&session);
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(
        lines.get(2),
        Some(&"4 of 12 reps done, 2 short, 2 slow, 2 missed, 2 unresolved"),
        "{text}"
    );
    // Done, with a peak whose interval lies across the mark: the speed is open.
    assert!(text.contains("≈≈½↓✗?"), "{text}");
    assert!(text.contains("≈ done, speed open"), "{text}");
    let flowing = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flowing.contains("set 2, rep 5: missed: not in the recording"),
        "{text}"
    );
    assert!(
        text.contains("Rests not kept: 10 too long, 0 too short"),
        "{text}"
    );
    Ok(())
}
