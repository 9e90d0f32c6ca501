//! A recording that the diary knows, reviewed again.

use std::path::PathBuf;

use anyhow::{Context, anyhow, bail};
use repledger::diary::{Recording, Source};
use repledger::motion::Witness;
use repledger::plan;
use repledger::review::EarlierTop;
use repledger::session::{self, Session};
use repledger::settings::Settings;
use repledger::trace::{self, DateOrder};

use crate::args::Input;
use crate::input::RECORDING;
use crate::joined;
use crate::recording;

/// The recording, a file after the other: as it was kept, else its files, where they are still the same.
pub fn files(kept: Option<Vec<u8>>, source: &Source) -> anyhow::Result<Vec<Vec<u8>>> {
    if let Some(gzip) = kept {
        return recording::unpacked(&gzip).context("the recording kept with it cannot be unpacked");
    }
    let path = source.path.as_ref().context(
        "its recording came from standard input and was not kept (add with --keep-trace)",
    )?;
    let mut files = Vec::new();
    let mut hashes = Vec::new();
    for path in joined::paths(path) {
        let bytes = Input::File(PathBuf::from(path)).read(RECORDING)?;
        hashes.push(recording::hash(trace::unpack(&bytes)?.bytes()));
        files.push(bytes);
    }
    if recording::hash_of_all(&hashes) != source.sha256 {
        let named = path.replace(joined::BETWEEN_PATHS, "' or '");
        bail!("'{named}' is not the same recording any more");
    }
    Ok(files)
}

/// Its session, read and held against its plan as it was then, by these settings and this best of an earlier day; `witnesses` tells what
/// other recordings show of a device.
pub fn session(
    old: &Recording,
    files: Vec<Vec<u8>>,
    mut settings: Settings,
    earlier_top: Option<EarlierTop>,
    witnesses: impl FnOnce(&str) -> anyhow::Result<Vec<Witness>>,
) -> anyhow::Result<Session> {
    let plan = match &old.plan {
        Some(text) => {
            Some(plan::parse(text).map_err(|_| anyhow!("its plan cannot be read any more"))?)
        }
        None => None,
    };
    settings.review.earlier_top = earlier_top;
    settings.trace.columns.clone_from(&old.reading.columns);
    settings.trace.dates = old.reading.day_first.map(|first| {
        if first {
            DateOrder::DayMonthYear
        } else {
            DateOrder::MonthDayYear
        }
    });
    let mut traces = Vec::with_capacity(files.len());
    for bytes in files {
        traces.push(trace::read(&bytes, &settings.trace)?);
    }
    let mut trace = trace::join(traces)?.trace;
    // The name that was kept may be one that was typed.
    trace.device = old.device.clone().or(trace.device);
    if let Some(device) = &trace.device {
        settings.motion.known = witnesses(device)?;
    }
    Ok(session::account(trace, plan.as_ref(), &settings)?)
}
