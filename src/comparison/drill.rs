//! The drills that several sessions did, rep beside rep.

use super::fair::same_smoothing;
use super::side::Drilled;
use super::{Difference, Quantity, Row, Side, Value, difference};
use crate::measured::Measured;
use crate::plan::{Block, Category, Dose};
use crate::review::{RepReview, Verdict};

/// A drill that the base did and at least one other session.
#[derive(Clone, Debug, PartialEq)]
pub struct Drill {
    /// Its category.
    pub category: Category,
    /// Its name in the base's plan, else in another's.
    pub name: Option<String>,
    /// With the ball at the foot.
    pub with_ball: bool,
    /// Which block of each session it is, from 1; `None` where a session has no such block.
    pub blocks: Vec<Option<usize>>,
    /// Whether each session ran the same distance or time a rep as the base did; only then are they compared.
    pub like_for_like: Vec<bool>,
    /// Means and counts.
    pub rows: Vec<Row>,
    /// The reps, set by set.
    pub reps: Vec<RepRow>,
}

/// The rep of one number in each session.
#[derive(Clone, Debug, PartialEq)]
pub struct RepRow {
    /// Set, from 1.
    pub set: usize,
    /// Rep, from 1.
    pub rep: usize,
    /// What was done; `None` where the session's plan has no such rep.
    pub reps: Vec<Option<RepReview>>,
    /// Peak speed less the base's.
    pub peak_differences: Vec<Option<Difference>>,
}

/// How much two blocks are the same drill.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Alike {
    /// The same dose under another name, or under none.
    Dose,
    /// The same name with another dose.
    Name,
    /// Both.
    Both,
}

/// The drills that the base shares with other sessions, in the order of its plan.
///
/// # Definition
/// Two blocks are the same drill when they agree in category and ball, and in name or dose. Each block is the partner of one block
/// at most: name and dose together go before the name, the name before the dose, and near places in the plan before far ones.
/// Continuous blocks have no reps to be compared.
pub(super) fn drills(sides: &[Side]) -> Vec<Drill> {
    let Some((base, others)) = sides.split_first() else {
        return Vec::new();
    };
    let partners: Vec<Vec<Option<usize>>> = others.iter().map(|o| partners(base, o)).collect();
    (0..base.blocks.len())
        .filter_map(|index| {
            let mut places = vec![Some(index)];
            places.extend(partners.iter().map(|of| of.get(index).copied().flatten()));
            let shared = places.iter().skip(1).any(Option::is_some);
            shared.then(|| drill(sides, &places))?
        })
        .collect()
}

/// Which block of `other` is the same drill as each block of `base`.
fn partners(base: &Side, other: &Side) -> Vec<Option<usize>> {
    let mut pairs = Vec::new();
    for (i, one) in base.blocks.iter().enumerate() {
        for (j, two) in other.blocks.iter().enumerate() {
            if let Some(alike) = alike(&one.block, &two.block) {
                pairs.push((std::cmp::Reverse(alike), i.abs_diff(j), i, j));
            }
        }
    }
    pairs.sort_unstable();
    let mut partners = vec![None; base.blocks.len()];
    let mut taken = vec![false; other.blocks.len()];
    for (_, _, i, j) in pairs {
        if partners[i].is_none() && !taken[j] {
            partners[i] = Some(j);
            taken[j] = true;
        }
    }
    partners
}

fn alike(one: &Block, two: &Block) -> Option<Alike> {
    let reps = |b: &Block| matches!(b.dose, Dose::Reps { .. });
    if one.category != two.category || one.with_ball != two.with_ball || !reps(one) || !reps(two) {
        return None;
    }
    let name = |b: &Block| b.name.as_ref().map(|n| n.trim().to_lowercase());
    let same_name = name(one).is_some() && name(one) == name(two);
    let same_dose = one.dose == two.dose && same_way(one, two);
    match (same_name, same_dose) {
        (true, true) => Some(Alike::Both),
        (true, false) => Some(Alike::Name),
        (false, true) => Some(Alike::Dose),
        (false, false) => None,
    }
}

/// Whether a rep goes the same way.
fn same_way(one: &Block, two: &Block) -> bool {
    one.over_m == two.over_m && one.there_and_back == two.there_and_back
}

/// Whether a rep is the same work, however many there are.
fn same_work(one: &Block, two: &Block) -> bool {
    let (Dose::Reps { work: a, .. }, Dose::Reps { work: b, .. }) = (one.dose, two.dose) else {
        return false;
    };
    a == b && same_way(one, two)
}

fn drill(sides: &[Side], places: &[Option<usize>]) -> Option<Drill> {
    let blocks: Vec<Option<&Drilled>> = sides
        .iter()
        .zip(places)
        .map(|(side, place)| side.blocks.get((*place)?))
        .collect();
    let base = (*blocks.first()?)?;
    let like_for_like: Vec<bool> = blocks
        .iter()
        .map(|b| b.is_some_and(|b| same_work(&base.block, &b.block)))
        .collect();
    let fair = |k: usize| {
        like_for_like.get(k).copied().unwrap_or(false)
            && sides
                .first()
                .zip(sides.get(k))
                .is_some_and(|(a, b)| same_smoothing(a, b))
    };
    Some(Drill {
        category: base.block.category,
        name: blocks.iter().flatten().find_map(|b| b.block.name.clone()),
        with_ball: base.block.with_ball,
        blocks: blocks.iter().map(|b| b.map(|b| b.review.index)).collect(),
        rows: rows(&blocks, fair),
        reps: reps(&blocks, fair),
        like_for_like,
    })
}

fn rows(blocks: &[Option<&Drilled>], fair: impl Fn(usize) -> bool + Copy) -> Vec<Row> {
    let row = |quantity, of: &dyn Fn(&Drilled) -> Option<Value>| {
        let values = blocks.iter().map(|b| b.and_then(of)).collect();
        Row::new(quantity, values, fair)
    };
    let mean = |of: fn(&RepReview) -> Option<Measured>| {
        move |b: &Drilled| {
            let run = all_reps(b).filter(|rep| rep.verdict.is_in_full());
            Measured::mean(run.filter_map(of)).map(Value::Measured)
        }
    };
    let mut rows = vec![
        row(Quantity::RepsDone, &|b| {
            let so = |verdict| all_reps(b).filter(|r| r.verdict == verdict).count();
            Some(Value::Share {
                part: so(Verdict::Done),
                of: all_reps(b).count(),
                open: so(Verdict::Unresolved),
            })
        }),
        row(Quantity::Work, &mean(|r| r.work_s)),
        row(Quantity::Peak, &mean(|r| r.peak_speed_m_s)),
        row(Quantity::Rest, &|b| {
            Measured::mean(all_reps(b).filter_map(|r| r.rest_s)).map(Value::Measured)
        }),
    ];
    let sets = blocks
        .iter()
        .flatten()
        .map(|b| b.review.sets.len())
        .max()
        .unwrap_or(0);
    rows.extend((1..=sets).map(|set| {
        row(Quantity::Fade(set), &|b| {
            let fade = b.fades.iter().find(|fade| fade.set == set)?;
            Some(Value::Measured(fade.slope_m_s))
        })
    }));
    rows.into_iter().flatten().collect()
}

fn all_reps(drilled: &Drilled) -> impl Iterator<Item = &RepReview> {
    drilled.review.sets.iter().flat_map(|set| &set.reps)
}

/// The reps, set by set, as many as the longest plan has.
fn reps(blocks: &[Option<&Drilled>], fair: impl Fn(usize) -> bool) -> Vec<RepRow> {
    let sets = |b: &Drilled| b.review.sets.len();
    let mut rows = Vec::new();
    for set in 0..blocks.iter().flatten().map(|b| sets(b)).max().unwrap_or(0) {
        let of = |b: &Drilled| b.review.sets.get(set).map_or(0, |s| s.reps.len());
        for rep in 0..blocks.iter().flatten().map(|b| of(b)).max().unwrap_or(0) {
            let reps: Vec<Option<RepReview>> = blocks
                .iter()
                .map(|b| (*b)?.review.sets.get(set)?.reps.get(rep).cloned())
                .collect();
            let peak = |r: &Option<RepReview>| {
                let rep = r.as_ref().filter(|r| r.verdict.is_in_full())?;
                rep.peak_speed_m_s.map(Value::Measured)
            };
            let base = reps.first().and_then(peak);
            let peak_differences = reps
                .iter()
                .enumerate()
                .map(|(k, rep)| {
                    if k == 0 || !fair(k) {
                        return None;
                    }
                    difference(base?, peak(rep)?)
                })
                .collect();
            rows.push(RepRow {
                set: set + 1,
                rep: rep + 1,
                reps,
                peak_differences,
            });
        }
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::parse;

    fn block(line: &str) -> Block {
        parse(line)
            .ok()
            .and_then(|plan| plan.blocks.into_iter().next())
            .unwrap_or_else(|| panic!("{line}"))
    }

    #[test]
    fn name_or_dose_make_the_same_drill() {
        let of = |a: &str, b: &str| alike(&block(a), &block(b));
        let base = "speed \"to halfway\", 5 x 40 m, rest walk back";
        assert_eq!(of(base, base), Some(Alike::Both));
        assert_eq!(
            of(base, "speed \"To Halfway \", 4 x 30 m, rest 60 s"),
            Some(Alike::Name)
        );
        assert_eq!(of(base, "speed 5 x 40 m, rest 60 s"), Some(Alike::Dose));
        assert_eq!(of(base, "speed 5 x 30 m, rest 60 s"), None);
        assert_eq!(of(base, "resistance \"to halfway\", 5 x 40 m"), None);
        assert_eq!(of(base, "speed \"to halfway\", with ball, 5 x 40 m"), None);
        assert_eq!(of("game 10 min", "game 10 min"), None);
    }

    #[test]
    fn another_number_of_reps_is_like_for_like_and_another_distance_is_not() {
        let of = |a: &str, b: &str| same_work(&block(a), &block(b));
        assert!(of("speed 5 x 40 m", "speed 2 x 4 x 40 m"));
        assert!(!of("speed 5 x 40 m", "speed 5 x 30 m"));
        assert!(!of(
            "strength 5 reps over 9 m",
            "strength 5 reps over 9 m there and back"
        ));
    }
}
