//! Signs of a line that mean something only together, so that they are read before it is cut: a bracket that is counted within and
//! without, a place around the match in words, a start on the clock.

use super::token::{cut, seconds};
use crate::plan::phrase::unit_of;
use crate::plan::word::{is_dash, is_times};

/// The line with such signs in plain words. `None` where it has none.
pub(super) fn plain(content: &str) -> Option<String> {
    place_around_the_match(content)
        .or_else(|| counted_twice(content))
        .or_else(|| seconds_of_a_watch(content))
}

/// `squat :30 x 3`: half a minute as a watch shows it, and not thirty of three.
fn seconds_of_a_watch(content: &str) -> Option<String> {
    let (ahead, behind) = content.split_once(" :")?;
    let (digits, after) = behind.split_at_checked(2)?;
    let seconds = digits.parse::<u32>().ok().filter(|seconds| *seconds < 60)?;
    let counted = after
        .trim_start()
        .strip_prefix(['x', 'X', '\u{d7}'])?
        .trim();
    let count = counted.split(',').next()?.trim();
    let alone = !count.is_empty() && count.bytes().all(|b| b.is_ascii_digit());
    alone.then(|| format!("{ahead} {seconds} s{after}"))
}

/// `match day -2, sharp: 4 x 15 m`: as the sign that coaches have for it. `match day - 2 x 45 min` is the dose of a match.
fn place_around_the_match(content: &str) -> Option<String> {
    let text = content.trim_start();
    let lead = ["match day", "matchday"].iter().find(|lead| {
        text.get(..lead.len())
            .is_some_and(|head| head.eq_ignore_ascii_case(lead))
    })?;
    let behind = text.get(lead.len()..)?.trim_start();
    let sign = behind.chars().next().filter(|c| *c == '+' || is_dash(*c))?;
    let behind = behind.get(sign.len_utf8()..)?;
    let glued = behind.starts_with(|c: char| c.is_ascii_digit());
    let behind = behind.trim_start();
    let days = behind.chars().next().filter(char::is_ascii_digit)?;
    let rest = behind.get(1..)?;
    // `match day - 2: 4 x 15 m`
    let marked =
        rest.starts_with(':') || glued && (rest.starts_with(',') || rest.starts_with(". "));
    let word: String = (rest.trim_start().chars())
        .take_while(|c| c.is_alphabetic() || is_times(*c))
        .collect();
    let counted = word.starts_with(is_times) || word.eq_ignore_ascii_case("x");
    let amount = counted || unit_of(&word.to_lowercase()).is_some();
    let named = glued && rest.starts_with(' ') && !amount;
    // Alone it is a remark already.
    let more = rest.contains(|c: char| c.is_ascii_digit());
    let rest = rest.trim_start_matches([',', ':', ' ', '.']);
    ((marked || named) && more).then(|| format!("MD{sign}{days}, {rest}"))
}

/// `6 x (20 m out and back x 3), 30 s rest`: six sets of three, and what stands behind the bracket lies between them.
fn counted_twice(content: &str) -> Option<String> {
    let (ahead, behind) = content.split_once('(')?;
    let (within, after) = behind.split_once(')')?;
    let times = |text: &str| -> Option<usize> {
        let text = text.trim_end();
        let cut = text.trim_end_matches(['x', 'X', '\u{d7}']);
        (cut.len() < text.len()).then_some(cut.len())
    };
    let outer = ahead.get(..times(ahead)?)?.trim_end();
    let sets_at = outer.trim_end_matches(|c: char| c.is_ascii_digit()).len();
    let (name, sets) = outer.split_at_checked(sets_at)?;
    let reps_at = within
        .trim_end()
        .trim_end_matches(|c: char| c.is_ascii_digit())
        .len();
    let reps = within.get(reps_at..)?.trim();
    let inner = within.get(..reps_at)?;
    let work = inner.get(..times(inner)?)?.trim();
    let counts = !sets.is_empty() && !reps.is_empty() && !after.contains('(');
    let bare = !work.contains([',', '+', ';']) && work.starts_with(|c: char| c.is_ascii_digit());
    if !counts || !bare || work.contains(" x ") {
        return None;
    }
    // A time alone, or a rest that does not say where it lies.
    let (pieces, _) = cut(after)?;
    let timed =
        (pieces.iter()).any(|piece| (0..piece.len()).any(|at| seconds(piece, at).is_some()));
    let said = ["between", "then", "after"]
        .iter()
        .any(|word| after.contains(word));
    let between = if timed && !said { " between sets" } else { "" };
    Some(format!("{name}{sets} x {reps} x {work}{after}{between}"))
}

/// `on the :30`: the lines of each way in which a clock can start a rep, and the words as they were written.
pub(super) fn on_the_clock(content: &str) -> Option<([String; 2], String)> {
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
