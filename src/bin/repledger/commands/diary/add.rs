//! `repledger diary add`: recordings in, entries out.

use anyhow::{Context, anyhow, bail};
use jiff::SignedDuration;
use jiff::civil::Date;
use jiff::tz::Offset;
use repledger::diary::{self, Circumstances, Diary, Filter, NewEntry, Planned, Source};
use repledger::plan::{self, Plan};
use repledger::report::diary_text;
use repledger::session;
use repledger::settings::Settings;
use repledger::trace::{self, Clock, Trace};

use super::recording;
use crate::args::diary::Add;
use crate::args::{DiaryFrom, Input};
use crate::exit_status::{ExitStatus, WrongUsage};
use crate::files;
use crate::input::RECORDING;
use crate::printer::Printer;
use crate::progress::Progress;

/// What is the same for all files.
struct Adding<'a> {
    typed: &'a Add,
    settings: Settings,
    changed: String,
    /// The plan that was named, with its text.
    plan: Option<(String, Plan)>,
}

/// Runs the command. What can be added is, and what cannot is told at the end.
pub fn run(typed: &Add, from: &DiaryFrom, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
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
        Some(file) => {
            let text = crate::commands::plan::text(file)?;
            let plan = crate::commands::plan::parse(file, &text)?;
            Some((text, plan))
        }
        None => None,
    };
    let files = files::named(&typed.traces)?;
    let mut diary = from.create()?;
    let adding = Adding {
        typed,
        settings,
        changed,
        plan,
    };
    let mut progress = Progress::new("added", files.len(), printer);
    let mut failed = Vec::new();
    for file in &files {
        progress.step(&file.name(), printer);
        let outcome = adding.add(file, &mut diary);
        progress.aside(|| match outcome {
            Ok(told) => {
                for word in told.words {
                    printer.talk(word);
                }
                printer.data(&told.line)
            }
            Err(error) => {
                printer.error(&error);
                failed.push(file.name());
                Ok(())
            }
        })?;
    }
    progress.end();
    if failed.is_empty() {
        return Ok(ExitStatus::Done);
    }
    if files.len() > 1 {
        printer.talk(format!(
            "not added, {} of {}: {}",
            failed.len(),
            files.len(),
            failed.join(", ")
        ));
    }
    Ok(ExitStatus::CouldNot)
}

/// What is said of one file.
struct Told {
    words: Vec<String>,
    line: String,
}

impl Adding<'_> {
    fn add(&self, file: &Input, diary: &mut Diary) -> anyhow::Result<Told> {
        let bytes = file.read(RECORDING)?;
        let sha256 = recording::hash(&bytes).with_context(|| file.name())?;
        if let Some(id) = diary.find(&sha256)? {
            return already_there(file, id, diary);
        }
        let trace = trace::read(&bytes, &self.settings.trace).with_context(|| file.name())?;
        let mut words = Vec::new();
        let date = self.date(&trace, file, &mut words)?;
        let athlete = self.athlete();
        let planned = self.planned(&athlete, date, diary)?;
        let (text, plan) = match (&self.plan, &planned) {
            (Some((text, plan)), _) => (Some(text.clone()), Some(plan.clone())),
            (None, Some(planned)) => {
                let plan = plan::parse(&planned.text).map_err(|_| {
                    anyhow!(
                        "plan {} of the diary cannot be read any more; take it out, or add with --no-plan",
                        planned.id
                    )
                })?;
                words.push(format!(
                    "{}: held against the plan {} that the diary holds for that day{} (--no-plan leaves it)",
                    file.name(),
                    planned.id,
                    planned.title.as_ref().map(|t| format!(", \"{t}\"")).unwrap_or_default()
                ));
                (Some(planned.text.clone()), Some(plan))
            }
            (None, None) => (None, None),
        };
        let session =
            session::account(trace, plan.as_ref(), &self.settings).with_context(|| file.name())?;
        let about = &self.typed.about;
        let mut entry = NewEntry::of(
            &session,
            Circumstances {
                athlete,
                date,
                rpe: about.rpe,
                note: about.note.clone(),
                activity: self.typed.activity.into(),
                source: Source {
                    sha256,
                    path: path(file),
                    start: None,
                    trace: if self.typed.keep_trace {
                        Some(recording::packed(&bytes)?)
                    } else {
                        None
                    },
                },
                plan: text,
                settings: self.changed.clone(),
                planned: planned.map(|planned| planned.id),
            },
        );
        if about.title.is_some() {
            entry.title.clone_from(&about.title);
        }
        let added = diary.add(&entry)?;
        if added.already_there {
            // Another program was faster.
            return already_there(file, added.id, diary);
        }
        Ok(Told {
            words,
            line: format!(
                "added {}: {}\n",
                added.id,
                diary_text::in_brief(&diary.entry(added.id)?)
            ),
        })
    }

    /// Whose it is: as typed, else as the plan says, else nobody's name.
    fn athlete(&self) -> String {
        let of_plan = self
            .plan
            .as_ref()
            .and_then(|(_, plan)| plan.header.athlete.clone());
        let athlete = self.typed.about.athlete.clone().or(of_plan);
        athlete.unwrap_or_default().trim().to_owned()
    }

    fn date(&self, trace: &Trace, file: &Input, words: &mut Vec<String>) -> anyhow::Result<Date> {
        if let Some(date) = self.typed.about.date {
            return Ok(date);
        }
        let recorded = diary::local_date(first(trace), self.typed.zone.unwrap_or(Offset::UTC));
        let of_plan = self.plan.as_ref().and_then(|(_, plan)| plan.header.date);
        if let (Some(date), Some(recorded)) = (of_plan, recorded)
            && date != recorded
        {
            words.push(format!(
                "{}: put on {date}, as its plan says, though it was recorded on {recorded}; --date says otherwise",
                file.name()
            ));
        }
        of_plan.or(recorded).with_context(|| {
            format!(
                "{}: it does not say on which day it was recorded; say so with --date",
                file.name()
            )
        })
    }

    /// The plan of the diary that this recording does: that of the day, the first that is to be done; beside a plan that was named
    /// only the very same one.
    fn planned(&self, athlete: &str, date: Date, diary: &Diary) -> anyhow::Result<Option<Planned>> {
        if self.typed.no_plan {
            return Ok(None);
        }
        let plans = diary.planned(&Filter {
            athlete: Some(athlete),
            from: Some(date),
            to: Some(date),
        })?;
        Ok(plans.into_iter().find(|planned| {
            planned.done_by.is_none()
                && self
                    .plan
                    .as_ref()
                    .is_none_or(|(text, _)| text.trim() == planned.text.trim())
        }))
    }
}

fn already_there(file: &Input, id: i64, diary: &Diary) -> anyhow::Result<Told> {
    Ok(Told {
        words: Vec::new(),
        line: format!(
            "already there {id}: {} holds the same recording as {}; nothing was changed\n",
            file.name(),
            diary_text::in_brief(&diary.entry(id)?)
        ),
    })
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

/// Where a file is, whatever folder one stands in later.
fn path(file: &Input) -> Option<String> {
    match file {
        Input::Stdin => None,
        Input::File(path) => {
            let path = std::path::absolute(path).unwrap_or_else(|_| path.clone());
            Some(path.display().to_string())
        }
    }
}
