//! Lines with the time of day in front of them.

use std::borrow::Cow;

use crate::plan::Mistake;
use crate::plan::line::Line;
use crate::plan::parse::comment::comment_of;
use crate::plan::parse::reader::Reader;
use crate::plan::scribble::{self, Scribble};

/// Longer than this a part is rarely, min.
const LONG_MIN: u32 = 90;
/// Longer than this a jog or a run is rarely, min.
const LONGEST_RUN_MIN: u32 = 45;

impl<'a> Reader<'a> {
    /// Reads a line of a timetable: `18:15 rondo`, `18:25 speed 6 x 30 m`. Whether more can be read, or `None` where it is none.
    pub(super) fn at_a_clock(
        &mut self,
        line: Line<'a>,
        inside: bool,
        comment: Option<usize>,
    ) -> Option<bool> {
        let at = (line.number as usize).checked_sub(1)?;
        let clock = self.clocks.get(at).copied().flatten()?;
        let content = line.before(comment);
        let words = content.get(clock.words_at..)?;
        let time = content.get(..clock.words_at)?;
        let time = time.trim_start_matches(|c: char| !c.is_ascii_digit());
        let time = time
            .trim_end_matches(|c: char| !c.is_alphanumeric())
            .to_owned();
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
            let told = scribble::says_a_kind(words) || scribble::moves(words);
            if !told && !clock.says_its_end() && !clock.may_be_a_length() {
                self.set_aside(line, content, behind);
                return Some(true);
            }
            let lasts = clock
                .lasts_min
                .map(|minutes| format!("{words}, {minutes} min"));
            let asked = lasts.unwrap_or_else(|| words.to_owned());
            // It says how long it is: from here to there.
            if clock.says_its_end()
                && !clock.may_be_a_length()
                && let Some(more) = self.block_at_a_clock(line, &asked, &time, inside, comment)
            {
                return Some(more);
            }
            // As long as it is to the next line, or as the figures say by themselves.
            let mut lines = says(&asked);
            if !clock.says_its_end() {
                lines.truncate(1);
            }
            if clock.says_its_end() && clock.may_be_a_length() {
                let length = format!("{words}, {} s", clock.length_s);
                lines.extend(says(&length).into_iter().take(1));
            }
            // `17h30` is no length that anybody trains for, and the figures of two times are none.
            if !clock.certain && !clock.says_its_end() && !time.contains('h') {
                lines.extend(says(content).into_iter().take(1));
            }
            // Nobody plans so long a part, or runs so long in training.
            let (lasts_min, longest_min) = if scribble::moves(words) {
                // The last is taken as the one above it.
                let above = self.clocks.iter().take(at).flatten().next_back();
                let lasts_min = clock.lasts_min.or(above.and_then(|above| above.lasts_min));
                (lasts_min, LONGEST_RUN_MIN)
            } else {
                (clock.lasts_min, LONG_MIN)
            };
            if clock.may_be_a_length() && lasts_min.is_some_and(|minutes| minutes > longest_min) {
                lines.reverse();
            }
            lines.dedup();
            if !scribble::says_a_kind(words) {
                lines.push(format!("# {}", content.trim()));
            }
            let message = match lines.len() {
                _ if clock.says_its_end() && !clock.may_be_a_length() => {
                    format!("`{time}` is when this begins and ends")
                }
                1 if clock.lasts_min.is_none() => {
                    format!("`{time}` is when this begins, and not how long it takes")
                }
                1 => format!("`{time}` is when this begins, and the next line when it ends"),
                _ => format!("`{time}` may be when this begins, or how long it takes"),
            };
            return self.asked_at_a_clock(line, &time, message, lines, behind);
        }
        if let Some(more) = self.block_at_a_clock(line, words, &time, inside, comment) {
            return Some(more);
        }
        match scribble::read(words, around) {
            Some(Scribble::Ask { message, lines, .. }) => {
                self.asked_at_a_clock(line, words, message, lines, behind)
            }
            _ => None,
        }
    }

    /// Keeps the block that a text of a line is, with its time as a comment. `None` where it is none.
    fn block_at_a_clock(
        &mut self,
        line: Line<'a>,
        text: &str,
        time: &str,
        inside: bool,
        comment: Option<usize>,
    ) -> Option<bool> {
        let (block, remark) = match scribble::strict(text) {
            Ok((block, _)) => (block, time.to_owned()),
            Err(_) => match scribble::read(text, self.around(line))? {
                Scribble::Block { block, remark, .. } => {
                    let more = remark.map_or_else(String::new, |more| format!("; {more}"));
                    (*block, format!("{time}{more}"))
                }
                _ => return None,
            },
        };
        let kept = (Some(remark), comment_of(line, comment));
        Some(self.scribbled_block(line, line.before(comment), block, inside, kept))
    }

    /// Asks about a line of a timetable. `None` where there is nothing to offer.
    pub(super) fn asked_at_a_clock(
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
        self.refuse(Mistake { lines, ..mistake }, comment);
        Some(true)
    }
}
