//! Runs over the line that end on it.
//!
//! Where the runs of a block go past their line, one that was braked for the last of its way and stands on the line looks cut short: its
//! fast part ends early. One such run alone may be one that was broken off. A player who ends so more than once in a session knows where
//! his line is: nobody breaks off twice and comes to a stop just there.

use crate::bouts::Bout;
use crate::review::items::{Ends, Item};
use crate::review::matching::Matching;

/// Who stands after these shares of the way stands on its line. Some of those who broke off stand there, too.
const ON_LINE: (f64, f64) = (0.945, 1.06);
/// So many runs of a session that end on their line are a habit.
const HABIT: usize = 2;

/// Takes it for done what looks cut short and ends on its line, where that is a habit of the session.
pub(super) fn grant_by_habit(matching: &mut Matching, candidates: &[Bout]) {
    let standing: Vec<usize> = (0..matching.items.len())
        .filter(|&k| {
            let item = &matching.items[k];
            (matching.bout(k, candidates))
                .is_some_and(|bout| item.ends == Ends::AtBrake && stands_on_line(item, bout))
        })
        .collect();
    if standing.len() < HABIT {
        return;
    }
    for k in standing {
        let odds = &mut matching.odds[k];
        odds.done += odds.short;
        odds.short = 0.0;
    }
}

/// Whether who ran a bout stands where its way is all of the planned one: the line may be where the plan has it, or where the others of
/// the block ran to.
pub(super) fn stands_on_line(item: &Item, bout: &Bout) -> bool {
    let Some(planned_m) = item.straight_m() else {
        return false;
    };
    [planned_m, planned_m * item.length_bias]
        .iter()
        .any(|line_m| is_on_line(bout.path_m / line_m, item.ends))
}

/// Whether such a share of the way ends on the line, where the runs of its block end so.
fn is_on_line(share: f64, ends: Ends) -> bool {
    match ends {
        Ends::AtBrake => (ON_LINE.0..ON_LINE.1).contains(&share),
        Ends::Open | Ends::AtStop => share >= ON_LINE.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::review::chain::Fate;
    use crate::review::items;
    use crate::review::matching::Odds;

    /// Among runs over the line one that ends on it is as good as any; of one that was broken off he is seldom to stand just there.
    #[test]
    fn who_stands_on_the_line_broke_nothing_off() {
        assert!(is_on_line(0.98, Ends::AtBrake) && !is_on_line(0.85, Ends::AtBrake));
        assert!(!is_on_line(1.2, Ends::AtBrake) && is_on_line(1.2, Ends::Open));
    }

    /// Of three sprints of 20 m two are braked after 14 m and stand at 20, the third runs on to 24: both are granted, and one alone is not.
    #[test]
    fn ending_on_the_line_twice_is_a_habit() {
        let done = |braked: usize| {
            let plan = crate::plan::parse("speed 3 x 20 m, rest 1 min").unwrap();
            let mut items = items::schedule(&plan, &[0], None).items;
            items.truncate(3);
            let runs = (0..3).map(|k| {
                let (to_end_m, to_stop_m) = if k < braked {
                    (14.0, 20.0)
                } else {
                    (20.0, 24.0)
                };
                Bout::run(60.0 * k as f64, (3.0, to_end_m), (4.5, to_stop_m), 6.5)
            });
            for item in &mut items {
                item.ends = Ends::AtBrake;
            }
            let fates = (0..3).map(Fate::Bout).collect();
            let mut matching = Matching::told(items, fates);
            matching.odds = (0..3)
                .map(|k| if k < braked { 0.9 } else { 0.0 })
                .map(|short| Odds {
                    done: 0.95 - short,
                    short,
                    ..Odds::default()
                })
                .collect();
            grant_by_habit(&mut matching, &runs.collect::<Vec<Bout>>());
            matching.odds.iter().filter(|o| o.done > 0.9).count()
        };
        assert_eq!((done(2), done(1)), (3, 2));
    }
}
