//! `repledger review --ndjson`: recordings that the lines of standard input name or hold, each answered by a line.

use std::io::{self, BufRead, BufReader, Read};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::thread;
use std::time::Duration;

use anyhow::{Context, anyhow, bail};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use repledger::limits::NDJSON_LINE_BYTES;
use repledger::report;

use super::reviewer::Reviewer;
use crate::exit_status::ExitStatus;
use crate::halt::Halt;
use crate::pipeline::in_order;
use crate::printer::{Printer, chain};

/// How often a request to stop is looked for while no line comes.
const LOOK: Duration = Duration::from_millis(100);

/// Reviews what the lines of standard input name or hold; a line that cannot be reviewed is answered by one with its error.
pub fn review(reviewer: &Reviewer<'_>, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let halt = reviewer.halt;
    let mut answered = 0_usize;
    let mut failed = 0_usize;
    in_order(
        Lines::of_stdin(halt),
        halt,
        |line| line.map(|(number, line)| answer(reviewer, number, line)),
        |told| {
            let (name, line) = told?;
            answered += 1;
            match line {
                Ok(line) => printer.data(&line),
                Err(error) => {
                    failed += 1;
                    printer.data(&report::review::json::error_line(&name, &chain(&error))?)
                }
            }
        },
    )?;
    if failed > 0 {
        printer.talk(format!(
            "not reviewed: {failed}; their lines say why in `error`"
        ));
    }
    if let Some(signal) = halt.asked() {
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

/// The name in a line and its answer.
fn answer(
    reviewer: &Reviewer<'_>,
    number: usize,
    line: Vec<u8>,
) -> (String, anyhow::Result<String>) {
    let Ok(text) = String::from_utf8(line) else {
        let error = anyhow!("line {number} is not UTF-8 text");
        return (format!("line {number}"), Err(error));
    };
    // Base64 has no tab, a name may have one.
    let (name, session) = match text.rsplit_once('\t') {
        None if reviewer.typed.content_only => {
            let error = anyhow!(
                "line {number} holds no content; with --content-only it is a name, a tab and the content in base64, and no file \
                 is opened"
            );
            (text.as_str(), Err(error))
        }
        None => (text.as_str(), reviewer.session_of_named(&text)),
        Some((name, content)) => {
            let bytes = STANDARD.decode(content.trim_end()).map_err(|error| {
                anyhow!("line {number}: what follows the last tab is no base64: {error}")
            });
            (name, reviewer.session_of(name, bytes))
        }
    };
    let line = session.and_then(|session| Ok(report::review::json::line(name, &session)?));
    (name.to_owned(), line)
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

#[cfg(test)]
mod tests {
    use super::*;

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
