//! `repledger diary remove`: takes an entry out, and says how it comes back.

use std::fmt::Write as _;

use anyhow::bail;
use repledger::diary::{self, Entry};
use repledger::report;

use crate::args::DiaryFrom;
use crate::args::diary::Remove;
use crate::exit_status::ExitStatus;
use crate::joined;
use crate::printer::Printer;

/// Runs the command.
pub fn run(typed: &Remove, from: &DiaryFrom, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
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
        report::diary::text::in_brief(&entry)
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
            entry.duration_s / 60.0,
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
