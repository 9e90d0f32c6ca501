//! Gentle remarks on a plan, from common practice. They advise and never forbid.

use jiff::Unit;
use jiff::civil::DateDifference;

use crate::plan::timetable::{Slot, Timetable, clock_text};
use crate::plan::{Block, Category, Dose, Plan, Rest, Target};

/// Something that a coach might say on reading the plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// The blocks that it is about, from 1; empty where it is about the whole plan.
    pub blocks: Vec<usize>,
    /// What is seen.
    pub text: String,
    /// Why it may matter, and what could be done.
    pub reason: String,
    /// Who says so, or "common practice".
    pub source: &'static str,
}

const COMMON_PRACTICE: &str = "common practice";
const NOTATION: &str = "the notation of plans";
/// Shortest warm-up that draws no remark, s.
const WARM_UP_S: f64 = 8.0 * 60.0;
/// Longest session alone that draws no remark, s.
const LONG_S: f64 = 75.0 * 60.0;
/// Work from which hard blocks leave tired legs, all together, s.
const HEAVY_S: f64 = 3.0 * 60.0;
/// Rest that a maximal sprint asks for: a minute for every ten metres, s a metre.
const SPRINT_REST_S_A_METRE: f64 = 6.0;
/// How far back a remark is looked for that says the same, so that a plan of 10,000 lines is read in a moment.
const RECENT: usize = 8;
/// Shortest sprint whose rest is looked at, m.
const SPRINT_M: f64 = 10.0;
/// Longest run that the rule for maximal sprints is about, m.
const LONG_SPRINT_M: f64 = 150.0;

/// The remarks on a plan, those on the whole plan first.
#[must_use]
pub fn remarks(plan: &Plan, table: &Timetable) -> Vec<Remark> {
    let blocks: Vec<(usize, &Block, &Slot)> = plan
        .blocks
        .iter()
        .zip(&table.slots)
        .enumerate()
        .map(|(index, (block, slot))| (index + 1, block, slot))
        .collect();
    let mut out = Vec::new();
    out.extend(warm_up(&blocks));
    out.extend(long(table));
    out.extend(before_match(plan, table));
    out.extend(share_of_what(plan));
    out.extend(technical_late(&blocks));
    out.extend(speed_late(&blocks));
    for &(index, block, slot) in &blocks {
        out.extend(sprint_rest(index, block, slot));
        out.extend(unused(index, block));
    }
    merged(out)
}

/// Remarks that say the same of several blocks, made one.
fn merged(remarks: Vec<Remark>) -> Vec<Remark> {
    let mut out: Vec<Remark> = Vec::new();
    for remark in remarks {
        match out
            .iter_mut()
            .rev()
            .take(RECENT)
            .find(|earlier| earlier.text == remark.text && earlier.reason == remark.reason)
        {
            Some(earlier) => earlier.blocks.extend(remark.blocks),
            None => out.push(remark),
        }
    }
    out
}

fn warm_up(blocks: &[(usize, &Block, &Slot)]) -> Option<Remark> {
    const SOURCE: &str = "Jeffreys (2007), raise, activate and mobilise, potentiate: 10 to 20 min";
    let is_hard = |block: &Block| {
        matches!(
            block.category,
            Category::Strength | Category::Resistance | Category::Speed | Category::Game
        )
    };
    let (first_hard, _, _) = *blocks.iter().find(|(_, block, _)| is_hard(block))?;
    let before = blocks.get(..first_hard - 1).unwrap_or_default();
    let warm_up_s: f64 = before
        .iter()
        .filter(|(_, block, _)| block.category == Category::WarmUp)
        .map(|(_, _, slot)| slot.work_s)
        .sum();
    if warm_up_s == 0.0 {
        return Some(Remark {
            blocks: vec![first_hard],
            text: "no warm-up comes before this block".to_owned(),
            reason:
                "10 to 20 min that end near the speed of the session are usual before hard work"
                    .to_owned(),
            source: SOURCE,
        });
    }
    (warm_up_s < WARM_UP_S).then(|| Remark {
        blocks: vec![first_hard],
        text: format!(
            "the warm-up before this block is short ({})",
            clock_text(warm_up_s)
        ),
        reason: "10 to 20 min that end near the speed of the session are usual".to_owned(),
        source: SOURCE,
    })
}

fn long(table: &Timetable) -> Option<Remark> {
    (table.total_s > LONG_S).then(|| Remark {
        blocks: Vec::new(),
        text: format!("the session takes {}", clock_text(table.total_s)),
        reason: "alone, with nobody to set the pace, quality tends to fall after about 75 min; what comes last could be \
                 a session of its own"
            .to_owned(),
        source: COMMON_PRACTICE,
    })
}

fn before_match(plan: &Plan, table: &Timetable) -> Option<Remark> {
    const SOURCE: &str = "two professional teams over 7 weeks (2019, PMC6458578): the day before a match \
                          4.6 km in all, three and four days before 6.1 to 6.9 km";
    let match_day = plan.header.match_day?;
    let Some(date) = plan.header.date else {
        return Some(Remark {
            blocks: Vec::new(),
            text: "a match day is written, but no date".to_owned(),
            reason: "with a line such as `date: 2026-05-14` the plan can be looked at for its place in the week".to_owned(),
            source: NOTATION,
        });
    };
    let days = date
        .until(DateDifference::from(match_day).largest(Unit::Day))
        .ok()?
        .get_days();
    let hard_s: f64 = plan
        .blocks
        .iter()
        .zip(&table.slots)
        .filter(|(block, _)| {
            matches!(
                block.category,
                Category::Resistance | Category::Speed | Category::Game | Category::Strength
            )
        })
        .map(|(_, slot)| slot.work_s)
        .sum();
    let (when, most_s, most_hard_s, most_high_speed_m, usual) = match days {
        0 => (
            "the day of the match itself",
            0.0,
            0.0,
            0.0,
            "a short activation, if anything",
        ),
        1 => (
            "the day before the match",
            60.0 * 60.0,
            10.0 * 60.0,
            200.0,
            "short and quick",
        ),
        2 => (
            "two days before the match",
            75.0 * 60.0,
            20.0 * 60.0,
            400.0,
            "easing off",
        ),
        _ => return None,
    };
    let mut big = Vec::new();
    if table.total_s > most_s {
        big.push(format!("{} in all", clock_text(table.total_s)));
    }
    if hard_s > most_hard_s {
        big.push(format!("{} of hard work", clock_text(hard_s)));
    }
    if table.high_speed_m > most_high_speed_m {
        big.push(format!("{:.0} m at high speed", table.high_speed_m));
    }
    (!big.is_empty()).then(|| Remark {
        blocks: Vec::new(),
        text: format!("a big session on {when}: {}", big.join(", ")),
        reason: format!("legs need two to three days to come back fresh; usual then is {usual}"),
        source: SOURCE,
    })
}

/// Blocks of one category that come after hard work, and what that work is, in words.
fn after_hard_work(
    blocks: &[(usize, &Block, &Slot)],
    category: Category,
    tiring: &[Category],
) -> Option<(Vec<usize>, String)> {
    let mut hard: Vec<usize> = Vec::new();
    let mut work_s = 0.0;
    let mut late: Option<(Vec<usize>, String)> = None;
    for (index, block, slot) in blocks {
        if block.category == category && work_s >= HEAVY_S {
            late.get_or_insert_with(|| {
                (
                    Vec::new(),
                    format!("{} of hard work in {}", clock_text(work_s), named(&hard)),
                )
            })
            .0
            .push(*index);
        }
        if tiring.contains(&block.category) {
            hard.push(*index);
            work_s += slot.work_s;
        }
    }
    late
}

/// `block 4`, `blocks 4 and 5`, `blocks between 3 and 9`.
fn named(blocks: &[usize]) -> String {
    match blocks {
        [one] => format!("block {one}"),
        [one, two] => format!("blocks {one} and {two}"),
        [first, .., last] => format!("blocks between {first} and {last}"),
        [] => "no block".to_owned(),
    }
}

fn technical_late(blocks: &[(usize, &Block, &Slot)]) -> Option<Remark> {
    let tiring = [
        Category::Resistance,
        Category::Strength,
        Category::Speed,
        Category::Game,
    ];
    let (late, after) = after_hard_work(blocks, Category::Technical, &tiring)?;
    Some(Remark {
        blocks: late,
        text: format!("technical work comes after {after}"),
        reason: "a new skill is learnt best with fresh legs, early in the session; late, it trains the skill under \
                 fatigue, which may be what you want"
            .to_owned(),
        source: COMMON_PRACTICE,
    })
}

fn speed_late(blocks: &[(usize, &Block, &Slot)]) -> Option<Remark> {
    let (late, after) = after_hard_work(
        blocks,
        Category::Speed,
        &[Category::Resistance, Category::Game],
    )?;
    Some(Remark {
        blocks: late,
        text: format!("sprints come after {after}"),
        reason: "top speed is trained when rested, right after the warm-up; after heavy running the reps come out slower"
            .to_owned(),
        source: COMMON_PRACTICE,
    })
}

fn sprint_rest(index: usize, block: &Block, slot: &Slot) -> Option<Remark> {
    const SOURCE: &str = "coaching rule of 1 min for 10 m, no source; Balsom et al. (1992), Int J Sports Med 13:528, \
                          doi:10.1055/s-2007-1021311: in 15 x 40 m the last 10 m slowed from sprint 3 with 30 s of \
                          rest, 7 with 60 s, 11 with 120 s";
    let metres = block.one_way_m().filter(|_| !block.there_and_back)?;
    let repeated = block.reps() > 1 || block.sets() > 1;
    let sprint = (SPRINT_M..=LONG_SPRINT_M).contains(&metres);
    if block.category != Category::Speed || !repeated || !sprint {
        return None;
    }
    let wanted_s = SPRINT_REST_S_A_METRE * metres;
    let rest_s = if block.reps() > 1 {
        slot.rep_rest_s
    } else {
        slot.set_rest_s
    };
    // The rule is rough: half of it draws no remark.
    if rest_s >= wanted_s / 2.0 {
        return None;
    }
    let about = if block.rest == Rest::WalkBack {
        "about "
    } else {
        ""
    };
    Some(Remark {
        blocks: vec![index],
        text: format!(
            "{about}{} of rest between maximal sprints of {metres} m",
            clock_text(rest_s.round())
        ),
        reason: format!(
            "for full speed in every rep about {} is usual; with less the later reps slow down, and it trains repeated sprinting",
            clock_text((wanted_s / 30.0).round() * 30.0)
        ),
        source: SOURCE,
    })
}

/// A share of a top speed that the plan does not give.
fn share_of_what(plan: &Plan) -> Option<Remark> {
    let shares: Vec<usize> = plan
        .blocks
        .iter()
        .enumerate()
        .filter(|(_, block)| matches!(block.target, Some(Target::ShareOfTop(_))))
        .map(|(index, _)| index + 1)
        .collect();
    (plan.header.top_speed_m_s.is_none() && !shares.is_empty()).then(|| Remark {
        blocks: shares,
        text: "a share of top speed is asked for, but the plan does not say what that is".to_owned(),
        reason: "it is then taken of the top speed in the settings, else of your best in the diary, where `review --athlete NAME` \
                 asks for it, else of the best of the session itself; a line such as `top speed: 8.8 m/s` settles it"
            .to_owned(),
        source: NOTATION,
    })
}

/// A rest that has nothing to lie between, or sets with none.
fn unused(index: usize, block: &Block) -> Option<Remark> {
    let continuous = matches!(block.dose, Dose::Continuous { .. });
    let text = if block.between_sets_s.is_some() && block.sets() == 1 {
        "a rest between sets is written, but there is one set"
    } else if matches!(block.rest, Rest::Timed(_))
        && block.reps() == 1
        && (block.sets() == 1 || block.between_sets_s.is_some())
    {
        "a rest between reps is written, but there is one rep"
    } else if block.rest == Rest::RunOn && block.sets() > 1 && block.between_sets_s.is_none() {
        return Some(Remark {
            blocks: vec![index],
            text: "no rest is written, neither between reps nor between sets".to_owned(),
            reason:
                "all sets then run on as one; a rest between sets is written `60 s between sets`"
                    .to_owned(),
            source: NOTATION,
        });
    } else {
        return None;
    };
    let reason = if continuous {
        "a rest after the block is written `then 2 min`"
    } else {
        "`3 x 8 x 10 s` is sets x reps x work, `8 x 10 s` is one set; a rest after the block is written `then 2 min`"
    };
    Some(Remark {
        blocks: vec![index],
        text: text.to_owned(),
        reason: reason.to_owned(),
        source: NOTATION,
    })
}
