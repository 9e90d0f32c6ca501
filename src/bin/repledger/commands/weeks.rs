//! `repledger weeks`: week by week.

use anyhow::Context;
use repledger::figure;
use repledger::progress::{self, IsoWeek, Trend};
use repledger::report::{squad_text, weeks_json, weeks_text};

use super::pictures;
use crate::args::progress::Weeks;
use crate::exit_status::ExitStatus;
use crate::log;
use crate::output::{Folder, Output};
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
    let of = |athlete| progress::trend(&log, athlete, last, today);
    if typed.whose.all {
        let to = IsoWeek::of(today);
        let from = to
            .later(1 - i64::from(typed.last))
            .context("the weeks begin before the calendar does; ask for fewer with --last")?;
        let rows = progress::squad(&log, (from, to), today, typed.sort.into());
        if typed.json {
            let trends: Vec<_> = rows.iter().map(|row| of(row.athlete)).collect();
            printer.data(&weeks_json::render(&trends, today)?)?;
        } else {
            printer.data(&squad_text::render(&rows, (from, to), today))?;
        }
        return Ok(ExitStatus::Done);
    }
    let trends: Vec<Trend<'_>> = loaded.athletes.iter().map(|athlete| of(athlete)).collect();
    let json = weeks_json::render(&trends, today)?;
    let text: String = trends.iter().map(weeks_text::render).collect();
    if let Some((path, folder)) = folder {
        let mut outputs = vec![
            Output {
                name: "weeks.txt".to_owned(),
                bytes: text.clone().into_bytes(),
            },
            Output {
                name: "weeks.json".to_owned(),
                bytes: json.clone().into_bytes(),
            },
        ];
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
