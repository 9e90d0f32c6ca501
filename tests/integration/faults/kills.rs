//! SIGKILL at random moments: nothing half has a name that anybody looks for, and what is left goes with the next writing.

use std::thread;
use std::time::{Duration, Instant};

use crate::support::chance::Chance;
use crate::support::cli::Bench;
use crate::support::made;
use crate::support::outcome::Outcome;
use crate::support::process::{all_files, are_whole, parts, signal};

const KILLS: u64 = 40;

/// Kills a review with pictures again and again; after each, every file is whole or not there.
#[test]
fn no_file_is_half_after_a_kill_and_the_next_run_is_clean() -> Outcome {
    let bench = Bench::with("all/a.csv", made::csv(300, 5.0))?;
    bench.file("all/b.csv", made::csv(400, 5.0))?;
    let review = "review all --out out";
    let words: Vec<_> = review.split(' ').collect();
    let begun = Instant::now();
    bench.run(review)?.done(&[]);
    let usual = begun.elapsed();
    let names: Vec<_> = all_files(&bench.path("out"))?;
    std::fs::remove_dir_all(bench.path("out"))?;

    let mut chance = Chance::new(20_261_126);
    let mut cut_off = 0;
    for _ in 0..KILLS {
        let mut child = bench.program().args(&words).spawn()?;
        thread::sleep(usual.mul_f64(chance.next()));
        child.kill()?;
        cut_off += usize::from(child.wait()?.code().is_none());
        let parts = parts(&bench.path("out"))?;
        let mut files = all_files(&bench.path("out"))?;
        files.retain(|file| !parts.contains(file));
        are_whole(&files)?;
        // A few times from the beginning, else the same files are replaced.
        if chance.next() < 0.2 {
            bench.run(review)?.done(&[]);
            assert_eq!(all_files(&bench.path("out"))?, names);
            std::fs::remove_dir_all(bench.path("out"))?;
        }
    }
    // Kills seldom fall into the writing of a part: here is one that surely was left.
    bench.file("out/b/.repledger.17-0.part", "half")?;
    bench.run(review)?.done(&[]);
    assert_eq!(all_files(&bench.path("out"))?, names);
    // Otherwise nothing was tried.
    assert!(cut_off > KILLS as usize / 3, "{cut_off} runs were cut off");
    Ok(())
}

/// The same by requests to stop, after which not even a part is left: a second one follows hard on the first.
#[test]
fn no_part_is_left_after_a_request_to_stop() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(400, 5.0))?;
    let words = ["review", "a.csv", "--out", "out"];
    let begun = Instant::now();
    bench.run("review a.csv --out out")?.done(&[]);
    let mut within = begun.elapsed();
    let mut chance = Chance::new(20_261_127);
    let mut cut_off = 0;
    for _ in 0..12 {
        let mut child = bench.program().args(words).spawn()?;
        thread::sleep(Duration::from_millis(30) + within.mul_f64(chance.next()));
        // One that has ended already is still there to be signalled until it is waited for.
        signal(child.id(), "TERM")?;
        // How long a run takes changes with what else the machine does.
        match child.wait()?.code() {
            Some(143) => cut_off += 1,
            Some(_) => within = within.mul_f64(0.6),
            None => within = within.mul_f64(1.5),
        }
        let files = all_files(&bench.path("out"))?;
        assert!(parts(&bench.path("out"))?.is_empty(), "{files:?}");
        are_whole(&files)?;
    }
    assert!(cut_off > 3, "{cut_off} runs were cut off");
    Ok(())
}
