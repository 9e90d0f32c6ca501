//! The command line of repledger: opens files, hands bytes to the library, prints what comes back.

// What comes from outside is taken by `get`, never by an index that may not be there.
#![warn(clippy::indexing_slicing, clippy::string_slice)]

mod args;
mod clock;
mod columns;
mod commands;
mod diary;
mod exit_status;
mod files;
mod halt;
mod holders;
mod input;
mod joined;
mod known;
mod log;
mod many;
mod memory;
mod mistyped;
mod no_plan;
mod output;
mod part;
mod pipeline;
mod pitches;
mod plans;
mod printer;
mod progress;
mod recording;
mod settings;

use std::io;
use std::process::ExitCode;

use clap::Parser;

use args::{Command, Typed};
use exit_status::{ExitStatus, WrongUsage};
use halt::Halt;
use printer::{Printer, Words};

fn main() -> ExitCode {
    memory::keep_what_is_freed();
    // Ends the program itself on a mistake in the command line, with the status of wrong usage.
    let typed = match Typed::try_parse() {
        Ok(typed) => typed,
        Err(error) => mistyped::exit(error),
    };
    let mut printer = Printer::new(typed.color, Words::of(typed.quiet, typed.verbose));
    let halt = Halt::listen();
    let status = match run(typed.command, &halt, &mut printer) {
        Ok(status) => status,
        // Whoever read the output has seen enough.
        Err(error) if is_broken_pipe(&error) => ExitStatus::Done,
        Err(error) => {
            printer.error(&error);
            if error.is::<WrongUsage>() {
                ExitStatus::WrongUsage
            } else {
                ExitStatus::CouldNot
            }
        }
    };
    status.into()
}

fn run(command: Command, halt: &Halt, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    match command {
        Command::Review(typed) => commands::review::run(&typed, halt, printer),
        Command::Compare(typed) => commands::compare::run(&typed, printer),
        Command::Pitch(typed) => commands::pitch::run(&typed, printer),
        Command::Plan(typed) => commands::plan::run(&typed, printer),
        Command::Simulate(typed) => commands::simulate::run(&typed, printer),
        Command::Diary(typed) => commands::diary::run(&typed, halt, printer),
        Command::Week(typed) => commands::week::run(&typed, printer),
        Command::Weeks(typed) => commands::weeks::run(&typed, printer),
        Command::Best(typed) => commands::best::run(&typed, printer),
        Command::Drill(typed) => commands::drill::run(&typed, printer),
        Command::Table(typed) => commands::table::run(&typed, halt, printer),
        Command::Schema(typed) => commands::help::schema(&typed, printer),
        Command::Completions(typed) => commands::help::completions(&typed, printer),
        Command::Manual(typed) => commands::help::manual(&typed, printer),
        Command::Settings(typed) => commands::settings::run(&typed, printer),
    }
}

fn is_broken_pipe(error: &anyhow::Error) -> bool {
    error
        .chain()
        .filter_map(|cause| cause.downcast_ref::<io::Error>())
        .any(|cause| cause.kind() == io::ErrorKind::BrokenPipe)
}
