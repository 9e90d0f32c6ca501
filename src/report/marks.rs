//! "Did I hit top speed?" in words, the same in the account and on the page.

use jiff::civil::Date;
use jiff::tz::Offset;

use super::day_words;
use super::layout::{clock, count, short};
use crate::diary;
use crate::efforts::Kind;
use crate::measured::Measured;
use crate::motion::SpeedFrom;
use crate::plan::{Category, Dose, Plan};
use crate::review::mark::{self, Marks, Run};
use crate::review::{
    BlockReview, EarlierTop, Fits, PlanReview, Reached, TopSpeed, TopSpeedSource, Verdict,
};
use crate::session::Session;
use crate::trace::Clock;
use crate::units::SpeedUnit;

/// What stands behind each peak that is listed.
pub(super) const EXPLAINED: &str =
    "Each peak with its 95 % interval and how likely it reached the speed asked for.";

/// Receivers slower than this leave more open than their runs do, Hz.
const FAST_HZ: f64 = 8.0;

/// What is said of a block, or of the sprints of a session.
pub(super) enum Answer {
    /// Its runs against the speed that was asked for.
    Asked(Marks),
    /// A block of sprints that the plan gave no speed: how near they came to a top speed that is known.
    Unasked {
        /// The block, from 1.
        block: usize,
        reps: usize,
        runs: Vec<Peak>,
    },
    /// A block of which no rep has a speed.
    Unseen { block: usize, missed: bool },
}

/// A rep's highest speed.
pub(super) struct Peak {
    set: usize,
    rep: usize,
    speed_m_s: Measured,
    of_top_speed: Measured,
}

impl Answer {
    /// The block, from 1; `None` for the sprints of a session without a plan.
    pub(super) fn block(&self) -> Option<usize> {
        match self {
            Self::Asked(marks) => marks.block,
            Self::Unasked { block, .. } | Self::Unseen { block, .. } => Some(*block),
        }
    }

    /// Whether what it says is said of top speed.
    fn is_of_top_speed(&self) -> bool {
        match self {
            Self::Asked(marks) => marks.share.is_some(),
            Self::Unasked { .. } => true,
            Self::Unseen { .. } => false,
        }
    }

    /// The marks, where a speed was asked for and runs are there to hold against it.
    pub(super) fn marks(&self) -> Option<&Marks> {
        match self {
            Self::Asked(marks) => Some(marks),
            _ => None,
        }
    }
}

/// What the answer rests on, of a session or of what the diary keeps of one.
pub(super) struct Facts<'a> {
    /// The plan and what was done of it, where it is that of the recording.
    pub(super) planned: Option<(&'a Plan, &'a PlanReview)>,
    /// The sprints, where the plan is not, or there is none.
    pub(super) sprints: Option<Marks>,
    /// The best of an earlier day.
    pub(super) earlier: Option<EarlierTop>,
    /// Whether more than the runs leaves marks open: the receiver; `None` where that is not known.
    pub(super) slow: Option<bool>,
    /// The day of the session, where it is known.
    pub(super) day: Option<Date>,
    pub(super) speeds: SpeedUnit,
}

impl<'a> Facts<'a> {
    pub(super) fn of(session: &'a Session) -> Self {
        let planned = (session.plan.as_ref()).zip(session.review.plan.as_ref());
        let planned = planned.filter(|(_, review)| review.fits != Fits::No);
        let slow =
            session.track.rate.hz < FAST_HZ || session.motion.speed_from == SpeedFrom::Position;
        Self {
            planned,
            sprints: match planned {
                Some(_) => None,
                None => sprints(session),
            },
            earlier: session.settings.review.earlier_top,
            slow: Some(slow),
            day: day(session),
            speeds: session.settings.speeds,
        }
    }
}

/// The sprints of a session against a top speed that is known.
pub(super) fn sprints(session: &Session) -> Option<Marks> {
    let found = session.efforts.of_kind(Kind::Sprint);
    mark::sprints(
        found.map(|sprint| (sprint.start_s, sprint.peak_speed_m_s)),
        session.review.totals.top_speed_m_s,
        &session.settings.review,
    )
}

/// The day of a session by its own clock.
pub(super) fn day(session: &Session) -> Option<Date> {
    let of_plan = session.plan.as_ref().and_then(|plan| plan.header.date);
    of_plan.or_else(|| match (session.track.start, &session.zone) {
        (Clock::Utc(start), Some(zone)) => Some(zone.to_datetime(start).date()),
        (clock, _) => diary::local_date(clock, Offset::UTC),
    })
}

/// What is said of speeds: of the blocks of the plan, else of the sprints; nothing where no speed was asked for and none is known.
pub(super) fn of(facts: &Facts<'_>) -> Vec<Answer> {
    let Some((plan, review)) = facts.planned else {
        let found = (facts.sprints.clone()).filter(|marks| !marks.runs.is_empty());
        return found.map(Answer::Asked).into_iter().collect();
    };
    let mut asked = mark::asked(plan, review);
    let blocks = review.blocks.iter().filter_map(|block| {
        let planned = plan.blocks.get(block.index.checked_sub(1)?)?;
        if let Some(at) = asked
            .iter()
            .position(|marks| marks.block == Some(block.index))
        {
            let marks = asked.swap_remove(at);
            return Some(if marks.runs.is_empty() {
                unseen(block)
            } else {
                Answer::Asked(marks)
            });
        }
        if planned.target.is_some() {
            return Some(unseen(block));
        }
        let sprints =
            planned.category == Category::Speed && matches!(planned.dose, Dose::Reps { .. });
        (sprints && known(review).is_some()).then(|| unasked(block))
    });
    blocks.collect()
}

/// A top speed that somebody named, other than the best of the same session.
fn known(review: &PlanReview) -> Option<TopSpeed> {
    (review.top_speed).filter(|top| top.source != TopSpeedSource::Session)
}

fn unseen(block: &BlockReview) -> Answer {
    let mut reps = block.sets.iter().flat_map(|set| &set.reps);
    Answer::Unseen {
        block: block.index,
        missed: reps.all(|rep| rep.verdict == Verdict::Missed),
    }
}

fn unasked(block: &BlockReview) -> Answer {
    let runs: Vec<Peak> = (block.sets.iter())
        .flat_map(|set| set.reps.iter().map(move |rep| (set.index, rep)))
        .filter_map(|(set, rep)| {
            Some(Peak {
                set,
                rep: rep.index,
                speed_m_s: rep.peak_speed_m_s.filter(Measured::is_finite)?,
                of_top_speed: rep.of_top_speed?,
            })
        })
        .collect();
    if runs.is_empty() {
        return unseen(block);
    }
    Answer::Unasked {
        block: block.index,
        reps: block.sets.iter().map(|set| set.reps.len()).sum(),
        runs,
    }
}

/// The question that they answer.
pub(super) fn question(answers: &[Answer]) -> &'static str {
    let of_top = |answer: &Answer| answer.marks().is_none_or(|marks| marks.share.is_some());
    if answers.iter().any(of_top) {
        "Did I hit top speed?"
    } else {
        "Did I hit the speed asked for?"
    }
}

/// The mark: `95 % of top speed, 8.17 m/s`, and where it is not known from elsewhere, that it is the session's own.
pub(super) fn asked(facts: &Facts<'_>, marks: &Marks) -> String {
    let speed = facts.speeds.text(marks.mark_m_s.value, 2);
    let Some(share) = marks.share else {
        return speed;
    };
    let share = short(100.0 * share, 1);
    let own = (marks.top_speed).is_some_and(|top| top.source == TopSpeedSource::Session);
    match facts.earlier {
        _ if !own => format!("{share} % of top speed, {speed}"),
        None => format!("{share} % of this session's own best, as no top speed is known, {speed}"),
        Some(_) => format!("{share} % of this session's own best, {speed}"),
    }
}

/// Which top speed of the diary shares are taken of, or which is passed by the best of this session; nothing where neither is so.
pub(super) fn of_diary(facts: &Facts<'_>, answers: &[Answer]) -> Option<String> {
    let mut of_marks = answers.iter().filter_map(Answer::marks);
    let of_plan = facts.planned.and_then(|(_, review)| review.top_speed);
    let top = (of_marks.find_map(|marks| marks.top_speed))
        .or(of_plan.filter(|_| answers.iter().any(Answer::is_of_top_speed)))?;
    match (top.source, facts.earlier) {
        (TopSpeedSource::Diary { date }, _) => Some(format!(
            "Top speed {}",
            known_from(top.speed_m_s, date, facts)
        )),
        (TopSpeedSource::Session, Some(earlier)) => Some(format!(
            "This session's own best, {} ({}), lies above the {}",
            facts.speeds.text(top.speed_m_s.value, 2),
            facts.speeds.ends(top.speed_m_s),
            known_from(earlier.speed_m_s, earlier.date, facts)
        )),
        _ => None,
    }
}

/// `8.70 m/s, 8.50 to 8.90, of 12 May in the diary`
fn known_from(top_m_s: Measured, date: Option<Date>, facts: &Facts<'_>) -> String {
    format!(
        "{}, {}, {}",
        facts.speeds.text(top_m_s.value, 2),
        facts.speeds.ends(top_m_s),
        in_diary(date, facts.day)
    )
}

/// `of 12 May in the diary`; the year is told where it is another than that of the session.
pub(super) fn in_diary(date: Option<Date>, session: Option<Date>) -> String {
    match date {
        None => "in the diary".to_owned(),
        Some(date) if session.is_some_and(|day| day.year() == date.year()) => {
            format!("of {} in the diary", date.strftime("%-d %b"))
        }
        Some(date) => format!("of {} in the diary", day_words::full_day(date)),
    }
}

/// How many reached it, together and one by one.
pub(super) fn tally(marks: &Marks) -> String {
    let [yes, no, open] = [Reached::Yes, Reached::No, Reached::Unclear].map(|r| marks.count(r));
    let of = marks.planned;
    let all = match (of, marks.block) {
        (1, Some(_)) => "the one rep".to_owned(),
        (1, None) => "the one sprint".to_owned(),
        (_, Some(_)) => format!("the {of} reps"),
        (_, None) => format!("the {of} sprints"),
    };
    let unseen = of.saturating_sub(marks.runs.len());
    let lost = match unseen {
        0 => None,
        1 => Some("1 was not found".to_owned()),
        _ => Some(format!("{unseen} were not found")),
    };
    let not = (no > 0).then(|| format!("{no} surely did not"));
    if open == 0 {
        let reached = format!("{yes} of {all} surely reached it");
        return words(&[Some(reached), not, lost]);
    }
    let close = match open {
        1 => "1 is too close for this receiver to tell".to_owned(),
        _ => format!("{open} are too close for this receiver to tell"),
    };
    let together = if marks.at_least > 0 {
        format!(
            "at least {} of {all} reached it (95 % sure)",
            marks.at_least
        )
    } else {
        format!(
            "that any of {all} reached it is {} likely",
            percent(marks.one)
        )
    };
    let surely = (yes > 0).then(|| format!("{yes} surely did"));
    let each = words(&[surely, not, Some(close), lost]);
    format!("{together}: one by one, {each}")
}

/// Parts that are there, with commas and an "and" between them.
fn words(parts: &[Option<String>]) -> String {
    let parts: Vec<&str> = parts.iter().flatten().map(String::as_str).collect();
    match parts.split_last() {
        Some((last, before)) if !before.is_empty() => format!("{} and {last}", before.join(", ")),
        _ => parts.join(""),
    }
}

/// What is said of a block without marks.
pub(super) fn unmarked(facts: &Facts<'_>, answer: &Answer) -> Option<String> {
    match answer {
        Answer::Asked(_) => None,
        Answer::Unseen { missed: true, .. } => Some("no rep of it was found".to_owned()),
        Answer::Unseen { missed: false, .. } => {
            Some("the speed of none of its reps can be told".to_owned())
        }
        Answer::Unasked { reps, runs, .. } => {
            let speeds = facts.speeds;
            let top = known(facts.planned?.1)?.speed_m_s.value;
            let best = runs
                .iter()
                .max_by(|a, b| a.speed_m_s.value.total_cmp(&b.speed_m_s.value))?;
            let rep = if runs.iter().any(|run| run.set != best.set) {
                format!("rep {} of set {}", best.rep, best.set)
            } else {
                format!("rep {}", best.rep)
            };
            let found = if runs.len() == *reps {
                String::new()
            } else {
                format!(", of {} found of {reps}", runs.len())
            };
            let [value, low, high] = {
                let share = best.of_top_speed;
                [share.value, share.low, share.high].map(|share| 100.0 * share)
            };
            Some(format!(
                "no mark was planned. The best{found}, {rep}, came to {value:.0} % of top speed ({low:.0} to {high:.0}; top speed {}): {} ({})",
                speeds.text(top, 2),
                speeds.text(best.speed_m_s.value, 2),
                speeds.ends(best.speed_m_s),
            ))
        }
    }
}

/// One run: its peak, interval and probability.
pub(super) fn run(marks: &Marks, run: &Run, speeds: SpeedUnit) -> String {
    let peak = run.peak_m_s;
    format!(
        "{}: {} ({}), {}",
        name(marks, run),
        speeds.text(peak.value, 2),
        speeds.ends(peak),
        percent(run.probability)
    )
}

/// The sign of a run: reached, not reached, or open.
pub(super) fn sign(reached: Reached) -> char {
    match reached {
        Reached::Yes => '✓',
        Reached::No => '↓',
        Reached::Unclear => super::terminal::SPEED_OPEN,
    }
}

/// The best as a share of top speed.
pub(super) fn best(marks: &Marks) -> Option<String> {
    let best = marks.best()?;
    let share = best.of_top_speed?;
    Some(format!(
        "{}, {:.0} % of top speed ({:.0} to {:.0})",
        name(marks, best),
        100.0 * share.value,
        100.0 * share.low,
        100.0 * share.high
    ))
}

/// What would settle those that are open, for all marks together.
pub(super) fn settle(facts: &Facts<'_>, answers: &[Answer]) -> Option<&'static str> {
    let marks = answers.iter().filter_map(Answer::marks);
    let open: usize = marks.map(|m| m.count(Reached::Unclear)).sum();
    match (open, facts.slow?) {
        (0, _) => None,
        (_, true) => Some("a receiver that writes speed 10 times a second, or longer runs"),
        (_, false) => Some("longer runs, which hold their top speed for longer"),
    }
}

/// How many runs are not listed.
pub(super) fn more(runs: usize) -> String {
    format!("and {} more, all with --json", count(runs, "run", "runs"))
}

fn name(marks: &Marks, run: &Run) -> String {
    match run.set {
        None => format!("at {}", clock(run.start_s)),
        Some(set) if marks.runs.iter().any(|r| r.set != Some(set)) => {
            format!("rep {set}.{}", run.index)
        }
        Some(_) => format!("rep {}", run.index),
    }
}

/// A probability in whole per cent; none is ever certain.
fn percent(probability: f64) -> String {
    match 100.0 * probability {
        p if p < 1.0 => "<1 %".to_owned(),
        p if p > 99.0 => ">99 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// So many surely, surely not, and open, of those planned.
    fn marks([yes, no, open]: [usize; 3], planned: usize, at_least: usize, one: f64) -> Marks {
        let verdicts = [
            (yes, Reached::Yes),
            (no, Reached::No),
            (open, Reached::Unclear),
        ];
        let runs = verdicts
            .into_iter()
            .flat_map(|(count, reached)| std::iter::repeat_n(reached, count))
            .zip(1..)
            .map(|(reached, index)| Run {
                set: Some(1),
                index,
                start_s: 0.0,
                peak_m_s: Measured::within(8.0, 7.8, 8.2),
                of_top_speed: None,
                reached,
                probability: 0.5,
            });
        Marks {
            block: Some(6),
            mark_m_s: Measured::within(8.0, 8.0, 8.0),
            share: Some(0.95),
            top_speed: None,
            planned,
            runs: runs.collect(),
            at_least,
            one,
        }
    }

    #[test]
    fn the_tally_is_a_sentence_with_all_its_facts() {
        for (marks, text) in [
            (
                marks([1, 1, 3], 5, 3, 0.99),
                "at least 3 of the 5 reps reached it (95 % sure): one by one, 1 surely did, 1 surely did not and 3 are too close for this \
                 receiver to tell",
            ),
            (
                marks([0, 2, 1], 5, 0, 0.41),
                "that any of the 5 reps reached it is 41 % likely: one by one, 2 surely did not, 1 is too close for this receiver to tell \
                 and 2 were not found",
            ),
            (
                marks([3, 2, 0], 5, 3, 1.0),
                "3 of the 5 reps surely reached it and 2 surely did not",
            ),
            (
                marks([5, 0, 0], 5, 5, 1.0),
                "5 of the 5 reps surely reached it",
            ),
            (
                marks([1, 0, 0], 2, 1, 1.0),
                "1 of the 2 reps surely reached it and 1 was not found",
            ),
        ] {
            assert_eq!(tally(&marks), text);
        }
    }
}
