//! `repledger review` of many recordings: in parallel, told in their order, and none stops the rest.
//!
//! As many recordings as there are threads are in memory at once, and of each only its line is kept until it is told.

use std::collections::HashSet;
use std::ffi::OsStr;
use std::io::{self, BufRead, BufReader, Read};
use std::path::Path;
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::thread;
use std::time::Duration;

use anyhow::{Context, anyhow, bail};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use repledger::limits::NDJSON_LINE_BYTES;
use repledger::pitch::Ground;
use repledger::plan::Plan;
use repledger::report::{json, summary};
use repledger::session::{self, Session};
use repledger::settings::Resolved;
use repledger::trace::{self, Trace};

use super::diary::recording::{hash, hash_of_all};
use super::review;
use crate::args::{self, Input};
use crate::devices::Devices;
use crate::exit_status::ExitStatus;
use crate::files;
use crate::halt::Halt;
use crate::input::RECORDING;
use crate::joined;
use crate::output::Folder;
use crate::pipeline::in_order;
use crate::printer::{Printer, chain};
use crate::progress::Progress;

/// Longest name of a recording's folder, bytes: most file systems take 255, and a number may follow.
const LONGEST: usize = 200;
/// How often a request to stop is looked for while no line comes.
const LOOK: Duration = Duration::from_millis(100);

/// What is the same for all recordings.
pub struct Batch<'a> {
    /// What was typed.
    pub typed: &'a args::Review,
    /// What is known of devices.
    pub devices: &'a Devices<'a>,
    /// What is known of the ground.
    pub ground: &'a Ground,
    /// The plan to hold against them.
    pub plan: Option<&'a Plan>,
    /// The settings.
    pub resolved: &'a Resolved,
    /// Whether to stop.
    pub halt: &'a Halt,
}

/// What is told of one recording.
struct Told {
    name: String,
    line: anyhow::Result<String>,
    status: ExitStatus,
}

impl Batch<'_> {
    /// The session of a recording, as it may be shown.
    pub fn session(&self, name: &str, bytes: anyhow::Result<Vec<u8>>) -> anyhow::Result<Session> {
        let (recording, sha256) = self.recording(name, bytes, self.quote())?;
        self.reviewed(name, recording, sha256)
    }

    /// The session of a recording that a line of somebody's named: what stands in it is not his to see unless it is one.
    fn session_of_named(&self, name: &str) -> anyhow::Result<Session> {
        let bytes = Input::File(name.into()).read(RECORDING);
        let quote = Err(
            "it cannot be read as a recording; `repledger review` of that file alone says why, since that quotes it",
        );
        let (recording, sha256) = self.recording(name, bytes, quote)?;
        self.reviewed(name, recording, sha256)
    }

    /// The session of several recordings that were made after each other.
    pub fn joined(&self, named: &[Input]) -> anyhow::Result<Session> {
        let files = files::named(named)?;
        joined::within_bounds(&files)?;
        let mut hashes = Vec::new();
        let trace::Joined { trace, order } = joined::join(&files, |file| {
            let bytes = file.read(RECORDING);
            let (trace, sha256) = self.recording(&file.name(), bytes, self.quote())?;
            hashes.extend(sha256);
            Ok(trace)
        })?;
        let hashes: Vec<_> = (order.iter())
            .filter_map(|&k| hashes.get(k).copied())
            .collect();
        let sha256 = self.devices.asks().then(|| hash_of_all(&hashes));
        self.reviewed(&joined::name(&files), trace, sha256)
    }

    /// Whether messages may quote a recording that whoever runs the program gave it, or what to say instead.
    fn quote(&self) -> Result<(), &'static str> {
        if self.typed.hide_place {
            Err("it cannot be read; why is told without --hide-place, since that quotes it")
        } else {
            Ok(())
        }
    }

    /// A recording, and its hash where a diary is asked. Where a message would quote it, `quote` may be what to say instead.
    fn recording(
        &self,
        name: &str,
        bytes: anyhow::Result<Vec<u8>>,
        quote: Result<(), &'static str>,
    ) -> anyhow::Result<(Trace, Option<[u8; 32]>)> {
        // The bytes, most of what a review needs memory for, go as soon as they are read.
        let bytes = bytes?;
        let read = || {
            let content = trace::unpack(&bytes)?;
            let sha256 = self.devices.asks().then(|| hash(content.bytes()));
            Ok((content.read(&self.resolved.settings.trace)?, sha256))
        };
        read()
            .map_err(|error: trace::Error| match quote {
                Err(instead) if error.quotes() => anyhow!(instead),
                _ => error.into(),
            })
            .with_context(|| name.to_owned())
    }

    fn reviewed(
        &self,
        name: &str,
        mut recording: Trace,
        sha256: Option<[u8; 32]>,
    ) -> anyhow::Result<Session> {
        let typed = self.typed;
        let settings = &self.resolved.settings;
        let settings = (self.devices).settings(&mut recording, sha256.as_ref(), settings)?;
        let session = session::account_on(recording, self.plan, &settings, self.ground)
            .with_context(|| name.to_owned())?;
        Ok(if typed.hide_place {
            session.without_place(typed.show_date)
        } else {
            session
        })
    }

    /// Reviews the files that are named and those inside folders.
    pub fn files(&self, named: &[Input], printer: &mut Printer) -> anyhow::Result<ExitStatus> {
        let files = files::named(named)?;
        let places = places(&files, self.typed.hide_place);
        // Nothing stands on standard output before there is something to tell.
        let mut head = (!self.typed.json).then(summary::head);
        let mut progress = Progress::new("reviewed", files.len(), printer);
        let mut failed = Vec::new();
        let mut all_done = true;
        in_order(
            files.iter().zip(&places),
            self.halt,
            |(file, place)| self.file(file, place),
            |told| {
                progress.step(&told.name, printer);
                all_done &= told.status != ExitStatus::NotAllDone;
                progress.aside(|| {
                    if let (Ok(_), Some(head)) = (&told.line, head.take()) {
                        printer.data(&head)?;
                    }
                    self.tell(told, &mut failed, printer)
                })
            },
        )?;
        progress.end();
        if !failed.is_empty() {
            printer.talk(format!(
                "not reviewed, {} of {}: {}",
                failed.len(),
                files.len(),
                failed.join(", ")
            ));
        }
        let name = |k| files.get(k).map(Input::name);
        if let Some(status) = progress.stopped(failed.len(), name, self.halt, printer) {
            return Ok(status);
        }
        Ok(match (failed.is_empty(), all_done) {
            (false, _) => ExitStatus::CouldNot,
            (true, false) => ExitStatus::NotAllDone,
            (true, true) => ExitStatus::Done,
        })
    }

    /// Says what became of a file.
    fn tell(
        &self,
        told: Told,
        failed: &mut Vec<String>,
        printer: &mut Printer,
    ) -> anyhow::Result<()> {
        match told.line {
            Ok(line) => printer.data(&line),
            Err(error) => {
                printer.error(&error);
                if self.typed.json {
                    printer.data(&json::error_line(&told.name, &chain(&error))?)?;
                }
                failed.push(told.name);
                Ok(())
            }
        }
    }

    /// Reviews a file, and writes its folder where one is wanted.
    fn file(&self, file: &Input, place: &str) -> Told {
        let name = file.name();
        let reviewed = self
            .session(&name, file.read(RECORDING))
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
        let mut answered = 0_usize;
        let mut failed = 0_usize;
        in_order(
            Lines::of_stdin(self.halt),
            self.halt,
            |line| line.map(|(number, line)| self.line(number, line)),
            |told| {
                let told = told?;
                answered += 1;
                match told.line {
                    Ok(line) => printer.data(&line),
                    Err(error) => {
                        failed += 1;
                        printer.data(&json::error_line(&told.name, &chain(&error))?)
                    }
                }
            },
        )?;
        if failed > 0 {
            printer.talk(format!(
                "not reviewed: {failed}; their lines say why in `error`"
            ));
        }
        if let Some(signal) = self.halt.asked() {
            printer.talk(format!(
                "stopped: {answered} lines answered, the rest not begun"
            ));
            return Ok(ExitStatus::Stopped(signal));
        }
        Ok(if failed > 0 {
            ExitStatus::CouldNot
        } else {
            ExitStatus::Done
        })
    }

    /// Reviews what one line names or holds.
    fn line(&self, number: usize, line: Vec<u8>) -> Told {
        let Ok(text) = String::from_utf8(line) else {
            let error = anyhow!("line {number} is not UTF-8 text");
            return self.told(format!("line {number}"), Err(error), true);
        };
        // Base64 has no tab, a name may have one.
        let (name, session) = match text.rsplit_once('\t') {
            None if self.typed.content_only => {
                let error = anyhow!(
                    "line {number} holds no content; with --content-only it is a name, a tab and the content in base64, and no \
                     file is opened"
                );
                (text.as_str(), Err(error))
            }
            None => (text.as_str(), self.session_of_named(&text)),
            Some((name, content)) => {
                let bytes = STANDARD.decode(content.trim_end()).map_err(|error| {
                    anyhow!("line {number}: what follows the last tab is no base64: {error}")
                });
                (name, self.session(name, bytes))
            }
        };
        self.told(name.to_owned(), session, true)
    }
}

/// Lines with their numbers, from 1, without empty ones. They end where the input does, at what is no line, or at a request to stop.
struct Lines<'a> {
    received: Receiver<anyhow::Result<(usize, Vec<u8>)>>,
    halt: &'a Halt,
}

impl<'a> Lines<'a> {
    /// Those of standard input, read by a thread of its own: nobody can be called back from waiting for input, so it is left behind.
    fn of_stdin(halt: &'a Halt) -> Self {
        let (send, received) = mpsc::sync_channel(0);
        thread::spawn(move || {
            let mut input = BufReader::new(io::stdin());
            for number in 1.. {
                let line = next_line(&mut input).with_context(|| format!("line {number}"));
                let sent = match line.transpose() {
                    None => return,
                    Some(Ok(line)) if line.is_empty() => continue,
                    Some(line) => send.send(line.map(|line| (number, line))),
                };
                if sent.is_err() {
                    return;
                }
            }
        });
        Self { received, halt }
    }
}

impl Iterator for Lines<'_> {
    type Item = anyhow::Result<(usize, Vec<u8>)>;

    fn next(&mut self) -> Option<Self::Item> {
        loop {
            match self.received.recv_timeout(LOOK) {
                Ok(line) => return Some(line),
                Err(RecvTimeoutError::Timeout) if self.halt.asked().is_none() => {}
                Err(_) => return None,
            }
        }
    }
}

/// The next line without its end; `None` after the last.
fn next_line(input: &mut impl BufRead) -> anyhow::Result<Option<Vec<u8>>> {
    let mut line = Vec::new();
    input
        .take(NDJSON_LINE_BYTES + 1)
        .read_until(b'\n', &mut line)?;
    if line.is_empty() {
        return Ok(None);
    }
    if line.len() as u64 > NDJSON_LINE_BYTES {
        bail!(
            "it is longer than {} MB, the most that is read of one",
            NDJSON_LINE_BYTES >> 20
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

/// The folder of each recording: its name without endings, told apart by numbers where several have one; or numbers alone.
fn places(files: &[Input], hidden: bool) -> Vec<String> {
    if hidden {
        return (1..=files.len())
            .map(|n| format!("recording-{n}"))
            .collect();
    }
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
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    // A name of dots alone is another folder than one inside.
    if stem.chars().all(|c| c == '.') {
        return "recording".to_owned();
    }
    let longest = stem.floor_char_boundary(LONGEST);
    stem.get(..longest).unwrap_or_default().to_owned()
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
        assert_eq!(
            places(&files, false),
            ["mon", "mon-2", "Mon-3", "tue", "mon-2-2"]
        );
        assert_eq!(places(&files, true)[3], "recording-4");
    }

    #[test]
    fn a_folder_lies_inside_whatever_the_file_is_called() {
        let long = "ü".repeat(120) + ".gpx";
        let files =
            ["..gpx", "...gpx", "....gz", "x/..", &long].map(|name| Input::File(name.into()));
        let places = places(&files, false);
        assert_eq!(
            places[..4],
            ["recording", "recording-2", "recording-3", "recording-4"]
        );
        assert_eq!(places[4], "ü".repeat(100));
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
