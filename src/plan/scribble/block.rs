//! A line as a block: the one reading that it has, or a question with each of several.

use super::apart::Scribbled;
use super::ask::{about, ask, asked, without_remark};
use super::kind::{self, Kind};
use super::meaning::{Around, NOT_UNDERSTOOD, Scribble};
use super::readings::{readings_for, uncounted, with_equal_rest};
use super::strict::strict;
use crate::plan::word::clean;
use crate::plan::{Block, Category, Dose, Mistake, Rest, Work};

/// Asked where a time behind a dose may be a rest.
pub(super) const NO_REST: &str = "the time behind this dose does not say what it is";

/// Asked where the words do not say the category.
pub(super) const NO_KIND: &str = "this line does not say what kind of work it is";

impl Scribbled {
    pub(crate) fn block(&self, kind: Kind, around: Around<'_>) -> Option<Scribble> {
        let read = self.block_or_question(kind, around)?;
        Some(self.with_remarks(read))
    }

    /// A question whose lines have the words that are kept beside the block.
    pub(super) fn with_remarks(&self, read: Scribble) -> Scribble {
        let Scribble::Ask {
            message,
            written,
            lines,
        } = read
        else {
            return read;
        };
        let remarks = clean(&self.remarks.join("; "));
        let put = |line: String| {
            if remarks.is_empty() || line.contains('\n') {
                line
            } else if line.contains("  # ") {
                format!("{line}; {remarks}")
            } else {
                format!("{line}  # {remarks}")
            }
        };
        Scribble::Ask {
            message,
            written,
            lines: lines.into_iter().map(put).collect(),
        }
    }

    fn block_or_question(&self, kind: Kind, around: Around<'_>) -> Option<Scribble> {
        if self.is_doubtful() {
            return None;
        }
        if let Some(several) = self.several_doses(&kind) {
            return Some(several);
        }
        let said = self.said();
        let (said, differs) = match with_equal_rest(&said) {
            Some(one) => one,
            None => (said, None),
        };
        if let (Some((block, text)), Kind::Nothing | Kind::One { .. }) = (uncounted(&said), &kind) {
            return self.without_a_count(&block, &text, &kind, around);
        }
        let (texts, open, range) = self.readings(&said);
        let open = open || differs.is_some();
        let dosed = texts.first().and_then(|text| dosed(text));
        let (several, missing) = self.categories(kind, around, &said, dosed.as_ref());
        // `1v1 x 8, 30 s` says how long something is.
        let timed = open || texts.len() > 1;
        if let Some(asked) = self.games(&several, missing || timed, dosed.as_ref()) {
            return Some(asked);
        }
        if let ([category], false, [text]) = (several.as_slice(), missing || open, texts.as_slice())
        {
            let whole = format!("{}{text}", self.head(*category));
            let read = strict(&whole).or_else(|wrong| {
                // `press-ups 3 x 10`: what is lifted is counted.
                let counted = readings_for(&texts, *category, kind::holds(&self.words))
                    .into_iter()
                    .next();
                match counted.filter(|_| *category == Category::Gym && text.contains(" x ")) {
                    Some(counted) => strict(&format!("{}{counted}", self.head(*category))),
                    None => Err(wrong),
                }
            });
            match read {
                Ok((block, open_rest)) => {
                    if let Some(lines) = self.flying(*category, &block, text) {
                        return ask("this can mean several things", lines);
                    }
                    if let Some(doubt) = &self.doubt {
                        return asked(doubt, &whole);
                    }
                    let remark = (!self.remarks.is_empty()).then(|| self.remarks.join("; "));
                    return Some(Scribble::Block {
                        block: Box::new(block),
                        remark,
                        open_rest,
                    });
                }
                Err(wrong) => {
                    // A question of the notation's own: which rest is meant.
                    if let [Mistake { message, lines, .. }] = wrong.as_slice()
                        && lines.len() > 1
                    {
                        return ask(message, lines.clone());
                    }
                }
            }
        }
        let message = if missing {
            NO_KIND
        } else if let Some(asks) = differs {
            asks
        } else if open && texts.len() == 1 {
            NO_REST
        } else if texts.len() > 1 {
            "this can mean several things"
        } else {
            NOT_UNDERSTOOD
        };
        let mut lines = Vec::new();
        for category in &several {
            for text in readings_for(&texts, *category, kind::holds(&self.words)) {
                lines.push(format!("{}{text}", self.head(*category)));
            }
        }
        if let Some(doubt) = self.doubt.as_ref().filter(|_| missing) {
            return about(&doubt.written, ask(&doubt.message, lines));
        }
        match range {
            // Where only the range is open it is what is asked about.
            Some(range) if !missing => about(&range, ask(message, lines)),
            _ => ask(message, lines),
        }
    }

    /// `4v4, 4 x`: so many games, of which nobody says how long they are.
    fn games(
        &self,
        several: &[Category],
        missing: bool,
        dosed: Option<&Block>,
    ) -> Option<Scribble> {
        let Dose::Reps {
            work: Work::Count,
            reps,
            ..
        } = dosed?.dose
        else {
            return None;
        };
        if missing || several != [Category::Game] {
            return None;
        }
        let lines = ["4 min", "5 min", "10 min"]
            .map(|each| format!("{}{reps} x {each}", self.head(Category::Game)));
        ask("this does not say how long each game is", lines.to_vec())
    }

    /// `flying 30s x 4`: thirty metres, or thirty seconds?
    fn flying(&self, category: Category, block: &Block, text: &str) -> Option<Vec<String>> {
        let Dose::Reps {
            work: Work::Duration(seconds),
            ..
        } = block.dose
        else {
            return None;
        };
        let flying = (self.words.iter()).any(|token| kind::is_flying(&token.lower()));
        let written = format!("{seconds} s");
        if category != Category::Speed || !flying || !text.contains(&written) {
            return None;
        }
        let metres = text.replacen(&written, &format!("{seconds} m"), 1);
        let head = self.head(category);
        Some(vec![format!("{head}{metres}"), format!("{head}{text}")])
    }

    /// `30 s on, 30 s off`, of which nobody says how often: in a round once, else so many times as are usual.
    fn without_a_count(
        &self,
        block: &Block,
        counted: &str,
        kind: &Kind,
        around: Around<'_>,
    ) -> Option<Scribble> {
        let categories = match kind {
            Kind::One { category, .. } => vec![*category],
            _ => vec![Category::Resistance, Category::Technical],
        };
        let mut lines = Vec::new();
        for category in categories {
            let head = self.head(category);
            match (around.inside, block.dose, block.rest) {
                (
                    true,
                    Dose::Reps {
                        work: Work::Duration(work_s),
                        ..
                    },
                    Rest::Timed(rest_s),
                ) => lines.push(format!("{head}{work_s} s, then {rest_s} s")),
                _ => lines.push(format!("{head}{counted}")),
            }
        }
        ask("this does not say how many times", lines)
    }
}

/// The block of phrases, or as it is offered first where the notation asks about them.
fn dosed(text: &str) -> Option<Block> {
    let wrong = match strict(&format!("resistance {text}")) {
        Ok((block, _)) => return Some(block),
        Err(wrong) => wrong,
    };
    let line = wrong.first()?.lines.first()?;
    Some(strict(without_remark(line)).ok()?.0)
}
