//! Copies a diary and checks it.

use std::path::Path;

use crate::diary::{Diary, Error, Filter};

/// What a check found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Health {
    /// Entries, all of which were read in full.
    pub entries: usize,
    /// Recordings among them.
    pub recordings: usize,
    /// What is wrong; nothing where the diary is whole.
    pub faults: Vec<String>,
}

impl Diary {
    /// Writes a copy of the diary as it is at one moment, without its log, into `path`, where nothing or an empty file is.
    ///
    /// Others may go on writing meanwhile.
    ///
    /// # Errors
    /// When the copy cannot be written; what was written of it is then of no use.
    pub fn copy_to(&self, path: &Path) -> Result<(), Error> {
        let name = path
            .to_str()
            .ok_or_else(|| Error::CannotOpen("its name is not Unicode".to_owned()))?;
        self.connection.execute("VACUUM INTO ?", [name])?;
        Ok(())
    }

    /// Reads everything and looks whether it holds together.
    ///
    /// # Errors
    /// When the file cannot be read at all.
    pub fn check(&self) -> Result<Health, Error> {
        let mut health = Health::default();
        let mut statement = self.connection.prepare("PRAGMA integrity_check(20)")?;
        let lines = statement.query_map([], |row| row.get::<_, String>(0))?;
        for line in lines {
            let line = line?;
            if line != "ok" {
                health.faults.push(line);
            }
        }
        let mut statement = self.connection.prepare("PRAGMA foreign_key_check")?;
        let lines = statement.query_map([], |row| {
            let table: String = row.get(0)?;
            let parent: String = row.get(2)?;
            Ok(format!("a row of {table} belongs to no row of {parent}"))
        })?;
        for line in lines {
            health.faults.push(line?);
        }
        let entries = match self.entries(&Filter::default()) {
            Ok(entries) => entries,
            Err(error) => {
                health.faults.push(error.to_string());
                return Ok(health);
            }
        };
        health.entries = entries.len();
        for entry in entries.iter().filter(|entry| entry.recorded.is_some()) {
            health.recordings += 1;
            if let Err(error) = self.recording(entry.id) {
                health.faults.push(error.to_string());
            }
        }
        Ok(health)
    }
}
