//! `repledger diary`: kept through kills and company, and clear about what it cannot do.

use std::collections::BTreeSet;
use std::io::Read;
use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use repledger::diary::{Diary, Filter};
use serde_json::Value;

use crate::support::chance::Chance;
use crate::support::cli::{Bench, Ran};
use crate::support::made;
use crate::support::outcome::Outcome;

const PLAN: &str = "title: Fast ones\nmatch day: 2026-05-16\n\nspeed 4 x 40 m, rest walk back\n";

/// A folder with one recording of two minutes and a plan.
fn bench() -> Outcome<Bench> {
    let bench = Bench::with("a.gpx", made::gpx(120, 1.0))?;
    bench.file("a.plan", PLAN)?;
    Ok(bench)
}

#[test]
fn a_recording_is_added_listed_and_shown() -> Outcome {
    let bench = bench()?;
    let ran = bench.run("diary add a.gpx --plan a.plan --athlete Mika --rpe 7")?;
    ran.done(&[
        "added 1: 2026-05-12, Mika, training, \"Fast ones\"",
        "RPE 7",
    ]);
    bench.run("diary list")?.done(&["2026-05-12", "Fast ones"]);
    bench
        .run("diary show 1")?
        .done(&["Mika", "distance", "a.gpx", "not kept"]);
    bench.run("diary match")?.done(&["2026-05-16 Mika"]);

    let shown = bench.run("diary show 1")?.out;
    for line in shown.lines() {
        assert!(line.chars().count() <= 80, "{line:?}");
    }

    let json: Value = serde_json::from_str(&bench.run("diary list --json")?.out)?;
    assert_eq!(json["schema"], "repledger/diary/1");
    let entry = &json["entries"][0];
    assert_eq!(entry["athlete"], "Mika");
    let distance = &entry["recorded"]["distance_m"];
    assert!(distance["low"].as_f64() <= distance["value"].as_f64());
    assert_eq!(entry["recorded"]["counts"]["planned"], 4);
    let full: Value = serde_json::from_str(&bench.run("diary show 1 --json")?.out)?;
    assert_eq!(full["schema"], "repledger/entry/1");
    assert_eq!(full["source"]["plan"], PLAN);
    assert_eq!(full["blocks"][0]["reps"].as_array().map(Vec::len), Some(4));
    Ok(())
}

#[test]
fn the_same_content_is_known_by_any_name_and_packed() -> Outcome {
    use std::io::Write;
    let bench = bench()?;
    bench.run("diary add a.gpx")?.done(&["added 1"]);
    bench.file("b.gpx", made::gpx(120, 1.0))?;
    let mut packed = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    packed.write_all(made::gpx(120, 1.0).as_bytes())?;
    bench.file("c.gpx.gz", packed.finish()?)?;
    let ran = bench.run("diary add b.gpx c.gpx.gz")?;
    ran.done(&["already there 1: b.gpx", "already there 1: c.gpx.gz"]);
    bench.run("diary check")?.done(&["whole: 1 entries"]);
    Ok(())
}

#[test]
fn a_name_that_is_another_is_said_with_how_to_mend_it() -> Outcome {
    let bench = bench()?;
    bench.run("diary add a.gpx")?.done(&["added 1"]);
    let ran = bench.run("diary add a.gpx --athlete Mika")?;
    ran.done(&["already there 1"]);
    let told = "entry 1 is that of one without a name (--athlete \"\"); `repledger diary edit 1 --athlete \"Mika\"` changes that";
    assert!(ran.err.contains(told), "{}", ran.err);
    let ran = bench.run("week --athlete Mika")?;
    ran.could_not(&["it knows one without a name (--athlete \"\")"]);
    bench
        .run("diary edit 1 --athlete Mika")?
        .done(&["changed 1"]);
    let ran = bench.run("diary add a.gpx --athlete Mika")?;
    assert!(!ran.err.contains("is that of"), "{}", ran.err);
    // The same name in another spelling counts as another athlete.
    let ran = bench.run("diary note team --minutes 90 --athlete mika")?;
    ran.done(&["added 2"]);
    let told = "\"Mika\" and \"mika\" count as two athletes";
    assert!(ran.err.contains(told), "{}", ran.err);
    bench.file(
        "sheet.csv",
        "date,athlete,what,minutes\n2026-05-13,MIKA,gym,45\n2026-05-14,Ben,gym,45\n",
    )?;
    let ran = bench.run("diary import sheet.csv")?;
    ran.done(&["added 2 of 2 rows"]);
    assert!(ran.err.contains("\"MIKA\" count as two"), "{}", ran.err);
    assert!(!ran.err.contains("Ben"), "{}", ran.err);
    Ok(())
}

#[test]
fn a_folder_is_added_and_what_cannot_be_is_told_at_the_end() -> Outcome {
    let bench = Bench::with("all/a.gpx", made::gpx(60, 1.0))?;
    bench.file("all/b.gpx", made::gpx(70, 1.0))?;
    bench.file("all/bad.gpx", "<gpx")?;
    bench.file("all/notes.txt", "not a recording")?;
    let ran = bench.run("diary add all")?;
    assert_eq!(ran.status, Some(1), "{ran:?}");
    assert_eq!(ran.out.lines().count(), 2, "{ran:?}");
    assert!(ran.err.contains("1 of 3 to be added"), "{}", ran.err);
    assert!(
        ran.err.contains("not added, 1 of 3: all/bad.gpx"),
        "{}",
        ran.err
    );
    bench.run("diary check")?.done(&["whole: 2 entries"]);
    bench.file("none/notes.txt", "")?;
    bench.run("diary add none")?.could_not(&["'none'", ".gpx"]);
    Ok(())
}

#[test]
fn the_day_comes_from_the_option_the_plan_or_the_clock() -> Outcome {
    let bench = bench()?;
    bench.file("a.csv", made::csv(60, 1.0))?;
    bench
        .run("diary add a.csv")?
        .could_not(&["a.csv", "on which day", "--date"]);
    bench
        .run("diary add a.csv --date 2026-05-11")?
        .done(&["2026-05-11"]);
    bench.file("dated.plan", format!("date: 2026-05-13\n{PLAN}"))?;
    let ran = bench.run("diary add a.gpx --plan dated.plan")?;
    ran.done(&["2026-05-13"]);
    assert!(ran.err.contains("recorded on 2026-05-12"), "{}", ran.err);
    bench.file("b.gpx", made::gpx(90, 1.0))?;
    bench
        .run("diary add b.gpx --zone +08:00")?
        .done(&["2026-05-13"]);
    bench
        .run("diary add b.gpx --zone Rome")?
        .wrong_usage(&["+02:00"]);
    Ok(())
}

#[test]
fn the_plan_of_the_day_is_used_and_said() -> Outcome {
    let bench = bench()?;
    bench
        .run("diary plan a.plan --date 2026-05-12 --athlete Mika")?
        .done(&["put plan 1 down for 2026-05-12"]);
    bench
        .run("diary plan a.plan")?
        .could_not(&["a.plan", "--date"]);
    bench.run("diary plan")?.done(&["to be done", "Fast ones"]);
    // Somebody else's plan is not his.
    bench
        .run("diary add a.gpx --athlete Noa")?
        .done(&["added 1"]);
    bench.run("diary remove 1")?.done(&["removed 1"]);
    let ran = bench.run("diary add a.gpx --athlete Mika")?;
    ran.done(&["of 4 reps done"]);
    assert!(
        ran.err.contains("plan 1") && ran.err.contains("--no-plan"),
        "{}",
        ran.err
    );
    bench.run("diary plan")?.done(&["done by entry 2"]);

    bench.run("diary remove 2")?.done(&[]);
    bench.run("diary plan")?.done(&["to be done"]);
    let ran = bench.run("diary add a.gpx --athlete Mika --no-plan")?;
    assert!(!ran.out.contains("reps"), "{ran:?}");
    bench
        .run("diary plan --remove 1")?
        .done(&["took plan 1 out"]);
    bench
        .run("diary plan --remove 1")?
        .could_not(&["no plan 1"]);
    Ok(())
}

/// Of 30 recordings of a day, one of them there twice and one bad, the first two good ones do the two plans of the day.
#[test]
fn many_are_added_as_if_one_by_one_whatever_the_threads() -> Outcome {
    let bench = bench()?;
    let mut names: Vec<String> = (0..30).map(|k| format!("r{k:02}.gpx")).collect();
    for (k, name) in (0..).zip(&names) {
        bench.file(name, made::gpx(150 - 3 * k, 1.0))?;
    }
    bench.file("r00.gpx", "<gpx>")?;
    bench.file("again.gpx", made::gpx(147, 1.0))?;
    names.insert(2, "again.gpx".to_owned());
    let mut told = Vec::new();
    for threads in ["1", "2", "5"] {
        let diary = format!("{threads}.db");
        for _ in 0..2 {
            let plan = format!("diary plan a.plan --date 2026-05-12 --diary {diary}");
            bench.run(&plan)?.done(&[]);
        }
        let output = bench
            .program()
            .args(["diary", "add", "--diary", &diary])
            .args(&names)
            .env("RAYON_NUM_THREADS", threads)
            .output()?;
        assert_eq!(output.status.code(), Some(1), "{output:?}");
        let plans = bench.run(&format!("diary plan --diary {diary}"))?;
        plans.done(&["done by entry 1", "done by entry 2"]);
        told.push((output.stdout, output.stderr));
    }
    assert_eq!(told[0], told[1]);
    assert_eq!(told[0], told[2]);
    let lines = String::from_utf8(told[0].0.clone())?;
    let starts: Vec<_> = lines.lines().map(|l| l.split(':').next()).collect();
    assert_eq!(
        starts[..3],
        ["added 1", "already there 1", "added 2"].map(Some)
    );
    assert_eq!(lines.lines().count(), 30, "{lines}");
    assert_eq!(lines.matches("reps done").count(), 3, "{lines}");
    Ok(())
}

#[test]
fn notes_are_written_changed_and_taken_out() -> Outcome {
    let bench = Bench::new()?;
    bench
        .run("diary note team --minutes 90 --rpe 6 --date 2026-05-13 --athlete Mika")?
        .done(&["added 1: 2026-05-13, Mika, team, 90 min, RPE 6"]);
    bench.run("diary note gym")?.wrong_usage(&["--minutes"]);
    bench.run("diary note rest")?.done(&["rest, 0 min"]);
    bench
        .run("diary note team --minutes 90 --rpe 11")?
        .wrong_usage(&["0 to 10"]);
    bench
        .run("diary edit 1 --rpe 8 --title Passing --minutes 75")?
        .done(&["changed 1", "\"Passing\"", "75 min", "RPE 8"]);
    bench.run("diary edit 1")?.wrong_usage(&["--rpe"]);
    bench
        .run("diary edit 9 --rpe 8")?
        .could_not(&["no entry 9", "diary list"]);
    let ran = bench.run("diary remove 1")?;
    ran.done(&["removed 1", "Passing"]);
    let again = ran
        .err
        .strip_prefix("to have it back: repledger ")
        .ok_or("no way back")?
        .replace('\'', "");
    bench
        .run(again.trim())?
        .done(&["2026-05-13, Mika, team, \"Passing\", 75 min, RPE 8"]);
    bench.run("diary show 1")?.could_not(&["no entry 1"]);
    Ok(())
}

#[test]
fn match_days_are_put_down_and_taken_out() -> Outcome {
    let bench = Bench::new()?;
    bench
        .run("diary match 2026-05-16 --against Harbour")?
        .done(&["2026-05-16"]);
    bench
        .run("diary match")?
        .done(&["2026-05-16 everybody", "Harbour"]);
    bench
        .run("diary match 2026-05-16 --athlete Mika --remove")?
        .could_not(&["of Mika"]);
    bench
        .run("diary match 2026-05-16 --remove")?
        .done(&["took"]);
    bench.run("diary match")?.done(&["no match days"]);
    bench
        .run("diary match 2026-13-01")?
        .wrong_usage(&["2026-13-01"]);
    Ok(())
}

#[test]
fn a_refresh_uses_the_kept_recording_or_the_same_file() -> Outcome {
    let bench = bench()?;
    bench.file("b.gpx", made::gpx(200, 1.0))?;
    bench.file("c.gpx", made::gpx(150, 1.0))?;
    bench.run("diary add a.gpx --keep-trace")?.done(&[]);
    bench.run("diary add b.gpx c.gpx")?.done(&[]);
    let sprint_from = |id: i64| -> Outcome<f64> {
        let text = bench.run(&format!("diary show {id} --json"))?.out;
        let json: Value = serde_json::from_str(&text)?;
        let from = &json["entry"]["recorded"]["sprint_from_m_s"];
        Ok(from.as_f64().ok_or("no threshold")?)
    };
    assert_eq!(sprint_from(1)?, 7.0);
    std::fs::remove_file(bench.path("a.gpx"))?;
    bench.file("c.gpx", made::gpx(151, 1.0))?;
    let ran = bench.run("diary refresh --set sprint.from=7.2m/s")?;
    assert_eq!(ran.status, Some(1), "{ran:?}");
    assert!(ran.err.contains("entry 3 stays as it was"), "{}", ran.err);
    assert!(ran.err.contains("not the same recording"), "{}", ran.err);
    assert_eq!(
        [sprint_from(1)?, sprint_from(2)?, sprint_from(3)?],
        [7.2, 7.2, 7.0]
    );
    bench
        .run("diary show 1")?
        .done(&["sprint.from = 7.2", "kept"]);
    bench.run("diary refresh 1")?.done(&["reviewed again 1"]);
    assert_eq!(sprint_from(1)?, 7.0);
    // What may be the only copy does not go by the way.
    bench.run("diary remove 1")?.could_not(&["--yes"]);
    bench.run("diary remove 1 --yes")?.done(&["removed 1"]);
    Ok(())
}

#[test]
fn a_copy_is_a_diary_and_replaces_nothing() -> Outcome {
    let bench = bench()?;
    bench.run("diary add a.gpx")?.done(&[]);
    bench
        .run("diary backup copy.db")?
        .done(&["1 entries, read back whole"]);
    bench
        .run("diary list --diary copy.db")?
        .done(&["2026-05-12"]);
    bench.file("mine.db", "mine")?;
    bench
        .run("diary backup mine.db")?
        .could_not(&["'mine.db'", "there already"]);
    assert_eq!(bench.text("mine.db")?, "mine");
    Ok(())
}

#[test]
fn what_is_no_diary_is_told_and_left() -> Outcome {
    let bench = Bench::with("mine.db", "mine".repeat(100))?;
    for line in [
        "diary list",
        "diary check",
        "diary note gym --minutes 5",
        "diary match 2026-05-16",
    ] {
        bench.run(&format!("{line} --diary mine.db"))?.could_not(&[
            "'mine.db'",
            "no diary of repledger",
            "--diary",
        ]);
    }
    assert_eq!(bench.text("mine.db")?, "mine".repeat(100));
    bench
        .run("diary list")?
        .could_not(&["no such diary yet", "diary add"]);
    bench.run("diary list --diary .")?.could_not(&["folder"]);
    bench
        .run("diary note gym --minutes 5 --diary nowhere/diary.db")?
        .could_not(&["'nowhere/diary.db'"]);
    Ok(())
}

#[test]
fn a_newer_diary_is_left_and_told() -> Outcome {
    let bench = Bench::new()?;
    bench
        .run("diary note gym --minutes 5 --diary d.db")?
        .done(&[]);
    rusqlite::Connection::open(bench.path("d.db"))?.pragma_update(None, "user_version", 999)?;
    let before = std::fs::read(bench.path("d.db"))?;
    bench
        .run("diary note gym --minutes 5 --diary d.db")?
        .could_not(&["newer repledger", "update"]);
    assert_eq!(std::fs::read(bench.path("d.db"))?, before);
    Ok(())
}

#[test]
fn a_diary_that_stays_locked_is_told() -> Outcome {
    let bench = Bench::new()?;
    bench
        .run("diary note gym --minutes 5 --diary d.db")?
        .done(&[]);
    let other = rusqlite::Connection::open(bench.path("d.db"))?;
    other.execute_batch("BEGIN IMMEDIATE")?;
    // Who it is, is told where the system tells: it is this test itself.
    let this = format!(" {} ", std::process::id());
    let locks = std::fs::read_to_string("/proc/locks").unwrap_or_default();
    let listed = locks.lines().any(|line| line.contains(&this));
    let holder = if listed {
        format!("held by process{this}")
    } else {
        String::new()
    };
    // Readers are in nobody's way.
    bench.run("diary list --diary d.db")?.done(&["gym"]);
    bench
        .run("diary note gym --minutes 5 --diary d.db")?
        .could_not(&[
            "another program",
            "within 5 s",
            "sync of its folder",
            "try again",
            &holder,
        ]);
    other.execute_batch("ROLLBACK")?;
    bench
        .run("diary note gym --minutes 5 --diary d.db")?
        .done(&["added 2"]);
    Ok(())
}

/// Puts so many small recordings into the folder, of different lengths.
fn small(bench: &Bench, prefix: &str, fixes: std::ops::Range<u32>) -> Outcome<Vec<String>> {
    fixes
        .map(|n| {
            let name = format!("{prefix}{n}.csv");
            bench.file(&name, made::csv(n, 1.0))?;
            Ok(name)
        })
        .collect()
}

/// The numbers of the entries that were reported as added, in whole lines only.
fn reported(out: &str) -> Vec<i64> {
    out.split_inclusive('\n')
        .filter(|line| line.ends_with('\n'))
        .filter_map(|line| line.strip_prefix("added ")?.split(':').next()?.parse().ok())
        .collect()
}

#[test]
fn two_programs_add_at_once_without_loss() -> Outcome {
    const EACH: u32 = 15;
    let bench = Bench::new()?;
    let mut files = [
        small(&bench, "a", 40..40 + EACH)?,
        small(&bench, "b", 40 + EACH..40 + 2 * EACH)?,
    ];
    // Some are the same for both.
    let shared = small(&bench, "c", 100..105)?;
    for list in &mut files {
        list.extend(shared.clone());
    }
    // Neither finds a diary: both make it.
    let children: Vec<_> = files
        .iter()
        .map(|list| {
            bench
                .program()
                .args(["diary", "add", "--date", "2026-05-12", "--diary", "d.db"])
                .args(list)
                .spawn()
        })
        .collect::<Result<_, _>>()?;
    let mut ids = BTreeSet::new();
    for child in children {
        let output = child.wait_with_output()?;
        assert!(output.status.success(), "{output:?}");
        ids.extend(reported(&String::from_utf8(output.stdout)?));
    }
    let diary = Diary::open(&bench.path("d.db"))?;
    let kept: BTreeSet<_> = diary
        .entries(&Filter::default())?
        .iter()
        .map(|e| e.id)
        .collect();
    assert_eq!(kept.len(), 2 * EACH as usize + shared.len());
    assert_eq!(kept, ids);
    assert!(diary.check()?.faults.is_empty());
    Ok(())
}

/// Every entry that was reported as added is there, and the diary is whole.
fn holds(path: &Path, reported: &BTreeSet<i64>, runs: usize) -> Outcome {
    let diary = match Diary::open(path) {
        Ok(diary) => diary,
        Err(repledger::diary::Error::NotThere) if reported.is_empty() => return Ok(()),
        Err(error) => return Err(error.into()),
    };
    let health = diary.check()?;
    assert!(health.faults.is_empty(), "{health:?}");
    let kept: BTreeSet<_> = diary
        .entries(&Filter::default())?
        .iter()
        .map(|e| e.id)
        .collect();
    assert!(
        reported.is_subset(&kept),
        "lost of {reported:?}, there {kept:?}"
    );
    // One a run at most was kept and its report cut off.
    assert!(kept.len() <= reported.len() + runs, "{reported:?} {kept:?}");
    Ok(())
}

#[test]
fn two_hundred_kills_lose_nothing_that_was_reported() -> Outcome {
    const KILLS: usize = 200;
    /// So often a new diary is begun, so that its making is cut off too.
    const OF_ONE: usize = 10;
    const FILES: u32 = 5;
    let bench = Bench::new()?;
    let names = small(&bench, "s", 40..40 + FILES * OF_ONE as u32)?;
    let add = |diary: &str, files: &[String]| {
        bench
            .program()
            .args(["diary", "add", "--date", "2026-05-12", "--diary", diary])
            .args(files)
            .spawn()
    };
    // How long an undisturbed run takes on this machine, which may have other work.
    let mut usual = Duration::from_millis(500);
    for k in 0..5 {
        let begun = Instant::now();
        add(&format!("try{k}.db"), &names[..FILES as usize])?.wait_with_output()?;
        usual = usual.min(begun.elapsed());
    }

    let mut chance = Chance::new(20_261_125);
    let (mut all, mut cut_off) = (0, 0);
    let mut known = BTreeSet::new();
    for kill in 0..KILLS {
        let diary = format!("d{}.db", kill / OF_ONE);
        let run = kill % OF_ONE;
        if run == 0 {
            known.clear();
        }
        let first = run * FILES as usize;
        let mut child = add(&diary, &names[first..first + FILES as usize])?;
        thread::sleep(usual.mul_f64(chance.next()));
        child.kill()?;
        let mut out = String::new();
        if let Some(stdout) = &mut child.stdout {
            stdout.read_to_string(&mut out)?;
        }
        child.wait()?;
        let added = reported(&out);
        cut_off += usize::from(added.len() < FILES as usize);
        all += added.len();
        known.extend(added);
        holds(&bench.path(&diary), &known, run + 1)?;
    }
    // Otherwise nothing was tried.
    assert!(cut_off > KILLS / 3, "{cut_off} runs were cut off");
    assert!(all > KILLS / 3, "{all} entries were reported");
    Ok(())
}

#[test]
fn recordings_of_one_session_are_one_entry() -> Outcome {
    let bench = Bench::with("a.gpx", made::gpx(300, 1.0))?;
    let later = made::gpx(300, 1.0).replace("T17:3", "T18:3");
    bench.file("b.gpx", later)?;
    bench
        .run("diary add --join b.gpx a.gpx --keep-trace")?
        .done(&["added 1"]);
    // In another order they are the same session; each alone is another recording.
    bench
        .run("diary add --join a.gpx b.gpx")?
        .done(&["already there 1: a.gpx + b.gpx"]);
    bench
        .run("diary show 1")?
        .done(&["a.gpx + ", "b.gpx", "is kept"]);
    std::fs::remove_file(bench.path("a.gpx"))?;
    bench.run("diary refresh 1")?.done(&["reviewed again 1"]);
    bench.run("diary check")?.done(&["whole: 1 entries"]);
    let ran = bench.run("diary remove 1 --yes")?;
    ran.done(&["removed 1"]);
    assert!(ran.err.contains("diary add --join '"), "{}", ran.err);
    Ok(())
}

#[test]
fn joined_files_are_reviewed_again_where_they_are_the_same() -> Outcome {
    let bench = Bench::with("a.gpx", made::gpx(300, 1.0))?;
    let later = made::gpx(300, 1.0).replace("T17:3", "T18:3");
    bench.file("b.gpx", later)?;
    bench
        .run("diary add --join b.gpx a.gpx")?
        .done(&["added 1"]);
    bench.run("diary refresh 1")?.done(&["reviewed again 1"]);
    bench.file("b.gpx", made::gpx(200, 1.0).replace("T17:3", "T18:3"))?;
    bench
        .run("diary refresh 1")?
        .could_not(&["is not the same recording any more"]);
    Ok(())
}

/// Ten minutes of runs of a watch, each another start.
fn watched(number: u32, creator: &str) -> String {
    use std::fmt::Write;
    let mut text = format!(
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"{creator}\"><trk><trkseg>\n"
    );
    let mut x_m = 0.0;
    for second in 0..600_u32 {
        // A run of 8 s in each half minute, to and fro in turn.
        let way = if second / 30 % 2 == 0 { 1.0 } else { -1.0 };
        let speed = match second % 30 {
            k @ 0..4 => 1.8 * f64::from(k + 1),
            4..8 => 7.2,
            k @ 8..12 => 7.2 - 1.8 * f64::from(k - 7),
            _ => 0.0,
        };
        x_m += way * speed;
        let longitude = x_m / 111_319.49;
        let (minute, second) = (second / 60, second % 60);
        let _ = writeln!(
            text,
            "<trkpt lat=\"0\" lon=\"{longitude:.7}\"><time>2026-05-{number:02}T17:{minute:02}:{second:02}Z</time></trkpt>"
        );
    }
    text + "</trkseg></trk></gpx>\n"
}

#[test]
fn a_device_is_known_by_earlier_recordings_of_its_name() -> Outcome {
    let bench = Bench::new()?;
    for number in 1..=4 {
        bench.file(&format!("{number}.gpx"), watched(number, "wrist"))?;
        bench.file(&format!("{number}-ours.gpx"), watched(number, "repledger"))?;
    }
    let recording = |line: &str| -> Outcome<Value> {
        let json: Value = serde_json::from_str(&bench.run(line)?.out)?;
        Ok(json["recording"].clone())
    };
    let asked = |line: &str| -> Outcome<(Value, Value)> {
        let recording = recording(line)?;
        Ok((
            recording["device_name"].clone(),
            recording["device_recordings"].clone(),
        ))
    };
    // Nothing is asked where there is no diary, nor is one made.
    assert_eq!(asked("review 1.gpx --json")?, ("wrist".into(), 0.into()));
    assert_eq!(
        asked("review 1.gpx --json --device mine")?,
        ("mine".into(), 0.into())
    );
    bench.run("diary list")?.could_not(&["diary"]);
    // repledger records nothing.
    assert_eq!(asked("review 1-ours.gpx --json")?, (Value::Null, 0.into()));

    bench.run("diary add 1.gpx 2.gpx 3.gpx")?.done(&["added 3"]);
    // Without a word the diary stays closed; with one, the file's own name serves as well as a typed one.
    assert_eq!(asked("review 4.gpx --json")?, ("wrist".into(), 0.into()));
    let line = "review 4-ours.gpx --json --device wrist";
    assert_eq!(asked(line)?, ("wrist".into(), 3.into()));
    assert_eq!(
        asked("review 4.gpx --json --device other")?,
        ("other".into(), 0.into())
    );
    bench
        .run("review 4.gpx --device wrist")?
        .done(&["wrist, by 3 earlier"]);
    // A recording is no witness of itself.
    assert_eq!(
        asked("review 2.gpx --json --device wrist")?,
        ("wrist".into(), 2.into())
    );

    // What several show is surer than what one shows.
    let width = |line: &str| -> Outcome<f64> {
        let lag = recording(line)?["device"]["position_lag_s"].clone();
        let of = |end: &str| lag[end].as_f64().ok_or("no lag");
        Ok(of("high")? - of("low")?)
    };
    assert!(width(line)? < width("review 4-ours.gpx --json")?);

    let nameless = bench
        .command()?
        .args(["review", "4.gpx", "--device", " "])
        .output()?;
    Ran::of(nameless)?.wrong_usage(&["a name is meant"]);
    let long = "x".repeat(repledger::limits::DEVICE_NAME_CHARS + 1);
    bench
        .run(&format!("diary add 4.gpx --device {long}"))?
        .wrong_usage(&["longer than 60 characters"]);
    Ok(())
}

#[test]
fn a_name_that_was_typed_stays_when_a_session_is_reviewed_again() -> Outcome {
    let bench = Bench::new()?;
    for number in 1..=2 {
        bench.file(&format!("{number}.gpx"), watched(number, "wrist"))?;
    }
    bench
        .run("diary add 1.gpx 2.gpx --device mine --diary d.db")?
        .done(&["added 2"]);
    bench
        .run("diary refresh --diary d.db")?
        .done(&["reviewed again 2"]);
    let diary = Diary::open(&bench.path("d.db"))?;
    assert_eq!(diary.witnesses("mine", i64::MAX, None)?.len(), 2);
    assert_eq!(diary.witnesses("wrist", i64::MAX, None)?.len(), 0);
    Ok(())
}

/// What the settings say of reading counts for the diary as it does for `review`, and goes with the entry.
#[test]
fn a_recording_is_read_as_the_settings_say() -> Outcome {
    let bench = Bench::new()?;
    let rows: String = made::csv(1200, 2.0)
        .lines()
        .skip(1)
        .map(|line| line.to_owned() + "\n")
        .collect();
    bench.file("bare.csv", rows)?;
    let set = "--set recording.columns=time,x,y,speed:m/s";
    let review = bench.run(&format!("review bare.csv {set}"))?;
    review.done(&["Distance"]);
    bench
        .run(&format!("diary add bare.csv --date 2026-05-12 {set}"))?
        .done(&["added 1"]);
    bench.run("diary refresh")?.done(&["reviewed again 1"]);
    Ok(())
}

/// Whatever the first addition fails for, no diary is left behind.
#[test]
fn a_first_addition_that_fails_leaves_no_diary() -> Outcome {
    let bench = Bench::new()?;
    bench.file("a.plan", "speed 5 x 40 m\n")?;
    bench.file("pic.heic", b"\0\0\0\x24ftypheic\0\0\0\0mif1heic")?;
    for (line, said) in [
        ("diary add a.plan --diary d.db", "this is a plan"),
        ("diary add pic.heic --diary d.db", "this is a picture"),
        ("diary add none.gpx --diary d.db", "no such file"),
        ("diary plan pic.heic --diary d.db", "a picture"),
    ] {
        bench.run(line)?.could_not(&[said]);
        assert!(!bench.path("d.db").exists(), "{line}");
    }
    bench
        .run("diary add none.gpx --diary nowhere/d.db")?
        .could_not(&["nowhere", "folder"]);
    bench.file("made.csv", made::csv(1200, 2.0))?;
    bench.run("diary add none.gpx made.csv --date 2026-05-12 --diary d.db")?;
    bench.run("diary list --diary d.db")?.done(&["2026-05-12"]);
    Ok(())
}
