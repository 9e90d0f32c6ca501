//! Reads a whole plan, line by line, and collects every mistake in it.

use std::borrow::Cow;
use std::fmt::Display;
use std::ops::Range;

use encoding_rs::{UTF_8, UTF_16BE, UTF_16LE};
use jiff::civil::Date;

use crate::limits::{PLAN_BLOCKS, PLAN_LINE_BYTES, PLAN_REPS};
use crate::plan::heading::{self, Heading, KEYS};
use crate::plan::line::{Line, lines};
use crate::plan::near::nearest;
use crate::plan::phrase::{Phrases, begins_with_category};
use crate::plan::rounds::Rounds;
use crate::plan::tidy::is_asked;
use crate::plan::timetable::{Assumptions, clock_text, timetable};
use crate::plan::word::{self, Kind};
use crate::plan::{Block, Category, Mistake, Plan};

/// One line as understood.
pub(super) struct Entry<'a> {
    pub content: Content,
    /// Whether it belongs to the rounds above it.
    pub inside: bool,
    /// The comment with its `#`.
    pub comment: Option<&'a str>,
}

/// What a line says.
pub(super) enum Content {
    Nothing,
    Heading(Heading),
    Block(Block),
    Rounds(Rounds),
}

/// What is known where a text does not say it all.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Reading {
    /// Whether `12/05/2026` begins with the day; asked about where it is not known.
    pub day_first: Option<bool>,
    /// The day on which it is read, for `Sat 16 May`.
    pub today: Option<Date>,
}

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
    let (entries, open) = entries_and_rests(text, reading)?;
    let plan = put_together(entries);
    match long_rest(text, &plan, &open) {
        Some(mistake) => Err(vec![mistake]),
        None => Ok(plan),
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
    if open.is_empty() || !is_asked(plan) {
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
        .map(|line| line.content().split('#').next().unwrap_or_default().trim())
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
    entries_and_rests(text, reading).map(|(entries, _)| entries)
}

/// The entries, and the lines and places of the rests that could be ones between sets.
type Read<'a> = (Vec<Entry<'a>>, Vec<(u32, Range<usize>)>);

fn entries_and_rests(text: &str, reading: Reading) -> Result<Read<'_>, Vec<Mistake>> {
    let mut reader = Reader {
        reading,
        ..Reader::default()
    };
    for line in lines(text) {
        if line.end - line.start > PLAN_LINE_BYTES {
            let place = line.start..line.start;
            reader.mistakes.push(
                line.mistake(place, "this line is too long to be read")
                    .expecting(format!(
                        "at most {PLAN_LINE_BYTES} bytes a line, one block each"
                    )),
            );
            reader.first_block.get_or_insert(line.number);
            continue;
        }
        if !reader.line(line) {
            break;
        }
    }
    reader.close_rounds();
    if reader.first_block.is_none() && reader.mistakes.is_empty() {
        reader.mistakes.push(empty(text));
    }
    if reader.mistakes.is_empty() {
        Ok((reader.entries, reader.open_rests))
    } else {
        reader.mistakes.sort_by_key(|m| (m.line, m.span.start));
        Err(reader.mistakes)
    }
}

/// What was read so far.
#[derive(Default)]
struct Reader<'a> {
    reading: Reading,
    entries: Vec<Entry<'a>>,
    mistakes: Vec<Mistake>,
    headings: [Option<u32>; KEYS.len()],
    first_block: Option<u32>,
    blocks: usize,
    reps: u64,
    /// Rests that could be ones between sets.
    open_rests: Vec<(u32, Range<usize>)>,
    /// The rounds whose list is being read.
    rounds: Option<Open<'a>>,
}

/// Rounds whose list is being read.
struct Open<'a> {
    line: Line<'a>,
    indent: usize,
    times: u32,
    blocks: usize,
}

impl<'a> Reader<'a> {
    /// Reads one line. Whether more can be read.
    fn line(&mut self, line: Line<'a>) -> bool {
        let cut = word::words(line, line.start);
        let counts = cut.list.first().is_some_and(|word| match word.kind {
            Kind::Number(_) => true,
            Kind::Letters => word.span.len() <= "repeat".len(),
            _ => false,
        });
        if counts && let Some(rounds) = Phrases::new(line, cut.list.clone(), false).rounds() {
            self.begin_rounds(line, rounds, cut.comment);
            return true;
        }
        if cut.list.is_empty() && cut.mistakes.is_empty() {
            self.enter(line, Content::Nothing, false, cut.comment);
            return true;
        }
        let inside = (self.rounds.as_ref()).is_some_and(|open| indent(line) > open.indent);
        if !inside {
            self.close_rounds();
        }
        if let Some(read) = heading::read(line, self.reading) {
            self.heading(line, read);
            return true;
        }
        let comment = cut.comment;
        let (block, wrong, open_rest) = block_of(line, cut);
        self.open_rests
            .extend(open_rest.map(|at| (line.number, at)));
        if block.is_some() || !wrong.is_empty() {
            self.first_block.get_or_insert(line.number);
        }
        if inside && let Some(open) = &mut self.rounds {
            open.blocks += 1;
        }
        self.mistakes.extend(wrong);
        let Some(block) = block else {
            self.enter(line, Content::Nothing, false, comment);
            return true;
        };
        let times = match &self.rounds {
            Some(open) if inside => open.times,
            _ => 1,
        };
        self.blocks += times as usize;
        self.reps += u64::from(times) * u64::from(block.sets()) * u64::from(block.reps());
        if self.blocks > PLAN_BLOCKS {
            self.mistakes.push(too_many(line, "blocks", PLAN_BLOCKS));
            return false;
        }
        if self.reps > u64::from(PLAN_REPS) {
            self.mistakes.push(too_many(line, "reps", PLAN_REPS));
            return false;
        }
        self.enter(line, Content::Block(block), inside, comment);
        true
    }

    fn enter(&mut self, line: Line<'a>, content: Content, inside: bool, comment: Option<usize>) {
        self.entries.push(Entry {
            content,
            inside,
            comment: comment.map(|at| line.slice(&(at..line.end)).trim_end()),
        });
    }

    fn begin_rounds(
        &mut self,
        line: Line<'a>,
        rounds: Result<Rounds, Vec<Mistake>>,
        comment: Option<usize>,
    ) {
        let nested = (self.rounds.as_ref()).is_some_and(|open| indent(line) > open.indent);
        if nested {
            self.mistakes.push(
                line.mistake(line.start..line.start, "rounds inside rounds are not read")
                    .expecting("the inner ones written out"),
            );
        } else {
            self.close_rounds();
        }
        self.first_block.get_or_insert(line.number);
        match rounds {
            Ok(rounds) => {
                if !nested {
                    self.rounds = Some(Open {
                        line,
                        indent: indent(line),
                        times: rounds.times,
                        blocks: 0,
                    });
                }
                self.enter(line, Content::Rounds(rounds), false, comment);
            }
            Err(mistakes) => {
                self.mistakes.extend(mistakes);
                self.enter(line, Content::Nothing, false, comment);
            }
        }
    }

    /// Ends the list of the rounds above, which must not be empty.
    fn close_rounds(&mut self) {
        if let Some(open) = self.rounds.take().filter(|open| open.blocks == 0) {
            let line = open.line;
            self.mistakes.push(
                line.mistake(
                    line.end..line.end,
                    "no block is indented below these rounds",
                )
                .expecting(
                    "the blocks of a round below this line, each with two spaces in front of it",
                ),
            );
        }
    }

    fn heading(&mut self, line: Line<'a>, read: heading::Read) {
        if let Some(slot) = read.key.and_then(|key| self.headings.get_mut(key)) {
            let key = line.slice(&read.key_span).to_owned();
            if let Some(block) = self.first_block {
                self.mistakes.push(
                    line.mistake(read.key_span.clone(), format!("`{key}:` comes too late"))
                        .expecting(format!(
                            "header lines before the first block, which is line {block}"
                        )),
                );
            } else if let Some(first) = slot {
                self.mistakes.push(
                    line.mistake(
                        read.key_span.clone(),
                        format!("`{key}:` was said before, on line {first}"),
                    )
                    .expecting("each header line once"),
                );
            }
            slot.get_or_insert(line.number);
        }
        self.mistakes.extend(read.mistakes);
        let content = read.heading.map_or(Content::Nothing, Content::Heading);
        self.enter(line, content, false, read.comment);
    }
}

/// Columns in front of the first word, and of the bullet before it.
fn indent(line: Line<'_>) -> usize {
    let content = line.content();
    content
        .chars()
        .take_while(|c| c.is_whitespace() || word::is_invisible(*c))
        .filter(|c| c.is_whitespace())
        .map(|c| if c == '\t' { 4 } else { 1 })
        .sum()
}

/// The block of a line, or its mistakes, the last of them with the line as it probably was meant.
fn block_of(
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
        } else if strays.contains(&mistake.span) && name.is_none() {
            name = Some(word::clean(written));
            ""
        } else {
            return None;
        };
        text.push_str(line.text.get(at..mistake.span.start)?);
        text.push_str(put);
        at = mistake.span.end;
    }
    text.push_str(line.text.get(at..line.end)?);
    let again = Line {
        text: &text,
        number: line.number,
        start: 0,
        end: text.len(),
    };
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
