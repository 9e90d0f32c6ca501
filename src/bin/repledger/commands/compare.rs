//! `repledger compare`: sessions beside each other.

use std::path::Path;

use anyhow::{Context, bail};
use rayon::prelude::*;
use repledger::comparison::{Comparison, Side, compare};
use repledger::diary::Diary;
use repledger::figure::{self, Named, Picture};
use repledger::limits::COMPARED;
use repledger::plan::Plan;
use repledger::report;
use repledger::session::{self, Session};
use repledger::settings::Settings;

use super::pictures::{self, Wanted};
use crate::args::{self, Input};
use crate::columns::Columns;
use crate::exit_status::{ExitStatus, WrongUsage};
use crate::input::RECORDING;
use crate::output::Output;
use crate::plans;
use crate::printer::Printer;

/// Runs the command.
pub fn run(typed: &args::Compare, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let settings = settings(typed)?;
    let plans = plans(typed, printer)?;
    let ground = typed.pitches.ground(None)?;
    let wanted = Wanted::open(typed.out.as_ref(), &typed.drawn)?;
    let entries = typed.traces.iter().any(|t| entry_number(t).is_some());
    let diary = entries.then(|| typed.diary.open()).transpose()?;
    let sessions = typed
        .traces
        .par_iter()
        .zip(&plans)
        .map(|(trace, plan)| {
            if entry_number(trace).is_some() {
                return Ok(None);
            }
            let bytes = trace.read(RECORDING)?;
            session::analyse_on(&bytes, plan.as_ref(), &settings, &ground)
                .with_context(|| trace.name())
                .map(Some)
        })
        .collect::<anyhow::Result<Vec<Option<Session>>>>()?;
    let sides = typed
        .traces
        .iter()
        .zip(&sessions)
        .map(|(trace, session)| match session {
            Some(session) => Ok(Side::of(trace.name(), session)),
            None => kept(trace, diary.as_ref()),
        })
        .collect::<anyhow::Result<Vec<Side>>>()?;
    let columns = Columns::of(&typed.reading);
    for (trace, session) in typed.traces.iter().zip(&sessions) {
        if let Some(session) = session {
            columns.note(trace.name(), &session.format);
        }
    }
    if let Some(unused) = columns.unused() {
        printer.talk(unused);
    }
    let mut comparison = compare(sides);
    comparison.speeds = settings.speeds;
    let drawn = match wanted {
        Some(_) => draw(&sessions, &mut comparison)?,
        None => Vec::new(),
    };
    let json = report::comparison::json::render(&comparison)?;
    let text = report::comparison::text::render(&comparison);
    if let Some(wanted) = wanted {
        let account = anstream::adapter::strip_str(&text).to_string();
        let mut outputs = vec![
            Output::text("comparison.txt", account),
            Output::text("comparison.json", json.as_str()),
        ];
        outputs.extend(pictures::all(drawn, typed.drawn.theme)?);
        wanted.write(&outputs, printer)?;
    }
    printer.data(if typed.json { &json } else { &text })?;
    Ok(ExitStatus::Done)
}

/// The number of an entry of the diary: `diary:12`.
fn entry_number(input: &Input) -> Option<i64> {
    let Input::File(path) = input else {
        return None;
    };
    path.to_str()?.strip_prefix("diary:")?.parse().ok()
}

/// An entry of the diary.
fn kept(input: &Input, diary: Option<&Diary>) -> anyhow::Result<Side> {
    let name = input.name();
    let (Some(id), Some(diary)) = (entry_number(input), diary) else {
        bail!("{name} is no entry of the diary");
    };
    let entry = diary.entry(id).with_context(|| name.clone())?;
    Side::of_entry(name.clone(), &entry)
        .with_context(|| format!("{name}: nothing was recorded in it"))
}

fn settings(typed: &args::Compare) -> anyhow::Result<Settings> {
    if typed.traces.len() > COMPARED {
        bail!(WrongUsage(format!(
            "{} recordings were named; at most {COMPARED} are held beside each other",
            typed.traces.len()
        )));
    }
    let stdin = typed
        .traces
        .iter()
        .chain(&typed.plans)
        .filter(|input| **input == Input::Stdin)
        .count();
    if stdin > 1 {
        bail!(WrongUsage(
            "only one recording or plan can be read from standard input; name files for the others"
                .to_owned()
        ));
    }
    let mut settings = crate::settings::resolve(&typed.settings)?.settings;
    typed.reading.settle(&mut settings.trace)?;
    Ok(settings)
}

/// The plan of each recording.
fn plans(typed: &args::Compare, printer: &mut Printer) -> anyhow::Result<Vec<Option<Plan>>> {
    let none = Input::File("none".into());
    let mut read = |input: &Input| {
        if *input == none {
            Ok(None)
        } else {
            plans::read(input, typed.reading.dates, printer).map(Some)
        }
    };
    let recordings = typed.traces.len();
    match typed.plans.as_slice() {
        [] => Ok(vec![None; recordings]),
        [one] => Ok(vec![read(one)?; recordings]),
        several if several.len() == recordings => several.iter().map(read).collect(),
        several => bail!(WrongUsage(format!(
            "{} plans for {recordings} recordings; give --plan once for all, or once a recording in their order (`none` for one \
             without)",
            several.len()
        ))),
    }
}

/// The pictures; why there are none of a kind goes to the notes.
fn draw(sessions: &[Option<Session>], comparison: &mut Comparison) -> anyhow::Result<Vec<Picture>> {
    let Some(sessions) = sessions
        .iter()
        .map(Option::as_ref)
        .collect::<Option<Vec<_>>>()
    else {
        comparison.notes.push(
            "No pictures: of an entry of the diary the sums are known and not where and how he moved."
                .to_owned(),
        );
        return Ok(Vec::new());
    };
    let named: Vec<Named<'_>> = comparison
        .sides
        .iter()
        .zip(sessions)
        .map(|(side, session)| Named {
            // A picture has no room for folders.
            name: (Path::new(&side.name).file_name())
                .and_then(|name| name.to_str())
                .unwrap_or(&side.name),
            session,
        })
        .collect();
    let (pictures, notes) = figure::compared(&named, comparison)?;
    comparison.notes.extend(notes);
    Ok(pictures)
}
