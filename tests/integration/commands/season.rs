//! A coach's season, as he would go through it: the demo season from its files to what he looks at.

use crate::support::cli::Bench;
use crate::support::outcome::Outcome;

const SEASON: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/season");
const ATHLETES: [&str; 5] = ["Ife", "Jonna", "Mika", "Oskar", "Sana"];

/// The diary of three athletes' sprints, from the files of the season.
pub fn bench() -> Outcome<Bench> {
    let bench = Bench::new()?;
    for athlete in &ATHLETES[..3] {
        let ran = bench.run(&format!(
            "diary add {SEASON}/{athlete}/2026-03-03.gpx.gz {SEASON}/{athlete}/2026-03-10.gpx.gz {SEASON}/{athlete}/2026-03-17.gpx.gz \
             --plan {SEASON}/{athlete}/2026-03-03.plan --athlete {athlete} --rpe 7 --diary d.db"
        ))?;
        assert_eq!(ran.status, Some(0), "{ran:?}");
    }
    Ok(bench)
}

#[test]
fn drills_are_listed_followed_and_held_beside_each_other() -> Outcome {
    let bench = bench()?;
    bench.run("drill --list --diary d.db")?.done(&[
        "2 drills in the diary",
        "edge of the area to halfway (speed, 40 m)",
        "9 times, last on 17 Mar 2026: Ife, Jonna, Mika",
    ]);
    bench
        .run("drill --diary d.db")?
        .done(&["2 drills in the diary"]);
    let ran = bench.run("drill --diary d.db --athlete Ife channel")?;
    ran.could_not(&[
        "no drill of \"Ife\" called \"channel\"",
        "\"channel runs\"",
        "--list",
    ]);
    let line = ["drill", "Channel Runs", "--diary", "d.db"];
    let several = bench.run_words(&line)?;
    several.wrong_usage(&["--athlete NAME", "--all"]);
    let one = bench.run_words(&[&line[..], &["--athlete", "Ife", "--out", "one"]].concat())?;
    one.done(&[
        "Ife: channel runs (resistance, 12 s), 3 times",
        "Best distance of a rep",
        "10 Mar 2026",
    ]);
    let all = bench.run_words(&[&line[..], &["--all", "--out", "all", "--json"]].concat())?;
    let document: serde_json::Value = serde_json::from_str(&all.out)?;
    assert_eq!(document["drills"][0]["athletes"][2]["athlete"], "Mika");
    for name in [
        "one/drill.txt",
        "one/drill.png",
        "all/drill.svg",
        "all/drill.json",
    ] {
        assert!(bench.path(name).exists(), "{name}");
    }
    bench
        .run("drill --list --diary d.db --today 2026-03-10")?
        .done(&["6 times, last on 10 Mar 2026"]);
    bench
        .run("drill --list --diary d.db --since 2026-03-10 --until 2026-03-16")?
        .done(&["3 times, last on 10 Mar 2026"]);
    bench.run("schema drills")?.done(&["repledger/drills/1"]);
    bench.run("schema grid")?.done(&["repledger/grid/1"]);
    Ok(())
}

#[test]
fn a_folder_brings_its_plans_and_a_wrong_day_is_asked_about() -> Outcome {
    let bench = Bench::new()?;
    for name in ["2026-03-03.gpx.gz", "2026-03-03.plan", "2026-03-10.gpx.gz"] {
        bench.file(
            &format!("mika/{name}"),
            std::fs::read(format!("{SEASON}/Mika/{name}"))?,
        )?;
    }
    let ran = bench.run("diary add mika --athlete Mika --diary d.db")?;
    ran.done(&["2026-03-03", "Speed after the warm-up", "2026-03-10"]);
    assert!(
        ran.err
            .contains("2026-03-03.gpx.gz: held against mika/2026-03-03.plan"),
        "{}",
        ran.err
    );
    let list = bench.run("diary list --diary d.db --json")?;
    let document: serde_json::Value = serde_json::from_str(&list.out)?;
    let text = document.to_string();
    assert_eq!(text.matches("Speed after the warm-up").count(), 1, "{text}");
    // By no clock on earth was it then.
    let line = "diary add mika/2026-03-03.gpx.gz --date 2026-03-01 --athlete Mika --diary e.db";
    bench
        .run(line)?
        .could_not(&["--date says 2026-03-01", "2026-03-03", "--force"]);
    bench.run(&format!("{line} --force"))?.done(&["2026-03-01"]);
    // Late in the evening the day may be another by the athlete's own clock.
    bench
        .run("diary add mika/2026-03-03.gpx.gz --date 2026-03-04 --athlete Mika --diary f.db")?
        .done(&["2026-03-04"]);
    bench
        .run("diary add mika/2026-03-03.gpx.gz --date 2026-03-04 --zone +01:00 --athlete Mika --diary g.db")?
        .could_not(&["--force"]);
    // A mistake in the plan beside it is that file's.
    bench.file("mika/2026-03-10.plan", "sprnt 5 x 40 m\n")?;
    let ran = bench.run("diary add mika --athlete Mika --diary h.db")?;
    assert_eq!(ran.status, Some(1));
    assert!(
        ran.err.contains("sprnt") && ran.out.contains("added 1"),
        "{ran:?}"
    );
    Ok(())
}

#[test]
fn a_spreadsheet_is_taken_whole_or_not_at_all() -> Outcome {
    let bench = Bench::new()?;
    let line = format!("diary import {SEASON}/unrecorded.csv --diary d.db");
    bench
        .run(&line)?
        .done(&["added 193 of 193 rows; 0 were there already, 0 could not be read"]);
    bench
        .run(&line)?
        .done(&["added 0 of 193 rows; 193 were there already"]);
    bench.file(
        "wrong.csv",
        "date,athlete,what,minutes,RPE\n2026-03-02,Mika,team,75,5\n03/04/2026,Mika,swim,75,5\n",
    )?;
    let ran = bench.run("diary import wrong.csv --diary e.db")?;
    ran.could_not(&[
        "row 3: \"03/04/2026\" is no day",
        "nothing was kept",
        "--partly",
    ]);
    assert!(!bench.path("e.db").exists());
    let ran = bench.run("diary import wrong.csv --partly --diary e.db")?;
    assert_eq!(ran.status, Some(1));
    assert!(ran.out.contains("added 1 of 2 rows"), "{ran:?}");
    bench.file("other.csv", "name,age\nMika,12\n")?;
    bench
        .run("diary import other.csv --diary e.db")?
        .could_not(&["no column \"date\""]);
    // A workbook as our own writer makes them, with a day as text and as a number.
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    for (column, name) in (0..).zip(["Date", "Athlete", "What", "Minutes", "RPE"]) {
        sheet.write(0, column, name)?;
    }
    for (row, day) in [(1, None), (2, Some("2026-03-09"))] {
        match day {
            Some(day) => sheet.write(row, 0, day)?,
            None => sheet.write(row, 0, 46_083)?,
        };
        sheet.write(row, 1, "Zoë & co")?;
        sheet.write(row, 2, "team")?;
        sheet.write(row, 3, 75)?;
        sheet.write(row, 4, 5.5)?;
    }
    book.save(bench.path("team.xlsx"))?;
    bench
        .run("diary import team.xlsx --diary x.db")?
        .done(&["added 2 of 2 rows"]);
    bench
        .run("diary list --json --diary x.db")?
        .done(&["2026-03-02", "2026-03-09", "Zoë & co"]);
    Ok(())
}

#[test]
fn heart_rate_is_kept_and_its_load_stands_beside_the_other() -> Outcome {
    let bench = bench()?;
    let ran = bench.run("diary athlete --diary d.db")?;
    ran.done(&["Ife: the highest rate is not known", "highest recorded"]);
    let week = "week 2026-03-03 --athlete Jonna --diary d.db --today 2026-03-20";
    let weeks = "weeks --athlete Jonna --diary d.db --today 2026-03-20";
    for line in [week, weeks] {
        assert!(!bench.run(line)?.out.contains("by heart rate"), "{line}");
    }
    bench
        .run("diary athlete Jonna --heart-max 200 --diary d.db")?
        .done(&["Jonna: highest 200, load by Edwards 1993"]);
    let ran = bench.run(week)?;
    ran.done(&[
        "by heart rate (Edwards 1993), of 1 of 1 session",
        "RPE x minutes",
    ]);
    let edwards = ran.out.clone();
    bench
        .run("diary athlete Jonna --heart-max 200 --load banister-women --diary d.db")?
        .wrong_usage(&["--heart-rest"]);
    bench
        .run("diary athlete Jonna --heart-max 200 --heart-rest 55 --load banister-women --diary d.db")?
        .done(&["Banister, Morton et al. 1990, women"]);
    let ran = bench.run(week)?;
    ran.done(&["by heart rate (Banister, Morton et al. 1990, women)"]);
    assert_ne!(ran.out, edwards);
    bench
        .run("diary athlete Jonna --heart-max 120 --diary d.db")?
        .done(&["a recording lies above it"]);
    bench
        .run("diary athlete Jonna --heart-max 12 --diary d.db")?
        .could_not(&["between 20 and 250"]);
    // In the weeks of one athlete it stands below the table, no line longer than a terminal.
    let ran = bench.run(weeks)?;
    ran.done(&["heart  load by heart rate", "It is no part of"]);
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80));
    let ran = bench.run("weeks --all --of heart-load --diary d.db --today 2026-03-20")?;
    ran.done(&["Load by heart rate", "the highest is not in the diary"]);
    // Kept by classes of five beats, by block, and after each set that a minute without work followed.
    let show = bench.run("table --diary d.db --of sessions --to rows.json")?;
    show.done(&[]);
    let rows: serde_json::Value = serde_json::from_str(&bench.text("rows.json")?)?;
    let first = rows.to_string();
    assert!(
        first.contains("heart_mean_bpm") && first.contains("heart_load"),
        "{first}"
    );
    bench
        .run("diary pages --out site --diary d.db --today 2026-03-20")?
        .done(&[]);
    let page = bench
        .names("site")?
        .into_iter()
        .find(|n| n.starts_with("session-2026-03-03"))
        .unwrap_or_default();
    let html = bench.text(&format!("site/{page}"))?;
    for part in [
        "Heart rate",
        "Drop in the first minute after each set",
        "In classes of five beats",
    ] {
        assert!(html.contains(part), "{part}");
    }
    Ok(())
}
