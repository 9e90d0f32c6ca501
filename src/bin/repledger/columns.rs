//! Whether `--columns`, which is for tables without a header, was of any use to what was read.

use std::sync::{Mutex, PoisonError};

use repledger::trace::Format;

use crate::args::Reading;

/// The recordings that name what they hold themselves, as long as there is no other among them.
pub struct Columns {
    /// Nothing where `--columns` was not typed, or a table was read.
    read: Mutex<Option<Vec<String>>>,
}

impl Columns {
    /// Of nothing read yet.
    pub fn of(reading: &Reading) -> Self {
        let typed = reading.columns.is_some();
        Self {
            read: Mutex::new(typed.then(Vec::new)),
        }
    }

    /// Notes that a recording was read.
    pub fn note(&self, name: String, format: &Format) {
        let mut read = self.read.lock().unwrap_or_else(PoisonError::into_inner);
        match (read.as_mut(), format) {
            (Some(names), Format::Gpx { .. }) => names.push(name),
            _ => *read = None,
        }
    }

    /// What to say where it was of no use to any.
    pub fn unused(self) -> Option<String> {
        let read = self
            .read
            .into_inner()
            .unwrap_or_else(PoisonError::into_inner);
        let names = read.filter(|names| !names.is_empty())?;
        let all = match names.as_slice() {
            [one] => format!("{one} is GPX"),
            several => format!("all {} recordings are GPX", several.len()),
        };
        Some(format!(
            "--columns was not used: it is for tables without a header, and {all}, which names what it holds; leave it out"
        ))
    }
}
