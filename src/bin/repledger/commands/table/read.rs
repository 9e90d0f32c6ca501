//! What a table is made of: recordings that are reviewed, or what the diary keeps of them.

use std::path::Path;

use anyhow::{Context, anyhow, bail};
use repledger::diary::Filter;
use repledger::report::table::xlsx::SettingLine;
use repledger::report::table::{Item, Of};
use repledger::session;
use repledger::settings::Resolved;

use super::Days;
use crate::args::DiaryFrom;
use crate::args::Input;
use crate::args::table as args;
use crate::columns::Columns;
use crate::exit_status::WrongUsage;
use crate::files;
use crate::halt::Halt;
use crate::input::{self, RECORDING};
use crate::many::{Came, Many};
use crate::plans;
use crate::printer::Printer;

/// What was read, and what could not be.
#[derive(Default)]
pub struct Read {
    pub items: Vec<Item>,
    pub settings: Vec<SettingLine>,
    /// Why some could not be.
    pub errors: Vec<anyhow::Error>,
    /// What came of recordings.
    pub came: Option<Came>,
}

/// Reviews the recordings, several at a time, and keeps their order.
pub fn of_traces(
    typed: &args::Table,
    traces: &[Input],
    halt: &Halt,
    printer: &mut Printer,
) -> anyhow::Result<Read> {
    input::once(traces.iter().chain(&typed.plan))?;
    let resolved = crate::settings::resolve(&typed.settings)?;
    let mut settings = resolved.settings.clone();
    typed.reading.settle(&mut settings.trace)?;
    let plan = typed
        .plan
        .as_ref()
        .map(|file| plans::read(file, typed.reading.dates, printer))
        .transpose()?;
    if traces.len() > 1 {
        printer.detail(format!("reviewing {} recordings", traces.len()));
    }
    let many = Many {
        done: "read",
        things: traces,
        name: Input::name,
        shown: false,
        halt,
    };
    let columns = Columns::of(&typed.reading);
    let mut items = Vec::new();
    let mut errors = Vec::new();
    let came = many.in_parallel(
        |_, trace| {
            let name = trace.name();
            let beside = match plan {
                None => files::plan_beside(trace, &typed.traces),
                Some(_) => None,
            };
            let own = beside
                .map(|file| plans::kept(&file, typed.reading.dates))
                .transpose()?;
            let plan = plan.as_ref().or(own.as_ref().map(|(_, plan)| plan));
            let session = session::analyse(&trace.read(RECORDING)?, plan, &settings);
            let session = session.with_context(|| name.clone())?;
            columns.note(name.clone(), &session.format);
            Ok(Item::of_session(&name, &session))
        },
        |_, _, item| item,
        |_, item, _| {
            match item {
                Ok(item) => items.push(item),
                Err(error) => errors.push(error),
            }
            Ok(())
        },
        printer,
    )?;
    if let Some(unused) = columns.unused() {
        printer.talk(unused);
    }
    Ok(Read {
        items,
        settings: in_force(&resolved),
        errors,
        came: Some(came),
    })
}

/// Takes out of the diary what it keeps; each recording stands as it was reviewed, with the settings of then.
pub fn of_diary(
    path: Option<&Path>,
    typed: &args::Table,
    ofs: &[Of],
    days: &Days,
) -> anyhow::Result<Read> {
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
    let Days { since, until } = days.widened(ofs.contains(&Of::Weeks));
    let filter = Filter {
        athlete: typed.athlete.as_deref(),
        from: since,
        to: until,
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
