//! `repledger weeks`: week by week.

use anyhow::{Context, bail};
use jiff::civil::Date;
use repledger::figure;
use repledger::progress::{self, IsoWeek, Quantity, Trend};
use repledger::report::{grid_json, grid_text, squad_text, weeks_json, weeks_text};

use super::pictures;
use crate::args::progress::Weeks;
use crate::exit_status::{ExitStatus, WrongUsage};
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
    let log = loaded.log();
    let (last, today) = span(typed, loaded.today)?;
    let trend = |athlete| progress::trend(&log, athlete, last, today);
    if typed.whose.all {
        let to = IsoWeek::of(today);
        let from = to
            .later(1 - i64::try_from(last)?)
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

/// How many weeks, up to that of which day.
fn span(typed: &Weeks, today: Date) -> anyhow::Result<(usize, Date)> {
    let until = typed.until.map_or(today, |until| until.min(today));
    let Some(since) = typed.since else {
        return Ok((usize::from(typed.last), until));
    };
    let weeks = match (IsoWeek::of(since).monday(), IsoWeek::of(until).monday()) {
        (Some(first), Some(last)) => (last - first).get_days() / 7 + 1,
        _ => 0,
    };
    match usize::try_from(weeks) {
        Ok(weeks @ 1..=MOST) => Ok((weeks, until)),
        Ok(0) | Err(_) => bail!(WrongUsage(format!("{since} lies after {until}"))),
        Ok(_) => bail!(WrongUsage(format!(
            "from {since} to {until} are more than {MOST} weeks; take a later day for --since"
        ))),
    }
}

/// Most weeks, as with --last.
const MOST: usize = 520;
