//! Lines that are not in the notation: read where they can mean one thing only, else asked about.

use std::borrow::Cow;

use crate::plan::heading;
use crate::plan::line::Line;
use crate::plan::minutes::as_meant;
use crate::plan::parse::comment::{comment_of, joined, whole, with_remark};
use crate::plan::parse::mistakes::{is_about_a_category, misses_category, place_of, question};
use crate::plan::parse::reader::{Content, Entry, Reader, SCRIBBLES_TRIED};
use crate::plan::rounds::Rounds;
use crate::plan::scribble::{self, Again, AsFar, Scribble};
use crate::plan::word::{self, BRACKETS};
use crate::plan::{Block, Mistake};

impl<'a> Reader<'a> {
    /// Reads a line that is not in the notation, if it can mean one thing only or can be asked about. Whether more can be
    /// read, or `None` where it is not understood.
    pub(super) fn scribbled(
        &mut self,
        line: Line<'a>,
        inside: bool,
        comment: Option<usize>,
        wrong: &[Mistake],
    ) -> Option<bool> {
        if self.mistakes.len() >= SCRIBBLES_TRIED {
            return None;
        }
        let content = line.before(comment);
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
                self.set_aside(line, content, behind);
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
                    // Its guess at the category leaves out the word that stands for it.
                    && !(lines.len() > 1 && wrong.first().is_some_and(is_about_a_category))
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
    pub(super) fn asks(
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
        self.count_in_rounds(inside);
        self.refuse(mistake, comment);
    }

    /// The mistake in a line that does not begin with its category and can be read but for its end.
    pub(super) fn as_far_as_it_goes(
        &self,
        line: Line<'a>,
        comment: Option<usize>,
        wrong: &[Mistake],
    ) -> Option<Vec<Mistake>> {
        wrong.first().filter(|first| misses_category(first))?;
        if self.mistakes.len() >= SCRIBBLES_TRIED {
            return None;
        }
        let content = line.before(comment);
        let AsFar { tail, lines } = scribble::as_far_as_it_goes(content, self.around(line))?;
        let start = line.start + content.rfind(&tail)?;
        let span = start..start + tail.len();
        let mut mistake = line.mistake(span, format!("`{tail}` is not read"));
        mistake.lines = lines;
        Some(vec![mistake])
    }

    /// Asks about a line that has the block above done again, which is told in front of it. Whether there is one.
    pub(super) fn again(
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
        self.refuse(mistake, comment);
        true
    }

    /// Keeps a block that was not written in the notation, and how it was read; whether more can be read.
    pub(super) fn scribbled_block(
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

    /// Enters a header line that was written in another way.
    pub(super) fn opened(
        &mut self,
        line: Line<'a>,
        heading: &str,
        comment: Option<Cow<'a, str>>,
    ) -> bool {
        let Some(read) = heading::read(Line::alone(heading), self.reading) else {
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
                let tidy = with_remark(heading.to_string(), aside);
                self.list_reading(line, line.content(), Some(tidy));
                Content::Heading(heading)
            }
            None => Content::Nothing,
        };
        self.enter(content, false, joined(aside, comment));
        true
    }
}
