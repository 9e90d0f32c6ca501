//! What is kept of the heart rate of a recording, and what is known of an athlete's heart.

use std::collections::BTreeMap;

use rusqlite::types::ValueRef;
use rusqlite::{Row, Statement, params};

use crate::diary::columns::{self, Kept, Table, field};
use crate::diary::{Diary, Error, thousandths};
use crate::motion::{Motion, Sample};
use crate::review::BlockReview;
use crate::session::Session;

/// Width of a class, beats a minute.
pub const CLASS_BPM: u16 = 5;
/// Rates outside are errors of the sensor, beats a minute.
const PLAUSIBLE_BPM: std::ops::Range<f32> = 25.0..240.0;
/// A rate is reached when it was reached or passed for so long together, s: a single beat that the sensor doubled is none.
const HELD_S: f64 = 5.0;
/// After a set the drop within so long, s.
const RECOVERY_S: f64 = 60.0;
/// A sample stands for so long at most, s.
const STANDS_S: f64 = 1.0;
/// How near to a moment a rate must lie, s.
const NEAR_S: f64 = 3.0;

/// What is kept of the heart rate of a recording.
#[derive(Clone, Debug, PartialEq)]
pub struct Heart {
    /// Time in classes of [`CLASS_BPM`], by their lower edges, ascending, s; classes without time are left out.
    pub classes_s: Vec<(u16, f64)>,
    /// Mean, beats a minute.
    pub mean_bpm: f64,
    /// The highest that was reached or passed for five seconds together, beats a minute.
    pub highest_bpm: f64,
    /// What the diary knows of the athlete's heart; nothing on the way into it.
    pub numbers: Option<HeartNumbers>,
}

/// The heart rate over a block.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockHeart {
    /// Mean, beats a minute.
    pub mean_bpm: f64,
    /// The highest, as in a recording, beats a minute.
    pub highest_bpm: f64,
    /// After each set that a minute without work followed.
    pub recoveries: Vec<Recovery>,
}

/// The drop of the heart rate in the first minute after a set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Recovery {
    /// From 1.
    pub set: usize,
    /// At the end of its work, beats a minute.
    pub at_end_bpm: f64,
    /// How much lower it was a minute later, beats a minute.
    pub drop_bpm: f64,
}

/// What is known of an athlete's heart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HeartNumbers {
    /// Highest rate, beats a minute.
    pub max_bpm: f64,
    /// Rate at rest, beats a minute.
    pub rest_bpm: Option<f64>,
    /// By what the load is told.
    pub load: HeartLoad,
}

/// By what the load by heart rate is told.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum HeartLoad {
    /// Minutes in five zones times 1 to 5 (Edwards 1993).
    #[default]
    Edwards,
    /// Minutes weighted by the heart rate reserve, for men (Morton, Fitz-Clarke, Banister 1990).
    BanisterMen,
    /// The same for women.
    BanisterWomen,
}

impl HeartLoad {
    /// All of them.
    const ALL: [Self; 3] = [Self::Edwards, Self::BanisterMen, Self::BanisterWomen];

    /// Its word, as it is typed and kept.
    #[must_use]
    fn word(self) -> &'static str {
        match self {
            Self::Edwards => "edwards",
            Self::BanisterMen => "banister-men",
            Self::BanisterWomen => "banister-women",
        }
    }
}

/// An athlete of whose heart something is known.
#[derive(Clone, Debug, PartialEq)]
pub struct HeartOf {
    /// Who.
    pub athlete: String,
    /// What is known, where the highest rate is.
    pub numbers: Option<HeartNumbers>,
    /// The highest rate of all recordings, beats a minute.
    pub highest_bpm: Option<f64>,
}

impl Heart {
    /// The heart rate of a session; `None` where none was recorded.
    #[must_use]
    pub(crate) fn of(session: &Session) -> Option<Self> {
        let (rates, [mean_bpm, highest_bpm]) =
            over(&session.motion, f64::NEG_INFINITY, f64::INFINITY)?;
        let mut classes: BTreeMap<u16, f64> = BTreeMap::new();
        for (rate, time_s) in rates {
            *classes
                .entry(rate as u16 / CLASS_BPM * CLASS_BPM)
                .or_default() += time_s;
        }
        Some(Self {
            classes_s: classes.into_iter().collect(),
            mean_bpm,
            highest_bpm,
            numbers: None,
        })
    }
}

impl BlockHeart {
    /// The heart rate over a block that was found.
    #[must_use]
    pub(crate) fn of(session: &Session, block: &BlockReview) -> Option<Self> {
        let motion = &session.motion;
        let (_, [mean_bpm, highest_bpm]) = over(motion, block.start_s?, block.end_s?)?;
        let reps = || {
            let blocks = session.review.plan.iter().flat_map(|plan| &plan.blocks);
            blocks
                .flat_map(|block| &block.sets)
                .flat_map(|set| &set.reps)
        };
        let recovery = |set: &crate::review::SetReview| {
            let end_s = set
                .reps
                .iter()
                .filter_map(|rep| rep.end_s)
                .reduce(f64::max)?;
            let at_end_bpm = near(motion, end_s)?;
            let drop_bpm = at_end_bpm - near(motion, end_s + RECOVERY_S)?;
            // Work within the minute is no recovery.
            let rests = !reps().any(|rep| {
                rep.start_s
                    .is_some_and(|s| end_s <= s && s < end_s + RECOVERY_S)
            });
            rests.then_some(Recovery {
                set: set.index,
                at_end_bpm,
                drop_bpm,
            })
        };
        Some(Self {
            mean_bpm,
            highest_bpm,
            recoveries: block.sets.iter().filter_map(recovery).collect(),
        })
    }
}

/// Rates, each with the time it stands for, s.
type Rates = Vec<(f32, f64)>;

/// The rates from one moment to another, and their mean and highest.
fn over(motion: &Motion, from_s: f64, to_s: f64) -> Option<(Rates, [f64; 2])> {
    let samples = &motion.samples;
    let mut rates = Rates::new();
    let window = motion.window(from_s, to_s);
    for (at, sample) in samples
        .iter()
        .enumerate()
        .take(window.end)
        .skip(window.start)
    {
        let within = from_s <= sample.time_s && sample.time_s <= to_s;
        let rate = sample
            .heart_rate_bpm
            .filter(|rate| within && PLAUSIBLE_BPM.contains(rate));
        let next_s = samples
            .get(at + 1)
            .map_or(sample.time_s, |next| next.time_s);
        let stands_s = (next_s - sample.time_s).clamp(0.0, STANDS_S);
        if let Some(rate) = rate.filter(|_| stands_s > 0.0) {
            rates.push((rate, stands_s));
        }
    }
    let all_s: f64 = rates.iter().map(|(_, time_s)| time_s).sum();
    if all_s <= 0.0 {
        return None;
    }
    let mean = rates
        .iter()
        .map(|(rate, time_s)| f64::from(*rate) * time_s)
        .sum::<f64>()
        / all_s;
    let mut sorted = rates.clone();
    sorted.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut held_s = 0.0;
    let highest = (sorted.iter())
        .find(|(_, time_s)| {
            held_s += time_s;
            held_s >= HELD_S.min(all_s)
        })
        .map_or(mean, |(rate, _)| f64::from(*rate));
    Some((rates, [mean, highest]))
}

/// The rate nearest to a moment.
fn near(motion: &Motion, time_s: f64) -> Option<f64> {
    let away = |sample: &Sample| (sample.time_s - time_s).abs();
    motion
        .window(time_s - NEAR_S, time_s + NEAR_S)
        .filter_map(|at| motion.samples.get(at))
        .filter(|sample| {
            sample
                .heart_rate_bpm
                .is_some_and(|rate| PLAUSIBLE_BPM.contains(&rate))
        })
        .min_by(|a, b| away(a).total_cmp(&away(b)))
        .and_then(|sample| sample.heart_rate_bpm)
        .map(f64::from)
}

impl Diary {
    /// What is known of everybody's heart: of those of whom something was written down, and of those who recorded heart rate.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn hearts(&self) -> Result<Vec<HeartOf>, Error> {
        let mut statement = self.connection.prepare_cached(
            "SELECT n.name, a.heart_max_mbpm, a.heart_rest_mbpm, a.heart_load,
                (SELECT max(h.highest_mbpm) FROM heart h JOIN session s ON s.id = h.session_id WHERE s.athlete = n.name)
             FROM (SELECT name FROM athlete UNION SELECT s.athlete FROM heart h JOIN session s ON s.id = h.session_id) n
                LEFT JOIN athlete a ON a.name = n.name
             ORDER BY 1",
        )?;
        let mut rows = statement.query([])?;
        let mut all = Vec::new();
        while let Some(row) = rows.next()? {
            all.push(HeartOf {
                athlete: row.get(0)?,
                numbers: numbers(row, 1)?,
                highest_bpm: row.get::<_, Option<i64>>(4)?.map(thousandths::back),
            });
        }
        Ok(all)
    }

    /// Writes down what is known of an athlete's heart, in the place of what was.
    ///
    /// # Errors
    /// When a rate is none that a heart has, or the file cannot be written.
    pub fn set_heart(&mut self, athlete: &str, numbers: &HeartNumbers) -> Result<(), Error> {
        let sound = |bpm: f64| (20.0..=250.0).contains(&bpm);
        if !sound(numbers.max_bpm) || numbers.rest_bpm.is_some_and(|rest| !sound(rest)) {
            return Err(Error::Value {
                field: "a heart rate",
                expected: "between 20 and 250 beats a minute",
            });
        }
        if numbers.rest_bpm.is_some_and(|rest| rest >= numbers.max_bpm) {
            return Err(Error::Value {
                field: "the heart rate at rest",
                expected: "below the highest",
            });
        }
        self.connection.execute(
            "INSERT INTO athlete (name, heart_max_mbpm, heart_rest_mbpm, heart_load)
             VALUES (?, ?, ?, ?) ON CONFLICT DO UPDATE SET heart_max_mbpm = excluded.heart_max_mbpm,
                heart_rest_mbpm = excluded.heart_rest_mbpm, heart_load = excluded.heart_load",
            params![
                athlete.trim(),
                thousandths::of(numbers.max_bpm),
                thousandths::of_some(numbers.rest_bpm),
                numbers.load.word()
            ],
        )?;
        Ok(())
    }
}

/// The numbers in three columns from `first` on; nothing where the highest rate is not known.
pub(super) fn numbers(row: &Row<'_>, first: usize) -> rusqlite::Result<Option<HeartNumbers>> {
    let Some(max) = row.get::<_, Option<i64>>(first)? else {
        return Ok(None);
    };
    let word = row.get_ref(first + 2)?.as_str_or_null().ok().flatten();
    let load = HeartLoad::ALL
        .into_iter()
        .find(|load| Some(load.word()) == word);
    Ok(Some(HeartNumbers {
        max_bpm: thousandths::back(max),
        rest_bpm: row.get::<_, Option<i64>>(first + 1)?.map(thousandths::back),
        load: load.unwrap_or_default(),
    }))
}

/// The heart rate in the columns of [`HEARTS`] from `first` on and the numbers after them; nothing where none was recorded.
pub(super) fn read(row: &Row<'_>, id: i64, first: usize) -> Result<Option<Heart>, Error> {
    if row.get_ref(first)? == ValueRef::Null {
        return Ok(None);
    }
    let mut heart = (HEARTS.blank)();
    let behind = columns::fill(HEARTS.fields, &mut heart, row, first, id)?;
    heart.numbers = numbers(row, behind)?;
    Ok(Some(heart))
}

/// The table of the heart rates of recordings.
pub(super) const HEARTS: Table<Heart> = Table {
    name: "heart",
    keys: &["session_id"],
    order: "session_id",
    fields: &[
        field!(mean_bpm in "mean_mbpm"),
        field!(highest_bpm in "highest_mbpm"),
        field!(classes_s in "classes"),
    ],
    blank: || Heart {
        classes_s: Vec::new(),
        mean_bpm: 0.0,
        highest_bpm: 0.0,
        numbers: None,
    },
};

/// The table of those of blocks.
pub(super) const BLOCK_HEARTS: Table<BlockHeart> = Table {
    name: "block_heart",
    keys: &["session_id", "block"],
    order: "block",
    fields: &[
        field!(mean_bpm in "mean_mbpm"),
        field!(highest_bpm in "highest_mbpm"),
        field!(recoveries in "recoveries"),
    ],
    blank: || BlockHeart {
        mean_bpm: 0.0,
        highest_bpm: 0.0,
        recoveries: Vec::new(),
    },
};

/// Lower edge and time of each class.
impl Kept for Vec<(u16, f64)> {
    fn bind(&self, statement: &mut Statement<'_>, at: usize) -> Result<(), Error> {
        let classes = self.iter().map(|(from, s)| (*from, thousandths::of(*s)));
        columns::bind_json(&classes.collect::<Vec<_>>(), statement, at)
    }

    fn read(row: &Row<'_>, at: usize, id: i64) -> Result<Self, Error> {
        let classes: Vec<(u16, i64)> = columns::read_json(row, at, id, "heart")?;
        let in_s = |(from, ms)| (from, thousandths::back(ms));
        Ok(classes.into_iter().map(in_s).collect())
    }
}

/// Set, rate at its end and drop of each.
impl Kept for Vec<Recovery> {
    fn bind(&self, statement: &mut Statement<'_>, at: usize) -> Result<(), Error> {
        let of = thousandths::of;
        let recoveries = (self.iter()).map(|r| (r.set, of(r.at_end_bpm), of(r.drop_bpm)));
        columns::bind_json(&recoveries.collect::<Vec<_>>(), statement, at)
    }

    fn read(row: &Row<'_>, at: usize, id: i64) -> Result<Self, Error> {
        let recoveries: Vec<(usize, i64, i64)> = columns::read_json(row, at, id, "recoveries")?;
        let recovery = |(set, at_end, drop)| Recovery {
            set,
            at_end_bpm: thousandths::back(at_end),
            drop_bpm: thousandths::back(drop),
        };
        Ok(recoveries.into_iter().map(recovery).collect())
    }
}
