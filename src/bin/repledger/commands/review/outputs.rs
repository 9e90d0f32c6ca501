//! What is written and said of one session.

use repledger::report::page::{self, Drawing};
use repledger::report::{self, terminal};
use repledger::review::Reached;
use repledger::session::Session;
use repledger::{figure, settings};

use crate::args::{Strict, Theme};
use crate::commands::pictures;
use crate::exit_status::ExitStatus;
use crate::output::Output;

/// Account, JSON, page and pictures of a session.
pub fn all(
    session: &Session,
    settings: &[settings::Setting],
    theme: Option<Theme>,
) -> anyhow::Result<Vec<Output>> {
    let drawn = figure::all(session)?;
    let narrow = figure::narrow(session)?;
    let drawings: Vec<Drawing<'_>> = drawn
        .iter()
        .map(|p| Drawing {
            name: p.name,
            svg: &p.svg,
            narrow: narrow.iter().find(|n| n.name == p.name).map(|n| &*n.svg),
        })
        .collect();
    let account = anstream::adapter::strip_str(&terminal::render(session)).to_string();
    let mut outputs = vec![
        Output::text("account.txt", account),
        Output::text("review.json", report::review::json::render(session)?),
        Output::text("report.html", page::render(session, &drawings, settings)),
    ];
    outputs.extend(pictures::all(drawn, theme)?);
    Ok(outputs)
}

/// With `--strict`, whether every planned rep was done, and at the speed asked for; what cannot be told was not seen to be done.
pub fn status(session: &Session, strict: Option<Strict>) -> ExitStatus {
    let (Some(plan), Some(strict)) = (&session.review.plan, strict) else {
        return ExitStatus::Done;
    };
    let mut reps = plan
        .blocks
        .iter()
        .flat_map(|b| &b.sets)
        .flat_map(|s| &s.reps);
    let all_done = plan.counts.done >= plan.counts.planned;
    let mut at_speed = || reps.all(|rep| rep.reached.is_none_or(|r| r == Reached::Yes));
    if all_done && (strict == Strict::Reps || at_speed()) {
        ExitStatus::Done
    } else {
        ExitStatus::NotAllDone
    }
}
