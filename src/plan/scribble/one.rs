//! A line as one thing: rounds, a rest, words without a number, or else a block.

use super::apart::Scribbled;
use super::ask::ask;
use super::kind::{Kind, is_of_another_kind, kind_of};
use super::likely::moving;
use super::meaning::{Around, Scribble};
use super::reworded::Doubt;
use super::strict::{rest_s, strict};
use crate::plan::line::Line;
use crate::plan::near::is_one_of;
use crate::plan::phrase::Phrases;
use crate::plan::{Category, Rest, word};

/// Reads a line as one block, one rest or words.
pub(super) fn one_thing(line: &Scribbled, content: &str, around: Around<'_>) -> Option<Scribble> {
    if line.words.is_empty() && line.splits.iter().all(|split| split.kept.is_empty()) {
        return Some(Scribble::Remark);
    }
    if let Some(rounds) = line.rounds() {
        return Some(rounds);
    }
    if let Some(rest) = line.rest() {
        return Some(rest);
    }
    if around.beneath && !content.contains(|c: char| c.is_ascii_digit()) {
        return Some(Scribble::Remark);
    }
    let kind = line.kind(around);
    if line.splits.iter().all(|split| split.kept.is_empty()) {
        return line.without_a_number(&kind, around);
    }
    line.block(kind, around)
}

impl Scribbled {
    /// `circuit, 3 rounds, rest 2 min between rounds:`
    fn rounds(&self) -> Option<Scribble> {
        let said = self.said();
        if !said.contains("round") || self.is_doubtful() {
            return None;
        }
        let text = said.replace("rounds,", "rounds of,");
        let line = Line::alone(&text);
        let words = word::words(line, 0);
        match Phrases::new(line, words.list, false).rounds()? {
            Ok(rounds) => Some(Scribble::Rounds {
                rounds,
                remark: self.aside(),
            }),
            Err(_) => None,
        }
    }

    /// A rest on a line of its own.
    fn rest(&self) -> Option<Scribble> {
        let said = self.said();
        if let Some(Doubt {
            message, others, ..
        }) = &self.doubt
            && let [(one, other)] = others.as_slice()
            && said == *one
            && strict(&format!("resistance {said}")).is_err()
        {
            return Some(Scribble::EitherRest {
                message: message.clone(),
                rests: [one.clone(), other.clone()],
            });
        }
        if said.is_empty() || self.is_doubtful() || strict(&format!("resistance {said}")).is_ok() {
            return None;
        }
        let rounds = [
            " between rounds",
            " between each round",
            " after each round",
            " after every round",
        ];
        if let Some(alone) = rounds.iter().find_map(|end| said.strip_suffix(end)) {
            return rest_s(alone).map(|rest_s| Scribble::RoundsRest {
                rest_s,
                remark: self.aside(),
            });
        }
        let (block, _) = strict(&format!("resistance 3 x 4 x 12 s, {said} between reps"))
            .or_else(|_| strict(&format!("resistance 3 x 4 x 12 s, {said}")))
            .ok()?;
        let rests =
            block.then_s.is_some() || block.between_sets_s.is_some() || block.rest != Rest::RunOn;
        let only = block.target.is_none() && !block.with_ball && block.over_m.is_none();
        (rests && only).then(|| Scribble::Rest {
            said,
            remark: self.aside(),
        })
    }

    /// Words without a number: the kind of what stands below, a block without a dose, or words for the player.
    fn without_a_number(&self, kind: &Kind, around: Around<'_>) -> Option<Scribble> {
        if self.is_doubtful() {
            return None;
        }
        let loose = self.words.len();
        match kind {
            Kind::One { category, explicit } => {
                let heads = around
                    .next
                    .is_some_and(|next| !is_of_another_kind(next, *category));
                if heads && around.carried != Some(*category) && loose <= 4 {
                    return Some(Scribble::Heads(*category));
                }
                let named = matches!(kind_of(&self.words), Kind::One { .. });
                let stands_still = *category == Category::Gym && !explicit;
                if stands_still
                    || !named
                    || *category == Category::Technical && !explicit && loose > 2
                {
                    return Some(Scribble::Remark);
                }
                self.without_a_dose(&[*category])
            }
            Kind::Several(several) => self.without_a_dose(several),
            Kind::Moving { .. } if loose > 4 => Some(Scribble::Remark),
            Kind::Moving { .. } => {
                let (likely, _) = moving(around, true, true);
                self.without_a_dose(&likely)
            }
            Kind::Nothing => Some(Scribble::Remark),
        }
    }

    /// Asks how much, with a usual dose.
    fn without_a_dose(&self, categories: &[Category]) -> Option<Scribble> {
        // A test of endurance lasts as long as one can: twelve minutes in that of Cooper (1968), some ten in the others.
        let test = |word: &str| {
            is_one_of(word, "bleep, beep, yo-yo, yoyo, ift, ir1, ir2, ie2")
                || self.words.iter().any(|token| token.lower() == "test")
        };
        let tested = self.words.iter().any(|token| test(&token.lower()));
        let doses = |category: &Category| match category {
            Category::Resistance if self.words.iter().any(|t| t.lower() == "cooper") => "12 min",
            Category::Resistance if tested => "10 min",
            Category::WarmUp => "10 min",
            Category::CoolDown => "5 min",
            Category::Technical => "8 min",
            Category::Strength => "6 x 10 m there and back",
            Category::Resistance => "6 x 30 s, rest 30 s",
            Category::Speed => "5 x 30 m, rest walk back",
            Category::Game => "20 min",
            Category::Gym => "30 min",
        };
        let lines = (categories.iter())
            .map(|category| format!("{}{}", self.head(*category), doses(category)))
            .collect();
        ask("this does not say how much", lines)
    }
}
