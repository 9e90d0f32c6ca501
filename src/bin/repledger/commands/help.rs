//! `repledger schema`, `completions` and `manual`: what helps to use repledger from programs and shells.

use anyhow::Context;
use clap::CommandFactory;
use repledger::report::{self, table};
use repledger::settings;

use crate::args::Typed;
use crate::args::help::{Completions, Document, Manual, Schema};
use crate::exit_status::ExitStatus;
use crate::output::{Folder, Output};
use crate::printer::Printer;

/// The name of the program, as it is typed.
const NAME: &str = "repledger";

/// Runs `schema`.
pub fn schema(typed: &Schema, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let text = match typed.what {
        Document::Review => report::review::json::schema()?,
        Document::Plan => report::plan::json::schema()?,
        Document::Simulation => report::simulation::json::schema()?,
        Document::Comparison => report::comparison::json::schema()?,
        Document::Grid => report::grid::json::schema()?,
        Document::Drills => report::drill::json::schema()?,
        Document::Week => report::week::json::schema()?,
        Document::Weeks => report::weeks::json::schema()?,
        Document::Best => report::best::json::schema()?,
        Document::Diary => report::diary::json::list_schema()?,
        Document::Entry => report::diary::json::entry_schema()?,
        Document::Table => table::json::schema()?,
        Document::Settings => settings::schema()?,
    };
    printer.data(&text)?;
    Ok(ExitStatus::Done)
}

/// Runs `completions`.
pub fn completions(typed: &Completions, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let mut script = Vec::new();
    clap_complete::generate(typed.shell, &mut Typed::command(), NAME, &mut script);
    printer.data(&String::from_utf8(script)?)?;
    Ok(ExitStatus::Done)
}

/// Runs `manual`.
pub fn manual(typed: &Manual, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let mut command = Typed::command();
    command.build();
    let Some(path) = &typed.out else {
        printer.data(&page(&command)?)?;
        return Ok(ExitStatus::Done);
    };
    let mut pages = Vec::new();
    write_pages(&command, NAME, &mut pages)?;
    Folder::open(path, typed.force)?.write(&pages)?;
    printer.talk(format!(
        "wrote {} pages into '{}'",
        pages.len(),
        path.display()
    ));
    Ok(ExitStatus::Done)
}

/// A page of the command and one of each below it.
fn write_pages(command: &clap::Command, name: &str, pages: &mut Vec<Output>) -> anyhow::Result<()> {
    pages.push(Output {
        name: format!("{name}.1"),
        bytes: page(command)?.into_bytes(),
    });
    for below in command.get_subcommands().filter(|c| !c.is_hide_set()) {
        write_pages(below, &format!("{name}-{}", below.get_name()), pages)?;
    }
    Ok(())
}

fn page(command: &clap::Command) -> anyhow::Result<String> {
    let mut text = Vec::new();
    clap_mangen::Man::new(command.clone())
        .render(&mut text)
        .context("the manual could not be made")?;
    Ok(String::from_utf8(text)?)
}
