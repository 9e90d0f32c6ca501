//! `repledger week`: the week around the match on one screen.

use repledger::progress::{self, IsoWeek};
use repledger::report;

use crate::args::progress::Week;
use crate::exit_status::ExitStatus;
use crate::log;
use crate::printer::Printer;

/// Runs the command.
pub fn run(typed: &Week, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let loaded = log::load(&typed.from, &typed.whose)?;
    let (log, today) = (loaded.log(), loaded.today);
    let week = typed.date.map_or_else(|| IsoWeek::of(today), |of| of.0);
    loaded.tell_twice(week, week, printer);
    loaded.tell_empty(week, week, printer);
    let of = |athlete| progress::week(&log, athlete, week, today);
    if typed.whose.all {
        let rows = progress::squad(&log, (week, week), today, typed.sort.into());
        if typed.json {
            let weeks: Vec<_> = rows.iter().map(|row| of(row.athlete)).collect();
            printer.data(&report::week::json::render(&weeks)?)?;
        } else {
            printer.data(&report::squad::text::render(&rows, (week, week), today))?;
        }
        return Ok(ExitStatus::Done);
    }
    for athlete in &loaded.athletes {
        let week = of(athlete);
        if typed.json {
            printer.data(&report::week::json::render(&[week])?)?;
        } else {
            printer.data(&report::week::text::render(&week, typed.monotony))?;
        }
    }
    Ok(ExitStatus::Done)
}
