//! What must hold of any account, in its JSON.

use serde_json::Value;

use super::outcome::Outcome;

/// Checks that the fixes used and those set aside make all fixes of the `recording`.
#[track_caller]
pub fn used_and_set_aside_make_all(recording: &Value) -> Outcome {
    let aside: u64 = recording["set_aside"]
        .as_array()
        .ok_or("no list")?
        .iter()
        .filter_map(|s| s["count"].as_u64())
        .sum();
    let used = recording["used"].as_u64().ok_or("no count")?;
    assert_eq!(
        recording["fixes"].as_u64(),
        Some(used + aside),
        "{recording}"
    );
    Ok(())
}
