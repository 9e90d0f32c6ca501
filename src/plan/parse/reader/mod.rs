//! Reads line after line, and keeps what was read and what is wrong.

mod days;
mod rests;
mod rounds;
mod scribbled;
mod timetable;

use std::borrow::Cow;
use std::ops::Range;

use crate::limits::{PLAN_BLOCKS, PLAN_LINE_BYTES, PLAN_REPS};
use crate::plan::date::Reading;
use crate::plan::heading::{self, Heading, KEYS};
use crate::plan::line::{Line, lines};
use crate::plan::minutes::as_meant;
use crate::plan::parse::block::block_of;
use crate::plan::parse::comment::{comment_of, joined};
use crate::plan::parse::mistakes::{
    at_its_cause, behind_its_kind, empty, of_a_known_kind, too_many,
};
use crate::plan::parse::reader::rounds::{Open, says_more_than_rounds};
use crate::plan::phrase::Phrases;
use crate::plan::rounds::Rounds;
use crate::plan::scribble::{self, Around};
use crate::plan::word::{self, Kind};
use crate::plan::{Block, Category, Mistake, ReadAs};

/// One line as understood.
pub(in crate::plan) struct Entry<'a> {
    pub content: Content,
    /// Whether it belongs to the rounds above it.
    pub inside: bool,
    /// The comment with its `#`.
    pub comment: Option<Cow<'a, str>>,
}

/// What a line says.
pub(in crate::plan) enum Content {
    Nothing,
    Heading(Heading),
    Block(Block),
    Rounds(Rounds),
}

/// The lines as understood.
pub(super) struct ReadLines<'a> {
    pub(super) entries: Vec<Entry<'a>>,
    /// The lines and places of the rests that could be ones between sets.
    pub(super) open_rests: Vec<(u32, Range<usize>)>,
    pub(super) read_as: Vec<ReadAs>,
}

pub(super) fn read_lines(text: &str, reading: Reading) -> Result<ReadLines<'_>, Vec<Mistake>> {
    let all: Vec<Line<'_>> = lines(text).collect();
    let mut reader = Reader {
        reading,
        last_figure: last_figure(&all),
        clocks: scribble::clocks(all.iter().map(Line::content)),
        all,
        ..Reader::default()
    };
    for index in 0..reader.all.len() {
        let Some(&line) = reader.all.get(index) else {
            break;
        };
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
    reader.mistakes.extend(days::several(&reader.all));
    if reader.first_block.is_none() && reader.mistakes.is_empty() {
        reader.mistakes.push(empty(text));
    }
    if reader.mistakes.is_empty() {
        Ok(ReadLines {
            entries: reader.entries,
            open_rests: reader.open_rests,
            read_as: reader.read_as,
        })
    } else {
        reader.mistakes.sort_by_key(|m| (m.line, m.span.start));
        Err(reader.mistakes)
    }
}

/// The number of the last line on which a figure stands before its comment.
fn last_figure(lines: &[Line<'_>]) -> u32 {
    let figure = |line: &&Line<'_>| {
        let content = line.before_hash();
        content.contains(|c: char| c.is_ascii_digit())
    };
    lines
        .iter()
        .rev()
        .find(figure)
        .map_or(0, |line| line.number)
}

/// What was read so far.
#[derive(Default)]
struct Reader<'a> {
    reading: Reading,
    all: Vec<Line<'a>>,
    last_figure: u32,
    /// The time of day in front of each line, where the plan is a timetable.
    clocks: Vec<Option<scribble::Clock>>,
    entries: Vec<Entry<'a>>,
    mistakes: Vec<Mistake>,
    read_as: Vec<ReadAs>,
    headings: [Option<u32>; KEYS.len()],
    first_block: Option<u32>,
    blocks: usize,
    reps: u64,
    /// Rests that could be ones between sets.
    open_rests: Vec<(u32, Range<usize>)>,
    /// The rounds whose list is being read.
    rounds: Option<Open<'a>>,
    /// The kind of work that a line above said for those below it, and whether one of them was read.
    carried: Option<(Category, bool)>,
}

/// How many mistakes a text may have before its lines are no longer tried as scribbles.
const SCRIBBLES_TRIED: usize = 100;

impl<'a> Reader<'a> {
    /// Reads one line. Whether more can be read.
    fn line(&mut self, line: Line<'a>) -> bool {
        let cut = word::words(line, line.start);
        let counts = cut.list.first().is_some_and(|word| match word.kind {
            Kind::Number(_) => true,
            Kind::Letters => word.span.len() <= "repeat".len(),
            _ => false,
        });
        if counts
            && let Some(rounds) = Phrases::new(line, cut.list.clone(), false).rounds()
            && (rounds.is_ok() || !(self.is_rest_of_rounds(line) || says_more_than_rounds(line)))
        {
            self.begin_rounds(line, rounds, comment_of(line, cut.comment));
            return true;
        }
        if cut.list.is_empty() && cut.mistakes.is_empty() {
            if cut.comment.is_none() && self.carried.is_some_and(|(_, used)| used) {
                self.carried = None;
            }
            let comment = comment_of(line, cut.comment);
            self.enter(Content::Nothing, false, comment);
            return true;
        }
        let inside = self.is_inside(line);
        if !inside && !self.is_rest_of_rounds(line) {
            self.close_rounds();
        }
        if let Some(more) = self.at_a_clock(line, inside, cut.comment) {
            return more;
        }
        if let Some(read) = heading::read(line, self.reading) {
            // Nearly one of ours is a slip, and no scribble; but `name:` and `player:` are an athlete's.
            let stranger = read.key.is_none()
                && (read.mistakes.iter().all(|m| m.suggestion.is_none())
                    || scribble::opening(line.content(), self.reading).is_some());
            if stranger && let Some(more) = self.scribbled(line, inside, cut.comment, &[]) {
                return more;
            }
            if !(stranger && scribble::says_a_kind(line.content())) {
                self.heading(line, read);
                return true;
            }
        }
        let comment = cut.comment;
        let (block, wrong, open_rest) = block_of(line, cut);
        let content = line.before(comment);
        if (!wrong.is_empty() || scribble::is_open(content))
            && let Some(more) = self.scribbled(line, inside, comment, &wrong)
        {
            return more;
        }
        let wrong = behind_its_kind(line, comment, &wrong)
            .or_else(|| self.as_far_as_it_goes(line, comment, &wrong))
            .unwrap_or_else(|| {
                // Of a text that is no plan, the words are not looked at again.
                if self.mistakes.len() < SCRIBBLES_TRIED {
                    of_a_known_kind(line, comment, wrong)
                } else {
                    at_its_cause(wrong)
                }
            });
        self.open_rests
            .extend(open_rest.map(|at| (line.number, at)));
        if block.is_some() || !wrong.is_empty() {
            self.first_block.get_or_insert(line.number);
        }
        if block.is_none() {
            self.count_in_rounds(inside);
        }
        self.mistakes.extend(wrong);
        let comment = comment_of(line, comment);
        let Some(block) = block else {
            self.enter(Content::Nothing, false, comment);
            return true;
        };
        self.carried = None;
        let block = self.in_minutes(line, block);
        self.keep(line, block, inside, comment)
    }

    /// `warm up 10m` is ten minutes: so few metres are no warm-up. It is listed among what was read otherwise than it is written.
    fn in_minutes(&mut self, line: Line<'a>, block: Block) -> Block {
        let content = line.before_hash();
        let (block, meant) = as_meant(block, content);
        if meant {
            self.list_reading(line, content, Some(block.line_text(false)));
        }
        block
    }

    /// Keeps a mistake in a line that says nothing else that can be kept.
    fn refuse(&mut self, mistake: Mistake, comment: Option<Cow<'a, str>>) {
        self.mistakes.push(mistake);
        self.enter(Content::Nothing, false, comment);
    }

    /// Keeps a line of words alone beside the plan.
    fn set_aside(&mut self, line: Line<'a>, content: &str, comment: Option<Cow<'a, str>>) {
        self.list_reading(line, content, None);
        self.enter(Content::Nothing, false, joined(Some(content), comment));
    }

    /// Counts a line among those of the rounds it belongs to. How often they have it done.
    fn count_in_rounds(&mut self, inside: bool) -> u32 {
        match &mut self.rounds {
            Some(open) if inside => {
                open.blocks += 1;
                open.times
            }
            _ => 1,
        }
    }

    /// Lists how a line was read that is not in the notation.
    fn list_reading(&mut self, line: Line<'_>, content: &str, tidy: Option<String>) {
        self.read_as.push(ReadAs {
            line: line.number,
            written: word::clean(content),
            tidy,
        });
    }

    /// Whether the line is an item of a list right below a block that is none.
    fn is_beneath_a_block(&self, line: Line<'_>) -> bool {
        let listed = |line: &Line<'_>| scribble::list_mark(line.content()).is_some();
        let above = self
            .entries
            .iter()
            .rev()
            .zip(self.all.iter().take(line.number as usize - 1).rev());
        let mut above = above.skip_while(|(entry, above)| {
            listed(above) && matches!(entry.content, Content::Nothing)
        });
        listed(&line)
            && above.next().is_some_and(|(entry, above)| {
                matches!(entry.content, Content::Block(_)) && !listed(above)
            })
    }

    /// Keeps a block. Whether more can be read.
    fn keep(
        &mut self,
        line: Line<'a>,
        block: Block,
        inside: bool,
        comment: Option<Cow<'a, str>>,
    ) -> bool {
        let times = self.count_in_rounds(inside);
        self.first_block.get_or_insert(line.number);
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
        self.enter(Content::Block(block), inside, comment);
        true
    }

    fn enter(&mut self, content: Content, inside: bool, comment: Option<Cow<'a, str>>) {
        self.entries.push(Entry {
            content,
            inside,
            comment,
        });
    }

    /// What stands around a line.
    fn around(&self, line: Line<'a>) -> Around<'a> {
        let next = self
            .all
            .iter()
            .skip(line.number as usize)
            .take(20)
            .map(Line::before_hash)
            .find(|content| !content.trim().is_empty());
        let inside = self.is_inside(line);
        Around {
            inside,
            part: false,
            pitch: self.entries.iter().find_map(|entry| match entry.content {
                Content::Heading(Heading::Pitch(size)) => Some(size),
                _ => None,
            }),
            beneath: !inside && self.is_beneath_a_block(line),
            carried: self.carried.map(|(category, _)| category),
            first: self.blocks == 0 && self.mistakes.is_empty(),
            last: line.number >= self.last_figure,
            next: next.filter(|next| {
                let key = next
                    .split(':')
                    .next()
                    .unwrap_or_default()
                    .trim()
                    .to_lowercase();
                !KEYS.contains(&key.as_str()) && next.contains(|c: char| c.is_ascii_digit())
            }),
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
        let comment = comment_of(line, read.comment);
        self.enter(content, false, comment);
    }
}
