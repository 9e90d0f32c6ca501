//! `repledger plan`: shows a plan before going out.

mod edit;

use std::path::Path;

use anyhow::Context;
use repledger::limits::CUES_S;
use repledger::plan::timetable::{Assumptions, clock_text};
use repledger::plan::{self, Mistake, Plan, ReadAs, Reading, cues};
use repledger::report::{plan_card, plan_json, plan_text};
use repledger::settings::Settings;

use crate::args::{self, Dates, Input};
use crate::clock;
use crate::exit_status::{ExitStatus, WrongUsage};
use crate::input::PLAN;
use crate::output;
use crate::printer::{Printer, Rendered};
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
    let reading = reading(typed.dates);
    if typed.edit {
        edit::until_right(file, typed.edited, reading, printer)?;
    }
    let text = text(file)?;
    let (plan, read_as) = parse(file, &text, reading)?;
    if let Some(path) = &typed.card {
        let page = plan_card::render(&plan, &assumptions).into_bytes();
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
                .map_err(|mistakes| rendered(file, &text, &mistakes))?,
        )?;
    } else if typed.json {
        printer.data(&plan_json::render(&plan, &assumptions, &read_as)?)?;
    } else {
        printer.data(&plan_text::render(&plan, &assumptions, &read_as))?;
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

/// What is known beside the text of a plan.
pub fn reading(dates: Option<Dates>) -> Reading {
    Reading {
        day_first: dates.map(|order| order == Dates::Dmy),
        today: Some(clock::today()),
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

/// Reads a plan, and says where `repledger plan` shows how lines were read that are not in the notation.
pub fn read(file: &Input, dates: Option<Dates>, printer: &mut Printer) -> anyhow::Result<Plan> {
    let (plan, read_as) = parse(file, &text(file)?, reading(dates))?;
    let lines = match read_as.len() {
        0 => return Ok(plan),
        1 => "1 line is".to_owned(),
        n => format!("{n} lines are"),
    };
    printer.talk(format!(
        "{}: {lines} read as they can be meant; `repledger plan` shows how",
        file.name()
    ));
    Ok(plan)
}

/// A plan with the text that says the same on any day: its own, or its tidy form where a date is written so that it takes
/// today to read it, or a line so that a later reader may take it otherwise.
pub fn kept(file: &Input, dates: Option<Dates>) -> anyhow::Result<(String, Plan)> {
    let text = text(file)?;
    let reading = reading(dates);
    let (plan, read_as) = parse(file, &text, reading)?;
    if read_as.is_empty() && plan::parse(&text).as_ref() == Ok(&plan) {
        return Ok((text, plan));
    }
    let tidy =
        plan::tidy_with(&text, reading).map_err(|mistakes| rendered(file, &text, &mistakes))?;
    Ok((tidy, plan))
}

fn text(file: &Input) -> anyhow::Result<String> {
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
        [0x89, b'P', b'N', b'G', ..]
        | [0xff, 0xd8, 0xff, ..]
        | [b'G', b'I', b'F', b'8', ..]
        | [
            b'R',
            b'I',
            b'F',
            b'F',
            _,
            _,
            _,
            _,
            b'W',
            b'E',
            b'B',
            b'P',
            ..,
        ]
        | [_, _, _, _, b'f', b't', b'y', b'p', ..] => Some("a picture or a film"),
        [b'R', b'I', b'F', b'F', ..] | [b'f', b'L', b'a', b'C', ..] => Some("a sound"),
        [b'%', b'P', b'D', b'F', ..] => Some("a PDF document"),
        [b'S', b'Q', b'L', b'i', b't', b'e', ..] => Some("a database, such as a diary"),
        _ if is_table(bytes) => Some("a table, such as a recording in CSV"),
        _ => None,
    }
}

/// Whether the first lines are cells of as many columns, most of them numbers.
fn is_table(bytes: &[u8]) -> bool {
    let head = bytes.get(..bytes.len().min(4096)).unwrap_or_default();
    let text = String::from_utf8_lossy(head);
    // The first line names the columns, and the last may be cut off.
    let mut rows: Vec<&str> = text
        .lines()
        .filter(|line| !line.trim().is_empty())
        .collect();
    if rows.len() > 2 && bytes.len() > head.len() {
        rows.pop();
    }
    let Some((_, rows)) = rows.split_first() else {
        return false;
    };
    [',', ';', '\t'].into_iter().any(|sign| {
        let cells: Vec<Vec<&str>> = rows.iter().map(|row| row.split(sign).collect()).collect();
        let columns = cells.first().map_or(0, Vec::len);
        let all: Vec<&&str> = cells.iter().flatten().collect();
        let numbers = all
            .iter()
            .filter(|cell| cell.trim().parse::<f64>().is_ok())
            .count();
        columns > 2 && cells.iter().all(|row| row.len() == columns) && numbers * 2 > all.len()
    })
}

fn parse(file: &Input, text: &str, reading: Reading) -> anyhow::Result<(Plan, Vec<ReadAs>)> {
    Ok(plan::read_with(text, reading).map_err(|mistakes| rendered(file, text, &mistakes))?)
}

/// All mistakes of the file in one go.
fn rendered(file: &Input, text: &str, mistakes: &[Mistake]) -> Rendered {
    Rendered(plan::mistake::render(&file.name(), text, mistakes, true))
}
