//! `repledger table` and what helps programs and shells: schema, completions, manual, quiet.

use crate::support::cli::Bench;
use crate::support::made;
use crate::support::outcome::Outcome;
use crate::support::schema;

#[test]
fn one_bad_file_is_named_and_the_rest_is_written() -> Outcome {
    let bench = Bench::with("a.gpx", made::gpx(600, 1.0))?;
    bench.file("b.gpx", made::gpx(500, 1.0))?;
    bench.file("bad.gpx", "no recording")?;
    let ran = bench.run("table a.gpx bad.gpx b.gpx --of sessions --to s.csv")?;
    assert_eq!(ran.status, Some(1), "{ran:?}");
    assert!(ran.err.contains("left out, 1 of 3: bad.gpx"), "{}", ran.err);
    let csv = bench.text("s.csv")?;
    let sources: Vec<_> = csv
        .lines()
        .skip(1)
        .filter_map(|l| l.split(',').next())
        .collect();
    assert_eq!(sources, ["a.gpx", "b.gpx"]);
    Ok(())
}

#[test]
fn the_ending_says_how_and_a_sheet_of_columns_is_there() -> Outcome {
    let bench = Bench::with("a.gpx", made::gpx(600, 1.0))?;
    for to in ["e.json", "e.ndjson", "e.csv", "e.xlsx"] {
        bench
            .run(&format!("table a.gpx --of efforts --to {to}"))?
            .done(&[]);
    }
    assert!(std::fs::read(bench.path("e.xlsx"))?.starts_with(b"PK"));
    bench
        .run("table a.gpx --of efforts --to e.doc")?
        .wrong_usage(&[".xlsx", ".ndjson"]);
    bench.run("table a.gpx --to e2.csv")?.wrong_usage(&["--of"]);
    bench
        .run("table a.gpx --of reps,bands --to e2.csv")?
        .wrong_usage(&["workbook"]);
    bench.run("table")?.wrong_usage(&["TRACE"]);
    Ok(())
}

#[test]
fn a_folder_stands_for_its_recordings() -> Outcome {
    let bench = Bench::with("in/a.gpx", made::gpx(300, 1.0))?;
    bench.file("in/b.gpx", made::gpx(200, 1.0))?;
    bench.file("in/note.txt", "no recording")?;
    let ran = bench.run("table in --of sessions")?;
    ran.done(&["a.gpx", "b.gpx"]);
    assert_eq!(ran.out.lines().count(), 3, "{}", ran.out);
    Ok(())
}

#[test]
fn each_document_has_its_schema() -> Outcome {
    let bench = Bench::new()?;
    for what in ["week", "weeks", "best"] {
        let ran = bench.run(&format!("schema {what}"))?;
        ran.done(&[&format!("repledger/{what}/1")]);
        serde_json::from_str::<serde_json::Value>(&ran.out)?;
    }
    Ok(())
}

#[test]
fn titles_that_would_run_are_texts() -> Outcome {
    let gpx = made::gpx(600, 1.0).replacen("<trk>", "<trk><name>=1+1</name>", 1);
    let bench = Bench::with("a.gpx", gpx)?;
    let ran = bench.run("table a.gpx --of sessions")?;
    ran.done(&[",'=1+1,"]);
    Ok(())
}

#[test]
fn the_diary_gives_the_rows_that_its_recordings_gave() -> Outcome {
    let bench = Bench::with("a.gpx", made::gpx(600, 1.0))?;
    bench
        .run("diary add a.gpx --athlete Mika --rpe 6 --diary d.db")?
        .done(&[]);
    let of_diary = bench.run("table --diary d.db --of bands")?;
    of_diary.done(&["Mika"]);
    let of_trace = bench.run("table a.gpx --of bands")?;
    // Source, entry and athlete differ; what was measured does not.
    let cells = |text: &str| -> Vec<Vec<String>> {
        let rows = text
            .lines()
            .map(|line| line.split(',').skip(3).map(str::to_owned).collect());
        rows.collect()
    };
    assert_eq!(cells(&of_diary.out), cells(&of_trace.out));
    bench
        .run("table --diary d.db --of weeks --athlete Mika")?
        .done(&["Mika,2", "-W"]);
    bench
        .run("table --diary d.db --of weeks --athlete Nobody")?
        .could_not(&["diary list"]);
    Ok(())
}

#[test]
fn account_diary_and_weeks_give_the_same_last_digit() -> Outcome {
    let bench = Bench::with("a.gpx", made::gpx(600, 1.0))?;
    bench.run("diary add a.gpx --diary d.db")?.done(&[]);
    let account = bench.run("review a.gpx")?;
    let shown = bench.run("diary show 1 --diary d.db")?;
    for name in ["Distance ", "Top speed "] {
        let line = account.out.lines().find(|line| line.starts_with(name));
        let said = line.ok_or(name)?.get(name.len()..).ok_or(name)?.trim();
        assert!(said.contains(" (95 %: "), "{said}");
        assert!(shown.out.contains(said), "{said}\n{}", shown.out);
    }

    let table = bench.run("table --diary d.db --of weeks")?;
    let mut rows = table
        .out
        .lines()
        .map(|line| line.split(',').collect::<Vec<_>>());
    let (head, row) = (rows.next().ok_or("head")?, rows.next().ok_or("row")?);
    let cell = |name: &str| -> Option<f64> {
        let at = head.iter().position(|column| *column == name)?;
        row.get(at)?.parse().ok()
    };
    let monday = row.get(2).ok_or("monday")?;
    let json = bench.run(&format!(
        "weeks --json --diary d.db --since {monday} --until {monday}"
    ))?;
    let json: serde_json::Value = serde_json::from_str(&json.out)?;
    let totals = &json["athletes"][0]["weeks"][0]["totals"];
    for (column, quantity) in [("distance", "distance_m"), ("top_speed", "top_speed_m_s")] {
        let unit = quantity.trim_start_matches(column);
        for (suffix, key) in [("", "value"), ("_low", "low"), ("_high", "high")] {
            let name = format!("{column}{suffix}{unit}");
            assert!(cell(&name).is_some(), "{name}");
            assert_eq!(cell(&name), totals[quantity][key].as_f64(), "{name}");
        }
    }
    Ok(())
}

#[test]
fn schemas_completions_and_manual_are_printed() -> Outcome {
    let bench = Bench::new()?;
    for what in ["review", "table", "settings", "plan", "simulation"] {
        let ran = bench.run(&format!("schema {what}"))?;
        ran.done(&["json-schema.org"]);
        let schema: serde_json::Value = serde_json::from_str(&ran.out)?;
        schema::validator_for(&schema)?;
    }
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        bench
            .run(&format!("completions {shell}"))?
            .done(&["review"]);
    }
    bench.run("manual")?.done(&[".TH repledger"]);
    bench.run("manual --out man")?.done(&[]);
    let pages = bench.names("man")?;
    assert!(
        pages.iter().any(|p| p == "repledger-diary-add.1"),
        "{pages:?}"
    );
    Ok(())
}

#[test]
fn the_settings_in_force_are_as_their_schema_says() -> Outcome {
    let bench = Bench::new()?;
    let schema: serde_json::Value = serde_json::from_str(&bench.run("schema settings")?.out)?;
    let validator = schema::validator_for(&schema)?;
    let printed: toml::Table = bench.run("settings")?.out.parse()?;
    let printed = serde_json::to_value(printed)?;
    let errors: Vec<_> = validator.faults(&printed);
    assert!(errors.is_empty(), "{errors:?}");
    assert!(!validator.is_valid(&serde_json::json!({"odd": 1})));
    Ok(())
}

#[test]
fn quiet_says_nothing_beside_the_data_but_errors() -> Outcome {
    let bench = Bench::with("a.gpx", made::gpx(600, 1.0))?;
    let ran = bench.run("table a.gpx --of bands --to b.csv --quiet")?;
    assert_eq!((ran.status, ran.err.as_str()), (Some(0), ""));
    bench
        .run("-q table none.gpx --of bands")?
        .could_not(&["none.gpx"]);
    Ok(())
}

#[test]
fn a_recording_in_the_place_of_a_command_is_met_with_the_command() -> Outcome {
    let bench = Bench::new()?;
    bench
        .run("monday.gpx")?
        .wrong_usage(&["repledger review monday.gpx"]);
    bench
        .run("monday.plan")?
        .wrong_usage(&["repledger plan monday.plan"]);
    Ok(())
}

#[test]
fn days_are_honoured_of_files_as_of_the_diary_and_weeks_are_whole() -> Outcome {
    let bench = Bench::with("in/a.gpx", made::gpx(600, 1.0))?;
    bench.file(
        "in/b.gpx",
        made::gpx(600, 1.0).replace("2026-05-12", "2026-05-14"),
    )?;
    let rows = |line: &str| -> Outcome<usize> {
        Ok(bench.run(line)?.out.lines().count().saturating_sub(1))
    };
    assert_eq!(rows("table in --of sessions")?, 2);
    assert_eq!(rows("table in --of sessions --since 2026-05-13")?, 1);
    assert_eq!(rows("table in --of sessions --since 2026-06-01")?, 0);
    let ran = bench.run("table in --of sessions --since 2026-05-13")?;
    assert!(ran.err.contains("other days: 1 of 2"), "{}", ran.err);
    bench
        .run("table in --of sessions --athlete Mika")?
        .wrong_usage(&["--athlete"]);
    bench
        .run("table in --of sessions --since nonsense")?
        .wrong_usage(&["no day of the calendar", "2026-05-16"]);
    bench
        .run("diary add in --diary d.db --rpe 5")?
        .done(&["added 2"]);
    // Both lie in one week, and a row of a week is all of it.
    let week = |days: &str| -> Outcome<String> {
        Ok(bench
            .run(&format!("table --diary d.db --of weeks {days}"))?
            .out)
    };
    let whole = week("")?;
    assert_eq!(week("--since 2026-05-13")?, whole);
    assert_eq!(week("--until 2026-05-13")?, whole);
    assert_eq!(
        rows("table --diary d.db --of sessions --until 2026-05-13")?,
        1
    );
    let ran = bench.run("table --diary d.db --of sessions --until 2026-05-13 --to s.csv")?;
    assert!(
        ran.err.contains("1 session") && !ran.err.contains("1 sessions"),
        "{}",
        ran.err
    );
    Ok(())
}
