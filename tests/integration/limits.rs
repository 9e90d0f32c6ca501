//! Every bound: docs/recordings.md names it as the code has it, and what lies beyond is refused with a word that helps.

use std::collections::BTreeMap;
use std::fmt::{Display, Write as _};
use std::fs::{self, File};
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};

use flate2::Compression;
use flate2::write::GzEncoder;
use repledger::limits::{
    COMPARED, CUES_S, DEVICE_NAME_CHARS, EXPANSION, FIXES, JOINED, NDJSON_LINE_BYTES, PITCH_BYTES,
    PITCH_NAME_CHARS, PLAN_BLOCKS, PLAN_BYTES, PLAN_LINE_BYTES, PLAN_REPS, RECORDED_H,
    RECORDING_BYTES, SETTINGS_BYTES, SHEET_BYTES, SHEET_ROWS, SIMULATED_H, SIMULATED_SESSIONS,
    SMALL_EXPANSION_BYTES, TABLE_CELLS, TABLE_LINE_BYTES, XML_DEPTH, XML_TAG_BYTES, XML_TEXT_BYTES,
};
use repledger::plan;
use repledger::trace::{self, Options};

use crate::support::cli::Bench;
use crate::support::outcome::Outcome;

/// The rows of the table of limits in docs/recordings.md: what, and its bound.
fn told() -> BTreeMap<String, String> {
    include_str!("../../docs/recordings.md")
        .lines()
        .skip_while(|line| *line != "## Limits")
        .skip_while(|line| !line.starts_with("| ---"))
        .skip(1)
        .take_while(|line| line.starts_with('|'))
        .filter_map(|line| {
            let mut cells = line.trim_matches('|').split('|').map(str::trim);
            Some((cells.next()?.to_owned(), cells.next()?.to_owned()))
        })
        .collect()
}

#[test]
fn the_table_tells_the_bounds_in_force() {
    let megabytes = |bytes: u64| format!("{} MB", bytes >> 20);
    let kilobytes = |bytes: usize| format!("{} kB", bytes >> 10);
    let of = |count: usize| {
        let digits = count.to_string();
        let cut = digits.len().saturating_sub(3);
        match digits.split_at(cut) {
            ("", all) => all.to_owned(),
            (thousands, rest) => format!("{thousands},{rest}"),
        }
    };
    let expected = [
        ("a recording, plain or unpacked", megabytes(RECORDING_BYTES)),
        (
            "a packed recording, beside its size",
            format!("{EXPANSION} times, or {}", megabytes(SMALL_EXPANSION_BYTES)),
        ),
        (
            "fixes of a recording",
            format!("{} million", FIXES / 1_000_000),
        ),
        (
            "time of a recording without gaps",
            format!("{RECORDED_H} h"),
        ),
        ("recordings joined to one session", JOINED.to_string()),
        ("a line for `review --ndjson`", megabytes(NDJSON_LINE_BYTES)),
        ("depth of elements in GPX", XML_DEPTH.to_string()),
        ("a tag of GPX with its attributes", kilobytes(XML_TAG_BYTES)),
        ("a text of GPX", megabytes(XML_TEXT_BYTES as u64)),
        ("a line of a table", kilobytes(TABLE_LINE_BYTES)),
        ("columns of a table", TABLE_CELLS.to_string()),
        ("a plan", megabytes(PLAN_BYTES)),
        ("a line of a plan", format!("{} bytes", of(PLAN_LINE_BYTES))),
        ("blocks of a plan", PLAN_BLOCKS.to_string()),
        ("reps of a plan", of(PLAN_REPS as usize)),
        ("a spreadsheet for `diary import`", megabytes(SHEET_BYTES)),
        ("rows of a spreadsheet", of(SHEET_ROWS)),
        ("a settings file", megabytes(SETTINGS_BYTES)),
        ("corners of a pitch, a file", megabytes(PITCH_BYTES)),
        (
            "name of a kept pitch",
            format!("{PITCH_NAME_CHARS} characters"),
        ),
        (
            "name of a device",
            format!("{DEVICE_NAME_CHARS} characters"),
        ),
        ("recordings in one `compare`", COMPARED.to_string()),
        ("`simulate --sessions`", SIMULATED_SESSIONS.to_string()),
        ("time of a simulated plan", format!("{SIMULATED_H} h")),
        ("length of a sound track", format!("{} h", CUES_S / 3600.0)),
    ];
    let expected = expected.map(|(what, bound)| (what.to_owned(), bound));
    assert_eq!(told(), BTreeMap::from(expected));
}

/// A file that is larger than it takes room.
fn hole(path: &Path, bytes: u64) -> Outcome {
    Ok(File::create(path)?.set_len(bytes)?)
}

#[test]
fn files_beyond_their_bound_are_refused_unread() -> Outcome {
    let bench = Bench::with("a.csv", rows(0..60, 1))?;
    for (name, bytes, command) in [
        ("big.csv", RECORDING_BYTES, "review big.csv"),
        ("big.plan", PLAN_BYTES, "review a.csv --plan big.plan"),
        (
            "big.toml",
            SETTINGS_BYTES,
            "review a.csv --settings big.toml",
        ),
        ("big.txt", PITCH_BYTES, "pitch fit --corners big.txt"),
    ] {
        hole(&bench.path(name), bytes + 1)?;
        let most = format!("larger than {} MB", bytes >> 20);
        bench.run(command)?.could_not(&[name, &most]);
    }
    Ok(())
}

/// A table of someone walking, a fix every so many seconds.
fn rows(fixes: impl Iterator<Item = u32>, every_s: u32) -> String {
    let mut text = "time (s),x (m),y (m)\n".to_owned();
    for k in fixes {
        // Writing to memory does not fail.
        _ = writeln!(text, "{},{},0", k * every_s, k * every_s);
    }
    text
}

#[test]
fn a_small_file_that_unpacks_to_a_large_one_is_refused() -> Outcome {
    let mut packer = GzEncoder::new(Vec::new(), Compression::best());
    packer.write_all(rows(0..2, 1).as_bytes())?;
    packer.write_all(&b"1,1,0\n".repeat(3 << 20))?;
    let bomb = packer.finish()?;
    assert!((bomb.len() as u64) * EXPANSION < SMALL_EXPANSION_BYTES);
    let bench = Bench::with("bomb.csv.gz", bomb)?;
    bench.run("review bomb.csv.gz")?.could_not(&[
        "bomb.csv.gz",
        "more than 8 MB",
        "unpack it first",
    ]);
    Ok(())
}

#[test]
fn more_hours_than_are_reviewed_at_once_are_refused() -> Outcome {
    let bench = Bench::with("week.csv", rows(0..17_640, 10))?;
    bench.run("review week.csv")?.could_not(&[
        "week.csv",
        "49.0 h were recorded",
        "at most 48 h",
        "cut the recording into sessions",
    ]);
    Ok(())
}

#[test]
fn years_between_two_fixes_cost_nothing() -> Outcome {
    let mut day = rows(0..60, 1);
    for k in 0..60 {
        // Ten years later, from the same place.
        _ = writeln!(day, "{},{k},0", 315_619_200 + k);
    }
    let bench = Bench::with("years.csv", day)?;
    bench
        .run("review years.csv")?
        .done(&["120 of 120 fixes used"]);
    Ok(())
}

#[test]
fn gpx_beyond_its_bounds_is_damaged_there() -> Outcome {
    let deep = "<a>".repeat(XML_DEPTH);
    let tag = format!("<a b=\"{}\">", "x".repeat(XML_TAG_BYTES));
    let attributes = format!("<a {}>", "b=\"\" ".repeat(XML_TAG_BYTES / 5));
    let text = "x".repeat(XML_TEXT_BYTES + 1);
    for (inside, word) in [
        (deep, "nested more than 128 deep"),
        (tag, "more than 65536"),
        (attributes, "more than 65536"),
        (text, "more than 1048576"),
    ] {
        let bench = Bench::with("a.gpx", format!("<gpx>\n<trk><name>{inside}"))?;
        bench.run("review a.gpx")?.could_not(&[
            "a.gpx",
            "line 2",
            word,
            "export the recording again",
        ]);
    }
    Ok(())
}

#[test]
fn rows_beyond_their_bounds_are_set_aside() -> Outcome {
    for row in ["1,".repeat(TABLE_CELLS), "9".repeat(TABLE_LINE_BYTES + 1)] {
        let text = rows(0..60, 1) + &row + "\n";
        let read = trace::read(text.as_bytes(), &Options::default())?;
        assert_eq!((read.fixes.len(), read.fixes_in_file()), (60, 61));
        assert_eq!(read.set_aside[0].first_line, Some(62));
    }
    Ok(())
}

#[test]
fn plans_beyond_their_bounds_are_refused_where_they_pass_them() {
    let line = "speed 1 x 40 m\n";
    let long = format!("speed 1 x 40 m # {}\n", "x".repeat(PLAN_LINE_BYTES));
    let half = format!("speed {} x 40 m\n", PLAN_REPS / 2 + 1);
    let refused = |text: &str, number: u32, most: &dyn Display| {
        let mistakes = plan::parse(text).expect_err("beyond a bound");
        let words = mistakes[0].to_string();
        assert!(words.starts_with(&format!("line {number},")), "{words}");
        assert!(words.contains(&format!("at most {most}")), "{words}");
    };
    refused(&line.repeat(PLAN_BLOCKS + 1), 201, &"200 blocks");
    refused(&half.repeat(2), 2, &"10000 reps");
    refused(&long, 1, &"2000 bytes");
    assert!(plan::parse(&line.repeat(PLAN_BLOCKS)).is_ok());
}

#[test]
fn nesting_in_settings_and_corners_is_bounded() -> Outcome {
    let bench = Bench::with("deep.toml", format!("a = {}", "[".repeat(100_000)))?;
    bench
        .run("settings --settings deep.toml")?
        .could_not(&["deep.toml, line 1", "recursion"]);
    let corners = "{\"type\":\"Polygon\",\"coordinates\":".to_owned() + &"[".repeat(100_000);
    bench.file("deep.json", corners)?;
    bench
        .run("pitch fit --corners deep.json")?
        .could_not(&["deep.json", "recursion limit"]);
    Ok(())
}

#[test]
fn more_than_the_program_takes_on_is_refused() -> Outcome {
    let bench = Bench::with("a.plan", "speed 1 x 40 m\n")?;
    let names = "a.csv ".repeat(COMPARED + 1);
    bench
        .run(&format!("compare {names}"))?
        .wrong_usage(&["27 recordings", "at most 26"]);
    let names: Vec<String> = (0..=JOINED).map(|k| format!("{k}.csv")).collect();
    bench
        .run(&format!("review --join {}", names.join(" ")))?
        .wrong_usage(&["51 recordings", "at most 50"]);
    bench
        .run("simulate a.plan --sessions 501")?
        .wrong_usage(&["501", "1 to 500"]);
    bench.file("day.plan", "game 5 h\n".replace("5 h", "300 min"))?;
    bench
        .run("simulate day.plan")?
        .could_not(&["day.plan", "5.0 h", "up to 4 h"]);
    bench.file("corners.txt", "50.0,8.0\n50.0009,8.0\nsize: 100 x 64 m\n")?;
    let name = "x".repeat(PITCH_NAME_CHARS + 1);
    bench
        .run(&format!(
            "pitch fit --corners corners.txt --pitches kept --keep {name}"
        ))?
        .could_not(&["60 characters at most"]);
    Ok(())
}

/// The most memory, kB, that a review of a table takes: asked of the kernel after the answer and before the end.
fn peak_kb(bench: &Bench, text: &str) -> Outcome<u64> {
    bench.file("made.csv", text)?;
    let mut child = Command::new(assert_cmd::cargo::cargo_bin!("repledger"))
        .args(["review", "--ndjson"])
        .env("RAYON_NUM_THREADS", "1")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()?;
    let mut stdin = child.stdin.take().ok_or("no standard input")?;
    let stdout = child.stdout.take().ok_or("no standard output")?;
    writeln!(stdin, "{}", bench.path("made.csv").display())?;
    let mut answer = String::new();
    BufReader::new(stdout).read_line(&mut answer)?;
    assert!(answer.ends_with("\"error\":null}\n"), "{answer:.300}");
    let status = fs::read_to_string(format!("/proc/{}/status", child.id()))?;
    drop(stdin);
    child.wait()?;
    let peak = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))
        .ok_or("no VmHWM")?;
    Ok(peak.trim().trim_end_matches("kB").trim().parse()?)
}

#[test]
#[allow(clippy::print_stderr, reason = "a test that is skipped says so")]
fn memory_grows_with_the_fixes_as_is_told() -> Outcome {
    if !cfg!(target_os = "linux") {
        eprintln!("skipped: peak memory is asked of Linux");
        return Ok(());
    }
    let told = include_str!("../../docs/recordings.md");
    let (_, after) = told
        .split_once("takes at most some ")
        .ok_or("no memory a fix")?;
    let bytes: f64 = after.split(' ').next().unwrap_or_default().parse()?;
    let bench = Bench::new()?;
    let made = |fixes: u32| {
        let mut text = "time (s),x (m),y (m),speed (m/s)\n".to_owned();
        for k in 0..fixes {
            let time_s = f64::from(k) / 10.0;
            let speed_m_s = 3.5 + 3.5 * (time_s / 7.0).sin();
            _ = writeln!(
                text,
                "{time_s:.1},{:.2},0,{speed_m_s:.2}",
                30.0 * (time_s / 9.0).sin()
            );
        }
        text
    };
    let sizes = [18_000, 36_000, 72_000];
    let mut peaks = Vec::new();
    for fixes in sizes {
        peaks.push(peak_kb(&bench, &made(fixes))?);
    }
    for pair in [0, 1] {
        let more_kb = peaks[pair + 1].saturating_sub(peaks[pair]) as f64;
        let a_fix = more_kb * 1024.0 / f64::from(sizes[pair + 1] - sizes[pair]);
        // A vector that doubles and an allocator that rounds shift single steps by a third.
        assert!(a_fix < 1.4 * bytes, "{a_fix:.0} bytes a fix, {peaks:?} kB");
    }
    Ok(())
}
