//! Sets, reps and work.

use std::ops::Range;

use super::number::{Amount, EXPECTED_UNIT, Item};
use super::{EXPECTED_DOSE, EXPECTED_TIME, Phrases};
use crate::limits::PLAN_REPS;
use crate::plan::amount::TIME_S;
use crate::plan::{Dose, Work};

impl Phrases<'_> {
    /// The dose that the numbers say, and the work of each rep where they differ.
    pub(super) fn dose(
        &mut self,
        items: &[Item],
        whole: &Range<usize>,
    ) -> Option<(Dose, Vec<Work>)> {
        let items = in_order(items);
        let (last, counts) = items.split_last()?;
        if items.iter().any(|item| item.amount == Amount::Unknown) {
            return None;
        }
        if let Some(item) = counts.iter().find(|item| !item.list.is_empty()) {
            let written = self.line.slice(&item.span).to_owned();
            self.wrong(
                item.span.clone(),
                format!("`{written}` is no number of sets"),
            )
            .expected = Some(EXPECTED_DOSE.to_owned());
            return None;
        }
        let counted = matches!(last.amount, Amount::Reps(_));
        let listed = !last.list.is_empty();
        let most = if counted || listed { 1 } else { 2 };
        if counts.len() > most {
            self.wrong(whole.clone(), "too many numbers").expected = Some(EXPECTED_DOSE.to_owned());
            return None;
        }
        let mut numbers = Vec::new();
        for (index, item) in counts.iter().enumerate() {
            let labelled = matches!(item.amount, Amount::Sets(_));
            let sets = index == 0 && (counts.len() == 2 || counted || listed || labelled);
            numbers.push(self.count(item, if sets { "sets" } else { "reps" })?);
        }
        if listed {
            let sets = numbers.first().copied().unwrap_or(1);
            return self.mixed(sets, last, whole);
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
            ([], Work::Duration(duration_s)) => {
                return Some((Dose::Continuous { duration_s }, Vec::new()));
            }
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
        if self.too_many(sets, reps, whole) {
            return None;
        }
        Some((Dose::Reps { sets, reps, work }, Vec::new()))
    }

    pub(super) fn too_many(&mut self, sets: u32, reps: u32, whole: &Range<usize>) -> bool {
        let many = sets.saturating_mul(reps) > PLAN_REPS;
        if many {
            self.wrong(whole.clone(), "these are more reps than a block can have")
                .expected = Some(format!("at most {PLAN_REPS} reps, all sets together"));
        }
        many
    }

    /// `10-20-30-20-10 m`: a set whose reps differ.
    fn mixed(&mut self, sets: u32, item: &Item, whole: &Range<usize>) -> Option<(Dose, Vec<Work>)> {
        let mut works = Vec::with_capacity(item.list.len());
        for &amount in &item.list {
            let one = Item {
                amount,
                list: Vec::new(),
                ..item.clone()
            };
            works.push(match amount {
                Amount::Length(_) => {
                    Work::Distance(self.length_of(&one, "lengths such as `10-20-10 m`")?)
                }
                Amount::Bare(_) => {
                    let end = item.span.end;
                    self.wrong(end..end, "the unit is missing").expected = Some(
                        "lengths such as `10-20-10 m`, or times such as `15/30/15 s`".to_owned(),
                    );
                    return None;
                }
                _ => Work::Duration(self.time_of(&one, &TIME_S, "times such as `15/30/15 s`")?),
            });
        }
        let reps = u32::try_from(works.len()).unwrap_or(u32::MAX);
        if self.too_many(sets, reps, whole) {
            return None;
        }
        let work = works.first().copied()?;
        Some((Dose::Reps { sets, reps, work }, works))
    }

    /// A whole number of sets or reps.
    pub(super) fn count(&mut self, item: &Item, what: &str) -> Option<u32> {
        let written = self.line.slice(&item.span).to_owned();
        let number = match item.amount {
            Amount::Bare(number) => number,
            Amount::Reps(number) if what != "sets" => number,
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

/// The numbers as sets, reps and work, where people write them in another order: `40 m x 5`, `5 x 40 m x 3 sets`, and the
/// bare number of `3 sets of 6`, which counts reps.
fn in_order(items: &[Item]) -> Vec<Item> {
    let mut items = items.to_vec();
    if items.len() > 1
        && matches!(items.last(), Some(last) if matches!(last.amount, Amount::Sets(_)))
    {
        items.rotate_right(1);
    }
    if let [first, second] = items.as_mut_slice() {
        let work = matches!(
            first.amount,
            Amount::Time(_) | Amount::Length(_) | Amount::Reps(_)
        );
        if work && first.list.is_empty() && matches!(second.amount, Amount::Bare(_)) {
            std::mem::swap(first, second);
        }
        if let (Amount::Sets(_), Amount::Bare(number)) = (first.amount, second.amount) {
            second.amount = Amount::Reps(number);
        }
    }
    items
}
