//! The whole program on a made file: time on the clock and peak memory of each use, beside the floor under it.
//!
//! `cargo bench --bench whole` prints a table. The floor is a bare pass over the XML of the file and the smoothing of its
//! fixes, each alone on one core. Peak memory is told where GNU time is installed.

#![allow(clippy::expect_used, reason = "a bench has no user")]
#![allow(clippy::print_stdout, reason = "a bench reports on standard output")]

mod made;

use std::hint::black_box;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use repledger::settings::Settings;
use repledger::{motion, trace, track};

/// Each use is timed so often; the least counts, which other work on the machine disturbs least.
const TIMES: usize = 15;
/// Recordings reviewed by one call.
const BATCH: usize = 8;

const PROGRAM: &str = env!("CARGO_BIN_EXE_repledger");

fn main() {
    let text = made::gpx();
    let folder = tempfile::tempdir().expect("a folder for the files");
    let file = folder.path().join("bench.gpx");
    std::fs::write(&file, &text).expect("room for the file");
    let many = folder.path().join("many");
    std::fs::create_dir(&many).expect("a folder in ours");
    for k in 0..BATCH {
        std::fs::write(many.join(format!("{k}.gpx")), &text).expect("room for the files");
    }
    let out = folder.path().join("out");
    let megabytes = text.len() as f64 / 1e6;
    println!("A GPX file of {megabytes:.1} MB, 54,001 fixes; the least of {TIMES} runs.\n");
    println!("| use | time | peak memory |\n| --- | --- | --- |");

    let floor = floor(&text);
    let account = row("review FILE", &file, &[], None);
    row("review FILE --json", &file, &["--json"], None);
    let place = out.to_str().expect("a plain path");
    row(
        "review FILE --out DIR",
        &file,
        &["--out", place, "--force"],
        None,
    );
    let batch = |threads| {
        row(
            &format!("review of {BATCH} files, {threads} at once"),
            &many,
            &[],
            Some(threads),
        )
    };
    let (one, two) = (batch(1), batch(2));

    println!(
        "\nreview FILE takes {:.2} times the floor; two cores give {:.2} times one.",
        account.as_secs_f64() / floor.as_secs_f64(),
        one.as_secs_f64() / two.as_secs_f64()
    );
}

/// Prints what cannot be saved, and gives its time.
fn floor(text: &str) -> Duration {
    let settings = Settings::default();
    let recording = trace::read(text.as_bytes(), &settings.trace).expect("a sound recording");
    let track = track::clean(&recording, &settings.track).expect("a sound recording");
    let pass = least(|| {
        black_box(made::bare_pass(black_box(text)));
    });
    let smoothing = least(|| {
        black_box(motion::estimate(black_box(&track), &settings.motion));
    });
    println!("| a bare pass over the XML | {} | |", shown(pass));
    println!("| smoothing | {} | |", shown(smoothing));
    pass + smoothing
}

/// Prints a row and gives its time.
fn row(name: &str, traces: &Path, options: &[&str], threads: Option<usize>) -> Duration {
    let command = |program: &str, before: &[&str]| {
        let mut command = Command::new(program);
        command.args(before).arg("review").arg(traces).args(options);
        // Settings and pitches of the machine must not matter.
        command
            .env("XDG_CONFIG_HOME", traces)
            .env("XDG_DATA_HOME", traces);
        if let Some(threads) = threads {
            command.env("RAYON_NUM_THREADS", threads.to_string());
        }
        command.stdout(Stdio::null()).stderr(Stdio::null());
        command
    };
    let time = least(|| {
        let status = command(PROGRAM, &[])
            .status()
            .expect("the program is there");
        assert!(status.success(), "{name}");
    });
    let memory = command("/usr/bin/time", &["-f", "%M", PROGRAM])
        .stderr(Stdio::piped())
        .output()
        .ok()
        .and_then(|output| {
            let text = String::from_utf8_lossy(&output.stderr).into_owned();
            text.lines().last()?.trim().parse::<f64>().ok()
        });
    let memory = memory.map_or(String::new(), |kib| format!("{:.0} MB", kib * 1024.0 / 1e6));
    println!("| `{name}` | {} | {memory} |", shown(time));
    time
}

fn least(mut work: impl FnMut()) -> Duration {
    let times = (0..TIMES).map(|_| {
        let start = Instant::now();
        work();
        start.elapsed()
    });
    times.min().unwrap_or_default()
}

fn shown(time: Duration) -> String {
    format!("{:.0} ms", time.as_secs_f64() * 1e3)
}
