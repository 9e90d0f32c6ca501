//! Judges each fix that a reader meets: kept, or set aside with its reason.

use std::fmt;

use jiff::Timestamp;
use jiff::tz::Offset;

use super::candidate::{Candidate, Field};
use super::defect::{Defect, Reason, SetAside, Tally};
use super::error::Error;
use super::fix::{Clock, Fix};
use super::time::{Moment, NANO};
use crate::limits;

/// The longest elapsed time that is believed: about three years, which no recording lasts.
const LONGEST_S: f64 = 1e8;

/// A quantity beside time and position. One that is out of its range is left out of its fix and counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Quantity {
    Speed,
    Course,
    Elevation,
    HeartRate,
    Cadence,
    Hdop,
    Satellites,
}

impl Quantity {
    /// What a receiver can mean, wide: judging what an athlete can do is the business of a later stage.
    fn allows(self, value: f64) -> bool {
        match self {
            Self::Speed | Self::Cadence => (0.0..1000.0).contains(&value),
            Self::Course => (-360.0..=360.0).contains(&value),
            Self::Elevation => (-12_000.0..=100_000.0).contains(&value),
            Self::HeartRate => 0.0 < value && value < 300.0,
            Self::Hdop => (0.0..=1000.0).contains(&value),
            Self::Satellites => (0.0..=1000.0).contains(&value) && value.fract() == 0.0,
        }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Speed => "speed",
            Self::Course => "course",
            Self::Elevation => "elevation",
            Self::HeartRate => "heart rate",
            Self::Cadence => "cadence",
            Self::Hdop => "hdop",
            Self::Satellites => "satellites",
        })
    }
}

/// Which kind of clock a time belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Utc,
    Local,
    Elapsed,
}

/// The fixes of a file as they come.
///
/// All fixes of a trace share one clock. Where a file mixes times with a zone, without one and elapsed, the kind that most fixes
/// carry is kept and the others are set aside: nothing says how one clock relates to the other.
#[derive(Debug, Default)]
pub(super) struct Collector {
    fixes: Vec<Fix>,
    /// Index of the first fix of each run of one kind of clock.
    runs: Vec<(usize, Kind)>,
    utc_origin_ns: Option<i64>,
    local_origin_ns: Option<i64>,
    offset: Option<Offset>,
    reasons: Tally<Reason>,
    left_out: Tally<Quantity>,
    segment: u32,
    segment_used: bool,
    /// Whether there were more fixes than are kept.
    overfull: bool,
}

/// What a collector ends with.
#[derive(Debug)]
pub(super) struct Collected {
    pub fixes: Vec<Fix>,
    pub clock: Clock,
    pub offset: Option<Offset>,
    pub set_aside: Vec<SetAside>,
    pub defects: Vec<Defect>,
}

impl Collector {
    /// A collector with room for about so many fixes.
    pub(super) fn with_capacity(fixes: usize) -> Self {
        Self {
            // What a file claims by its length alone is believed only so far.
            fixes: Vec::with_capacity(fixes.min(100_000)),
            ..Self::default()
        }
    }

    /// Makes room for about so many fixes in all, as far as they are read.
    pub(super) fn expect(&mut self, fixes: usize) {
        let more = fixes.min(limits::FIXES).saturating_sub(self.fixes.len());
        self.fixes.reserve_exact(more);
    }

    /// The fixes that follow belong to another segment. Segments without fixes take no number.
    pub(super) fn begin_segment(&mut self) {
        if self.segment_used {
            self.segment = self.segment.saturating_add(1);
            self.segment_used = false;
        }
    }

    /// Counts a fix that cannot be used.
    pub(super) fn set_aside(&mut self, reason: Reason, line: u64) {
        self.reasons.add(reason, line);
    }

    /// Counts fixes that cannot be used, the first of them on `line`.
    pub(super) fn set_aside_many(&mut self, reason: Reason, count: usize, line: u64) {
        self.reasons.add_many(reason, count, line);
    }

    /// Fixes met so far, used or not.
    pub(super) fn met(&self) -> usize {
        self.fixes.len() + self.reasons.total()
    }

    /// Keeps a fix or sets it aside.
    pub(super) fn take(&mut self, candidate: &Candidate) {
        self.segment_used = true;
        if let Err(reason) = self.keep(candidate) {
            self.reasons.add(reason, candidate.line);
        }
    }

    fn keep(&mut self, c: &Candidate) -> Result<(), Reason> {
        if self.fixes.len() == limits::FIXES {
            self.overfull = true;
            return Ok(());
        }
        let moment = c.time?;
        let position = c.position?;
        let line = c.line;
        let speed_m_s = if position.is_some() {
            self.quantity(Quantity::Speed, c.speed_m_s, line)
        } else {
            match c.speed_m_s {
                Field::Absent => return Err(Reason::NothingMeasured),
                Field::Number(v) if Quantity::Speed.allows(v) => Some(v),
                Field::Number(_) | Field::Bad => return Err(Reason::BadSpeed),
            }
        };
        let (time_s, kind) = self.since_origin(moment)?;
        self.offset = self.offset.or(c.offset);
        let heart_rate = match c.heart_rate_bpm {
            // A strap without contact writes 0.
            Field::Number(0.0) => Field::Absent,
            other => other,
        };
        let fix = Fix {
            time_s,
            position,
            speed_m_s,
            course_deg: self
                .quantity(Quantity::Course, c.course_deg, line)
                .map(|course| course.rem_euclid(360.0)),
            elevation_m: self.quantity(Quantity::Elevation, c.elevation_m, line),
            heart_rate_bpm: self.quantity(Quantity::HeartRate, heart_rate, line),
            cadence: self.quantity(Quantity::Cadence, c.cadence, line),
            hdop: self.quantity(Quantity::Hdop, c.hdop, line),
            satellites: self
                .quantity(Quantity::Satellites, c.satellites, line)
                .map(|n| n as u32),
            segment: self.segment,
            line,
        };
        if self.runs.last().is_none_or(|(_, last)| *last != kind) {
            self.runs.push((self.fixes.len(), kind));
        }
        self.fixes.push(fix);
        Ok(())
    }

    fn quantity(&mut self, quantity: Quantity, field: Field, line: u64) -> Option<f64> {
        match field {
            Field::Absent => None,
            Field::Number(value) if quantity.allows(value) => Some(value),
            Field::Number(_) | Field::Bad => {
                self.left_out.add(quantity, line);
                None
            }
        }
    }

    /// Seconds since the first time of the same kind, so that a time keeps its last digits.
    fn since_origin(&mut self, moment: Moment) -> Result<(f64, Kind), Reason> {
        let since = |origin: &mut Option<i64>, ns: i64| {
            (ns - *origin.get_or_insert(ns)) as f64 / NANO as f64
        };
        match moment {
            Moment::Utc(ns) => Ok((since(&mut self.utc_origin_ns, ns), Kind::Utc)),
            Moment::Local(ns) => Ok((since(&mut self.local_origin_ns, ns), Kind::Local)),
            Moment::Elapsed(s) if s.abs() <= LONGEST_S => Ok((s, Kind::Elapsed)),
            Moment::Elapsed(_) => Err(Reason::TimeOutOfRange),
        }
    }

    /// The account, if there were no more fixes than are read.
    pub(super) fn finish(mut self) -> Result<Collected, Error> {
        if self.overfull {
            return Err(Error::TooManyFixes {
                limit: limits::FIXES,
            });
        }
        let kind = self.keep_one_clock();
        let clock = match kind {
            Kind::Utc => Clock::Utc(stamp(self.utc_origin_ns)),
            Kind::Local => Clock::ZoneUnknown(Offset::UTC.to_datetime(stamp(self.local_origin_ns))),
            Kind::Elapsed => Clock::Elapsed,
        };
        let mut defects: Vec<Defect> = self
            .left_out
            .iter()
            .map(|(quantity, count, line)| {
                let fixes = if count == 1 { "fix" } else { "fixes" };
                Defect::at(
                    line,
                    format!("{quantity} not usable and left out of {count} {fixes}"),
                )
            })
            .collect();
        if let (Kind::Local, Some(first)) = (kind, self.fixes.first()) {
            defects.push(Defect::at(
                first.line,
                "the times name no zone, so the hour of the day is that of an unknown clock",
            ));
        }
        Ok(Collected {
            fixes: self.fixes,
            clock,
            offset: self.offset,
            set_aside: self.reasons.into_set_aside(),
            defects,
        })
    }

    /// Sets aside the fixes whose clock is not the one that most carry, and names that one.
    fn keep_one_clock(&mut self) -> Kind {
        let ends = self.runs.iter().skip(1).map(|(start, _)| *start);
        let ends = ends.chain([self.fixes.len()]);
        let mut counts = [(Kind::Elapsed, 0), (Kind::Local, 0), (Kind::Utc, 0)];
        for ((start, kind), end) in self.runs.iter().zip(ends) {
            for (counted, count) in &mut counts {
                if counted == kind {
                    *count += end - start;
                }
            }
        }
        // The last of equals wins: a clock with a zone before one without.
        let kept = counts
            .iter()
            .max_by_key(|(_, count)| *count)
            .map_or(Kind::Utc, |(kind, _)| *kind);
        if self.runs.len() > 1 {
            let mut index = 0;
            let mut run = 0;
            let (runs, reasons) = (&self.runs, &mut self.reasons);
            self.fixes.retain(|fix| {
                if runs.get(run + 1).is_some_and(|(start, _)| *start == index) {
                    run += 1;
                }
                index += 1;
                let keep = runs.get(run).is_some_and(|(_, kind)| *kind == kept);
                if !keep {
                    reasons.add(Reason::OtherClock, fix.line);
                }
                keep
            });
        }
        kept
    }
}

/// The instant; the reader lets no time pass that jiff cannot hold.
fn stamp(ns: Option<i64>) -> Timestamp {
    Timestamp::from_nanosecond(ns.unwrap_or_default().into()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(line: u64, time: Moment) -> Candidate {
        Candidate {
            time: Ok(time),
            speed_m_s: Field::Number(1.0),
            ..Candidate::on(line)
        }
    }

    #[test]
    fn times_keep_their_last_digits() {
        let mut collector = Collector::default();
        let start = 1_778_607_000 * NANO;
        collector.take(&at(1, Moment::Utc(start)));
        collector.take(&at(2, Moment::Utc(start + 100_000_000)));
        let done = collector.finish().expect("few fixes");
        assert!((done.fixes[1].time_s - 0.1).abs() < 1e-15);
        assert_eq!(
            done.clock,
            Clock::Utc("2026-05-12T17:30:00Z".parse().expect("RFC 3339"))
        );
    }

    #[test]
    fn the_clock_of_most_fixes_is_kept() {
        let mut collector = Collector::default();
        collector.take(&at(1, Moment::Local(0)));
        for (line, s) in [(2, 0), (3, 1), (4, 2)] {
            collector.take(&at(line, Moment::Utc(s * NANO)));
        }
        collector.take(&at(5, Moment::Elapsed(4.0)));
        let done = collector.finish().expect("few fixes");
        assert!(matches!(done.clock, Clock::Utc(_)));
        assert_eq!(done.fixes.len(), 3);
        assert_eq!(done.set_aside.len(), 1);
        assert_eq!(done.set_aside[0].count, 2);
        assert_eq!(done.set_aside[0].first_line, Some(1));
    }

    #[test]
    fn more_fixes_than_are_read_are_refused() {
        let mut collector = Collector::default();
        for k in 0..limits::FIXES {
            collector.take(&at(1, Moment::Elapsed(k as f64 * 0.01)));
        }
        assert!(!collector.overfull);
        collector.take(&at(1, Moment::Elapsed(1e6)));
        assert_eq!(collector.fixes.len(), limits::FIXES);
        assert!(matches!(
            collector.finish(),
            Err(Error::TooManyFixes {
                limit: limits::FIXES
            })
        ));
    }

    #[test]
    fn empty_segments_take_no_number() {
        let mut collector = Collector::default();
        collector.begin_segment();
        collector.begin_segment();
        collector.take(&at(1, Moment::Elapsed(0.0)));
        collector.begin_segment();
        collector.begin_segment();
        collector.take(&at(2, Moment::Elapsed(1.0)));
        let done = collector.finish().expect("few fixes");
        assert_eq!([done.fixes[0].segment, done.fixes[1].segment], [0, 1]);
    }

    #[test]
    fn a_bad_extra_leaves_the_fix() {
        let mut collector = Collector::default();
        collector.take(&Candidate {
            heart_rate_bpm: Field::Number(f64::NAN),
            satellites: Field::Number(7.0),
            course_deg: Field::Number(-90.0),
            ..at(3, Moment::Elapsed(0.0))
        });
        let done = collector.finish().expect("few fixes");
        assert_eq!(done.fixes[0].heart_rate_bpm, None);
        assert_eq!(done.fixes[0].satellites, Some(7));
        assert_eq!(done.fixes[0].course_deg, Some(270.0));
        assert_eq!(
            done.defects,
            [Defect::at(3, "heart rate not usable and left out of 1 fix")]
        );
    }
}
