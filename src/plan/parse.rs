//! Reads a whole plan, line by line, and collects every mistake in it.

use std::borrow::Cow;
use std::fmt::Display;

use encoding_rs::{UTF_8, UTF_16BE, UTF_16LE};

use crate::limits::{PLAN_BLOCKS, PLAN_LINE_BYTES, PLAN_REPS};
use crate::plan::heading::{self, Heading, KEYS};
use crate::plan::line::{Line, lines};
use crate::plan::phrase::Phrases;
use crate::plan::word;
use crate::plan::{Block, Mistake, Plan};

/// One line as understood.
pub(super) struct Entry<'a> {
    pub content: Content,
    /// The comment with its `#`.
    pub comment: Option<&'a str>,
}

/// What a line says.
pub(super) enum Content {
    Nothing,
    Heading(Heading),
    Block(Block),
}

/// Reads the text of a plan; `Err` holds every mistake in it, in the order of their places.
///
/// # Errors
///
/// A text with any mistake is no plan: nothing is guessed. A text without a block is a mistake too.
pub fn parse(text: &str) -> Result<Plan, Vec<Mistake>> {
    let mut plan = Plan::default();
    for entry in entries(text)? {
        match entry.content {
            Content::Nothing => {}
            Content::Heading(heading) => heading.enter(&mut plan.header),
            Content::Block(block) => plan.blocks.push(block),
        }
    }
    Ok(plan)
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
pub(super) fn entries(text: &str) -> Result<Vec<Entry<'_>>, Vec<Mistake>> {
    let mut entries = Vec::new();
    let mut mistakes = Vec::new();
    let mut headings: [Option<u32>; KEYS.len()] = [None; KEYS.len()];
    let mut first_block: Option<u32> = None;
    let mut blocks: usize = 0;
    let mut reps: u64 = 0;
    for line in lines(text) {
        if line.end - line.start > PLAN_LINE_BYTES {
            let place = line.start..line.start;
            mistakes.push(
                line.mistake(place, "this line is too long to be read")
                    .expecting(format!(
                        "at most {PLAN_LINE_BYTES} bytes a line, one block each"
                    )),
            );
            first_block.get_or_insert(line.number);
            continue;
        }
        let mut content = Content::Nothing;
        let comment;
        if let Some(read) = heading::read(line) {
            comment = read.comment;
            if let Some(slot) = read.key.and_then(|key| headings.get_mut(key)) {
                let key = line.slice(&read.key_span).to_owned();
                if let Some(block) = first_block {
                    mistakes.push(
                        line.mistake(read.key_span.clone(), format!("`{key}:` comes too late"))
                            .expecting(format!(
                                "header lines before the first block, which is line {block}"
                            )),
                    );
                } else if let Some(first) = slot {
                    mistakes.push(
                        line.mistake(
                            read.key_span.clone(),
                            format!("`{key}:` was said before, on line {first}"),
                        )
                        .expecting("each header line once"),
                    );
                }
                slot.get_or_insert(line.number);
            }
            mistakes.extend(read.mistakes);
            if let Some(heading) = read.heading {
                content = Content::Heading(heading);
            }
        } else {
            let cut = word::words(line, line.start);
            comment = cut.comment;
            let mut phrases = Phrases::new(line, cut.list, !cut.mistakes.is_empty());
            let block = phrases.block();
            let mut wrong = cut.mistakes;
            wrong.append(&mut phrases.mistakes);
            if block.is_some() || !wrong.is_empty() {
                first_block.get_or_insert(line.number);
            }
            if let Some(block) = block.filter(|_| wrong.is_empty()) {
                blocks += 1;
                reps += u64::from(block.sets()) * u64::from(block.reps());
                if blocks > PLAN_BLOCKS {
                    mistakes.push(too_many(line, "blocks", PLAN_BLOCKS));
                    break;
                }
                if reps > u64::from(PLAN_REPS) {
                    mistakes.push(too_many(line, "reps", PLAN_REPS));
                    break;
                }
                content = Content::Block(block);
            }
            wrong.sort_by_key(|mistake| mistake.span.start);
            mistakes.extend(wrong);
        }
        entries.push(Entry {
            content,
            comment: comment.map(|at| line.slice(&(at..line.end)).trim_end()),
        });
    }
    if first_block.is_none() && mistakes.is_empty() {
        mistakes.push(empty(text));
    }
    if mistakes.is_empty() {
        Ok(entries)
    } else {
        Err(mistakes)
    }
}

fn too_many(line: Line<'_>, what: &str, most: impl Display) -> Mistake {
    line.mistake(
        line.start..line.start,
        format!("up to this line there are more {what} than a plan can have"),
    )
    .expecting(format!("at most {most} {what} in one plan"))
}

/// A text without a single block.
fn empty(text: &str) -> Mistake {
    let mut last = lines(text).last().unwrap_or(Line {
        text,
        number: 1,
        start: 0,
        end: 0,
    });
    // The empty line behind the last line end is no line to point at.
    if last.start == last.end && last.number > 1 {
        last = lines(text)
            .take(last.number as usize - 1)
            .last()
            .unwrap_or(last);
    }
    last.mistake(last.end..last.end, "there is no block in this plan")
        .expecting(
            "at least one line such as `speed \"to halfway\", 5 x 40 m at 95%, rest walk back`",
        )
}
