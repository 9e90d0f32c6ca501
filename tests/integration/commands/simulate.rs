//! `repledger simulate`.

use repledger::report;
use serde_json::Value;

use crate::support::cli::Bench;
use crate::support::outcome::Outcome;
use crate::support::schema;

/// Short, so that many sessions are simulated in little time.
const PLAN: &str = "title: Short one\ntop speed: 8.5 m/s\n\n\
    strength \"line touches\", 2 x 5 reps over 7 m there and back, 60 s between sets, then 1 min\n\
    speed 3 x 30 m, rest 40 s\n";

#[test]
fn one_receiver_is_told_block_by_block() -> Outcome {
    let bench = Bench::with("a.plan", PLAN)?;
    let ran = bench.run("simulate a.plan --receiver unit10 --sessions 2")?;
    ran.done(&[
        "Short one",
        "2 simulated sessions",
        "unit10: a fast receiver worn between the shoulders",
        "1. strength \"line touches\"",
        "2. speed",
        "7 m shuffles",
    ]);
    assert!(!ran.out.contains("watch"), "{}", ran.out);
    // Only the talk is elsewhere, and it moves no cursor where nobody watches.
    assert_eq!(ran.err, "to be simulated and reviewed: 2\n");
    Ok(())
}

#[test]
fn all_receivers_are_told_of_when_none_is_named() -> Outcome {
    let ran = Bench::with("a.plan", "speed 2 x 20 m, rest 30 s\n")?
        .run("simulate a.plan --sessions 1")?;
    ran.done(&[
        "unit10:",
        "unit5:",
        "local25:",
        "watch1v:",
        "watch1:",
        "phone1:",
        "watch_sparse:",
    ]);
    Ok(())
}

#[test]
fn the_same_seed_gives_the_same_answer() -> Outcome {
    let bench = Bench::with("a.plan", PLAN)?;
    let line = "simulate a.plan --receiver watch1,phone1 --sessions 2 --json --seed";
    let one = bench.run(&format!("{line} 3"))?;
    one.done(&[]);
    assert_eq!(one, bench.run(&format!("{line} 3"))?);
    assert_ne!(one.out, bench.run(&format!("{line} 4"))?.out);
    Ok(())
}

#[test]
fn json_is_one_document_and_nothing_else() -> Outcome {
    let bench = Bench::with("a.plan", PLAN)?;
    let line = "simulate a.plan --receiver watch1v --sessions 1 --json --trace try.gpx";
    let ran = bench.run(&format!("{line} --color always"))?;
    ran.done(&[]);
    let document: Value = serde_json::from_str(&ran.out)?;
    let schema: Value = serde_json::from_str(&report::simulation::json::schema()?)?;
    assert!(schema::is_valid(&schema, &document));
    assert_eq!(document["schema"], "repledger/simulation/1");
    assert_eq!(document["kept"]["receiver"], "watch1v");
    Ok(())
}

#[test]
fn a_kept_recording_is_reviewed_like_any_other() -> Outcome {
    let bench = Bench::with("a.plan", PLAN)?;
    for (receiver, name, format) in [("unit10", "try.csv", "csv"), ("watch1v", "try.gpx", "gpx")] {
        let line = format!("simulate a.plan --receiver {receiver} --sessions 1 --seed 2 --json");
        let ran = bench.run(&format!("{line} --trace {name}"))?;
        ran.done(&[]);
        for told in ["wrote", name, "What truly happened in it", "of 13 reps"] {
            assert!(ran.err.contains(told), "no {told:?} in {}", ran.err);
        }
        let kept = &serde_json::from_str::<Value>(&ran.out)?["kept"];
        assert_eq!(kept["format"], format);

        let review = bench.run(&format!("review {name} --plan a.plan --json"))?;
        review.done(&[]);
        let review: Value = serde_json::from_str(&review.out)?;
        assert_eq!(review["plan"]["counts"]["planned"], 13);
        let number = |value: &Value| value.as_f64().ok_or("no number");
        let (true_m, m) = (
            number(&kept["distance_m"])?,
            &review["totals"]["distance_m"],
        );
        // Twice the width of the interval, since one of twenty intervals misses.
        let width_m = number(&m["high"])? - number(&m["low"])?;
        let off_m = (number(&m["value"])? - true_m).abs();
        assert!(off_m <= width_m, "{off_m} m off, {width_m} m wide");
    }
    Ok(())
}

#[test]
fn a_foreign_file_stands_without_force() -> Outcome {
    let bench = Bench::with("a.plan", "speed 2 x 20 m, rest 30 s\n")?;
    bench.file("try.gpx", "mine")?;
    let line = "simulate a.plan --receiver watch1 --sessions 1 --trace try.gpx";
    bench.run(line)?.could_not(&["try.gpx", "--force"]);
    assert_eq!(bench.text("try.gpx")?, "mine");
    bench.run(&format!("{line} --force"))?.done(&[]);
    assert!(bench.text("try.gpx")?.contains("<gpx"));
    Ok(())
}

#[test]
fn a_recording_is_of_the_day_of_its_plan() -> Outcome {
    let bench = Bench::with("a.plan", "date: 2026-05-12\nspeed 2 x 20 m, rest 30 s\n")?;
    bench
        .run("simulate a.plan --receiver watch1 --sessions 1 --trace try.gpx")?
        .done(&[]);
    assert!(bench.text("try.gpx")?.contains("<time>2026-05-12T"));
    // So that the review does not ask whether they belong together.
    let ran = bench.run("review try.gpx --plan a.plan")?;
    assert!(!ran.out.contains("belong"), "{}", ran.out);
    Ok(())
}

#[test]
fn a_mistyped_receiver_is_met_with_a_suggestion() -> Outcome {
    let bench = Bench::with("a.plan", PLAN)?;
    bench
        .run("simulate a.plan --receiver wach1v")?
        .wrong_usage(&["wach1v", "similar", "'watch1v'"]);
    bench
        .run("simulate a.plan --receiver telescope")?
        .wrong_usage(&["unit10", "watch_sparse"]);
    for line in ["--sessions 0", "--sessions 501", "--seed -1", "--force"] {
        bench
            .run(&format!("simulate a.plan {line}"))?
            .wrong_usage(&[]);
    }
    bench.run("simulate")?.wrong_usage(&["<PLAN>"]);
    Ok(())
}

#[test]
fn bad_plans_are_refused_before_anything_is_written() -> Outcome {
    let bench = Bench::with("bad.plan", "speeed 5 x 40 m\n")?;
    bench
        .run("simulate bad.plan --trace try.gpx")?
        .could_not(&["bad.plan", "^^^^^^"]);
    bench.file("long.plan", "resistance 20 x 20 min, rest 5 min\n")?;
    bench
        .run("simulate long.plan --trace try.gpx")?
        .could_not(&["long.plan", "4 h"]);
    assert!(!bench.path("try.gpx").exists());
    Ok(())
}

#[test]
fn the_help_says_what_each_receiver_is() -> Outcome {
    Bench::new()?.run("simulate --help")?.done(&[
        "worn between the shoulders, 10 Hz with speed",
        "watch_sparse",
        "saves its battery",
        "Examples:",
    ]);
    Ok(())
}
