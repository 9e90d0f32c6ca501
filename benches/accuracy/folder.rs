//! Sessions from a folder: recordings of other simulators, or of people, whose truth is known.
//!
//! | in the folder | what it holds |
//! | --- | --- |
//! | `NAME.truth.json` | schema `bench/truth/1`: the reps with the verdicts that are right, efforts, totals, receiver |
//! | `NAME.plan`, `NAME.gpx` or `NAME.csv`, also with `.gz` | the plan and the recording |
//! | or `manifest.json` | a list of recordings: `file`, `kind`, and what is known: `plan`, `reps`, `distance_m`, `top_speed_m_s` |
//!
//! Of a manifest's reps, `[start, end]` in UTC in the order of the plan, those within 30 % of the planned time were done; of
//! the others it can be said that they were short as well.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail, ensure};
use jiff::Timestamp;
use repledger::plan::{self, Category, Plan};
use repledger::review::Verdict;
use repledger::simulation::score::Expected;
use repledger::simulation::{Mess, Outcome, Rep, Run, Span};
use serde_json::Value;

use crate::case::{Case, Known, Time, Truly};

/// A planned time is kept within this, as a share.
const KEPT: f64 = 0.3;

/// One session of a folder, not read yet.
pub enum Entry {
    /// The file of its truth.
    Truth(PathBuf),
    /// Its folder and its line of the manifest.
    Listed(PathBuf, Value),
}

/// All sessions of a folder, in order.
pub fn entries(folder: &Path) -> Result<Vec<Entry>> {
    let manifest = folder.join("manifest.json");
    if manifest.exists() {
        let Value::Array(list) = json(&manifest)? else {
            bail!("{} is no list of recordings", manifest.display());
        };
        let listed = |line| Entry::Listed(folder.to_owned(), line);
        return Ok(list.into_iter().map(listed).collect());
    }
    let mut truths: Vec<PathBuf> = fs::read_dir(folder)
        .with_context(|| format!("cannot read the folder {}", folder.display()))?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.to_string_lossy().ends_with(".truth.json"))
        .collect();
    truths.sort();
    ensure!(
        !truths.is_empty(),
        "{} holds neither manifest.json nor a file .truth.json",
        folder.display()
    );
    Ok(truths.into_iter().map(Entry::Truth).collect())
}

impl Entry {
    /// Reads it.
    pub fn case(&self) -> Result<Case> {
        match self {
            Self::Truth(path) => of_truth(path).with_context(|| format!("in {}", path.display())),
            Self::Listed(folder, line) => {
                of_manifest(folder, line).with_context(|| format!("in {line}"))
            }
        }
    }
}

fn json(path: &Path) -> Result<Value> {
    let text = fs::read_to_string(path).with_context(|| format!("no {}", path.display()))?;
    serde_json::from_str(&text).with_context(|| format!("{} is no JSON", path.display()))
}

fn read_plan(path: &Path) -> Result<Plan> {
    let text = fs::read_to_string(path).with_context(|| format!("no {}", path.display()))?;
    plan::parse(&text).map_err(|mistakes| anyhow::anyhow!("{}: {mistakes:?}", path.display()))
}

fn number(value: &Value, key: &str) -> Option<f64> {
    value.get(key)?.as_f64()
}

fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value.get(key).and_then(Value::as_str).unwrap_or_default()
}

fn holds(value: &Value, key: &str) -> bool {
    value.get(key).and_then(Value::as_bool).unwrap_or(false)
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value
        .get(key)
        .and_then(Value::as_array)
        .map_or(&[], Vec::as_slice)
}

fn of_truth(path: &Path) -> Result<Case> {
    let truth = json(path)?;
    ensure!(text(&truth, "schema") == "bench/truth/1", "unknown schema");
    let whole = path.to_string_lossy();
    let stem = whole.strip_suffix(".truth.json").unwrap_or(&whole);
    let recording = [".gpx", ".csv", ".gpx.gz", ".csv.gz"]
        .map(|ending| PathBuf::from(format!("{stem}{ending}")))
        .into_iter()
        .find(|file| file.exists())
        .context("no recording beside it")?;
    let receiver = truth.get("receiver").unwrap_or(&Value::Null);
    let relative = holds(receiver, "relative_time");
    let start_ms = number(&truth, "start_ms").filter(|_| !relative);
    let start = start_ms
        .map(|ms| Timestamp::from_millisecond(ms as i64))
        .transpose()?;
    let mut reps = Vec::new();
    for rep in list(&truth, "reps") {
        reps.push(expected(rep)?);
    }
    let order = order_only(&truth);
    for rep in &mut reps {
        rep.rep.order_only = order.contains(&(rep.rep.block, rep.rep.set));
    }
    for rest in list(&truth, "set_rests") {
        let of = (whole_number(rest, "block")?, whole_number(rest, "set")?);
        let last = reps
            .iter_mut()
            .rfind(|r| (r.rep.block, r.rep.set) == of && r.rep.run.is_some());
        if let Some(last) = last {
            last.rep.rest_after_set_s = number(rest, "rest_s");
        }
    }
    Ok(Case {
        name: stem.rsplit('/').next().unwrap_or(stem).to_owned(),
        group: text(receiver, "kind").to_owned(),
        mess: Mess::ALL
            .into_iter()
            .find(|m| m.word() == text(&truth, "difficulty")),
        bytes: fs::read(&recording)?,
        plan: Some(read_plan(&PathBuf::from(format!("{stem}.plan")))?),
        known: Known {
            reps,
            distance_m: number(&truth, "total_distance_m"),
            top_speed_m_s: number(&truth, "top_speed_m_s"),
            sprints: Some(efforts(&truth, "sprint")),
            accelerations: Some(efforts(&truth, "acceleration")),
            time: Time::From(start, number(receiver, "lag_pos_s").unwrap_or(0.0)),
        },
        departures: truth
            .get("departures")
            .map(ToString::to_string)
            .unwrap_or_default(),
    })
}

fn whole_number(value: &Value, key: &str) -> Result<usize> {
    let number = value.get(key).and_then(Value::as_u64);
    Ok(usize::try_from(
        number.with_context(|| format!("no {key}"))?,
    )?)
}

fn expected(rep: &Value) -> Result<Expected> {
    let outcome = match text(rep, "verdict") {
        "done" => Outcome::Done,
        "short" => Outcome::Short,
        "slow" => Outcome::Slow,
        "missed" => Outcome::Missed,
        other => bail!("no verdict {other}"),
    };
    let verdict = |word: &Value| match word.as_str().unwrap_or_default() {
        "done" => Ok(Verdict::Done),
        "short" => Ok(Verdict::Short),
        "slow" => Ok(Verdict::Slow),
        "missed" => Ok(Verdict::Missed),
        "unresolved" => Ok(Verdict::Unresolved),
        other => bail!("no verdict {other}"),
    };
    let run = number(rep, "start_s")
        .zip(number(rep, "end_s"))
        .map(|(start_s, end_s)| Run {
            start_s,
            end_s,
            distance_m: number(rep, "distance_m").unwrap_or(f64::NAN),
            peak_speed_m_s: number(rep, "peak_m_s").unwrap_or(f64::NAN),
        });
    Ok(Expected {
        accepted: list(rep, "accept")
            .iter()
            .map(verdict)
            .collect::<Result<_>>()?,
        rep: Rep {
            block: whole_number(rep, "block")?,
            set: whole_number(rep, "set")?,
            rep: whole_number(rep, "rep")?,
            outcome,
            run,
            rest_s: number(rep, "rest_s"),
            rest_after_set_s: None,
            runs_on: holds(rep, "run_on"),
            mark_m_s: number(rep, "asked_m_s"),
            played: holds(rep, "cont"),
            visible: number(rep, "visible").unwrap_or(1.0),
            order_only: false,
            by_feel: false,
        },
    })
}

/// Blocks and sets of which nobody can tell which reps were left out: self-paced rests, or one that was long or disturbed.
fn order_only(truth: &Value) -> Vec<(usize, usize)> {
    (list(truth, "reps").iter())
        .filter(|rep| {
            let disturbed = matches!(text(rep, "rest_note"), "disturbed" | "long");
            !holds(rep, "run_on") && (text(rep, "rest_kind") == "walk" || disturbed)
        })
        .filter_map(|rep| {
            Some((
                whole_number(rep, "block").ok()?,
                whole_number(rep, "set").ok()?,
            ))
        })
        .collect()
}

fn efforts(truth: &Value, kind: &str) -> Truly {
    let spans = |strict: bool| {
        (list(truth, "efforts").iter())
            .filter(|e| text(e, "kind") == kind && holds(e, "strict") == strict)
            .filter_map(|e| {
                Some(Span {
                    start_s: number(e, "start_s")?,
                    end_s: number(e, "end_s")?,
                    peak: number(e, "peak").unwrap_or(f64::NAN),
                    clear: holds(e, "clear"),
                })
            })
            .collect()
    };
    Truly {
        strict: spans(true),
        nearly: spans(false),
    }
}

fn of_manifest(folder: &Path, line: &Value) -> Result<Case> {
    let file = text(line, "file");
    let plan = line.get("plan").and_then(Value::as_str);
    let plan = plan.map(|name| read_plan(&folder.join(name))).transpose()?;
    let mut start = None;
    let mut reps = Vec::new();
    if let Some(plan) = &plan {
        let mut spans = Vec::new();
        for span in list(line, "reps") {
            let moment = |at: usize| -> Result<Timestamp> {
                let text = span.get(at).and_then(Value::as_str);
                Ok(text.context("a rep is [start, end]")?.parse()?)
            };
            spans.push((moment(0)?, moment(1)?));
        }
        start = spans.first().map(|s| s.0);
        reps = played(plan, &spans);
    }
    Ok(Case {
        name: file.to_owned(),
        group: text(line, "kind").to_owned(),
        mess: None,
        bytes: fs::read(folder.join(file)).with_context(|| format!("no {file}"))?,
        plan,
        known: Known {
            reps,
            distance_m: number(line, "distance_m"),
            top_speed_m_s: number(line, "top_speed_m_s"),
            sprints: None,
            accelerations: None,
            time: Time::From(start, 0.0),
        },
        departures: String::new(),
    })
}

/// The plan's reps as they were played, in order, in seconds from the first.
fn played(plan: &Plan, spans: &[(Timestamp, Timestamp)]) -> Vec<Expected> {
    let places = (1..).zip(&plan.blocks).flat_map(|(index, block)| {
        (1..=block.sets() as usize).flat_map(move |set| {
            (1..=block.reps() as usize).map(move |rep| (index, set, rep, block))
        })
    });
    (places.zip(spans))
        .map(|((index, set, rep, block), &(start, end))| {
            let zero = spans.first().map_or(start, |s| s.0);
            let start_s = start.duration_since(zero).as_secs_f64();
            let end_s = end.duration_since(zero).as_secs_f64();
            let kept = (block.work_s())
                .is_none_or(|planned_s| ((end_s - start_s) / planned_s - 1.0).abs() <= KEPT);
            Expected {
                accepted: if kept {
                    vec![Verdict::Done]
                } else {
                    vec![Verdict::Done, Verdict::Short]
                },
                rep: Rep {
                    block: index,
                    set,
                    rep,
                    outcome: Outcome::Done,
                    run: Some(Run {
                        start_s,
                        end_s,
                        distance_m: f64::NAN,
                        peak_speed_m_s: f64::NAN,
                    }),
                    rest_s: None,
                    rest_after_set_s: None,
                    runs_on: block.runs_on(),
                    mark_m_s: None,
                    played: !matches!(
                        block.category,
                        Category::Strength | Category::Resistance | Category::Speed
                    ),
                    visible: 1.0,
                    order_only: false,
                    by_feel: false,
                },
            }
        })
        .collect()
}
