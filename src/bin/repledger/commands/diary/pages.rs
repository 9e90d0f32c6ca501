//! `repledger diary pages`: the season as a folder of linked pages.
//!
//! All is read as the diary is at one moment. Reviews come first, then sessions, the first page last, and what is no more goes after that:
//! however the program ends, no page is half and the first page names none that is not there, and the next run goes on. Pages are made
//! in parallel, some at a time, and those that are in the folder already are not written again.

use std::sync::{Mutex, PoisonError};

use rayon::prelude::*;
use repledger::diary::{Diary, Entry, Filter, Recording};
use repledger::progress::{self, Drill, Log};
use repledger::report::season::{self, Season};
use repledger::units::SpeedUnit;

use super::reviews::Reviews;
use crate::args::DiaryFrom;
use crate::args::diary::Pages;
use crate::clock;
use crate::exit_status::ExitStatus;
use crate::halt::Halt;
use crate::log;
use crate::output::{Folder, Output};
use crate::printer::Printer;
use crate::settings;

/// Pages that are made before they are written.
const BATCH: usize = 128;

/// Runs the command.
pub fn run(
    typed: &Pages,
    from: &DiaryFrom,
    halt: &Halt,
    printer: &mut Printer,
) -> anyhow::Result<ExitStatus> {
    let diary = from.open()?;
    diary.hold()?;
    let one = match &typed.athlete {
        Some(name) => Some(log::chosen(diary.athletes()?, Some(name))?),
        None => None,
    };
    let filter = Filter {
        athlete: one.as_deref(),
        ..Filter::default()
    };
    // As on a day that was named there is nothing of the days after it.
    let seen = Filter {
        to: typed.today,
        ..filter
    };
    let mut entries = diary.entries(&seen)?;
    let mut matches = diary.match_days(&filter)?;
    let planned = diary.planned(&filter)?;
    if typed.hide_place {
        season::hide_places(
            &mut entries,
            &mut matches,
            &diary.plans_of_recordings(&filter)?,
        );
    }
    let speeds = settings::speeds(&typed.settings)?;
    let drills = drills(&diary, &seen, speeds)?;
    let season = Season {
        log: Log {
            entries: &entries,
            matches: &matches,
            planned: &planned,
            speeds,
        },
        drills: &drills,
        today: typed.today.unwrap_or_else(clock::today),
        alone: one.is_some(),
    };
    let mut reviews = if typed.no_reviews {
        Reviews::none()
    } else {
        Reviews::of(&diary, &season, typed.hide_place)?
    };
    let mut names = season.names();
    names.extend(reviews.names().cloned());
    let mut folder = Folder::open(&typed.out, typed.force)?.grow(&names)?;
    let diary = Mutex::new(diary);
    if let Some(stopped) = reviews.write(&diary, &season, &mut folder, halt, printer)? {
        return Ok(stopped);
    }
    names.retain(|name| folder.has(name) || !season::is_review(name));
    let diary = diary.into_inner().unwrap_or_else(PoisonError::into_inner);
    halt.between();
    let mut made = 0;
    for some in entries.chunks(BATCH) {
        if let Some(signal) = halt.asked() {
            printer.talk(format!(
                "stopped: {made} of {} pages looked at; run it again for the rest",
                names.len()
            ));
            return Ok(ExitStatus::Stopped(signal));
        }
        // The diary is read by one thread.
        let read = (some.iter())
            .map(|entry| Ok((entry, diary.recording_of(entry)?)))
            .collect::<Result<Vec<(&Entry, Option<Recording>)>, repledger::diary::Error>>()?;
        let pages: Vec<Output> = (read.par_iter())
            .map(|(entry, recording)| {
                Output::from(season.session(entry, recording.as_ref(), reviews.name(entry)))
            })
            .collect();
        folder.put(&pages)?;
        made += pages.len();
    }
    for some in season.weeks().chunks(BATCH) {
        let pages: Vec<Output> = some
            .par_iter()
            .map(|week| Output::from(season.week(*week)))
            .collect();
        folder.put(&pages)?;
    }
    let athletes = season.athletes();
    for some in athletes.chunks(BATCH) {
        let pages = (some.par_iter())
            .map(|athlete| Ok(season.athlete(athlete)?.into()))
            .collect::<anyhow::Result<Vec<Output>>>()?;
        folder.put(&pages)?;
    }
    if let Some(page) = season.squad()? {
        folder.put(&[page.into()])?;
    }
    let grown = folder.end(&names, season::is_page)?;
    printer.talk(format!(
        "'{}': {}, {} written, {} as they were, {} removed; open {}",
        typed.out.display(),
        counted(names.len()),
        grown.written,
        grown.same,
        grown.removed,
        season::FIRST
    ));
    Ok(ExitStatus::Done)
}

/// The drills of the sessions, with speeds told in that unit.
fn drills(diary: &Diary, filter: &Filter<'_>, speeds: SpeedUnit) -> anyhow::Result<Vec<Drill>> {
    let mut drills = progress::drills(&diary.drilled(filter)?);
    for drill in &mut drills {
        drill.speeds = speeds;
    }
    Ok(drills)
}

fn counted(pages: usize) -> String {
    match pages {
        1 => "1 page".to_owned(),
        n => format!("{n} pages"),
    }
}
