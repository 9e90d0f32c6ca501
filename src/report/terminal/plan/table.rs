//! The plan as a table, a line a set, with a mark a rep.

use crate::measured::Measured;
use crate::plan::{self, Dose, Work};
use crate::report::layout::{clock, cut, left, right, short, width};
use crate::report::terminal::style::paint;
use crate::report::terminal::{caption, columns};
use crate::report::words::{self, ROUGH, is_rough};
use crate::review::{BlockReview, PlanReview, Reason, RepReview, RestVerdict, SetReview, Verdict};
use crate::units::SpeedUnit;

use super::{SPEED_OPEN, VERDICTS, mark, name, sign};

/// Columns of the marks; longer sets are written as runs of equal marks.
const MARKS: usize = 12;
/// Columns of a block's description.
const BLOCK: usize = 24;
/// From this planned time on, work is written as minutes and seconds, s.
const MINUTES_FROM_S: f64 = 90.0;

/// The table, and what its marks and columns mean.
pub(in crate::report::terminal) fn table(
    plan: Option<&plan::Plan>,
    review: &PlanReview,
    speeds: SpeedUnit,
) -> String {
    let mut out = columns(&format!(
        " # {} set {}        work peak rests    after, s",
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
            out += &row((&index, &title), block.sets.len(), set, speeds);
        }
        if block.category == plan::Category::Gym {
            let index = right(&block.index.to_string(), 2);
            let title = left(&describe(block, planned), BLOCK);
            out += &[&index, " ", &title, "     not in a recording, not judged\n"].concat();
        }
    }
    out + &legend(review, speeds)
}

fn row((index, title): (&str, &str), sets: usize, set: &SetReview, speeds: SpeedUnit) -> String {
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
        right(&peak(&set.reps, speeds), 4),
        right(&rests_kept(&set.reps), 5),
        right(&rest_after(set), 11),
    );
    line.trim_end().to_owned() + "\n"
}

/// The block in the player's own words: its name, else its category, and the dose.
fn describe(block: &BlockReview, planned: Option<&plan::Block>) -> String {
    let name = name(block);
    let mixed = planned.filter(|b| !b.mixed.is_empty());
    let mixed = mixed.map(|b| b.dose_text().replace(' ', ""));
    let Some(dose) = mixed.or_else(|| planned.and_then(|b| dose(b.dose))) else {
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
    let one = |rep: &RepReview| {
        let (mark, colour) = sign(rep);
        paint(colour, &mark.to_string())
    };
    if reps.len() <= MARKS {
        return (reps.iter().map(one).collect(), reps.len());
    }
    let mut text = String::new();
    let mut taken = 0;
    for run in reps.chunk_by(|a, b| sign(a).0 == sign(b).0) {
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
        text += &one(first);
        taken = next;
    }
    (text, taken)
}

/// The reps without those of which nobody knows where they were: what they took, or how fast they were, is no more known.
fn placed(reps: &[RepReview]) -> impl Iterator<Item = &RepReview> {
    reps.iter().filter(|rep| rep.why != Some(Reason::PlaceOpen))
}

/// The mean work of the reps found against the plan; of reps that differ, the plan's shortest and longest, since no mean is any of theirs.
fn work(reps: &[RepReview]) -> String {
    let times = mean(placed(reps).filter_map(|r| r.work_s).map(|m| m.value));
    let distances = mean(placed(reps).filter_map(|r| r.distance_m).map(|m| m.value));
    let planned_s = reps.first().and_then(|r| r.work_planned_s);
    let planned_m = reps.first().and_then(|r| r.distance_planned_m);
    if let Some((low, high)) = unlike(reps.iter().map(|r| r.work_planned_s)) {
        return if high >= MINUTES_FROM_S {
            format!("{}–{}", clock(low), clock(high))
        } else {
            format!("{}–{} s", short(low, 1), short(high, 1))
        };
    }
    if let Some((low, high)) = unlike(reps.iter().map(|r| r.distance_planned_m)) {
        return format!("{}–{} m", short(low, 0), short(high, 0));
    }
    match (planned_s, times, planned_m, distances) {
        (Some(p), Some(t), _, _) if p >= MINUTES_FROM_S => format!("{}/{}", clock(t), clock(p)),
        (Some(p), Some(t), _, _) => format!("{t:.1}/{} s", short(p, 1)),
        (None, _, Some(p), Some(d)) => format!("{d:.0}/{} m", short(p, 0)),
        (None, Some(t), None, _) if t >= MINUTES_FROM_S => clock(t),
        (None, Some(t), _, _) => format!("{t:.1} s"),
        _ => String::new(),
    }
}

/// The least and the most of what is planned for the reps of a set, where they differ.
fn unlike(planned: impl Iterator<Item = Option<f64>>) -> Option<(f64, f64)> {
    let ends = |(low, high): (f64, f64), v: f64| (low.min(v), high.max(v));
    let (low, high) = planned
        .flatten()
        .fold((f64::INFINITY, f64::NEG_INFINITY), ends);
    (high > low).then_some((low, high))
}

fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, n) = values.fold((0.0, 0_usize), |(sum, n), v| (sum + v, n + 1));
    (n > 0).then(|| sum / n as f64)
}

/// The fastest of a set, with a sign where it is not well known, and then short enough for its column.
fn peak(reps: &[RepReview], speeds: SpeedUnit) -> String {
    let Some(peak) = fastest(reps) else {
        return String::new();
    };
    let number = speeds.number(peak.value, 1);
    match is_rough(peak) {
        false => number,
        true if width(&number) < 4 => format!("{ROUGH}{number}"),
        true => format!("{ROUGH}{}", speeds.number(peak.value, 0)),
    }
}

fn fastest(reps: &[RepReview]) -> Option<Measured> {
    let peaks = placed(reps).filter_map(|r| r.peak_speed_m_s);
    peaks.max_by(|a, b| a.value.total_cmp(&b.value))
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

/// The 95 % interval of the rest after the set against the plan; `>` too long, `<` too short.
fn rest_after(set: &SetReview) -> String {
    let (Some(was), Some(planned)) = (set.rest_after_s, set.rest_after_planned_s) else {
        return String::new();
    };
    let sign = match set.rest_after_verdict {
        Some(RestVerdict::Long) => '>',
        Some(RestVerdict::Short) => '<',
        _ => '/',
    };
    let (low, high) = (short(was.low, 0), short(was.high, 0));
    let was = if low == high {
        low
    } else {
        format!("{low}–{high}")
    };
    format!("{was}{sign}{}", short(planned, 0))
}

/// What the marks mean: only those that occur.
fn legend(review: &PlanReview, speeds: SpeedUnit) -> String {
    let occurs =
        |v: &&Verdict| all_reps(review).any(|(_, _, r)| r.verdict == **v && !r.is_speed_open());
    let mut marks: Vec<_> = VERDICTS
        .iter()
        .filter(occurs)
        .map(|&v| format!("{} {}", mark(v), words::verdict(v)))
        .collect();
    if all_reps(review).any(|(_, _, r)| r.is_speed_open()) {
        let after_done = usize::from(
            marks
                .first()
                .is_some_and(|m| m.starts_with(mark(Verdict::Done))),
        );
        marks.insert(after_done, format!("{SPEED_OPEN} done, speed open"));
    }
    let mut out = caption(&marks.join("  "));
    let mut parts = Vec::new();
    if all_reps(review).any(|(_, _, r)| r.peak_speed_m_s.is_some()) {
        parts.push(format!("peak: {}", speeds.sign()));
    }
    let rests = review.blocks.iter().flat_map(|b| &b.sets);
    if rests.clone().filter_map(|s| fastest(&s.reps)).any(is_rough) {
        parts.push(format!("{ROUGH} ±10 % or worse"));
    }
    if rests.clone().any(|s| !rests_kept(&s.reps).is_empty()) {
        parts.push("rests: kept/judged".to_owned());
    }
    if rests.clone().any(|s| !rest_after(s).is_empty()) {
        parts.push("after: 95 % interval/planned, > too long, < too short".to_owned());
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::terminal::plan::made::{plain, review};

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
    fn a_peak_that_is_not_well_known_says_so() {
        let told = |value: f64, half: f64, speeds| {
            let mut reps = review(&[Verdict::Done]).blocks[0].sets[0].reps.clone();
            reps[0].peak_speed_m_s = Some(Measured::within(value, value - half, value + half));
            peak(&reps, speeds)
        };
        assert_eq!(told(8.61, 0.5, SpeedUnit::MetresPerSecond), "8.6");
        assert_eq!(told(8.61, 1.5, SpeedUnit::MetresPerSecond), "~8.6");
        assert_eq!(told(8.61, 1.5, SpeedUnit::KilometresPerHour), "~31");
    }

    #[test]
    fn reps_that_differ_show_what_they_are_and_no_mean() {
        let with = |metres: &[f64]| {
            let mut reps = review(&vec![Verdict::Done; metres.len()]).blocks[0].sets[0]
                .reps
                .clone();
            for (rep, &planned) in reps.iter_mut().zip(metres) {
                rep.work_planned_s = None;
                rep.distance_planned_m = Some(planned);
                rep.distance_m = Some(crate::measured::Measured::within(18.0, 17.0, 19.0));
            }
            work(&reps)
        };
        assert_eq!(with(&[10.0, 20.0, 30.0, 20.0, 10.0]), "10–30 m");
        assert_eq!(with(&[20.0, 20.0]), "18/20 m");
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
}
