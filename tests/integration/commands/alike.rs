//! What is told in two places is told alike.

use std::fs;
use std::io::Read;

use flate2::read::DeflateDecoder;
use serde_json::Value;

use super::season;
use crate::support::cli::Bench;
use crate::support::outcome::Outcome;

fn demo() -> Outcome<Bench> {
    let bench = Bench::with("a.csv", fs::read("fixtures/traces/demo_10hz.csv")?)?;
    bench.file("a.plan", fs::read("fixtures/plans/demo.plan")?)?;
    Ok(bench)
}

/// What stands in the column behind a word at the beginning of a line, in small letters.
fn behind(text: &str, word: &str) -> Option<String> {
    let lower = text.to_lowercase();
    let mut lines = lower.lines().filter_map(|line| line.strip_prefix(word));
    let line = lines.find(|line| line.starts_with("  "))?;
    Some(line.trim().to_owned())
}

#[test]
fn the_account_and_the_diary_give_the_same_last_digit() -> Outcome {
    let bench = demo()?;
    let account = bench.run("review a.csv --plan a.plan")?.out;
    bench.run("diary add a.csv --plan a.plan --athlete Mika --diary d.db")?;
    let kept = bench.run("diary show 1 --diary d.db")?.out;
    for word in ["distance", "top speed"] {
        let told = behind(&account, word).ok_or(word)?;
        assert_eq!(behind(&kept, word), Some(told), "{word}");
    }
    Ok(())
}

#[test]
fn the_weeks_of_a_table_have_the_intervals_of_weeks() -> Outcome {
    let bench = season::bench()?;
    // Two more in one of the weeks, so that errors add up.
    bench.file("a.csv", fs::read("fixtures/traces/demo_10hz.csv")?)?;
    bench.file("b.gpx", fs::read("fixtures/traces/demo_1hz.gpx")?)?;
    for trace in ["a.csv", "b.gpx"] {
        let ran = bench.run(&format!(
            "diary add {trace} --athlete Mika --date 2026-03-19 --force --diary d.db"
        ))?;
        assert_eq!(ran.status, Some(0), "{ran:?}");
    }
    bench.run("table --diary d.db --athlete Mika --of weeks --to w.ndjson")?;
    let ran = bench.run("weeks --athlete Mika --json --diary d.db --today 2026-03-22")?;
    let weeks: Value = serde_json::from_str(&ran.out)?;
    let weeks = weeks["athletes"][0]["weeks"].as_array().ok_or("weeks")?;
    let mut seen = 0;
    for row in bench.text("w.ndjson")?.lines() {
        let row: Value = serde_json::from_str(row)?;
        let week = weeks
            .iter()
            .find(|week| week["week"] == row["week"])
            .ok_or("a week")?;
        for (name, unit) in [("distance", "m"), ("top_speed", "m_s")] {
            for (end, key) in [("", "value"), ("_low", "low"), ("_high", "high")] {
                let (a, b) = (
                    row[format!("{name}{end}_{unit}")].as_f64().ok_or(name)?,
                    week["totals"][format!("{name}_{unit}")][key]
                        .as_f64()
                        .ok_or(name)?,
                );
                // A row has three decimals, a document as many as its reader needs.
                assert!((a - b).abs() <= 0.051, "{name}{end}: {a} {b}");
                seen += 1;
            }
        }
    }
    assert!(seen >= 18, "{seen}");
    Ok(())
}

/// A part of a ZIP archive, by its local header (PKWARE APPNOTE 6.3, 4.3.7).
fn part(archive: &[u8], name: &str) -> Outcome<String> {
    const HEADER: usize = 30;
    let at = (archive.windows(name.len()).enumerate())
        .filter(|(at, text)| *at >= HEADER && *text == name.as_bytes())
        .find(|(at, _)| archive[at - HEADER..].starts_with(b"PK\x03\x04"))
        .map(|(at, _)| at)
        .ok_or("no such part")?;
    let extra = usize::from(u16::from_le_bytes([archive[at - 2], archive[at - 1]]));
    let mut text = String::new();
    DeflateDecoder::new(&archive[at + name.len() + extra..]).read_to_string(&mut text)?;
    Ok(text)
}

#[test]
fn a_workbook_has_its_settings_from_a_recording_and_from_a_diary() -> Outcome {
    let bench = demo()?;
    bench.run("diary add a.csv --athlete Mika --set sprint.from=6.5m/s --diary d.db")?;
    bench.run("table a.csv --to trace.xlsx --set sprint.from=6.5m/s")?;
    bench.run("table --diary d.db --to diary.xlsx")?;
    let keys: usize = (repledger::settings::SECTIONS.iter())
        .map(|section| section.keys.len())
        .sum();
    for name in ["trace.xlsx", "diary.xlsx"] {
        let archive = fs::read(bench.path(name))?;
        let book = part(&archive, "xl/workbook.xml")?;
        let before = book.split("name=\"settings\"").next().ok_or("a sheet")?;
        let number = before.matches("<sheet ").count();
        let sheet = part(&archive, &format!("xl/worksheets/sheet{number}.xml"))?;
        let rows = sheet.matches("<row ").count();
        assert!(rows > keys, "{name}: {rows} rows for {keys} settings");
        let strings = part(&archive, "xl/sharedStrings.xml")?;
        assert!(
            strings.contains("sprint.from") && strings.contains("6.5 m/s"),
            "{name}"
        );
    }
    Ok(())
}

#[test]
fn from_and_to_are_since_and_until_wherever_they_are_free() -> Outcome {
    let bench = season::bench()?;
    for (line, to) in [
        ("diary list --athlete Mika --diary d.db", true),
        ("weeks --athlete Mika --json --diary d.db", true),
        (
            "best --athlete Mika --json --today 2026-03-30 --diary d.db",
            true,
        ),
        // Of a table `--to` names the file.
        ("table --diary d.db --athlete Mika --of sessions", false),
    ] {
        let end = |word: &str| format!("{word} 2026-03-12");
        let plain = bench.run(&format!("{line} --since 2026-03-09 {}", end("--until")))?;
        assert_eq!(plain.status, Some(0), "{plain:?}");
        let word = if to { "--to" } else { "--until" };
        assert_eq!(
            bench.run(&format!("{line} --from 2026-03-09 {}", end(word)))?,
            plain
        );
        assert_ne!(bench.run(line)?.out, plain.out, "{line}");
    }
    Ok(())
}

/// No reason speaks of how it was found out.
#[test]
fn reasons_are_in_the_words_of_a_player() -> Outcome {
    const OURS: [&str; 12] = [
        "match",
        "candidate",
        "align",
        "segment",
        "chain",
        "odds",
        "posterior",
        "probability",
        "bout",
        "residual",
        "threshold",
        "fixes",
    ];
    let bench = demo()?;
    bench.file("b.gpx", fs::read("fixtures/traces/demo_1hz.gpx")?)?;
    let plan = fs::read_to_string("fixtures/plans/demo.plan")?;
    bench.file(
        "other.plan",
        "speed 12 x 20 m at 95%, rest 20 s\nresistance 6 x 90 s, rest 60 s\n",
    )?;
    bench.file(
        "more.plan",
        format!("{plan}speed 6 x 30 m at 99%, rest 60 s\nstrength 4 x 8 reps over 5 m\n"),
    )?;
    let mut told = 0;
    for trace in ["a.csv", "b.gpx"] {
        for plan in ["a.plan", "other.plan", "more.plan"] {
            let ran = bench.run(&format!("review {trace} --plan {plan} --json"))?;
            let review: Value = serde_json::from_str(&ran.out)?;
            let blocks = review["plan"]["blocks"].as_array().ok_or("blocks")?;
            let sets = blocks
                .iter()
                .flat_map(|b| b["sets"].as_array().into_iter().flatten());
            for rep in sets.flat_map(|s| s["reps"].as_array().into_iter().flatten()) {
                if let Some(why) = rep["why"].as_str() {
                    told += 1;
                    assert!(!OURS.iter().any(|word| why.contains(word)), "{why}");
                }
            }
        }
    }
    assert!(told > 5, "{told}");
    Ok(())
}
