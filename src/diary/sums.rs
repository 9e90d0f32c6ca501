//! The sums of a recording, each with its columns.

use rusqlite::{Row, Statement};

use crate::diary::columns::{Field, Kept, bind_json, field, read_json};
use crate::diary::{Error, Recorded, thousandths};
use crate::efforts::Band;
use crate::measured::Measured;
use crate::profile::Split;
use crate::review::Counts;

/// The sums but for what other tables know: the heart rate, and whether sprints were planned. The first is in every recording.
pub(super) const SUMS: &[Field<Recorded>] = &[
    field!(rate_hz in "rate_mhz"),
    Field {
        columns: &["distance_mm", "distance_low_mm", "distance_high_mm"],
        bind: |sums, statement, at| Some(sums.distance_m).bind(statement, at),
        read: |sums, row, at, id| {
            let field = "distance";
            sums.distance_m = thousandths::read(row, at)?.ok_or(Error::Unreadable { id, field })?;
            Ok(())
        },
    },
    field!(top_speed_m_s in "top_mm_s", "top_low_mm_s", "top_high_mm_s"),
    field!(thresholds_m_s in "high_speed_from_mm_s", "sprint_from_mm_s"),
    field!(fast_m in "high_speed_mm", "sprint_mm"),
    field!(sprints in "sprints"),
    field!(rests in "rests_kept", "rests_judged"),
    field!(curve_top_m_s in "curve_mm_s", "curve_low_mm_s", "curve_high_mm_s"),
    field!(counts in "counts"),
    field!(bands in "bands"),
    field!(peaks_m_s in "peaks"),
    field!(splits in "splits"),
];

impl Recorded {
    /// Sums of which nothing was read yet.
    pub(super) fn blank() -> Self {
        Self {
            distance_m: Measured::within(0.0, 0.0, 0.0),
            top_speed_m_s: None,
            bands: Vec::new(),
            thresholds_m_s: [0.0; 2],
            fast_m: [0.0; 2],
            peaks_m_s: Vec::new(),
            sprints: 0,
            counts: None,
            rests: [0; 2],
            curve_top_m_s: None,
            splits: Vec::new(),
            rate_hz: 0.0,
            speed_planned: false,
            heart: None,
        }
    }
}

/// The counts in their order; nothing without a plan.
impl Kept for Option<Counts> {
    fn bind(&self, statement: &mut Statement<'_>, at: usize) -> Result<(), Error> {
        match self {
            None => Ok(statement.raw_bind_parameter(at, None::<&str>)?),
            Some(c) => {
                let counts = [c.planned, c.done, c.short, c.slow, c.missed, c.unresolved];
                bind_json(&counts, statement, at)
            }
        }
    }

    fn read(row: &Row<'_>, at: usize, id: i64) -> Result<Self, Error> {
        if let Ok(None) = row.get_ref(at)?.as_str_or_null() {
            return Ok(None);
        }
        let [planned, done, short, slow, missed, unresolved] = read_json(row, at, id, "counts")?;
        Ok(Some(Counts {
            planned,
            done,
            short,
            slow,
            missed,
            unresolved,
        }))
    }
}

/// Name, both edges, time and distance of each.
impl Kept for Vec<Band> {
    fn bind(&self, statement: &mut Statement<'_>, at: usize) -> Result<(), Error> {
        let bands = self.iter().map(|b| {
            (
                &b.name,
                thousandths::of(b.from_m_s),
                thousandths::of_some(b.to_m_s),
                thousandths::of(b.time_s),
                thousandths::of(b.distance_m),
            )
        });
        bind_json(&bands.collect::<Vec<_>>(), statement, at)
    }

    fn read(row: &Row<'_>, at: usize, id: i64) -> Result<Self, Error> {
        let bands: Vec<(String, i64, Option<i64>, i64, i64)> = read_json(row, at, id, "bands")?;
        let band = |(name, from, to, time, distance): (_, _, Option<i64>, _, _)| Band {
            name,
            from_m_s: thousandths::back(from),
            to_m_s: to.map(thousandths::back),
            time_s: thousandths::back(time),
            distance_m: thousandths::back(distance),
            within: None,
        };
        Ok(bands.into_iter().map(band).collect())
    }
}

/// Value, low and high of each.
impl Kept for Vec<Measured> {
    fn bind(&self, statement: &mut Statement<'_>, at: usize) -> Result<(), Error> {
        let peaks: Vec<[i64; 3]> = self.iter().filter_map(known).collect();
        bind_json(&peaks, statement, at)
    }

    fn read(row: &Row<'_>, at: usize, id: i64) -> Result<Self, Error> {
        let peaks: Vec<[i64; 3]> = read_json(row, at, id, "peaks")?;
        Ok(peaks.into_iter().map(thousandths::measured).collect())
    }
}

/// Distance, and value, low and high of the time, of each.
impl Kept for Vec<Split> {
    fn bind(&self, statement: &mut Statement<'_>, at: usize) -> Result<(), Error> {
        let splits = self.iter().filter_map(|split| {
            let [value, low, high] = known(&split.time_s)?;
            Some([thousandths::of(split.distance_m)?, value, low, high])
        });
        bind_json(&splits.collect::<Vec<_>>(), statement, at)
    }

    fn read(row: &Row<'_>, at: usize, id: i64) -> Result<Self, Error> {
        let splits: Vec<[i64; 4]> = read_json(row, at, id, "splits")?;
        let split = |[distance, value, low, high]: [i64; 4]| Split {
            distance_m: thousandths::back(distance),
            time_s: thousandths::measured([value, low, high]),
        };
        Ok(splits.into_iter().map(split).collect())
    }
}

fn known(measured: &Measured) -> Option<[i64; 3]> {
    match thousandths::of_measured(Some(*measured)) {
        [Some(value), Some(low), Some(high)] => Some([value, low, high]),
        _ => None,
    }
}
