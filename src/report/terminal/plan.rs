//! The plan held against the recording: the verdict in a line, a table with a line a set, and what fell short.

use anstyle::Style;

use crate::plan::{self, Dose, Work};
use crate::review::{
    BlockReview, Counts, PlanReview, RepReview, RestVerdict, SetReview, TopSpeedSource, Unplanned,
    Verdict,
};

use super::style::{BAD, DOUBT, GOOD, QUIET, STRONG, paint};
use super::{COLUMNS, caption, columns};
use crate::report::layout::{
    clock, count, cut, hanging, left, right, safe, short, thousands, width,
};
use crate::report::words;

/// Columns of the marks; longer sets are written as runs of equal marks.
const MARKS: usize = 12;
/// Columns of a block's description.
const BLOCK: usize = 24;
/// Most columns of a name in a sentence.
const NAME: usize = 36;
/// Most lines on reps that fell short, on rests that were not kept, and on unplanned work; more are counted.
const LISTED: usize = 10;
const LISTED_RESTS: usize = 4;
const LISTED_UNPLANNED: usize = 4;
/// From this planned time on, work is written as minutes and seconds, s.
const MINUTES_FROM_S: f64 = 90.0;

/// All verdicts, best first.
const VERDICTS: [Verdict; 5] = [
    Verdict::Done,
    Verdict::Short,
    Verdict::Slow,
    Verdict::Missed,
    Verdict::Unresolved,
];

fn mark(verdict: Verdict) -> char {
    match verdict {
        Verdict::Done => '✓',
        Verdict::Short => '½',
        Verdict::Slow => '↓',
        Verdict::Missed => '✗',
        Verdict::Unresolved => '?',
    }
}

fn colour(verdict: Verdict) -> Style {
    match verdict {
        Verdict::Done => GOOD,
        Verdict::Short | Verdict::Slow | Verdict::Missed => BAD,
        Verdict::Unresolved => DOUBT,
    }
}

fn number(counts: Counts, verdict: Verdict) -> usize {
    match verdict {
        Verdict::Done => counts.done,
        Verdict::Short => counts.short,
        Verdict::Slow => counts.slow,
        Verdict::Missed => counts.missed,
        Verdict::Unresolved => counts.unresolved,
    }
}

/// The verdict on the whole plan in one line.
pub(super) fn headline(review: &PlanReview) -> String {
    let counts = review.counts;
    let mut line = if counts.planned == 0 {
        paint(DOUBT, "The plan has no reps to look for")
    } else if counts.done == counts.planned {
        paint(
            GOOD,
            &format!("All {} done", count(counts.planned, "rep", "reps")),
        )
    } else {
        paint(
            STRONG,
            &format!(
                "{} of {} done",
                counts.done,
                count(counts.planned, "rep", "reps")
            ),
        )
    };
    for verdict in &VERDICTS[1..] {
        let n = number(counts, *verdict);
        if n > 0 {
            line += ", ";
            line += &paint(
                colour(*verdict),
                &format!("{n} {}", words::verdict(*verdict)),
            );
        }
    }
    line + "\n"
}

/// The plan as a table, a line a set, with a mark a rep.
pub(super) fn table(plan: Option<&plan::Plan>, review: &PlanReview) -> String {
    let mut out = columns(&format!(
        " # {} set {}        work peak   rests     after",
        left("block", BLOCK),
        left("reps", MARKS)
    ));
    for block in &review.blocks {
        let planned = plan.and_then(|p| p.blocks.get(block.index.wrapping_sub(1)));
        for (i, set) in block.sets.iter().enumerate() {
            let (index, title) = if i == 0 {
                (block.index.to_string(), describe(block, planned))
            } else {
                (String::new(), String::new())
            };
            out += &row(&index, &title, block.sets.len(), set);
        }
    }
    out + &legend(review)
}

fn row(index: &str, title: &str, sets: usize, set: &SetReview) -> String {
    let (marks, taken) = marks(&set.reps);
    let number = if sets > 1 {
        set.index.to_string()
    } else {
        String::new()
    };
    let line = format!(
        "{} {} {} {marks}{} {} {} {} {}",
        right(index, 2),
        left(title, BLOCK),
        right(&number, 3),
        " ".repeat(MARKS.saturating_sub(taken)),
        right(&work(&set.reps), 11),
        right(&peak(&set.reps), 4),
        right(&rests_kept(&set.reps), 7),
        right(&rest_after(set), 9),
    );
    line.trim_end().to_owned() + "\n"
}

/// The block in the player's own words: its name, else its category, and the dose.
fn describe(block: &BlockReview, planned: Option<&plan::Block>) -> String {
    let name = block.name.as_deref().map(safe).filter(|n| !n.is_empty());
    let name = name.unwrap_or_else(|| block.category.word().to_owned());
    let Some(dose) = planned.and_then(|b| dose(b.dose)) else {
        return name;
    };
    let room = BLOCK.saturating_sub(width(&dose) + 1);
    format!("{} {dose}", cut(&name, room))
}

/// Sets, reps and work; nothing for one unbroken bout, whose length the table gives anyway.
fn dose(dose: Dose) -> Option<String> {
    let Dose::Reps { sets, reps, work } = dose else {
        return None;
    };
    let work = match work {
        Work::Duration(s) if s >= MINUTES_FROM_S => format!("x{}", clock(s)),
        Work::Duration(s) => format!("x{}s", short(s, 1)),
        Work::Distance(m) => format!("x{}m", short(m, 1)),
        Work::Count => String::new(),
    };
    Some(if sets > 1 {
        format!("{sets}x{reps}{work}")
    } else {
        format!("{reps}{work}")
    })
}

/// The marks of a set and the columns they take: one a rep, or runs such as `12✓ ✗ 3✓`.
fn marks(reps: &[RepReview]) -> (String, usize) {
    let one = |v: Verdict| paint(colour(v), &mark(v).to_string());
    if reps.len() <= MARKS {
        return (reps.iter().map(|r| one(r.verdict)).collect(), reps.len());
    }
    let mut text = String::new();
    let mut taken = 0;
    for run in reps.chunk_by(|a, b| a.verdict == b.verdict) {
        let Some(first) = run.first() else { continue };
        let times = if run.len() > 1 {
            run.len().to_string()
        } else {
            String::new()
        };
        let blank = usize::from(taken > 0);
        let next = taken + blank + times.len() + 1;
        // One column stays free for the ellipsis.
        if next > MARKS - 2 && next != MARKS {
            text += " …";
            return (text, taken + 2);
        }
        text += &" ".repeat(blank);
        text += &times;
        text += &one(first.verdict);
        taken = next;
    }
    (text, taken)
}

/// The mean work of the reps found against the plan.
fn work(reps: &[RepReview]) -> String {
    let times = mean(reps.iter().filter_map(|r| r.work_s).map(|m| m.value));
    let distances = mean(reps.iter().filter_map(|r| r.distance_m).map(|m| m.value));
    let planned_s = reps.first().and_then(|r| r.work_planned_s);
    let planned_m = reps.first().and_then(|r| r.distance_planned_m);
    match (planned_s, times, planned_m, distances) {
        (Some(p), Some(t), _, _) if p >= MINUTES_FROM_S => format!("{}/{}", clock(t), clock(p)),
        (Some(p), Some(t), _, _) => format!("{t:.1}/{} s", short(p, 1)),
        (None, _, Some(p), Some(d)) => format!("{d:.0}/{} m", short(p, 0)),
        (None, Some(t), None, _) if t >= MINUTES_FROM_S => clock(t),
        (None, Some(t), _, _) => format!("{t:.1} s"),
        _ => String::new(),
    }
}

fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, n) = values.fold((0.0, 0_usize), |(sum, n), v| (sum + v, n + 1));
    (n > 0).then(|| sum / n as f64)
}

/// The fastest of a set, m/s.
fn peak(reps: &[RepReview]) -> String {
    reps.iter()
        .filter_map(|r| r.peak_speed_m_s)
        .map(|m| m.value)
        .max_by(f64::total_cmp)
        .map_or_else(String::new, |v| format!("{v:.1}"))
}

/// How many of the rests between reps were kept.
fn rests_kept(reps: &[RepReview]) -> String {
    let judged = reps
        .iter()
        .filter(|r| matches!(r.rest_verdict, Some(v) if v != RestVerdict::Free))
        .count();
    let kept = reps
        .iter()
        .filter(|r| r.rest_verdict == Some(RestVerdict::Kept))
        .count();
    if judged > 0 {
        format!("{kept}/{judged}")
    } else if reps
        .iter()
        .any(|r| r.rest_verdict == Some(RestVerdict::Free))
    {
        "free".to_owned()
    } else {
        String::new()
    }
}

/// Rest after the set against the plan; `>` too long, `<` too short.
fn rest_after(set: &SetReview) -> String {
    let (Some(was), Some(planned)) = (set.rest_after_s, set.rest_after_planned_s) else {
        return String::new();
    };
    let sign = match set.rest_after_verdict {
        Some(RestVerdict::Long) => '>',
        Some(RestVerdict::Short) => '<',
        _ => '/',
    };
    format!("{was:.0}{sign}{} s", short(planned, 0))
}

/// What the marks mean: only those that occur.
fn legend(review: &PlanReview) -> String {
    let occurs = |v: &&Verdict| all_reps(review).any(|(_, _, r)| r.verdict == **v);
    let marks: Vec<_> = VERDICTS
        .iter()
        .filter(occurs)
        .map(|&v| format!("{} {}", mark(v), words::verdict(v)))
        .collect();
    let mut out = caption(&marks.join("  "));
    let mut parts = Vec::new();
    let rests = review.blocks.iter().flat_map(|b| &b.sets);
    if rests.clone().any(|s| !rests_kept(&s.reps).is_empty()) {
        parts.push("rests: kept/planned");
    }
    if rests.clone().any(|s| !rest_after(s).is_empty()) {
        parts.push("after: was/planned, > too long, < too short");
    }
    out += &caption(&parts.join("; "));
    out
}

fn all_reps(review: &PlanReview) -> impl Iterator<Item = (&BlockReview, &SetReview, &RepReview)> {
    review.blocks.iter().flat_map(|b| {
        b.sets
            .iter()
            .flat_map(move |s| s.reps.iter().map(move |r| (b, s, r)))
    })
}

/// `4 channel runs, set 2`: where a rep or a rest belongs.
fn place(block: &BlockReview, set: &SetReview) -> String {
    let name = block.name.as_deref().map(safe).filter(|n| !n.is_empty());
    let name = name.unwrap_or_else(|| block.category.word().to_owned());
    let name = cut(&name, NAME);
    if block.sets.len() > 1 {
        format!("{} {name}, set {}", block.index, set.index)
    } else {
        format!("{} {name}", block.index)
    }
}

/// The reps that are not done, named, with why; neighbours with one story share a line.
pub(super) fn fell_short(review: &PlanReview) -> String {
    let mut items = Vec::new();
    for block in &review.blocks {
        for set in &block.sets {
            for run in set
                .reps
                .chunk_by(|a, b| a.verdict == b.verdict && a.why == b.why)
            {
                if let (Some(first), Some(last)) = (run.first(), run.last())
                    && first.verdict != Verdict::Done
                {
                    items.push((block, set, first, last, run.len()));
                }
            }
        }
    }
    if items.is_empty() {
        return String::new();
    }
    let mut out = format!("\n{}\n", paint(STRONG, "Not done"));
    for (block, set, first, last, _) in items.iter().take(LISTED) {
        let reps = if set.reps.len() == 1 {
            String::new()
        } else if first.index == last.index {
            format!(", rep {}", first.index)
        } else {
            format!(", reps {} to {}", first.index, last.index)
        };
        let why = match &first.why {
            Some(why) => format!(": {}", safe(why)),
            None => String::new(),
        };
        let text = format!(
            "{}{reps}: {}{why}",
            place(block, set),
            words::verdict(first.verdict)
        );
        let lines = hanging(&format!("{} ", mark(first.verdict)), &text, COLUMNS);
        for line in lines.lines() {
            out += &paint(colour(first.verdict), line);
            out.push('\n');
        }
    }
    let more: usize = items.iter().skip(LISTED).map(|(.., n)| n).sum();
    if more > 0 {
        out += &caption(&format!(
            "and {} more, all with --json",
            count(more, "rep", "reps")
        ));
    }
    out
}

/// A rest that was not kept.
struct Broken {
    place: String,
    was_s: f64,
    planned_s: f64,
}

impl Broken {
    /// How far from the plan, the same for half and for double.
    fn distance(&self) -> f64 {
        (self.was_s.max(1.0) / self.planned_s.max(1.0)).ln().abs()
    }
}

/// The rests that were not kept: between reps, after sets and after blocks.
pub(super) fn rests(review: &PlanReview) -> String {
    let broken = broken_rests(review);
    if broken.is_empty() {
        return String::new();
    }
    let long = broken.iter().filter(|b| b.was_s > b.planned_s).count();
    let title = format!(
        "Rests not kept: {long} too long, {} too short",
        broken.len() - long
    );
    let mut out = format!("\n{}\n", paint(STRONG, &title));
    // The farthest from the plan are listed, in the order of the plan.
    let mut order: Vec<(usize, &Broken)> = broken.iter().enumerate().collect();
    order.sort_by(|(_, a), (_, b)| b.distance().total_cmp(&a.distance()));
    order.truncate(LISTED_RESTS);
    order.sort_by_key(|(i, _)| *i);
    for (_, rest) in order {
        let text = format!(
            "{}: {:.0} s for {} s",
            rest.place,
            rest.was_s,
            short(rest.planned_s, 0)
        );
        out += &hanging("- ", &text, COLUMNS);
    }
    if broken.len() > LISTED_RESTS {
        out += &caption(&format!(
            "and {} more, all with --json",
            broken.len() - LISTED_RESTS
        ));
    }
    out
}

fn broken_rests(review: &PlanReview) -> Vec<Broken> {
    let is_broken = |verdict| matches!(verdict, Some(RestVerdict::Long | RestVerdict::Short));
    let mut broken = Vec::new();
    for (block, set) in review
        .blocks
        .iter()
        .flat_map(|b| b.sets.iter().map(move |s| (b, s)))
    {
        for rep in set.reps.iter().filter(|r| is_broken(r.rest_verdict)) {
            if let (Some(was), Some(planned_s)) = (rep.rest_s, rep.rest_planned_s) {
                broken.push(Broken {
                    place: format!("{}, after rep {}", place(block, set), rep.index),
                    was_s: was.value,
                    planned_s,
                });
            }
        }
        if is_broken(set.rest_after_verdict)
            && let (Some(was_s), Some(planned_s)) = (set.rest_after_s, set.rest_after_planned_s)
        {
            let last = set.index == block.sets.len();
            let what = if last { "block" } else { "set" };
            broken.push(Broken {
                place: format!("{}, after the {what}", place(block, set)),
                was_s,
                planned_s,
            });
        }
    }
    broken
}

/// Work that the plan does not explain.
pub(super) fn unplanned(review: &PlanReview) -> String {
    if review.unplanned.is_empty() {
        return String::new();
    }
    let mut out = format!("\n{}\n", paint(STRONG, "Not in the plan"));
    for work in review.unplanned.iter().take(LISTED_UNPLANNED) {
        out += &unplanned_line(work);
    }
    if review.unplanned.len() > LISTED_UNPLANNED {
        let more = review.unplanned.len() - LISTED_UNPLANNED;
        out += &caption(&format!("and {more} more, all with --json"));
    }
    out
}

fn unplanned_line(work: &Unplanned) -> String {
    format!(
        "- at {} for {}: {} m, peak {:.1} m/s\n",
        clock(work.start_s),
        clock(work.end_s - work.start_s),
        thousands(work.distance_m.value),
        work.peak_speed_m_s.value
    )
}

/// Reps by verdict, how sets faded, and what shares of top speed are taken of.
pub(super) fn counts(review: &PlanReview) -> String {
    let c = review.counts;
    let mut parts = vec![format!("{} planned", count(c.planned, "rep", "reps"))];
    for verdict in VERDICTS {
        parts.push(format!(
            "{} {}",
            number(c, verdict),
            words::verdict(verdict)
        ));
    }
    let mut out = format!("\n{}", hanging("Counts     ", &parts.join(", "), COLUMNS));
    out += &fading(review);
    if let Some(top) = review.top_speed {
        let source = match top.source {
            TopSpeedSource::Plan => "as the plan says",
            TopSpeedSource::Settings => "as the settings say",
            TopSpeedSource::Session => "the best of this session",
        };
        out += &paint(
            QUIET,
            &format!(
                "Shares     of a top speed of {:.2} m/s, {source}",
                top.speed_m_s.value
            ),
        );
        out.push('\n');
    }
    out
}

/// How much each set faded, where it can be told.
fn fading(review: &PlanReview) -> String {
    let sets = review
        .blocks
        .iter()
        .flat_map(|b| b.sets.iter().map(move |s| (b, s)));
    let parts: Vec<String> = sets
        .filter_map(|(block, set)| {
            let percent = set.decrement_percent?;
            let number = if block.sets.len() > 1 {
                format!("{}.{}", block.index, set.index)
            } else {
                block.index.to_string()
            };
            Some(format!("{percent:.1} % in {number}"))
        })
        .collect();
    hanging("Fading     ", &parts.join(", "), COLUMNS)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Category;

    fn rep(index: usize, verdict: Verdict) -> RepReview {
        RepReview {
            index,
            verdict,
            why: None,
            start_s: None,
            end_s: None,
            work_s: None,
            work_planned_s: None,
            distance_m: None,
            distance_planned_m: None,
            peak_speed_m_s: None,
            of_top_speed: None,
            reached: None,
            rest_s: None,
            rest_planned_s: None,
            rest_verdict: None,
            heart_rate_end_bpm: None,
            heart_rate_drop_bpm: None,
        }
    }

    fn review(verdicts: &[Verdict]) -> PlanReview {
        let of = |v| verdicts.iter().filter(|&&w| w == v).count();
        PlanReview {
            blocks: vec![BlockReview {
                index: 1,
                category: Category::Speed,
                name: Some("halfway".to_owned()),
                with_ball: false,
                verdict: crate::review::BlockVerdict::Short,
                start_s: None,
                end_s: None,
                sets: vec![SetReview {
                    index: 1,
                    rest_after_s: None,
                    rest_after_planned_s: None,
                    rest_after_verdict: None,
                    reps: (1..).zip(verdicts).map(|(i, &v)| rep(i, v)).collect(),
                    decrement_percent: None,
                }],
            }],
            unplanned: Vec::new(),
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

    fn plain(styled: &str) -> String {
        anstream::adapter::strip_str(styled).to_string()
    }

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

    #[test]
    fn long_sets_are_written_as_runs() {
        let mut verdicts = vec![Verdict::Done; 12];
        verdicts.push(Verdict::Missed);
        verdicts.extend([Verdict::Done; 7]);
        let review = review(&verdicts);
        let (text, taken) = marks(&review.blocks[0].sets[0].reps);
        assert_eq!(plain(&text), "12✓ ✗ 7✓");
        assert_eq!(taken, 8);
    }

    #[test]
    fn marks_never_take_more_than_their_columns() {
        for n in 0..60 {
            for period in 1..6 {
                let verdicts: Vec<_> = (0..n)
                    .map(|i| {
                        if i % period == 0 {
                            Verdict::Missed
                        } else {
                            Verdict::Done
                        }
                    })
                    .collect();
                let review = review(&verdicts);
                let (text, taken) = marks(&review.blocks[0].sets[0].reps);
                assert_eq!(width(&plain(&text)), taken, "{text}");
                assert!(taken <= MARKS, "{text}");
            }
        }
    }

    #[test]
    fn neighbours_with_one_story_share_a_line() {
        use Verdict::{Done, Missed, Slow};
        let text = plain(&fell_short(&review(&[Done, Missed, Missed, Slow])));
        assert_eq!(
            text,
            "\nNot done\n✗ 1 halfway, reps 2 to 3: missed\n↓ 1 halfway, rep 4: slow\n"
        );
        assert_eq!(fell_short(&review(&[Done])), "");
    }
}
