//! `repledger week`, `weeks` and `best`.

use repledger::report;
use serde_json::Value;

use crate::support::cli::{Bench, Ran};
use crate::support::made;
use crate::support::outcome::Outcome;
use crate::support::schema;
use crate::support::season::{Season, keep, season};

/// The day that the made season is looked at from.
const SEEN: &str = "--diary d.db --today 2026-05-21";

fn bench() -> Outcome<Bench> {
    let bench = Bench::new()?;
    keep(&season(), &bench.path("d.db"))?;
    Ok(bench)
}

fn document(ran: &Ran, schema: &str) -> Outcome<Value> {
    let document = serde_json::from_str(&ran.out)?;
    assert!(schema::is_valid(&serde_json::from_str(schema)?, &document));
    Ok(document)
}

#[test]
fn a_week_is_asked_for_by_day_number_or_not_at_all() -> Outcome {
    let bench = bench()?;
    let ran = bench.run(&format!("week --athlete Ana {SEEN}"))?;
    ran.done(&[
        "Today, Thu 21 May, is MD-2",
        "week 2026-W21",
        "to do: Wall passes",
        "Remarks",
    ]);
    assert_eq!(ran.err, "");
    let day = bench.run(&format!("week 2026-05-16 --athlete Ana {SEEN}"))?;
    day.done(&["week 2026-W20", "4 sessions, 305 min"]);
    assert!(!day.out.contains("monotony"));
    assert_eq!(
        day,
        bench.run(&format!("week 2026-W20 --athlete Ana {SEEN}"))?
    );
    let ran = bench.run(&format!("week 2026-W20 --athlete Ana --monotony {SEEN}"))?;
    ran.done(&["monotony  0.93"]);
    bench
        .run(&format!("week 16.5. --athlete Ana {SEEN}"))?
        .wrong_usage(&["neither a day, as 2026-05-16, nor a week, as 2026-W20"]);
    Ok(())
}

#[test]
fn with_several_athletes_one_must_be_named() -> Outcome {
    let bench = bench()?;
    for command in ["week", "weeks", "best"] {
        let ran = bench.run(&format!("{command} {SEEN}"))?;
        ran.wrong_usage(&["\"Ana\", \"Ben\"", "--athlete NAME", "--all"]);
        let ran = bench.run(&format!("{command} --athlete Zoe {SEEN}"))?;
        ran.could_not(&["nothing of \"Zoe\"", "\"Ana\", \"Ben\""]);
        bench
            .run(&format!("{command} --athlete Ana --all {SEEN}"))?
            .wrong_usage(&["--all"]);
    }
    Ok(())
}

#[test]
fn weeks_without_anything_say_where_the_entries_are() -> Outcome {
    let bench = bench()?;
    for command in ["week", "weeks"] {
        let ran = bench.run(&format!(
            "{command} --athlete Ana --diary d.db --today 2027-05-21"
        ))?;
        assert!(
            ran.err
                .contains("nothing was noted in these weeks; the last entry is of 2026-05-"),
            "{}",
            ran.err
        );
        assert!(ran.err.contains("`--today 2026-05-"), "{}", ran.err);
    }
    Ok(())
}

#[test]
fn a_diary_of_one_needs_no_name_and_an_empty_one_has_words() -> Outcome {
    let bench = Bench::new()?;
    let mut one = season();
    one.entries.retain(|entry| entry.athlete == "Ana");
    keep(&one, &bench.path("d.db"))?;
    keep(&Season::default(), &bench.path("empty.db"))?;
    for (command, word) in [
        ("week", "Today"),
        ("weeks", "nothing is noted"),
        ("best", "no recording"),
    ] {
        bench.run(&format!("{command} {SEEN}"))?.done(&["Ana"]);
        bench
            .run(&format!("{command} --diary empty.db"))?
            .done(&[word]);
        let ran = bench.run(&format!("{command} --diary none.db"))?;
        ran.could_not(&["none.db"]);
    }
    Ok(())
}

#[test]
fn a_squad_is_sorted_as_asked() -> Outcome {
    let bench = bench()?;
    for (line, first) in [
        ("week 2026-W20 --all", "Ana"),
        ("week 2026-W20 --all --sort load", "Ana"),
        ("weeks --all --last 4 --sort top-speed", "Ana"),
        ("weeks --all --sort distance", "Ana"),
    ] {
        let ran = bench.run(&format!("{line} {SEEN}"))?;
        ran.done(&["2 of 2 athletes", "Ben"]);
        let row = |name: &str| {
            ran.out
                .lines()
                .position(|line| line.starts_with(&format!("{name}  ")))
        };
        assert!(row(first) < row("Ben"), "{}", ran.out);
    }
    // Nothing of Ben was recorded in the last week, so he comes last whatever his name.
    let mut turned = season();
    for entry in &mut turned.entries {
        entry.athlete = if entry.athlete == "Ana" { "Zoe" } else { "Ben" }.to_owned();
    }
    keep(&turned, &bench.path("turned.db"))?;
    let ran =
        bench.run("week 2026-W19 --all --sort distance --diary turned.db --today 2026-05-21")?;
    assert!(ran.out.find("\nZoe") < ran.out.find("\nBen"), "{}", ran.out);
    bench
        .run(&format!("week --athlete Ana --sort load {SEEN}"))?
        .wrong_usage(&["--athlete", "--sort"]);
    Ok(())
}

#[test]
fn json_is_one_document_and_nothing_else() -> Outcome {
    let bench = bench()?;
    for whose in ["--athlete Ana", "--all"] {
        let ran = bench.run(&format!("week {whose} --json {SEEN} --color always"))?;
        let found = document(&ran, &report::week::json::schema()?)?;
        assert_eq!(found["athletes"][0]["days"][4]["place"], "MD-1");
        let ran = bench.run(&format!("weeks {whose} --json {SEEN}"))?;
        let found = document(&ran, &report::weeks::json::schema()?)?;
        assert_eq!(
            found["athletes"][0]["weeks"][9]["steps"][1]["verdict"],
            "up"
        );
        let ran = bench.run(&format!("best {whose} --json {SEEN}"))?;
        let found = document(&ran, &report::best::json::schema()?)?;
        assert_eq!(
            found["athletes"][0]["top_speed_m_s"]["measured"]["value"],
            8.5
        );
    }
    Ok(())
}

#[test]
fn pictures_go_into_a_folder_under_fixed_names() -> Outcome {
    let bench = bench()?;
    for command in ["weeks", "best"] {
        let line = format!("{command} --athlete Ana --out out-{command} {SEEN}");
        let ran = bench.run(&line)?;
        ran.done(&["Ana"]);
        assert_eq!(ran.err, format!("wrote 4 files into 'out-{command}'\n"));
        let names = bench.names(&format!("out-{command}"))?;
        let of = |end: &str| format!("{command}.{end}");
        assert_eq!(
            names,
            [
                ".repledger".to_owned(),
                of("json"),
                of("png"),
                of("svg"),
                of("txt")
            ]
        );
        assert_eq!(
            bench.text(&format!("out-{command}/{command}.txt"))?,
            ran.out
        );
        // What somebody else wrote stands.
        bench.file(&format!("out-{command}/{command}.txt"), "mine")?;
        assert_eq!(bench.run(&line)?.status, Some(1));
        bench.run(&format!("{line} --force"))?.done(&[]);
    }
    // The weeks of a squad have a picture of their own; its bests have none.
    bench
        .run(&format!("best --all --out o {SEEN}"))?
        .wrong_usage(&["--all"]);
    Ok(())
}

#[test]
fn what_lies_after_the_day_looked_from_is_not_seen() -> Outcome {
    let bench = bench()?;
    let ran = bench.run("weeks --athlete Ana --diary d.db --today 2026-03-12")?;
    ran.done(&["2026-W11*"]);
    assert!(!ran.out.contains("2026-W12"));
    let ran = bench.run("best --athlete Ana --diary d.db --today 2026-03-12")?;
    assert!(!ran.out.contains("12 May"), "{}", ran.out);
    Ok(())
}

#[test]
fn a_squad_by_week_is_asked_for_by_quantity() -> Outcome {
    let bench = bench()?;
    let ran = bench.run(&format!(
        "weeks --all --of distance --last 6 --out squad {SEEN}"
    ))?;
    ran.done(&[
        "Distance recorded, m",
        "W16",
        "W21*",
        "all",
        "2 of 2 athletes",
    ]);
    for name in ["squad.txt", "squad.json", "squad.svg", "squad.png"] {
        assert!(bench.path("squad").join(name).exists(), "{name}");
    }
    let ran = bench.run(&format!("weeks --all --of top-speed --json {SEEN}"))?;
    let found = document(&ran, &report::grid::json::schema()?)?;
    assert_eq!(found["of"], "top_speed_m_s");
    bench
        .run(&format!("weeks --athlete Ana --of load {SEEN}"))?
        .wrong_usage(&["--of"]);
    Ok(())
}

#[test]
fn days_bound_what_is_told() -> Outcome {
    let bench = bench()?;
    let last = bench.run(&format!("weeks --athlete Ana --last 3 --json {SEEN}"))?;
    let since = bench.run(&format!(
        "weeks --athlete Ana --since 2026-05-07 --json {SEEN}"
    ))?;
    assert_eq!(last, since);
    assert_eq!(
        bench.run("weeks --athlete Ana --last 2 --json --diary d.db --today 2026-05-16")?,
        bench
            .run("weeks --athlete Ana --since 2026-05-04 --until 2026-05-16 --json --diary d.db")?
    );
    bench
        .run(&format!("weeks --athlete Ana --since 2026-06-01 {SEEN}"))?
        .wrong_usage(&["2026-06-01 lies after 2026-05-21"]);
    bench
        .run(&format!("weeks --athlete Ana --since 1996-06-01 {SEEN}"))?
        .wrong_usage(&["520 weeks"]);
    let list = |days: &str| bench.run(&format!("diary list --athlete Ana {days} --diary d.db"));
    let bounded = list("--since 2026-05-11 --until 2026-05-17")?;
    assert_eq!(bounded, list("--from 2026-05-11 --to 2026-05-17")?);
    assert!(bounded.out.lines().count() < list("")?.out.lines().count());
    let best = |days: &str| bench.run(&format!("best --athlete Ana --json {days} {SEEN}"));
    assert_ne!(best("")?, best("--until 2026-05-01")?);
    Ok(())
}

#[test]
fn the_same_hour_twice_is_said_where_it_is_added_and_where_it_counts() -> Outcome {
    let bench = Bench::with("a.gpx", made::gpx(600, 1.0))?;
    bench.file("b.gpx", made::gpx(500, 1.0))?;
    bench.file(
        "c.gpx",
        made::gpx(600, 1.0).replace("2026-05-12", "2026-05-13"),
    )?;
    let ran = bench.run("diary add a.gpx --diary d.db")?;
    assert!(!ran.err.contains("same hour"), "{}", ran.err);
    let ran = bench.run("diary add b.gpx c.gpx --diary d.db")?;
    for word in [
        "entry 2 holds the same hour as entry 1",
        "`repledger diary remove 2`",
        "`repledger diary remove 1`",
    ] {
        assert!(ran.err.contains(word), "{}", ran.err);
    }
    assert!(!ran.err.contains("entry 3 holds"), "{}", ran.err);
    for command in ["week 2026-05-12", "weeks"] {
        let ran = bench.run(&format!("{command} --diary d.db --today 2026-05-14"))?;
        let said = "entries 1 and 2 hold the same hour of 2026-05-12, and both count";
        assert!(ran.err.contains(said), "{command}: {}", ran.err);
    }
    let ran = bench.run("week 2026-05-12 --diary d.db --today 2026-05-14")?;
    ran.done(&["3 sessions"]);
    // As on a day that is named, nothing is there of the days after it.
    let ran = bench.run("week 2026-05-12 --diary d.db --today 2026-05-12")?;
    ran.done(&["2 sessions"]);
    // Another athlete's hour is his own.
    let ran = bench.run("diary add a.gpx --diary e.db --athlete Ana")?;
    ran.done(&["added 1"]);
    let ran = bench.run("diary add b.gpx --diary e.db --athlete Ben")?;
    assert!(!ran.err.contains("same hour"), "{}", ran.err);
    bench.run("diary remove 2 --diary d.db")?.done(&[]);
    let ran = bench.run("weeks --diary d.db --today 2026-05-14")?;
    assert!(!ran.err.contains("same hour"), "{}", ran.err);
    Ok(())
}
