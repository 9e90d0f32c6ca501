//! What was done and what was missed.

use maud::{Markup, html};

use super::super::layout::thousands;
use super::super::shortfall::{self, Broken};
use super::super::{left_open, marks, terminal, words};
use crate::report::note;
use crate::review::{BlockReview, Fits, PlanReview, RepReview, SetReview, Verdict};
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
                        p.headline { (shortfall::headline_text(&plan.counts)) }
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
    for place in shortfall::sets(plan) {
        for rep in &place.set.reps {
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
                @for place in shortfall::sets(plan) {
                    @let set = place.set;
                    tr {
                        th scope="row" { (place.text(&called(place.block))) }
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
    let (once, each) = shortfall::not_done(plan);
    let broken = shortfall::broken_rests(plan);
    html! {
        @if !once.is_empty() || !each.is_empty() {
            h3 { (left_open::heading(plan)) }
            ul {
                @for (block, said) in once { li { (name(block)) ": " (said) } }
                @for fell in each { li { (fell.text(&called(fell.place.block))) } }
            }
        }
        @if !broken.is_empty() {
            h3 { (shortfall::rests_heading(&broken)) }
            @if broken.len() > RESTS {
                p { "The " (RESTS) " farthest from the plan:" }
                (rests(&shortfall::farthest(&broken, RESTS)))
                details {
                    summary { "All " (broken.len()) }
                    (rests(&broken.iter().collect::<Vec<_>>()))
                }
            } @else {
                (rests(&broken.iter().collect::<Vec<_>>()))
            }
        }
        @if !plan.unplanned.is_empty() {
            h3 { "Not in the plan" }
            ul { @for work in &plan.unplanned { li { (shortfall::unplanned(work, speeds)) } } }
        }
    }
}

/// Most rests that were not kept that are shown before all of them are asked for.
const RESTS: usize = 6;

fn rests(broken: &[&Broken<'_>]) -> Markup {
    html! { ul { @for rest in broken { li { (rest.text(&called(rest.place.block))) } } } }
}

/// Whether the speeds asked for were reached.
fn answer(session: &Session) -> Markup {
    super::answer::of(&marks::Facts::of(session))
}

/// The block as it is called in a line.
pub(super) fn name(block: &BlockReview) -> String {
    format!("{} {}", block.index, called(block))
}

fn called(block: &BlockReview) -> String {
    words::block_name(block.category, block.name.as_deref())
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
