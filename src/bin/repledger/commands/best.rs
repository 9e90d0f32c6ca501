//! `repledger best`: the bests so far, and what is a real gain.

use repledger::figure;
use repledger::progress::{self, Best};
use repledger::report::{best_json, best_text};

use super::pictures;
use crate::args;
use crate::exit_status::ExitStatus;
use crate::log;
use crate::output::{Folder, Output};
use crate::printer::Printer;

/// Runs the command.
pub fn run(typed: &args::progress::Best, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let folder = match &typed.out {
        Some(path) => Some((path, Folder::open(path, typed.force)?)),
        None => None,
    };
    let mut loaded = log::load(&typed.from, &typed.whose)?;
    loaded.between(typed.since, typed.until);
    let log = loaded.log();
    let bests: Vec<Best<'_>> = (loaded.athletes.iter())
        .map(|athlete| progress::best(&log, athlete, loaded.today))
        .collect();
    let json = best_json::render(&bests)?;
    let texts: Vec<String> = bests.iter().map(best_text::render).collect();
    let text = texts.join("\n");
    if let Some((path, folder)) = folder {
        let mut outputs = vec![
            Output {
                name: "best.txt".to_owned(),
                bytes: text.clone().into_bytes(),
            },
            Output {
                name: "best.json".to_owned(),
                bytes: json.clone().into_bytes(),
            },
        ];
        for best in &bests {
            if let Some(svg) = figure::best(best)? {
                outputs.extend(pictures::both("best", svg, typed.theme)?);
            }
        }
        pictures::write(folder, path, &outputs, printer)?;
    }
    printer.data(if typed.json { &json } else { &text })?;
    Ok(ExitStatus::Done)
}
