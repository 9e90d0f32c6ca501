//! A session with the time of day in front of its lines: `18:00 warm up`, `18:15 rondo`.
//!
//! `18:00` alone is a length as well, so a line is one of a timetable only where others of the plan begin so, each later than the
//! one before.

use super::cutter::cut;
use super::list_mark;
use super::token::Token;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;
use crate::plan::word;

/// Nobody trains earlier, min of the day: `1:00 jog` above `2:00 run` are lengths.
const EARLIEST_MIN: u32 = 6 * 60;
/// Later than this, nobody reads a length, min of the day: `18:40 meet in the dressing room`.
const NO_LENGTH_MIN: u32 = 12 * 60;

/// The time of day in front of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::plan) struct Clock {
    minutes: u32,
    /// Whether it says `am` or `pm`, so that it is no length.
    pub halved: bool,
    /// Minutes up to the next line of the timetable.
    pub lasts_min: Option<u32>,
    /// The bytes of the line in front of its words.
    pub words_at: usize,
}

impl Clock {
    /// Whether it may be a length as well.
    pub(in crate::plan) fn may_be_a_length(self) -> bool {
        !self.halved && self.minutes < NO_LENGTH_MIN
    }
}

/// The clocks of these lines, where they are a timetable.
pub(in crate::plan) fn timetable<'a>(lines: impl Iterator<Item = &'a str>) -> Vec<Option<Clock>> {
    let mut clocks: Vec<Option<Clock>> = lines.map(clock).collect();
    let minutes: Vec<u32> = clocks.iter().flatten().map(|clock| clock.minutes).collect();
    let ascends = minutes
        .windows(2)
        .all(|two| matches!(two, [one, next] if one < next));
    let lone = minutes.len() < 2 && !clocks.iter().flatten().any(|clock| clock.halved);
    let early = minutes.first().is_none_or(|first| *first < EARLIEST_MIN);
    if lone || early || !ascends {
        return Vec::new();
    }
    let mut next = None;
    for clock in clocks.iter_mut().rev().flatten() {
        clock.lasts_min = next.map(|next: u32| next - clock.minutes);
        next = Some(clock.minutes);
    }
    clocks
}

/// The time of day that a line begins with.
fn clock(content: &str) -> Option<Clock> {
    let from = list_mark(content).unwrap_or(content.len() - content.trim_start().len());
    let text = content.get(from..)?;
    let hours = text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let hour: u32 = text.get(..hours)?.parse().ok().filter(|hour| *hour < 24)?;
    let behind = text.get(hours..)?.strip_prefix([':', '.', 'h'])?;
    let minute: u32 = (behind.get(..2)?.parse().ok()).filter(|minute| *minute < 60)?;
    let after = behind.get(2..)?;
    let half = half_of_the_day(after);
    let after = half.map_or(after, |(_, behind)| behind);
    let words =
        after.trim_start_matches(|c: char| c.is_whitespace() || word::is_dash(c) || c == ':');
    let digits = words.trim_start_matches(|c: char| c.is_ascii_digit());
    let first = word::letters(words).to_lowercase();
    // `1.30 min rest`, `10:00 x 3`
    let amount = unit_of(&first).is_some() || is_one_of(&first, "x, h, k, km, kms, mile, miles");
    // `17:45 6x30m sprints`, but not `18:00 - 18:15 warm up`.
    let counts = digits.len() < words.len()
        && !digits.starts_with([':', '.', '/'])
        && digits.contains(char::is_alphabetic);
    let apart = after.starts_with(|c: char| c.is_whitespace() || word::is_dash(c) || c == ':');
    let says = counts || !first.is_empty() && !amount;
    let noon = half.map_or(0, |(noon, _)| noon);
    (apart && says).then_some(Clock {
        minutes: 60
            * if half.is_some() && hour <= 12 {
                hour % 12 + noon
            } else {
                hour
            }
            + minute,
        halved: half.is_some(),
        lasts_min: None,
        words_at: content.len() - words.len(),
    })
}

/// `pm` behind a time: the hours that it adds, and what stands behind it.
fn half_of_the_day(after: &str) -> Option<(u32, &str)> {
    let text = after.trim_start();
    let half = text.get(..2)?.to_lowercase();
    let behind = text.get(2..)?;
    let hours = match half.as_str() {
        "am" => 0,
        "pm" => 12,
        _ => return None,
    };
    (!behind.starts_with(char::is_alphanumeric)).then_some((hours, behind))
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
