//! Whether the speeds asked for were reached, before all else of a session.

use crate::report::layout::{cut, hanging, left, safe, width};
use crate::report::marks::{self, Facts};
use crate::report::terminal::style::{BAD, DOUBT, GOOD, STRONG, paint};
use crate::report::terminal::{COLUMNS, caption};
use crate::report::words;
use crate::review::Reached;
use crate::review::mark::{Marks, Run};
use crate::session::Session;

/// Most runs listed of a block; more are counted.
const LISTED: usize = 10;
/// Columns of a run's sign, and what stands between two runs.
const SIGN: usize = 2;
const BETWEEN: &str = "  ";
/// Most columns of a name.
const NAME: usize = 36;

/// The answer, a block after the other; nothing where no speed was asked for.
pub(super) fn answer(session: &Session) -> String {
    of(&Facts::of(session))
}

/// The same of what an answer rests on.
pub(in crate::report) fn of(facts: &Facts<'_>) -> String {
    let all = marks::of(facts);
    if all.is_empty() {
        return String::new();
    }
    let mut out = format!("\n{}\n", paint(STRONG, marks::question(&all)));
    if all.iter().any(|answer| answer.marks().is_some()) {
        out += &caption(marks::EXPLAINED);
    }
    if let Some(known) = marks::of_diary(facts, &all) {
        out += &caption(&(known + "."));
    }
    for answer in &all {
        if let Some(marks) = answer.marks() {
            out += &of_block(facts, marks);
        } else if let Some(text) = marks::unmarked(facts, answer) {
            out += &hanging(
                "",
                &format!("{}: {text}.", name(facts, answer.block())),
                COLUMNS,
            );
        }
    }
    if let Some(settle) = marks::settle(facts, &all) {
        out += &caption(&format!("To settle it: {settle}."));
    }
    out
}

fn of_block(facts: &Facts<'_>, asked: &Marks) -> String {
    let speeds = facts.speeds;
    let head = format!(
        "{}, {}: ",
        name(facts, asked.block),
        marks::asked(facts, asked)
    );
    let mut out = hanging("", &(head + &marks::tally(asked) + "."), COLUMNS);
    let shown = || {
        asked
            .runs
            .iter()
            .take(LISTED)
            .map(|run| (run, marks::run(asked, run, speeds)))
    };
    let widest = shown().map(|(_, text)| width(&text)).max().unwrap_or(0);
    let lines: Vec<String> = shown()
        .map(|(run, text)| one(run, &left(&text, widest)))
        .collect();
    // Two beside each other where they fit.
    let beside = if 2 * (widest + SIGN) + BETWEEN.len() <= COLUMNS {
        2
    } else {
        1
    };
    for line in lines.chunks(beside) {
        out += line.join(BETWEEN).trim_end();
        out.push('\n');
    }
    if asked.runs.len() > LISTED {
        out += &caption(&marks::more(asked.runs.len() - LISTED));
    }
    if let Some(best) = marks::best(asked) {
        out += &hanging("Best: ", &best, COLUMNS);
    }
    out
}

fn one(run: &Run, text: &str) -> String {
    let style = match run.reached {
        Reached::Yes => GOOD,
        Reached::No => BAD,
        Reached::Unclear => DOUBT,
    };
    let sign = marks::sign(run.reached).to_string();
    format!("{} {text}", paint(style, &sign))
}

fn name(facts: &Facts<'_>, block: Option<usize>) -> String {
    let Some(index) = block else {
        return "All sprints".to_owned();
    };
    let block =
        (facts.planned).and_then(|(_, plan)| plan.blocks.iter().find(|block| block.index == index));
    let name = block.map(|b| words::block_name(b.category, b.name.as_deref().map(safe).as_deref()));
    format!("{index} {}", cut(&name.unwrap_or_default(), NAME))
}

/// What must be read before the rest: that the plan may be another session's.
pub(super) fn doubt(note: &str) -> String {
    hanging("", &safe(note), COLUMNS)
        .lines()
        .fold(String::new(), |out, line| out + &paint(DOUBT, line) + "\n")
}
