//! Recordings that were made after each other, read as one session.

use std::path::Path;

use anyhow::{Context, anyhow, bail};
use repledger::limits::{FIXES, JOINED};
use repledger::trace::{self, Trace};

use crate::args::Input;
use crate::exit_status::WrongUsage;

/// What parts the paths of joined recordings where they are kept.
pub const BETWEEN_PATHS: &str = "\n";

/// The name of several files together.
pub fn name(files: &[Input]) -> String {
    let names: Vec<String> = files.iter().map(Input::name).collect();
    names.join(" + ")
}

/// The paths of a recording as they are kept. A name may hold what parts the names of several.
pub fn paths(kept: &str) -> Vec<&str> {
    if Path::new(kept).exists() {
        vec![kept]
    } else {
        kept.split(BETWEEN_PATHS).collect()
    }
}

/// Refuses more files than are joined.
pub fn within_bounds(files: &[Input]) -> anyhow::Result<()> {
    if files.len() > JOINED {
        bail!(WrongUsage(format!(
            "{} recordings were named; at most {JOINED} are joined to one session",
            files.len()
        )));
    }
    Ok(())
}

/// Reads each file by `read` and joins them; a single one stays as it is.
pub fn join(
    files: &[Input],
    mut read: impl FnMut(&Input) -> anyhow::Result<Trace>,
) -> anyhow::Result<trace::Joined> {
    let mut traces = Vec::with_capacity(files.len());
    let mut fixes = 0;
    for file in files {
        let trace = read(file)?;
        fixes += trace.fixes.len();
        // Before more are in memory than any session may have.
        if fixes > FIXES && files.len() > 1 {
            let error = trace::JoinError::TooManyFixes;
            return Err(anyhow!(error)).with_context(|| name(files));
        }
        traces.push(trace);
    }
    let names: Vec<String> = files.iter().map(Input::name).collect();
    trace::join(traces).map_err(|error| anyhow!(error.in_words(&names)))
}
