//! Decides what reaches standard output and standard error: data goes to the one, talk to the other.

use std::fmt::{self, Display};
use std::io::{self, IsTerminal, Stderr, Stdout, Write};

use anstream::AutoStream;
use anyhow::Context;

use crate::args::Color;

/// The only way out for text.
pub struct Printer {
    out: AutoStream<Stdout>,
    err: AutoStream<Stderr>,
    words: Words,
}

/// How much is said beside the data.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Words {
    /// Errors only.
    Few,
    /// What the reader should know.
    Usual,
    /// Also which steps are taken.
    Many,
}

impl Words {
    /// As `--quiet` and `--verbose` say.
    pub fn of(quiet: bool, verbose: bool) -> Self {
        match (quiet, verbose) {
            (true, _) => Self::Few,
            (false, true) => Self::Many,
            (false, false) => Self::Usual,
        }
    }
}

impl Printer {
    /// A printer that keeps or strips styles as `color` says; on its own it asks the terminal and `NO_COLOR`.
    pub fn new(color: Color, words: Words) -> Self {
        Self {
            out: AutoStream::new(io::stdout(), color.into()),
            err: AutoStream::new(io::stderr(), color.into()),
            words,
        }
    }

    /// Prints what was asked for.
    pub fn data(&mut self, text: &str) -> anyhow::Result<()> {
        self.out
            .write_all(text.as_bytes())
            .and_then(|()| self.out.flush())
            .context("cannot write to standard output")
    }

    /// Says a word beside the data, on one line. Where nobody listens, nothing is lost.
    pub fn talk(&mut self, text: impl Display) {
        if self.words == Words::Few {
            return;
        }
        let _ = writeln!(self.err, "{}", one_line(&text.to_string()));
    }

    /// Says which step is taken, to those who asked for it.
    pub fn detail(&mut self, text: impl Display) {
        if self.words == Words::Many {
            self.talk(text);
        }
    }

    /// Whether there is talk beside the data.
    pub fn talks(&self) -> bool {
        self.words != Words::Few
    }

    /// Says how far long work is: on a terminal on one line that is written over, elsewhere once at its beginning.
    pub fn progress(&mut self, what: &str, done: usize, of: usize) {
        if !self.talks() {
            return;
        }
        if io::stderr().is_terminal() {
            let _ = write!(self.err, "\r{what}: {done} of {of}");
            let _ = self.err.flush();
        } else if done == 0 {
            let _ = writeln!(self.err, "to be {what}: {of}");
        }
    }

    /// Takes the line of the progress away.
    pub fn progress_end(&mut self) {
        if self.talks() && io::stderr().is_terminal() {
            let _ = write!(self.err, "\r{:60}\r", "");
            let _ = self.err.flush();
        }
    }

    /// Says why the work could not be done.
    pub fn error(&mut self, error: &anyhow::Error) {
        if let Some(Rendered(text)) = error.downcast_ref() {
            let _ = write!(self.err, "{text}");
            return;
        }
        let style = anstyle::AnsiColor::Red.on_default().bold();
        let text = one_line(&chain(error));
        let _ = writeln!(self.err, "{style}error:{style:#} {text}");
    }
}

/// An error that comes with its own lines, such as the mistakes of a plan, and is shown as it stands.
#[derive(Debug)]
pub struct Rendered(pub String);

impl Display for Rendered {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for Rendered {}

/// The causes of an error on one line. A cause that its consequence already tells in full is not told again.
pub fn chain(error: &anyhow::Error) -> String {
    let mut text = String::new();
    for cause in error.chain() {
        let cause = cause.to_string();
        if text.is_empty() {
            text = cause;
        } else if !text.ends_with(&cause) {
            text += ": ";
            text += &cause;
        }
    }
    text
}

/// Without what a terminal would obey: the name of a file may hold line ends and escapes.
fn one_line(text: &str) -> String {
    text.replace(char::is_control, "?")
}

#[cfg(test)]
mod tests {
    use super::*;
    use anyhow::anyhow;

    #[test]
    fn causes_stand_in_one_chain_and_are_told_once() {
        let error = anyhow!("no such file").context("cannot read 'a.gpx'");
        assert_eq!(chain(&error), "cannot read 'a.gpx': no such file");
        let error = anyhow!("line 3: bad").context("b.csv, line 3: bad");
        assert_eq!(chain(&error), "b.csv, line 3: bad");
    }
}
