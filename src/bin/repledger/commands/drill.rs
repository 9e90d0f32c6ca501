//! `repledger drill`: one drill over time, or over the squad.

use anyhow::bail;
use repledger::diary::Filter;
use repledger::figure;
use repledger::progress::{self, Drill};
use repledger::report;

use super::pictures::Wanted;
use crate::args;
use crate::exit_status::ExitStatus;
use crate::log;
use crate::printer::Printer;
use crate::settings;

/// Names that an error lists at most.
const LISTED: usize = 12;

/// Runs the command.
pub fn run(typed: &args::progress::Drill, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let wanted = Wanted::open(typed.out.as_ref(), &typed.drawn)?;
    let diary = typed.from.diary.open()?;
    let list = typed.name.is_none();
    // A list is of everybody unless one is named.
    let one = match (&typed.whose.athlete, list || typed.whose.all) {
        (None, true) => None,
        (named, _) => Some(log::chosen(diary.athletes()?, named.as_deref())?),
    };
    let drilled = diary.drilled(&Filter {
        athlete: one.as_deref(),
        from: typed.between.since,
        // Of a day that is looked from, none later is known.
        to: [typed.between.until, typed.from.today]
            .into_iter()
            .flatten()
            .min(),
    })?;
    let mut drills = progress::drills(&drilled);
    let speeds = settings::speeds(&typed.from.settings)?;
    for drill in &mut drills {
        drill.speeds = speeds;
    }
    if let Some(name) = &typed.name {
        if !drills.iter().any(|drill| drill.is_called(name)) {
            bail!("{}", unknown(name, &drills, one.as_deref()));
        }
        drills.retain(|drill| drill.is_called(name));
    }
    let json = report::drill::json::render(&drills)?;
    let text = if list {
        report::drill::text::list(&drills)
    } else {
        let each: Vec<String> = (drills.iter())
            .map(|drill| match &one {
                Some(athlete) => report::drill::text::over_time(drill, athlete),
                None => report::drill::text::squad(drill, &drill.standings()),
            })
            .collect();
        each.join("\n")
    };
    if let Some(wanted) = wanted {
        let mut pictures = Vec::new();
        for (at, drill) in drills.iter().enumerate() {
            let drawn = match &one {
                Some(athlete) => figure::drill_over_time(drill, athlete)?,
                None => figure::drill_of_squad(drill, &drill.standings())?,
            };
            // Of one name with several kinds of rep, the most done comes first.
            let name = match at {
                0 => "drill".to_owned(),
                at => format!("drill_{}", at + 1),
            };
            pictures.extend(drawn.map(|svg| (name, svg)));
        }
        wanted.write_accounts("drill", (&text, &json), pictures, printer)?;
    }
    printer.data(if typed.json { &json } else { &text })?;
    Ok(ExitStatus::Done)
}

/// What is said of a drill that is not there.
fn unknown(name: &str, drills: &[Drill], athlete: Option<&str>) -> String {
    let mut titles: Vec<String> = drills
        .iter()
        .map(|drill| format!("{:?}", drill.title()))
        .collect();
    titles.dedup();
    let of = athlete
        .filter(|a| !a.is_empty())
        .map(|a| format!(" of {a:?}"))
        .unwrap_or_default();
    if titles.is_empty() {
        return format!(
            "the diary holds no drill{of}: no recording in it was held against a plan with reps"
        );
    }
    let more = if titles.len() > LISTED { ", …" } else { "" };
    titles.truncate(LISTED);
    format!(
        "the diary holds no drill{of} called {name:?}; it knows {}{more}. `repledger drill --list` tells more",
        titles.join(", ")
    )
}
