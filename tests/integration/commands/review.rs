//! `repledger review`.

use std::fmt::Write as _;
use std::io::Read;
use std::process::{Command, Stdio};

use repledger::report;
use serde_json::Value;

use crate::support::cli::{Bench, Ran};
use crate::support::made;
use crate::support::outcome::Outcome;
use crate::support::schema;

/// Twenty runs of 6 s with 24 s of rest: what the made recording of ten minutes holds.
const KEPT: &str = "resistance \"runs\", 20 x 6 s, rest 24 s\n";

#[test]
fn an_account_is_given_on_one_screen() -> Outcome {
    let ran = Bench::with("a.gpx", made::gpx(3600, 1.0))?.run("review a.gpx")?;
    ran.done(&[
        "Made evening\nTue 12 May 2026, 17:30 UTC, 59:59 long\n",
        "Distance",
        "Top speed",
        "sprint",
    ]);
    assert_eq!(ran.err, "");
    assert!(ran.out.lines().count() <= 40, "{}", ran.out);
    Ok(())
}

#[test]
fn json_is_one_document_and_nothing_else() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(3000, 10.0))?;
    let ran = bench.run("review a.csv --json --out out --color always")?;
    ran.done(&[]);
    let document: Value = serde_json::from_str(&ran.out)?;
    assert_eq!(document["schema"], "repledger/review/1");
    assert_eq!(document["plan"], Value::Null);
    let schema: Value = serde_json::from_str(&report::review::json::schema()?)?;
    assert!(schema::is_valid(&schema, &document));
    assert_eq!(bench.text("out/review.json")?, ran.out);
    Ok(())
}

#[test]
fn a_recording_may_come_from_standard_input() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(600, 10.0))?;
    let named = bench.run("review a.csv --json")?;
    let piped = bench.run_with_input("review - --json", made::csv(600, 10.0))?;
    assert_eq!(named, piped);
    Ok(())
}

#[test]
fn a_plan_may_come_from_standard_input() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(6000, 10.0))?;
    let ran = bench.run_with_input("review a.csv --plan - --json", KEPT)?;
    ran.done(&[]);
    let document: Value = serde_json::from_str(&ran.out)?;
    assert_eq!(document["plan"]["counts"]["planned"], 20);
    Ok(())
}

#[test]
fn strict_tells_by_its_status_whether_every_rep_was_done() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(6000, 10.0))?;
    bench.file("kept.plan", KEPT)?;
    bench.file("broken.plan", "resistance \"runs\", 40 x 6 s, rest 24 s\n")?;
    assert_eq!(
        bench.run("review a.csv --plan kept.plan --strict")?.status,
        Some(0)
    );
    assert_eq!(
        bench.run("review a.csv --plan broken.plan")?.status,
        Some(0)
    );
    let ran = bench.run("review a.csv --plan broken.plan --strict")?;
    assert_eq!(ran.status, Some(3), "{ran:?}");
    assert!(ran.out.contains("40 reps"), "{}", ran.out);
    Ok(())
}

/// A rep run in full whose peak lies across the speed asked for is done, and the speed is open: only `--strict=speed` minds.
#[test]
fn strict_can_ask_for_the_speed_as_well() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(6000, 10.0))?;
    let at = |m_s: f64| format!("resistance \"runs\", 20 x 6 s at {m_s:.3} m/s, rest 24 s\n");
    bench.file("easy.plan", at(3.0))?;
    let ran = bench.run("review a.csv --plan easy.plan --json --strict=speed")?;
    assert_eq!(ran.status, Some(0), "{ran:?}");
    let document: Value = serde_json::from_str(&ran.out)?;
    let reps = document["plan"]["blocks"][0]["sets"][0]["reps"]
        .as_array()
        .ok_or("no reps")?;
    let peaks = reps
        .iter()
        .filter_map(|rep| rep["peak_speed_m_s"]["value"].as_f64());
    // The slowest rep is at the mark, so that no rep is surely below it.
    bench.file("edge.plan", at(peaks.fold(f64::INFINITY, f64::min)))?;
    let ran = bench.run("review a.csv --plan edge.plan --strict")?;
    assert_eq!(ran.status, Some(0), "{ran:?}");
    assert!(ran.out.contains('≈'), "{}", ran.out);
    let ran = bench.run("review a.csv --plan edge.plan --strict=speed")?;
    assert_eq!(ran.status, Some(3), "{ran:?}");
    Ok(())
}

/// Of another session's plan the screen says that it does not fit, and calls nothing missed.
#[test]
fn a_plan_that_does_not_fit_is_said_and_nobody_accused() -> Outcome {
    let bench = Bench::new()?;
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/traces/demo_1hz.gpx");
    std::fs::copy(demo, bench.path("a.gpx"))?;
    bench.file("other.plan", "resistance \"long\", 8 x 4 min, rest 2 min\n")?;
    let ran = bench.run("review a.gpx --plan other.plan --out out")?;
    ran.done(&["does not look like this plan", "Distance", "Top speed"]);
    let page = bench.text("out/report.html")?;
    assert!(page.contains("does not look like this plan"));
    for accused in ["✗", "Not done", "missed"] {
        assert!(!ran.out.contains(accused), "{accused}: {}", ran.out);
    }
    assert!(ran.out.lines().count() <= 40, "{}", ran.out);
    let ran = bench.run("review a.gpx --plan other.plan --strict")?;
    assert_eq!(ran.status, Some(3), "{ran:?}");
    Ok(())
}

#[test]
fn times_are_told_in_the_zone_asked_for_else_in_the_recordings() -> Outcome {
    let bench = Bench::with("utc.gpx", made::gpx(300, 1.0))?;
    bench.file(
        "own.gpx",
        made::gpx(300, 1.0).replace("Z</time>", "+02:00</time>"),
    )?;
    let told = |line: &str, words: &str| -> Outcome {
        bench.run(line)?.done(&[words]);
        Ok(())
    };
    told("review utc.gpx", "Tue 12 May 2026, 17:30 UTC, ")?;
    told("review own.gpx", "Tue 12 May 2026, 17:30 UTC+2, ")?;
    told(
        "review utc.gpx --zone Europe/Rome",
        "19:30 (Europe/Rome, UTC+2), ",
    )?;
    told("review own.gpx --zone -03:30", "12:00 UTC−3:30, ")?;
    // Documents for programs keep to universal time, and a place is not given away by its zone.
    told(
        "review own.gpx --json --zone Europe/Rome",
        "\"2026-05-12T15:30:00Z\"",
    )?;
    told(
        "review utc.gpx --hide-place --zone Europe/Rome",
        "Session\n",
    )?;
    let hidden = bench.run("review utc.gpx --hide-place --zone Europe/Rome")?;
    assert!(!hidden.out.contains("Rome"), "{}", hidden.out);
    bench
        .run("review utc.gpx --zone Rome")?
        .wrong_usage(&["Europe/Rome, +02:00 or -05:30"]);
    Ok(())
}

#[test]
fn mistakes_of_a_plan_are_shown_before_anything_is_read_or_written() -> Outcome {
    let bench = Bench::with("bad.plan", "speeed 5 x 40 m\n")?;
    let ran = bench.run("review nowhere.gpx --plan bad.plan --out out")?;
    ran.could_not(&["bad.plan", "^^^^^^", "speed"]);
    assert!(!bench.path("out").exists());
    Ok(())
}

/// A table without a header.
fn bare() -> String {
    let table = made::csv(600, 10.0);
    let rows = table.lines().skip(1);
    rows.map(|line| line.to_owned() + "\n").collect()
}

#[test]
fn columns_beside_a_gpx_file_are_told_to_be_of_no_use() -> Outcome {
    let bench = Bench::with("a.gpx", made::gpx(600, 1.0))?;
    // It was read as if nothing had been said.
    bench
        .run("review a.gpx --columns foo")?
        .wrong_usage(&["--columns: \"foo\" is not known"]);
    let ran = bench.run("review a.gpx --columns time,lat,lon")?;
    ran.done(&["600 of 600 fixes used"]);
    assert!(
        ran.err.contains("--columns was not used") && ran.err.contains("a.gpx is GPX"),
        "{}",
        ran.err
    );
    // Wherever columns are taken.
    bench.file("b.gpx", made::gpx(700, 1.0))?;
    for command in [
        "table a.gpx --of sessions",
        "compare a.gpx a.gpx",
        "diary add a.gpx",
        "review a.gpx b.gpx",
    ] {
        let ran = bench.run(&format!("{command} --columns time,lat,lon"))?;
        assert!(
            ran.err.matches("--columns was not used").count() == 1,
            "{command}: {}",
            ran.err
        );
    }
    // Beside a table it is for that.
    bench.file("bare.csv", bare())?;
    let ran = bench.run("table a.gpx bare.csv --of sessions --columns time,x,y,speed:m/s")?;
    assert!(!ran.err.contains("--columns"), "{}", ran.err);
    Ok(())
}

#[test]
fn columns_and_dates_reach_the_reader() -> Outcome {
    let bench = Bench::with("bare.csv", bare())?;
    bench
        .run("review bare.csv")?
        .could_not(&["bare.csv", "--columns"]);
    bench
        .run("review bare.csv --columns time,x,y,speed:m/s")?
        .done(&["600 of 600 fixes used"]);

    let mut dates = "time,x,y\n".to_owned();
    for i in 0..60 {
        writeln!(dates, "03/04/2026 10:00:{i:02},0,{i}")?;
    }
    bench.file("dates.csv", dates)?;
    bench
        .run("review dates.csv")?
        .could_not(&["dates.csv", "--dates"]);
    bench
        .run("review dates.csv --dates dmy")?
        .done(&["3 April 2026"]);
    bench
        .run("review dates.csv --dates mdy")?
        .done(&["4 March 2026"]);
    Ok(())
}

#[test]
fn settings_change_what_counts() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(3000, 10.0))?;
    bench
        .run("review a.csv")?
        .done(&["10 sprints", " at or above 7 m/s"]);
    bench
        .run("review a.csv --set sprint.from=8.9m/s")?
        .done(&["No sprints at or above 8.9 m/s"]);
    bench.file("mine.toml", "sprint.from = \"6.5 m/s\"\n")?;
    bench
        .run("review a.csv --settings mine.toml")?
        .done(&["10 sprints", " at or above 6.5 m/s"]);
    Ok(())
}

#[test]
fn colour_is_for_terminals_unless_it_is_asked_for() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(600, 10.0))?;
    let plain = bench.run("review a.csv")?.out;
    assert!(!plain.contains('\u{1b}'));
    assert_eq!(bench.run("review a.csv --color never")?.out, plain);
    let coloured = bench.run("review a.csv --color always")?.out;
    assert!(coloured.contains('\u{1b}'));
    // Nothing is told by colour alone.
    assert_eq!(anstream::adapter::strip_str(&coloured).to_string(), plain);
    Ok(())
}

#[test]
fn a_reader_that_has_seen_enough_is_no_failure() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(36_000, 10.0))?;
    let mut child = Command::new(env!("CARGO_BIN_EXE_repledger"))
        .args(["review", "a.csv", "--json"])
        .current_dir(bench.path("."))
        .env("XDG_CONFIG_HOME", bench.path("config"))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()?;
    // The document is longer than what a pipe holds, and its reader leaves after ten bytes.
    let mut first = [0; 10];
    let mut out = child.stdout.take().ok_or("no pipe")?;
    out.read_exact(&mut first)?;
    drop(out);
    let output = child.wait_with_output()?;
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(String::from_utf8(output.stderr)?, "");
    Ok(())
}

/// Linux has a device that is always full.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_a_failure() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(600, 10.0))?;
    let output = Command::new(env!("CARGO_BIN_EXE_repledger"))
        .args(["review", "a.csv"])
        .current_dir(bench.path("."))
        .env("XDG_CONFIG_HOME", bench.path("config"))
        .stdout(std::fs::File::options().write(true).open("/dev/full")?)
        .output()?;
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8(output.stderr)?.contains("cannot write to standard output"));
    Ok(())
}

#[test]
fn a_file_name_is_told_as_it_was_typed() -> Outcome {
    Bench::new()?
        .run("review ./sub/../nowhere.gpx")?
        .could_not(&["'./sub/../nowhere.gpx'"]);
    Ok(())
}

#[test]
fn a_speed_in_a_wrong_unit_is_not_used() -> Outcome {
    let lines = (0..3000).map(|k| {
        let t = f64::from(k) * 0.1;
        // Metres a second under a column that is said to hold kilometres an hour.
        format!("{t},{},0,2.5\n", 2.5 * t)
    });
    let csv: String = std::iter::once("time (s),x (m),y (m),speed (km/h)\n".to_owned())
        .chain(lines)
        .collect();
    let ran = Bench::with("a.csv", csv)?.run("review a.csv")?;
    ran.done(&[
        "0.28 times what its own positions say",
        "speed from positions",
        "750 m",
    ]);
    Ok(())
}

#[test]
fn a_plan_of_another_day_is_noted() -> Outcome {
    let bench = Bench::with(
        "a.plan",
        "date: 2026-05-14\nspeed 5 x 40 m, rest walk back\n",
    )?;
    let gpx = std::fs::read("fixtures/traces/demo_1hz.gpx")?;
    bench.file("a.gpx", gpx)?;
    let ran = bench.run("review a.gpx --plan a.plan")?;
    ran.done(&["The plan is dated 2026-05-14, the recording 2026-05-12"]);
    Ok(())
}

#[test]
fn pictures_of_an_earlier_review_do_not_stay() -> Outcome {
    let bench = Bench::with("a.plan", "warm-up 2 min\n")?;
    bench.file("a.csv", made::csv(3000, 10.0))?;
    bench.run("review a.csv --plan a.plan --out out")?.done(&[]);
    assert!(bench.path("out/timeline.svg").exists());
    bench.file("out/mine.svg", "<svg/>")?;
    bench.run("review a.csv --out out")?.done(&[]);
    assert!(!bench.path("out/timeline.svg").exists() && !bench.path("out/timeline.png").exists());
    assert!(bench.path("out/speed.svg").exists() && bench.path("out/mine.svg").exists());
    Ok(())
}

#[test]
fn the_demo_is_told_as_it_happened() -> Outcome {
    let bench = Bench::with("a.gpx", std::fs::read("fixtures/traces/demo_1hz.gpx")?)?;
    bench.file("a.plan", std::fs::read("fixtures/plans/demo.plan")?)?;
    let ran = bench.run("review a.gpx --plan a.plan --json")?;
    let review: Value = serde_json::from_str(&ran.out)?;
    let counts = &review["plan"]["counts"];
    assert_eq!(
        [
            &counts["planned"],
            &counts["done"],
            &counts["short"],
            &counts["slow"],
            &counts["missed"]
        ],
        [45, 42, 1, 1, 1].map(Value::from).each_ref()
    );
    // One sprint that nobody asked for, and not the jog that holds a planned run.
    assert_eq!(
        review["plan"]["unplanned"].as_array().map(Vec::len),
        Some(1)
    );
    Ok(())
}

/// The demo in two files: the watch was stopped for a minute and a half.
fn in_two_files() -> Outcome<Bench> {
    let text = std::fs::read_to_string("fixtures/traces/demo_1hz.gpx")?;
    let (points, frame): (Vec<&str>, Vec<&str>) = text.lines().partition(|l| l.contains("<trkpt"));
    let (head, tail) = frame.split_at(frame.len() - 3);
    let part = |points: &[&str]| [head, points, tail].concat().join("\n");
    let bench = Bench::with("a.gpx", part(&points[..1750]))?;
    bench.file("b.gpx", part(&points[1840..]))?;
    bench.file("a.plan", std::fs::read("fixtures/plans/demo.plan")?)?;
    Ok(bench)
}

#[test]
fn two_files_are_joined_to_one_session() -> Outcome {
    let bench = in_two_files()?;
    let ran = bench.run("review --join b.gpx a.gpx --plan a.plan --json")?;
    ran.done(&[]);
    let review: Value = serde_json::from_str(&ran.out)?;
    let schema: Value = serde_json::from_str(&report::review::json::schema()?)?;
    assert!(schema::is_valid(&schema, &review));
    let other = bench.run("review --join a.gpx b.gpx --plan a.plan --json")?;
    assert_eq!(ran.out, other.out, "the order of the names changes nothing");
    assert_eq!(
        review["recording"]["gaps"].as_array().map(Vec::len),
        Some(1)
    );
    assert_eq!(review["session"]["start"], "2026-05-12T17:30:00Z");
    assert_eq!(review["plan"]["counts"]["planned"], 45);
    bench
        .run("review --join a.gpx b.gpx --out out")?
        .done(&["1:13:04 long"]);
    assert!(bench.path("out/report.html").exists());
    Ok(())
}

#[test]
fn what_is_no_one_session_is_not_joined() -> Outcome {
    let bench = in_two_files()?;
    bench.file("c.gpx", made::gpx(600, 1.0))?;
    bench
        .run("review --join b.gpx c.gpx a.gpx")?
        .could_not(&["c.gpx and a.gpx were recorded at the same time"]);
    bench.file(
        "d.gpx",
        made::gpx(600, 1.0).replace("2026-05-12", "2026-05-15"),
    )?;
    bench
        .run("review --join d.gpx a.gpx")?
        .could_not(&["d.gpx begins 2 days after a.gpx ends"]);
    bench.file("e.csv", made::csv(600, 1.0))?;
    bench
        .run("review --join a.gpx e.csv")?
        .could_not(&["e.csv", "at what time"]);
    Ok(())
}

/// The demo session with its plan changed, without its lines broken.
fn demo(change: impl Fn(String) -> String) -> Outcome<(Bench, Ran)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures");
    let plan = std::fs::read_to_string(format!("{folder}/plans/demo.plan"))?;
    let bench = Bench::with("a.plan", change(plan))?;
    let ran = bench.run(&format!(
        "review {folder}/traces/demo_10hz.csv --plan a.plan --out out"
    ))?;
    assert_eq!(ran.status, Some(0), "{ran:?}");
    let out = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    Ok((bench, Ran { out, ..ran }))
}

#[test]
fn sprints_without_a_mark_are_held_against_a_top_speed_that_is_known() -> Outcome {
    let (bench, ran) = demo(|plan| plan.replace(" at 95%", " flat out"))?;
    ran.done(&[
        "Did I hit top speed?",
        "6 edge of the area to halfway: no mark was planned. The best, rep ",
        "% of top speed (",
        "top speed 8.60 m/s)",
        "7 first steps: no mark was planned.",
    ]);
    let page = bench.text("out/report.html")?;
    assert!(page.contains("no mark was planned. The best, rep "));
    assert!(page.find("Did I hit top speed?") < page.find("class=\"marks\""));
    // Of the session's own best every best rep would be all.
    let (_, ran) = demo(|plan| {
        plan.replace(" at 95%", "")
            .replace("top speed: 8.6 m/s\n", "")
    })?;
    assert!(!ran.out.contains("Did I hit"), "{}", ran.out);
    Ok(())
}

#[test]
fn a_mark_from_the_sessions_own_best_and_a_block_not_found_say_so_at_once() -> Outcome {
    let (_, ran) = demo(|plan| plan.replace("top speed: 8.6 m/s\n", ""))?;
    ran.done(&["halfway, 95 % of this session's own best, as no top speed is known, "]);
    let (_, ran) = demo(|plan| {
        plan.replace(
            "cool-down",
            "speed \"late ones\", 4 x 60 m at 95%, rest 60 s\ncool-down",
        )
    })?;
    ran.done(&["9 late ones: no rep of it was found."]);
    Ok(())
}

#[test]
fn a_folder_brings_its_plans_and_says_what_it_does_not_look_into() -> Outcome {
    let bench = Bench::with("in/a.csv", made::csv(6000, 10.0))?;
    bench.file("in/a.plan", KEPT)?;
    bench.file("in/mika/b.csv", made::csv(600, 10.0))?;
    let ran = bench.run("review in --json")?;
    ran.done(&["\"planned\":20"]);
    assert!(
        ran.err.contains("not looked into: the folder 'in/mika'"),
        "{}",
        ran.err
    );
    let ran = bench.run("table in --of reps")?;
    assert_eq!(ran.out.lines().count(), 21, "{ran:?}");
    assert!(ran.err.contains("'in/mika'"), "{}", ran.err);
    bench.file("out/mika/b.csv", "")?;
    bench
        .run("review out")?
        .could_not(&["'out'", "such as 'out/mika': name them"]);
    Ok(())
}
