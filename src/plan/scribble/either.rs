//! One thing or another: `6 x 30 m or 8 x 20 m`. Each is offered.

use super::ask::question;
use super::cutter::cut;
use super::lines_meant;
use super::meaning::{Around, Scribble};
use super::phrase::counts;
use super::token::is_amount;

/// Asks which of two doses is done. `None` where the line has no two of them.
pub(super) fn asked(content: &str, around: Around<'_>) -> Option<Scribble> {
    const OR: &str = " or ";
    let (one, other) = content.split_once(OR)?;
    if other.contains(OR) || content.contains(['"', '#']) || !is_dosed(one) || !is_dosed(other) {
        return None;
    }
    // What stands in front of the first is said of both, and so is what stands behind the second.
    let begins = one.find(|c: char| c.is_ascii_digit())?;
    let own_words = other.trim_start().starts_with(char::is_alphabetic);
    let lead = one.get(..begins).filter(|_| !own_words).unwrap_or_default();
    let shared = match (one.contains(','), other.split_once(',')) {
        (false, Some((_, behind))) => format!(",{behind}"),
        _ => String::new(),
    };
    let meant = [format!("{one}{shared}"), format!("{lead}{other}")];
    let each: Option<Vec<Vec<String>>> = meant
        .iter()
        .map(|line| lines_meant(line, around).filter(|lines| !lines.is_empty()))
        .collect();
    // Both in their likeliest reading come first.
    let lines = each?
        .into_iter()
        .filter_map(|lines| lines.into_iter().next());
    let message = "this may be one or the other".to_owned();
    question(message, None, lines)
}

/// Whether a text counts work and says how far or how long.
fn is_dosed(text: &str) -> bool {
    cut(text).is_some_and(|(pieces, _)| {
        pieces
            .iter()
            .any(|piece| counts(piece) && piece.windows(2).any(is_amount))
    })
}
