//! What was done and what was missed.

use std::fmt::Write as _;

use maud::{Markup, html};

use super::super::layout::{clock, count, short, thousands};
use super::super::{left_open, marks, terminal, words};
use crate::measured::Measured;
use crate::report::{note, reason};
use crate::review::{BlockReview, Fits, PlanReview, RepReview, RestVerdict, SetReview, Verdict};
use crate::session::Session;
use crate::units::SpeedUnit;

pub(super) fn section(session: &Session) -> Markup {
    html! {
        section aria-labelledby="verdict" {
            h2 #verdict { "What was done" }
            @match &session.review.plan {
                Some(plan) => {
                    @if let Some(doubt) = plan.fits.doubt() { p.headline { (note::text(&doubt)) } }
                    @if plan.fits == Fits::No {
                        (answer(session))
                    } @else {
                        p.headline { (headline(plan)) }
                        (answer(session))
                        (reps(plan))
                        (of_plan(plan, session.settings.speeds))
                    }
                },
                None => {
                    p.headline { (without_plan(session)) }
                    (answer(session))
                },
            }
        }
    }
}

fn without_plan(session: &Session) -> String {
    let totals = &session.review.totals;
    let distance = format!("{} m", thousands(totals.distance_m.value));
    match totals.top_speed_m_s {
        Some(top) => {
            let top = session.settings.speeds.both(top.value, 2);
            format!("{distance}, top speed {top}")
        }
        None => distance,
    }
}

/// A line a set with a mark a rep, as the terminal has it, and what the marks mean.
fn reps(plan: &PlanReview) -> Markup {
    let mut seen: Vec<(char, String)> = Vec::new();
    for (_, set) in sets(plan) {
        for rep in &set.reps {
            let mark = terminal::mark_of(rep);
            if seen.iter().all(|(known, _)| *known != mark) {
                seen.push((mark, said(rep)));
            }
        }
    }
    let meanings: Vec<String> = seen.iter().map(|(m, said)| format!("{m} {said}")).collect();
    html! {
        table.marks {
            caption { (meanings.join(", ")) }
            thead { tr { th scope="col" { "Block" } th scope="col" { "Reps" } th.n scope="col" { "Done" } } }
            tbody {
                @for (block, set) in sets(plan) {
                    tr {
                        th scope="row" { (place(block, set)) }
                        td {
                            span.signs {
                                @for run in set.reps.chunk_by(|a, b| terminal::mark_of(a) == terminal::mark_of(b)) {
                                    (signs(run))
                                }
                            }
                        }
                        td.n { (done_of(set)) }
                    }
                }
            }
        }
    }
}

/// How many reps of a set were done. Of those that cannot be told it is said so: `0 of 5` would say that none was.
fn done_of(set: &SetReview) -> String {
    let of = |verdict: Verdict| set.reps.iter().filter(|r| r.verdict == verdict).count();
    let reps = set.reps.len();
    match (of(Verdict::Done), of(Verdict::Unresolved)) {
        (_, open) if open == reps => "open".to_owned(),
        (done, 0) => format!("{done} of {reps}"),
        (done, open) => format!("{done} of {reps}, {open} open"),
    }
}

/// Reps of one mark after each other: the marks, and in words for who hears the page.
fn signs(run: &[RepReview]) -> Markup {
    let Some(first) = run.first() else {
        return html! {};
    };
    let mark = terminal::mark_of(first);
    let shown: String = if run.len() <= MARKS {
        std::iter::repeat_n(mark, run.len()).collect()
    } else {
        format!(" {}{mark} ", run.len())
    };
    html! {
        span role="img" aria-label={ (run.len()) " " (said(first)) " " } { (shown) }
    }
}

/// Most marks written one by one.
const MARKS: usize = 12;

fn said(rep: &RepReview) -> String {
    let open = if rep.is_speed_open() {
        ", speed open"
    } else {
        ""
    };
    format!("{}{open}", words::verdict(rep.verdict))
}

fn of_plan(plan: &PlanReview, speeds: SpeedUnit) -> Markup {
    let missing: Vec<String> = not_done(plan);
    let rests = broken_rests(plan);
    html! {
        @if !missing.is_empty() {
            h3 { (left_open::heading(plan)) }
            ul { @for line in missing { li { (line) } } }
        }
        @if !rests.is_empty() {
            h3 { "Rests not kept" }
            ul { @for line in rests { li { (line) } } }
        }
        @if !plan.unplanned.is_empty() {
            h3 { "Not in the plan" }
            ul {
                @for work in &plan.unplanned {
                    li {
                        "at " (clock(work.start_s)) " for " (clock(work.end_s - work.start_s)) ": "
                        (thousands(work.distance_m.value)) " m (" (thousands(work.distance_m.low)) " to " (thousands(work.distance_m.high))
                        "), peak " (speeds.text(work.peak_speed_m_s.value, 2)) " (" (speeds.ends(work.peak_speed_m_s)) ")"
                    }
                }
            }
        }
    }
}

/// Whether the speeds asked for were reached.
fn answer(session: &Session) -> Markup {
    super::answer::of(&marks::Facts::of(session))
}

fn headline(plan: &PlanReview) -> String {
    let c = plan.counts;
    if c.planned == 0 {
        return "The plan has no reps to look for".to_owned();
    }
    if c.done == c.planned {
        return format!("All {} done", count(c.planned, "rep", "reps"));
    }
    let others = [
        (c.short, Verdict::Short),
        (c.slow, Verdict::Slow),
        (c.missed, Verdict::Missed),
        (c.unresolved, Verdict::Unresolved),
    ];
    let mut line = format!("{} of {} done", c.done, count(c.planned, "rep", "reps"));
    for (n, verdict) in others.into_iter().filter(|(n, _)| *n > 0) {
        // Writing to a string cannot fail.
        let _ = write!(line, ", {n} {}", words::verdict(verdict));
    }
    line
}

/// The block as it is called in a line.
pub(super) fn name(block: &BlockReview) -> String {
    let name = words::block_name(block.category, block.name.as_deref());
    format!("{} {name}", block.index)
}

fn place(block: &BlockReview, set: &SetReview) -> String {
    if block.sets.len() > 1 {
        format!("{}, set {}", name(block), set.index)
    } else {
        name(block)
    }
}

fn sets(plan: &PlanReview) -> impl Iterator<Item = (&BlockReview, &SetReview)> {
    plan.blocks
        .iter()
        .flat_map(|block| block.sets.iter().map(move |set| (block, set)))
}

fn not_done(plan: &PlanReview) -> Vec<String> {
    let (mut once, mut each) = (Vec::new(), Vec::new());
    for block in &plan.blocks {
        let told = left_open::told(block);
        let said = told.sentences.iter();
        once.extend(said.map(|said| format!("{}: {said}", name(block))));
        for (set, told_once) in block.sets.iter().zip(told.sets) {
            let reps = set.reps.iter().filter(|rep| match rep.verdict {
                Verdict::Done => false,
                Verdict::Unresolved => !told_once,
                Verdict::Short | Verdict::Slow | Verdict::Missed => true,
            });
            each.extend(reps.map(|rep| {
                let why = rep
                    .why
                    .map(|why| format!(": {}", reason::text(&why)))
                    .unwrap_or_default();
                format!(
                    "{}, rep {}: {}{why}",
                    place(block, set),
                    rep.index,
                    words::verdict(rep.verdict)
                )
            }));
        }
    }
    once.extend(each);
    once
}

fn broken_rests(plan: &PlanReview) -> Vec<String> {
    let mut lines = Vec::new();
    let mut tell = |place: String,
                    verdict: Option<RestVerdict>,
                    was: Option<Measured>,
                    planned: Option<f64>| {
        if let (Some(RestVerdict::Long | RestVerdict::Short), Some(was), Some(planned)) =
            (verdict, was, planned)
        {
            lines.push(format!(
                "{place}: {} s ({} to {}) for {} s",
                short(was.value, 0),
                short(was.low, 0),
                short(was.high, 0),
                short(planned, 0)
            ));
        }
    };
    for (block, set) in sets(plan) {
        for rep in &set.reps {
            let place = format!("{}, after rep {}", place(block, set), rep.index);
            tell(place, rep.rest_verdict, rep.rest_s, rep.rest_planned_s);
        }
        let after = format!("{}, after the set", place(block, set));
        tell(
            after,
            set.rest_after_verdict,
            set.rest_after_s,
            set.rest_after_planned_s,
        );
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::done_of;
    use crate::review::{RepReview, SetReview, Verdict};

    #[test]
    fn reps_that_cannot_be_told_are_not_said_to_be_left_out() {
        use Verdict::{Done, Missed, Unresolved};
        for (verdicts, said) in [
            (vec![Done, Done, Missed], "2 of 3"),
            (vec![Done, Unresolved, Missed], "1 of 3, 1 open"),
            (vec![Unresolved; 5], "open"),
        ] {
            let set = SetReview {
                index: 1,
                rest_after_s: None,
                rest_after_planned_s: None,
                rest_after_verdict: None,
                reps_done: None,
                reps: (1..)
                    .zip(verdicts)
                    .map(|(index, verdict)| RepReview::new(index, verdict))
                    .collect(),
                decrement_percent: None,
            };
            assert_eq!(done_of(&set), said);
        }
    }
}
