//! Questions: what can mean several things, with each of them ready to copy.

use super::meaning::Scribble;
use super::phrase::turns;
use super::reworded::Doubt;
use super::strict::strict;

/// Most readings that are shown.
pub(super) const SHOWN: usize = 3;
/// So many reps are offered, where nobody says how many.
pub(super) const USUAL_REPS: u32 = 6;

/// The readings that are plans, in their tidy form.
pub(super) fn ask(message: &str, texts: Vec<String>) -> Option<Scribble> {
    let mut lines: Vec<String> = Vec::new();
    // What else the notation asks about of a phrase comes behind what it may be with each category.
    let mut others: Vec<String> = Vec::new();
    for text in texts {
        let tidy = match strict(&text) {
            // Which rest is meant is asked in the same breath.
            Ok((block, true)) => block
                .both_rests()
                .map(|block| block.line_text(true))
                .to_vec(),
            Ok((block, false)) => vec![block.line_text(true)],
            Err(wrong) => wrong
                .into_iter()
                .next()
                .map(|mistake| mistake.lines)
                .unwrap_or_default(),
        };
        for line in tidy {
            if strict(without_remark(&line)).is_err() {
                continue;
            }
            match lines.last() {
                Some(last) if last.contains("  # ") && !line.contains("  # ") => others.push(line),
                _ => lines.push(line),
            }
        }
    }
    question(message.to_owned(), None, lines.into_iter().chain(others))
}

/// A line that is offered, without the words that are kept behind it.
pub(super) fn without_remark(line: &str) -> &str {
    line.split_once("  # ").map_or(line, |(plain, _)| plain)
}

/// The question with these lines, each once and no more than are shown. `None` where there is nothing to offer.
pub(super) fn question(
    message: String,
    written: Option<String>,
    lines: impl IntoIterator<Item = String>,
) -> Option<Scribble> {
    let mut once: Vec<String> = Vec::new();
    for line in lines {
        if once.len() < SHOWN && !once.contains(&line) && !is_named_by_a_negation(&line) {
            once.push(line);
        }
    }
    (!once.is_empty()).then_some(Scribble::Ask {
        message,
        written,
        lines: once,
    })
}

/// `technical "no", 8 min`
fn is_named_by_a_negation(line: &str) -> bool {
    (line.split('"').nth(1)).is_some_and(|name| turns(&name.to_lowercase()))
}

/// The question about these words of the line.
pub(super) fn about(words: &str, asked: Option<Scribble>) -> Option<Scribble> {
    match asked? {
        Scribble::Ask { message, lines, .. } => Some(Scribble::Ask {
            message,
            written: Some(words.to_owned()),
            lines,
        }),
        other => Some(other),
    }
}

/// What is asked about a doubt: the line as it probably was meant, and as it may be meant otherwise.
pub(super) fn asked(doubt: &Doubt, whole: &str) -> Option<Scribble> {
    let others = (doubt.others.iter()).map(|(said, other)| whole.replacen(said, other, 1));
    let lines = std::iter::once(whole.to_owned()).chain(others).collect();
    about(&doubt.written, ask(&doubt.message, lines))
}
