//! Writes the archive of a made league: many short sessions of many athletes, recorded by receivers of every kind.
//!
//! `cargo run --example league -- FOLDER` makes 2,000 of them, `FOLDER/recordings/ATHLETE/DAY.gpx` or `.csv`, and the plan that all
//! of them trained by, `FOLDER/league.plan`; `--sessions 200` after the folder makes fewer. The same number gives the same files.

use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};

use jiff::ToSpan;
use jiff::civil::{Date, date};
use jiff::tz::TimeZone;
use rayon::prelude::*;
use repledger::plan::{self, Plan};
use repledger::simulation::{Athlete, Departures, Format, Kind, Receiver, Rng, execute};

const PLAN: &str = "\
title: League evening
warm-up \"across the pitch\", 45 s, then 15 s
resistance \"channel runs\", 2 x 3 x 8 s, rest 15 s, 30 s between sets, then 30 s
speed \"to halfway\", 4 x 40 m, rest 20 s
";
const ATHLETES: u64 = 50;
/// A Monday; they train every other day from then on.
const FIRST: Date = date(2026, 3, 2);

type Fallible<T> = Result<T, Box<dyn Error + Send + Sync>>;

fn main() -> Fallible<()> {
    let mut words = std::env::args().skip(1);
    let folder = PathBuf::from(words.next().ok_or("which folder?")?);
    let sessions = match (words.next().as_deref(), words.next()) {
        (Some("--sessions"), Some(number)) => number.parse()?,
        (None, _) => 2_000,
        _ => return Err("usage: league FOLDER [--sessions NUMBER]".into()),
    };
    fs::create_dir_all(&folder)?;
    fs::write(folder.join("league.plan"), PLAN)?;
    let plan = plan::parse(PLAN).map_err(|mistakes| format!("the plan: {mistakes:?}"))?;
    (0..sessions)
        .into_par_iter()
        .try_for_each(|number| session(number, &plan, &folder))
}

/// Makes one session and writes it.
fn session(number: u64, plan: &Plan, folder: &Path) -> Fallible<()> {
    let (athlete, evening) = (number % ATHLETES, number / ATHLETES);
    let day = FIRST.checked_add((2 * i64::try_from(evening)?).days())?;
    let body = Athlete::random(&mut Rng::stream(athlete, 1));
    let departures = Departures::usual(plan, &mut Rng::stream(number, 2));
    let mut truth = execute(plan, &body, &departures, number)?;
    truth.start = TimeZone::UTC.to_timestamp(day.at(18, 0, 0, 0))?;
    // An athlete keeps his receiver.
    let kind = Kind::ALL[athlete as usize % Kind::ALL.len()];
    let recording = Receiver::random(kind, &mut Rng::stream(athlete, 3)).record(&truth, number);
    let ending = match recording.format {
        Format::Gpx => "gpx",
        Format::Columns | Format::LocalColumns => "csv",
    };
    let place = folder.join(format!("recordings/athlete-{:02}", athlete + 1));
    fs::create_dir_all(&place)?;
    Ok(fs::write(
        place.join(format!("{day}.{ending}")),
        recording.bytes(),
    )?)
}
