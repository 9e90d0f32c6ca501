//! `repledger simulate`: how well a receiver could judge a plan.

use std::path::Path;
use std::sync::Mutex;

use anyhow::Context;
use repledger::plan::{Block, Plan};
use repledger::report;
use repledger::settings::Settings;
use repledger::simulation::outlook::{self, Study};
use repledger::simulation::{Kind, Simulated};

use crate::args;
use crate::exit_status::ExitStatus;
use crate::output;
use crate::plans;
use crate::printer::Printer;
use crate::settings;
use repledger::units::SpeedUnit;

/// Runs the command.
pub fn run(typed: &args::Simulate, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let settings = settings::resolve(&typed.settings)?.settings;
    let mut plan = plans::read(&typed.plan, None, printer)?;
    // What no recording shows is not simulated.
    plan.blocks.retain(Block::is_recorded);
    let study = Study {
        kinds: kinds(&typed.receiver),
        sessions: typed.sessions,
        seed: typed.seed,
    };
    let kept = match (&typed.trace, study.kinds.first()) {
        (Some(path), Some(&kind)) => {
            let simulated = outlook::example(&plan, kind, study.seed, &settings)
                .with_context(|| typed.plan.name())?;
            keep(&simulated, path, (typed.force, settings.speeds), printer)?;
            Some(simulated)
        }
        _ => None,
    };
    let outlook = judge(&plan, &study, &settings, printer).with_context(|| typed.plan.name())?;
    if typed.json {
        printer.data(&report::simulation::json::render(&outlook, kept.as_ref())?)?;
    } else {
        printer.data(&report::simulation::text::render(&outlook))?;
    }
    Ok(ExitStatus::Done)
}

/// Each receiver once, in the order typed; all of them where none was.
fn kinds(typed: &[args::Receiver]) -> Vec<Kind> {
    let mut kinds = Vec::new();
    for kind in typed.iter().map(|&r| Kind::from(r)) {
        if !kinds.contains(&kind) {
            kinds.push(kind);
        }
    }
    if kinds.is_empty() {
        Kind::ALL.to_vec()
    } else {
        kinds
    }
}

/// Writes the recording and says what truly happened in it.
fn keep(
    simulated: &Simulated,
    path: &Path,
    (force, speeds): (bool, SpeedUnit),
    printer: &mut Printer,
) -> anyhow::Result<()> {
    output::write_file(path, simulated.bytes(), force)?;
    printer.talk(format!(
        "wrote '{}', as {} would record it",
        path.display(),
        simulated.receiver.kind.description()
    ));
    for line in report::simulation::text::truth(simulated, speeds).lines() {
        printer.talk(line);
    }
    Ok(())
}

/// Runs the study and says how far it is.
fn judge(
    plan: &Plan,
    study: &Study,
    settings: &Settings,
    printer: &mut Printer,
) -> anyhow::Result<outlook::Outlook> {
    let of = study.kinds.len() * study.sessions as usize;
    printer.progress("simulated and reviewed", 0, of);
    let told = Mutex::new(&mut *printer);
    let outlook = outlook::outlook(plan, study, settings, &|done| {
        // Where a thread that held the printer broke, the others need not speak.
        if let Ok(mut printer) = told.lock() {
            printer.progress("simulated and reviewed", done, of);
        }
    });
    printer.progress_end();
    Ok(outlook?)
}
