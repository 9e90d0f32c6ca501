//! Writes simulated sessions for other programs to look at.

use std::fs;
use std::path::Path;

use anyhow::Result;
use repledger::plan;
use repledger::simulation::{self, Format, Kind, Mess, Simulated, Truth};
use serde_json::{Value, json};

/// Recording, plan and truth of one session.
pub fn write(
    folder: &Path,
    simulated: &Simulated,
    seed: u64,
    kind: Kind,
    mess: Mess,
) -> Result<()> {
    let stem = format!("{}_{}_{seed}", kind.word(), mess.word());
    fs::create_dir_all(folder)?;
    let ending = match simulated.recording.format {
        Format::Gpx => "gpx",
        Format::Columns | Format::LocalColumns => "csv",
    };
    fs::write(folder.join(format!("{stem}.{ending}")), simulated.bytes())?;
    fs::write(
        folder.join(format!("{stem}.plan")),
        simulated.plan.to_string(),
    )?;
    let truth = serde_json::to_string_pretty(&truth(simulated))?;
    fs::write(folder.join(format!("{stem}.truth.json")), truth)?;
    Ok(())
}

fn truth(simulated: &Simulated) -> Value {
    let truth = &simulated.truth;
    let reps: Vec<Value> = (truth.reps.iter())
        .map(|r| {
            json!({
                "block": r.block, "set": r.set, "rep": r.rep,
                "outcome": format!("{:?}", r.outcome).to_lowercase(),
                "start_s": r.run.map(|x| x.start_s), "end_s": r.run.map(|x| x.end_s),
                "distance_m": r.run.map(|x| x.distance_m), "peak_speed_m_s": r.run.map(|x| x.peak_speed_m_s),
                "rest_s": r.rest_s, "rest_after_set_s": r.rest_after_set_s, "mark_m_s": r.mark_m_s,
            })
        })
        .collect();
    let unplanned: Vec<Value> = (truth.unplanned.iter())
        .map(|u| json!({"kind": format!("{:?}", u.kind), "start_s": u.run.start_s, "end_s": u.run.end_s}))
        .collect();
    // Ten a second are plenty to look at.
    let every = (0.1 / Truth::STEP_S).round() as usize;
    let speed: Vec<f64> = (truth.speed_m_s.iter().step_by(every))
        .map(|v| (v * 1000.0).round() / 1000.0)
        .collect();
    json!({
        "start": truth.start.to_string(), "duration_s": truth.duration_s(),
        "distance_m": truth.distance_m, "top_speed_m_s": truth.top_speed_m_s,
        "receiver": format!("{:?}", simulated.receiver), "departures": format!("{:?}", simulated.departures.list),
        "reps": reps, "unplanned": unplanned,
        "sprints": truth.sprints.iter().map(|s| [s.start_s, s.end_s]).collect::<Vec<_>>(),
        "accelerations": truth.accelerations.iter().map(|s| [s.start_s, s.end_s]).collect::<Vec<_>>(),
        "speed_10hz_m_s": speed,
    })
}

/// Writes the shipped demo recordings from the shipped plan; run from the root of the project.
pub fn demo() -> Result<()> {
    let text = fs::read_to_string("fixtures/plans/demo.plan")?;
    let plan = plan::parse(&text).map_err(|mistakes| anyhow::anyhow!("{mistakes:?}"))?;
    for (kind, name) in [
        (Kind::Watch1v, "demo_1hz.gpx"),
        (Kind::Unit10, "demo_10hz.csv"),
    ] {
        let simulated = simulation::demo(&plan, kind)?;
        fs::write(Path::new("fixtures/traces").join(name), simulated.bytes())?;
        if kind == Kind::Unit10 {
            println!("{}", serde_json::to_string_pretty(&truth(&simulated))?);
        }
    }
    Ok(())
}
