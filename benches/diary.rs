//! A squad's diary: 50 athletes with 300 sessions each, every one as large as the demo session at 10 Hz.
//!
//! `cargo bench --bench diary` makes it in a folder of its own and prints how long an addition takes, how large the file is, and
//! how long it takes to read what weeks need. `-- --athletes 5 --sessions 40` makes a smaller one.

#![allow(clippy::print_stdout, reason = "a bench reports on standard output")]

use std::error::Error;
use std::time::{Duration, Instant};

use jiff::ToSpan;
use jiff::civil::date;
use repledger::diary::{Activity, Circumstances, Diary, Filter, NewEntry, Source};
use repledger::measured::Measured;
use repledger::report::reason;
use repledger::session;
use repledger::settings::Settings;

const PLAN: &str = include_str!("../fixtures/plans/demo.plan");
const TRACE: &[u8] = include_bytes!("../fixtures/traces/demo_10hz.csv");

fn main() -> Result<(), Box<dyn Error>> {
    let athletes = option("--athletes").unwrap_or(50);
    let sessions = option("--sessions").unwrap_or(300);
    let dir = tempfile::tempdir()?;
    let path = dir.path().join("diary.db");
    let pattern = pattern()?;
    let mut diary = Diary::create(&path)?;

    let mut times = Vec::new();
    for session in 0..sessions {
        for athlete in 0..athletes {
            let entry = made(&pattern, athlete, session);
            let begun = Instant::now();
            diary.add(&entry)?;
            times.push(begun.elapsed());
        }
    }
    drop(diary);
    times.sort_unstable();
    let at = |share: f64| times.get(((times.len() - 1) as f64 * share) as usize);
    println!(
        "{} entries added: median {:.1?}, 95 % under {:.1?}, longest {:.1?}",
        times.len(),
        at(0.5).unwrap_or(&Duration::ZERO),
        at(0.95).unwrap_or(&Duration::ZERO),
        at(1.0).unwrap_or(&Duration::ZERO)
    );
    println!(
        "file: {:.1} MB",
        std::fs::metadata(&path)?.len() as f64 / 1e6
    );

    for _ in 0..3 {
        let begun = Instant::now();
        let diary = Diary::open(&path)?;
        let opened = begun.elapsed();
        let begun = Instant::now();
        let all = diary.entries(&Filter::default())?;
        let every = begun.elapsed();
        let begun = Instant::now();
        let one = diary.entries(&Filter {
            athlete: Some("Athlete 3"),
            ..Filter::default()
        })?;
        println!(
            "opened in {opened:.1?}; all {} entries in {every:.1?}; {} of one athlete in {:.1?}",
            all.len(),
            one.len(),
            begun.elapsed()
        );
    }
    let begun = Instant::now();
    let health = Diary::open(&path)?.check()?;
    println!(
        "checked in full in {:.1?}: {} faults",
        begun.elapsed(),
        health.faults.len()
    );
    if std::env::args().any(|word| word == "--keep") {
        println!("kept in {}", dir.keep().display());
    }
    Ok(())
}

fn option(name: &str) -> Option<u32> {
    let mut words = std::env::args().skip_while(|word| word != name);
    words.nth(1)?.parse().ok()
}

/// The demo session.
fn pattern() -> Result<NewEntry, Box<dyn Error>> {
    let plan = repledger::plan::parse(PLAN).map_err(|_| "the demo plan is sound")?;
    let session = session::analyse(TRACE, Some(&plan), &Settings::default())?;
    Ok(NewEntry::of(
        &session,
        Circumstances {
            athlete: String::new(),
            date: date(2026, 5, 12),
            rpe: Some(7.0),
            note: None,
            activity: Activity::Training,
            source: Source {
                path: Some("/home/coach/recordings/2026-05-12-session.csv".to_owned()),
                ..Source::default()
            },
            plan: Some(PLAN.to_owned()),
            settings: String::new(),
            planned: None,
        },
        reason::text,
    ))
}

/// The same session with numbers of its own: no two entries pack alike.
fn made(pattern: &NewEntry, athlete: u32, session: u32) -> NewEntry {
    let mut entry = pattern.clone();
    entry.athlete = format!("Athlete {athlete}");
    entry.date = date(2025, 1, 1).saturating_add(i64::from(session * 7 / 3).days());
    let number = athlete * 100_003 + session * 7919;
    let share = 0.9 + 0.2 * f64::from(number % 1009) / 1009.0;
    let scale = |m: &mut Measured| *m = m.scaled(share);
    if let Some(recording) = &mut entry.recording {
        recording.source.sha256[..8]
            .copy_from_slice(&(u64::from(athlete) << 32 | u64::from(session)).to_be_bytes());
        recording.summary.peaks_m_s.iter_mut().for_each(scale);
        scale(&mut recording.summary.distance_m);
        for effort in &mut recording.efforts {
            effort.start_s *= share;
            scale(&mut effort.peak_speed_m_s);
        }
        for rep in recording.blocks.iter_mut().flat_map(|b| &mut b.reps) {
            rep.review.distance_m.iter_mut().for_each(scale);
            rep.review.peak_speed_m_s.iter_mut().for_each(scale);
        }
    }
    entry
}
