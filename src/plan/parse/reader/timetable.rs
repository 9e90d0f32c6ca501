//! Lines with the time of day in front of them.

use std::borrow::Cow;

use crate::plan::Mistake;
use crate::plan::line::Line;
use crate::plan::parse::comment::comment_of;
use crate::plan::parse::reader::Reader;
use crate::plan::scribble::{self, Scribble};

/// Longer than this a part is rarely, min.
const LONG_MIN: u32 = 90;

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
            if !scribble::says_a_kind(words) && !scribble::moves(words) && !clock.may_be_a_length()
            {
                self.set_aside(line, content, behind);
                return Some(true);
            }
            // As long as it is to the next line, or as the figures say by themselves.
            let lasts = clock
                .lasts_min
                .map(|minutes| format!("{words}, {minutes} min"));
            let asked = lasts.unwrap_or_else(|| words.to_owned());
            let mut lines = says(&asked);
            lines.truncate(1);
            // `17h30` is no length that anybody trains for.
            if !clock.halved && !time.contains('h') {
                lines.extend(says(content).into_iter().take(1));
            }
            // Nobody plans so long a part.
            if clock.may_be_a_length() && clock.lasts_min.is_some_and(|minutes| minutes > LONG_MIN)
            {
                lines.reverse();
            }
            lines.dedup();
            if !scribble::says_a_kind(words) {
                lines.push(format!("# {}", content.trim()));
            }
            let message = match lines.len() {
                1 if clock.lasts_min.is_none() => {
                    format!("`{time}` is when this begins, and not how long it takes")
                }
                1 => format!("`{time}` is when this begins, and the next line when it ends"),
                _ => format!("`{time}` may be when this begins, or how long it takes"),
            };
            return self.asked_at_a_clock(line, &time, message, lines, behind);
        }
        if let Ok((block, _)) = scribble::strict(words) {
            let kept = (Some(time), behind);
            return Some(self.scribbled_block(line, content, block, inside, kept));
        }
        match scribble::read(words, around) {
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
