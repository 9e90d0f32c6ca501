//! Joins the recordings of one session, such as those of a watch that was stopped and started again.
//!
//! The recordings stand after each other in order of time, each a segment of its own: between them lies a gap, in which
//! nothing is known. Whatever is said of a line names the part it stands in.

use std::fmt;

use jiff::{SignedDuration, civil};

use super::defect::{Defect, SetAside};
use super::fix::{Clock, Fix, Position, Trace};
use crate::limits;

/// Recordings further apart than this are no one session, s.
const LONGEST_BREAK_S: f64 = 12.0 * 3600.0;

/// Why recordings are no one session; the numbers count the recordings as they were given, from 0.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum JoinError {
    /// One says no time of day, or another kind of time than the first.
    Clocks {
        /// Which.
        part: usize,
        /// Whether it says no time of day.
        elapsed: bool,
    },
    /// One holds metres and another degrees.
    Places {
        /// Which differs from the first.
        part: usize,
    },
    /// Two were recorded at the same time.
    Overlap {
        /// The one that begins first.
        first: usize,
        /// The other.
        second: usize,
        /// For how long, s.
        together_s: f64,
    },
    /// Two are too far apart.
    Apart {
        /// The earlier.
        first: usize,
        /// The later.
        second: usize,
        /// How far, s.
        apart_s: f64,
    },
    /// More fixes together than are read of one recording.
    TooManyFixes,
}

impl JoinError {
    /// One sentence, with the names of the recordings in the order in which they were given.
    #[must_use]
    pub fn in_words(&self, names: &[String]) -> String {
        let name = |k: &usize| names.get(*k).map_or("?", String::as_str);
        match self {
            Self::Clocks {
                part,
                elapsed: true,
            } => format!(
                "{}: it does not say at what time it was recorded, so that it cannot be joined to another",
                name(part)
            ),
            Self::Clocks { part, .. } => format!(
                "{}: its times name a zone and those of {} do not, or the other way round, so that they cannot be put in order",
                name(part),
                name(&0)
            ),
            Self::Places { part } => format!(
                "{}: it holds metres and {} degrees, or the other way round, so that they cannot be joined",
                name(part),
                name(&0)
            ),
            Self::Overlap {
                first,
                second,
                together_s,
            } => format!(
                "{} and {} were recorded at the same time, for {}: they are no parts of one session after each other; name one of them",
                name(first),
                name(second),
                spell(*together_s)
            ),
            Self::Apart {
                first,
                second,
                apart_s,
            } => format!(
                "{} begins {} after {} ends: they are no one session; without --join each is reviewed by itself",
                name(second),
                spell(*apart_s),
                name(first)
            ),
            Self::TooManyFixes => format!(
                "together they hold more than {} fixes, the most that is read of a session",
                limits::FIXES
            ),
        }
    }
}

impl fmt::Display for JoinError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let names: Vec<String> = (1..=limits::JOINED)
            .map(|n| format!("recording {n}"))
            .collect();
        f.write_str(&self.in_words(&names))
    }
}

impl std::error::Error for JoinError {}

/// A length of time in the two units that matter.
fn spell(seconds: f64) -> String {
    let whole = seconds.round().max(0.0) as u64;
    let (days, hours, minutes) = (whole / 86_400, whole / 3600 % 24, whole / 60 % 60);
    match (days, hours, minutes) {
        (0, 0, 0) => format!("{whole} s"),
        (0, 0, _) => format!("{minutes} min"),
        (0, ..) => format!("{hours} h {minutes} min"),
        (1, ..) => format!("1 day {hours} h"),
        _ => format!("{days} days"),
    }
}

/// Joined recordings.
#[derive(Clone, Debug)]
pub struct Joined {
    /// All of them as one.
    pub trace: Trace,
    /// Which of those that were given stands where, by time.
    pub order: Vec<usize>,
}

/// Makes one trace of recordings that were made after each other, given in any order. One alone stays as it is.
///
/// # Errors
/// When their times cannot be compared, two overlap or lie more than twelve hours apart, or they hold too much together.
pub fn join(parts: Vec<Trace>) -> Result<Joined, JoinError> {
    if let [_] = parts.as_slice() {
        return Ok(Joined {
            trace: parts.into_iter().next().unwrap_or_else(nothing),
            order: vec![0],
        });
    }
    let base = parts.first().map_or(Clock::Elapsed, |part| part.clock);
    let local = parts.first().is_some_and(is_local);
    let mut ordered = Vec::with_capacity(parts.len());
    for (k, part) in parts.into_iter().enumerate() {
        let after_s = seconds_after(part.clock, base).ok_or(JoinError::Clocks {
            part: k,
            elapsed: part.clock == Clock::Elapsed,
        })?;
        if is_local(&part) != local {
            return Err(JoinError::Places { part: k });
        }
        let times = || part.fixes.iter().map(|fix| fix.time_s + after_s);
        let first_s = times().fold(f64::INFINITY, f64::min);
        let last_s = times().fold(f64::NEG_INFINITY, f64::max);
        ordered.push((k, after_s, first_s, last_s, part));
    }
    ordered.sort_by(|a, b| a.2.total_cmp(&b.2));
    for pair in ordered.windows(2) {
        let [(first, _, _, last_s, _), (second, _, begins_s, ..)] = pair else {
            continue;
        };
        let (first, second, apart_s) = (*first, *second, begins_s - last_s);
        if apart_s <= 0.0 {
            return Err(JoinError::Overlap {
                first,
                second,
                together_s: -apart_s,
            });
        }
        if apart_s > LONGEST_BREAK_S {
            return Err(JoinError::Apart {
                first,
                second,
                apart_s,
            });
        }
    }
    if ordered
        .iter()
        .map(|(.., part)| part.fixes.len())
        .sum::<usize>()
        > limits::FIXES
    {
        return Err(JoinError::TooManyFixes);
    }
    let order = ordered.iter().map(|part| part.0).collect();
    let mut trace = nothing();
    trace.clock = base;
    for (place, (_, after_s, .., part)) in ordered.into_iter().enumerate() {
        append(&mut trace, part, after_s, place);
    }
    Ok(Joined { trace, order })
}

/// A trace of no fix.
fn nothing() -> Trace {
    Trace::new(
        Vec::new(),
        Clock::Elapsed,
        super::Format::Csv { delimiter: ',' },
    )
}

/// Adds a part after those before it; `place` is its place among them.
fn append(trace: &mut Trace, part: Trace, after_s: f64, place: usize) {
    if place == 0 {
        trace.format = part.format;
        trace.device = part.device;
    } else if trace.device != part.device {
        // Of two devices neither made the whole.
        trace.device = None;
    }
    if trace.title.is_none() {
        trace.title = part.title;
    }
    trace.offset = trace.offset.or(part.offset);
    let segment = trace
        .fixes
        .last()
        .map_or(0, |fix| fix.segment.saturating_add(1));
    trace.fixes.extend(part.fixes.into_iter().map(|fix| Fix {
        time_s: fix.time_s + after_s,
        segment: fix.segment.saturating_add(segment),
        ..fix
    }));
    for aside in part.set_aside {
        match trace
            .set_aside
            .iter_mut()
            .find(|known| known.reason == aside.reason)
        {
            Some(known) => known.count += aside.count,
            None => trace.set_aside.push(SetAside {
                // A line alone would be one of the first part.
                first_line: aside.first_line.filter(|_| place == 0),
                ..aside
            }),
        }
    }
    let number = place + 1;
    trace
        .defects
        .extend(part.defects.into_iter().map(|defect| Defect {
            line: None,
            message: match defect.line {
                Some(line) => format!("Line {line} of part {number}: {}", defect.message),
                None => format!("Part {number}: {}", defect.message),
            },
        }));
}

fn is_local(trace: &Trace) -> bool {
    let mut places = trace.fixes.iter().filter_map(|fix| fix.position);
    matches!(places.next(), Some(Position::Local { .. }))
}

/// How long after the origin of `base` that of `clock` lies, s.
fn seconds_after(clock: Clock, base: Clock) -> Option<f64> {
    let between = match (clock, base) {
        (Clock::Utc(clock), Clock::Utc(base)) => base.duration_until(clock),
        (Clock::ZoneUnknown(clock), Clock::ZoneUnknown(base)) => between(base, clock),
        _ => return None,
    };
    Some(between.as_secs_f64())
}

fn between(from: civil::DateTime, to: civil::DateTime) -> SignedDuration {
    from.duration_until(to)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trace::{self, Options};

    /// Fixes a second apart from a time of day on, at 2 m/s northward.
    fn part(day: u32, from: &str, seconds: u32) -> Trace {
        let start: civil::DateTime = format!("2026-05-{day:02}T{from}").parse().expect("a time");
        let rows: Vec<String> = (0..seconds)
            .map(|k| {
                let time = start + SignedDuration::from_secs(i64::from(k));
                format!("{time}Z,{:.7},0.0,2.0", 50.0 + 1.8e-5 * f64::from(k))
            })
            .collect();
        let text = format!("time,lat,lon,speed_m_s\n{}\n", rows.join("\n"));
        trace::read(text.as_bytes(), &Options::default()).expect("a recording")
    }

    #[test]
    fn parts_stand_in_order_of_time_with_a_break_between() {
        let parts = vec![part(12, "18:30:00", 20), part(12, "18:00:00", 30)];
        let joined = join(parts).expect("one session");
        assert_eq!(joined.order, [1, 0]);
        let fixes = &joined.trace.fixes;
        assert_eq!(fixes.len(), 50);
        assert!(fixes.windows(2).all(|w| w[0].time_s < w[1].time_s));
        assert!((fixes[30].time_s - fixes[0].time_s - 1800.0).abs() < 1e-6);
        assert_eq!((fixes[29].segment, fixes[30].segment), (0, 1));
    }

    #[test]
    fn what_is_no_one_session_says_why() {
        let names = ["a.csv".to_owned(), "b.csv".to_owned()];
        let why = |parts| join(parts).map(|_| ()).map_err(|e| e.in_words(&names));
        let same = why(vec![part(12, "18:00:00", 90), part(12, "18:01:00", 90)]);
        assert_eq!(
            same,
            Err("a.csv and b.csv were recorded at the same time, for 29 s: they are no parts of one session after each \
                 other; name one of them"
                .to_owned())
        );
        let apart = why(vec![part(14, "18:00:00", 90), part(12, "18:00:00", 91)]);
        assert_eq!(
            apart,
            Err("a.csv begins 1 day 23 h after b.csv ends: they are no one session; without --join each is reviewed by \
                 itself"
                .to_owned())
        );
        let mut elapsed = part(12, "19:00:00", 5);
        elapsed.clock = Clock::Elapsed;
        assert!(matches!(
            join(vec![part(12, "18:00:00", 5), elapsed]),
            Err(JoinError::Clocks {
                part: 1,
                elapsed: true
            })
        ));
    }

    #[test]
    fn what_is_said_of_a_line_names_its_part() {
        let mut second = part(12, "18:30:00", 5);
        second.defects.push(Defect::at(7, "heart rate not usable"));
        second.set_aside.push(SetAside {
            reason: "no time".to_owned(),
            count: 3,
            first_line: Some(4),
        });
        let joined = join(vec![part(12, "18:00:00", 5), second]).expect("one session");
        let said = joined.trace.defects.last().map(|d| d.message.as_str());
        assert_eq!(said, Some("Line 7 of part 2: heart rate not usable"));
        assert_eq!(joined.trace.set_aside[0].first_line, None);
        assert_eq!(joined.trace.fixes_in_file(), 13);
    }
}
