//! `repledger table`: recordings or a diary in, rows out.

use std::path::Path;

use anyhow::{Context, anyhow, bail};
use repledger::diary::Filter;
use repledger::report::table::xlsx::SettingLine;
use repledger::report::table::{Item, Of, Table, csv, json, xlsx};
use repledger::session;
use repledger::settings::Resolved;

use crate::args::DiaryFrom;
use crate::args::Input;
use crate::args::table as args;
use crate::exit_status::{ExitStatus, WrongUsage};
use crate::files;
use crate::halt::Halt;
use crate::input::RECORDING;
use crate::output;
use crate::pipeline::in_order;
use crate::printer::Printer;

/// How rows are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Format {
    Csv,
    Xlsx,
    Json,
    Ndjson,
}

/// What was read, and what could not be.
#[derive(Default)]
struct Read {
    items: Vec<Item>,
    settings: Vec<SettingLine>,
    failed: Vec<(String, anyhow::Error)>,
}

/// Runs the command. What can be read is written, and what cannot is told at the end.
pub fn run(typed: &args::Table, halt: &Halt, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let format = format(typed.to.as_deref())?;
    let ofs = ofs(typed, format)?;
    let traces = files::named(&typed.traces)?;
    let read = match &typed.diary {
        Some(path) => of_diary(path.as_deref(), typed, &ofs)?,
        None => of_traces(typed, &traces, halt, printer)?,
    };
    if let Some(signal) = halt.asked() {
        printer.talk(format!(
            "stopped: {} of {} recordings read, nothing was written",
            read.items.len() + read.failed.len(),
            traces.len()
        ));
        return Ok(ExitStatus::Stopped(signal));
    }
    for (_, error) in &read.failed {
        printer.error(error);
    }
    if !read.failed.is_empty() && read.items.is_empty() {
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
    if read.failed.is_empty() {
        return Ok(ExitStatus::Done);
    }
    let names: Vec<&str> = read.failed.iter().map(|(name, _)| name.as_str()).collect();
    printer.talk(format!(
        "left out, {} of {}: {}",
        names.len(),
        traces.len(),
        names.join(", ")
    ));
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

/// Reviews the recordings, several at a time, and keeps their order.
fn of_traces(
    typed: &args::Table,
    traces: &[Input],
    halt: &Halt,
    printer: &mut Printer,
) -> anyhow::Result<Read> {
    let from_stdin = traces
        .iter()
        .chain(&typed.plan)
        .filter(|i| **i == Input::Stdin)
        .count();
    if from_stdin > 1 {
        bail!(WrongUsage(
            "standard input can be read once only; name files for the others".to_owned()
        ));
    }
    let resolved = crate::settings::resolve(&typed.settings)?;
    let mut settings = resolved.settings.clone();
    if let Some(columns) = &typed.columns {
        settings.trace.columns = Some(columns.clone());
    }
    if let Some(dates) = typed.dates {
        settings.trace.dates = Some(dates.into());
    }
    let plan = typed
        .plan
        .as_ref()
        .map(|file| super::plan::read(file, typed.dates, printer))
        .transpose()?;
    if traces.len() > 1 {
        printer.detail(format!("reviewing {} recordings", traces.len()));
    }
    let mut read = Read {
        settings: in_force(&resolved),
        ..Read::default()
    };
    in_order(
        traces.iter(),
        halt,
        |trace| {
            let name = trace.name();
            let item = trace.read(RECORDING).and_then(|bytes| {
                let session = session::analyse(&bytes, plan.as_ref(), &settings);
                let session = session.with_context(|| name.clone())?;
                Ok(Item::of_session(&name, &session))
            });
            item.map_err(|error| (name, error))
        },
        |outcome| {
            match outcome {
                Ok(item) => read.items.push(item),
                Err(failed) => read.failed.push(failed),
            }
            Ok(())
        },
    )?;
    Ok(read)
}

/// Takes out of the diary what it keeps; each recording stands as it was reviewed, with the settings of then.
fn of_diary(path: Option<&Path>, typed: &args::Table, ofs: &[Of]) -> anyhow::Result<Read> {
    if typed.settings.settings.is_some() || !typed.settings.set.is_empty() {
        bail!(WrongUsage(
            "the rows of the diary stand as they were reviewed; `repledger diary refresh` reviews anew with other settings"
                .to_owned()
        ));
    }
    let from = DiaryFrom {
        diary: path.map(Path::to_owned),
    };
    let diary = from.open()?;
    let filter = Filter {
        athlete: typed.athlete.as_deref(),
        from: typed.since,
        to: typed.until,
    };
    // A squad's efforts are gigabytes.
    let in_sum = ofs
        .iter()
        .all(|of| matches!(of, Of::Sessions | Of::Bands | Of::Weeks));
    // Each entry stands with the settings of its review: the defaults, but for what is told of it below.
    let mut read = Read {
        settings: in_force(&repledger::settings::resolve(None, &[])?),
        ..Read::default()
    };
    for entry in diary.entries(&filter)? {
        let recording = match entry.recorded {
            Some(_) if in_sum => diary.recording_in_sum(entry.id)?,
            Some(_) => diary.recording(entry.id)?,
            None => None,
        };
        if let Some(recording) = &recording {
            let changed = recording
                .settings
                .lines()
                .filter(|line| !line.trim().is_empty());
            read.settings.extend(changed.map(|line| {
                let (name, value) = line.split_once('=').unwrap_or((line, ""));
                SettingLine {
                    name: name.trim().to_owned(),
                    value: value.trim().to_owned(),
                    meaning: format!(
                        "differs from its default in entry {} of the diary",
                        entry.id
                    ),
                }
            }));
        }
        read.items.push(Item::of_entry(entry, recording));
    }
    if read.items.is_empty() {
        return Err(anyhow!(
            "the diary holds no such session; `repledger diary list` shows what it holds"
        ));
    }
    Ok(read)
}

fn in_force(resolved: &Resolved) -> Vec<SettingLine> {
    let line = |setting: &repledger::settings::Setting| SettingLine {
        name: setting.key.name.to_owned(),
        value: setting.key.text(&setting.value),
        meaning: setting.key.about.to_owned(),
    };
    resolved.list.iter().map(line).collect()
}
