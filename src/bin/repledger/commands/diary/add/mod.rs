//! `repledger diary add`: recordings in, entries out.
//!
//! Recordings are read and reviewed in parallel and added in the order they were named. What one of them is held against may hang
//! on those before it: a plan of the day is done once. So where an earlier one that is still under work may be of the same day,
//! and there is a plan for it, a recording is reviewed in its turn.

mod adding;
mod day;
mod days;
mod prepare;
mod store;

use std::sync::Mutex;
use std::sync::atomic::AtomicBool;

use repledger::diary::Diary;

use self::adding::Adding;
use self::days::Days;
use crate::args::diary::Add;
use crate::args::{DiaryFrom, Input};
use crate::columns::Columns;
use crate::exit_status::ExitStatus;
use crate::files;
use crate::halt::Halt;
use crate::input;
use crate::joined;
use crate::known::Known;
use crate::many::Many;
use crate::plans;
use crate::printer::Printer;
use crate::recording;

/// Runs the command. What can be added is, and what cannot is told at the end.
pub fn run(
    typed: &Add,
    from: &DiaryFrom,
    halt: &Halt,
    printer: &mut Printer,
) -> anyhow::Result<ExitStatus> {
    input::once(typed.traces.iter().chain(&typed.plan))?;
    let resolved = crate::settings::resolve(&typed.settings)?;
    let changed = recording::changed(&resolved);
    let mut settings = resolved.settings;
    typed.reading.settle(&mut settings.trace)?;
    let plan = match &typed.plan {
        Some(file) => Some(plans::kept(file, typed.reading.dates)?),
        None => None,
    };
    let named = files::named(&typed.traces)?;
    if let Some(inner) = files::not_looked_at(&typed.traces) {
        printer.talk(inner);
    }
    let files: Vec<Vec<Input>> = if typed.join {
        joined::within_bounds(&named)?;
        vec![named]
    } else {
        named.into_iter().map(|file| vec![file]).collect()
    };
    let to_make = !from.is_there()?;
    let diary = Mutex::new(if to_make {
        Diary::in_memory()?
    } else {
        from.create()?
    });
    let adding = Adding {
        typed,
        settings,
        changed,
        plan,
        diary: &diary,
        known: Known::of(&typed.device, Some(&diary))?,
        from,
        to_make: AtomicBool::new(to_make),
    };
    let columns = Columns::of(&typed.reading);
    let days = Days::of(files.len());
    let many = Many {
        done: "added",
        things: &files,
        name: |files| joined::name(files),
        shown: true,
        halt,
    };
    let came = many.in_parallel(
        |place, files| adding.prepare(place, files, &days, &columns),
        |place, files, prepared| {
            let added = prepared.and_then(|prepared| adding.store(&joined::name(files), prepared));
            days.end(place);
            added
        },
        |_, added, printer| match added {
            Ok(told) => {
                for word in told.words {
                    printer.talk(word);
                }
                printer.data(&told.line)
            }
            Err(error) => {
                printer.error(&error);
                Ok(())
            }
        },
        printer,
    )?;
    if let Some(unused) = columns.unused() {
        printer.talk(unused);
    }
    if files.len() > 1 {
        came.name_failed("not added", printer);
    }
    Ok(came.status(printer))
}
