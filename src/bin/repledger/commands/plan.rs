//! `repledger plan`: shows a plan before going out.

mod edit;

use std::path::Path;

use anyhow::Context;
use repledger::limits::CUES_S;
use repledger::plan::timetable::{Assumptions, clock_text};
use repledger::plan::{self, cues};
use repledger::report;
use repledger::settings::Settings;

use crate::args::{self, Input};
use crate::exit_status::{ExitStatus, WrongUsage};
use crate::output;
use crate::plans;
use crate::printer::Printer;
use crate::settings;

/// Runs the command.
pub fn run(typed: &args::Plan, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    if typed.new {
        return edit::begin(typed.file.as_ref(), printer);
    }
    let Some(file) = &typed.file else {
        anyhow::bail!(WrongUsage(
            "name a plan, or --new for one to start from".to_owned()
        ));
    };
    let assumptions = assumptions(&settings::resolve(&typed.settings)?.settings);
    let reading = plans::reading(typed.dates);
    if typed.edit {
        edit::until_right(file, typed.edited, reading, printer)?;
    }
    let text = plans::text(file)?;
    let (plan, read_as) = plans::parse(file, &text, reading)?;
    if let Some(path) = &typed.card {
        let page = report::plan::card::render(&plan, &assumptions).into_bytes();
        beside(file, path, "card", page, typed.force, printer)?;
    }
    if let Some(path) = &typed.cues {
        let track = cues::track(&plan, &assumptions, typed.lead);
        let sound = sound(path, &track).with_context(|| file.name())?;
        beside(file, path, "sound track", sound, typed.force, printer)?;
        let words = match track.starts.len() {
            1 => "1 start".to_owned(),
            n => format!("{n} starts"),
        };
        let length = clock_text(track.total_s);
        printer.talk(format!(
            "{words} in {length}; with `paced: cues` in the plan the review knows that it was played"
        ));
    }
    if typed.tidy {
        printer.data(
            &plan::tidy_with(&text, reading)
                .map_err(|mistakes| plans::rendered(file, &text, &mistakes))?,
        )?;
    } else if typed.json {
        printer.data(&report::plan::json::render(&plan, &assumptions, &read_as)?)?;
    } else {
        printer.data(&report::plan::text::render(&plan, &assumptions, &read_as))?;
    }
    Ok(ExitStatus::Done)
}

/// Writes a file that is made of the plan, and never over the plan.
fn beside(
    plan: &Input,
    path: &Path,
    what: &str,
    bytes: Vec<u8>,
    force: bool,
    printer: &mut Printer,
) -> anyhow::Result<()> {
    if plan.is(path) {
        anyhow::bail!(
            "'{}' is the plan itself; name another file for the {what}",
            path.display()
        );
    }
    output::write_file(path, bytes, force)?;
    printer.talk(format!("wrote '{}'", path.display()));
    Ok(())
}

/// The sound track in the format that the name of its file asks for.
fn sound(path: &Path, track: &cues::Track) -> anyhow::Result<Vec<u8>> {
    if track.total_s > CUES_S {
        anyhow::bail!(
            "its sound track would take {}, more than the {} that are written; split the plan",
            clock_text(track.total_s),
            clock_text(CUES_S)
        );
    }
    let extension = path
        .extension()
        .and_then(|e| e.to_str())
        .unwrap_or_default();
    match extension.to_ascii_lowercase().as_str() {
        "wav" => Ok(cues::wav(track)),
        "flac" => Ok(cues::flac(track)),
        _ => anyhow::bail!("'{}': a sound track is a .wav or a .flac", path.display()),
    }
}

/// What is assumed of running, as far as the settings know it.
fn assumptions(settings: &Settings) -> Assumptions {
    let usual = Assumptions::default();
    Assumptions {
        top_speed_m_s: settings.review.top_speed_m_s.unwrap_or(usual.top_speed_m_s),
        high_speed_m_s: settings.efforts.bands.high_speed_m_s,
        speeds: settings.speeds,
        ..usual
    }
}
