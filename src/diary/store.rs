//! Puts entries, plans and match days into the diary; each call is one transaction.

use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, ToSql, Transaction, TransactionBehavior, params};

use crate::diary::block::BLOCKS;
use crate::diary::effort::EFFORTS;
use crate::diary::heart::{BLOCK_HEARTS, HEARTS};
use crate::diary::recording::{MADE_BY, Recording};
use crate::diary::rep::{REPS, RESTS};
use crate::diary::sums::SUMS;
use crate::diary::{Activity, Diary, Error, MatchDay, NewEntry, columns, thousandths};

/// What came of an addition.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Added {
    /// The number of the entry.
    pub id: i64,
    /// Whether the same recording was in the diary before; then nothing was changed.
    pub already_there: bool,
}

/// What is to be changed of an entry; `None` leaves it. An empty title or note takes it away.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Change {
    /// Whose it is.
    pub athlete: Option<String>,
    /// The day.
    pub date: Option<Date>,
    /// What was done.
    pub activity: Option<Activity>,
    /// Its title.
    pub title: Option<String>,
    /// Rating of perceived exertion, 0 to 10.
    pub rpe: Option<f64>,
    /// How long it lasted, s; only of a note.
    pub duration_s: Option<f64>,
    /// What is written beside it.
    pub note: Option<String>,
}

impl Diary {
    /// Adds a session or a note. A recording that is there already is known by its content and not doubled.
    ///
    /// # Errors
    /// When a value is out of range, or the file cannot be written; then nothing was changed.
    pub fn add(&mut self, entry: &NewEntry) -> Result<Added, Error> {
        check(entry.duration_s, entry.rpe)?;
        let transaction = self.write()?;
        if let Some(recording) = &entry.recording {
            let sha256 = &recording.source.sha256;
            if let Some(id) = by_hash(&transaction, sha256)? {
                return Ok(Added {
                    id,
                    already_there: true,
                });
            }
        }
        let id = insert_session(&transaction, entry)?;
        if let Some(recording) = &entry.recording {
            insert(&transaction, id, recording)?;
        }
        if let Some(planned) = entry.planned {
            let changed = transaction
                .execute("UPDATE planned SET done_by = ? WHERE id = ?", [id, planned])?;
            if changed == 0 {
                return Err(Error::NoPlan(planned));
            }
        }
        if let Some(date) = entry.match_day {
            transaction.execute(
                "INSERT INTO match_day (date, athlete) SELECT ?1, ?2
                 WHERE NOT EXISTS (SELECT 1 FROM match_day WHERE date = ?1 AND (athlete IS NULL OR athlete = ?2))",
                params![date.to_string(), entry.athlete.trim()],
            )?;
        }
        transaction.commit()?;
        Ok(Added {
            id,
            already_there: false,
        })
    }

    /// Adds notes, all of them or none; one that is there already, the same in all it says, is not doubled. Says which were added.
    ///
    /// # Errors
    /// When a value is out of range, or the file cannot be written; then nothing was changed.
    pub fn add_notes(&mut self, notes: &[NewEntry]) -> Result<Vec<Added>, Error> {
        for note in notes {
            check(note.duration_s, note.rpe)?;
        }
        let transaction = self.write()?;
        let mut all = Vec::with_capacity(notes.len());
        for note in notes {
            let same: Option<i64> = transaction
                .prepare_cached(
                    "SELECT id FROM session s WHERE athlete = ? AND date = ? AND activity = ? AND title IS ? AND duration_ms = ?
                        AND rpe_tenths IS ? AND note IS ? AND NOT EXISTS (SELECT 1 FROM recording WHERE session_id = s.id)",
                )?
                .query_row(
                    params![
                        note.athlete.trim(),
                        note.date.to_string(),
                        note.activity.word(),
                        written(note.title.as_deref()),
                        thousandths::of(note.duration_s),
                        note.rpe.map(thousandths::tenths),
                        written(note.note.as_deref()),
                    ],
                    |row| row.get(0),
                )
                .optional()?;
            all.push(match same {
                Some(id) => Added {
                    id,
                    already_there: true,
                },
                None => Added {
                    id: insert_session(&transaction, note)?,
                    already_there: false,
                },
            });
        }
        transaction.commit()?;
        Ok(all)
    }

    /// The entry that holds the recording with this hash.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn find(&self, sha256: &[u8; 32]) -> Result<Option<i64>, Error> {
        by_hash(&self.connection, sha256)
    }

    /// Changes an entry.
    ///
    /// # Errors
    /// When there is no such entry or a value is out of range; then nothing was changed.
    pub fn edit(&mut self, id: i64, change: &Change) -> Result<(), Error> {
        check(change.duration_s.unwrap_or(0.0), change.rpe)?;
        let transaction = self.write()?;
        let recorded: Option<bool> = transaction
            .query_row(
                "SELECT EXISTS (SELECT 1 FROM recording WHERE session_id = s.id) FROM session s WHERE id = ?",
                [id],
                |row| row.get(0),
            )
            .optional()?;
        let recorded = recorded.ok_or(Error::NoEntry(id))?;
        if recorded && change.duration_s.is_some() {
            return Err(Error::Value {
                field: "the duration of a recording",
                expected: "what was recorded; only that of a note can be changed",
            });
        }
        let set = |column: &str, value: &dyn ToSql| {
            transaction.execute(
                &format!("UPDATE session SET {column} = ? WHERE id = ?"),
                params![value, id],
            )
        };
        if let Some(athlete) = &change.athlete {
            set("athlete", &athlete.trim())?;
        }
        if let Some(date) = change.date {
            set("date", &date.to_string())?;
        }
        if let Some(activity) = change.activity {
            set("activity", &activity.word())?;
        }
        if let Some(title) = &change.title {
            set("title", &written(Some(title)))?;
        }
        if let Some(rpe) = change.rpe {
            set("rpe_tenths", &thousandths::tenths(rpe))?;
        }
        if let Some(duration_s) = change.duration_s {
            set("duration_ms", &thousandths::of(duration_s))?;
        }
        if let Some(note) = &change.note {
            set("note", &written(Some(note)))?;
        }
        transaction.commit()?;
        Ok(())
    }

    /// Puts a new review of the same recording in the place of the old one. A kept trace stays.
    ///
    /// # Errors
    /// When the entry holds another recording, or none; then nothing was changed.
    pub fn renew(&mut self, id: i64, duration_s: f64, recording: &Recording) -> Result<(), Error> {
        check(duration_s, None)?;
        let transaction = self.write()?;
        if by_hash(&transaction, &recording.source.sha256)? != Some(id) {
            return Err(Error::NoEntry(id));
        }
        let trace: Option<Vec<u8>> = transaction
            .query_row("SELECT gzip FROM trace WHERE session_id = ?", [id], |row| {
                row.get(0)
            })
            .optional()?;
        transaction.execute("DELETE FROM recording WHERE session_id = ?", [id])?;
        transaction.execute(
            "UPDATE session SET duration_ms = ? WHERE id = ?",
            params![thousandths::of(duration_s), id],
        )?;
        let mut renewed = recording.clone();
        renewed.source.trace = trace.or(renewed.source.trace);
        insert(&transaction, id, &renewed)?;
        transaction.commit()?;
        Ok(())
    }

    /// Takes an entry out, with all that hangs on it; a plan that it did is to be done again.
    ///
    /// # Errors
    /// When there is no such entry.
    pub fn remove(&mut self, id: i64) -> Result<(), Error> {
        match self
            .connection
            .execute("DELETE FROM session WHERE id = ?", [id])?
        {
            0 => Err(Error::NoEntry(id)),
            _ => Ok(()),
        }
    }

    /// Puts a plan down for a day.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn add_plan(
        &mut self,
        athlete: &str,
        date: Date,
        title: Option<&str>,
        text: &str,
    ) -> Result<i64, Error> {
        self.connection.execute(
            "INSERT INTO planned (athlete, date, title, text) VALUES (?, ?, ?, ?)",
            params![athlete.trim(), date.to_string(), written(title), text],
        )?;
        Ok(self.connection.last_insert_rowid())
    }

    /// Takes a plan out; what did it stays.
    ///
    /// # Errors
    /// When there is no such plan.
    pub fn remove_plan(&mut self, id: i64) -> Result<(), Error> {
        match self
            .connection
            .execute("DELETE FROM planned WHERE id = ?", [id])?
        {
            0 => Err(Error::NoPlan(id)),
            _ => Ok(()),
        }
    }

    /// Puts a match day down; one that is there gets the label.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn add_match(&mut self, day: &MatchDay) -> Result<(), Error> {
        self.connection.execute(
            "INSERT INTO match_day (date, athlete, label) VALUES (?, ?, ?)
             ON CONFLICT DO UPDATE SET label = coalesce(excluded.label, label)",
            params![
                day.date.to_string(),
                day.athlete.as_deref().map(str::trim),
                written(day.label.as_deref())
            ],
        )?;
        Ok(())
    }

    /// Takes a match day out, of one athlete or, without one, of everybody; says whether there was one.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn remove_match(&mut self, date: Date, athlete: Option<&str>) -> Result<bool, Error> {
        let removed = self.connection.execute(
            "DELETE FROM match_day WHERE date = ? AND athlete IS ?",
            params![date.to_string(), athlete.map(str::trim)],
        )?;
        Ok(removed > 0)
    }

    /// A transaction that writes. It waits for its turn at its beginning, so that it cannot fail half way for another's sake.
    fn write(&mut self) -> Result<Transaction<'_>, Error> {
        Ok(self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)?)
    }
}

/// Puts what a session and a note have in common down, and gives its number.
fn insert_session(transaction: &Transaction<'_>, entry: &NewEntry) -> Result<i64, Error> {
    transaction
        .prepare_cached(
            "INSERT INTO session (athlete, date, activity, title, duration_ms, rpe_tenths, note)
             VALUES (?, ?, ?, ?, ?, ?, ?)",
        )?
        .execute(params![
            entry.athlete.trim(),
            entry.date.to_string(),
            entry.activity.word(),
            written(entry.title.as_deref()),
            thousandths::of(entry.duration_s),
            entry.rpe.map(thousandths::tenths),
            written(entry.note.as_deref()),
        ])?;
    Ok(transaction.last_insert_rowid())
}

fn check(duration_s: f64, rpe: Option<f64>) -> Result<(), Error> {
    const WEEK_S: f64 = 7.0 * 24.0 * 3600.0;
    if !(0.0..=WEEK_S).contains(&duration_s) {
        return Err(Error::Value {
            field: "the duration",
            expected: "between 0 and a week",
        });
    }
    if rpe.is_some_and(|rpe| !(0.0..=10.0).contains(&rpe)) {
        return Err(Error::Value {
            field: "the rating of perceived exertion",
            expected: "between 0 and 10",
        });
    }
    Ok(())
}

fn by_hash(connection: &Connection, sha256: &[u8; 32]) -> Result<Option<i64>, Error> {
    Ok(connection
        .prepare_cached("SELECT session_id FROM recording WHERE sha256 = ?")?
        .query_row([&sha256[..]], |row| row.get(0))
        .optional()?)
}

/// A text without blanks around it; an empty one is none.
pub(super) fn written(text: Option<&str>) -> Option<&str> {
    text.map(str::trim).filter(|text| !text.is_empty())
}

fn insert(transaction: &Transaction<'_>, id: i64, recording: &Recording) -> Result<(), Error> {
    let names = ["session_id"].into_iter().chain(columns::columns(MADE_BY));
    let names = names.chain(columns::columns(SUMS));
    let mut statement = columns::inserting(transaction, "recording", names)?;
    statement.raw_bind_parameter(1, id)?;
    let behind = columns::bind(MADE_BY, recording, &mut statement, 2)?;
    columns::bind(SUMS, &recording.summary, &mut statement, behind)?;
    statement.raw_execute()?;
    if let Some(trace) = &recording.source.trace {
        transaction.execute(
            "INSERT INTO trace (session_id, gzip) VALUES (?, ?)",
            params![id, trace],
        )?;
    }
    if let Some(heart) = &recording.summary.heart {
        let mut statement = HEARTS.inserting(transaction)?;
        HEARTS.insert(&mut statement, &[id], heart)?;
    }
    let mut of_effort = EFFORTS.inserting(transaction)?;
    for (n, effort) in (1..).zip(&recording.efforts) {
        EFFORTS.insert(&mut of_effort, &[id, n], effort)?;
    }
    let mut of_block = BLOCKS.inserting(transaction)?;
    let mut of_heart = BLOCK_HEARTS.inserting(transaction)?;
    let mut of_rep = REPS.inserting(transaction)?;
    let mut of_rest = RESTS.inserting(transaction)?;
    for block in &recording.blocks {
        BLOCKS.insert(&mut of_block, &[id], block)?;
        let keys = [id, thousandths::count(block.review.index)];
        for rep in &block.reps {
            REPS.insert(&mut of_rep, &keys, rep)?;
        }
        if let Some(heart) = &block.heart {
            BLOCK_HEARTS.insert(&mut of_heart, &keys, heart)?;
        }
        for rest in &block.rests {
            RESTS.insert(&mut of_rest, &keys, rest)?;
        }
    }
    Ok(())
}
