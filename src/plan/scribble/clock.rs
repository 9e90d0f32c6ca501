//! A session with the time of day in front of its lines: `18:00 warm up`, `18:15 - 18:30 rondo`, `6pm game`.
//!
//! `18:00` alone is a length as well, so a line is one of a timetable only where others of the plan begin so, each later than the
//! one before, or where it says when it ends.

mod time;

use super::cutter::cut;
use super::list_mark;
use super::token::Token;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;
use crate::plan::word;
use time::Time;

/// Half a day, min.
const HALF_DAY_MIN: u32 = 12 * 60;
/// Nobody trains earlier, min of the day: `1:00 jog` above `2:00 run` are lengths. But `5:30` may be so in the afternoon.
const EARLIEST_MIN: u32 = 6 * 60;
/// From here on whole and half hours of an afternoon are told, min of the day; before, `1:00` and `1:30` are rather lengths.
const AFTERNOON_MIN: u32 = 3 * 60;
/// Later than this, nobody reads a length, min of the day: `18:40 meet in the dressing room`.
const NO_LENGTH_MIN: u32 = HALF_DAY_MIN;
/// Lines of a timetable that might as well be lengths follow each other within this time, min.
const LONGEST_PART_MIN: u32 = 90;
/// Nothing that ends is longer, min.
const LONGEST_MIN: u32 = 4 * 60;

/// The time of day in front of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::plan) struct Clock {
    /// Min of the day; behind `12:45`, `1:15` is 13:15.
    minutes: u32,
    /// When it ends, where the line says so.
    ends: Option<u32>,
    /// Whether it can be nothing else: it says `am` or `pm`, or the session begins at `0:00`.
    pub certain: bool,
    /// The figures as a length, s.
    pub length_s: u32,
    /// Minutes up to its end, or to the next line of the timetable.
    pub lasts_min: Option<u32>,
    /// The bytes of the line in front of its words.
    pub words_at: usize,
}

impl Clock {
    /// Whether it may be a length as well. Of two lengths, nobody gives but whole and half minutes.
    pub(in crate::plan) fn may_be_a_length(self) -> bool {
        let early = self.length_s / 60 < NO_LENGTH_MIN / 60;
        let round = |end: u32| end.is_multiple_of(30);
        let ranges = (self.ends).is_none_or(|end| round(end) && round(self.minutes));
        !self.certain && early && ranges
    }

    /// Whether the line says when it ends.
    pub(in crate::plan) fn says_its_end(self) -> bool {
        self.ends.is_some()
    }
}

/// The clocks of these lines, where they are a timetable.
pub(in crate::plan) fn timetable<'a>(lines: impl Iterator<Item = &'a str>) -> Vec<Option<Clock>> {
    let mut clocks: Vec<Option<Clock>> = lines.map(clock).collect();
    past_noon(&mut clocks);
    let told: Vec<Clock> = clocks.iter().flatten().copied().collect();
    if !is_timetable(&told) {
        return Vec::new();
    }
    let from_the_start = told.first().is_some_and(|first| first.minutes == 0);
    let mut next = None;
    for clock in clocks.iter_mut().rev().flatten() {
        clock.lasts_min = (clock.ends.or(next)).map(|end: u32| end - clock.minutes);
        clock.certain |= from_the_start;
        next = Some(clock.minutes);
    }
    clocks
}

/// `12:45` above `1:15`: the afternoon goes on, and so do the lines behind it.
fn past_noon(clocks: &mut [Option<Clock>]) {
    const BEFORE_NOON_MIN: u32 = 10 * 60;
    let (mut last, mut passed) = (None, false);
    for clock in clocks.iter_mut().flatten() {
        let behind = clock.minutes + HALF_DAY_MIN;
        let goes_on = last.is_some_and(|last: u32| {
            let noon = (BEFORE_NOON_MIN..HALF_DAY_MIN + 60).contains(&last);
            (noon || passed)
                && clock.minutes < last
                && (last + 1..=last + 2 * LONGEST_PART_MIN).contains(&behind)
        });
        if !clock.certain && goes_on {
            clock.minutes = behind;
            clock.ends = clock.ends.map(|end| end + HALF_DAY_MIN);
            passed = true;
        }
        last = Some(clock.minutes);
    }
}

/// Whether these times of day are a timetable, and no lengths.
fn is_timetable(told: &[Clock]) -> bool {
    let Some(first) = told.first() else {
        return false;
    };
    let gaps: Option<Vec<u32>> = (told.windows(2))
        .map(|two| match two {
            [one, next] if one.minutes < next.minutes => Some(next.minutes - one.minutes),
            _ => None,
        })
        .collect();
    let Some(gaps) = gaps else { return false };
    let close = !gaps.is_empty() && gaps.iter().all(|gap| *gap <= LONGEST_PART_MIN);
    let says = |clock: &Clock| clock.certain || clock.ends.is_some();
    if first.minutes >= EARLIEST_MIN {
        // `10:00 jog` above `20:00 game`: nothing begins ten hours later.
        let one_day = told.iter().all(says) || gaps.iter().all(|gap| *gap < LONGEST_MIN);
        return one_day && (told.len() > 1 || says(first));
    }
    // `5:30` above `5:45`: nobody plans lengths of quarters of a minute.
    let quarters = told.iter().any(|clock| !clock.minutes.is_multiple_of(30));
    first.certain || close && (first.minutes == 0 || first.minutes >= AFTERNOON_MIN || quarters)
}

/// The time of day that a line begins with.
fn clock(content: &str) -> Option<Clock> {
    let from = list_mark(content).unwrap_or(content.len() - content.trim_start().len());
    let text = content.get(from..)?;
    let (begin, after) = Time::read(text)?;
    let (end, after) = match Time::behind(after) {
        Some((end, after)) => (Some(end), after),
        None => (None, after),
    };
    let half = begin.half.or(end.and_then(|end| end.half));
    // `9am`, `6-7pm`, but not `9 passes`.
    let hours_alone = begin.minute.is_none() || end.is_some_and(|end| end.minute.is_none());
    if hours_alone && half.is_none() {
        return None;
    }
    let mut minutes = begin.minutes(half);
    let ends = match end {
        Some(end) => {
            let end = end.minutes(end.half.or(half));
            // `11 - 1 pm`
            if minutes > end && begin.half.is_none() && half.is_some() && minutes >= HALF_DAY_MIN {
                minutes -= HALF_DAY_MIN;
            }
            // `12:45 - 1:15`
            let end = end
                + if end < minutes && end < HALF_DAY_MIN {
                    HALF_DAY_MIN
                } else {
                    0
                };
            let lasts = end.checked_sub(minutes)?;
            Some(end).filter(|_| (1..=LONGEST_MIN).contains(&lasts))
        }
        None => None,
    };
    if end.is_some() && ends.is_none() {
        return None;
    }
    let words =
        after.trim_start_matches(|c: char| c.is_whitespace() || word::is_dash(c) || c == ':');
    let digits = words.trim_start_matches(|c: char| c.is_ascii_digit());
    let first = word::letters(words).to_lowercase();
    // `1.30 min rest`, `10:00 x 3`
    let amount = unit_of(&first).is_some() || is_one_of(&first, "x, h, k, km, kms, mile, miles");
    // `17:45 6x30m sprints`, but not `18:00 - 18`.
    let counts = digits.len() < words.len()
        && !digits.starts_with([':', '.', '/'])
        && digits.contains(char::is_alphabetic);
    let apart = after.starts_with(|c: char| c.is_whitespace() || word::is_dash(c) || c == ':');
    let says = counts || !first.is_empty() && !amount;
    (apart && says).then_some(Clock {
        minutes,
        ends,
        certain: half.is_some(),
        length_s: begin.length_s(),
        lasts_min: None,
        words_at: content.len() - words.len(),
    })
}

/// Whether a line says how much by itself.
pub(in crate::plan) fn says_how_much(content: &str) -> bool {
    cut(content).is_some_and(|(pieces, _)| {
        pieces.iter().any(|piece| {
            piece.windows(2).any(|two| {
                matches!(two, [Token::Number(_), next]
                    if *next == Token::Times || unit_of(&next.lower()).is_some())
            })
        })
    })
}
