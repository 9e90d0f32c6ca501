//! The top speed that the diary knows: whom it is asked of, who wins over it, and how it is told.

use std::fmt::Write as _;

use serde_json::Value;

use crate::support::cli::Bench;
use crate::support::outcome::Outcome;

/// Ten minutes at 10 Hz on a day of May 2026: a run of 6 s up to this speed in each minute, standing between.
fn recording(day: u32, top_m_s: f64) -> String {
    let mut text = String::from("time,x (m),y (m),speed (m/s)\n");
    let mut y_m = 0.0;
    for k in 0..6_000_u32 {
        let into_s = f64::from(k % 600) / 10.0 - 20.0;
        let speed_m_s = if into_s < 0.0 {
            0.0
        } else if into_s < 6.0 {
            top_m_s * (1.0 - (-into_s).exp())
        } else {
            (top_m_s - 4.0 * (into_s - 6.0)).max(0.0)
        };
        y_m += speed_m_s / 10.0;
        let _ = writeln!(
            text,
            "2026-05-{day:02}T17:{:02}:{:04.1}Z,0,{y_m:.3},{speed_m_s:.3}",
            k / 600,
            f64::from(k % 600) / 10.0
        );
    }
    text
}

const PLAN: &str = "speed \"to halfway\", 10 x 40 m at 95%, rest 50 s\n";

fn bench() -> Outcome<Bench> {
    let bench = Bench::new()?;
    bench.file("a.plan", PLAN)?;
    bench.file("12.csv", recording(12, 8.6))?;
    bench.file("14.csv", recording(14, 7.6))?;
    bench.file("16.csv", recording(16, 7.8))?;
    bench.file("18.csv", recording(18, 9.2))?;
    Ok(bench)
}

fn top(bench: &Bench, line: &str) -> Outcome<(String, Value, f64)> {
    let review: Value = serde_json::from_str(&bench.run(line)?.out)?;
    let top = &review["plan"]["top_speed"];
    Ok((
        top["source"].as_str().unwrap_or_default().to_owned(),
        top["date"].clone(),
        top["speed_m_s"]["value"].as_f64().unwrap_or_default(),
    ))
}

#[test]
fn the_best_of_an_earlier_day_is_used_where_nobody_names_one() -> Outcome {
    let bench = bench()?;
    bench
        .run("diary add 12.csv 14.csv 18.csv --athlete Mika")?
        .done(&["added 3"]);
    let line = "review 16.csv --plan a.plan --json";
    // Without a diary at hand the best of the session itself.
    let (source, date, own) = top(&bench, line)?;
    assert_eq!((source.as_str(), date), ("session", Value::Null));
    // Of the 12th, not of the 14th, which was slower, nor of the 18th, which was later.
    let (source, date, known) = top(&bench, &format!("{line} --athlete Mika"))?;
    assert_eq!((source.as_str(), date), ("diary", "2026-05-12".into()));
    assert!(known > own + 0.5, "{known} {own}");
    // Nobody else's, and by itself of a diary that is one person's.
    let (source, ..) = top(&bench, &format!("{line} --athlete Ife"))?;
    assert_eq!(source, "session");
    let of_one = format!("{line} --device x");
    assert_eq!(top(&bench, &of_one)?.0, "diary");
    // Settings and plan win over it.
    let named = format!("{line} --athlete Mika --set athlete.top_speed=9.5m/s");
    assert_eq!(top(&bench, &named)?.0, "settings");
    bench.file("b.plan", format!("top speed: 9 m/s\nathlete: Mika\n{PLAN}"))?;
    let planned = "review 16.csv --plan b.plan --athlete Mika --json";
    assert_eq!(top(&bench, planned)?.0, "plan");
    // A better day than all before.
    let better = "review 18.csv --plan a.plan --athlete Mika";
    assert_eq!(top(&bench, &format!("{better} --json"))?.0, "session");
    bench
        .run(better)?
        .done(&["lies above the", "of 12 May in the diary"]);
    Ok(())
}

#[test]
fn account_page_and_entry_tell_the_day_it_was_measured() -> Outcome {
    let bench = bench()?;
    bench.run("diary add 12.csv")?.done(&["added 1"]);
    let said = bench.run("review 16.csv --plan a.plan --device x --out out")?;
    said.done(&["of 12 May in the diary"]);
    let page = bench.text("out/report.html")?;
    assert!(page.contains("of 12 May in the diary"));
    let hidden = bench.run("review 16.csv --plan a.plan --device x --hide-place")?;
    hidden.done(&["in the diary"]);
    assert!(!hidden.out.contains("12 May"), "{}", hidden.out);
    // The entry answers in the words of the review.
    bench
        .run("diary add 16.csv --plan a.plan")?
        .done(&["added 2"]);
    let answer = |text: &str| {
        let from = text.find("Did I hit top speed?").unwrap_or(text.len());
        let until = text[from..]
            .find("Best: ")
            .map_or(text.len(), |at| from + at);
        text[from..until].to_owned()
    };
    let shown = bench.run("diary show 2")?.out;
    assert!(shown.contains("of 12 May in the diary"), "{shown}");
    assert_eq!(answer(&shown), answer(&said.out));
    let entry: Value = serde_json::from_str(&bench.run("diary show 2 --json")?.out)?;
    assert_eq!(entry["top_speed"]["date"], "2026-05-12");
    assert_eq!(entry["top_speed"]["source"], "diary");
    // So does its page in a season, as the page of the review.
    bench
        .run("diary pages --no-reviews --today 2026-05-18 --out season")?
        .done(&[]);
    let mut pages = std::fs::read_dir(bench.path("season"))?.filter_map(Result::ok);
    let session = pages
        .find(|file| {
            let name = file.file_name();
            name.to_string_lossy().starts_with("session-2026-05-16")
        })
        .ok_or("no page of the session")?;
    let season = std::fs::read_to_string(session.path())?;
    assert!(season.contains("of 12 May in the diary"), "{season}");
    assert!(answer(&season).contains("surely did not"), "{season}");
    assert_eq!(answer(&season), answer(&page));
    // Without a plan each sprint is held against it.
    bench.run("review 16.csv --device x")?.done(&[
        "Did I hit top speed?",
        "All sprints",
        "of 12 May in the diary",
    ]);
    Ok(())
}

/// A receiver of a fix a second leaves a top speed open by more than a tenth.
#[test]
fn a_receiver_that_cannot_tell_a_top_speed_is_not_asked_for_it() -> Outcome {
    let bench = bench()?;
    let slow: String = (recording(10, 9.5).lines())
        .enumerate()
        .filter(|(at, _)| at % 10 == 1 || *at == 0)
        .map(|(_, line)| {
            line.rsplit_once(',')
                .map_or("", |(head, _)| head)
                .to_owned()
                + "\n"
        })
        .collect();
    bench.file("10.csv", slow)?;
    bench.run("diary add 10.csv 12.csv")?.done(&["added 2"]);
    let line = "review 16.csv --plan a.plan --device x --json";
    let (source, date, _) = top(&bench, line)?;
    assert_eq!((source.as_str(), date), ("diary", "2026-05-12".into()));
    Ok(())
}
