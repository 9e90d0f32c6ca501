//! Figures that are open as they are written, before the line is cut: `(5)`, `1.30 min`, `on the :30`.

use crate::plan::scribble::cutter::cut;
use crate::plan::scribble::phrase::counts;
use crate::plan::scribble::token::is_amount;
use crate::plan::word::{is_double_quote, letters};

/// `30 m sprints (5)`, `30 m (3), 20 m (4)`: numbers alone in brackets may be how often. The line with them so, and the first bracket.
pub(in crate::plan::scribble) fn count_in_brackets(content: &str) -> Option<(String, String)> {
    let (mut text, mut written) = (String::new(), None);
    let mut rest = content;
    while let Some((ahead, behind)) = rest.split_once('(') {
        let (within, after) = behind.split_once(')')?;
        let count: u32 = within.trim().parse().ok()?;
        let (work, _) = cut(ahead)?;
        let measured = work.iter().any(|piece| piece.windows(2).any(is_amount));
        let counted = work.iter().any(|piece| counts(piece));
        if !(2..=60).contains(&count) || !measured || counted {
            return None;
        }
        text.extend([ahead, "x ", within.trim()]);
        written.get_or_insert_with(|| format!("({within})"));
        rest = after;
    }
    let (more, _) = cut(rest)?;
    let counted = more.iter().any(|piece| counts(piece));
    text.push_str(rest);
    Some((text, written.filter(|_| !counted)?))
}

/// `rest 1.30 min`: 1 min 30 s, as a watch shows it, or hundredths of a minute. The line as both, and the time as it was written.
pub(in crate::plan::scribble) fn hundredths(content: &str) -> Option<([String; 2], String)> {
    let chars: Vec<(usize, char)> = content.char_indices().collect();
    let digit = |at: usize| chars.get(at).is_some_and(|(_, c)| c.is_ascii_digit());
    let (from, to) = (0..chars.len()).find_map(|at| {
        let alone = at == 0
            || !chars.get(at - 1).is_some_and(|(_, c)| {
                c.is_alphanumeric() || matches!(c, '.' | ',' | ':' | '-' | '/')
            });
        let mark = at + 1 + usize::from(digit(at + 1));
        let comma = chars.get(mark).is_some_and(|(_, c)| matches!(c, '.' | ','));
        (alone && digit(at) && comma && digit(mark + 1) && digit(mark + 2) && !digit(mark + 3))
            .then_some((at, mark + 3))
    })?;
    let place = |at: usize| chars.get(at).map_or(content.len(), |(place, _)| *place);
    let tail = content.get(place(to)..)?;
    let blanks = tail.len() - tail.trim_start().len();
    let word = letters(tail.trim_start());
    if crate::plan::phrase::unit_of(&word.to_lowercase()) != Some("min") {
        return None;
    }
    let (minutes, part) = content
        .get(place(from)..place(to))?
        .split_once(['.', ','])?;
    let (minutes, part): (u32, u32) = (minutes.parse().ok()?, part.parse().ok()?);
    // `1.50 min` may be as well; `1.75 min` shows no watch.
    if part == 0 || part >= 60 {
        return None;
    }
    let end = place(to) + blanks + word.len();
    let ahead = content.get(..place(from))?;
    let behind = content.get(end..)?;
    // `4.30 min/km` is a pace, and a name in quotes is no time.
    let quoted = ahead.chars().filter(|c| is_double_quote(*c)).count() % 2 == 1;
    if behind.starts_with('/') || quoted {
        return None;
    }
    let seconds = [
        60.0 * f64::from(minutes) + f64::from(part),
        60.0 * f64::from(minutes) + 0.6 * f64::from(part),
    ];
    let lines = seconds.map(|seconds| format!("{ahead}{seconds} s{behind}"));
    Some((lines, content.get(place(from)..end)?.to_owned()))
}

/// `on the :30`: the lines of each way in which a clock can start a rep, and the words as they were written.
pub(in crate::plan::scribble) fn on_the_clock(content: &str) -> Option<([String; 2], String)> {
    let lower = content.to_ascii_lowercase();
    let (from, lead) = ["on the :", "on :", "at the :", "at :"]
        .iter()
        .find_map(|lead| {
            // A word of its own: no `station :30`, no `squat :30`.
            let mut starts = lower.match_indices(lead).map(|(from, _)| from);
            let from = starts.find(|from| {
                (lower.get(..*from)).is_some_and(|ahead| !ahead.ends_with(char::is_alphanumeric))
            })?;
            Some((from, lead))
        })?;
    let ahead = content.get(..from)?;
    let behind = content.get(from + lead.len()..)?;
    let after = behind.trim_start_matches(|c: char| c.is_ascii_digit());
    let digits = behind.get(..behind.len() - after.len())?;
    let seconds: u32 = digits
        .parse()
        .ok()
        .filter(|seconds| (1..60).contains(seconds))?;
    let ends = after.is_empty() || after.starts_with([' ', ',', ';', '.']);
    let written = content
        .get(from..from + lead.len() + digits.len())?
        .to_owned();
    let every = |seconds: u32| {
        format!(
            "{}, every {seconds} s{after}",
            ahead.trim_end_matches([' ', ','])
        )
    };
    (ends && digits.len() == 2).then(|| ([every(seconds), every(60)], written))
}
