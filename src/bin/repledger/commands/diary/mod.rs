//! `repledger diary`: sessions, notes, plans and match days, kept in one file.

mod add;
mod again;
mod ahead;
mod import;
mod keep;
mod look;
mod pages;
mod refresh;
mod remove;
mod reviews;

use crate::args::diary::{Action, Diary};
use crate::exit_status::ExitStatus;
use crate::halt::Halt;
use crate::holders;
use crate::printer::Printer;

/// Runs the command.
pub fn run(typed: &Diary, halt: &Halt, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let from = &typed.diary;
    let ran = match &typed.action {
        Action::Add(typed) => add::run(typed, from, halt, printer),
        Action::Note(typed) => keep::note(typed, from, printer),
        Action::Import(typed) => import::run(typed, from, printer),
        Action::Plan(typed) => ahead::plan(typed, from, printer),
        Action::Match(typed) => ahead::match_day(typed, from, printer),
        Action::List(typed) => look::list(typed, from, printer),
        Action::Show(typed) => look::show(typed, from, printer),
        Action::Edit(typed) => keep::edit(typed, from, printer),
        Action::Remove(typed) => remove::run(typed, from, printer),
        Action::Refresh(typed) => refresh::run(typed, from, halt, printer),
        Action::Athlete(typed) => keep::athlete(typed, from, printer),
        Action::Pages(typed) => pages::run(typed, from, halt, printer),
        Action::Backup(typed) => look::backup(typed, from, printer),
        Action::Check(_) => look::check(from, printer),
    };
    ran.map_err(|error| match from.path() {
        Ok(path) => holders::named(error, &path),
        Err(_) => error,
    })
}
