//! `repledger diary note`, `plan`, `match`, `edit` and `remove`: what is written by hand.

use std::fmt::Write as _;

use anyhow::{Context, bail};
use repledger::diary::{self, Change, Diary, Entry, Filter, MatchDay, NewEntry};
use repledger::report::diary_text;

use crate::args::DiaryFrom;
use crate::args::diary::{Activity, Athlete, Edit, Match, Note, Plan, Remove};
use crate::clock::today;
use crate::exit_status::{ExitStatus, WrongUsage};
use crate::joined;
use crate::printer::Printer;

const MINUTE_S: f64 = 60.0;

/// Writes down what has no recording.
pub fn note(typed: &Note, from: &DiaryFrom, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let minutes = match typed.minutes {
        Some(minutes) => minutes,
        None if typed.activity == Activity::Rest => 0.0,
        None => bail!(WrongUsage(
            "say how long it lasted, as in --minutes 90".to_owned()
        )),
    };
    let about = &typed.about;
    let athlete = about.athlete.as_deref().unwrap_or_default();
    let date = about.date.unwrap_or_else(today);
    let mut entry = NewEntry::note(athlete, date, typed.activity.into(), minutes * MINUTE_S);
    entry.rpe = about.rpe;
    entry.title.clone_from(&about.title);
    entry.note.clone_from(&about.note);
    let mut diary = from.create()?;
    let added = diary.add(&entry)?;
    said("added", added.id, &diary, printer)
}

/// Puts a plan down, takes one out, or lists them.
pub fn plan(typed: &Plan, from: &DiaryFrom, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    if let Some(id) = typed.remove {
        from.open()?.remove_plan(id)?;
        printer.data(&format!("took plan {id} out\n"))?;
        return Ok(ExitStatus::Done);
    }
    let Some(file) = &typed.file else {
        printer.data(&diary_text::plans(
            &from.open()?.planned(&Filter::default())?,
        ))?;
        return Ok(ExitStatus::Done);
    };
    let (text, plan) = crate::commands::plan::kept(file, None)?;
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
        printer.data(&diary_text::match_days(&from.open()?.match_days(&filter)?))?;
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

/// Changes an entry.
pub fn edit(typed: &Edit, from: &DiaryFrom, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let about = &typed.about;
    let change = Change {
        athlete: about.athlete.clone(),
        date: about.date,
        activity: typed.activity.map(Into::into),
        title: about.title.clone(),
        rpe: about.rpe,
        duration_s: typed.minutes.map(|minutes| minutes * MINUTE_S),
        note: about.note.clone(),
    };
    if change == Change::default() {
        bail!(WrongUsage("say what to change, as in --rpe 8".to_owned()));
    }
    let mut diary = from.open()?;
    diary.edit(typed.id, &change)?;
    said("changed", typed.id, &diary, printer)
}

/// Takes an entry out, and says how it comes back.
pub fn remove(
    typed: &Remove,
    from: &DiaryFrom,
    printer: &mut Printer,
) -> anyhow::Result<ExitStatus> {
    let mut diary = from.open()?;
    let entry = diary.entry(typed.id)?;
    let recording = diary.recording(typed.id)?;
    if !typed.yes && diary.trace(typed.id)?.is_some() {
        bail!(
            "entry {} holds the recording itself, which may be the only copy; nothing was removed. Take it out with --yes",
            typed.id
        );
    }
    diary.remove(typed.id)?;
    printer.data(&format!(
        "removed {}: {}\n",
        typed.id,
        diary_text::in_brief(&entry)
    ))?;
    let again = match recording {
        Some(recording) => match recording.source.path {
            Some(path) => {
                let paths: Vec<String> = joined::paths(&path).into_iter().map(quoted).collect();
                let join = if paths.len() > 1 { "--join " } else { "" };
                format!(
                    "repledger diary add {join}{}{}",
                    paths.join(" "),
                    typed_again(&entry)
                )
            }
            None => return Ok(ExitStatus::Done),
        },
        None => format!(
            "repledger diary note {} --minutes {}{}{}",
            entry.activity.word(),
            entry.duration_s / MINUTE_S,
            entry
                .title
                .as_deref()
                .map(|t| format!(" --title {}", quoted(t)))
                .unwrap_or_default(),
            typed_again(&entry)
        ),
    };
    printer.talk(format!("to have it back: {again}"));
    Ok(ExitStatus::Done)
}

/// The options that say the same of a session again.
fn typed_again(entry: &Entry) -> String {
    let mut out = format!(" --date {}", entry.date);
    if !entry.athlete.is_empty() {
        let _ = write!(out, " --athlete {}", quoted(&entry.athlete));
    }
    if let Some(rpe) = entry.rpe {
        let _ = write!(out, " --rpe {rpe}");
    }
    if let Some(note) = &entry.note {
        let _ = write!(out, " --note {}", quoted(note));
    }
    if entry.recorded.is_some() && entry.activity != diary::Activity::Training {
        let _ = write!(out, " --activity {}", entry.activity.word());
    }
    out
}

/// As a shell takes it for one word.
fn quoted(text: &str) -> String {
    format!(
        "'{}'",
        text.replace(char::is_control, " ").replace('\'', r"'\''")
    )
}

fn said(done: &str, id: i64, diary: &Diary, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let entry = diary.entry(id)?;
    printer.data(&format!("{done} {id}: {}\n", diary_text::in_brief(&entry)))?;
    Ok(ExitStatus::Done)
}

/// Writes down what is known of an athlete's heart, or lists it.
pub fn athlete(
    typed: &Athlete,
    from: &DiaryFrom,
    printer: &mut Printer,
) -> anyhow::Result<ExitStatus> {
    let (Some(name), Some(max_bpm)) = (&typed.name, typed.heart_max) else {
        printer.data(&diary_text::hearts(&from.open()?.hearts()?))?;
        return Ok(ExitStatus::Done);
    };
    let load = typed.load.into();
    if load != diary::HeartLoad::Edwards && typed.heart_rest.is_none() {
        bail!(WrongUsage(
            "Banister's load needs the heart rate at rest; say it with --heart-rest BPM".to_owned()
        ));
    }
    let mut diary = from.create()?;
    let numbers = diary::HeartNumbers {
        max_bpm,
        rest_bpm: typed.heart_rest,
        load,
    };
    diary.set_heart(name, &numbers)?;
    let mut all = diary.hearts()?;
    all.retain(|heart| heart.athlete == name.trim());
    printer.data(&diary_text::hearts(&all))?;
    Ok(ExitStatus::Done)
}
