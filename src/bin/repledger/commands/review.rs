//! `repledger review`: a recording in, an account out.

use anyhow::bail;
use jiff::tz::TimeZone;
use rayon::prelude::*;
use repledger::report::page::{self, Drawing};
use repledger::report::{json, terminal};
use repledger::review::Reached;
use repledger::session::Session;
use repledger::{figure, settings};

use super::batch::Batch;
use super::pictures;
use crate::args::{self, Input, Strict, Theme};
use crate::devices::{self, Devices};
use crate::exit_status::{ExitStatus, WrongUsage};
use crate::halt::Halt;
use crate::input::RECORDING;
use crate::output::{Folder, Output};
use crate::printer::Printer;

/// Runs the command.
pub fn run(typed: &args::Review, halt: &Halt, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let resolved = settings(typed)?;
    let plan = typed
        .plan
        .as_ref()
        .map(|file| super::plan::read(file, typed.dates, printer))
        .transpose()?;
    let ground = typed.pitches.ground(typed.pitch.as_deref())?;
    let diary = devices::diary(&typed.device, &typed.diary)?;
    let devices = Devices::of(&typed.device, diary.as_ref())?;
    let batch = Batch {
        typed,
        devices: &devices,
        ground: &ground,
        plan: plan.as_ref(),
        resolved: &resolved,
        halt,
    };
    if typed.ndjson {
        return batch.lines(printer);
    }
    let folders = |input: &Input| matches!(input, Input::File(path) if path.is_dir());
    let one = match typed.traces.as_slice() {
        _ if typed.join => None,
        [one] if !folders(one) => Some(one),
        several => return batch.files(several, printer),
    };
    let folder = match &typed.out {
        Some(path) => Some((path, Folder::open(path, typed.force)?)),
        None => None,
    };
    let session = match one {
        Some(one) => batch.session(&one.name(), one.read(RECORDING))?,
        None => batch.joined(&typed.traces)?,
    };
    if let Some((path, folder)) = folder {
        let outputs = outputs(&session, &resolved.list, typed.theme)?;
        pictures::write(folder, path, &outputs, printer)?;
    }
    if typed.json {
        printer.data(&json::render(&session)?)?;
    } else {
        printer.data(&terminal::render(&session))?;
    }
    Ok(status(&session, typed.strict))
}

/// The settings, with what the command line says about the reading.
fn settings(typed: &args::Review) -> anyhow::Result<settings::Resolved> {
    let of_traces =
        usize::from(typed.ndjson) + typed.traces.iter().filter(|t| **t == Input::Stdin).count();
    if of_traces > 0 && typed.plan == Some(Input::Stdin) {
        bail!(WrongUsage(
            "recording and plan cannot both be read from standard input; name a file for one of them".to_owned()
        ));
    }
    if of_traces > 1 {
        bail!(WrongUsage(
            "standard input can be read once only; name files for the others".to_owned()
        ));
    }
    let mut resolved = crate::settings::resolve(&typed.settings)?;
    let settings = &mut resolved.settings;
    if let Some(columns) = &typed.columns {
        settings.trace.columns = Some(columns.clone());
    }
    settings.zone = settings::Zone {
        asked: typed.zone.clone(),
        usual: TimeZone::try_system().ok(),
    };
    if let Some(dates) = typed.dates {
        settings.trace.dates = Some(dates.into());
    }
    Ok(resolved)
}

/// Account, JSON, page and pictures of a session.
pub(super) fn outputs(
    session: &Session,
    settings: &[settings::Setting],
    theme: Option<Theme>,
) -> anyhow::Result<Vec<Output>> {
    let pictures = figure::all(session)?;
    let narrow = figure::narrow(session)?;
    let drawings: Vec<Drawing<'_>> = pictures
        .iter()
        .map(|p| Drawing {
            name: p.name,
            svg: &p.svg,
            narrow: narrow
                .iter()
                .find(|n| n.name == p.name)
                .map(|n| n.svg.as_str()),
        })
        .collect();
    let account = anstream::adapter::strip_str(&terminal::render(session)).to_string();
    let mut outputs = vec![
        Output {
            name: "account.txt".to_owned(),
            bytes: account.into_bytes(),
        },
        Output {
            name: "review.json".to_owned(),
            bytes: json::render(session)?.into_bytes(),
        },
        Output {
            name: "report.html".to_owned(),
            bytes: page::render(session, &drawings, settings).into_bytes(),
        },
    ];
    outputs.extend(drawn(pictures, theme)?);
    Ok(outputs)
}

/// Each picture as SVG and as PNG.
fn drawn(pictures: Vec<figure::Picture>, theme: Option<Theme>) -> anyhow::Result<Vec<Output>> {
    let pairs: Vec<[Output; 2]> = pictures
        .into_par_iter()
        .map(|picture| pictures::both(picture.name, picture.svg, theme))
        .collect::<anyhow::Result<_>>()?;
    Ok(pairs.into_iter().flatten().collect())
}

/// With `--strict`, whether every planned rep was done, and at the speed asked for; what cannot be told was not seen to be done.
pub(super) fn status(session: &Session, strict: Option<Strict>) -> ExitStatus {
    let (Some(plan), Some(strict)) = (&session.review.plan, strict) else {
        return ExitStatus::Done;
    };
    let mut reps = plan
        .blocks
        .iter()
        .flat_map(|b| &b.sets)
        .flat_map(|s| &s.reps);
    let all_done = plan.counts.done >= plan.counts.planned;
    let mut at_speed = || reps.all(|rep| rep.reached.is_none_or(|r| r == Reached::Yes));
    if all_done && (strict == Strict::Reps || at_speed()) {
        ExitStatus::Done
    } else {
        ExitStatus::NotAllDone
    }
}
