//! Recordings that change, vanish or break off under the reader's hand, and readers of the output that leave.

use std::fs;
use std::io::{Read, Write};
use std::process::Child;

use crate::support::cli::{Bench, Ran};
use crate::support::made;
use crate::support::outcome::Outcome;
use crate::support::process::{can, ended, is_read, skipped};

/// Starts a review of a pipe and two files by one thread, so that the files are read after the pipe has ended.
fn start(bench: &Bench) -> Outcome<Child> {
    bench.pipe("first.gpx")?;
    bench.file("second.gpx", made::gpx(120, 1.0))?;
    bench.file("third.gpx", made::gpx(180, 1.0))?;
    Ok(bench
        .program()
        .args(["review", "first.gpx", "second.gpx", "third.gpx"])
        .env("RAYON_NUM_THREADS", "1")
        .spawn()?)
}

/// What comes of it when something is done to the second while the first is read.
fn meanwhile(bench: &Bench, done: impl FnOnce() -> Outcome) -> Outcome<Ran> {
    let child = start(bench)?;
    let mut pipe = is_read(bench.path("first.gpx"))?;
    done()?;
    pipe.write_all(made::gpx(90, 1.0).as_bytes())?;
    drop(pipe);
    ended(child)
}

#[test]
fn a_recording_that_vanishes_is_named_and_the_rest_is_reviewed() -> Outcome {
    let bench = Bench::new()?;
    let ran = meanwhile(&bench, || Ok(fs::remove_file(bench.path("second.gpx"))?))?;
    assert_eq!(ran.status, Some(1), "{ran:?}");
    assert_eq!(ran.out.lines().count(), 3, "{ran:?}");
    assert!(
        ran.err
            .contains("cannot read 'second.gpx': there is no such file"),
        "{}",
        ran.err
    );
    Ok(())
}

#[test]
fn a_recording_that_shrinks_or_grows_is_read_as_it_is_when_it_is_read() -> Outcome {
    for (fixes, used) in [(60, "60 of 60"), (600, "600 of 600")] {
        let bench = Bench::new()?;
        let ran = meanwhile(&bench, || bench.file("second.gpx", made::gpx(fixes, 1.0)))?;
        ran.done(&[]);
        assert_eq!(ran.out.lines().count(), 4, "{ran:?}");
        let alone = bench.run("review second.gpx")?;
        alone.done(&[]);
        assert!(
            alone.out.contains(&fixes.to_string()),
            "{used} {}",
            alone.out
        );
    }
    Ok(())
}

/// A file is told to be as long as it was when it was opened, and gives more, or less.
#[test]
fn a_recording_that_changes_between_its_opening_and_its_end_costs_the_damage_only() -> Outcome {
    // Each reading from the file is held up, so that the change falls between the first and the second.
    let slow = "strace -f -qq -o trace.txt -e trace=read -e inject=read:delay_enter=400000";
    let slow: Vec<_> = slow.split(' ').collect();
    if !can(&["strace", "-o", "/dev/null", "true"]) {
        return skipped("there is no program strace here, or it may not trace");
    }
    let whole = made::gpx(240, 1.0);
    for to in [whole.len() / 2, 0] {
        let bench = Bench::with("a.gpx", &whole)?;
        let child = bench
            .program_under(&slow)
            .args(["review", "a.gpx"])
            .spawn()?;
        std::thread::sleep(std::time::Duration::from_millis(200));
        fs::File::options()
            .write(true)
            .open(bench.path("a.gpx"))?
            .set_len(to as u64)?;
        let ran = ended(child)?;
        // Whether it was read before or after: an account, or a message that names the file.
        match ran.status {
            Some(0) => assert!(ran.out.contains("Recording"), "{ran:?}"),
            Some(1) => ran.could_not(&["a.gpx"]),
            _ => panic!("{ran:?}"),
        }
    }
    Ok(())
}

#[test]
fn a_pipe_that_breaks_off_is_used_up_to_there() -> Outcome {
    let bench = Bench::new()?;
    bench.pipe("a.gpx")?;
    let child = bench.program().args(["review", "a.gpx"]).spawn()?;
    let mut pipe = is_read(bench.path("a.gpx"))?;
    let whole = made::gpx(240, 1.0);
    for piece in whole.as_bytes()[..whole.len() / 2].chunks(1000) {
        pipe.write_all(piece)?;
    }
    drop(pipe);
    let ran = ended(child)?;
    ran.done(&["Line", "damaged"]);
    Ok(())
}

#[test]
fn whoever_has_seen_enough_of_many_ends_them_quietly() -> Outcome {
    let bench = Bench::new()?;
    for k in 0..30 {
        bench.file(&format!("all/{k:02}.csv"), made::csv(900 + k, 10.0))?;
    }
    for line in ["review all --quiet", "review all --json --quiet"] {
        let mut child = bench.program().args(line.split(' ')).spawn()?;
        let mut out = child.stdout.take().ok_or("no pipe")?;
        out.read_exact(&mut [0; 10])?;
        drop(out);
        let ran = ended(child)?;
        assert_eq!((ran.status, ran.err.as_str()), (Some(0), ""), "{line}");
    }
    Ok(())
}

#[test]
fn standard_output_that_is_full_is_a_failure_of_each_command() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(600, 1.0))?;
    bench.file("b.csv", made::csv(700, 1.0))?;
    bench.file("a.plan", "speed 4 x 40 m, rest walk back\n")?;
    for line in [
        "review a.csv --json",
        "review a.csv b.csv",
        "compare a.csv b.csv",
        "plan a.plan",
        "diary add a.csv --date 2026-05-12 --diary d.db",
        "diary list --diary d.db",
        "week 2026-05-12 --diary d.db",
        "table a.csv --of bands",
        "settings",
        "schema review",
        "completions bash",
        "manual",
    ] {
        let full = fs::File::options().write(true).open("/dev/full")?;
        let output = bench
            .program()
            .args(line.split(' '))
            .stdout(full)
            .output()?;
        let ran = Ran::of(output)?;
        assert_eq!(ran.status, Some(1), "{line}: {ran:?}");
        assert!(
            ran.err.contains("cannot write to standard output"),
            "{line}: {ran:?}"
        );
    }
    Ok(())
}
