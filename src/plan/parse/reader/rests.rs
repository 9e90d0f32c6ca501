//! Rests on a line of their own.

use std::borrow::Cow;

use crate::plan::line::Line;
use crate::plan::parse::comment::{joined, whole, with_remark};
use crate::plan::parse::reader::{Content, Entry, Reader};
use crate::plan::rounds::Rounds;
use crate::plan::scribble;
use crate::plan::{Block, Mistake};

impl<'a> Reader<'a> {
    /// A rest on a line of its own: the one of the block above that is still open.
    pub(super) fn rest_below(
        &mut self,
        line: Line<'a>,
        content: &str,
        said: &str,
        inside: bool,
        (remark, comment): (Option<String>, Option<Cow<'a, str>>),
    ) -> Option<bool> {
        let remark = remark.as_deref();
        let above = self.last_said()?;
        let entry = self.entries.get(above)?;
        let Content::Block(block) = &entry.content else {
            return None;
        };
        if entry.inside && !inside {
            return self.rest_of_rounds(line, content, said, joined(remark, comment));
        }
        let read = |text: &str| -> Option<(Block, bool)> {
            let (read, open) = scribble::strict(text).ok()?;
            let line = block.line;
            Some((Block { line, ..read }, open))
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
                self.refuse(mistake, comment);
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

    /// The place of the last line that said anything.
    fn last_said(&self) -> Option<usize> {
        let says = |entry: &Entry<'_>| !matches!(entry.content, Content::Nothing);
        self.entries.iter().rposition(says)
    }

    /// The block above with this rest, where it has room for it.
    pub(super) fn rested_from(&self, rest: &str) -> Option<String> {
        let above = self.entries.get(self.last_said()?)?;
        let Content::Block(block) = &above.content else {
            return None;
        };
        scribble::tidied(&format!("{}, {rest}", block.line_text(true)))
    }

    /// Two rests on a line of their own, of which the block above can have one. Whether more can be read.
    pub(super) fn either_rest(
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
        self.refuse(Mistake { lines, ..mistake }, comment);
        true
    }

    /// A rest on a line of its own that no block above can take. Whether more can be read.
    pub(super) fn no_room_for_a_rest(
        &mut self,
        line: Line<'a>,
        content: &str,
        comment: Option<Cow<'a, str>>,
    ) -> bool {
        let mistake = line.mistake(
            whole(line, content),
            "no block above has room for this rest",
        );
        let mistake = mistake.expecting("a rest on the line of its block, or on the next");
        self.refuse(mistake, comment);
        true
    }

    /// A rest between the rounds above, where they have none. Whether more can be read.
    pub(super) fn rest_between_rounds(
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

    /// A rest below the list of rounds, which does not say whether it lies between them or behind them.
    pub(super) fn rest_of_rounds(
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
        self.refuse(mistake, comment);
        Some(true)
    }
}
