//! `repledger diary list`, `show`, `backup` and `check`: what changes nothing.

use std::path::Path;

use anyhow::{Context, bail};
use repledger::diary::{Diary, Filter};
use repledger::report;

use crate::args::DiaryFrom;
use crate::args::diary::{Backup, List, Show};
use crate::exit_status::ExitStatus;
use crate::log;
use crate::part::{Part, Readers};
use crate::printer::Printer;
use crate::settings;

/// Lists the entries.
pub fn list(typed: &List, from: &DiaryFrom, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let diary = from.open()?;
    if let Some(name) = &typed.athlete {
        log::chosen(diary.athletes()?, Some(name))?;
    }
    let mut entries = diary.entries(&Filter {
        athlete: typed.athlete.as_deref(),
        from: typed.between.since,
        to: typed.between.until,
    })?;
    if let Some(last) = typed.last {
        entries.drain(..entries.len().saturating_sub(last));
    }
    printer.data(&if typed.json {
        report::diary::json::list(&entries)?
    } else {
        report::diary::text::list(&entries)
    })?;
    Ok(ExitStatus::Done)
}

/// Shows one entry.
pub fn show(typed: &Show, from: &DiaryFrom, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let diary = from.open()?;
    let entry = diary.entry(typed.id)?;
    let recording = diary.recording(typed.id)?;
    let kept = diary.trace(typed.id)?.is_some();
    printer.data(&if typed.json {
        report::diary::json::entry(&entry, recording.as_ref(), kept)?
    } else {
        let speeds = settings::speeds(&typed.settings)?;
        report::diary::text::show(&entry, recording.as_ref(), kept, speeds)
    })?;
    Ok(ExitStatus::Done)
}

/// Writes a copy beside its place and moves it there, so that it is whole or not there.
pub fn backup(
    typed: &Backup,
    from: &DiaryFrom,
    printer: &mut Printer,
) -> anyhow::Result<ExitStatus> {
    let diary = from.open()?;
    let path = &typed.file;
    if path.symlink_metadata().is_ok() {
        bail!(
            "'{}' is there already; name another file for the copy",
            path.display()
        );
    }
    if path.file_name().is_none() {
        bail!("the copy needs a name");
    }
    copy(&diary, path).with_context(|| format!("cannot write '{}'", path.display()))?;
    let copy = Diary::open(path)?.check()?;
    printer.data(&format!(
        "wrote '{}': {} entries, read back whole\n",
        path.display(),
        copy.entries
    ))?;
    Ok(ExitStatus::Done)
}

fn copy(diary: &Diary, path: &Path) -> anyhow::Result<()> {
    let part = Part::begin(path, Readers::Owner)?;
    diary.copy_to(part.hand_over()?)?;
    Ok(part.finish()?)
}

/// Says whether the diary is whole.
pub fn check(from: &DiaryFrom, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let health = from.open()?.check()?;
    if health.faults.is_empty() {
        printer.data(&format!(
            "whole: {} entries, {} of them recorded, all read\n",
            health.entries, health.recordings
        ))?;
        return Ok(ExitStatus::Done);
    }
    bail!(
        "the diary is damaged: {}; keep a copy of it, then go back to your last `repledger diary backup`",
        health.faults.join("; ")
    )
}
