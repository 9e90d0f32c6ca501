//! `repledger weeks`: week by week.

use anyhow::Context;
use repledger::figure;
use repledger::progress::{self, IsoWeek, Quantity, Trend};
use repledger::report::{grid_json, grid_text, squad_text, weeks_json, weeks_text};

use super::pictures;
use crate::args::progress::Weeks;
use crate::exit_status::ExitStatus;
use crate::log;
use crate::output::Folder;
use crate::printer::Printer;

/// Runs the command.
pub fn run(typed: &Weeks, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let folder = match &typed.out {
        Some(path) => Some((path, Folder::open(path, typed.force)?)),
        None => None,
    };
    let loaded = log::load(&typed.from, &typed.whose)?;
    let (log, today) = (loaded.log(), loaded.today);
    let last = usize::from(typed.last);
    let trend = |athlete| progress::trend(&log, athlete, last, today);
    if typed.whose.all {
        let to = IsoWeek::of(today);
        let from = to
            .later(1 - i64::from(typed.last))
            .context("the weeks begin before the calendar does; ask for fewer with --last")?;
        let rows = progress::squad(&log, (from, to), today, typed.sort.into());
        let of = typed.of.map_or(Quantity::Minutes, Into::into);
        let grid = progress::grid(&rows, (from, to), to, of);
        let text = format!(
            "{}\n{}",
            grid_text::render(&grid, today),
            squad_text::render(&rows, (from, to), today)
        );
        // Without a quantity the document holds all that is known of every week.
        let json = if typed.of.is_some() {
            grid_json::render(&grid, today)?
        } else {
            let trends: Vec<_> = rows.iter().map(|row| trend(row.athlete)).collect();
            weeks_json::render(&trends, today)?
        };
        if let Some((path, folder)) = folder {
            let mut outputs = pictures::accounts("squad", &text, &json);
            if let Some(svg) = figure::grid(&grid)? {
                outputs.extend(pictures::both("squad", svg, typed.theme)?);
            }
            pictures::write(folder, path, &outputs, printer)?;
        }
        printer.data(if typed.json { &json } else { &text })?;
        return Ok(ExitStatus::Done);
    }
    let trends: Vec<Trend<'_>> = loaded
        .athletes
        .iter()
        .map(|athlete| trend(athlete))
        .collect();
    let json = weeks_json::render(&trends, today)?;
    let text: String = trends.iter().map(weeks_text::render).collect();
    if let Some((path, folder)) = folder {
        let mut outputs = pictures::accounts("weeks", &text, &json);
        for trend in &trends {
            if let Some(svg) = figure::weeks(trend)? {
                outputs.extend(pictures::both("weeks", svg, typed.theme)?);
            }
        }
        pictures::write(folder, path, &outputs, printer)?;
    }
    printer.data(if typed.json { &json } else { &text })?;
    Ok(ExitStatus::Done)
}
