//! Rounds, and the list below them.

use std::borrow::Cow;
use std::fmt::Write as _;

use crate::plan::line::Line;
use crate::plan::parse::block::block_of;
use crate::plan::parse::reader::{Content, Reader};
use crate::plan::rounds::Rounds;
use crate::plan::scribble::{self, Around, Scribble};
use crate::plan::word;
use crate::plan::{Block, Category, Mistake};

/// Rounds whose list is being read.
pub(super) struct Open<'a> {
    pub(super) line: Line<'a>,
    pub(super) indent: usize,
    pub(super) times: u32,
    pub(super) blocks: usize,
}

impl<'a> Reader<'a> {
    /// Whether the line belongs to the list of the rounds above: it is indented, or has the mark of a list below a line that
    /// has none.
    pub(super) fn is_inside(&self, line: Line<'_>) -> bool {
        self.rounds.as_ref().is_some_and(|open| {
            let marked = |line: Line<'_>| scribble::list_mark(line.content()).is_some();
            let columns = indent(line);
            columns > open.indent || columns == open.indent && marked(line) && !marked(open.line)
        })
    }

    /// Whether the line says the rest of the rounds whose list has not begun.
    pub(super) fn is_rest_of_rounds(&self, line: Line<'_>) -> bool {
        let open = self.rounds.as_ref().is_some_and(|open| open.blocks == 0);
        open && matches!(
            scribble::read(line.content(), Around::default()),
            Some(Scribble::RoundsRest { .. })
        )
    }

    pub(super) fn begin_rounds(
        &mut self,
        line: Line<'a>,
        rounds: Result<Rounds, Vec<Mistake>>,
        comment: Option<Cow<'a, str>>,
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
        self.carried = None;
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
                self.enter(Content::Rounds(rounds), false, comment);
            }
            Err(mistakes) => {
                self.mistakes.extend(mistakes);
                self.enter(Content::Nothing, false, comment);
            }
        }
    }

    /// Ends the list of the rounds above, which must not be empty.
    pub(super) fn close_rounds(&mut self) {
        if let Some(open) = self.rounds.take().filter(|open| open.blocks == 0) {
            let line = open.line;
            let mut mistake = line
                .mistake(
                    line.end..line.end,
                    "no block is indented below these rounds",
                )
                .expecting(
                    "the blocks of a round below this line, each with two spaces in front of it",
                );
            mistake.lines.extend(self.indented(line));
            self.mistakes.push(mistake);
        }
    }

    /// The rounds with the blocks right below them indented, up to an empty line or a cool-down, where all can be read.
    pub(super) fn indented(&self, line: Line<'a>) -> Option<String> {
        let rounds =
            (self.entries.get(line.number as usize - 1)).and_then(|entry| match entry.content {
                Content::Rounds(rounds) => Some(rounds),
                _ => None,
            })?;
        let mut done: Vec<Block> = Vec::new();
        let below = self.all.iter().skip(line.number as usize);
        for next in below.take_while(|next| !next.content().trim().is_empty()) {
            let (block, ..) = block_of(*next, word::words(*next, next.start));
            let block = match block {
                Some(block) => block,
                None => match scribble::read(next.content(), Around::default())? {
                    Scribble::Block { block, .. } => *block,
                    // It follows what stands above it, as the last of a round lies between the rounds.
                    Scribble::Rest { said, .. } => {
                        done.last_mut()?.then_s = Some(scribble::rest_s(&said)?);
                        continue;
                    }
                    // What is asked about is shown in its likeliest reading.
                    Scribble::Ask { lines, .. } => scribble::strict(lines.first()?).ok()?.0,
                    _ => return None,
                },
            };
            if block.category == Category::CoolDown {
                break;
            }
            done.push(block);
        }
        let mut out = rounds.to_string();
        for block in &done {
            // Writing to a String cannot fail.
            let _ = write!(out, "\n  {}", block.line_text(true));
        }
        (!done.is_empty()).then_some(out)
    }
}

/// Whether the line says rounds with words beside them that are kept, or laps: `2 rounds around the pitch`.
pub(super) fn says_more_than_rounds(line: Line<'_>) -> bool {
    match scribble::read(line.content(), Around::default()) {
        Some(Scribble::Rounds { .. } | Scribble::Block { .. }) => true,
        // The rounds with the list behind their colon.
        Some(Scribble::Ask { written, lines, .. }) => {
            written.is_some() || lines.iter().any(|line| line.contains("rounds of"))
        }
        _ => false,
    }
}

/// Columns in front of the first word, and of the bullet before it.
pub(super) fn indent(line: Line<'_>) -> usize {
    let content = line.content();
    content
        .chars()
        .take_while(|c| c.is_whitespace() || word::is_invisible(*c))
        .filter(|c| c.is_whitespace())
        .map(|c| if c == '\t' { 4 } else { 1 })
        .sum()
}
