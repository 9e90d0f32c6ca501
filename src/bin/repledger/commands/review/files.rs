//! `repledger review` of many recordings: in parallel, told in their order, and none stops the rest.
//!
//! As many recordings as there are threads are in memory at once, and of each only its line is kept until it is told.

use std::ffi::OsStr;
use std::path::Path;

use repledger::report;

use super::outputs;
use super::places::places;
use super::reviewer::Reviewer;
use crate::args::Input;
use crate::columns::Columns;
use crate::exit_status::ExitStatus;
use crate::files;
use crate::many::Many;
use crate::output::Folder;
use crate::printer::{Printer, chain};

/// Reviews the files that are named and those inside folders.
pub fn review(
    reviewer: &Reviewer<'_>,
    named: &[Input],
    printer: &mut Printer,
) -> anyhow::Result<ExitStatus> {
    let typed = reviewer.typed;
    let files = files::named(named)?;
    if let Some(inner) = files::not_looked_at(named) {
        printer.talk(inner);
    }
    let places = places(&files, typed.hide_place);
    // Nothing stands on standard output before there is something to tell.
    let mut head = (!typed.json).then(report::review::summary::head);
    let mut all_done = true;
    let columns = Columns::of(&typed.reading);
    let many = Many {
        done: "reviewed",
        things: &files,
        name: Input::name,
        shown: true,
        halt: reviewer.halt,
    };
    let came = many.in_parallel(
        |k, file| one(reviewer, file, named, places.get(k), &columns),
        |_, _, reviewed| reviewed,
        |file, reviewed, printer| match reviewed {
            Ok((line, status)) => {
                all_done &= status != ExitStatus::NotAllDone;
                if let Some(head) = head.take() {
                    printer.data(&head)?;
                }
                printer.data(&line)
            }
            Err(error) => {
                printer.error(&error);
                if typed.json {
                    printer.data(&report::review::json::error_line(
                        &file.name(),
                        &chain(&error),
                    )?)?;
                }
                Ok(())
            }
        },
        printer,
    )?;
    if let Some(unused) = columns.unused() {
        printer.talk(unused);
    }
    came.name_failed("not reviewed", printer);
    Ok(match came.status(printer) {
        ExitStatus::Done if !all_done => ExitStatus::NotAllDone,
        status => status,
    })
}

/// Reviews a file, and writes its folder where one is wanted: its line, and how it alone would end.
fn one(
    reviewer: &Reviewer<'_>,
    file: &Input,
    named: &[Input],
    place: Option<&String>,
    columns: &Columns,
) -> anyhow::Result<(String, ExitStatus)> {
    let typed = reviewer.typed;
    let name = file.name();
    let session = reviewer.session_in_folder(file, named)?;
    columns.note(name.clone(), &session.format);
    if let (Some(out), Some(place)) = (&typed.out, place) {
        let outputs = outputs::all(&session, &reviewer.resolved.list, typed.drawn.theme)?;
        Folder::open(&out.join(place), typed.drawn.force)?.write(&outputs)?;
    }
    let line = if typed.json {
        report::review::json::line(&name, &session)?
    } else {
        report::review::summary::line(&shown(&name), &session)
    };
    Ok((line, outputs::status(&session, typed.strict)))
}

/// The name without its folders, which a summary has no room for.
fn shown(name: &str) -> String {
    Path::new(name)
        .file_name()
        .and_then(OsStr::to_str)
        .unwrap_or(name)
        .to_owned()
}
