//! `repledger review` of many recordings: in parallel, told in their order, and none stops the rest.
//!
//! As many recordings as there are threads are in memory at once, and of each only its line is kept until it is told.

use std::collections::HashSet;
use std::ffi::OsStr;
use std::io::{self, BufRead, Read};
use std::path::Path;

use anyhow::{Context, anyhow, bail};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use rayon::prelude::*;
use repledger::pitch::Ground;
use repledger::plan::Plan;
use repledger::report::{json, summary};
use repledger::session::{self, Session};
use repledger::settings::Resolved;

use super::review;
use crate::args::{self, Input};
use crate::exit_status::ExitStatus;
use crate::files;
use crate::output::Folder;
use crate::printer::{Printer, chain};
use crate::progress::Progress;

/// Most bytes of a line of names or base64: a recording of 512 MB in base64, and its name.
const LINE: u64 = (512 << 20) / 3 * 4 + (1 << 20);

/// What is the same for all recordings.
pub struct Batch<'a> {
    /// What was typed.
    pub typed: &'a args::Review,
    /// What is known of the ground.
    pub ground: &'a Ground,
    /// The plan to hold against them.
    pub plan: Option<&'a Plan>,
    /// The settings.
    pub resolved: &'a Resolved,
}

/// What is told of one recording.
struct Told {
    name: String,
    line: anyhow::Result<String>,
    status: ExitStatus,
}

impl Batch<'_> {
    /// Reviews the files that are named and those inside folders.
    pub fn files(&self, named: &[Input], printer: &mut Printer) -> anyhow::Result<ExitStatus> {
        let files = files::named(named)?;
        let places = places(&files);
        // Nothing stands on standard output before there is something to tell.
        let mut head = (!self.typed.json).then(summary::head);
        let mut progress = Progress::new("reviewed", files.len(), printer);
        let mut failed = Vec::new();
        let mut all_done = true;
        let work: Vec<(&Input, String)> = files.iter().zip(places).collect();
        for chunk in work.chunks(rayon::current_num_threads().max(1)) {
            let told: Vec<Told> = chunk
                .par_iter()
                .map(|(file, place)| self.file(file, place))
                .collect();
            for told in told {
                progress.step(&told.name, printer);
                all_done &= told.status != ExitStatus::NotAllDone;
                progress.aside(|| {
                    if let (Ok(_), Some(head)) = (&told.line, head.take()) {
                        printer.data(&head)?;
                    }
                    self.tell(&told, &mut failed, printer)
                })?;
            }
        }
        progress.end();
        if !failed.is_empty() {
            printer.talk(format!(
                "not reviewed, {} of {}: {}",
                failed.len(),
                files.len(),
                failed.join(", ")
            ));
            return Ok(ExitStatus::CouldNot);
        }
        Ok(if all_done {
            ExitStatus::Done
        } else {
            ExitStatus::NotAllDone
        })
    }

    /// Says what became of a file.
    fn tell(
        &self,
        told: &Told,
        failed: &mut Vec<String>,
        printer: &mut Printer,
    ) -> anyhow::Result<()> {
        match &told.line {
            Ok(line) => printer.data(line),
            Err(error) => {
                failed.push(told.name.clone());
                printer.error(error);
                if self.typed.json {
                    printer.data(&json::error_line(&told.name, &chain(error))?)?;
                }
                Ok(())
            }
        }
    }

    /// Reviews a file, and writes its folder where one is wanted.
    fn file(&self, file: &Input, place: &str) -> Told {
        let name = file.name();
        let reviewed = review::analyse(file, self.plan, &self.resolved.settings, self.ground)
            .map(|session| review::hidden(session, self.typed))
            .and_then(|session| {
                if let Some(out) = &self.typed.out {
                    let outputs = review::outputs(&session, &self.resolved.list, self.typed.theme)?;
                    Folder::open(&out.join(place), self.typed.force)?.write(&outputs)?;
                }
                Ok(session)
            });
        self.told(name, reviewed, self.typed.json)
    }

    fn told(&self, name: String, reviewed: anyhow::Result<Session>, as_json: bool) -> Told {
        let (line, status) = match reviewed {
            Ok(session) => {
                let status = review::status(&session, self.typed.strict);
                let line = if as_json {
                    json::line(&name, &session).map_err(Into::into)
                } else {
                    Ok(summary::line(&shown(&name), &session))
                };
                (line, status)
            }
            Err(error) => (Err(error), ExitStatus::CouldNot),
        };
        Told { name, line, status }
    }

    /// Reviews what the lines of standard input name or hold; a line that cannot be reviewed is answered by one with its error.
    pub fn lines(&self, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
        let mut input = io::stdin().lock();
        let mut failed = 0_usize;
        let mut of = 0_usize;
        loop {
            let mut lines = Vec::new();
            while lines.len() < rayon::current_num_threads().max(1) {
                match next_line(&mut input).with_context(|| format!("line {}", of + 1))? {
                    Some(line) if line.is_empty() => of += 1,
                    Some(line) => {
                        of += 1;
                        lines.push((of, line));
                    }
                    None => break,
                }
            }
            if lines.is_empty() {
                break;
            }
            let told: Vec<Told> = lines
                .into_par_iter()
                .map(|(number, line)| self.line(number, line))
                .collect();
            for told in told {
                match told.line {
                    Ok(line) => printer.data(&line)?,
                    Err(error) => {
                        failed += 1;
                        printer.data(&json::error_line(&told.name, &chain(&error))?)?;
                    }
                }
            }
        }
        if failed == 0 {
            return Ok(ExitStatus::Done);
        }
        printer.talk(format!(
            "not reviewed: {failed}; their lines say why in `error`"
        ));
        Ok(ExitStatus::CouldNot)
    }

    /// Reviews what one line names or holds.
    fn line(&self, number: usize, line: Vec<u8>) -> Told {
        let Ok(text) = String::from_utf8(line) else {
            let error = anyhow!("line {number} is not UTF-8 text");
            return self.told(format!("line {number}"), Err(error), true);
        };
        let Some((name, content)) = text.split_once('\t') else {
            return self.file_of_line(text);
        };
        let reviewed = STANDARD
            .decode(content.trim_end())
            .map_err(|error| anyhow!("line {number}: what follows the tab is no base64: {error}"))
            .and_then(|bytes| {
                session::analyse_on(&bytes, self.plan, &self.resolved.settings, self.ground)
                    .with_context(|| name.to_owned())
            })
            .map(|session| review::hidden(session, self.typed));
        self.told(name.to_owned(), reviewed, true)
    }

    fn file_of_line(&self, name: String) -> Told {
        let file = Input::File(name.clone().into());
        let reviewed = review::analyse(&file, self.plan, &self.resolved.settings, self.ground)
            .map(|session| review::hidden(session, self.typed));
        self.told(name, reviewed, true)
    }
}

/// The next line without its end; `None` after the last.
fn next_line(input: &mut impl BufRead) -> anyhow::Result<Option<Vec<u8>>> {
    let mut line = Vec::new();
    input.take(LINE + 1).read_until(b'\n', &mut line)?;
    if line.is_empty() {
        return Ok(None);
    }
    if line.len() as u64 > LINE {
        bail!(
            "it is longer than {} MB, the most that is read of one",
            LINE >> 20
        );
    }
    while line.last().is_some_and(|b| matches!(b, b'\n' | b'\r')) {
        line.pop();
    }
    Ok(Some(line))
}

/// The name without its folders, which a summary has no room for.
fn shown(name: &str) -> String {
    Path::new(name)
        .file_name()
        .and_then(OsStr::to_str)
        .unwrap_or(name)
        .to_owned()
}

/// The folder of each recording: its name without endings, told apart by numbers where several have one.
fn places(files: &[Input]) -> Vec<String> {
    let mut taken = HashSet::new();
    files
        .iter()
        .map(|file| {
            let stem = match file {
                Input::Stdin => "standard-input".to_owned(),
                Input::File(path) => stem(path),
            };
            let numbered = (2..).map(|n| format!("{stem}-{n}"));
            std::iter::once(stem.clone())
                .chain(numbered)
                // Some file systems hold A and a for one name.
                .find(|place| taken.insert(place.to_lowercase()))
                .unwrap_or(stem)
        })
        .collect()
}

fn stem(path: &Path) -> String {
    let packed = path
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("gz"));
    let path = if packed {
        path.with_extension("")
    } else {
        path.to_owned()
    };
    path.file_stem().map_or_else(
        || "recording".to_owned(),
        |s| s.to_string_lossy().into_owned(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_recording_has_a_folder_of_its_own() {
        let files = [
            "a/mon.gpx",
            "b/mon.csv.gz",
            "b/Mon.gpx",
            "tue.GPX.GZ",
            "mon-2.gpx",
        ]
        .map(|name| Input::File(name.into()));
        assert_eq!(places(&files), ["mon", "mon-2", "Mon-3", "tue", "mon-2-2"]);
    }

    #[test]
    fn lines_end_as_systems_end_them() -> anyhow::Result<()> {
        let mut input = &b"a.gpx\r\n\nb.gpx"[..];
        let mut lines = Vec::new();
        while let Some(line) = next_line(&mut input)? {
            lines.push(String::from_utf8(line)?);
        }
        assert_eq!(lines, ["a.gpx", "", "b.gpx"]);
        Ok(())
    }
}
