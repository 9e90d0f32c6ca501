//! `repledger weeks`: week by week.

use anyhow::{Context, bail};
use jiff::civil::Date;
use repledger::figure::{self, Sheet};
use repledger::progress::{self, IsoWeek, Quantity, Trend};
use repledger::report;

use super::pictures::Wanted;
use crate::args::progress::Weeks;
use crate::exit_status::{ExitStatus, WrongUsage};
use crate::log;
use crate::printer::Printer;

/// Runs the command.
pub fn run(typed: &Weeks, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let wanted = Wanted::open(typed.out.as_ref(), &typed.drawn)?;
    let loaded = log::load(&typed.from, &typed.whose)?;
    let log = loaded.log();
    let (last, today) = span(typed, loaded.today)?;
    let to = IsoWeek::of(today);
    if let Some(from) = to.later(1 - i64::try_from(last)?) {
        loaded.tell_twice(from, to, printer);
        loaded.tell_empty(from, to, printer);
    }
    let trend = |athlete| progress::trend(&log, athlete, last, today);
    if typed.whose.all {
        let from = to
            .later(1 - i64::try_from(last)?)
            .context("the weeks begin before the calendar does; ask for fewer with --last")?;
        let rows = progress::squad(&log, (from, to), today, typed.sort.into());
        let of = typed.of.map_or(Quantity::Minutes, Into::into);
        let grid = progress::grid(&rows, (from, to), to, of);
        let text = format!(
            "{}\n{}",
            report::grid::text::render(&grid, today),
            report::squad::text::render(&rows, (from, to), today)
        );
        // Without a quantity the document holds all that is known of every week.
        let json = if typed.of.is_some() {
            report::grid::json::render(&grid, today)?
        } else {
            let trends: Vec<_> = rows.iter().map(|row| trend(row.athlete)).collect();
            report::weeks::json::render(&trends, today)?
        };
        if let Some(wanted) = wanted {
            let picture = figure::grid(&grid, Sheet::WIDE)?.map(|svg| ("squad".to_owned(), svg));
            wanted.write_accounts("squad", (&text, &json), picture, printer)?;
        }
        printer.data(if typed.json { &json } else { &text })?;
        return Ok(ExitStatus::Done);
    }
    let trends: Vec<Trend<'_>> = loaded
        .athletes
        .iter()
        .map(|athlete| trend(athlete))
        .collect();
    let json = report::weeks::json::render(&trends, today)?;
    let text: String = trends.iter().map(report::weeks::text::render).collect();
    if let Some(wanted) = wanted {
        let drawn = trends.iter().map(|trend| figure::weeks(trend, Sheet::WIDE));
        let drawn = drawn.collect::<Result<Vec<_>, _>>()?;
        let pictures = drawn
            .into_iter()
            .flatten()
            .map(|svg| ("weeks".to_owned(), svg));
        wanted.write_accounts("weeks", (&text, &json), pictures, printer)?;
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
