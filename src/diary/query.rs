//! Takes out of the diary what weeks, bests and lists need.

use jiff::civil::Date;
use rusqlite::{OptionalExtension, Row, params};

use crate::diary::recording::{Block, Effort, Reading, Recording, Rep, Rest, Source};
use crate::diary::words::{self, BLOCK_VERDICTS, KINDS, REACHED, REST_VERDICTS, VERDICTS};
use crate::diary::{
    Activity, Diary, Entry, Error, MatchDay, Planned, Recorded, heart, thousandths, witness,
};
use crate::efforts::Band;
use crate::plan::Category;
use crate::profile::Split;
use crate::review::Counts;

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

/// The columns of an entry with its sums: one row an entry, whatever it holds.
const ENTRY: &str = "SELECT s.id, s.athlete, s.date, s.activity, s.title, s.duration_ms, s.rpe_tenths, s.note,
    r.rate_mhz, r.distance_mm, r.distance_low_mm, r.distance_high_mm, r.top_mm_s, r.top_low_mm_s, r.top_high_mm_s,
    r.high_speed_from_mm_s, r.sprint_from_mm_s, r.high_speed_mm, r.sprint_mm, r.sprints, r.rests_kept, r.rests_judged,
    r.curve_mm_s, r.curve_low_mm_s, r.curve_high_mm_s, r.counts, r.bands, r.peaks, r.splits,
    h.mean_mbpm, h.highest_mbpm, h.classes, a.heart_max_mbpm, a.heart_rest_mbpm, a.heart_load,
    r.counts IS NOT NULL AND EXISTS (SELECT 1 FROM block b WHERE b.session_id = s.id AND b.category = 'speed')
    FROM session s LEFT JOIN recording r ON r.session_id = s.id LEFT JOIN heart h ON h.session_id = s.id
        LEFT JOIN athlete a ON a.name = s.athlete";

impl Diary {
    /// The entries in order of their day, with the sums of what was recorded.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn entries(&self, filter: &Filter<'_>) -> Result<Vec<Entry>, Error> {
        let (from, to) = filter.days();
        let sql = match filter.athlete {
            // Each form has the index that serves it.
            Some(_) => {
                format!(
                    "{ENTRY} WHERE s.athlete = ?3 AND s.date BETWEEN ?1 AND ?2 ORDER BY s.date, s.id"
                )
            }
            None => format!(
                "{ENTRY} WHERE s.date BETWEEN ?1 AND ?2 AND ?3 IS NULL ORDER BY s.date, s.id"
            ),
        };
        let mut statement = self.connection.prepare_cached(&sql)?;
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
            .prepare_cached(&format!("{ENTRY} WHERE s.id = ?"))?;
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
            efforts: self.efforts(entry.id)?,
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
        let sql = "SELECT sha256, path, start, plan, settings, reading, version, device, witness, rate_mhz
            FROM recording WHERE session_id = ?";
        let mut statement = self.connection.prepare_cached(sql)?;
        let (source, plan, settings, reading, version, device, kept, rate_mhz) = statement
            .query_row([id], |row| {
                let source = Source {
                    sha256: row.get(0)?,
                    path: row.get(1)?,
                    start: row.get(2)?,
                    trace: None,
                };
                Ok((
                    source,
                    row.get(3)?,
                    row.get(4)?,
                    row.get::<_, String>(5)?,
                    row.get(6)?,
                    row.get(7)?,
                    row.get::<_, Option<String>>(8)?,
                    row.get(9)?,
                ))
            })?;
        let (columns, day_first) =
            serde_json::from_str(&reading).map_err(|_| Error::Unreadable {
                id,
                field: "reading",
            })?;
        Ok(Recording {
            summary,
            source,
            efforts: Vec::new(),
            blocks: Vec::new(),
            plan,
            settings,
            reading: Reading { columns, day_first },
            version,
            device,
            witness: kept
                .map(|text| witness::read(id, rate_mhz, &text))
                .transpose()?,
        })
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

    fn efforts(&self, id: i64) -> Result<Vec<Effort>, Error> {
        let mut statement = self.connection.prepare_cached(
            "SELECT kind, start_ms, duration_ms, distance_mm, peak_mm_s, peak_low_mm_s, peak_high_mm_s, acceleration_mm_s2,
                acceleration_low_mm_s2, acceleration_high_mm_s2, turn_tenths_deg, probability_thousandths
             FROM effort WHERE session_id = ? ORDER BY n",
        )?;
        let mut rows = statement.query([id])?;
        let mut efforts = Vec::new();
        while let Some(row) = rows.next()? {
            let kind = count(row, 0)?;
            let field = "effort";
            let kind = kind.checked_sub(1).and_then(|k| KINDS.get(k)).copied();
            efforts.push(Effort {
                kind: kind.ok_or(Error::Unreadable { id, field })?,
                start_s: thousandths::back(row.get(1)?),
                duration_s: thousandths::back(row.get(2)?),
                distance_m: thousandths::back(row.get(3)?),
                peak_speed_m_s: thousandths::read(row, 4)?
                    .ok_or(Error::Unreadable { id, field })?,
                peak_acceleration_m_s2: thousandths::read(row, 7)?,
                turn_deg: row.get::<_, Option<i64>>(10)?.map(|t| t as f64 / 10.0),
                probability: row.get::<_, Option<i64>>(11)?.map(thousandths::back),
            });
        }
        Ok(efforts)
    }

    fn blocks(&self, id: i64) -> Result<Vec<Block>, Error> {
        let unreadable = |field| Error::Unreadable { id, field };
        let mut statement = self.connection.prepare_cached(
            "SELECT block, category, name, with_ball, verdict, start_ms, end_ms FROM block WHERE session_id = ? ORDER BY block",
        )?;
        let mut rows = statement.query([id])?;
        let mut blocks = Vec::new();
        while let Some(row) = rows.next()? {
            let category: String = row.get(1)?;
            let verdict: String = row.get(4)?;
            let category = Category::ALL.into_iter().find(|c| c.word() == category);
            let index = count(row, 0)?;
            blocks.push(Block {
                index,
                category: category.ok_or(unreadable("category"))?,
                name: row.get(2)?,
                with_ball: row.get(3)?,
                verdict: words::value(&BLOCK_VERDICTS, &verdict).ok_or(unreadable("verdict"))?,
                start_s: seconds(row, 5)?,
                end_s: seconds(row, 6)?,
                reps: self.reps(id, index)?,
                rests: self.rests(id, index)?,
                heart: heart::block(self, id, index)?,
            });
        }
        Ok(blocks)
    }

    fn reps(&self, id: i64, block: usize) -> Result<Vec<Rep>, Error> {
        let mut statement = self.connection.prepare_cached(
            "SELECT set_no, rep, verdict, why, start_ms, end_ms, work_ms, work_low_ms, work_high_ms, work_planned_ms, distance_mm,
                distance_low_mm, distance_high_mm, distance_planned_mm, peak_mm_s, peak_low_mm_s, peak_high_mm_s,
                of_top_thousandths, of_top_low_thousandths, of_top_high_thousandths, reached
             FROM rep WHERE session_id = ? AND block = ? ORDER BY set_no, rep",
        )?;
        let mut rows = statement.query(params![id, thousandths::count(block)])?;
        let mut reps = Vec::new();
        while let Some(row) = rows.next()? {
            let verdict: String = row.get(2)?;
            let reached: Option<String> = row.get(20)?;
            reps.push(Rep {
                set: count(row, 0)?,
                index: count(row, 1)?,
                verdict: words::value(&VERDICTS, &verdict).ok_or(Error::Unreadable {
                    id,
                    field: "verdict",
                })?,
                why: row.get(3)?,
                start_s: seconds(row, 4)?,
                end_s: seconds(row, 5)?,
                work_s: thousandths::read(row, 6)?,
                work_planned_s: seconds(row, 9)?,
                distance_m: thousandths::read(row, 10)?,
                distance_planned_m: seconds(row, 13)?,
                peak_speed_m_s: thousandths::read(row, 14)?,
                of_top_speed: thousandths::read(row, 17)?,
                reached: reached.and_then(|word| words::value(&REACHED, &word)),
            });
        }
        Ok(reps)
    }

    fn rests(&self, id: i64, block: usize) -> Result<Vec<Rest>, Error> {
        let mut statement = self.connection.prepare_cached(
            "SELECT set_no, rep, rest_ms, rest_low_ms, rest_high_ms, planned_ms, verdict
             FROM rest WHERE session_id = ? AND block = ? ORDER BY set_no, rep = 0, rep",
        )?;
        let mut rows = statement.query(params![id, thousandths::count(block)])?;
        let mut rests = Vec::new();
        while let Some(row) = rows.next()? {
            let rep = count(row, 1)?;
            let verdict: Option<String> = row.get(6)?;
            rests.push(Rest {
                set: count(row, 0)?,
                after_rep: (rep > 0).then_some(rep),
                rest_s: seconds(row, 2)?,
                interval_s: seconds(row, 3)?
                    .zip(seconds(row, 4)?)
                    .map(|(low, high)| [low, high]),
                planned_s: seconds(row, 5)?,
                verdict: verdict.and_then(|word| words::value(&REST_VERDICTS, &word)),
            });
        }
        Ok(rests)
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

/// A count; below 0 there is none.
fn count(row: &Row<'_>, column: usize) -> rusqlite::Result<usize> {
    Ok(usize::try_from(row.get::<_, i64>(column)?).unwrap_or(0))
}

/// Thousandths in a column that may be empty, back in their unit.
fn seconds(row: &Row<'_>, column: usize) -> rusqlite::Result<Option<f64>> {
    Ok(row.get::<_, Option<i64>>(column)?.map(thousandths::back))
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
        rpe: row.get::<_, Option<i64>>(6)?.map(|t| t as f64 / 10.0),
        note: row.get(7)?,
        recorded: match row.get::<_, Option<i64>>(8)? {
            Some(rate) => Some(recorded(row, id, rate)?),
            None => None,
        },
    })
}

fn recorded(row: &Row<'_>, id: i64, rate: i64) -> Result<Recorded, Error> {
    let unreadable = |field| Error::Unreadable { id, field };
    let counts: Option<[usize; 6]> = match row.get_ref(25)?.as_str_or_null() {
        Ok(None) => None,
        Ok(Some(text)) => Some(serde_json::from_str(text).map_err(|_| unreadable("counts"))?),
        Err(_) => return Err(unreadable("counts")),
    };
    let text = |column: usize, field| row.get_ref(column)?.as_str().map_err(|_| unreadable(field));
    let bands: Vec<(String, i64, Option<i64>, i64, i64)> =
        serde_json::from_str(text(26, "bands")?).map_err(|_| unreadable("bands"))?;
    let peaks: Vec<[i64; 3]> =
        serde_json::from_str(text(27, "peaks")?).map_err(|_| unreadable("peaks"))?;
    let splits: Vec<[i64; 4]> =
        serde_json::from_str(text(28, "splits")?).map_err(|_| unreadable("splits"))?;
    Ok(Recorded {
        distance_m: thousandths::read(row, 9)?.ok_or(unreadable("distance"))?,
        top_speed_m_s: thousandths::read(row, 12)?,
        bands: bands
            .into_iter()
            .map(|(name, from, to, time, distance)| Band {
                name,
                from_m_s: thousandths::back(from),
                to_m_s: to.map(thousandths::back),
                time_s: thousandths::back(time),
                distance_m: thousandths::back(distance),
            })
            .collect(),
        thresholds_m_s: [row.get(15)?, row.get(16)?].map(thousandths::back),
        fast_m: [row.get(17)?, row.get(18)?].map(thousandths::back),
        peaks_m_s: peaks.into_iter().map(thousandths::measured).collect(),
        sprints: count(row, 19)?,
        counts: counts.map(|[planned, done, short, slow, missed, unresolved]| Counts {
            planned,
            done,
            short,
            slow,
            missed,
            unresolved,
        }),
        rests: [count(row, 20)?, count(row, 21)?],
        curve_top_m_s: thousandths::read(row, 22)?,
        splits: splits
            .into_iter()
            .map(|[distance, value, low, high]| Split {
                distance_m: thousandths::back(distance),
                time_s: thousandths::measured([value, low, high]),
            })
            .collect(),
        rate_hz: thousandths::back(rate),
        speed_planned: row.get(35)?,
        heart: heart::read(row, id, 29)?,
    })
}
