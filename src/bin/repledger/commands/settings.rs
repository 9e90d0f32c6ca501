//! `repledger settings`: prints the settings in force, as a file that can be passed back.

use crate::args;
use crate::exit_status::ExitStatus;
use crate::printer::Printer;
use crate::settings;

/// Runs the command.
pub fn run(typed: &args::Settings, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let resolved = settings::resolve(&typed.settings)?;
    printer.data(&repledger::settings::render(&resolved))?;
    Ok(ExitStatus::Done)
}
