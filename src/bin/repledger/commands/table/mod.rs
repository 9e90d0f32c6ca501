//! `repledger table`: recordings or a diary in, rows out.

mod read;

use std::path::Path;

use anyhow::{Context, bail};
use repledger::report::table::xlsx::SettingLine;
use repledger::report::table::{Of, Table, csv, json, xlsx};

use crate::args::table as args;
use crate::exit_status::{ExitStatus, WrongUsage};
use crate::files;
use crate::halt::Halt;
use crate::output;
use crate::printer::Printer;

/// How rows are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Format {
    Csv,
    Xlsx,
    Json,
    Ndjson,
}

/// Runs the command. What can be read is written, and what cannot is told at the end.
pub fn run(typed: &args::Table, halt: &Halt, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let format = format(typed.to.as_deref())?;
    let ofs = ofs(typed, format)?;
    let traces = files::named(&typed.traces)?;
    let read = match &typed.diary {
        Some(path) => read::of_diary(path.as_deref(), typed, &ofs)?,
        None => read::of_traces(typed, &traces, halt, printer)?,
    };
    if let Some(signal) = halt.asked() {
        printer.talk(format!(
            "stopped: {} of {} recordings read, nothing was written",
            read.items.len() + read.errors.len(),
            traces.len()
        ));
        return Ok(ExitStatus::Stopped(signal));
    }
    for error in &read.errors {
        printer.error(error);
    }
    if !read.errors.is_empty() && read.items.is_empty() {
        return Ok(ExitStatus::CouldNot);
    }
    let undated = read.items.iter().filter(|item| item.date.is_none()).count();
    if ofs.contains(&Of::Weeks) && undated > 0 {
        printer.talk(format!(
            "in no week, since the day is not known: {undated} of {} sessions",
            read.items.len()
        ));
    }
    let tables: Vec<Table> = ofs.iter().map(|of| Table::of(*of, &read.items)).collect();
    let bytes = render(&tables, format, typed, &read.settings)?;
    match &typed.to {
        Some(path) => {
            output::write_file(path, bytes, typed.force)?;
            let counts: Vec<String> = tables
                .iter()
                .map(|t| format!("{} {}", t.rows.len(), t.of.word()))
                .collect();
            printer.talk(format!("wrote '{}': {}", path.display(), counts.join(", ")));
        }
        None => printer.data(&String::from_utf8(bytes)?)?,
    }
    if read.errors.is_empty() {
        return Ok(ExitStatus::Done);
    }
    if let Some(came) = read.came {
        came.name_failed("left out", printer);
    }
    Ok(ExitStatus::CouldNot)
}

/// As the ending of the name says.
fn format(to: Option<&Path>) -> anyhow::Result<Format> {
    let Some(path) = to else {
        return Ok(Format::Csv);
    };
    let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("csv") => Ok(Format::Csv),
        Some("xlsx") => Ok(Format::Xlsx),
        Some("json") => Ok(Format::Json),
        Some("ndjson" | "jsonl") => Ok(Format::Ndjson),
        _ => bail!(WrongUsage(format!(
            "the ending of '{}' does not say how to write it; use .csv, .xlsx, .json or .ndjson",
            path.display()
        ))),
    }
}

/// Which tables: one, or for a workbook any.
fn ofs(typed: &args::Table, format: Format) -> anyhow::Result<Vec<Of>> {
    if typed.locale == args::Locale::Comma && format != Format::Csv {
        bail!(WrongUsage(
            "--locale is for CSV; the other formats have one way to write numbers".to_owned()
        ));
    }
    let mut ofs: Vec<Of> = Vec::new();
    for of in typed.of.iter().map(|of| Of::from(*of)) {
        if !ofs.contains(&of) {
            ofs.push(of);
        }
    }
    match (format, ofs.len()) {
        (Format::Xlsx, 0) => Ok(Of::ALL.to_vec()),
        (Format::Xlsx, _) | (_, 1) => Ok(ofs),
        (_, 0) => bail!(WrongUsage(
            "say what a row is about: --of sessions, efforts, reps, rests, bands or weeks"
                .to_owned()
        )),
        _ => bail!(WrongUsage(
            "only a workbook (--to FILE.xlsx) holds several tables; name one with --of".to_owned()
        )),
    }
}

fn render(
    tables: &[Table],
    format: Format,
    typed: &args::Table,
    settings: &[SettingLine],
) -> anyhow::Result<Vec<u8>> {
    if format == Format::Xlsx {
        return Ok(xlsx::render(tables, settings)?);
    }
    let table = tables.first().context("there is no table to write")?;
    let text = match format {
        Format::Json => json::render(table)?,
        Format::Ndjson => json::render_lines(table)?,
        Format::Csv | Format::Xlsx => csv::render(table, typed.locale.into()),
    };
    Ok(text.into_bytes())
}
