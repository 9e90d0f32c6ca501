//! Counts instructions: no stage may cost more than in proportion to fixes and reps.
//!
//! ```text
//! cargo test --release --test costs                 # every stage at a size and at twice as much; some minutes
//! cargo test --release --test costs -- reps sets    # only what grows so
//! ```
//!
//! Instructions are counted by callgrind (Valgrind), the same at every run of the same program; where it is not there
//! nothing is tried, with a word. Sizes are large enough that what does not grow is small beside what does: a stage then takes at
//! most twice as much where its cost is in proportion, and up to four times where it is a square. Runs are counted beside each
//! other, one a thread of the machine. A build without `--release` counts twice as many instructions and finds the same.

#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a program that counts says what it counted"
)]

mod made;
mod stages;

use std::collections::BTreeMap;
use std::process::{Command, ExitCode, Stdio};

use made::Growing;
use rayon::prelude::*;

type Outcome<T = ()> = Result<T, Box<dyn std::error::Error>>;

/// The most that a stage may cost at twice its input, as a multiple: medians are found by chance in a little less or more than in
/// proportion.
const MOST_RATIO: f64 = 2.2;
/// The same of the review, which takes 2.8 to 2.9 times as much for 320 reps as for 160: how many accounts have to be kept apart grows
/// with the reps. A square would take four times as much.
const MOST_RATIO_OF_REVIEW: f64 = 3.0;
/// Stages that grow by fewer instructions than this are beneath notice.
const LEAST_COUNT: u64 = 2_000_000;

fn main() -> ExitCode {
    match run() {
        Ok(code) => code,
        Err(error) => {
            eprintln!("costs: {error}");
            ExitCode::FAILURE
        }
    }
}

fn run() -> Outcome<ExitCode> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    if let [stage, word, size] = words.as_slice()
        && stage == "--stages"
    {
        stages::run(growing(word).ok_or("no such way to grow")?, size.parse()?)?;
        return Ok(ExitCode::SUCCESS);
    }
    // Options and filters of the usual test programs mean nothing here.
    let asked: Vec<Growing> = words.iter().filter_map(|word| growing(word)).collect();
    if !words.is_empty() && asked.is_empty() {
        return Ok(ExitCode::SUCCESS);
    }
    if Command::new("valgrind")
        .arg("--version")
        .stdout(Stdio::null())
        .status()
        .is_err()
    {
        println!("costs: not counted, since valgrind is not there");
        return Ok(ExitCode::SUCCESS);
    }
    let mut dear = 0;
    println!(
        "{:<9} {:<10} {:>8} {:>15} {:>15} {:>7}",
        "growing", "stage", "size", "instructions", "at twice", "ratio"
    );
    let mut ways = Growing::ALL.to_vec();
    ways.retain(|way| asked.is_empty() || asked.contains(way));
    // The largest first, so that none is left to run alone at the end.
    let runs: Vec<(Growing, usize)> = [2, 1]
        .iter()
        .flat_map(|times| ways.iter().map(move |way| (*way, way.size() * times)))
        .collect();
    let counts: Vec<Counts> = runs
        .into_par_iter()
        .with_max_len(1)
        .map(|(way, size)| count(way, size).map_err(|error| error.to_string()))
        .collect::<Result<_, _>>()?;
    for (n, way) in ways.iter().enumerate() {
        let of: Vec<&Counts> = counts.iter().skip(n).step_by(ways.len()).collect();
        let [twice, once] = of.as_slice() else {
            return Err("two sizes are counted".into());
        };
        dear += grown(*way, once, twice)?;
    }
    if dear > 0 {
        println!("costs: {dear} grow by more than in proportion");
        return Ok(ExitCode::FAILURE);
    }
    Ok(ExitCode::SUCCESS)
}

fn growing(word: &str) -> Option<Growing> {
    Growing::ALL
        .into_iter()
        .find(|growing| growing.word() == word)
}

/// Instructions of each stage, by its name.
type Counts = BTreeMap<&'static str, u64>;

/// Prints a row a stage from what it took at a size and at twice as much; gives how many grew by too much.
fn grown(growing: Growing, once: &Counts, twice: &Counts) -> Outcome<usize> {
    let size = growing.size();
    let mut dear = 0;
    for name in stages::NAMES {
        let of = |counts: &Counts| counts.get(name).copied();
        let (Some(a), Some(b)) = (of(once), of(twice)) else {
            if name == "stage_plan" && growing.plan(size).is_none() {
                continue;
            }
            return Err(format!("nothing was counted of {name}").into());
        };
        let ratio = b as f64 / a.max(1) as f64;
        let most = if name == "stage_review" {
            MOST_RATIO_OF_REVIEW
        } else {
            MOST_RATIO
        };
        let too_much = b.saturating_sub(a) > LEAST_COUNT && ratio > most;
        dear += usize::from(too_much);
        let word = growing.word();
        let stage = name.trim_start_matches("stage_");
        let mark = if too_much { " <" } else { "" };
        println!("{word:<9} {stage:<10} {size:>8} {a:>15} {b:>15} {ratio:>7.2}{mark}");
    }
    Ok(dear)
}

/// Counts the instructions of each stage at a size.
fn count(growing: Growing, size: usize) -> Outcome<Counts> {
    let folder = tempfile::tempdir()?;
    let profile = folder.path().join("profile");
    let mut command = Command::new("valgrind");
    command
        .args(["--tool=callgrind", "--quiet", "--dump-before=*stage_*"])
        .arg(format!("--callgrind-out-file={}", profile.display()))
        .arg(std::env::current_exe()?)
        .args(["--stages", growing.word(), &size.to_string()]);
    let output = command.output()?;
    if !output.status.success() {
        return Err(format!(
            "{} {size}: {}",
            growing.word(),
            String::from_utf8_lossy(&output.stderr)
        )
        .into());
    }
    let mut dumps = Vec::new();
    for entry in std::fs::read_dir(folder.path())? {
        dumps.extend(dump(&std::fs::read_to_string(entry?.path())?));
    }
    dumps.sort_unstable_by_key(|dump| dump.part);
    // Each is made as a stage begins, the last at the end: it holds what was counted since the stage before began.
    let mut counts = BTreeMap::new();
    for pair in dumps.windows(2) {
        if let Some(stage) = pair[0].begins {
            counts.insert(stage, pair[1].instructions);
        }
    }
    Ok(counts)
}

/// What callgrind wrote at one moment.
struct Dump {
    part: u32,
    /// The stage that was about to begin; `None` at the end of the program.
    begins: Option<&'static str>,
    instructions: u64,
}

fn dump(text: &str) -> Option<Dump> {
    let after = |key: &str| text.lines().find_map(|line| line.strip_prefix(key));
    let trigger = after("desc: Trigger: ")?;
    Some(Dump {
        part: after("part: ")?.trim().parse().ok()?,
        begins: stages::NAMES
            .into_iter()
            .find(|name| trigger.ends_with(name)),
        instructions: after("totals: ")?.trim().parse().ok()?,
    })
}
