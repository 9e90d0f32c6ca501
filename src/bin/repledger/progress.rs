//! How far long work is: a bar on a terminal, plain lines elsewhere, both on standard error.

use std::io::{self, IsTerminal};

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
            // A template that is right in the source stays right.
            if let Ok(style) = ProgressStyle::with_template(
                "{bar:24} {pos} of {len}  {per_sec}  {eta} left  {wide_msg}",
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

    /// The next thing is begun.
    pub fn step(&mut self, name: &str, printer: &mut Printer) {
        match &self.bar {
            Some(bar) => {
                bar.set_position(self.done as u64);
                bar.set_message(name.replace(char::is_control, "?"));
            }
            None if self.of > 1 => {
                printer.talk(format!(
                    "{} of {} to be {}: {name}",
                    self.done + 1,
                    self.of,
                    self.what
                ));
            }
            None => {}
        }
        self.done += 1;
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
