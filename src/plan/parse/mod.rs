//! Reads a whole plan, line by line (`reader`), and collects every mistake in it (`mistakes`).
//!
//! A line is a `block` in the notation, or else what `reader::scribbled` makes of it; what stands beside it is a `comment`.

mod block;
mod comment;
mod mistakes;
mod reader;

use std::borrow::Cow;
use std::ops::Range;

use encoding_rs::{UTF_8, UTF_16BE, UTF_16LE};

use crate::plan::date::Reading;
use crate::plan::heading::KEYS;
use crate::plan::line::lines;
use crate::plan::near::nearest;
use crate::plan::parse::reader::read_lines;
use crate::plan::phrase::begins_with_category;
use crate::plan::timetable::{Assumptions, clock_text, rests_are_asked, timetable};
use crate::plan::{Category, Mistake, Plan, ReadAs};

pub(super) use reader::{Content, Entry};

/// Reads the text of a plan; `Err` holds every mistake in it, in the order of their places.
///
/// # Errors
///
/// A text with any mistake is no plan: nothing is guessed. A text without a block is a mistake too.
pub fn parse(text: &str) -> Result<Plan, Vec<Mistake>> {
    parse_with(text, Reading::default())
}

/// Reads the text of a plan with what is known beside it.
///
/// # Errors
///
/// As [`parse()`].
pub fn parse_with(text: &str, reading: Reading) -> Result<Plan, Vec<Mistake>> {
    read_with(text, reading).map(|(plan, _)| plan)
}

/// Reads the text of a plan, and tells how the lines were read that are not in the notation.
///
/// # Errors
///
/// As [`parse()`].
pub fn read_with(text: &str, reading: Reading) -> Result<(Plan, Vec<ReadAs>), Vec<Mistake>> {
    let read = read_lines(text, reading)?;
    let plan = put_together(read.entries);
    match long_rest(text, &plan, &read.open_rests) {
        Some(mistake) => Err(vec![mistake]),
        None => Ok((plan, read.read_as)),
    }
}

fn put_together(entries: Vec<Entry<'_>>) -> Plan {
    let mut plan = Plan::default();
    let mut entries = entries.into_iter().peekable();
    while let Some(entry) = entries.next() {
        match entry.content {
            Content::Nothing => {}
            Content::Heading(heading) => heading.enter(&mut plan.header),
            Content::Block(block) => plan.blocks.push(block),
            Content::Rounds(rounds) => {
                let mut blocks = Vec::new();
                while let Some(inside) =
                    entries.next_if(|next| next.inside || matches!(next.content, Content::Nothing))
                {
                    if let Content::Block(block) = inside.content {
                        blocks.push(block);
                    }
                }
                rounds.unroll(&blocks, &mut plan.blocks);
            }
        }
    }
    plan
}

/// A rest that could be one between sets, in a session that nobody trains for so long: the longest of them is asked about.
fn long_rest(text: &str, plan: &Plan, open: &[(u32, Range<usize>)]) -> Option<Mistake> {
    if open.is_empty() || !rests_are_asked(plan) {
        return None;
    }
    let usual = Assumptions::default();
    let table = timetable(plan, &usual);
    let (block, _) = plan
        .blocks
        .iter()
        .zip(&table.slots)
        .filter(|(block, _)| open.iter().any(|(line, _)| *line == block.line))
        .max_by(|(_, a), (_, b)| a.rest_s.total_cmp(&b.rest_s))?;
    let (number, span) = open.iter().find(|(line, _)| *line == block.line)?;
    let line = lines(text).nth((*number as usize).checked_sub(1)?)?;
    let mut mistake = line.mistake(
        span.clone(),
        format!(
            "with this rest between reps the session takes {}",
            clock_text(table.total_s)
        ),
    );
    mistake.lines = block
        .both_rests()
        .map(|block| block.line_text(true))
        .to_vec();
    Some(mistake)
}

/// Whether a text is a plan, or was meant to be one: most of its first lines begin as those of a plan do.
#[must_use]
pub fn looks_like_one(text: &str) -> bool {
    let first: Vec<&str> = lines(text)
        .take(200)
        .map(|line| line.before_hash().trim())
        .filter(|content| !content.is_empty())
        .collect();
    let ours = first
        .iter()
        .filter(|content| {
            let key = content.split(':').next().unwrap_or_default();
            let head: String = content
                .chars()
                .take_while(|c| c.is_alphabetic() || matches!(c, '-' | ' '))
                .collect();
            let first = head.split(' ').next().unwrap_or_default();
            let words = Category::ALL.map(Category::word);
            begins_with_category(&head)
                || nearest(first, &words).is_some()
                || (key.len() < content.len() && KEYS.contains(&key))
        })
        .count();
    ours * 2 > first.len() && (ours > 1 || parse(text).is_ok())
}

/// The text of a file: UTF-8, or UTF-16 where a byte-order mark says so. Bytes that are neither become U+FFFD, which
/// [`parse()`] reports with its place.
#[must_use]
pub fn decode(bytes: &[u8]) -> Cow<'_, str> {
    let encoding = match bytes {
        [0xff, 0xfe, ..] => UTF_16LE,
        [0xfe, 0xff, ..] => UTF_16BE,
        _ => UTF_8,
    };
    encoding.decode_with_bom_removal(bytes).0
}

/// The lines of a plan, one entry each.
pub(super) fn entries(text: &str, reading: Reading) -> Result<Vec<Entry<'_>>, Vec<Mistake>> {
    read_lines(text, reading).map(|read| read.entries)
}
