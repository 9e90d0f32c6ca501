//! Reads a whole plan, line by line, and collects every mistake in it.

use std::borrow::Cow;
use std::fmt::{Display, Write as _};
use std::ops::Range;

use encoding_rs::{UTF_8, UTF_16BE, UTF_16LE};

use crate::limits::{PLAN_BLOCKS, PLAN_LINE_BYTES, PLAN_REPS};
use crate::plan::date::Reading;
use crate::plan::heading::{self, Heading, KEYS};
use crate::plan::line::{Line, lines};
use crate::plan::near::{is_one_of, nearest};
use crate::plan::phrase::{Phrases, begins_with_category};
use crate::plan::rounds::Rounds;
use crate::plan::scribble::{self, Again, Around, AsFar, Scribble};
use crate::plan::timetable::{Assumptions, clock_text, rests_are_asked, timetable};
use crate::plan::word::{self, BRACKETS, Kind};
use crate::plan::{Block, Category, Dose, Mistake, Plan, ReadAs, Work};

/// One line as understood.
pub(super) struct Entry<'a> {
    pub content: Content,
    /// Whether it belongs to the rounds above it.
    pub inside: bool,
    /// The comment with its `#`.
    pub comment: Option<Cow<'a, str>>,
}

/// What a line says.
pub(super) enum Content {
    Nothing,
    Heading(Heading),
    Block(Block),
    Rounds(Rounds),
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
    read_lines(text, reading).map(|read| read.entries)
}

/// The lines as understood.
struct ReadLines<'a> {
    entries: Vec<Entry<'a>>,
    /// The lines and places of the rests that could be ones between sets.
    open_rests: Vec<(u32, Range<usize>)>,
    read_as: Vec<ReadAs>,
}

fn read_lines(text: &str, reading: Reading) -> Result<ReadLines<'_>, Vec<Mistake>> {
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
        let content = line.content().split('#').next().unwrap_or_default();
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

/// Rounds whose list is being read.
struct Open<'a> {
    line: Line<'a>,
    indent: usize,
    times: u32,
    blocks: usize,
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
        let content = line.slice(&(line.start..comment.unwrap_or(line.end)));
        if (!wrong.is_empty() || scribble::is_open(content))
            && let Some(more) = self.scribbled(line, inside, comment, &wrong)
        {
            return more;
        }
        let wrong = behind_its_kind(line, comment, &wrong)
            .or_else(|| self.as_far_as_it_goes(line, comment, &wrong))
            .unwrap_or_else(|| at_its_cause(wrong));
        self.open_rests
            .extend(open_rest.map(|at| (line.number, at)));
        if block.is_some() || !wrong.is_empty() {
            self.first_block.get_or_insert(line.number);
        }
        if inside
            && block.is_none()
            && let Some(open) = &mut self.rounds
        {
            open.blocks += 1;
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
        let content = line.content().split('#').next().unwrap_or_default();
        let (block, meant) = as_meant(block, content);
        if meant {
            self.list_reading(line, content, Some(block.line_text(false)));
        }
        block
    }

    /// Lists how a line was read that is not in the notation.
    fn list_reading(&mut self, line: Line<'_>, content: &str, tidy: Option<String>) {
        self.read_as.push(ReadAs {
            line: line.number,
            written: word::clean(content),
            tidy,
        });
    }

    /// Whether the line belongs to the list of the rounds above: it is indented, or has the mark of a list below a line that
    /// has none.
    fn is_inside(&self, line: Line<'_>) -> bool {
        self.rounds.as_ref().is_some_and(|open| {
            let marked = |line: Line<'_>| scribble::list_mark(line.content()).is_some();
            let columns = indent(line);
            columns > open.indent || columns == open.indent && marked(line) && !marked(open.line)
        })
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

    /// Whether the line says the rest of the rounds whose list has not begun.
    fn is_rest_of_rounds(&self, line: Line<'_>) -> bool {
        let open = self.rounds.as_ref().is_some_and(|open| open.blocks == 0);
        open && matches!(
            scribble::read(line.content(), Around::default()),
            Some(Scribble::RoundsRest { .. })
        )
    }

    /// Keeps a block. Whether more can be read.
    fn keep(
        &mut self,
        line: Line<'a>,
        block: Block,
        inside: bool,
        comment: Option<Cow<'a, str>>,
    ) -> bool {
        let times = match &mut self.rounds {
            Some(open) if inside => {
                open.blocks += 1;
                open.times
            }
            _ => 1,
        };
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

    /// Reads a line that is not in the notation, if it can mean one thing only or can be asked about. Whether more can be
    /// read, or `None` where it is not understood.
    fn scribbled(
        &mut self,
        line: Line<'a>,
        inside: bool,
        comment: Option<usize>,
        wrong: &[Mistake],
    ) -> Option<bool> {
        if self.mistakes.len() >= SCRIBBLES_TRIED {
            return None;
        }
        let content = line.slice(&(line.start..comment.unwrap_or(line.end)));
        let behind = comment_of(line, comment);
        let read = scribble::read(content, self.around(line));
        // `Session: repeat sprints` is a title, and no heading of sprints.
        let heads = matches!(read, Some(Scribble::Heads(_))) && !scribble::is_keyed(content);
        if self.first_block.is_none() && !inside && !heads {
            if let Some(heading) = scribble::opening(content, self.reading) {
                return self.opened(line, &heading, behind).then_some(true);
            }
            if self.headings.first() == Some(&None) && scribble::is_title(content) {
                let title =
                    word::clean(content.trim_matches(|c: char| c == ':' || c.is_whitespace()));
                return self
                    .opened(line, &format!("title: {title}"), behind)
                    .then_some(true);
            }
        }
        match read? {
            Scribble::Block {
                block,
                remark,
                open_rest,
            } => {
                if open_rest {
                    self.open_rests.push((line.number, whole(line, content)));
                }
                Some(self.scribbled_block(line, content, *block, inside, (remark, behind)))
            }
            Scribble::Heads(category) => {
                self.carried = Some((category, false));
                self.enter(Content::Nothing, false, joined(Some(content), behind));
                Some(true)
            }
            Scribble::Rest { said, remark } => {
                if let Some(more) =
                    self.rest_below(line, content, &said, inside, (remark, behind.clone()))
                {
                    return Some(more);
                }
                Some(self.no_room_for_a_rest(line, content, behind))
            }
            Scribble::Again(again) => self.again(line, content, again, behind).then_some(true),
            Scribble::EitherRest { message, rests } => {
                Some(self.either_rest(line, content, message, &rests, behind))
            }
            Scribble::RoundsRest { rest_s, remark } => {
                self.rest_between_rounds(line, content, rest_s, (remark, behind))
            }
            Scribble::Rounds { rounds, remark } => {
                let tidy = with_remark(rounds.to_string(), remark.as_deref());
                self.list_reading(line, content, Some(tidy));
                self.begin_rounds(line, Ok(rounds), joined(remark.as_deref(), behind));
                Some(true)
            }
            Scribble::Remark => {
                // It may be a heading of its own, of a kind that is not known.
                if self.carried.is_some_and(|(_, used)| used) {
                    self.carried = None;
                }
                self.list_reading(line, content, None);
                self.enter(Content::Nothing, false, joined(Some(content), behind));
                Some(true)
            }
            // The notation has a line ready of its own; two readings of a phrase say more.
            Scribble::Ask {
                message,
                written,
                lines,
            } if wrong.last().is_some_and(|last| {
                    !last.lines.is_empty() && last.message != BRACKETS
                })
                    && (written.is_none() || lines.len() < 2)
                    && !message.contains(scribble::NO_UNIT)
                    && !lines.iter().any(|line| line.contains('\n'))
                    // Of a bracket it knows no name.
                    && !written.as_ref().is_some_and(|written| written.starts_with('(')) =>
            {
                None
            }
            Scribble::Ask {
                message,
                written,
                lines,
            } => {
                let mut mistake = question(line, content, message, wrong);
                if let Some(at) = written.and_then(|written| place_of(content, &written)) {
                    let span = line.start + at.start..line.start + at.end;
                    mistake = line.mistake(span, mistake.message);
                }
                self.asks(content, Mistake { lines, ..mistake }, inside, behind);
                Some(true)
            }
        }
    }

    /// Keeps a question about a line; a time alone is offered as a rest of the block above as well.
    fn asks(
        &mut self,
        content: &str,
        mut mistake: Mistake,
        inside: bool,
        comment: Option<Cow<'a, str>>,
    ) {
        self.first_block.get_or_insert(mistake.line);
        if scribble::is_a_time(content)
            && let Some(rested) = self.rested_from(&format!("then {}", content.trim()))
        {
            mistake.lines.insert(0, rested);
        }
        if inside && let Some(open) = &mut self.rounds {
            open.blocks += 1;
        }
        self.mistakes.push(mistake);
        self.enter(Content::Nothing, false, comment);
    }

    /// Reads a line of a timetable: `18:15 rondo`, `18:25 speed 6 x 30 m`. Whether more can be read, or `None` where it is none.
    fn at_a_clock(&mut self, line: Line<'a>, inside: bool, comment: Option<usize>) -> Option<bool> {
        let at = (line.number as usize).checked_sub(1)?;
        let clock = self.clocks.get(at).copied().flatten()?;
        let content = line.slice(&(line.start..comment.unwrap_or(line.end)));
        let words = content.get(clock.words_at..)?;
        let time = content.get(..clock.words_at)?;
        let time = time.trim_matches(|c: char| !c.is_ascii_digit()).to_owned();
        let behind = comment_of(line, comment);
        let around = self.around(line);
        let says = |text: &str| match scribble::tidied(text) {
            Some(tidy) => vec![tidy],
            None => match scribble::read(text, around) {
                Some(Scribble::Block { block, .. }) => vec![block.line_text(true)],
                Some(Scribble::Ask { lines, .. }) => lines,
                _ => Vec::new(),
            },
        };
        if !scribble::says_how_much(words) {
            if !scribble::says_a_kind(words) {
                self.list_reading(line, content, None);
                self.enter(Content::Nothing, false, joined(Some(content), behind));
                return Some(true);
            }
            // As long as it is to the next line, or as the figures say by themselves.
            let lasts = clock
                .lasts_min
                .map(|minutes| format!("{words}, {minutes} min"));
            let asked = lasts.unwrap_or_else(|| words.to_owned());
            let mut lines = says(&asked);
            lines.truncate(1);
            lines.extend(says(content).into_iter().take(1));
            lines.dedup();
            let message = match lines.len() {
                1 => format!("`{time}` is when this begins, and the next line when it ends"),
                _ => format!("`{time}` may be when this begins, or how long it takes"),
            };
            return self.asked_at_a_clock(line, &time, message, lines, behind);
        }
        match scribble::read(words, around) {
            _ if let Ok((block, _)) = scribble::strict(words) => {
                Some(self.scribbled_block(line, content, block, inside, (Some(time), behind)))
            }
            Some(Scribble::Block { block, remark, .. }) => {
                let remark = remark.map_or_else(|| time.clone(), |more| format!("{time}; {more}"));
                Some(self.scribbled_block(line, content, *block, inside, (Some(remark), behind)))
            }
            Some(Scribble::Ask { message, lines, .. }) => {
                self.asked_at_a_clock(line, words, message, lines, behind)
            }
            _ => None,
        }
    }

    /// Asks about a line of a timetable. `None` where there is nothing to offer.
    fn asked_at_a_clock(
        &mut self,
        line: Line<'a>,
        about: &str,
        message: String,
        lines: Vec<String>,
        comment: Option<Cow<'a, str>>,
    ) -> Option<bool> {
        if lines.is_empty() {
            return None;
        }
        let at = line.start + line.content().find(about)?;
        let mistake = line.mistake(at..at + about.trim_end().len(), message);
        self.first_block.get_or_insert(line.number);
        self.mistakes.push(Mistake { lines, ..mistake });
        self.enter(Content::Nothing, false, comment);
        Some(true)
    }

    /// The mistake in a line that does not begin with its category and can be read but for its end.
    fn as_far_as_it_goes(
        &self,
        line: Line<'a>,
        comment: Option<usize>,
        wrong: &[Mistake],
    ) -> Option<Vec<Mistake>> {
        wrong.first().filter(|first| misses_category(first))?;
        if self.mistakes.len() >= SCRIBBLES_TRIED {
            return None;
        }
        let content = line.slice(&(line.start..comment.unwrap_or(line.end)));
        let AsFar { tail, lines } = scribble::as_far_as_it_goes(content, self.around(line))?;
        let start = line.start + content.rfind(&tail)?;
        let span = start..start + tail.len();
        let mut mistake = line.mistake(span, format!("`{tail}` is not read"));
        mistake.lines = lines;
        Some(vec![mistake])
    }

    /// Asks about a line that has the block above done again, which is told in front of it. Whether there is one.
    fn again(
        &mut self,
        line: Line<'a>,
        content: &str,
        Again { times, between_s }: Again,
        comment: Option<Cow<'a, str>>,
    ) -> bool {
        let Some(Entry {
            content: Content::Block(block),
            inside: false,
            ..
        }) = self.entries.last()
        else {
            return false;
        };
        let rounds = Rounds {
            times,
            between_s,
            then_s: None,
        };
        let message = "what is done again stands below the line that says how often";
        let mut mistake = line.mistake(whole(line, content), message);
        mistake.lines = vec![format!("{rounds}\n  {}", block.line_text(true))];
        mistake = mistake.expecting("these lines in place of this one and the one above");
        self.mistakes.push(mistake);
        self.enter(Content::Nothing, false, comment);
        true
    }

    /// Two rests on a line of their own, of which the block above can have one. Whether more can be read.
    fn either_rest(
        &mut self,
        line: Line<'a>,
        content: &str,
        message: String,
        rests: &[String],
        comment: Option<Cow<'a, str>>,
    ) -> bool {
        let with = |rest: &String| self.rested_from(rest);
        let lines: Vec<String> = rests.iter().filter_map(with).collect();
        if lines.is_empty() {
            return self.no_room_for_a_rest(line, content, comment);
        }
        let mistake = line.mistake(whole(line, content), message);
        self.mistakes.push(Mistake { lines, ..mistake });
        self.enter(Content::Nothing, false, comment);
        true
    }

    /// The block above with this rest, where it has room for it.
    fn rested_from(&self, rest: &str) -> Option<String> {
        let mut entries = self.entries.iter().rev();
        let above = entries.find(|entry| !matches!(entry.content, Content::Nothing))?;
        let Content::Block(block) = &above.content else {
            return None;
        };
        scribble::tidied(&format!("{}, {rest}", block.line_text(true)))
    }

    /// A rest between the rounds above, where they have none. Whether more can be read.
    fn rest_between_rounds(
        &mut self,
        line: Line<'a>,
        content: &str,
        rest_s: f64,
        (remark, comment): (Option<String>, Option<Cow<'a, str>>),
    ) -> Option<bool> {
        let rounds = self
            .entries
            .iter_mut()
            .rev()
            .find_map(|entry| match &mut entry.content {
                Content::Rounds(rounds) => Some(rounds),
                _ => None,
            })?;
        if rounds.between_s.is_some() || rounds.times < 2 {
            return None;
        }
        rounds.between_s = Some(rest_s);
        let tidy = with_remark(rounds.to_string(), remark.as_deref());
        self.list_reading(line, content, Some(tidy));
        self.enter(Content::Nothing, false, joined(remark.as_deref(), comment));
        Some(true)
    }

    /// A rest on a line of its own that no block above can take. Whether more can be read.
    fn no_room_for_a_rest(
        &mut self,
        line: Line<'a>,
        content: &str,
        comment: Option<Cow<'a, str>>,
    ) -> bool {
        let mistake = line.mistake(
            whole(line, content),
            "no block above has room for this rest",
        );
        self.mistakes
            .push(mistake.expecting("a rest on the line of its block, or on the next"));
        self.enter(Content::Nothing, false, comment);
        true
    }

    /// Keeps a block that was not written in the notation, and how it was read; whether more can be read.
    fn scribbled_block(
        &mut self,
        line: Line<'a>,
        content: &str,
        block: Block,
        inside: bool,
        (remark, comment): (Option<String>, Option<Cow<'a, str>>),
    ) -> bool {
        if let Some((_, used)) = &mut self.carried {
            *used = true;
        }
        if scribble::says_a_kind(content) {
            self.carried = None;
        }
        let (block, meant) = as_meant(block, content);
        let block = Block {
            line: line.number,
            ..block
        };
        if meant || !scribble::is_listed(content) {
            // Words that ask for nothing are listed too, as they are kept.
            let tidy = with_remark(block.line_text(false), remark.as_deref());
            self.list_reading(line, content, Some(tidy));
        }
        let remark = joined(remark.as_deref(), comment);
        self.keep(line, block, inside, remark)
    }

    /// What stands around a line.
    fn around(&self, line: Line<'a>) -> Around<'a> {
        let next = self
            .all
            .iter()
            .skip(line.number as usize)
            .take(20)
            .map(|next| next.content().split('#').next().unwrap_or_default())
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

    /// Enters a header line that was written in another way.
    fn opened(&mut self, line: Line<'a>, heading: &str, comment: Option<Cow<'a, str>>) -> bool {
        let again = Line {
            text: heading,
            number: line.number,
            start: 0,
            end: heading.len(),
        };
        let Some(read) = heading::read(again, self.reading) else {
            return false;
        };
        let Some(slot) = read.key.and_then(|key| self.headings.get_mut(key)) else {
            return false;
        };
        if slot.is_some() || read.heading.is_none() && read.mistakes.is_empty() {
            return false;
        }
        *slot = Some(line.number);
        let place = whole(line, line.content());
        // What stands behind a date is kept with it.
        let aside = read
            .comment
            .and_then(|at| heading.get(at..))
            .map(|text| text.trim_start_matches('#'));
        let aside = joined(aside, None);
        let tidy = |heading: &Heading| match &aside {
            Some(aside) => format!("{heading}  {aside}"),
            None => heading.to_string(),
        };
        for mistake in read.mistakes {
            let moved = line.mistake(place.clone(), mistake.message.clone());
            self.mistakes.push(Mistake {
                line: moved.line,
                column: moved.column,
                span: moved.span,
                ..mistake
            });
        }
        let content = match read.heading {
            Some(heading) => {
                self.list_reading(line, line.content(), Some(tidy(&heading)));
                Content::Heading(heading)
            }
            None => Content::Nothing,
        };
        let comment = match &aside {
            Some(aside) => joined(Some(aside.trim_start_matches('#')), comment),
            None => comment,
        };
        self.enter(content, false, comment);
        true
    }

    /// A rest on a line of its own: the one of the block above that is still open.
    fn rest_below(
        &mut self,
        line: Line<'a>,
        content: &str,
        said: &str,
        inside: bool,
        (remark, comment): (Option<String>, Option<Cow<'a, str>>),
    ) -> Option<bool> {
        let remark = remark.as_deref();
        let above = self
            .entries
            .iter()
            .rposition(|entry| !matches!(entry.content, Content::Nothing))?;
        let entry = self.entries.get(above)?;
        let Content::Block(block) = &entry.content else {
            return None;
        };
        if entry.inside && !inside {
            return self.rest_of_rounds(line, content, said, joined(remark, comment));
        }
        let read = |text: &str| -> Option<(Block, bool)> {
            let line = Line {
                text,
                number: block.line,
                start: 0,
                end: text.len(),
            };
            let (block, wrong, open) = block_of(line, word::words(line, 0));
            block
                .filter(|_| wrong.is_empty())
                .map(|block| (block, open.is_some()))
        };
        let written = block.line_text(true);
        let own = read(&format!("{written}, {said}"));
        let length = said
            .trim_start_matches("rest ")
            .trim_end_matches(" rest")
            .trim_end_matches(" break")
            .trim_end_matches(" off");
        let after =
            if block.then_s.is_none() && !said.starts_with("then") && !said.contains("between") {
                read(&format!("{written}, then {length}"))
            } else {
                None
            };
        // Between its reps, where it has several and no rest; behind it, where it has none to give.
        let has_gaps = block.reps() > 1 || block.sets() > 1;
        let own = own.filter(|_| has_gaps || said.starts_with("then"));
        let (block, open) = match (own, after) {
            (Some((own, _)), Some((after, _))) => {
                let mut mistake = line.mistake(
                    whole(line, content),
                    "this rest can lie between the reps of the line above, or behind them",
                );
                mistake.lines = [own, after]
                    .map(|block| with_remark(block.line_text(true), remark))
                    .to_vec();
                self.mistakes.push(mistake);
                self.enter(Content::Nothing, false, comment);
                return Some(true);
            }
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => return None,
        };
        if open && let Some(above) = self.all.get(block.line.checked_sub(1)? as usize) {
            self.open_rests
                .push((block.line, whole(*above, above.content())));
        }
        let tidy = with_remark(block.line_text(false), remark);
        self.list_reading(line, content, Some(tidy));
        let entry = self.entries.get_mut(above)?;
        entry.content = Content::Block(block);
        self.enter(Content::Nothing, false, joined(remark, comment));
        Some(true)
    }

    /// A rest below the list of rounds, which does not say whether it lies between them or behind them.
    fn rest_of_rounds(
        &mut self,
        line: Line<'a>,
        content: &str,
        said: &str,
        comment: Option<Cow<'a, str>>,
    ) -> Option<bool> {
        let rounds = self
            .entries
            .iter()
            .rev()
            .find_map(|entry| match entry.content {
                Content::Rounds(rounds) => Some(rounds),
                _ => None,
            })?;
        let length = scribble::rest_s(said)?;
        let between = rounds.between_s.is_none().then_some(Rounds {
            between_s: Some(length),
            ..rounds
        });
        let behind = rounds.then_s.is_none().then_some(Rounds {
            then_s: Some(length),
            ..rounds
        });
        let mut mistake = line.mistake(
            whole(line, content),
            "this rest can lie between the rounds above, or behind them",
        );
        mistake.lines = [between, behind]
            .into_iter()
            .flatten()
            .map(|rounds| rounds.to_string())
            .collect();
        if mistake.lines.is_empty() {
            return None;
        }
        self.mistakes.push(mistake);
        self.enter(Content::Nothing, false, comment);
        Some(true)
    }

    fn begin_rounds(
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
    fn close_rounds(&mut self) {
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
    fn indented(&self, line: Line<'a>) -> Option<String> {
        let rounds =
            (self.entries.get(line.number as usize - 1)).and_then(|entry| match entry.content {
                Content::Rounds(rounds) => Some(rounds),
                _ => None,
            })?;
        let mut out = rounds.to_string();
        let below = self.all.iter().skip(line.number as usize);
        let mut blocks = 0;
        for next in below.take_while(|next| !next.content().trim().is_empty()) {
            let (block, ..) = block_of(*next, word::words(*next, next.start));
            let block =
                block.or_else(
                    || match scribble::read(next.content(), Around::default())? {
                        Scribble::Block { block, .. } => Some(*block),
                        _ => None,
                    },
                )?;
            if block.category == Category::CoolDown {
                break;
            }
            blocks += 1;
            // Writing to a String cannot fail.
            let _ = write!(out, "\n  {}", block.line_text(true));
        }
        (blocks > 0).then_some(out)
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

/// The shortest way that a warm-up, a cool-down or a game may have, m; what is less and written with a bare m is minutes.
const LEAST_WAY_M: f64 = 100.0;

/// What is asked about a line, or the notation's own mistake where that says it better.
fn question(line: Line<'_>, content: &str, message: String, wrong: &[Mistake]) -> Mistake {
    match wrong {
        [one] if message == scribble::NOT_UNDERSTOOD => one.clone(),
        // Its words are known, and with a unit it can be read.
        _ if message == scribble::NOT_UNDERSTOOD => line.mistake(
            whole(line, content),
            "this line does not say the unit of its dose",
        ),
        _ => line.mistake(whole(line, content), message),
    }
}

/// Where words of a line stand that were told without its blanks and signs: `R 2` in `5 x 30 m R=2`.
fn place_of(content: &str, written: &str) -> Option<Range<usize>> {
    if let Some(at) = content.find(written) {
        return Some(at..at + written.len());
    }
    let says = |c: &char| !c.is_whitespace() && !matches!(c, '=' | ':');
    let sought: Vec<char> = written.chars().filter(says).collect();
    let first = sought.first()?;
    (content.char_indices().filter(|(_, c)| c == first)).find_map(|(start, _)| {
        let said = content
            .get(start..)?
            .char_indices()
            .filter(|(_, c)| says(c));
        let found: Vec<(usize, char)> = said.take(sought.len()).collect();
        let same = found.iter().map(|(_, c)| c).eq(sought.iter());
        let (last, c) = found.last()?;
        same.then_some(start..start + last + c.len_utf8())
    })
}

/// A block with its dose in minutes where that is meant, and whether it is.
fn as_meant(block: Block, content: &str) -> (Block, bool) {
    match minutes_meant(&block, content) {
        Some(duration_s) => {
            let dose = Dose::Continuous { duration_s };
            (Block { dose, ..block }, true)
        }
        None => (block, false),
    }
}

/// The time that is meant where a warm-up, a cool-down or a game is written with a few `m` and nothing else, s.
fn minutes_meant(block: &Block, content: &str) -> Option<f64> {
    let whole = matches!(
        block.category,
        Category::WarmUp | Category::CoolDown | Category::Game
    ) || block.category == Category::Gym && stays_in_place(block.name.as_deref());
    let Dose::Reps {
        sets: 1,
        reps: 1,
        work: Work::Distance(number),
    } = block.dose
    else {
        return None;
    };
    let plain = block.mixed.is_empty() && block.over_m.is_none() && !block.there_and_back;
    if !whole || !plain || number >= LEAST_WAY_M || block.target.is_some() {
        return None;
    }
    let content = content.split('#').next().unwrap_or_default();
    let written = number.to_string();
    let bare = content.match_indices(written.as_str()).any(|(at, _)| {
        let before = content.get(..at).unwrap_or_default().trim_end();
        let behind = content.get(at + written.len()..).unwrap_or_default();
        let unit = behind.trim_start().strip_prefix(['m', 'M']);
        let last = before
            .rsplit(char::is_whitespace)
            .next()
            .unwrap_or_default();
        let counts =
            |c: char| c.is_ascii_digit() || matches!(c, 'x' | 'X' | '.') || word::is_times(c);
        let counted = !last.is_empty() && last.chars().all(counts);
        !counted && unit.is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
    });
    bare.then_some(60.0 * number)
}

/// Whether work in the gym goes nowhere: `gym 45m`, `stretching 10m`.
fn stays_in_place(name: Option<&str>) -> bool {
    const STAYS: &str = "stretch, stretches, stretching, mobility, core, abs, yoga, pilates, foam, plank, \
     planks, bike, weights";
    name.is_none_or(|name| {
        name.split(' ')
            .any(|word| is_one_of(&word.to_lowercase(), STAYS))
    })
}

/// The comment from its `#` on.
fn comment_of(line: Line<'_>, comment: Option<usize>) -> Option<Cow<'_, str>> {
    comment.map(|at| Cow::Borrowed(line.slice(&(at..line.end)).trim_end()))
}

/// The mistakes without those that follow from a missing category.
fn at_its_cause(mut wrong: Vec<Mistake>) -> Vec<Mistake> {
    // What goes wrong from its first word on goes wrong once, where nothing else is a slip of its own.
    let lost = match wrong.as_slice() {
        [first, others @ ..] => {
            first.message.ends_with("is no category")
                && others.len() > 1
                && others.iter().all(|other| other.suggestion.is_none())
        }
        [] => false,
    };
    if lost || wrong.first().is_some_and(misses_category) {
        wrong.truncate(1);
    }
    wrong
}

/// The mistake in a line whose kind of work is told by its words: in the first phrase that cannot be read, and not at the
/// missing category.
fn behind_its_kind(
    line: Line<'_>,
    comment: Option<usize>,
    wrong: &[Mistake],
) -> Option<Vec<Mistake>> {
    let first = wrong.first().filter(|first| misses_category(first))?;
    let content = line.slice(&(line.start..comment.unwrap_or(line.end)));
    if !scribble::says_a_kind(content) {
        return None;
    }
    let mut at = line.start;
    for (index, phrase) in content.split([',', ';']).enumerate() {
        let start = at + (phrase.len() - phrase.trim_start().len());
        at += phrase.len() + 1;
        let phrase = phrase.trim();
        // The first says what is done, and so does a dose.
        if index == 0
            || phrase.is_empty()
            || phrase.contains('x') && phrase.contains(|c: char| c.is_ascii_digit())
        {
            continue;
        }
        if let Some(cause) = scribble::cause(phrase) {
            let span = start + cause.span.start..start + cause.span.end;
            let mut mistake = line.mistake(span, cause.message);
            mistake.expected = cause.expected.or_else(|| first.expected.clone());
            mistake.suggestion = cause.suggestion;
            return Some(vec![mistake]);
        }
    }
    None
}

/// Whether a mistake is that a line does not begin with a category.
fn misses_category(mistake: &Mistake) -> bool {
    let category = mistake.message.ends_with("is no category")
        || mistake.message == "a block begins with its category";
    category && mistake.suggestion.is_none()
}

/// Whether the line says rounds with words beside them that are kept, or laps: `2 rounds around the pitch`.
fn says_more_than_rounds(line: Line<'_>) -> bool {
    matches!(
        scribble::read(line.content(), Around::default()),
        Some(
            Scribble::Rounds { .. }
                | Scribble::Ask {
                    written: Some(_),
                    ..
                }
                | Scribble::Block { .. }
        )
    ) || matches!(
        scribble::read(line.content(), Around::default()),
        // The rounds with the list behind their colon.
        Some(Scribble::Ask { lines, .. }) if lines.iter().any(|line| line.contains("rounds of"))
    )
}

/// A line in its tidy form with the words that are kept beside it.
fn with_remark(tidy: String, remark: Option<&str>) -> String {
    match joined(remark, None) {
        Some(remark) => format!("{tidy}  {remark}"),
        None => tidy,
    }
}

/// Words that were set aside, as a comment, in front of the one that stands there.
fn joined<'a>(remark: Option<&str>, comment: Option<Cow<'a, str>>) -> Option<Cow<'a, str>> {
    let Some(remark) = remark.map(word::clean).filter(|text| !text.is_empty()) else {
        return comment;
    };
    let behind = comment.map(|comment| comment.trim_start_matches('#').trim().to_owned());
    Some(Cow::Owned(match behind {
        Some(behind) if !behind.is_empty() => format!("# {remark}; {behind}"),
        _ => format!("# {remark}"),
    }))
}

/// The bytes of a line's content without the blanks around it.
fn whole(line: Line<'_>, content: &str) -> Range<usize> {
    let start = line.start + (content.len() - content.trim_start().len());
    start..(line.start + content.trim_end().len()).max(start)
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
    let message = if text.trim().is_empty() {
        "this plan is empty"
    } else {
        "there is no block in this plan"
    };
    last.mistake(last.end..last.end, message).expecting(
        "at least one line such as `speed \"to halfway\", 5 x 40 m at 95%, rest walk back`",
    )
}
