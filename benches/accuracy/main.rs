//! How near the account comes to the truth, over simulated sessions, a row a kind of receiver.
//!
//! ```text
//! cargo bench --bench accuracy -- --sessions 40 --seed 7 --receiver watch1 --worst
//! cargo bench --bench accuracy -- --sessions 3 --dump some/folder
//! cargo bench --bench accuracy -- --folder recordings/whose/truth/is/known
//! ```
//!
//! | option | meaning |
//! | --- | --- |
//! | `--sessions N` | sessions a receiver (12) |
//! | `--seed S` | the first of the seeds (1) |
//! | `--receiver A,B` | kinds: unit10, unit5, local25, watch1v, watch1, phone1, watch_sparse (all), and mixed |
//! | `--worlds fit\|report\|elsewhere` | one half of the simulated worlds: constants are fitted on even seeds and reported on odd ones; or players and days of another kind |
//! | `--folder DIR` | sessions of a folder instead of simulated ones; what it holds is said in `folder.rs` |
//! | `--promise` | with `--folder`: what the outlook of `repledger simulate` promises for its plans, and what is kept |
//! | `--mess M` | clean, usual or messy (a third each) |
//! | `--only motion\|match` | one half of the tables |
//! | `--reliability` | how often the 95 % intervals hold the truth, and how narrow they could be, as Markdown |
//! | `--curves` | how often the intervals of sprints' curves, of F0, V0 and Pmax hold the truth, also of a kind left out |
//! | `--memory` | what nine earlier recordings of the same device are worth to the next |
//! | `--worst` | the sessions with most reps wrong, with their seeds and departures |
//! | `--dump DIR` | writes recording, plan and truth of each session, and judges nothing |
//! | `--demo` | writes the shipped demo recordings from `fixtures/plans/demo.plan`, and prints their truth |

#![allow(clippy::print_stdout, reason = "a bench reports on standard output")]

mod case;
mod curves;
mod dump;
mod folder;
mod memory;
mod promise;
mod reliability;
mod score;
mod table;

use std::path::PathBuf;

use anyhow::{Context, Result, bail};
use rayon::prelude::*;
use repledger::simulation::{Kind, Mess, Simulated, session, session_elsewhere};

use crate::case::Case;
use crate::folder::Entry;

/// One half of the tables.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Half {
    Motion,
    Matching,
}

/// One half of the simulated worlds.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Worlds {
    /// Even seeds.
    Fit,
    /// Odd seeds.
    Report,
    /// Players and days of another kind, on which nothing is fitted.
    Elsewhere,
}

impl Worlds {
    /// A session of these worlds, or of all usual ones.
    fn session(of: Option<Self>, seed: u64, kind: Kind, mess: Mess) -> Simulated {
        if of == Some(Self::Elsewhere) {
            session_elsewhere(seed, kind, mess)
        } else {
            session(seed, kind, mess)
        }
    }
}

/// A session to be judged, before it is simulated or read.
enum Job {
    Simulated(Option<Worlds>, u64, Kind, Mess),
    Folder(Entry),
}

impl Job {
    fn case(&self) -> Result<Case> {
        match self {
            Self::Simulated(worlds, seed, kind, mess) => {
                let one = Worlds::session(*worlds, *seed, *kind, *mess);
                Ok(case::simulated(one, *seed, *kind, *mess))
            }
            Self::Folder(entry) => entry.case(),
        }
    }
}

#[allow(
    clippy::struct_excessive_bools,
    reason = "each is an option of its own"
)]
struct Options {
    sessions: u64,
    seed: u64,
    kinds: Vec<Kind>,
    worlds: Option<Worlds>,
    folder: Option<PathBuf>,
    promise: bool,
    mess: Option<Mess>,
    only: Option<Half>,
    reliability: bool,
    memory: bool,
    curves: bool,
    worst: bool,
    dump: Option<PathBuf>,
    demo: bool,
}

fn options() -> Result<Options> {
    let mut options = Options {
        sessions: 12,
        seed: 1,
        kinds: Kind::ALL.to_vec(),
        worlds: None,
        folder: None,
        promise: false,
        mess: None,
        only: None,
        reliability: false,
        memory: false,
        curves: false,
        worst: false,
        dump: None,
        demo: false,
    };
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        let mut value = || {
            words
                .next()
                .with_context(|| format!("{word} needs a value"))
        };
        match word.as_str() {
            // Cargo itself adds this one.
            "--bench" => {}
            "--sessions" => options.sessions = value()?.parse()?,
            "--seed" => options.seed = value()?.parse()?,
            "--receiver" => {
                let names = value()?;
                options.kinds = names
                    .split(',')
                    .map(|name| {
                        let mut kinds = Kind::ALL.into_iter().chain([Kind::Mixed]);
                        let kind = kinds.find(|k| k.word() == name);
                        kind.with_context(|| format!("no receiver {name}"))
                    })
                    .collect::<Result<_>>()?;
            }
            "--worlds" => match value()?.as_str() {
                "fit" => options.worlds = Some(Worlds::Fit),
                "report" => options.worlds = Some(Worlds::Report),
                "elsewhere" => options.worlds = Some(Worlds::Elsewhere),
                other => bail!("--worlds fit, report or elsewhere, not {other}"),
            },
            "--promise" => options.promise = true,
            "--folder" => options.folder = Some(PathBuf::from(value()?)),
            "--mess" => {
                let name = value()?;
                let mess = Mess::ALL.into_iter().find(|m| m.word() == name);
                options.mess = Some(mess.with_context(|| format!("no mess {name}"))?);
            }
            "--only" => match value()?.as_str() {
                "motion" => options.only = Some(Half::Motion),
                "match" => options.only = Some(Half::Matching),
                other => bail!("--only motion or --only match, not {other}"),
            },
            "--reliability" => options.reliability = true,
            "--curves" => options.curves = true,
            "--memory" => options.memory = true,
            "--worst" => options.worst = true,
            "--dump" => options.dump = Some(PathBuf::from(value()?)),
            "--demo" => options.demo = true,
            other => bail!("unknown option {other}"),
        }
    }
    Ok(options)
}

fn main() -> Result<()> {
    let options = options()?;
    if options.demo {
        return dump::demo();
    }
    let mut simulated = Vec::new();
    for &kind in &options.kinds {
        for number in 0..options.sessions {
            let mess = options.mess.unwrap_or(Mess::ALL[(number % 3) as usize]);
            let number = match options.worlds {
                None | Some(Worlds::Elsewhere) => number,
                Some(Worlds::Fit) => 2 * number,
                Some(Worlds::Report) => 2 * number + 1,
            };
            simulated.push((options.seed * 100_000 + number, kind, mess));
        }
    }
    if let Some(folder) = &options.dump {
        for (seed, kind, mess) in simulated {
            let one = Worlds::session(options.worlds, seed, kind, mess);
            dump::write(folder, &one, seed, kind, mess)?;
        }
        return Ok(());
    }
    let seeds: Vec<(u64, Mess)> = (simulated.iter())
        .filter(|(_, kind, _)| Some(kind) == options.kinds.first())
        .map(|&(seed, _, mess)| (seed, mess))
        .collect();
    if options.curves {
        let seeds: Vec<u64> = seeds.into_iter().map(|(seed, _)| seed).collect();
        curves::print(&options.kinds, &seeds);
        return Ok(());
    }
    if options.memory {
        return memory::print(&options.kinds, &seeds);
    }
    if options.promise {
        let folder = options
            .folder
            .as_deref()
            .context("--promise needs --folder")?;
        let sessions = u32::try_from(options.sessions)?;
        return promise::print(&folder::entries(folder)?, sessions, options.seed);
    }
    let jobs: Vec<Job> = match &options.folder {
        Some(folder) => folder::entries(folder)?
            .into_iter()
            .map(Job::Folder)
            .collect(),
        None => (simulated.into_iter())
            .map(|(seed, kind, mess)| Job::Simulated(options.worlds, seed, kind, mess))
            .collect(),
    };
    let scores: Vec<score::Score> = jobs
        .into_par_iter()
        .map(|job| Ok(score::of(&job.case()?)))
        .collect::<Result<_>>()?;
    let groups = table::groups(&scores);
    if options.reliability {
        reliability::print(&scores, &groups);
        return Ok(());
    }
    if options.only != Some(Half::Matching) {
        table::motion(&scores, &groups);
        table::counts(&scores, &groups);
    }
    if options.only != Some(Half::Motion) {
        table::matching(&scores, &groups);
        table::probabilities(&scores);
    }
    table::intervals(&scores, &groups);
    if options.worst {
        table::worst(&scores);
    }
    Ok(())
}
