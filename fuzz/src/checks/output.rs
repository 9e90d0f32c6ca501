//! What must hold of anything that is written.

use serde_json::Value;

/// A JSON document: it parses, and each interval in it holds its value. (JSON itself has no NaN and no infinity.)
pub fn json(text: &str) {
    let document: Value = serde_json::from_str(text).expect("the document is JSON");
    intervals(&document);
}

fn intervals(value: &Value) {
    match value {
        Value::Array(all) => all.iter().for_each(intervals),
        Value::Object(fields) => {
            let number = |name| fields.get(name).and_then(Value::as_f64);
            if let (Some(low), Some(high)) = (number("low"), number("high")) {
                let middle = number("value").unwrap_or(low);
                assert!(low <= middle && middle <= high, "{value}");
            }
            fields.values().for_each(intervals);
        }
        _ => {}
    }
}

/// Text for people: no number in it is none, unless the input had such a word for a name.
pub fn text(text: &str, input: &[u8]) {
    for word in ["NaN", "inf"] {
        let words = |text: &str| {
            text.split(|c: char| !c.is_alphanumeric())
                .any(|other| other == word)
        };
        assert!(
            !words(text) || words(&String::from_utf8_lossy(input)),
            "{word} in:\n{text}"
        );
    }
}

/// A message: it says something.
pub fn message(error: &impl ToString) {
    assert!(!error.to_string().trim().is_empty());
}
