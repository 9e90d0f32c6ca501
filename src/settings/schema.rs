//! The JSON Schema of a settings file, made of the same list as the file and its manual.

#![expect(
    clippy::indexing_slicing,
    reason = "an object of JSON makes the field that is named, and all are objects here"
)]

use serde_json::{Map, Value, json};

use super::key::Key;
use super::keys;
use super::quantity::Kind;
use super::value;

/// The JSON Schema (draft 2020-12) of a settings file, as a program sees it that has read the TOML.
///
/// # Errors
/// Only where the writer itself fails.
pub fn schema() -> Result<String, serde_json::Error> {
    let mut root = object();
    for key in keys::all() {
        // Dots part tables in TOML.
        let parts: Vec<&str> = key.name.split('.').collect();
        put(&mut root, &parts, one(key));
    }
    root["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
    root["title"] = json!("repledger settings");
    Ok(serde_json::to_string_pretty(&root)? + "\n")
}

/// Puts a schema where its dotted name says, below objects that are made where there are none.
fn put(at: &mut Value, path: &[&str], schema: Value) {
    match path {
        [] => {}
        [last] => at["properties"][last] = schema,
        [first, rest @ ..] => {
            let below = &mut at["properties"][first];
            if below.is_null() {
                *below = object();
            }
            put(below, rest, schema);
        }
    }
}

fn object() -> Value {
    json!({"type": "object", "additionalProperties": false, "properties": Map::new()})
}

fn one(key: &Key) -> Value {
    let mut schema = match key.kind {
        Kind::Choice(words) => {
            let mut words: Vec<&str> = words.to_vec();
            words.extend(key.optional.then_some("none"));
            json!({"enum": words})
        }
        Kind::Count(low, high) if !key.optional => {
            json!({"type": ["integer", "string"], "minimum": low, "maximum": high})
        }
        Kind::Text => json!({"type": "string"}),
        _ => json!({"type": ["number", "string"]}),
    };
    let source = key.source;
    schema["description"] = json!(format!(
        "{} Allowed: {}. Source: {source}.",
        key.about,
        key.expected()
    ));
    schema["default"] = match &key.default {
        value::Value::Number(number) => json!(number),
        other => json!(key.text(other)),
    };
    schema
}
