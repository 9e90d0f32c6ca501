//! Questions: what can mean several things, with each of them ready to copy.

use super::meaning::Scribble;
use super::reworded::Doubt;
use super::strict::strict;

/// Most readings that are shown.
pub(super) const SHOWN: usize = 3;

/// The readings that are plans, in their tidy form.
pub(super) fn ask(message: &str, texts: Vec<String>) -> Option<Scribble> {
    let mut lines: Vec<String> = Vec::new();
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
            if !lines.contains(&line) && strict(&line).is_ok() {
                lines.push(line);
            }
        }
    }
    lines.truncate(SHOWN);
    (!lines.is_empty()).then(|| Scribble::Ask {
        message: message.to_owned(),
        written: None,
        lines,
    })
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
