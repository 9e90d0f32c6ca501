//! `repledger diary pages`: a folder of linked pages.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use jiff::civil::date;
use repledger::diary::Activity;

use crate::support::cli::Bench;
use crate::support::made;
use crate::support::outcome::Outcome;
use crate::support::season::{Season, keep, recorded, season};

const SEEN: &str = "--diary d.db --today 2026-05-21";

fn bench() -> Outcome<Bench> {
    let bench = Bench::new()?;
    keep(&season(), &bench.path("d.db"))?;
    Ok(bench)
}

fn pages(bench: &Bench, folder: &str) -> Outcome<Vec<String>> {
    let mut names = bench.names(folder)?;
    names.retain(|name| Path::new(name).extension().is_some_and(|e| e == "html"));
    Ok(names)
}

/// The values of an attribute.
fn values<'a>(html: &'a str, attribute: &str) -> Vec<&'a str> {
    let begin = format!("{attribute}=\"");
    html.split(begin.as_str())
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .collect()
}

/// Every link names a file of the folder, every reference a heading of the page, and nothing else is named.
fn assert_linked(bench: &Bench, folder: &str) -> Outcome {
    let names: BTreeSet<String> = pages(bench, folder)?.into_iter().collect();
    let mut reached = BTreeSet::from(["index.html".to_owned()]);
    for name in &names {
        let html = bench.text(&format!("{folder}/{name}"))?;
        assert!(
            html.starts_with("<!DOCTYPE html>") && html.trim_end().ends_with("</html>"),
            "{name}"
        );
        let ids: Vec<&str> = values(&html, " id");
        let unique: BTreeSet<&&str> = ids.iter().collect();
        assert_eq!(unique.len(), ids.len(), "{name}: {ids:?}");
        for link in values(&html, " href") {
            if let Some(id) = link.strip_prefix('#') {
                assert!(ids.contains(&id), "{name}: {link}");
            } else if !link.starts_with("data:image/") {
                assert!(names.contains(link), "{name}: {link}");
                reached.insert(link.to_owned());
            }
        }
        for id in values(&html, " aria-labelledby") {
            assert!(ids.contains(&id), "{name}: {id}");
        }
        let text = html.replace("http://www.w3.org/2000/svg", "");
        for outside in ["src=\"", "http:", "https:", "@import", " onclick"] {
            assert!(!text.contains(outside), "{name}: {outside}");
        }
        // The page of a review has the one script that its policy names.
        let scripts = usize::from(name.starts_with("review-"));
        assert_eq!(text.matches("<script>").count(), scripts, "{name}");
        assert!(scripts == 1 || !text.contains("<script"), "{name}");
        assert_eq!(html.matches("<h1").count(), 1, "{name}");
    }
    assert_eq!(reached, names, "every page is linked to");
    Ok(())
}

#[test]
fn every_link_resolves_and_nothing_is_loaded() -> Outcome {
    let bench = bench()?;
    let ran = bench.run(&format!("diary pages --out site {SEEN}"))?;
    ran.done(&[]);
    assert!(
        ran.err
            .contains("written, 0 as they were, 0 removed; open index.html"),
        "{}",
        ran.err
    );
    assert_linked(&bench, "site")?;
    let index = bench.text("site/index.html")?;
    for part in [
        "Ana",
        "Ben",
        "This week",
        "Nothing noted for a week or more",
        "Week by week",
        "clearly up",
    ] {
        assert!(index.contains(part), "{part}");
    }
    Ok(())
}

#[test]
fn only_what_changed_is_written_and_what_is_not_ours_stands() -> Outcome {
    let bench = bench()?;
    let line = format!("diary pages --out site {SEEN}");
    bench.run(&line)?.done(&[]);
    let count = pages(&bench, "site")?.len();
    assert!(
        bench
            .run(&line)?
            .err
            .contains(&format!(" 0 written, {count} as they were"))
    );
    bench.file("site/notes.html", "mine")?;
    bench
        .run("diary note gym --minutes 30 --date 2026-05-21 --athlete Ben --diary d.db")?
        .done(&[]);
    let ran = bench.run(&line)?;
    // The session, the one before it, which leads to it, the week, the athlete, the squad.
    assert!(
        ran.err.contains(&format!("{} pages, 5 written", count + 1)),
        "{}",
        ran.err
    );
    // What is no more goes, and so does what led to it.
    let id = 1 + season().entries.len();
    bench
        .run(&format!("diary remove {id} --diary d.db"))?
        .done(&[]);
    let ran = bench.run(&line)?;
    assert!(
        ran.err.contains("4 written") && ran.err.contains("1 removed"),
        "{}",
        ran.err
    );
    assert_eq!(bench.text("site/notes.html")?, "mine");
    // One of our pages that somebody changed stands, and nothing is written.
    bench.file("site/index.html", "mine")?;
    bench.run(&line)?.could_not(&["index.html", "--force"]);
    bench.run(&format!("{line} --force"))?.done(&[]);
    fs::remove_file(bench.path("site/notes.html"))?;
    assert_linked(&bench, "site")
}

#[test]
fn the_pages_of_one_have_no_trace_of_the_others() -> Outcome {
    let bench = bench()?;
    // The folder held the squad before.
    bench
        .run(&format!("diary pages --out one {SEEN}"))?
        .done(&[]);
    let ran = bench.run(&format!("diary pages --out one --athlete Ben {SEEN}"))?;
    ran.done(&[]);
    assert_linked(&bench, "one")?;
    for name in bench.names("one")? {
        assert!(!name.contains("ana"), "{name}");
        let text = bench.text(&format!("one/{name}"))?;
        if name.starts_with("athlete-ben") {
            // Top speeds with their intervals, week by week.
            let (_, weeks) = text.split_once("Week by week").ok_or("no weeks")?;
            let (weeks, _) = weeks.split_once("</table>").ok_or("no end")?;
            let intervals = weeks.matches('(').count() - weeks.matches("(not over)").count();
            assert!(intervals > 0, "{weeks}");
        }
        for other in ["Ana", "athlete-ana", "Channel runs", "Squad"] {
            assert!(!text.contains(other), "{name}: {other}");
        }
    }
    assert!(
        bench
            .text("one/index.html")?
            .contains("<h1><bdi>Ben</bdi></h1>")
    );
    bench
        .run(&format!("diary pages --out one --athlete Zoe {SEEN}"))?
        .could_not(&["nothing of \"Zoe\""]);
    Ok(())
}

#[test]
fn places_are_left_out_where_asked() -> Outcome {
    let bench = bench()?;
    bench
        .run("diary edit 1 --note behind_the_mill --diary d.db")?
        .done(&[]);
    bench
        .run(&format!("diary pages --out open {SEEN}"))?
        .done(&[]);
    bench
        .run(&format!("diary pages --out shut --hide-place {SEEN}"))?
        .done(&[]);
    let whole = |folder: &str| -> Outcome<String> {
        let mut text = String::new();
        for name in pages(&bench, folder)? {
            text += &bench.text(&format!("{folder}/{name}"))?;
        }
        Ok(text)
    };
    let (open, shut) = (whole("open")?, whole("shut")?);
    for place in [
        "Rovers",
        "Wanderers",
        "behind_the_mill",
        "Forty metre sprints",
    ] {
        assert!(open.contains(place), "{place}");
    }
    // A title of a plan that is still to be done is no place.
    for place in ["Rovers", "Wanderers", "behind_the_mill", "Runs and turns</"] {
        assert!(
            !shut.contains(place) || place.starts_with("Runs"),
            "{place}"
        );
    }
    assert_linked(&bench, "shut")
}

#[test]
fn odd_names_full_days_and_empty_athletes_have_pages() -> Outcome {
    let bench = Bench::new()?;
    let mut made = Season::default();
    let day = date(2026, 5, 20);
    let long = "Ω".repeat(200);
    let odd = ["Mika", "mika", "<b>\"&'/../", "عمر\u{202e}gpj", &long, ""];
    for name in odd {
        let entry = made.note(name, day, Activity::Training, 60.0, Some(5.0));
        entry.title = Some("<script>alert(1)</script>".to_owned());
        entry.recorded = Some(recorded(5000.0, [300.0, 50.0], (8.0, 0.1), (3, 4)));
    }
    for _ in 0..40 {
        made.note("Mika", day, Activity::Team, 10.0, None);
    }
    made.plan("Only planned", day, "To do", "speed 5 x 40 m\n");
    keep(&made, &bench.path("d.db"))?;
    bench
        .run(&format!("diary pages --out site {SEEN}"))?
        .done(&[]);
    assert_linked(&bench, "site")?;
    let names = pages(&bench, "site")?;
    assert_eq!(
        names
            .iter()
            .filter(|n| n.starts_with("athlete-mika-"))
            .count(),
        2
    );
    assert_eq!(
        names.iter().filter(|n| n.starts_with("athlete-")).count(),
        odd.len() + 1
    );
    for name in names {
        let html = bench.text(&format!("site/{name}"))?;
        assert!(
            !html.contains("<b>\"") && !html.contains('\u{202e}'),
            "{name}"
        );
    }
    Ok(())
}

#[test]
fn an_empty_diary_has_a_first_page() -> Outcome {
    let bench = Bench::new()?;
    keep(&Season::default(), &bench.path("d.db"))?;
    bench
        .run(&format!("diary pages --out site {SEEN}"))?
        .done(&[]);
    assert_linked(&bench, "site")?;
    bench
        .run("diary pages --out site --diary none.db")?
        .could_not(&["none.db"]);
    bench
        .run("diary pages --diary d.db")?
        .wrong_usage(&["--out"]);
    Ok(())
}

/// A diary with two recordings of Mika and one of Zoe, which is kept in it.
fn reviewed() -> Outcome<Bench> {
    let bench = Bench::with("a.gpx", made::gpx(600, 5.0))?;
    bench.file("b.csv", made::csv(600, 5.0))?;
    bench.file("c.csv", made::csv(700, 5.0))?;
    bench.file("a.plan", "title: By the mill\nspeed 4 x 6 s, rest 24 s\n")?;
    for (of, day) in [
        ("a.gpx --plan a.plan --athlete Mika", "18"),
        ("b.csv --athlete Mika", "19"),
        ("c.csv --athlete Zoe --keep-trace", "20"),
    ] {
        let line = format!("diary add {of} --date 2026-05-{day} --force --diary d.db");
        bench.run(&line)?.done(&["added"]);
    }
    fs::remove_file(bench.path("c.csv"))?;
    Ok(bench)
}

fn reviews(bench: &Bench, folder: &str) -> Outcome<Vec<String>> {
    let mut names = pages(bench, folder)?;
    names.retain(|name| name.starts_with("review-"));
    Ok(names)
}

#[test]
fn behind_a_session_stands_its_review_and_once_there_it_stays() -> Outcome {
    let bench = reviewed()?;
    let line = format!("diary pages --out site {SEEN}");
    bench.run(&line)?.done(&[]);
    let first = reviews(&bench, "site")?;
    assert_eq!(first.len(), 3, "{first:?}");
    assert_linked(&bench, "site")?;
    let page = bench.text(&format!("site/{}", first[0]))?;
    // As `review --out` writes it: the same pictures and tables, and the way back.
    bench.run("review a.gpx --plan a.plan --out one")?.done(&[]);
    let alone = bench.text("one/report.html")?;
    let headings = |html: &str| -> Vec<String> {
        let parts = html.split("<h2").skip(1);
        parts
            .filter_map(|p| p.split("</h2>").next())
            .map(str::to_owned)
            .collect()
    };
    assert!(headings(&alone).len() > 5);
    assert_eq!(headings(&page), headings(&alone));
    assert_eq!(values(&page, " aria-label")[0], "Way back");
    assert!(!alone.contains("Way back"));
    // It is not made again, and stands without its recording.
    fs::remove_file(bench.path("a.gpx"))?;
    bench.file("b.csv", made::csv(500, 5.0))?;
    let ran = bench.run(&line)?;
    assert!(
        ran.err.contains(" 0 written") && !ran.err.contains("without a review"),
        "{}",
        ran.err
    );
    assert_eq!(reviews(&bench, "site")?, first);
    // What it is made of changed: that of the kept recording is made anew, the other cannot be, and says why.
    for id in [2, 3] {
        bench
            .run(&format!("diary edit {id} --title Evening --diary d.db"))?
            .done(&[]);
    }
    let ran = bench.run(&line)?;
    ran.done(&[]);
    for part in [
        "without a review",
        "1 of 3",
        "2026-05-19",
        "not the same recording any more",
    ] {
        assert!(ran.err.contains(part), "{part}: {}", ran.err);
    }
    let second = reviews(&bench, "site")?;
    assert_eq!(second.len(), 2, "{second:?}");
    assert_eq!(second[0], first[0]);
    assert_ne!(second[1], first[2]);
    assert!(
        bench
            .text(&format!("site/{}", second[1]))?
            .contains("<h1>Evening</h1>")
    );
    assert_linked(&bench, "site")?;
    // Not wanted.
    bench.run(&format!("{line} --no-reviews"))?.done(&[]);
    assert_eq!(reviews(&bench, "site")?, [""; 0]);
    assert_linked(&bench, "site")
}

#[test]
fn reviews_keep_places_and_others_to_themselves() -> Outcome {
    let bench = reviewed()?;
    bench
        .run(&format!("diary pages --out one --athlete Mika {SEEN}"))?
        .done(&[]);
    assert_eq!(reviews(&bench, "one")?.len(), 2);
    assert_linked(&bench, "one")?;
    bench
        .run(&format!("diary pages --out shut --hide-place {SEEN}"))?
        .done(&[]);
    assert_linked(&bench, "shut")?;
    for name in reviews(&bench, "one")? {
        let html = bench.text(&format!("one/{name}"))?;
        assert!(!html.contains("Zoe") && !html.contains("Squad"), "{name}");
    }
    // A latitude of the made recording, as any output would write it, and the name that it gives.
    let fix = made::gpx(1, 5.0);
    let latitude = &values(&fix, "lat")[0][..7];
    assert!(fix.contains("Made evening"));
    for name in reviews(&bench, "shut")? {
        let html = bench.text(&format!("shut/{name}"))?;
        for place in [latitude, "Made evening"] {
            assert!(!html.contains(place), "{name}: {place}");
        }
    }
    Ok(())
}

#[test]
fn pages_are_written_while_the_diary_is_locked_by_a_writer() -> Outcome {
    let bench = bench()?;
    let other = rusqlite::Connection::open(bench.path("d.db"))?;
    other.execute_batch("BEGIN IMMEDIATE; DELETE FROM session WHERE athlete = 'Ana'")?;
    // What is not committed is in no page.
    bench
        .run(&format!("diary pages --out site {SEEN}"))?
        .done(&[]);
    assert!(bench.text("site/index.html")?.contains("Ana"));
    other.execute_batch("ROLLBACK")?;
    drop(other);
    assert_linked(&bench, "site")?;
    // Where nobody else may read, nothing is begun.
    let alone = rusqlite::Connection::open(bench.path("d.db"))?;
    alone.execute_batch("PRAGMA locking_mode = EXCLUSIVE; BEGIN EXCLUSIVE")?;
    let ran = bench.run(&format!("diary pages --out other {SEEN}"))?;
    ran.could_not(&["another program", "try again"]);
    assert!(!bench.path("other").exists());
    Ok(())
}

/// A diary with some hundred pages.
fn long() -> Outcome<Bench> {
    let bench = Bench::new()?;
    let mut made = season();
    for week in 0..150_i32 {
        let day = date(2026, 5, 20) - jiff::Span::new().weeks(week);
        made.note("Cem", day, Activity::Team, 60.0, Some(4.0));
    }
    keep(&made, &bench.path("d.db"))?;
    Ok(bench)
}

/// Writes the pages of [`long`].
const WRITE: [&str; 8] = [
    "diary",
    "pages",
    "--out",
    "site",
    "--diary",
    "d.db",
    "--today",
    "2026-05-21",
];

#[test]
fn a_killed_run_leaves_whole_pages_and_the_next_goes_on() -> Outcome {
    let bench = long()?;
    let mut child = bench.program().args(WRITE).spawn()?;
    let begun = Instant::now();
    let some = || pages(&bench, "site").is_ok_and(|names| names.len() > 20);
    while !some() && child.try_wait()?.is_none() && begun.elapsed() < Duration::from_secs(20) {
        thread::sleep(Duration::from_millis(2));
    }
    child.kill()?;
    child.wait()?;
    for name in pages(&bench, "site")? {
        assert!(
            bench
                .text(&format!("site/{name}"))?
                .trim_end()
                .ends_with("</html>"),
            "{name}"
        );
    }
    let ran = bench.run_words(&WRITE)?;
    ran.done(&[]);
    assert!(!ran.err.contains(", 0 as they were"), "{}", ran.err);
    assert_linked(&bench, "site")
}

#[test]
fn two_writers_of_a_folder_and_one_of_the_diary_leave_it_whole() -> Outcome {
    let bench = long()?;
    let children = [(); 2].map(|()| bench.program().args(WRITE).spawn());
    let note = "diary note gym --minutes 30 --athlete Ben --date 2026-05-20 --diary d.db";
    bench.run(note)?.done(&[]);
    for child in children {
        let ended = child?.wait_with_output()?;
        assert!(
            ended.status.success(),
            "{}",
            String::from_utf8_lossy(&ended.stderr)
        );
    }
    assert_linked(&bench, "site")?;
    bench.run_words(&WRITE)?.done(&[]);
    assert_linked(&bench, "site")
}

#[test]
fn after_a_season_its_last_weeks_are_shown() -> Outcome {
    let bench = bench()?;
    bench
        .run("diary pages --diary d.db --out seen --today 2027-01-20")?
        .done(&[]);
    let first = bench.text("seen/index.html")?;
    assert!(!first.contains("Nothing is noted yet"));
    assert!(first.contains("The last weeks in which something was noted, up to 2026-W"));
    // The table of an athlete's weeks begins with one in which something was noted.
    let ana = bench
        .names("seen")?
        .into_iter()
        .find(|name| name.to_lowercase().contains("ana"))
        .ok_or("no page of Ana")?;
    let page = bench.text(&format!("seen/{ana}"))?;
    let table = page
        .split("Week by week, the latest first")
        .nth(1)
        .ok_or("no table")?;
    assert!(!table.contains("2026-W40"));
    Ok(())
}
