//! `repledger diary refresh`: reviews again, with the settings of now.

use anyhow::Context;
use repledger::diary::{Circumstances, Diary, Entry, Filter, NewEntry};
use repledger::report::{self, reason};
use repledger::settings::Settings;

use super::again;
use crate::args::DiaryFrom;
use crate::args::diary::Refresh;
use crate::exit_status::ExitStatus;
use crate::halt::Halt;
use crate::many::Many;
use crate::printer::Printer;
use crate::recording;

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
    let many = Many {
        done: "reviewed again",
        things: &entries,
        name: named,
        shown: true,
        halt,
    };
    let came = many.in_turn(
        |entry| {
            refresh(entry, &resolved.settings, &changed, &mut diary)
                .with_context(|| format!("entry {} stays as it was", entry.id))
        },
        |_, refreshed, printer| match refreshed {
            Ok(entry) => printer.data(&format!(
                "reviewed again {}: {}\n",
                entry.id,
                report::diary::text::in_brief(&entry)
            )),
            Err(error) => {
                printer.error(&error);
                Ok(())
            }
        },
        printer,
    )?;
    if !came.failed.is_empty() {
        let (failed, of) = (came.failed.len(), entries.len());
        printer.talk(format!("not reviewed again: {failed} of {of}"));
    }
    Ok(came.status(printer))
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
) -> anyhow::Result<Entry> {
    let old = diary.recording(entry.id)?.context("it has no recording")?;
    let files = again::files(diary.trace(entry.id)?, &old.source)?;
    let sha256 = Some(&old.source.sha256);
    let earlier_top = diary.earlier_top(&entry.athlete, entry.date, i64::MAX, sha256)?;
    let session = again::session(&old, files, settings.clone(), earlier_top, |device| {
        Ok(diary.witnesses(device, i64::MAX, sha256)?)
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
        reason::text,
    );
    let recording = new.recording.context("it has no recording")?;
    diary.renew(entry.id, new.duration_s, &recording)?;
    Ok(diary.entry(entry.id)?)
}
