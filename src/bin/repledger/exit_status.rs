//! How the program ends: the one place that knows the numbers.

use std::process::ExitCode;

/// The exit status; scripts rely on the numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ExitStatus {
    /// The work was done.
    Done,
    /// The work could not be done.
    CouldNot,
    /// The command line makes no sense.
    WrongUsage,
    /// With `--strict`: planned reps were not done.
    NotAllDone,
    /// This signal asked to stop before all was done.
    Stopped(usize),
}

impl From<ExitStatus> for ExitCode {
    fn from(status: ExitStatus) -> Self {
        Self::from(match status {
            ExitStatus::Done => 0,
            ExitStatus::CouldNot => 1,
            ExitStatus::WrongUsage => 2,
            ExitStatus::NotAllDone => 3,
            ExitStatus::Stopped(signal) => stopped(signal),
        })
    }
}

/// The status of a program that a signal ended, as shells tell it: 130 for SIGINT, 143 for SIGTERM.
pub fn stopped(signal: usize) -> u8 {
    u8::try_from(128 + signal).unwrap_or(u8::MAX)
}

/// What was typed parses, but makes no sense; ends with [`ExitStatus::WrongUsage`].
#[derive(Debug)]
pub struct WrongUsage(pub String);

impl std::fmt::Display for WrongUsage {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for WrongUsage {}
