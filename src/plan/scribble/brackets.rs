//! Words in brackets: kept beside the line, or what is done so often.

use super::ask::question;
use super::meaning::{Around, Scribble};
use super::read;
use crate::plan::word::{self, clean};

/// Whether what stands in front of a bracket counts it: `2 x (`.
pub(super) fn is_times_at_the_end(ahead: &str) -> bool {
    let ahead = ahead.trim_end();
    ahead.ends_with(word::is_times)
        || ahead
            .strip_suffix(['x', 'X'])
            .is_some_and(|ahead| ahead.ends_with(|c: char| c.is_ascii_digit() || c.is_whitespace()))
}

/// `8 x 20 m shuttles (40 m in all)`: without its brackets, whose words are kept beside it. Asked about, since they may say more.
pub(super) fn brackets_aside(content: &str, around: Around<'_>) -> Option<Scribble> {
    let (mut text, mut inside) = (String::new(), Vec::new());
    let mut rest = content;
    while let Some((before, behind)) = rest.split_once('(') {
        // `2 x (400-300-200)`: what is done so often is no remark.
        if is_times_at_the_end(before) {
            return None;
        }
        let (within, after) = behind.split_once(')')?;
        text.push_str(before);
        text.push(' ');
        inside.push(clean(within));
        rest = after;
    }
    text.push_str(rest);
    if inside.is_empty() || inside.iter().any(|text| text.contains(['(', '#'])) {
        return None;
    }
    let written = inside.join("; ");
    let lines = read(&text, around)?.lines_with(&written)?;
    let message = format!("`({written})` is not read");
    question(message, Some(format!("({})", inside.first()?)), lines)
}
