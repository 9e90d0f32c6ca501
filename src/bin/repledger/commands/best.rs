//! `repledger best`: the bests so far, and what is a real gain.

use repledger::figure;
use repledger::progress::{self, Best};
use repledger::report;

use super::pictures::Wanted;
use crate::args;
use crate::exit_status::ExitStatus;
use crate::log;
use crate::printer::Printer;

/// Runs the command.
pub fn run(typed: &args::progress::Best, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let wanted = Wanted::open(typed.out.as_ref(), &typed.drawn)?;
    let mut loaded = log::load(&typed.from, &typed.whose)?;
    loaded.between(&typed.between);
    let log = loaded.log();
    let bests: Vec<Best<'_>> = (loaded.athletes.iter())
        .map(|athlete| progress::best(&log, athlete, loaded.today))
        .collect();
    let json = report::best::json::render(&bests)?;
    let text = report::best::text::render(&bests);
    if let Some(wanted) = wanted {
        let drawn = bests.iter().map(figure::best);
        let drawn = drawn.collect::<Result<Vec<_>, _>>()?;
        let pictures = drawn
            .into_iter()
            .flatten()
            .map(|svg| ("best".to_owned(), svg));
        wanted.write_accounts("best", (&text, &json), pictures, printer)?;
    }
    printer.data(if typed.json { &json } else { &text })?;
    Ok(ExitStatus::Done)
}
