//! Takes out of the diary how each block of a plan was done.

use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::civil::Date;
use rusqlite::params;

use crate::diary::words::{self, VERDICTS};
use crate::diary::{Diary, Error, Filter, thousandths};
use crate::measured::Measured;
use crate::plan::Category;
use crate::review::Verdict;

/// A block of a plan in one session, as far as drills need it.
#[derive(Clone, Debug, PartialEq)]
pub struct Drilled {
    /// The number of its entry.
    pub id: i64,
    /// Whose; empty where nobody is named.
    pub athlete: String,
    /// The day.
    pub date: Date,
    /// Fixes a second of the recording.
    pub rate_hz: f64,
    /// The text of the plan.
    pub plan: Arc<str>,
    /// Its place in the plan, from 1.
    pub block: usize,
    /// Of the plan.
    pub category: Category,
    /// In order of set and rep.
    pub reps: Vec<DrilledRep>,
}

/// A rep of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrilledRep {
    /// Whether it was done.
    pub verdict: Verdict,
    /// s.
    pub work_s: Option<Measured>,
    /// m.
    pub distance_m: Option<Measured>,
    /// m/s.
    pub peak_speed_m_s: Option<Measured>,
}

impl Diary {
    /// The blocks with reps in order of day, entry and place in the plan.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn drilled(&self, filter: &Filter<'_>) -> Result<Vec<Drilled>, Error> {
        let plans = self.plans_of_recordings(filter)?;
        let (from, to) = filter.days();
        let mut statement = self.connection.prepare_cached(
            "SELECT s.id, s.athlete, s.date, r.rate_mhz, b.block, b.category, p.verdict, p.work_ms, p.work_low_ms,
                p.work_high_ms, p.distance_mm, p.distance_low_mm, p.distance_high_mm, p.peak_mm_s, p.peak_low_mm_s,
                p.peak_high_mm_s
             FROM session s JOIN recording r ON r.session_id = s.id JOIN block b ON b.session_id = s.id
                JOIN rep p ON p.session_id = s.id AND p.block = b.block
             WHERE s.date BETWEEN ?1 AND ?2 AND (?3 IS NULL OR s.athlete = ?3)
             ORDER BY s.date, s.id, b.block, p.set_no, p.rep",
        )?;
        let mut rows = statement.query(params![from, to, filter.athlete])?;
        let mut all: Vec<Drilled> = Vec::new();
        while let Some(row) = rows.next()? {
            let id = row.get(0)?;
            let unreadable = |field| Error::Unreadable { id, field };
            let block = usize::try_from(row.get::<_, i64>(4)?).unwrap_or(0);
            if all
                .last()
                .is_none_or(|last| (last.id, last.block) != (id, block))
            {
                let Some(plan) = plans.get(&id) else { continue };
                let category = row.get_ref(5)?.as_str().unwrap_or_default();
                let category = Category::ALL.into_iter().find(|c| c.word() == category);
                let date = row.get_ref(2)?.as_str().unwrap_or_default().parse();
                all.push(Drilled {
                    id,
                    athlete: row.get(1)?,
                    date: date.map_err(|_| unreadable("date"))?,
                    rate_hz: thousandths::back(row.get(3)?),
                    plan: Arc::clone(plan),
                    block,
                    category: category.ok_or(unreadable("category"))?,
                    reps: Vec::new(),
                });
            }
            let verdict = row.get_ref(6)?.as_str().unwrap_or_default();
            let rep = DrilledRep {
                verdict: words::value(&VERDICTS, verdict).ok_or(unreadable("verdict"))?,
                work_s: thousandths::read(row, 7)?,
                distance_m: thousandths::read(row, 10)?,
                peak_speed_m_s: thousandths::read(row, 13)?,
            };
            if let Some(last) = all.last_mut() {
                last.reps.push(rep);
            }
        }
        Ok(all)
    }

    /// The plan that each recording was held against, by the number of its entry; a text that several have in common is kept once.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn plans_of_recordings(
        &self,
        filter: &Filter<'_>,
    ) -> Result<BTreeMap<i64, Arc<str>>, Error> {
        let (from, to) = filter.days();
        let mut statement = self.connection.prepare_cached(
            "SELECT s.id, r.plan FROM session s JOIN recording r ON r.session_id = s.id
             WHERE r.plan IS NOT NULL AND s.date BETWEEN ?1 AND ?2 AND (?3 IS NULL OR s.athlete = ?3)",
        )?;
        let mut rows = statement.query(params![from, to, filter.athlete])?;
        let mut texts: BTreeMap<String, Arc<str>> = BTreeMap::new();
        let mut plans = BTreeMap::new();
        while let Some(row) = rows.next()? {
            let text: String = row.get(1)?;
            let shared = texts
                .entry(text)
                .or_insert_with_key(|text| Arc::from(text.as_str()));
            plans.insert(row.get(0)?, Arc::clone(shared));
        }
        Ok(plans)
    }
}
