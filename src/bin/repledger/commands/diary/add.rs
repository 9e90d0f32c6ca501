//! `repledger diary add`: recordings in, entries out.
//!
//! Recordings are read and reviewed in parallel and added in the order they were named. What one of them is held against may hang
//! on those before it: a plan of the day is done once. So where an earlier one that is still under work may be of the same day,
//! and there is a plan for it, a recording is reviewed in its turn.

use std::collections::BTreeMap;
use std::sync::{Mutex, MutexGuard, PoisonError};

use anyhow::{Context, anyhow, bail};
use jiff::SignedDuration;
use jiff::civil::Date;
use jiff::tz::Offset;
use repledger::diary::{self, Circumstances, Diary, Filter, NewEntry, Planned, Source};
use repledger::plan::{self, Plan};
use repledger::report::{diary_text, safe};
use repledger::session;
use repledger::settings::Settings;
use repledger::trace::{self, Clock, Trace};

use super::recording;
use crate::args::diary::Add;
use crate::args::{DiaryFrom, Input};
use crate::devices::Devices;
use crate::exit_status::{ExitStatus, WrongUsage};
use crate::files;
use crate::halt::Halt;
use crate::input::RECORDING;
use crate::joined;
use crate::pipeline::in_order;
use crate::printer::Printer;
use crate::progress::Progress;

/// What is the same for all files.
struct Adding<'a> {
    typed: &'a Add,
    settings: Settings,
    changed: String,
    /// The plan that was named, with its text.
    plan: Option<(String, Plan)>,
    /// For one at a time.
    diary: &'a Mutex<Diary>,
    /// What is known of devices.
    devices: Devices<'a>,
}

/// Runs the command. What can be added is, and what cannot is told at the end.
pub fn run(
    typed: &Add,
    from: &DiaryFrom,
    halt: &Halt,
    printer: &mut Printer,
) -> anyhow::Result<ExitStatus> {
    if typed
        .traces
        .iter()
        .chain(&typed.plan)
        .filter(|input| **input == Input::Stdin)
        .count()
        > 1
    {
        bail!(WrongUsage(
            "standard input can be read once only; name files for the others".to_owned()
        ));
    }
    let resolved = crate::settings::resolve(&typed.settings)?;
    let changed = recording::changed(&resolved);
    let mut settings = resolved.settings;
    settings.trace.columns.clone_from(&typed.columns);
    settings.trace.dates = typed.dates.map(Into::into);
    let plan = match &typed.plan {
        Some(file) => Some(crate::commands::plan::kept(file, typed.dates)?),
        None => None,
    };
    let named = files::named(&typed.traces)?;
    let files: Vec<Vec<Input>> = if typed.join {
        joined::within_bounds(&named)?;
        vec![named]
    } else {
        named.into_iter().map(|file| vec![file]).collect()
    };
    let diary = Mutex::new(from.create()?);
    let adding = Adding {
        typed,
        settings,
        changed,
        plan,
        diary: &diary,
        devices: Devices::of(&typed.device, Some(&diary))?,
    };
    let days = Days::default();
    let mut progress = Progress::new("added", files.len(), printer);
    let mut failed = Vec::new();
    in_order(
        files
            .iter()
            .enumerate()
            .inspect(|(place, _)| days.begin(*place)),
        halt,
        |(place, files)| (place, files, adding.prepare(place, files, &days)),
        |(place, files, prepared)| {
            let name = joined::name(files);
            let outcome = prepared.and_then(|prepared| adding.store(&name, prepared));
            days.end(place);
            progress.step(&name, printer);
            progress.aside(|| match outcome {
                Ok(told) => {
                    for word in told.words {
                        printer.talk(word);
                    }
                    printer.data(&told.line)
                }
                Err(error) => {
                    printer.error(&error);
                    failed.push(name.clone());
                    Ok(())
                }
            })
        },
    )?;
    progress.end();
    if !failed.is_empty() && files.len() > 1 {
        printer.talk(format!(
            "not added, {} of {}: {}",
            failed.len(),
            files.len(),
            failed.join(", ")
        ));
    }
    let name = |k| files.get(k).map(|files: &Vec<Input>| joined::name(files));
    if let Some(status) = progress.stopped(failed.len(), name, halt, printer) {
        return Ok(status);
    }
    Ok(if failed.is_empty() {
        ExitStatus::Done
    } else {
        ExitStatus::CouldNot
    })
}

/// The days of the recordings that are under work, by their places among all; `None` as long as a day is not known.
#[derive(Default)]
struct Days(Mutex<BTreeMap<usize, Option<Date>>>);

impl Days {
    /// Work on a file begins, in the order of the files.
    fn begin(&self, place: usize) {
        self.under_work().insert(place, None);
    }

    /// Notes the day of a file. Whether no earlier one may be of the same day.
    fn first_of(&self, place: usize, date: Date) -> bool {
        let mut days = self.under_work();
        days.insert(place, Some(date));
        days.range(..place)
            .all(|(_, day)| day.is_some_and(|day| day != date))
    }

    /// Its entry is in the diary, or will never be.
    fn end(&self, place: usize) {
        self.under_work().remove(&place);
    }

    fn under_work(&self) -> MutexGuard<'_, BTreeMap<usize, Option<Date>>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A recording that was read.
struct Recorded {
    sha256: [u8; 32],
    trace: Trace,
    date: Date,
    /// The plan that was named or lies beside it, with its text.
    plan: Option<(String, Plan)>,
    /// Where its files are.
    path: Option<String>,
    /// The recording itself, where it is kept: a gzip member a file.
    packed: Option<Vec<u8>>,
    /// What is said of it.
    words: Vec<String>,
}

/// What became of a file before its turn.
enum Prepared {
    /// The entry that holds it.
    AlreadyThere(i64),
    /// It is to be reviewed in its turn.
    Recorded(Box<Recorded>),
    Reviewed(Reviewed),
}

/// An entry to be added, with what is said of it.
struct Reviewed {
    entry: Box<NewEntry>,
    words: Vec<String>,
}

/// What is said of one file.
struct Told {
    words: Vec<String>,
    line: String,
}

impl Adding<'_> {
    /// Does what can be done for a file while those before it are not in the diary yet.
    fn prepare(&self, place: usize, files: &[Input], days: &Days) -> anyhow::Result<Prepared> {
        let mut parts = Vec::with_capacity(files.len());
        let mut there = None;
        let joined = joined::join(files, |file| {
            let bytes = file.read(RECORDING)?;
            let content = trace::unpack(&bytes).with_context(|| file.name())?;
            let sha256 = recording::hash(content.bytes());
            // One that is there already need not be read.
            if files.len() == 1 {
                there = self.diary().find(&sha256)?;
                if there.is_some() {
                    bail!("it is there already");
                }
            }
            let packed = if self.typed.keep_trace {
                recording::packed(content.bytes())?
            } else {
                Vec::new()
            };
            parts.push((sha256, packed));
            content
                .read(&self.settings.trace)
                .with_context(|| file.name())
        });
        if let Some(id) = there {
            return Ok(Prepared::AlreadyThere(id));
        }
        let trace::Joined { trace, order } = joined?;
        let parts: Vec<_> = order.iter().filter_map(|&k| parts.get(k)).collect();
        let hashes: Vec<[u8; 32]> = parts.iter().map(|part| part.0).collect();
        let sha256 = recording::hash_of_all(&hashes);
        if let Some(id) = self.diary().find(&sha256)? {
            return Ok(Prepared::AlreadyThere(id));
        }
        let name = joined::name(files);
        let mut words = Vec::new();
        let plan = self.plan_of(files, &mut words)?;
        let date = self.date(&trace, &name, plan.as_ref(), &mut words)?;
        let recorded = Recorded {
            sha256,
            trace,
            date,
            plan,
            path: paths(order.iter().filter_map(|&k| files.get(k))),
            packed: self
                .typed
                .keep_trace
                .then(|| parts.iter().flat_map(|part| part.1.clone()).collect()),
            words,
        };
        let first = days.first_of(place, date);
        let planned = self.planned(date, recorded.plan.as_ref())?;
        if planned.is_some() && !first {
            return Ok(Prepared::Recorded(Box::new(recorded)));
        }
        let reviewed = self.review(&name, recorded, planned)?;
        Ok(Prepared::Reviewed(reviewed))
    }

    /// Adds what became of a file; all before it are added.
    fn store(&self, name: &str, prepared: Prepared) -> anyhow::Result<Told> {
        let reviewed = match prepared {
            Prepared::AlreadyThere(id) => return self.already_there(name, id),
            Prepared::Recorded(recorded) => {
                // By itself, so that the diary is let go of before it is asked again.
                let found = self.diary().find(&recorded.sha256)?;
                if let Some(id) = found {
                    return self.already_there(name, id);
                }
                let planned = self.planned(recorded.date, recorded.plan.as_ref())?;
                // The threads of the usual pool may all wait for this one.
                let own = rayon::ThreadPoolBuilder::new().num_threads(1).build()?;
                own.install(|| self.review(name, *recorded, planned))?
            }
            Prepared::Reviewed(reviewed) => reviewed,
        };
        let added = self.diary().add(&reviewed.entry)?;
        if added.already_there {
            // An earlier file was the same, or another program was faster.
            return self.already_there(name, added.id);
        }
        Ok(Told {
            words: reviewed.words,
            line: format!(
                "added {}: {}\n",
                added.id,
                diary_text::in_brief(&self.diary().entry(added.id)?)
            ),
        })
    }

    /// Holds a recording against the plan that was named, else against that of the day.
    fn review(
        &self,
        name: &str,
        recorded: Recorded,
        planned: Option<Planned>,
    ) -> anyhow::Result<Reviewed> {
        let Recorded {
            sha256,
            mut trace,
            date,
            plan: own,
            path,
            packed,
            mut words,
        } = recorded;
        let (text, plan) = match (&own, &planned) {
            (Some((text, plan)), _) => (Some(text.clone()), Some(plan.clone())),
            (None, Some(planned)) => {
                let plan = plan::parse(&planned.text).map_err(|_| {
                    anyhow!(
                        "plan {} of the diary cannot be read any more; take it out, or add with --no-plan",
                        planned.id
                    )
                })?;
                words.push(format!(
                    "{name}: held against the plan {} that the diary holds for that day{} (--no-plan leaves it)",
                    planned.id,
                    planned.title.as_ref().map(|t| format!(", \"{t}\"")).unwrap_or_default()
                ));
                (Some(planned.text.clone()), Some(plan))
            }
            (None, None) => (None, None),
        };
        let settings = (self.devices).settings(&mut trace, Some(&sha256), &self.settings)?;
        let session =
            session::account(trace, plan.as_ref(), &settings).with_context(|| name.to_owned())?;
        let about = &self.typed.about;
        let mut entry = NewEntry::of(
            &session,
            Circumstances {
                athlete: self.athlete(own.as_ref()),
                date,
                rpe: about.rpe,
                note: about.note.clone(),
                activity: self.typed.activity.into(),
                source: Source {
                    sha256,
                    path,
                    start: None,
                    trace: packed,
                },
                plan: text,
                settings: self.changed.clone(),
                planned: planned.map(|planned| planned.id),
            },
        );
        if about.title.is_some() {
            entry.title.clone_from(&about.title);
        }
        Ok(Reviewed {
            entry: Box::new(entry),
            words,
        })
    }

    fn diary(&self) -> MutexGuard<'_, Diary> {
        self.diary.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Whose it is: as typed, else as the plan says, else nobody's name.
    fn athlete(&self, plan: Option<&(String, Plan)>) -> String {
        let of_plan = plan.and_then(|(_, plan)| plan.header.athlete.clone());
        let athlete = self.typed.about.athlete.clone().or(of_plan);
        athlete.unwrap_or_default().trim().to_owned()
    }

    /// How far the clock of whoever adds it is from universal time at that moment.
    fn offset(&self, clock: Clock) -> Offset {
        match (&self.typed.zone, clock) {
            (Some(zone), Clock::Utc(time)) => zone.to_offset(time),
            _ => Offset::UTC,
        }
    }

    /// The plan that was named, else that of the same name beside a recording in a folder.
    fn plan_of(
        &self,
        files: &[Input],
        words: &mut Vec<String>,
    ) -> anyhow::Result<Option<(String, Plan)>> {
        if self.plan.is_some() || self.typed.no_plan {
            return Ok(self.plan.clone());
        }
        let [file] = files else { return Ok(None) };
        let Some(beside) = files::plan_beside(file, &self.typed.traces) else {
            return Ok(None);
        };
        let kept = crate::commands::plan::kept(&beside, self.typed.dates)?;
        words.push(format!(
            "{}: held against {}, which lies beside it (--no-plan leaves it)",
            file.name(),
            beside.name()
        ));
        Ok(Some(kept))
    }

    fn date(
        &self,
        trace: &Trace,
        name: &str,
        plan: Option<&(String, Plan)>,
        words: &mut Vec<String>,
    ) -> anyhow::Result<Date> {
        let recorded = diary::local_date(first(trace), self.offset(first(trace)));
        if let Some(date) = self.typed.about.date {
            let could_be = |offset| diary::local_date(first(trace), offset) == Some(date);
            // Without a zone any clock on earth may be the athlete's.
            let zones = || (-12..=14).filter_map(|hours| Offset::from_hours(hours).ok());
            let fits =
                recorded == Some(date) || (self.typed.zone.is_none() && zones().any(could_be));
            if let Some(recorded) = recorded.filter(|_| !fits && !self.typed.force) {
                bail!(
                    "{name}: --date says {date}, the recording itself {recorded}; leave --date, or insist with --force"
                );
            }
            return Ok(date);
        }
        let of_plan = plan.and_then(|(_, plan)| plan.header.date);
        if let (Some(date), Some(recorded)) = (of_plan, recorded)
            && date != recorded
        {
            words.push(format!(
                "{name}: put on {date}, as its plan says, though it was recorded on {recorded}; --date says otherwise"
            ));
        }
        of_plan.or(recorded).with_context(|| {
            format!("{name}: it does not say on which day it was recorded; say so with --date")
        })
    }

    /// The plan of the diary that this recording does: that of the day, the first that is to be done; beside a plan that was named
    /// only the very same one.
    fn planned(
        &self,
        date: Date,
        plan: Option<&(String, Plan)>,
    ) -> anyhow::Result<Option<Planned>> {
        if self.typed.no_plan {
            return Ok(None);
        }
        let plans = self.diary().planned(&Filter {
            athlete: Some(&self.athlete(plan)),
            from: Some(date),
            to: Some(date),
        })?;
        Ok(plans.into_iter().find(|planned| {
            planned.done_by.is_none()
                && plan.is_none_or(|(text, _)| text.trim() == planned.text.trim())
        }))
    }

    fn already_there(&self, name: &str, id: i64) -> anyhow::Result<Told> {
        Ok(Told {
            words: Vec::new(),
            line: format!(
                "already there {id}: {} holds the same recording as {}; nothing was changed\n",
                safe(name),
                diary_text::in_brief(&self.diary().entry(id)?)
            ),
        })
    }
}

/// When the first fix was recorded.
fn first(trace: &Trace) -> Clock {
    let into_s = trace.fixes.first().map_or(0.0, |fix| fix.time_s);
    let Ok(into) = SignedDuration::try_from_secs_f64(into_s) else {
        return trace.clock;
    };
    match trace.clock {
        Clock::Utc(start) => start.checked_add(into).map_or(trace.clock, Clock::Utc),
        Clock::ZoneUnknown(start) => start
            .checked_add(into)
            .map_or(trace.clock, Clock::ZoneUnknown),
        Clock::Elapsed => Clock::Elapsed,
    }
}

/// Where some files are, whatever folder one stands in later; nothing where one is standard input.
fn paths<'a>(files: impl Iterator<Item = &'a Input>) -> Option<String> {
    let paths: Option<Vec<String>> = files.map(path).collect();
    paths.map(|paths| paths.join(joined::BETWEEN_PATHS))
}

fn path(file: &Input) -> Option<String> {
    match file {
        Input::Stdin => None,
        Input::File(path) => {
            let path = std::path::absolute(path).unwrap_or_else(|_| path.clone());
            Some(path.display().to_string())
        }
    }
}
