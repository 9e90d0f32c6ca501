//! SIGINT and SIGTERM: long work ends between two recordings, all other work at once.

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::process::{Child, Stdio};
use std::thread;
use std::time::Duration;

use repledger::diary::{Diary, Filter};
use serde_json::Value;

use crate::support::cli::Bench;
use crate::support::made;
use crate::support::outcome::Outcome;
use crate::support::process::{HEARD, all_files, can, ended, is_read, parts, signal, skipped};

/// Five recordings, the third of which is a pipe: who reads it waits.
const NAMES: [&str; 5] = ["a.csv", "b.csv", "c.csv", "d.csv", "e.csv"];

fn content(k: u32) -> String {
    made::csv(60 + 10 * k, 1.0)
}

fn bench() -> Outcome<Bench> {
    let bench = Bench::new()?;
    for (k, name) in (0..).zip(NAMES) {
        if name == "c.csv" {
            bench.pipe(name)?;
        } else {
            bench.file(name, content(k))?;
        }
    }
    Ok(bench)
}

/// Starts a command on all five by one thread.
fn start(bench: &Bench, words: &str) -> Outcome<Child> {
    Ok(bench
        .program()
        .args(words.split_whitespace())
        .args(NAMES)
        .env("RAYON_NUM_THREADS", "1")
        .spawn()?)
}

/// Asks to stop while the third is read, then lets it be read to its end.
fn stop_at_the_third(bench: &Bench, child: &Child, name: &str) -> Outcome {
    let mut pipe = is_read(bench.path("c.csv"))?;
    signal(child.id(), name)?;
    Ok(pipe.write_all(content(2).as_bytes())?)
}

#[test]
fn a_review_of_many_finishes_what_is_under_work_and_says_where_it_stopped() -> Outcome {
    for (name, status) in [("INT", 130), ("TERM", 143)] {
        let bench = bench()?;
        let child = start(&bench, "review --out out")?;
        stop_at_the_third(&bench, &child, name)?;
        let ran = ended(child)?;
        assert_eq!(ran.status, Some(status), "{ran:?}");
        let told: Vec<_> = ran.out.lines().skip(1).collect();
        assert_eq!(told.len(), 3, "{}", ran.out);
        assert!(told[2].starts_with("c.csv"), "{}", ran.out);
        let stopped = "stopped: 3 of 5 reviewed, the rest not begun, from d.csv on";
        assert!(ran.err.ends_with(&format!("{stopped}\n")), "{}", ran.err);
        assert_eq!(bench.names("out")?, ["a", "b", "c"]);
        assert!(bench.names("out/c")?.contains(&"review.json".to_owned()));
        assert!(parts(&bench.path("out"))?.is_empty());
    }
    Ok(())
}

#[test]
fn a_partner_by_lines_is_answered_before_he_says_more_and_at_the_end() -> Outcome {
    let bench = bench()?;
    let mut child = bench
        .program()
        .args(["review", "--ndjson"])
        .stdin(Stdio::piped())
        .spawn()?;
    let mut lines = child.stdin.take().ok_or("no pipe")?;
    let mut answers = BufReader::new(child.stdout.take().ok_or("no pipe")?).lines();
    // One line at a time: none of them waits for the next.
    for name in ["a.csv", "b.csv"] {
        writeln!(lines, "{name}")?;
        let answer: Value = serde_json::from_str(&answers.next().ok_or("no answer")??)?;
        assert_eq!(answer["name"], name);
    }
    writeln!(lines, "c.csv")?;
    stop_at_the_third(&bench, &child, "TERM")?;
    let answer: Value = serde_json::from_str(&answers.next().ok_or("no answer")??)?;
    assert!(answer["review"].is_object());
    // It ends although the partner has not.
    let ran = ended(child)?;
    assert_eq!(ran.status, Some(143), "{ran:?}");
    assert_eq!(ran.err, "stopped: 3 lines answered, the rest not begun\n");
    drop(lines);
    Ok(())
}

#[test]
fn the_diary_has_what_was_reported_and_takes_the_rest_later() -> Outcome {
    let bench = bench()?;
    let child = start(&bench, "diary add --date 2026-05-12 --diary d.db")?;
    stop_at_the_third(&bench, &child, "INT")?;
    let ran = ended(child)?;
    assert_eq!(ran.status, Some(130), "{ran:?}");
    assert_eq!(ran.out.lines().count(), 3, "{ran:?}");
    assert!(
        ran.err
            .contains("stopped: 3 of 5 added, the rest not begun, from d.csv on"),
        "{}",
        ran.err
    );
    let kept = || -> Outcome<usize> {
        let diary = Diary::open(&bench.path("d.db"))?;
        assert!(diary.check()?.faults.is_empty());
        Ok(diary.entries(&Filter::default())?.len())
    };
    assert_eq!(kept()?, 3);
    fs::remove_file(bench.path("c.csv"))?;
    bench.file("c.csv", content(2))?;
    let ran =
        bench.run("diary add --date 2026-05-12 --diary d.db a.csv b.csv c.csv d.csv e.csv")?;
    ran.done(&["already there 3: c.csv", "added 4", "added 5"]);
    assert_eq!(kept()?, 5);
    Ok(())
}

#[test]
fn a_refresh_stops_between_entries() -> Outcome {
    let bench = bench()?;
    fs::remove_file(bench.path("c.csv"))?;
    bench.file("c.csv", content(2))?;
    bench
        .run("diary add --date 2026-05-12 --diary d.db a.csv b.csv c.csv d.csv e.csv")?
        .done(&[]);
    fs::remove_file(bench.path("c.csv"))?;
    bench.pipe("c.csv")?;
    let child = bench
        .program()
        .args(["diary", "refresh", "--diary", "d.db"])
        .args(["--set", "sprint.from=7.2m/s"])
        .spawn()?;
    stop_at_the_third(&bench, &child, "INT")?;
    let ran = ended(child)?;
    assert_eq!(ran.status, Some(130), "{ran:?}");
    assert_eq!(ran.out.lines().count(), 3, "{ran:?}");
    assert!(
        ran.err
            .contains("stopped: 3 of 5 reviewed again, the rest not begun, from entry 4 on"),
        "{}",
        ran.err
    );
    let diary = Diary::open(&bench.path("d.db"))?;
    let changed = |id| -> Outcome<bool> {
        let recording = diary.recording(id)?.ok_or("no recording")?;
        Ok(recording.settings.contains("7.2"))
    };
    assert!(changed(3)? && !changed(4)?);
    Ok(())
}

#[test]
fn a_table_that_is_not_complete_is_not_written() -> Outcome {
    let bench = bench()?;
    bench.file("t.csv", "mine")?;
    let child = start(&bench, "table --of sessions --force --to t.csv")?;
    stop_at_the_third(&bench, &child, "INT")?;
    let ran = ended(child)?;
    assert_eq!(ran.status, Some(130), "{ran:?}");
    assert!(
        ran.err
            .ends_with("stopped: 3 of 5 recordings read, nothing was written\n"),
        "{}",
        ran.err
    );
    assert_eq!(bench.text("t.csv")?, "mine");
    Ok(())
}

#[test]
fn a_second_request_ends_at_once() -> Outcome {
    let bench = bench()?;
    let mut child = start(&bench, "review --out out")?;
    let pipe = is_read(bench.path("c.csv"))?;
    signal(child.id(), "INT")?;
    // It waits for the third, which nobody writes.
    assert_eq!(child.try_wait()?, None);
    signal(child.id(), "INT")?;
    let ended = child.try_wait()?.ok_or("it goes on")?;
    assert_eq!(ended.code(), Some(130));
    drop(pipe);
    assert_eq!(bench.names("out")?, ["a", "b"]);
    assert!(parts(&bench.path("out"))?.is_empty());
    Ok(())
}

#[test]
fn one_request_that_is_sent_twice_is_one() -> Outcome {
    let bench = bench()?;
    let child = start(&bench, "review")?;
    let mut pipe = is_read(bench.path("c.csv"))?;
    let twice = format!("kill -TERM {0}; sleep 0.05; kill -TERM {0}", child.id());
    assert!(can(&["sh", "-c", &twice]));
    thread::sleep(HEARD);
    pipe.write_all(content(2).as_bytes())?;
    drop(pipe);
    let ran = ended(child)?;
    assert!(ran.err.contains("stopped: 3 of 5"), "{ran:?}");
    Ok(())
}

#[test]
fn work_on_one_recording_ends_at_once() -> Outcome {
    for line in ["review c.csv --out out", "compare a.csv c.csv --out out"] {
        let bench = bench()?;
        let mut child = bench.program().args(line.split(' ')).spawn()?;
        let pipe = is_read(bench.path("c.csv"))?;
        signal(child.id(), "TERM")?;
        let ended = child.try_wait()?.ok_or("it goes on")?;
        assert_eq!(ended.code(), Some(143), "{line}");
        drop(pipe);
        assert!(all_files(&bench.path("out"))?.is_empty());
    }
    Ok(())
}

/// Every sync of a file is held up, so that a part is surely there when the signal comes.
#[test]
fn a_file_under_way_goes_with_the_program() -> Outcome {
    let slow = "strace -f -qq -o trace.txt -e trace=fsync -e inject=fsync:delay_enter=4000000";
    let slow: Vec<_> = slow.split(' ').collect();
    if !can(&["strace", "-o", "/dev/null", "true"]) {
        return skipped("there is no program strace here, or it may not trace");
    }
    let bench = Bench::with("a.csv", made::csv(60, 1.0))?;
    // Of a copy there is a journal too, which its writer lays beside it.
    for (line, files) in [
        ("review a.csv --out out", 1),
        ("diary backup out/copy.db --diary d.db", 2),
    ] {
        fs::create_dir_all(bench.path("out"))?;
        bench
            .run("diary note gym --minutes 5 --diary d.db")?
            .done(&[]);
        let mut child = bench.program_under(&slow).args(line.split(' ')).spawn()?;
        let part = loop {
            if all_files(&bench.path("out"))?.len() >= files
                && let Some(part) = parts(&bench.path("out"))?.pop()
            {
                break part;
            }
            assert_eq!(child.try_wait()?, None, "{line}");
            thread::sleep(Duration::from_millis(20));
        };
        // The program's number is in the name of its part.
        let name = part.file_name().ok_or("no name")?.to_string_lossy();
        let pid = name.split(['.', '-']).nth(2).ok_or("no number")?;
        signal(pid.parse()?, "INT")?;
        let status = child.wait()?;
        assert_eq!(status.code(), Some(130), "{line}");
        assert!(all_files(&bench.path("out"))?.is_empty(), "{line}");
    }
    Ok(())
}
