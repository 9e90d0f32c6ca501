//! The reviews behind the sessions of `repledger diary pages`, made from recordings that the diary keeps or that are where they were.
//!
//! Each is made once: its name says what it is made of, and one that is there is not made again, whatever became of its recording.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use anyhow::Context;
use jiff::tz::TimeZone;
use repledger::diary::{Diary, Entry, Recording};
use repledger::report::season::{Page, Season};
use repledger::settings::{self, Origin, Zone};

use super::again;
use crate::exit_status::ExitStatus;
use crate::halt::Halt;
use crate::many::Many;
use crate::output::{Growing, Output};
use crate::printer::{Printer, chain};

/// Pages that are made before they are written: some are a megabyte.
const BATCH: usize = 16;

/// The names of the reviews that sessions have, by the number of their entry.
pub struct Reviews {
    names: BTreeMap<i64, String>,
    hide_place: bool,
    /// Where the recording says no zone.
    zone: Option<TimeZone>,
}

impl Reviews {
    /// None at all.
    pub fn none() -> Self {
        Self {
            names: BTreeMap::new(),
            hide_place: false,
            zone: None,
        }
    }

    /// Those that can be there: of every recording that was kept or has a path.
    pub fn of(diary: &Diary, season: &Season<'_>, hide_place: bool) -> anyhow::Result<Self> {
        let zone = TimeZone::try_system().ok();
        let zone_name = zone.as_ref().and_then(TimeZone::iana_name);
        let hidden = if hide_place { "no places" } else { "" };
        let around = [
            zone_name.unwrap_or_default(),
            hidden,
            season.log.speeds.sign(),
        ];
        let mut names = BTreeMap::new();
        for entry in season.log.entries.iter().filter(|e| e.recorded.is_some()) {
            if let Some(recording) = diary.recording_in_sum(entry.id)?
                && (recording.source.path.is_some() || diary.trace(entry.id)?.is_some())
            {
                let name = season.name_of_review(entry, &recording, &around);
                names.insert(entry.id, name);
            }
        }
        Ok(Self {
            names,
            hide_place,
            zone,
        })
    }

    /// Of an entry, if it has one.
    pub fn name(&self, entry: &Entry) -> Option<&str> {
        self.names.get(&entry.id).map(String::as_str)
    }

    /// Every name.
    pub fn names(&self) -> impl Iterator<Item = &String> {
        self.names.values()
    }

    /// Makes those that are not there yet and writes them; of the recordings that are not to be had, that is told once, and their sessions
    /// have no review. Gives a status where there was a request to stop.
    pub fn write(
        &mut self,
        diary: &Mutex<Diary>,
        season: &Season<'_>,
        folder: &mut Growing,
        halt: &Halt,
        printer: &mut Printer,
    ) -> anyhow::Result<Option<ExitStatus>> {
        let mut missing = Vec::new();
        for entry in season.log.entries {
            match self.names.get(&entry.id) {
                Some(name) if folder.has(name) => folder.stands(),
                Some(name) => missing.push((entry, name.clone())),
                None => {}
            }
        }
        let many = Many {
            done: "reviewed",
            things: &missing,
            name: |(entry, _)| format!("entry {}", entry.id),
            shown: true,
            halt,
        };
        let mut gone: Vec<(i64, String)> = Vec::new();
        let mut made: Vec<Output> = Vec::with_capacity(BATCH);
        let came = many.in_parallel(
            |_, (entry, name)| self.page(diary, season, entry, name),
            |_, _, page| page,
            |(entry, _), page, _| {
                match page {
                    Ok(page) => made.push(page.into()),
                    Err(error) => {
                        gone.push((entry.id, format!("{}, {}", entry.date, chain(&error))));
                    }
                }
                if made.len() == BATCH {
                    folder.put(&std::mem::take(&mut made))?;
                }
                Ok(())
            },
            printer,
        )?;
        folder.put(&made)?;
        if let Some((_, first)) = gone.first() {
            printer.talk(format!(
                "without a review, since the recording is not to be had: {} of {}; the first: {first}",
                gone.len(),
                self.names.len()
            ));
        }
        let stopped = came.stopped(printer);
        for (id, _) in gone {
            self.names.remove(&id);
        }
        Ok(stopped)
    }

    fn page(
        &self,
        diary: &Mutex<Diary>,
        season: &Season<'_>,
        entry: &Entry,
        name: &str,
    ) -> anyhow::Result<Page> {
        // The diary is asked by one thread at a time.
        let asked = || diary.lock().unwrap_or_else(PoisonError::into_inner);
        let (old, kept): (Option<Recording>, _) = {
            let diary = asked();
            (diary.recording_in_sum(entry.id)?, diary.trace(entry.id)?)
        };
        let old = old.context("it has no recording")?;
        let files = again::files(kept, &old.source)?;
        let lines: Vec<String> = old.settings.lines().map(str::to_owned).collect();
        let mut resolved = settings::resolve(None, &lines)?;
        for setting in &mut resolved.list {
            if setting.origin == Origin::CommandLine {
                setting.origin = Origin::File("diary".to_owned());
            }
        }
        resolved.settings.zone = Zone {
            asked: None,
            usual: self.zone.clone(),
        };
        resolved.settings.speeds = season.log.speeds;
        // As when it was added: what came later says nothing of it.
        let session = again::session(&old, files, resolved.settings, old.earlier_top, |device| {
            Ok(asked().witnesses(device, entry.id, Some(&old.source.sha256))?)
        })?;
        let session = if self.hide_place {
            session.without_place(true)
        } else {
            session
        };
        Ok(season.review(name.to_owned(), entry, session, &resolved.list)?)
    }
}
