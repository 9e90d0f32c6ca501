//! A session with the time of day in front of its lines: `18:00 warm up`, `18:15 rondo`.
//!
//! `18:00` alone is a length as well, so a line is one of a timetable only where others of the plan begin so, each later than the
//! one before.

use super::cutter::cut;
use super::list_mark;
use super::token::Token;
use crate::plan::phrase::unit_of;
use crate::plan::word;

/// The time of day in front of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::plan) struct Clock {
    minutes: u32,
    /// Minutes up to the next line of the timetable.
    pub lasts_min: Option<u32>,
    /// The bytes of the line in front of its words.
    pub words_at: usize,
}

/// The clocks of these lines, where they are a timetable.
pub(in crate::plan) fn timetable<'a>(lines: impl Iterator<Item = &'a str>) -> Vec<Option<Clock>> {
    let mut clocks: Vec<Option<Clock>> = lines.map(clock).collect();
    let minutes: Vec<u32> = clocks.iter().flatten().map(|clock| clock.minutes).collect();
    let ascends = minutes
        .windows(2)
        .all(|two| matches!(two, [one, next] if one < next));
    if minutes.len() < 2 || !ascends {
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
    let words =
        after.trim_start_matches(|c: char| c.is_whitespace() || word::is_dash(c) || c == ':');
    let first: String = words.chars().take_while(|c| c.is_alphabetic()).collect();
    let first = first.to_lowercase();
    // `1.30 min rest`, `10:00 x 3`
    let amount = unit_of(&first).is_some() || matches!(first.as_str(), "x" | "h" | "");
    let apart = after.starts_with(|c: char| c.is_whitespace() || word::is_dash(c));
    (apart && !amount).then_some(Clock {
        minutes: 60 * hour + minute,
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
