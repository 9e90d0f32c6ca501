//! What common practice would do otherwise with a week. Remarks tell what was seen and why it may matter; they forbid nothing.

use jiff::civil::Date;

use crate::diary::Activity;
use crate::plan::{self, Category};
use crate::progress::totals::NEAR_MAXIMAL;
use crate::progress::week::{Day, Week};

/// Something that a coach might say on seeing the week.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// The day that it is about; `None` where it is about the week.
    pub date: Option<Date>,
    /// What is seen.
    pub text: String,
    /// Why it may matter.
    pub reason: &'static str,
    /// Who says so, or "common practice".
    pub source: &'static str,
}

const COMMON_PRACTICE: &str = "common practice";
/// Two professional teams over seven weeks; its distances a day are those of the shares below.
const TWO_TEAMS: &str = "PMC6458578 (2019), two professional teams over seven weeks";
const MATCH_SHAPE: &str = "Oliva-Lozano et al. (2022), Biol Sport 39:397";
const EXPOSURE: &str = "Malone et al. (2017), J Sci Med Sport 20:250";

/// Largest share of the week's biggest day that draws no remark on the eve of a match: 4585 m against 7063 m.
const EVE_SHARE: f64 = 4585.0 / 7063.0;
/// Largest share the day after a match.
const AFTER_SHARE: f64 = 0.5;

/// A session on the eve of a match that is long, min, or hard (CR-10), whatever the rest of the week was.
const LONG_EVE_MIN: f64 = 75.0;
const HARD_RPE: f64 = 7.0;
/// The same beside the match on its own day.
const LONG_MATCH_DAY_MIN: f64 = 30.0;
const HARD_MATCH_DAY_RPE: f64 = 5.0;
/// Days without a near-maximal run that draw a remark.
const LONGEST_WITHOUT_DAYS: i32 = 10;
/// A week is far above the four before it when it is above each of them and this share above their mean.
const FAR_ABOVE: f64 = 1.3;
/// Fewest of the four weeks before it that must hold something.
const FEWEST_WEEKS: usize = 3;

/// By what the days of a week are compared.
#[derive(Clone, Copy)]
enum Size {
    Load,
    Minutes,
}

/// The remarks on a week, in the order of its days; those on the whole week last.
///
/// # Definition
/// A day's size is its load, or its minutes where a session of the week was not rated. Days of a match are left out, since
/// nothing is asked of them. On the eve a day is big from 65 % of the week's biggest on, which is the share that two
/// professional teams kept to.
#[must_use]
pub fn remarks(week: &Week<'_>) -> Vec<Remark> {
    let size = if week.totals.all_rated() {
        Size::Load
    } else {
        Size::Minutes
    };
    let mut out: Vec<Remark> = Vec::new();
    for day in &week.days {
        out.extend(close_to_match(week, day, size));
        if out.last().is_none_or(|last| last.date != Some(day.date)) {
            out.extend(hard_before_or_beside(day));
        }
        out.extend(after_match(week, day, size));
        out.extend(planned_on_the_eve(week, day));
    }
    out.extend(two_in_a_row(week));
    out.extend(late(week, size));
    out.extend(far_above(week));
    out.extend(long_without(week).or_else(|| near_maximal(week)));
    out
}

fn size_of(day: &Day<'_>, size: Size) -> f64 {
    match size {
        Size::Load => day.totals.load.unwrap_or(0.0),
        Size::Minutes => day.totals.minutes(),
    }
}

fn in_words(value: f64, size: Size) -> String {
    match size {
        Size::Load => format!("load {value:.0}"),
        Size::Minutes => format!("{value:.0} min"),
    }
}

/// The biggest day without a match.
fn biggest<'w, 'a>(week: &'w Week<'a>, size: Size) -> Option<&'w Day<'a>> {
    (week.days.iter())
        .filter(|day| day.match_day.is_none() && size_of(day, size) > 0.0)
        .max_by(|a, b| size_of(a, size).total_cmp(&size_of(b, size)))
}

/// Days from the match, where the day has a place.
fn from_match(day: &Day<'_>) -> Option<i32> {
    day.place.map(|place| place.days)
}

fn close_to_match(week: &Week<'_>, day: &Day<'_>, size: Size) -> Option<Remark> {
    let place = day.place.filter(|place| matches!(place.days, -2 | -1))?;
    let top = biggest(week, size)?;
    let (own, most) = (size_of(day, size), size_of(top, size));
    // The only day of training is no biggest one.
    let others = week
        .days
        .iter()
        .any(|d| d.date != day.date && d.match_day.is_none() && size_of(d, size) > 0.0);
    if own > 0.0 && others && day.date == top.date {
        return Some(Remark {
            date: Some(day.date),
            text: format!(
                "{place} was the biggest day of the week ({})",
                in_words(own, size)
            ),
            reason: "it takes about two days to be fresh again after a big one; the big days usually lie three to five days \
                     before the match",
            source: MATCH_SHAPE,
        });
    }
    (place.days == -1 && most > 0.0 && own > EVE_SHARE * most).then(|| Remark {
        date: Some(day.date),
        text: format!(
            "{place} came to {:.0} % of the biggest day ({} against {})",
            100.0 * own / most,
            in_words(own, size),
            in_words(most, size)
        ),
        reason: "the eve is usually short, quick and technical: professional teams ran about 65 % of their biggest day",
        source: TWO_TEAMS,
    })
}

fn after_match(week: &Week<'_>, day: &Day<'_>, size: Size) -> Option<Remark> {
    let place = day.place.filter(|place| place.days == 1)?;
    let most = size_of(biggest(week, size)?, size);
    let own = size_of(day, size);
    (day.match_day.is_none() && own > AFTER_SHARE * most).then(|| Remark {
        date: Some(day.date),
        text: format!("{place}, the day after the match, came to {}", in_words(own, size)),
        reason: "the day after is usually for recovery; whoever played little tops up then, and for him it is as it should be",
        source: COMMON_PRACTICE,
    })
}

/// Plans still to be done on the day before a match that hold running for endurance or repeated turns.
fn planned_on_the_eve(week: &Week<'_>, day: &Day<'_>) -> Option<Remark> {
    let place = day
        .place
        .filter(|place| place.days == -1 && day.date >= week.today)?;
    let heavy = |text: &str| {
        let plan = plan::parse(text).ok()?;
        (plan.blocks.iter())
            .map(|block| block.category)
            .find(|category| matches!(category, Category::Resistance | Category::Strength))
    };
    let mut open = day.planned.iter().filter(|plan| !plan.done);
    let category = open.find_map(|plan| heavy(&plan.planned.text))?;
    Some(Remark {
        date: Some(day.date),
        text: format!("the plan for {place} holds {category}"),
        reason: "the eve is usually light and technical, with a few short sprints at most; what tires the legs \
                 then is still in them at kick-off",
        source: COMMON_PRACTICE,
    })
}

/// More in the two days before the match than in all earlier days together.
fn late(week: &Week<'_>, size: Size) -> Option<Remark> {
    let sum = |from: i32, to: i32| -> f64 {
        (week.days.iter())
            .filter(|day| from_match(day).is_some_and(|days| (from..=to).contains(&days)))
            .map(|day| size_of(day, size))
            .sum()
    };
    let (early, close) = (sum(-7, -3), sum(-2, -1));
    // A week in which the match has not come near yet cannot be late.
    let reached =
        (week.days.iter()).any(|day| from_match(day) == Some(-1) && day.date <= week.today);
    (reached && close > early).then(|| Remark {
        date: None,
        text: format!(
            "the two days before the match came to {}, the days before them to {}",
            in_words(close, size),
            in_words(early, size)
        ),
        reason: "what is trained early in the week can still settle; the days of load are usually MD-4 and MD-3",
        source: MATCH_SHAPE,
    })
}

/// A long or hard session on the eve of a match, or beside it on its day.
fn hard_before_or_beside(day: &Day<'_>) -> Option<Remark> {
    let days = from_match(day).filter(|days| matches!(days, -1 | 0))?;
    let (long_min, hard) = if days == 0 {
        (LONG_MATCH_DAY_MIN, HARD_MATCH_DAY_RPE)
    } else {
        (LONG_EVE_MIN, HARD_RPE)
    };
    let entry = day.entries.iter().find(|entry| {
        let trained = !matches!(entry.activity, Activity::Match | Activity::Rest);
        trained && (entry.duration_s / 60.0 >= long_min || entry.rpe.is_some_and(|rpe| rpe >= hard))
    })?;
    let rpe = entry
        .rpe
        .map_or_else(String::new, |rpe| format!(" at an RPE of {rpe}"));
    let beside = if days == 0 {
        "on the day of the match, beside it,"
    } else {
        "on the day before the match"
    };
    Some(Remark {
        date: Some(day.date),
        text: format!(
            "{:.0} min{rpe} {beside} were long or hard",
            entry.duration_s / 60.0
        ),
        reason: "what tires then is still there at kick-off; the eve is usually short, quick and technical, and the day of the match \
                 its own",
        source: COMMON_PRACTICE,
    })
}

/// Near-maximal sprinting on two days after each other.
fn two_in_a_row(week: &Week<'_>) -> Option<Remark> {
    let fast = |day: &Day<'_>| day.totals.near_maximal.is_some_and(|runs| runs > 0);
    let pair = week.days.windows(2).find(|pair| pair.iter().all(fast))?;
    let [first, second] = pair else { return None };
    Some(Remark {
        date: Some(second.date),
        text: format!(
            "near-maximal runs on two days after each other ({} and {})",
            first.totals.near_maximal.unwrap_or_default(),
            second.totals.near_maximal.unwrap_or_default()
        ),
        reason: "sprints near top speed are usually two days apart, since the muscles that do them are slow to be fresh again",
        source: COMMON_PRACTICE,
    })
}

/// A week that is over and lies far above the four before it, by load where all of it was rated, else by minutes.
fn far_above(week: &Week<'_>) -> Option<Remark> {
    let before: Vec<_> = week
        .earlier
        .iter()
        .filter(|totals| totals.sessions > 0)
        .collect();
    if !week.is_over() || before.len() < FEWEST_WEEKS {
        return None;
    }
    let rated = week.totals.all_rated() && before.iter().all(|totals| totals.all_rated());
    let (size, of): (Size, fn(&crate::progress::Totals) -> f64) = if rated {
        (Size::Load, |totals| totals.load.unwrap_or(0.0))
    } else {
        (Size::Minutes, crate::progress::Totals::minutes)
    };
    let own = of(&week.totals);
    let mean = before.iter().map(|totals| of(totals)).sum::<f64>() / before.len() as f64;
    let most = before.iter().map(|totals| of(totals)).fold(0.0, f64::max);
    (own > most && own > FAR_ABOVE * mean).then(|| Remark {
        date: None,
        text: format!(
            "the week came to {}, the {} before it to {} in the mean and {} at the most",
            in_words(own, size),
            before.len(),
            in_words(mean, size),
            in_words(most, size)
        ),
        reason: "what is added in steps is easier borne than a jump; the number says how large it was and foretells no injury",
        source: COMMON_PRACTICE,
    })
}

/// Ten days or more without a near-maximal run, although sessions were recorded in them.
fn long_without(week: &Week<'_>) -> Option<Remark> {
    let (last, recorded) = week.last_near_maximal?;
    let seen = week.days.last()?.date.min(week.today);
    let days = last.until(seen).map_or(0, |span| span.get_days());
    (days >= LONGEST_WITHOUT_DAYS && recorded > 0).then(|| Remark {
        date: None,
        text: format!(
            "no recorded run has reached {:.0} % of the own top speed for {days} days",
            100.0 * NEAR_MAXIMAL
        ),
        reason: "top speed is kept by running near it: at least one such run a week is usual, best early in the week with fresh \
                 legs; one season of 37 players speaks for it, without proving a cause",
        source: EXPOSURE,
    })
}

fn near_maximal(week: &Week<'_>) -> Option<Remark> {
    let share = 100.0 * NEAR_MAXIMAL;
    (week.totals.near_maximal == Some(0)).then(|| Remark {
        date: None,
        text: if week.is_over() {
            format!("no recorded run of the week reached {share:.0} % of your own top speed")
        } else {
            format!("no recorded run of this week has reached {share:.0} % of your own top speed yet")
        },
        reason: "top speed is kept by running near it: at least one such run a week is usual, best early in the week with fresh \
                 legs; one season of 37 players speaks for it, without proving a cause",
        source: EXPOSURE,
    })
}
