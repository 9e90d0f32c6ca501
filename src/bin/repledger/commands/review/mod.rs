//! `repledger review`: a recording in, an account out.

mod files;
mod lines;
mod outputs;
mod places;
mod reviewer;

use anyhow::bail;
use jiff::tz::TimeZone;
use repledger::report::{self, terminal};
use repledger::settings;

use self::reviewer::Reviewer;
use super::pictures::Wanted;
use crate::args::{self, Input};
use crate::columns::Columns;
use crate::exit_status::{ExitStatus, WrongUsage};
use crate::halt::Halt;
use crate::input;
use crate::known::{self, Known};
use crate::plans;
use crate::printer::Printer;

/// Runs the command.
pub fn run(typed: &args::Review, halt: &Halt, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let resolved = settings(typed)?;
    let plan = typed
        .plan
        .as_ref()
        .map(|file| plans::read(file, typed.reading.dates, printer))
        .transpose()?;
    let ground = typed.pitches.ground(typed.pitch.as_deref())?;
    let diary = known::diary(&typed.device, typed.athlete.as_deref(), &typed.diary)?;
    let known = Known::of(&typed.device, diary.as_ref())?;
    let reviewer = Reviewer {
        typed,
        known: &known,
        ground: &ground,
        plan: plan.as_ref(),
        resolved: &resolved,
        halt,
    };
    if typed.ndjson {
        return lines::review(&reviewer, printer);
    }
    let folders = |input: &Input| matches!(input, Input::File(path) if path.is_dir());
    let one = match typed.traces.as_slice() {
        _ if typed.join => None,
        [one] if !folders(one) => Some(one),
        several => return files::review(&reviewer, several, printer),
    };
    let wanted = Wanted::open(typed.out.as_ref(), &typed.drawn)?;
    let session = match one {
        Some(one) => reviewer.session(one)?,
        None => reviewer.joined(&typed.traces)?,
    };
    let columns = Columns::of(&typed.reading);
    if let Some(one) = one {
        columns.note(one.name(), &session.format);
    }
    if let Some(unused) = columns.unused() {
        printer.talk(unused);
    }
    if let Some(wanted) = wanted {
        let outputs = outputs::all(&session, &resolved.list, typed.drawn.theme)?;
        wanted.write(&outputs, printer)?;
    }
    if typed.json {
        printer.data(&report::review::json::render(&session)?)?;
    } else {
        printer.data(&terminal::render(&session))?;
    }
    Ok(outputs::status(&session, typed.strict))
}

/// The settings, with what the command line says about the reading.
fn settings(typed: &args::Review) -> anyhow::Result<settings::Resolved> {
    if (typed.ndjson || typed.traces.contains(&Input::Stdin)) && typed.plan == Some(Input::Stdin) {
        bail!(WrongUsage(
            "recording and plan cannot both be read from standard input; name a file for one of them".to_owned()
        ));
    }
    input::once(typed.traces.iter())?;
    let mut resolved = crate::settings::resolve(&typed.settings)?;
    let settings = &mut resolved.settings;
    typed.reading.settle(&mut settings.trace)?;
    settings.zone = settings::Zone {
        asked: typed.zone.clone(),
        usual: TimeZone::try_system().ok(),
    };
    Ok(resolved)
}
