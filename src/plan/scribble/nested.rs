//! A bracket that is counted within and without.

use super::cutter::cut;
use super::token::seconds;

/// `6 x (20 m out and back x 3), 30 s rest`: six sets of three, and what stands behind the bracket lies between them.
pub(super) fn counted_twice(content: &str) -> Option<String> {
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
