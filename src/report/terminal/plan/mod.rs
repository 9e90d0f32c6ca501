//! The plan held against the recording: the verdict in a line, a table with a line a set ([`table`]), what fell short
//! ([`listed`]), and the counts.

mod listed;
mod table;

use anstyle::Style;
use jiff::civil::Date;

use crate::figure::VERDICTS;
use crate::profile::Fade;
use crate::report::layout::{count, hanging, safe};
use crate::report::shortfall::{self, number};
use crate::report::{marks, words};
use crate::review::{BlockReview, PlanReview, RepReview, TopSpeedSource, Verdict};
use crate::units::SpeedUnit;

use super::COLUMNS;
use super::style::{BAD, DOUBT, GOOD, QUIET, STRONG, paint};

pub(super) use listed::{fell_short, rests, unplanned};
pub(super) use table::table;

/// Most columns of a name in a sentence.
const NAME: usize = 36;

fn mark(verdict: Verdict) -> char {
    match verdict {
        Verdict::Done => '✓',
        Verdict::Short => '½',
        Verdict::Slow => '↓',
        Verdict::Missed => '✗',
        Verdict::Unresolved => '?',
    }
}

/// The mark of a rep that was done, and it is open whether at the speed asked for.
pub(in crate::report) const SPEED_OPEN: char = '≈';

/// The mark of a rep, without a colour.
pub(in crate::report) fn mark_of(rep: &RepReview) -> char {
    sign(rep).0
}

/// The mark of a rep and its colour.
fn sign(rep: &RepReview) -> (char, Style) {
    if rep.is_speed_open() {
        (SPEED_OPEN, DOUBT)
    } else {
        (mark(rep.verdict), colour(rep.verdict))
    }
}

fn colour(verdict: Verdict) -> Style {
    match verdict {
        Verdict::Done => GOOD,
        Verdict::Short | Verdict::Slow | Verdict::Missed => BAD,
        Verdict::Unresolved => DOUBT,
    }
}

/// The verdict on the whole plan in one line.
pub(super) fn headline(review: &PlanReview) -> String {
    let counts = review.counts;
    let (all, others) = shortfall::headline(&counts);
    let style = match counts.planned {
        0 => DOUBT,
        planned if planned == counts.done => GOOD,
        _ => STRONG,
    };
    let mut line = paint(style, &all);
    for (verdict, other) in others {
        line += ", ";
        line += &paint(colour(verdict), &other);
    }
    line + "\n"
}

/// Reps by verdict, how sets faded, and what shares of top speed are taken of.
pub(super) fn counts(
    review: &PlanReview,
    fades: &[Fade],
    speeds: SpeedUnit,
    day: Option<Date>,
) -> String {
    let c = review.counts;
    let mut parts = vec![format!("{} planned", count(c.planned, "rep", "reps"))];
    for verdict in VERDICTS {
        parts.push(format!(
            "{} {}",
            number(&c, verdict),
            words::verdict(verdict)
        ));
    }
    let mut out = format!("\n{}", hanging("Counts     ", &parts.join(", "), COLUMNS));
    out += &fading(review, fades, speeds);
    if let Some(top) = review.top_speed {
        let source = match top.source {
            TopSpeedSource::Plan => ", as the plan says".to_owned(),
            TopSpeedSource::Settings => ", as the settings say".to_owned(),
            TopSpeedSource::Diary { date } => format!(
                ", {}, {}",
                speeds.ends(top.speed_m_s),
                marks::in_diary(date, day)
            ),
            TopSpeedSource::Session => {
                format!(
                    " ({}), the best of this session",
                    speeds.ends(top.speed_m_s)
                )
            }
        };
        let text = format!(
            "of a top speed of {}{source}",
            speeds.text(top.speed_m_s.value, 2)
        );
        for line in hanging("Shares     ", &text, COLUMNS).lines() {
            out += &paint(QUIET, line);
            out.push('\n');
        }
    }
    out
}

/// How peak speed went over each set: the slope where it is clear, with the decrement where it fell, and else in a word.
fn fading(review: &PlanReview, fades: &[Fade], speeds: SpeedUnit) -> String {
    let sets = (review.blocks.iter()).flat_map(|b| b.sets.iter().map(move |s| (b, s)));
    let mut unclear = Vec::new();
    let mut parts: Vec<String> = Vec::new();
    for (block, set) in sets {
        let of_set = |f: &&Fade| (f.block, f.set) == (block.index, set.index);
        let Some(fade) = fades.iter().find(of_set) else {
            continue;
        };
        let number = if block.sets.len() > 1 {
            format!("{}.{}", block.index, set.index)
        } else {
            block.index.to_string()
        };
        if !fade.is_clear() {
            unclear.push(number);
            continue;
        }
        let slope = fade.slope_m_s;
        let fell = slope.high < 0.0;
        let percent = set.decrement_percent.filter(|_| fell);
        let percent = percent.map_or_else(String::new, |p| format!(", {p:.1} % in all"));
        parts.push(format!(
            "{number} {} by {} {} a rep ({} to {}){percent}",
            if fell { "slower" } else { "faster" },
            speeds.difference(slope.value.abs()),
            speeds.sign(),
            speeds.difference(slope.low.abs().min(slope.high.abs())),
            speeds.difference(slope.low.abs().max(slope.high.abs())),
        ));
    }
    match (parts.is_empty(), unclear.is_empty()) {
        (_, true) => {}
        (true, false) => parts.push("no clear change of peak speed over any set".to_owned()),
        (false, false) => parts.push(format!("no clear change in {}", unclear.join(", "))),
    }
    hanging("Fading     ", &parts.join("; "), COLUMNS)
}

/// The name of a block, fit to be shown, else its category.
fn name(block: &BlockReview) -> String {
    let name = block.name.as_deref().map(safe);
    words::block_name(block.category, name.as_deref())
}

/// Reviews made by hand for the tests of the account.
#[cfg(test)]
pub(in crate::report) mod made {
    use crate::plan::Category;
    use crate::review::{
        BlockReview, BlockVerdict, Counts, PlanReview, RepReview, SetReview, Verdict,
    };

    /// One block of one set of reps that ended so.
    pub(in crate::report) fn review(verdicts: &[Verdict]) -> PlanReview {
        let of = |v| verdicts.iter().filter(|&&w| w == v).count();
        PlanReview {
            blocks: vec![BlockReview {
                index: 1,
                category: Category::Speed,
                name: Some("halfway".to_owned()),
                with_ball: false,
                verdict: BlockVerdict::Short,
                start_s: None,
                end_s: None,
                reps_done: None,
                sets: vec![SetReview {
                    index: 1,
                    rest_after_s: None,
                    rest_after_planned_s: None,
                    rest_after_verdict: None,
                    reps: (1..)
                        .zip(verdicts)
                        .map(|(i, &v)| RepReview::new(i, v))
                        .collect(),
                    decrement_percent: None,
                    reps_done: None,
                }],
            }],
            unplanned: Vec::new(),
            fits: crate::review::Fits::Yes,
            counts: Counts {
                planned: verdicts.len(),
                done: of(Verdict::Done),
                short: of(Verdict::Short),
                slow: of(Verdict::Slow),
                missed: of(Verdict::Missed),
                unresolved: of(Verdict::Unresolved),
            },
            top_speed: None,
        }
    }

    /// The text without its styles.
    pub(in crate::report) fn plain(styled: &str) -> String {
        anstream::adapter::strip_str(styled).to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::headline;
    use super::made::{plain, review};
    use crate::review::Verdict;

    #[test]
    fn the_verdict_comes_in_one_line() {
        use Verdict::{Done, Missed, Unresolved};
        assert_eq!(
            plain(&headline(&review(&[Done, Done]))),
            "All 2 reps done\n"
        );
        assert_eq!(
            plain(&headline(&review(&[Done, Missed, Unresolved]))),
            "1 of 3 reps done, 1 missed, 1 unresolved\n"
        );
        assert_eq!(
            plain(&headline(&review(&[]))),
            "The plan has no reps to look for\n"
        );
    }
}
