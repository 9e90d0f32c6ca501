//! Whether the speeds asked for were reached: the same on the page of a review and on that of a session in a season.

use maud::{Markup, html};

use super::verdict::name;
use crate::report::layout::safe;
use crate::report::marks::{self, Facts};
use crate::review::Reached;

/// Most runs listed of a block.
const LISTED: usize = 20;

/// The answer below a heading of the third level; nothing where no speed was asked for.
pub(in crate::report) fn of(facts: &Facts<'_>) -> Markup {
    let all = marks::of(facts);
    let block = |index: usize| {
        let blocks = facts.planned.iter().flat_map(|(_, review)| &review.blocks);
        blocks.into_iter().find(|block| block.index == index)
    };
    html! {
        @if !all.is_empty() {
            h3 { (marks::question(&all)) }
            @if all.iter().any(|answer| answer.marks().is_some()) { p.soft { (marks::EXPLAINED) } }
            @if let Some(known) = marks::of_diary(facts, &all) { p { (known) "." } }
            @for answer in &all {
                @if let Some(asked) = answer.marks() {
                    p {
                        @if let Some(block) = asked.block.and_then(block) { (safe(&name(block))) } @else { "All sprints" }
                        ", " (marks::asked(facts, asked)) ": " strong { (marks::tally(asked)) } "."
                        @if let Some(best) = marks::best(asked) { " Best: " (best) "." }
                    }
                    ul.peaks {
                        @for run in asked.runs.iter().take(LISTED) {
                            li {
                                span role="img" aria-label=(reached(run.reached)) { (marks::sign(run.reached)) }
                                " " (marks::run(asked, run, facts.speeds))
                            }
                        }
                        @if asked.runs.len() > LISTED { li { (marks::more(asked.runs.len() - LISTED)) } }
                    }
                } @else if let Some(text) = marks::unmarked(facts, answer) {
                    p { @if let Some(block) = answer.block().and_then(block) { (safe(&name(block))) } ": " (text) "." }
                }
            }
            @if let Some(settle) = marks::settle(facts, &all) { p { "What would settle it: " (settle) "." } }
        }
    }
}

/// The sign of a run for who hears the page.
fn reached(reached: Reached) -> &'static str {
    match reached {
        Reached::Yes => "surely",
        Reached::No => "surely not",
        Reached::Unclear => "cannot be told",
    }
}
