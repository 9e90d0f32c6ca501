//! Reads the plans that a command line names.

use anyhow::bail;
use repledger::plan::{self, Mistake, Plan, ReadAs, Reading};

use crate::args::{Dates, Input};
use crate::clock;
use crate::input::PLAN;
use crate::no_plan;
use crate::printer::{Printer, Rendered};

/// What is known beside the text of a plan.
pub fn reading(dates: Option<Dates>) -> Reading {
    Reading {
        day_first: dates.map(|order| order == Dates::Dmy),
        today: Some(clock::today()),
    }
}

/// Reads a plan, and says where `repledger plan` shows how lines were read that are not in the notation.
pub fn read(file: &Input, dates: Option<Dates>, printer: &mut Printer) -> anyhow::Result<Plan> {
    let (plan, read_as) = parse(file, &text(file)?, reading(dates))?;
    let lines = match read_as.len() {
        0 => return Ok(plan),
        1 => "1 line is read as it can be meant".to_owned(),
        n => format!("{n} lines are read as they can be meant"),
    };
    printer.talk(format!(
        "{}: {lines}; `repledger plan` shows how",
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

/// The text of a file that is meant as a plan.
pub fn text(file: &Input) -> anyhow::Result<String> {
    let bytes = file.read(PLAN)?;
    if let Some(other) = no_plan::something_else(&bytes) {
        bail!(
            "{}: this is {other}, not a plan; a plan is a text file, one block a line",
            file.name()
        );
    }
    Ok(plan::decode(&bytes).into_owned())
}

/// The plan in a text, with the lines that were read as they can be meant.
pub fn parse(file: &Input, text: &str, reading: Reading) -> anyhow::Result<(Plan, Vec<ReadAs>)> {
    Ok(plan::read_with(text, reading).map_err(|mistakes| rendered(file, text, &mistakes))?)
}

/// All mistakes of the file in one go.
pub fn rendered(file: &Input, text: &str, mistakes: &[Mistake]) -> Rendered {
    Rendered(plan::mistake::render(&file.name(), text, mistakes, true))
}
