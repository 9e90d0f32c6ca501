//! `repledger diary import`: unrecorded sessions from a spreadsheet.

use std::collections::BTreeSet;

use anyhow::{Context, bail};
use repledger::diary::{NewEntry, sheet};

use crate::args::DiaryFrom;
use crate::args::diary::Import;
use crate::exit_status::ExitStatus;
use crate::input::SHEET;
use crate::log;
use crate::printer::Printer;

/// Most mistakes that are told.
const TOLD: usize = 50;

/// Runs the command.
pub fn run(typed: &Import, from: &DiaryFrom, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let name = typed.file.name();
    let read = sheet::read(&typed.file.read(SHEET)?).with_context(|| name.clone())?;
    for mistake in read.mistakes.iter().take(TOLD) {
        printer.talk(format!("{name}, row {}: {}", mistake.row, mistake.text));
    }
    if read.mistakes.len() > TOLD {
        printer.talk(format!(
            "{name}: {} more rows like these",
            read.mistakes.len() - TOLD
        ));
    }
    let rows = read.rows.len() + read.mistakes.len();
    if !read.mistakes.is_empty() && !typed.partly {
        bail!(
            "{name}: {} of {rows} rows cannot be read, so nothing was kept; mend them, or keep the others with --partly",
            read.mistakes.len()
        );
    }
    let notes: Vec<NewEntry> = read.rows.into_iter().map(|(_, note)| note).collect();
    let mut diary = from.create_for(|diary| {
        diary.add_notes(&notes)?;
        Ok(())
    })?;
    let added = diary.add_notes(&notes)?;
    let known = diary.athletes()?;
    let names: BTreeSet<&str> = notes.iter().map(|note| note.athlete.as_str()).collect();
    for name in names {
        if let Some(words) = log::spelt_otherwise(&known, name) {
            printer.talk(words);
        }
    }
    let there = added.iter().filter(|added| added.already_there).count();
    printer.data(&format!(
        "added {} of {rows} rows; {there} were there already, {} could not be read\n",
        added.len() - there,
        read.mistakes.len()
    ))?;
    Ok(if read.mistakes.is_empty() {
        ExitStatus::Done
    } else {
        ExitStatus::CouldNot
    })
}
