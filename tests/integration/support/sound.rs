//! What holds of the JSON of every review, whatever was recorded.

use serde_json::Value;

/// Numbers that may be negative: what has a direction, compares two values, or lies before the session.
const SIGNED: [&str; 6] = [
    "turn_deg",
    "peak_acceleration_m_s2",
    "heart_rate_drop_bpm",
    "slope_m_s",
    "movement_start_s",
    "left_out",
];

/// The rounding of the document: two of its numbers may be off by a half of the last decimal each.
const ROUNDING: f64 = 0.001_001;

/// Everything that is wrong with the numbers of a review, with its place; empty when it is sound.
pub fn faults(document: &Value) -> Vec<String> {
    let mut faults = Vec::new();
    numbers(document, "", false, &mut faults);
    accounted(document, &mut faults);
    in_time(document, &mut faults);
    faults
}

/// Intervals hold their values, and nothing is negative that cannot be.
fn numbers(value: &Value, place: &str, signed: bool, faults: &mut Vec<String>) {
    match value {
        Value::Number(number) => match number.as_f64() {
            Some(n) if n.is_finite() && (signed || n >= 0.0) => {}
            _ => faults.push(format!("{place} is {number}")),
        },
        Value::Array(list) => {
            for (k, one) in list.iter().enumerate() {
                numbers(one, &format!("{place}[{k}]"), signed, faults);
            }
        }
        Value::Object(fields) => {
            if let (Some(value), Some(low), Some(high)) = (
                fields.get("value").and_then(Value::as_f64),
                fields.get("low").and_then(Value::as_f64),
                fields.get("high").and_then(Value::as_f64),
            ) && !(low <= value && value <= high)
            {
                faults.push(format!("{place}: {value} does not lie in {low} to {high}"));
            }
            for (name, one) in fields {
                let signed = signed || SIGNED.contains(&name.as_str());
                numbers(one, &format!("{place}.{name}"), signed, faults);
            }
        }
        _ => {}
    }
}

/// Used and set aside make all fixes; the verdicts make all reps; there is a rep for each that was planned.
fn accounted(document: &Value, faults: &mut Vec<String>) {
    let recording = &document["recording"];
    let aside: u64 = rows(&recording["set_aside"])
        .map(|reason| count(&reason["count"]))
        .sum();
    if count(&recording["used"]) + aside != count(&recording["fixes"]) {
        faults.push(format!("fixes are not accounted for: {recording}"));
    }
    let plan = &document["plan"];
    if plan.is_null() {
        return;
    }
    let counts = &plan["counts"];
    let verdicts: u64 = ["done", "short", "slow", "missed", "unresolved"]
        .iter()
        .map(|verdict| count(&counts[*verdict]))
        .sum();
    let reps = rows(&plan["blocks"])
        .flat_map(|block| rows(&block["sets"]))
        .flat_map(|set| rows(&set["reps"]))
        .count() as u64;
    if count(&counts["planned"]) != verdicts || reps != verdicts {
        faults.push(format!("{reps} reps do not make the counts {counts}"));
    }
}

/// What has a start and an end has them in order and inside the recording; lists are in order; efforts of one kind, work
/// beside the plan and gaps do not overlap.
fn in_time(document: &Value, faults: &mut Vec<String>) {
    let whole_s = document["session"]["duration_s"].as_f64();
    let mut inside = |what: &str, list: &mut dyn Iterator<Item = &Value>, apart: bool| {
        let mut last = (f64::NEG_INFINITY, f64::NEG_INFINITY);
        for one in list {
            let (Some(start_s), Some(end_s)) = (one["start_s"].as_f64(), one["end_s"].as_f64())
            else {
                continue;
            };
            if start_s > end_s || end_s > whole_s.unwrap_or(f64::INFINITY) + ROUNDING {
                faults.push(format!(
                    "{what} from {start_s} s to {end_s} s of {whole_s:?}"
                ));
            }
            if start_s < last.0 || apart && start_s + ROUNDING < last.1 {
                faults.push(format!(
                    "{what} at {start_s} s after one from {} to {} s",
                    last.0, last.1
                ));
            }
            last = (start_s, end_s);
        }
    };
    inside("an effort", &mut rows(&document["efforts"]), false);
    for kind in [
        "sprint",
        "high_speed_run",
        "acceleration",
        "deceleration",
        "turn",
    ] {
        let of_kind = |effort: &&Value| effort["kind"] == kind;
        inside(kind, &mut rows(&document["efforts"]).filter(of_kind), true);
    }
    inside("a gap", &mut rows(&document["recording"]["gaps"]), true);
    inside("a sequence", &mut rows(&document["sequences"]), true);
    let plan = &document["plan"];
    inside("unplanned work", &mut rows(&plan["unplanned"]), true);
    for block in rows(&plan["blocks"]) {
        inside("a block", &mut std::iter::once(block), false);
        let mut reps = rows(&block["sets"]).flat_map(|set| rows(&set["reps"]));
        inside("a rep", &mut reps, false);
    }
}

fn rows(value: &Value) -> impl Iterator<Item = &Value> {
    value.as_array().into_iter().flatten()
}

fn count(value: &Value) -> u64 {
    value.as_u64().unwrap_or(u64::MAX / 4)
}
