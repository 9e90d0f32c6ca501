//! `repledger diary plan` and `match`: what lies ahead.

use anyhow::{Context, bail};
use repledger::diary::{Filter, MatchDay};
use repledger::report;

use crate::args::DiaryFrom;
use crate::args::diary::{Match, Plan};
use crate::exit_status::ExitStatus;
use crate::plans;
use crate::printer::Printer;

/// Puts a plan down, takes one out, or lists them.
pub fn plan(typed: &Plan, from: &DiaryFrom, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    if let Some(id) = typed.remove {
        from.open()?.remove_plan(id)?;
        printer.data(&format!("took plan {id} out\n"))?;
        return Ok(ExitStatus::Done);
    }
    let Some(file) = &typed.file else {
        printer.data(&report::diary::text::plans(
            &from.open()?.planned(&Filter::default())?,
        ))?;
        return Ok(ExitStatus::Done);
    };
    let (text, plan) = plans::kept(file, None)?;
    let header = &plan.header;
    let date = typed.date.or(header.date).with_context(|| {
        format!(
            "{}: the plan has no `date:`; say for which day it is with --date",
            file.name()
        )
    })?;
    let athlete = typed
        .athlete
        .as_deref()
        .or(header.athlete.as_deref())
        .unwrap_or_default();
    let mut diary = from.create()?;
    let id = diary.add_plan(athlete, date, header.title.as_deref(), &text)?;
    if let Some(match_day) = header.match_day {
        let athlete = (!athlete.trim().is_empty()).then(|| athlete.trim().to_owned());
        let one_day = Filter {
            athlete: athlete.as_deref(),
            from: Some(match_day),
            to: Some(match_day),
        };
        if diary.match_days(&one_day)?.is_empty() {
            diary.add_match(&MatchDay {
                date: match_day,
                athlete,
                label: None,
            })?;
            printer.talk(format!(
                "put the match day {match_day} down too, as the plan says"
            ));
        }
    }
    printer.data(&format!("put plan {id} down for {date}\n"))?;
    Ok(ExitStatus::Done)
}

/// Puts a match day down, takes one out, or lists them.
pub fn match_day(
    typed: &Match,
    from: &DiaryFrom,
    printer: &mut Printer,
) -> anyhow::Result<ExitStatus> {
    let athlete = typed.athlete.as_deref();
    let Some(date) = typed.date else {
        let filter = Filter {
            athlete,
            ..Filter::default()
        };
        printer.data(&report::diary::text::match_days(
            &from.open()?.match_days(&filter)?,
        ))?;
        return Ok(ExitStatus::Done);
    };
    if typed.remove {
        if !from.open()?.remove_match(date, athlete)? {
            bail!(
                "there is no match day {date} {}; `repledger diary match` lists them",
                athlete.map_or_else(|| "of everybody".to_owned(), |name| format!("of {name}"))
            );
        }
        printer.data(&format!("took the match day {date} out\n"))?;
        return Ok(ExitStatus::Done);
    }
    from.create()?.add_match(&MatchDay {
        date,
        athlete: typed.athlete.clone(),
        label: typed.against.clone(),
    })?;
    printer.data(&format!("put the match day {date} down\n"))?;
    Ok(ExitStatus::Done)
}
