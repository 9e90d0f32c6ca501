//! Takes out of the diary what weeks, bests and lists need.

use jiff::civil::Date;
use rusqlite::types::ValueRef;
use rusqlite::{OptionalExtension, Row, params};

use crate::diary::block::BLOCKS;
use crate::diary::effort::EFFORTS;
use crate::diary::heart::BLOCK_HEARTS;
use crate::diary::recording::{MADE_BY, Recording};
use crate::diary::rep::{REPS, RESTS};
use crate::diary::sums::SUMS;
use crate::diary::{
    Activity, Block, Diary, Entry, Error, MatchDay, Planned, Recorded, columns, heart, thousandths,
};

/// Which entries are wanted; by default all.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Filter<'a> {
    /// Of this athlete only.
    pub athlete: Option<&'a str>,
    /// From this day on.
    pub from: Option<Date>,
    /// Up to this day, itself included.
    pub to: Option<Date>,
}

/// The columns of an entry, whatever it holds; behind them stand its sums, and behind those [`AROUND`].
const ENTRY: [&str; 8] = [
    "s.id",
    "s.athlete",
    "s.date",
    "s.activity",
    "s.title",
    "s.duration_ms",
    "s.rpe_tenths",
    "s.note",
];
/// The columns behind the sums: whether sprints were planned, and the heart rate.
const AROUND: &str = "r.counts IS NOT NULL AND EXISTS (SELECT 1 FROM block b WHERE b.session_id = s.id AND b.category = 'speed'),
    h.mean_mbpm, h.highest_mbpm, h.classes, a.heart_max_mbpm, a.heart_rest_mbpm, a.heart_load
    FROM session s LEFT JOIN recording r ON r.session_id = s.id LEFT JOIN heart h ON h.session_id = s.id
        LEFT JOIN athlete a ON a.name = s.athlete";

/// What gives one row an entry, with its sums; a condition follows.
fn entry_sql() -> String {
    let sums = columns::columns(SUMS).collect::<Vec<_>>().join(", r.");
    format!("SELECT {}, r.{sums}, {AROUND}", ENTRY.join(", "))
}

impl Diary {
    /// The entries in order of their day, with the sums of what was recorded.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn entries(&self, filter: &Filter<'_>) -> Result<Vec<Entry>, Error> {
        let (from, to) = filter.days();
        // Each form has the index that serves it.
        let which = match filter.athlete {
            Some(_) => "s.athlete = ?3 AND s.date BETWEEN ?1 AND ?2",
            None => "s.date BETWEEN ?1 AND ?2 AND ?3 IS NULL",
        };
        let sql = entry_sql();
        let mut statement = (self.connection)
            .prepare_cached(&format!("{sql} WHERE {which} ORDER BY s.date, s.id"))?;
        let mut rows = statement.query(params![from, to, filter.athlete])?;
        let mut entries = Vec::new();
        while let Some(row) = rows.next()? {
            entries.push(entry(row)?);
        }
        Ok(entries)
    }

    /// One entry, with the sums.
    ///
    /// # Errors
    /// When there is no such entry.
    pub fn entry(&self, id: i64) -> Result<Entry, Error> {
        let mut statement = self
            .connection
            .prepare_cached(&format!("{} WHERE s.id = ?", entry_sql()))?;
        let mut rows = statement.query([id])?;
        match rows.next()? {
            Some(row) => entry(row),
            None => Err(Error::NoEntry(id)),
        }
    }

    /// All that is kept of an entry's recording but the trace; `None` for a note.
    ///
    /// # Errors
    /// When there is no such entry.
    pub fn recording(&self, id: i64) -> Result<Option<Recording>, Error> {
        self.recording_of(&self.entry(id)?)
    }

    /// The same of an entry that was read before.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn recording_of(&self, entry: &Entry) -> Result<Option<Recording>, Error> {
        let Some(summary) = &entry.recorded else {
            return Ok(None);
        };
        Ok(Some(Recording {
            efforts: EFFORTS.read(&self.connection, &[entry.id])?,
            blocks: self.blocks(entry.id)?,
            ..self.in_sum(entry.id, summary.clone())?
        }))
    }

    /// The same without its efforts and blocks, which are most of it.
    ///
    /// # Errors
    /// When there is no such entry.
    pub fn recording_in_sum(&self, id: i64) -> Result<Option<Recording>, Error> {
        let summary = self.entry(id)?.recorded;
        summary.map(|summary| self.in_sum(id, summary)).transpose()
    }

    fn in_sum(&self, id: i64, summary: Recorded) -> Result<Recording, Error> {
        let made_by: Vec<&str> = columns::columns(MADE_BY).collect();
        let mut statement = (self.connection).prepare_cached(&format!(
            "SELECT {} FROM recording WHERE session_id = ?",
            made_by.join(", ")
        ))?;
        let mut rows = statement.query([id])?;
        let mut recording = Recording::bare(summary);
        if let Some(row) = rows.next()? {
            columns::fill(MADE_BY, &mut recording, row, 0, id)?;
        }
        Ok(recording)
    }

    /// Pairs of entries of one athlete whose recordings hold the same time, for the most part of the shorter: a session that was
    /// recorded by two devices, or by one in two formats. The lower number comes first.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn twice(&self, filter: &Filter<'_>) -> Result<Vec<[i64; 2]>, Error> {
        let (from, to) = filter.days();
        // Starts without a zone are of a clock of their own, and are compared only among each other.
        let sql = "SELECT a.id, b.id FROM session a
                JOIN recording p ON p.session_id = a.id
                JOIN session b ON b.athlete = a.athlete AND b.date BETWEEN date(a.date, '-1 day') AND date(a.date, '+1 day') AND b.id > a.id
                JOIN recording q ON q.session_id = b.id
            WHERE a.date BETWEEN ?1 AND ?2 AND b.date BETWEEN ?1 AND ?2 AND (?3 IS NULL OR a.athlete = ?3)
                AND (p.start LIKE '%Z') = (q.start LIKE '%Z')
                AND 2 * (min(julianday(p.start) * 86400000 + a.duration_ms, julianday(q.start) * 86400000 + b.duration_ms)
                    - max(julianday(p.start), julianday(q.start)) * 86400000) > min(a.duration_ms, b.duration_ms)
            ORDER BY b.date, a.id, b.id";
        let mut statement = self.connection.prepare_cached(sql)?;
        let rows = statement.query_map(params![from, to, filter.athlete], |row| {
            Ok([row.get(0)?, row.get(1)?])
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// The trace that was kept with an entry, gzip.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn trace(&self, id: i64) -> Result<Option<Vec<u8>>, Error> {
        let sql = "SELECT gzip FROM trace WHERE session_id = ?";
        Ok(self
            .connection
            .query_row(sql, [id], |row| row.get(0))
            .optional()?)
    }

    /// The match days in order, of everybody and, as the filter says, of all athletes or of one.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn match_days(&self, filter: &Filter<'_>) -> Result<Vec<MatchDay>, Error> {
        let (from, to) = filter.days();
        let mut statement = self.connection.prepare_cached(
            "SELECT id, date, athlete, label FROM match_day
             WHERE date BETWEEN ?1 AND ?2 AND (?3 IS NULL OR athlete IS NULL OR athlete = ?3)
             ORDER BY date, athlete",
        )?;
        let mut rows = statement.query(params![from, to, filter.athlete])?;
        let mut days = Vec::new();
        while let Some(row) = rows.next()? {
            days.push(MatchDay {
                date: date(row, row.get(0)?, 1)?,
                athlete: row.get(2)?,
                label: row.get(3)?,
            });
        }
        Ok(days)
    }

    /// The plans in order of their day, done ones too.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn planned(&self, filter: &Filter<'_>) -> Result<Vec<Planned>, Error> {
        let (from, to) = filter.days();
        let mut statement = self.connection.prepare_cached(
            "SELECT id, athlete, date, title, text, done_by FROM planned
             WHERE date BETWEEN ?1 AND ?2 AND (?3 IS NULL OR athlete = ?3) ORDER BY date, id",
        )?;
        let mut rows = statement.query(params![from, to, filter.athlete])?;
        let mut plans = Vec::new();
        while let Some(row) = rows.next()? {
            let id = row.get(0)?;
            plans.push(Planned {
                id,
                athlete: row.get(1)?,
                date: date(row, id, 2)?,
                title: row.get(3)?,
                text: row.get(4)?,
                done_by: row.get(5)?,
            });
        }
        Ok(plans)
    }

    /// The athletes that have entries or plans, in order of their names.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn athletes(&self) -> Result<Vec<String>, Error> {
        let mut statement = self.connection.prepare_cached(
            "SELECT athlete FROM session UNION SELECT athlete FROM planned ORDER BY 1",
        )?;
        let names = statement.query_map([], |row| row.get(0))?;
        Ok(names.collect::<Result<_, _>>()?)
    }

    fn blocks(&self, id: i64) -> Result<Vec<Block>, Error> {
        let mut blocks = BLOCKS.read(&self.connection, &[id])?;
        for block in &mut blocks {
            let keys = [id, thousandths::count(block.review.index)];
            block.reps = REPS.read(&self.connection, &keys)?;
            block.rests = RESTS.read(&self.connection, &keys)?;
            block.heart = BLOCK_HEARTS.read(&self.connection, &keys)?.pop();
        }
        Ok(blocks)
    }
}

impl Filter<'_> {
    /// The first and the last day as text that compares as the days do.
    pub(super) fn days(&self) -> (String, String) {
        (
            self.from.unwrap_or(Date::constant(0, 1, 1)).to_string(),
            self.to.unwrap_or(Date::MAX).to_string(),
        )
    }
}

fn date(row: &Row<'_>, id: i64, column: usize) -> Result<Date, Error> {
    let text = row.get_ref(column)?.as_str().unwrap_or_default();
    text.parse()
        .map_err(|_| Error::Unreadable { id, field: "date" })
}

fn entry(row: &Row<'_>) -> Result<Entry, Error> {
    let id = row.get(0)?;
    let activity = row.get_ref(3)?.as_str().unwrap_or_default();
    Ok(Entry {
        id,
        athlete: row.get(1)?,
        date: date(row, id, 2)?,
        activity: Activity::of_word(activity).ok_or(Error::Unreadable {
            id,
            field: "activity",
        })?,
        title: row.get(4)?,
        duration_s: thousandths::back(row.get(5)?),
        rpe: row.get::<_, Option<i64>>(6)?.map(thousandths::of_tenths),
        note: row.get(7)?,
        recorded: recorded(row, id)?,
    })
}

/// The sums; nothing of a note, which has none.
fn recorded(row: &Row<'_>, id: i64) -> Result<Option<Recorded>, Error> {
    let sums = ENTRY.len();
    if row.get_ref(sums)? == ValueRef::Null {
        return Ok(None);
    }
    let mut recorded = Recorded::blank();
    let around = columns::fill(SUMS, &mut recorded, row, sums, id)?;
    recorded.speed_planned = row.get(around)?;
    recorded.heart = heart::read(row, id, around + 1)?;
    Ok(Some(recorded))
}
