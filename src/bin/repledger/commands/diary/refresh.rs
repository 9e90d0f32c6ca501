//! `repledger diary refresh`: reviews again, with the settings of now.

use std::path::PathBuf;

use anyhow::{Context, anyhow, bail};
use repledger::diary::{Circumstances, Diary, Entry, Filter, NewEntry, Recording};
use repledger::report::diary_text;
use repledger::settings::Settings;
use repledger::trace::{self, DateOrder};
use repledger::{plan, session};

use super::recording;
use crate::args::diary::Refresh;
use crate::args::{DiaryFrom, Input};
use crate::exit_status::ExitStatus;
use crate::halt::Halt;
use crate::input::RECORDING;
use crate::joined;
use crate::printer::Printer;
use crate::progress::Progress;

/// Runs the command; an entry that cannot be reviewed again stays as it is.
pub fn run(
    typed: &Refresh,
    from: &DiaryFrom,
    halt: &Halt,
    printer: &mut Printer,
) -> anyhow::Result<ExitStatus> {
    let resolved = crate::settings::resolve(&typed.settings)?;
    let changed = recording::changed(&resolved);
    let mut diary = from.open()?;
    let entries = wanted(typed, &diary)?;
    let mut progress = Progress::new("reviewed again", entries.len(), printer);
    let mut failed = 0;
    halt.between();
    for entry in &entries {
        if halt.asked().is_some() {
            break;
        }
        let outcome = refresh(entry, &resolved.settings, &changed, &mut diary);
        progress.step(&named(entry), printer);
        progress.aside(|| match outcome {
            Ok(()) => {
                let entry = diary.entry(entry.id)?;
                printer.data(&format!(
                    "reviewed again {}: {}\n",
                    entry.id,
                    diary_text::in_brief(&entry)
                ))
            }
            Err(error) => {
                failed += 1;
                printer.error(&error.context(format!("entry {} stays as it was", entry.id)));
                Ok(())
            }
        })?;
    }
    progress.end();
    if failed > 0 {
        printer.talk(format!("not reviewed again: {failed} of {}", entries.len()));
    }
    let name = |k| entries.get(k).map(named);
    if let Some(status) = progress.stopped(failed, name, halt, printer) {
        return Ok(status);
    }
    Ok(if failed > 0 {
        ExitStatus::CouldNot
    } else {
        ExitStatus::Done
    })
}

fn named(entry: &Entry) -> String {
    format!("entry {}", entry.id)
}

/// The entries that were named, else all with a recording.
fn wanted(typed: &Refresh, diary: &Diary) -> anyhow::Result<Vec<Entry>> {
    if typed.ids.is_empty() {
        let mut entries = diary.entries(&Filter::default())?;
        entries.retain(|entry| entry.recorded.is_some());
        return Ok(entries);
    }
    typed.ids.iter().map(|id| Ok(diary.entry(*id)?)).collect()
}

fn refresh(
    entry: &Entry,
    settings: &Settings,
    changed: &str,
    diary: &mut Diary,
) -> anyhow::Result<()> {
    let old = diary.recording(entry.id)?.context("it has no recording")?;
    let files = contents(entry.id, &old, diary)?;
    let plan = match &old.plan {
        Some(text) => {
            Some(plan::parse(text).map_err(|_| anyhow!("its plan cannot be read any more"))?)
        }
        None => None,
    };
    let mut settings = settings.clone();
    settings.trace.columns.clone_from(&old.reading.columns);
    settings.trace.dates = old.reading.day_first.map(|first| {
        if first {
            DateOrder::DayMonthYear
        } else {
            DateOrder::MonthDayYear
        }
    });
    let mut traces = Vec::with_capacity(files.len());
    for bytes in files {
        traces.push(trace::read(&bytes, &settings.trace)?);
    }
    let mut trace = trace::join(traces)?.trace;
    // The name that was kept may be one that was typed.
    trace.device = old.device.or(trace.device);
    if let Some(device) = &trace.device {
        settings.motion.known = diary.witnesses(device, i64::MAX, Some(&old.source.sha256))?;
    }
    let session = session::account(trace, plan.as_ref(), &settings)?;
    let new = NewEntry::of(
        &session,
        Circumstances {
            athlete: entry.athlete.clone(),
            date: entry.date,
            rpe: entry.rpe,
            note: entry.note.clone(),
            activity: entry.activity,
            source: old.source,
            plan: old.plan,
            settings: changed.to_owned(),
            planned: None,
        },
    );
    let recording = new.recording.context("it has no recording")?;
    Ok(diary.renew(entry.id, new.duration_s, &recording)?)
}

/// The recording, a file after the other: the kept one, else the files, where they are still the same.
fn contents(id: i64, old: &Recording, diary: &Diary) -> anyhow::Result<Vec<Vec<u8>>> {
    if let Some(gzip) = diary.trace(id)? {
        return recording::unpacked(&gzip).context("the recording kept with it cannot be unpacked");
    }
    let path = old.source.path.as_ref().context(
        "its recording came from standard input and was not kept (add with --keep-trace)",
    )?;
    let mut files = Vec::new();
    let mut hashes = Vec::new();
    for path in joined::paths(path) {
        let bytes = Input::File(PathBuf::from(path)).read(RECORDING)?;
        hashes.push(recording::hash(trace::unpack(&bytes)?.bytes()));
        files.push(bytes);
    }
    if recording::hash_of_all(&hashes) != old.source.sha256 {
        let named = path.replace(joined::BETWEEN_PATHS, "' or '");
        bail!("'{named}' is not the same recording any more");
    }
    Ok(files)
}
