//! Two reviews held against each other, number by number.

use serde_json::Value;

/// How far two numbers of two reviews may lie apart.
#[derive(Clone, Copy, Debug)]
pub struct Within {
    /// Plainly, in the unit of each.
    pub plain: f64,
    /// As a share of the larger.
    pub share: f64,
}

/// Probabilities are shares of some 160 accounts drawn by chance: one choice that tips by rounding draws all later ones anew.
const DRAWN: f64 = 0.06;
/// From these probabilities on something is said.
const SAID_FROM: [f64; 2] = [0.6, 0.9];

/// Where two documents differ by more than that, or in shape or words.
///
/// What is told of the file itself (its format, lines and clock, what was set aside, the notes) is left out.
pub fn differences(a: &Value, b: &Value, within: Within) -> Vec<String> {
    let mut differences = Vec::new();
    // What hangs on a draw may be said or left open.
    let parts = if settled(a) && settled(b) {
        &["totals", "efforts", "sequences", "profile", "plan"][..]
    } else {
        &["totals", "efforts", "sequences", "profile"]
    };
    for part in parts {
        hold(&a[*part], &b[*part], part, within, &mut differences);
    }
    for field in ["rate_hz", "speed_from", "gaps", "irregular"] {
        hold(
            &a["recording"][field],
            &b["recording"][field],
            field,
            within,
            &mut differences,
        );
    }
    hold(
        &a["session"]["duration_s"],
        &b["session"]["duration_s"],
        "duration_s",
        within,
        &mut differences,
    );
    differences
}

/// Whether nothing that is said of the plan hangs on a draw.
fn settled(document: &Value) -> bool {
    let list = |value: &Value, name| value[name].as_array().cloned().unwrap_or_default();
    (list(&document["plan"], "blocks").iter())
        .flat_map(|block| list(block, "sets"))
        .flat_map(|set| list(&set, "reps"))
        .all(|rep| {
            rep["probability"]
                .as_f64()
                .is_some_and(|said| SAID_FROM.iter().all(|from| (said - from).abs() > DRAWN))
        })
}

fn hold(a: &Value, b: &Value, place: &str, within: Within, differences: &mut Vec<String>) {
    match (a, b) {
        (Value::Number(_), Value::Number(_)) => {
            let (x, y) = (
                a.as_f64().unwrap_or(f64::NAN),
                b.as_f64().unwrap_or(f64::NAN),
            );
            let plain = if place.ends_with(".probability") {
                within.plain.max(DRAWN)
            } else {
                within.plain
            };
            let most = plain.max(within.share * x.abs().max(y.abs()));
            let apart = (x - y).abs();
            if apart.is_nan() || apart > most {
                differences.push(format!("{place}: {x} and {y}"));
            }
        }
        (Value::Array(x), Value::Array(y)) if x.len() == y.len() => {
            for (k, (x, y)) in x.iter().zip(y).enumerate() {
                hold(x, y, &format!("{place}[{k}]"), within, differences);
            }
        }
        (Value::Object(x), Value::Object(y)) if x.len() == y.len() => {
            for (name, x) in x {
                hold(x, &y[name], &format!("{place}.{name}"), within, differences);
            }
        }
        _ if a == b => {}
        _ => differences.push(format!("{place}: {} and {}", short(a), short(b))),
    }
}

fn short(value: &Value) -> String {
    value.to_string().chars().take(120).collect()
}
