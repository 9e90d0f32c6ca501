//! `repledger diary refresh`: reviews again, with the settings of now.

use anyhow::Context;
use repledger::diary::{Circumstances, Diary, Entry, Filter, NewEntry};
use repledger::report::diary_text;
use repledger::settings::Settings;

use super::{again, recording};
use crate::args::DiaryFrom;
use crate::args::diary::Refresh;
use crate::exit_status::ExitStatus;
use crate::halt::Halt;
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
    let files = again::files(diary.trace(entry.id)?, &old.source)?;
    let session = again::session(&old, files, settings.clone(), |device| {
        Ok(diary.witnesses(device, i64::MAX, Some(&old.source.sha256))?)
    })?;
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
