//! Sets, reps and work.

use std::ops::Range;

use super::number::{Amount, EXPECTED_UNIT, Item};
use super::{EXPECTED_DOSE, EXPECTED_TIME, Phrases};
use crate::limits::PLAN_REPS;
use crate::plan::amount::TIME_S;
use crate::plan::{Dose, Work};

impl Phrases<'_> {
    pub(super) fn dose(&mut self, items: &[Item], whole: &Range<usize>) -> Option<Dose> {
        let (last, counts) = items.split_last()?;
        if items.iter().any(|item| item.amount == Amount::Unknown) {
            return None;
        }
        let counted = matches!(last.amount, Amount::Reps(_));
        let most = if counted { 1 } else { 2 };
        if counts.len() > most {
            self.wrong(whole.clone(), "too many numbers").expected = Some(EXPECTED_DOSE.to_owned());
            return None;
        }
        let mut numbers = Vec::new();
        for (index, item) in counts.iter().enumerate() {
            let labelled = matches!(item.amount, Amount::Sets(_));
            let sets = index == 0 && (counts.len() == 2 || counted || labelled);
            numbers.push(self.count(item, if sets { "sets" } else { "reps" })?);
        }
        let work = match last.amount {
            Amount::Time(_) => Work::Duration(self.time_of(last, &TIME_S, EXPECTED_TIME)?),
            Amount::Length(_) => {
                Work::Distance(self.length_of(last, "a length such as `40 m` or `50 yd`")?)
            }
            Amount::Reps(_) => {
                numbers.push(self.count(last, "reps")?);
                Work::Count
            }
            Amount::Bare(_) => {
                let end = last.span.end;
                self.wrong(end..end, "the unit is missing").expected =
                    Some(EXPECTED_UNIT.to_owned());
                return None;
            }
            _ => {
                let written = self.line.slice(&last.span).to_owned();
                self.wrong(
                    last.span.clone(),
                    format!("`{written}` is no work of a rep"),
                )
                .expected = Some(EXPECTED_UNIT.to_owned());
                return None;
            }
        };
        let (sets, reps) = match (numbers.as_slice(), work) {
            ([], Work::Duration(duration_s)) => return Some(Dose::Continuous { duration_s }),
            ([], _) => (1, 1),
            ([sets], _)
                if matches!(
                    counts,
                    [Item {
                        amount: Amount::Sets(_),
                        ..
                    }]
                ) =>
            {
                (*sets, 1)
            }
            ([reps], _) => (1, *reps),
            ([sets, reps, ..], _) => (*sets, *reps),
        };
        if sets.saturating_mul(reps) > PLAN_REPS {
            self.wrong(whole.clone(), "these are more reps than a block can have")
                .expected = Some(format!("at most {PLAN_REPS} reps, all sets together"));
            return None;
        }
        Some(Dose::Reps { sets, reps, work })
    }

    /// A whole number of sets or reps.
    pub(super) fn count(&mut self, item: &Item, what: &str) -> Option<u32> {
        let written = self.line.slice(&item.span).to_owned();
        let number = match item.amount {
            Amount::Bare(number) => number,
            Amount::Reps(number) if what == "reps" => number,
            Amount::Sets(number) if what == "sets" => number,
            _ => {
                self.wrong(
                    item.span.clone(),
                    format!("`{written}` is no number of {what}"),
                )
                .expected = Some(EXPECTED_DOSE.to_owned());
                return None;
            }
        };
        let why = if number < 0.0 {
            format!("`{written}` is less than nothing")
        } else if number == 0.0 {
            format!("with `{written}` {what} there is nothing to do")
        } else if number > f64::from(PLAN_REPS) {
            format!("these are more {what} than a block can have")
        } else if number.fract() != 0.0 {
            format!("`{written}` is no whole number of {what}")
        } else {
            return Some(number as u32);
        };
        self.wrong(item.span.clone(), why).expected =
            Some(format!("a whole number of {what} from 1 to {PLAN_REPS}"));
        None
    }
}
