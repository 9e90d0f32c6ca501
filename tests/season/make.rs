//! Writes the demo season: six invented athletes, eight weeks, a match a week.
//!
//! `cargo run --release --example season -- fixtures/season` makes the files that are there: a folder an athlete with a recording and
//! the plan of the same name for each evening that was recorded, and `unrecorded.csv` with what was not. The same command gives the
//! same files. The pitch lies on open sea.

use std::error::Error;
use std::fmt::Write as _;
use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use flate2::{Compression, GzBuilder};
use jiff::ToSpan;
use jiff::civil::{Date, date};
use jiff::tz::TimeZone;
use rayon::prelude::*;
use repledger::plan::{self, Plan};
use repledger::simulation::{Athlete, Departures, Format, Kind, Receiver, Rng, execute};

const SPEED: &str = "\
title: Speed after the warm-up
warm-up \"across the pitch\", 2 min, then 1 min
speed \"edge of the area to halfway\", 5 x 40 m at 95%, rest 60 s, then 2 min
resistance \"channel runs\", 2 x 4 x 12 s, rest 25 s, 75 s between sets, then 1 min
cool-down \"easy lap\", 2 min
";
const TURNS: &str = "\
title: Runs and turns
warm-up \"across the pitch\", 2 min, then 1 min
strength \"cone shuffles\", 2 x 5 reps over 9 m there and back, 75 s between sets, then 2 min
resistance \"channel runs\", 2 x 4 x 12 s, rest 25 s, 75 s between sets, then 1 min
cool-down \"easy lap\", 2 min
";
const WEEKS: i64 = 8;
/// A Monday.
const FIRST: Date = date(2026, 3, 2);

/// One of the six.
struct Player {
    name: &'static str,
    top_speed_m_s: f64,
    /// What he gains a week, m/s.
    gain_m_s: f64,
    kind: Option<Kind>,
    heart_rate: bool,
    /// Weeks, from 0, in which nothing of him is known.
    away: &'static [i64],
}

const PLAYERS: [Player; 6] = [
    player("Ife", 8.9, 0.0, Some(Kind::Watch1v), &[3, 4]),
    player("Jonna", 7.6, 0.07, Some(Kind::Watch1v), &[]),
    player("Mika", 8.4, 0.02, Some(Kind::Watch1v), &[]),
    player("Oskar", 8.1, 0.0, Some(Kind::Watch1), &[0, 1]),
    player("Sana", 8.0, -0.01, Some(Kind::Phone1), &[6]),
    player("Tomás", 8.3, 0.0, None, &[]),
];

const fn player(
    name: &'static str,
    top_speed_m_s: f64,
    gain_m_s: f64,
    kind: Option<Kind>,
    away: &'static [i64],
) -> Player {
    Player {
        name,
        top_speed_m_s,
        gain_m_s,
        kind,
        heart_rate: matches!(kind, Some(Kind::Watch1v | Kind::Watch1)),
        away,
    }
}

type Fallible<T> = Result<T, Box<dyn Error + Send + Sync>>;

fn main() -> Fallible<()> {
    let folder = PathBuf::from(std::env::args().nth(1).ok_or("which folder?")?);
    let read = |text| plan::parse(text).map_err(|mistakes| format!("the plan: {mistakes:?}"));
    let plans = [(SPEED, read(SPEED)?), (TURNS, read(TURNS)?)];
    fs::create_dir_all(&folder)?;
    fs::write(folder.join("unrecorded.csv"), unrecorded()?)?;
    let sessions: Vec<(usize, i64)> = (0..PLAYERS.len())
        .flat_map(|player| (0..WEEKS).map(move |week| (player, week)))
        .collect();
    sessions
        .into_par_iter()
        .try_for_each(|(player, week)| session(player, week, &plans, &folder))
}

/// Makes the recorded evening of a week and writes it beside its plan.
fn session(number: usize, week: i64, plans: &[(&str, Plan); 2], folder: &Path) -> Fallible<()> {
    let player = &PLAYERS[number];
    let (Some(kind), false) = (player.kind, player.away.contains(&week)) else {
        return Ok(());
    };
    let seed = number as u64 * 100 + u64::try_from(week)?;
    // Three weeks of four bring sprints, the fourth turns.
    let (text, plan) = &plans[usize::from(week % 4 == 3)];
    let mut body = Athlete::random(&mut Rng::stream(number as u64, 1));
    body.top_speed_m_s = player.top_speed_m_s + player.gain_m_s * week as f64;
    let departures = if seed.is_multiple_of(3) {
        Departures::usual(plan, &mut Rng::stream(seed, 2))
    } else {
        Departures { list: Vec::new() }
    };
    let mut truth = execute(plan, &body, &departures, seed)?;
    let day = FIRST.checked_add((7 * week + 1).days())?;
    truth.start = TimeZone::UTC.to_timestamp(day.at(17, 30, 0, 0))?;
    // An athlete keeps his receiver.
    let mut receiver = Receiver::plain(kind, &mut Rng::stream(number as u64, 3));
    receiver.heart_rate = player.heart_rate;
    receiver.decimals = 6;
    receiver.site = (-38.2, -110.4, 0.6);
    let recording = receiver.record(&truth, seed);
    let ending = match recording.format {
        Format::Gpx => "gpx",
        Format::Columns | Format::LocalColumns => "csv",
    };
    let place = folder.join(player.name);
    fs::create_dir_all(&place)?;
    fs::write(place.join(format!("{day}.plan")), text)?;
    // Without a name or a time in its header, so that the same content is the same file.
    let mut packed = GzBuilder::new().write(Vec::new(), Compression::best());
    packed.write_all(&recording.bytes())?;
    Ok(fs::write(
        place.join(format!("{day}.{ending}.gz")),
        packed.finish()?,
    )?)
}

/// Team training, matches and the gym, as a coach keeps them in a spreadsheet.
fn unrecorded() -> Fallible<String> {
    let mut out = String::from("date,athlete,what,minutes,RPE,title\n");
    for week in 0..WEEKS {
        let rival = ["Harbour side", "Mill Lane", "North Quay", "Old Ferry"][week as usize % 4];
        for (number, player) in PLAYERS.iter().enumerate() {
            if player.away.contains(&week) {
                continue;
            }
            let mut rng = Rng::stream(number as u64 * 100 + u64::try_from(week)?, 5);
            let mut row =
                |day: i64, what: &str, minutes: f64, rpe: f64, title: &str| -> Fallible<()> {
                    let date = FIRST.checked_add((7 * week + day).days())?;
                    let rpe = (rpe + rng.range(-1.0, 1.0)).round().clamp(1.0, 10.0);
                    writeln!(out, "{date},{},{what},{minutes},{rpe},{title}", player.name)?;
                    Ok(())
                };
            // The seventh week is a hard one.
            let more = if week == 6 { 1.4 } else { 1.0 };
            row(0, "team", 75.0 * more, 5.0, "")?;
            row(2, "team", 90.0 * more, 6.0, "")?;
            row(3, "team", 60.0 * more, 4.0, "")?;
            if number % 2 == 0 {
                row(4, "gym", 40.0, 5.0, "")?;
            }
            let played = [95.0, 95.0, 60.0, 95.0, 30.0, 95.0][(number + week as usize) % 6];
            row(5, "match", played, 8.0, rival)?;
        }
    }
    Ok(out)
}
