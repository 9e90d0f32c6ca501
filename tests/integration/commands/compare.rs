//! `repledger compare`.

use repledger::report;
use serde_json::Value;

use crate::support::cli::Bench;
use crate::support::made;
use crate::support::outcome::Outcome;
use crate::support::schema;

const PLAN: &str = "speed \"runs\", 5 x 6 s, rest 24 s\n";

fn bench() -> Outcome<Bench> {
    let bench = Bench::with("a.gpx", made::gpx(1800, 5.0))?;
    bench.file("b.gpx", made::gpx(3000, 5.0))?;
    bench.file("c.csv", made::csv(1200, 5.0))?;
    bench.file("runs.plan", PLAN)?;
    Ok(bench)
}

#[test]
fn twice_as_long_is_clearly_more() -> Outcome {
    let ran = bench()?.run("compare a.gpx b.gpx")?;
    ran.done(&[
        "a.gpx",
        "b.gpx",
        "B less A",
        "Distance",
        "clearly more",
        "Notes",
    ]);
    assert_eq!(ran.err, "");
    assert!(!ran.out.contains("Reps done"), "{}", ran.out);
    Ok(())
}

#[test]
fn json_is_one_document_and_nothing_else() -> Outcome {
    let ran = bench()?.run("compare a.gpx b.gpx c.csv --plan runs.plan --json --color always")?;
    ran.done(&[]);
    let document: Value = serde_json::from_str(&ran.out)?;
    let schema: Value = serde_json::from_str(&report::comparison::json::schema()?)?;
    assert!(schema::is_valid(&schema, &document));
    let told = bench()?.run("schema comparison")?;
    assert_eq!(serde_json::from_str::<Value>(&told.out)?, schema);
    assert_eq!(document["sessions"].as_array().map(Vec::len), Some(3));
    assert_eq!(document["sessions"][2]["name"], "c.csv");
    assert_eq!(document["drills"][0]["name"], "runs");
    assert_eq!(
        document["drills"][0]["reps"].as_array().map(Vec::len),
        Some(5)
    );
    Ok(())
}

#[test]
fn a_plan_for_all_or_one_a_recording() -> Outcome {
    let bench = bench()?;
    bench.file("none.plan", "cool-down 6 min\n")?;
    bench
        .run("compare a.gpx b.gpx --plan runs.plan")?
        .done(&["speed \"runs\"", "Rep"]);
    let ran = bench.run("compare a.gpx b.gpx --plan runs.plan --plan none")?;
    ran.done(&["Reps done", "not known"]);
    assert!(!ran.out.contains("speed \"runs\""), "{}", ran.out);
    bench
        .run("compare a.gpx b.gpx c.csv --plan runs.plan --plan runs.plan")?
        .wrong_usage(&["2 plans for 3 recordings", "none"]);
    Ok(())
}

#[test]
fn the_folder_holds_account_and_json() -> Outcome {
    let bench = bench()?;
    let ran = bench.run("compare a.gpx b.gpx --plan runs.plan --out both")?;
    ran.done(&[]);
    let names = bench.names("both")?;
    for name in ["comparison.json", "comparison.txt"] {
        assert!(names.iter().any(|n| n == name), "{names:?}");
    }
    for picture in ["heatmaps", "difference", "drills"] {
        for form in ["svg", "png"] {
            let name = format!("{picture}.{form}");
            assert!(names.contains(&name), "no {name} in {names:?}");
        }
    }
    assert_eq!(bench.text("both/comparison.txt")?, ran.out);
    bench.file("both/comparison.txt", "mine")?;
    bench
        .run("compare a.gpx b.gpx --out both")?
        .could_not(&["comparison.txt", "--force"]);
    Ok(())
}

#[test]
fn sessions_that_share_no_ground_have_no_maps_and_a_note_says_why() -> Outcome {
    let bench = bench()?;
    let ran = bench.run("compare a.gpx c.csv --out both")?;
    ran.done(&["No maps", "where on earth"]);
    assert!(!bench.path("both/heatmaps.svg").exists());
    let far = made::gpx(1800, 5.0).replace("lon=\"8.0\"", "lon=\"8.1\"");
    bench.file("far.gpx", far)?;
    bench
        .run("compare a.gpx far.gpx --out far")?
        .done(&["No maps", "1 km"]);
    Ok(())
}

#[test]
fn one_from_standard_input() -> Outcome {
    let ran = bench()?.run_with_input("compare a.gpx -", made::gpx(1800, 5.0))?;
    ran.done(&["standard input", "no clear change"]);
    Ok(())
}

#[test]
fn what_cannot_be_compared_is_refused() -> Outcome {
    let bench = bench()?;
    bench.file("bad.gpx", "<gpx><trk>")?;
    bench.run("compare a.gpx")?.wrong_usage(&["2 values"]);
    bench
        .run("compare a.gpx - -")?
        .wrong_usage(&["standard input"]);
    bench
        .run("compare a.gpx missing.gpx")?
        .could_not(&["missing.gpx", "no such file"]);
    bench.run("compare a.gpx bad.gpx")?.could_not(&["bad.gpx"]);
    bench
        .run("compare a.gpx b.gpx --plan a.gpx")?
        .could_not(&["a.gpx", "not a plan"]);
    let many = "a.gpx ".repeat(27);
    bench
        .run(&format!("compare {many}"))?
        .wrong_usage(&["27", "26"]);
    Ok(())
}

#[test]
fn entries_of_the_diary_are_compared_by_their_sums() -> Outcome {
    let bench = bench()?;
    bench.run("diary add a.gpx --diary d.db")?.done(&[]);
    bench
        .run("diary note team --minutes 90 --diary d.db --date 2026-05-13")?
        .done(&[]);
    let ran = bench.run("compare diary:1 a.gpx b.gpx --diary d.db --out both")?;
    ran.done(&["diary:1", "no clear change", "clearly more", "No pictures"]);
    assert_eq!(
        bench.names("both")?,
        [".repledger", "comparison.json", "comparison.txt"]
    );
    bench
        .run("compare diary:2 a.gpx --diary d.db")?
        .could_not(&["diary:2", "nothing was recorded"]);
    bench
        .run("compare a.gpx diary:9 --diary d.db")?
        .could_not(&["diary:9"]);
    bench
        .run("compare a.gpx diary:1 --diary none.db")?
        .could_not(&["none.db"]);
    Ok(())
}
