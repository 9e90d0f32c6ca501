//! `repledger plan`: shows a plan before going out.

use repledger::plan::timetable::Assumptions;
use repledger::plan::{self, Mistake, Plan};
use repledger::report::{plan_card, plan_json, plan_text};
use repledger::settings::Settings;

use crate::args::{self, Input};
use crate::exit_status::ExitStatus;
use crate::input::PLAN;
use crate::output;
use crate::printer::{Printer, Rendered};
use crate::settings;

/// Runs the command.
pub fn run(typed: &args::Plan, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let assumptions = assumptions(&settings::resolve(&typed.settings)?.settings);
    let text = text(&typed.file)?;
    let plan = parse(&typed.file, &text)?;
    if let Some(path) = &typed.card {
        if typed.file.is(path) {
            anyhow::bail!(
                "'{}' is the plan itself; name another file for the card",
                path.display()
            );
        }
        output::write_file(
            path,
            plan_card::render(&plan, &assumptions).into_bytes(),
            typed.force,
        )?;
        printer.talk(format!("wrote '{}'", path.display()));
    }
    if typed.tidy {
        printer.data(
            &plan::tidy(&text).map_err(|mistakes| rendered(&typed.file, &text, &mistakes))?,
        )?;
    } else if typed.json {
        printer.data(&plan_json::render(&plan, &assumptions)?)?;
    } else {
        printer.data(&plan_text::render(&plan, &assumptions))?;
    }
    Ok(ExitStatus::Done)
}

/// What is assumed of running, as far as the settings know it.
fn assumptions(settings: &Settings) -> Assumptions {
    let usual = Assumptions::default();
    Assumptions {
        top_speed_m_s: settings.review.top_speed_m_s.unwrap_or(usual.top_speed_m_s),
        high_speed_m_s: settings.efforts.bands.high_speed_m_s,
        ..usual
    }
}

/// Reads a plan.
pub fn read(file: &Input) -> anyhow::Result<Plan> {
    parse(file, &text(file)?)
}

pub fn text(file: &Input) -> anyhow::Result<String> {
    let bytes = file.read(PLAN)?;
    if let Some(other) = something_else(&bytes) {
        anyhow::bail!(
            "{}: this is {other}, not a plan; a plan is a text file, one block a line",
            file.name()
        );
    }
    Ok(plan::decode(&bytes).into_owned())
}

/// What a file is that was given as a plan by mistake, told by how it begins.
fn something_else(bytes: &[u8]) -> Option<&'static str> {
    let text = bytes.trim_ascii_start();
    match text.strip_prefix(b"\xef\xbb\xbf").unwrap_or(text) {
        [b'<', ..] => Some("a GPX recording or a web page"),
        [b'P', b'K', 3, 4, ..] => Some("a packed document, such as a word processor writes"),
        [0x1f, 0x8b, ..] => Some("a compressed file"),
        [b'{' | b'[', ..] => Some("JSON"),
        _ => None,
    }
}

pub fn parse(file: &Input, text: &str) -> anyhow::Result<Plan> {
    Ok(plan::parse(text).map_err(|mistakes| rendered(file, text, &mistakes))?)
}

/// All mistakes of the file in one go.
fn rendered(file: &Input, text: &str, mistakes: &[Mistake]) -> Rendered {
    Rendered(plan::mistake::render(&file.name(), text, mistakes, true))
}
