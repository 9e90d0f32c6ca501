//! `repledger diary note`, `edit` and `athlete`: what is written by hand.

use anyhow::bail;
use repledger::diary::{self, Change, Diary, NewEntry};
use repledger::report;

use crate::args::DiaryFrom;
use crate::args::diary::{Activity, Athlete, Edit, Note};
use crate::clock::today;
use crate::exit_status::{ExitStatus, WrongUsage};
use crate::log;
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
    let mut diary = from.create_for(|diary| {
        diary.add(&entry)?;
        Ok(())
    })?;
    let added = diary.add(&entry)?;
    if let Some(words) = log::spelt_otherwise(&diary.athletes()?, &entry.athlete) {
        printer.talk(words);
    }
    said("added", added.id, &diary, printer)
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

fn said(done: &str, id: i64, diary: &Diary, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let entry = diary.entry(id)?;
    printer.data(&format!(
        "{done} {id}: {}\n",
        report::diary::text::in_brief(&entry)
    ))?;
    Ok(ExitStatus::Done)
}

/// Writes down what is known of an athlete's heart, or lists it.
pub fn athlete(
    typed: &Athlete,
    from: &DiaryFrom,
    printer: &mut Printer,
) -> anyhow::Result<ExitStatus> {
    let (Some(name), Some(max_bpm)) = (&typed.name, typed.heart_max) else {
        printer.data(&report::diary::text::hearts(&from.open()?.hearts()?))?;
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
    printer.data(&report::diary::text::hearts(&all))?;
    Ok(ExitStatus::Done)
}
