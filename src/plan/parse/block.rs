//! A line in the notation, as a block or as its mistakes.

use std::ops::Range;

use crate::plan::line::Line;
use crate::plan::near::nearest;
use crate::plan::phrase::Phrases;
use crate::plan::scribble;
use crate::plan::word;
use crate::plan::{Block, Mistake};

/// The block of a line, or its mistakes, the last of them with the line as it probably was meant.
pub(super) fn block_of(
    line: Line<'_>,
    cut: word::Words,
) -> (Option<Block>, Vec<Mistake>, Option<Range<usize>>) {
    let mut phrases = Phrases::new(line, cut.list, !cut.mistakes.is_empty());
    let block = phrases.block();
    let mut wrong = cut.mistakes;
    wrong.append(&mut phrases.mistakes);
    if wrong.is_empty() {
        return (block, wrong, phrases.open_rest);
    }
    wrong.sort_by_key(|mistake| mistake.span.start);
    if wrong.iter().all(|mistake| mistake.lines.is_empty())
        && let Some(meant) = meant(line, &wrong, &phrases.strays)
        && let Some(last) = wrong.last_mut()
    {
        last.lines = vec![meant];
    }
    (None, wrong, None)
}

/// Phrases that are words alone.
const WHOLE_PHRASES: [&str; 5] = [
    "there and back",
    "walk back",
    "jog back",
    "with ball",
    "flat out",
];

/// The line with every suggestion taken, brackets made a comment and stray words the name, where that makes it a block.
fn meant(line: Line<'_>, wrong: &[Mistake], strays: &[Range<usize>]) -> Option<String> {
    let mut text = String::new();
    let mut at = line.start;
    let mut name = None;
    let mut comments = Vec::new();
    for mistake in wrong {
        let written = line.slice(&mistake.span);
        let put = if let Some(suggestion) = &mistake.suggestion {
            suggestion.as_str()
        } else if written.starts_with(['(', '[', '{']) {
            comments.push(written.trim_matches(|c| "()[]{}".contains(c)).trim());
            ""
        } else if let Some(phrase) =
            nearest(&word::clean(written).replace('&', "and"), &WHOLE_PHRASES)
        {
            phrase
        } else if strays.contains(&mistake.span) && name.is_none() {
            let words = word::clean(written);
            if scribble::says_how_many(&words) {
                return None;
            }
            name = Some(words);
            // `rest 2 min after 3` are no two minutes and three seconds.
            ","
        } else {
            return None;
        };
        text.push_str(line.text.get(at..mistake.span.start)?);
        text.push_str(put);
        at = mistake.span.end;
    }
    text.push_str(line.text.get(at..line.end)?);
    let again = Line::alone(&text);
    let cut = word::words(again, 0);
    let mut phrases = Phrases::new(again, cut.list, false);
    let mut block = phrases
        .block()
        .filter(|_| cut.mistakes.is_empty() && phrases.mistakes.is_empty())?;
    if let Some(name) = name {
        if block.name.is_some() {
            return None;
        }
        block.name = Some(name);
    }
    let mut out = block.to_string();
    if !comments.is_empty() {
        out = format!("{out}  # {}", comments.join(" "));
    }
    Some(out)
}
