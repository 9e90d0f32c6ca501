//! `repledger table`: recordings or a diary in, rows out.

mod read;

use std::path::Path;

use anyhow::{Context, bail};
use jiff::civil::Date;
use repledger::progress::IsoWeek;
use repledger::report::table::xlsx::SettingLine;
use repledger::report::table::{Item, Of, Table, csv, json, xlsx};

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
    if let Some(inner) = files::not_looked_at(&typed.traces) {
        printer.talk(inner);
    }
    let days = Days::of(typed);
    let mut read = match &typed.diary {
        Some(path) => read::of_diary(path.as_deref(), typed, &ofs, &days)?,
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
    let before = read.items.len();
    days.keep(&mut read.items, ofs.contains(&Of::Weeks));
    if typed.diary.is_none() && read.items.len() < before {
        printer.talk(format!(
            "left out, since --since and --until ask for other days: {} of {before}",
            read.items.len().abs_diff(before)
        ));
    }
    let undated = read.items.iter().filter(|item| item.date.is_none()).count();
    if ofs.contains(&Of::Weeks) && undated > 0 {
        printer.talk(format!(
            "in no week, since the day is not known: {undated} of {} sessions",
            read.items.len()
        ));
    }
    // A row of a week is a whole week, as `weeks` has it; all other rows are of the days that were named.
    let weeks = ofs
        .contains(&Of::Weeks)
        .then(|| Table::of(Of::Weeks, &read.items));
    days.keep(&mut read.items, false);
    let tables: Vec<Table> = ofs
        .iter()
        .map(|of| match (&weeks, of) {
            (Some(weeks), Of::Weeks) => weeks.clone(),
            _ => Table::of(*of, &read.items),
        })
        .collect();
    let bytes = render(&tables, format, typed, &read.settings)?;
    match &typed.to {
        Some(path) => {
            output::write_file(path, bytes, typed.force)?;
            let counts: Vec<String> = tables
                .iter()
                .map(|t| match t.rows.len() {
                    1 => format!("1 {}", t.of.word().trim_end_matches('s')),
                    n => format!("{n} {}", t.of.word()),
                })
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

/// The days that were asked for.
struct Days {
    since: Option<Date>,
    until: Option<Date>,
}

impl Days {
    fn of(typed: &args::Table) -> Self {
        Self {
            since: typed.since,
            until: typed.until,
        }
    }

    /// The same days, up to whole weeks where rows of weeks are made of them.
    fn widened(&self, to_weeks: bool) -> Self {
        if !to_weeks {
            return Self { ..*self };
        }
        let end = |day: Date| IsoWeek::of(day).days().last().copied().unwrap_or(day);
        Self {
            since: self
                .since
                .map(|day| IsoWeek::of(day).monday().unwrap_or(day)),
            until: self.until.map(end),
        }
    }

    /// Leaves the sessions of other days out, and where days were named also those whose day is not known.
    fn keep(&self, items: &mut Vec<Item>, to_weeks: bool) {
        let Self { since, until } = self.widened(to_weeks);
        let any = since.is_none() && until.is_none();
        items.retain(|item| match item.date {
            Some(day) => since.is_none_or(|s| s <= day) && until.is_none_or(|u| day <= u),
            None => any,
        });
    }
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
