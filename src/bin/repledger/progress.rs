//! How far long work is: a bar on a terminal, plain lines elsewhere, both on standard error.

use std::io::{self, IsTerminal};
use std::path::Path;

use indicatif::{ProgressBar, ProgressStyle};

use crate::printer::Printer;

/// Shows how far work on several things is; nothing of one alone.
pub struct Progress {
    bar: Option<ProgressBar>,
    what: &'static str,
    done: usize,
    of: usize,
}

impl Progress {
    /// Work on so many things.
    pub fn new(what: &'static str, of: usize, printer: &Printer) -> Self {
        let bar = (of > 1 && printer.talks() && io::stderr().is_terminal()).then(|| {
            let bar = ProgressBar::new(of as u64);
            // Narrower than a terminal, whose own ^C then stands on the line that the bar clears. A template that is right in the
            // source stays right.
            if let Ok(style) = ProgressStyle::with_template(
                "{bar:20} {pos} of {len}  {per_sec}  {eta} left  {msg:16!}",
            ) {
                bar.set_style(style);
            }
            bar
        });
        Self {
            bar,
            what,
            done: 0,
            of,
        }
    }

    /// The next thing is done, or could not be.
    pub fn step(&mut self, name: &str, printer: &mut Printer) {
        self.done += 1;
        match &self.bar {
            Some(bar) => {
                bar.set_position(self.done as u64);
                let name = Path::new(name).file_name().unwrap_or_default();
                let name = name.to_string_lossy();
                bar.set_message(name.replace(char::is_control, "?"));
            }
            None if self.of > 1 => {
                printer.talk(format!(
                    "{} of {} to be {}: {name}",
                    self.done, self.of, self.what
                ));
            }
            None => {}
        }
    }

    /// How many things are done, or could not be.
    pub fn done(&self) -> usize {
        self.done
    }

    /// Prints beside the bar.
    pub fn aside<T>(&self, print: impl FnOnce() -> T) -> T {
        match &self.bar {
            Some(bar) => bar.suspend(print),
            None => print(),
        }
    }

    /// Takes the bar away.
    pub fn end(&self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}
