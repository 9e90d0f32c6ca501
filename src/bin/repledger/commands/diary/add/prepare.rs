//! What is done for a recording before its turn: it is read and, where no earlier one may do its plan, reviewed.

use anyhow::{Context, bail};
use jiff::civil::Date;
use repledger::diary::NewEntry;
use repledger::plan::Plan;
use repledger::trace::{self, Trace};

use super::adding::Adding;
use super::days::Days;
use crate::args::Input;
use crate::columns::Columns;
use crate::input::RECORDING;
use crate::joined;
use crate::recording;

/// A recording that was read.
pub struct Recorded {
    pub sha256: [u8; 32],
    pub trace: Trace,
    pub date: Date,
    /// The plan that was named or lies beside it, with its text.
    pub plan: Option<(String, Plan)>,
    /// Where its files are.
    pub path: Option<String>,
    /// The recording itself, where it is kept: a gzip member a file.
    pub packed: Option<Vec<u8>>,
    /// What is said of it.
    pub words: Vec<String>,
}

/// What became of a file before its turn.
pub enum Prepared {
    /// The entry that holds it.
    AlreadyThere(i64),
    /// It is to be reviewed in its turn.
    Recorded(Box<Recorded>),
    Reviewed(Reviewed),
}

/// An entry to be added, with what is said of it.
pub struct Reviewed {
    pub entry: Box<NewEntry>,
    pub words: Vec<String>,
}

impl Adding<'_> {
    /// Does what can be done for a file while those before it are not in the diary yet.
    pub fn prepare(
        &self,
        place: usize,
        files: &[Input],
        days: &Days,
        columns: &Columns,
    ) -> anyhow::Result<Prepared> {
        let mut parts = Vec::with_capacity(files.len());
        let mut there = None;
        let joined = joined::join(files, |file| {
            let bytes = file.read(RECORDING)?;
            let content = trace::unpack(&bytes).with_context(|| file.name())?;
            let sha256 = recording::hash(content.bytes());
            // One that is there already need not be read.
            if files.len() == 1 {
                there = self.diary().find(&sha256)?;
                if there.is_some() {
                    bail!("it is there already");
                }
            }
            let packed = if self.typed.keep_trace {
                recording::packed(content.bytes())?
            } else {
                Vec::new()
            };
            parts.push((sha256, packed));
            let trace = content
                .read(&self.settings.trace)
                .with_context(|| file.name())?;
            columns.note(file.name(), &trace.format);
            Ok(trace)
        });
        if let Some(id) = there {
            return Ok(Prepared::AlreadyThere(id));
        }
        let trace::Joined { trace, order } = joined?;
        let parts: Vec<_> = order.iter().filter_map(|&k| parts.get(k)).collect();
        let hashes: Vec<[u8; 32]> = parts.iter().map(|part| part.0).collect();
        let sha256 = recording::hash_of_all(&hashes);
        if let Some(id) = self.diary().find(&sha256)? {
            return Ok(Prepared::AlreadyThere(id));
        }
        let name = joined::name(files);
        let mut words = Vec::new();
        let plan = self.plan_of(files, &mut words)?;
        let date = self.date(&trace, &name, plan.as_ref(), &mut words)?;
        let recorded = Recorded {
            sha256,
            trace,
            date,
            plan,
            path: paths(order.iter().filter_map(|&k| files.get(k))),
            packed: self
                .typed
                .keep_trace
                .then(|| parts.iter().flat_map(|part| part.1.clone()).collect()),
            words,
        };
        let first = days.first_of(place, date);
        let planned = self.planned(date, recorded.plan.as_ref())?;
        if planned.is_some() && !first {
            return Ok(Prepared::Recorded(Box::new(recorded)));
        }
        let reviewed = self.review(&name, recorded, planned)?;
        Ok(Prepared::Reviewed(reviewed))
    }
}

/// Where some files are, whatever folder one stands in later; nothing where one is standard input.
fn paths<'a>(files: impl Iterator<Item = &'a Input>) -> Option<String> {
    let paths: Option<Vec<String>> = files.map(path).collect();
    paths.map(|paths| paths.join(joined::BETWEEN_PATHS))
}

fn path(file: &Input) -> Option<String> {
    match file {
        Input::Stdin => None,
        Input::File(path) => {
            let path = std::path::absolute(path).unwrap_or_else(|_| path.clone());
            Some(path.display().to_string())
        }
    }
}
