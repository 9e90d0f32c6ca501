//! `units.speed`: everything that people read is in the unit asked for, and everything for programs stays in m/s.

use std::fs;

use super::season;
use crate::support::cli::{Bench, Ran};
use crate::support::outcome::Outcome;

const KM_H: &str = "--set units.speed=km/h";
const DEMO: [&str; 2] = ["fixtures/traces/demo_10hz.csv", "fixtures/plans/demo.plan"];

fn bench() -> Outcome<Bench> {
    let bench = Bench::with("a.csv", fs::read(DEMO[0])?)?;
    bench.file("a.plan", fs::read(DEMO[1])?)?;
    bench.file("b.gpx", fs::read("fixtures/traces/demo_1hz.gpx")?)?;
    Ok(bench)
}

/// How often a text names m/s as a unit of speed; accelerations are m/s2.
fn metres_a_second(text: &str) -> usize {
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let named = |(at, _): &(usize, &str)| !flat[at + "m/s".len()..].starts_with('2');
    flat.match_indices("m/s").filter(named).count()
}

/// Checks that km/h is told, and m/s so many times.
#[track_caller]
fn told(text: &str, beside: usize) {
    assert!(text.contains("km/h"), "{text}");
    assert_eq!(metres_a_second(text), beside, "{text}");
}

/// What of a page is read: without its style, its script and its settings, whose meanings name sources and units.
fn read(page: &str) -> String {
    let mut text = page.to_owned();
    for (from, to) in [
        ("<style", "</style>"),
        ("<script", "</script>"),
        ("<section aria-labelledby=\"settings\"", "</section>"),
    ] {
        while let Some(start) = text.find(from) {
            let end = text[start..]
                .find(to)
                .map_or(text.len(), |end| start + end + to.len());
            text.replace_range(start..end, " ");
        }
    }
    text
}

#[test]
fn a_review_its_page_and_its_pictures_are_in_the_unit_asked_for() -> Outcome {
    let bench = bench()?;
    let ran = bench.run(&format!("review a.csv --plan a.plan {KM_H} --out out"))?;
    ran.done(&["Top speed  ", "km/h"]);
    // The other unit once, beside the top speed.
    told(&ran.out, 1);
    told(&bench.text("out/account.txt")?, 1);
    let page = bench.text("out/report.html")?;
    told(&read(&page), 1);
    assert!(page.contains("\"sign\":\"km/h\""));
    assert!(
        page.contains("25.2 km/h"),
        "the settings, too, are told in it"
    );
    for name in bench.names("out")? {
        if name.rsplit('.').next() == Some("svg") {
            assert_eq!(
                metres_a_second(&bench.text(&format!("out/{name}"))?),
                0,
                "{name}"
            );
        }
    }
    for name in ["speed", "sprints", "reps", "timeline", "fade"] {
        let svg = bench.text(&format!("out/{name}.svg"))?;
        assert!(svg.contains("km/h"), "{name}");
    }
    // Round numbers of the unit stand at the axis.
    let speed = bench.text("out/speed.svg")?;
    for tick in [">10<", ">20<", ">30<"] {
        assert!(speed.contains(tick), "{tick}");
    }
    let without = bench.run(&format!("review a.csv {KM_H}"))?;
    told(&without.out, 1);
    let several = bench.run(&format!("review a.csv b.gpx {KM_H}"))?;
    told(&several.out, 0);
    Ok(())
}

#[test]
fn documents_and_rows_stay_as_they_are() -> Outcome {
    let bench = bench()?;
    bench.run("diary add a.csv --plan a.plan --athlete Mika --diary d.db")?;
    for line in [
        "review a.csv --plan a.plan --json",
        "compare a.csv b.gpx --json",
        "table a.csv --of sessions",
        "table a.csv --plan a.plan --of reps",
        "plan a.plan --json",
        "weeks --diary d.db --json",
        "best --diary d.db --json",
    ] {
        let plain = bench.run(line)?;
        assert_eq!(plain.status, Some(0), "{plain:?}");
        assert_eq!(bench.run(&format!("{line} {KM_H}"))?, plain, "{line}");
    }
    Ok(())
}

#[test]
fn what_a_diary_shows_is_in_the_unit_asked_for() -> Outcome {
    let bench = season::bench()?;
    let seen = format!("--diary d.db --today 2026-03-18 {KM_H}");
    let run = |line: &str| -> Outcome<Ran> {
        let ran = bench.run(line)?;
        assert_eq!(ran.status, Some(0), "{ran:?}");
        Ok(ran)
    };
    for line in [
        "week 2026-W12 --athlete Mika",
        "week 2026-W12 --all",
        "weeks --athlete Mika --out weeks",
        "weeks --all --of top-speed --out squad",
        "best --athlete Mika --out best",
    ] {
        told(&run(&format!("{line} {seen}"))?.out, 0);
    }
    let drill = [
        "drill",
        "edge of the area to halfway",
        "--diary",
        "d.db",
        "--set",
        "units.speed=km/h",
    ];
    for whose in [
        &["--athlete", "Mika", "--out", "drill"][..],
        &["--all", "--out", "drills"],
    ] {
        let ran = bench.run_words(&[&drill[..], whose].concat())?;
        told(&ran.out, 0);
    }
    for picture in [
        "weeks/weeks",
        "squad/squad",
        "best/best",
        "drill/drill",
        "drills/drill",
    ] {
        told(&bench.text(&format!("{picture}.svg"))?, 0);
    }
    let show = run(&format!("diary show 1 --diary d.db {KM_H}"))?.out;
    // The other unit beside the top speed and beside that of the best curve.
    told(&show, 2);
    run(&format!("diary pages --out pages --no-reviews {seen}"))?;
    for name in bench.names("pages")? {
        if name.rsplit('.').next() == Some("html") {
            let page = read(&bench.text(&format!("pages/{name}"))?);
            let most = usize::from(name.starts_with("session"));
            assert!(metres_a_second(&page) <= most, "{name}");
        }
    }
    // What it was read in is no part of a review that is kept.
    let [plain, again] = ["", KM_H].map(|set| format!("diary refresh 1 --diary d.db {set}"));
    run(&plain)?;
    let kept = run("diary show 1 --diary d.db --json")?;
    run(&again)?;
    assert_eq!(run("diary show 1 --diary d.db --json")?, kept);
    Ok(())
}

#[test]
fn so_is_what_is_compared_planned_and_simulated() -> Outcome {
    let bench = bench()?;
    let both = "compare a.csv b.gpx --plan a.plan";
    told(&bench.run(&format!("{both} {KM_H} --out out"))?.out, 0);
    told(&bench.text("out/drills.svg")?, 0);
    bench.file(
        "s.plan",
        "top speed: 30 km/h\nspeed 2 x 30 m at 95%, rest 1 min\n",
    )?;
    told(
        &bench
            .run(&format!("plan s.plan {KM_H} --card card.html"))?
            .out,
        0,
    );
    // On the card both stand beside each other at each mark.
    assert!(
        bench
            .text("card.html")?
            .contains("30.0\u{a0}km/h (8.3\u{a0}m/s)")
    );
    let ran = bench.run(&format!(
        "simulate s.plan --receiver unit10 --sessions 2 {KM_H}"
    ))?;
    told(&ran.out, 0);
    Ok(())
}

#[test]
fn the_settings_file_of_the_reader_says_it_once() -> Outcome {
    let bench = bench()?;
    bench.file("config/repledger/settings.toml", "units.speed = \"km/h\"\n")?;
    told(&bench.run("review a.csv")?.out, 1);
    bench.run("diary add a.csv --athlete Mika --diary d.db")?;
    told(&bench.run("best --diary d.db")?.out, 0);
    bench
        .run("review a.csv --set units.speed=knots")?
        .wrong_usage(&["units.speed", "m/s", "km/h"]);
    Ok(())
}
