//! Holds a document against a JSON Schema of ours.
//!
//! Only what our schemas say is understood (draft 2020-12), and a keyword beyond that is a fault of the schema: a validator of
//! all of JSON Schema takes longer to build than the rest of the tests' crates. `tests/external/schemas.py` has another
//! program's opinion on the same documents and schemas.

use regex_lite::Regex;
use serde_json::{Map, Value};

/// A schema of which every keyword is understood.
pub struct Validator<'a>(&'a Value);

/// What is said beside the value, and needs no look at a document.
const WORDS: [&str; 6] = ["$schema", "$id", "$defs", "title", "description", "default"];

/// A validator; an error where the schema says what is not understood here.
pub fn validator_for(schema: &Value) -> Result<Validator<'_>, String> {
    understood(schema, schema)?;
    Ok(Validator(schema))
}

/// Whether a document is as a schema says.
pub fn is_valid(schema: &Value, document: &Value) -> bool {
    validator_for(schema).is_ok_and(|validator| validator.is_valid(document))
}

impl Validator<'_> {
    pub fn is_valid(&self, document: &Value) -> bool {
        self.faults(document).is_empty()
    }

    /// What is wrong, each with its place.
    pub fn faults(&self, document: &Value) -> Vec<String> {
        let mut faults = Vec::new();
        check(self.0, self.0, document, "", &mut faults);
        faults
    }
}

/// The schemas that a schema is made of.
fn parts(schema: &Map<String, Value>) -> impl Iterator<Item = &Value> {
    let inside = |key: &str| schema.get(key).into_iter();
    let named = |key| {
        inside(key)
            .filter_map(Value::as_object)
            .flat_map(Map::values)
    };
    let listed = |key| inside(key).filter_map(Value::as_array).flatten();
    named("$defs")
        .chain(named("properties"))
        .chain(listed("anyOf"))
        .chain(listed("oneOf"))
        .chain(inside("items"))
        .chain(inside("additionalProperties"))
}

fn understood(root: &Value, schema: &Value) -> Result<(), String> {
    let schema = match schema {
        Value::Bool(_) => return Ok(()),
        Value::Object(schema) => schema,
        other => return Err(format!("{other} is no schema")),
    };
    for (key, value) in schema {
        let fits = match key.as_str() {
            "type" => [value]
                .into_iter()
                .chain(value.as_array().into_iter().flatten())
                .any(Value::is_string),
            "properties" | "$defs" => value.is_object(),
            "anyOf" | "oneOf" | "enum" | "required" => value.is_array(),
            "minimum" | "maximum" | "exclusiveMinimum" | "minItems" => value.is_number(),
            "items" | "additionalProperties" => value.is_object() || value.is_boolean(),
            "$ref" => target(root, value).is_some(),
            "const" => true,
            "pattern" => value.as_str().is_some_and(|p| Regex::new(p).is_ok()),
            "format" => matches!(value.as_str(), Some("date" | "date-time")),
            word => WORDS.contains(&word),
        };
        if !fits {
            return Err(format!("\"{key}\": {value} is not understood"));
        }
    }
    parts(schema).try_for_each(|part| understood(root, part))
}

/// What a reference means; all of ours point into the same document.
fn target<'a>(root: &'a Value, reference: &Value) -> Option<&'a Value> {
    root.pointer(reference.as_str()?.strip_prefix('#')?)
}

fn check(root: &Value, schema: &Value, value: &Value, place: &str, faults: &mut Vec<String>) {
    let mut wrong = |what: String| faults.push(format!("{place}: {what}"));
    let schema = match schema {
        Value::Object(schema) => schema,
        Value::Bool(true) => return,
        _ => return wrong("nothing may stand here".to_owned()),
    };
    for (key, said) in schema {
        let holds = match key.as_str() {
            "type" => match said {
                Value::Array(several) => several.iter().any(|one| is_a(one, value)),
                one => is_a(one, value),
            },
            "enum" => said.as_array().is_some_and(|all| all.contains(value)),
            "const" => said == value,
            // They bound numbers and arrays, and say nothing of anything else.
            "minimum" => number(value).is_none_or(|v| number(said).is_some_and(|s| v >= s)),
            "maximum" => number(value).is_none_or(|v| number(said).is_some_and(|s| v <= s)),
            "exclusiveMinimum" => number(value).is_none_or(|v| number(said).is_some_and(|s| v > s)),
            "minItems" => value
                .as_array()
                .is_none_or(|items| said.as_u64().is_some_and(|n| items.len() as u64 >= n)),
            "required" => value.as_object().is_none_or(|object| {
                let mut names = said.as_array().into_iter().flatten();
                names.all(|name| name.as_str().is_some_and(|name| object.contains_key(name)))
            }),
            "anyOf" => fitting(root, said, value) > 0,
            "oneOf" => fitting(root, said, value) == 1,
            "pattern" => value.as_str().is_none_or(|text| {
                let pattern = said.as_str().map(Regex::new);
                pattern.is_some_and(|p| p.is_ok_and(|p| p.is_match(text)))
            }),
            "format" => value.as_str().is_none_or(|text| match said.as_str() {
                Some("date") => text.parse::<jiff::civil::Date>().is_ok(),
                _ => text.parse::<jiff::Timestamp>().is_ok(),
            }),
            _ => true,
        };
        if !holds {
            wrong(format!("{value} is not as \"{key}\": {said} asks"));
        }
    }
    if let Some(referred) = schema.get("$ref").and_then(|to| target(root, to)) {
        check(root, referred, value, place, faults);
    }
    match value {
        Value::Object(object) => {
            let known = schema.get("properties").and_then(Value::as_object);
            for (name, value) in object {
                let own = known.and_then(|known| known.get(name));
                if let Some(own) = own.or_else(|| schema.get("additionalProperties")) {
                    check(root, own, value, &format!("{place}/{name}"), faults);
                }
            }
        }
        Value::Array(items) => {
            for (n, item) in items.iter().enumerate() {
                if let Some(each) = schema.get("items") {
                    check(root, each, item, &format!("{place}/{n}"), faults);
                }
            }
        }
        _ => {}
    }
}

/// How many of several schemas a value is as said by.
fn fitting(root: &Value, schemas: &Value, value: &Value) -> usize {
    let fits = |schema: &&Value| {
        let mut faults = Vec::new();
        check(root, schema, value, "", &mut faults);
        faults.is_empty()
    };
    schemas
        .as_array()
        .into_iter()
        .flatten()
        .filter(fits)
        .count()
}

fn number(value: &Value) -> Option<f64> {
    value.as_f64()
}

fn is_a(kind: &Value, value: &Value) -> bool {
    match kind.as_str() {
        Some("null") => value.is_null(),
        Some("boolean") => value.is_boolean(),
        Some("string") => value.is_string(),
        Some("array") => value.is_array(),
        Some("object") => value.is_object(),
        Some("number") => value.is_number(),
        Some("integer") => number(value).is_some_and(|v| v.fract() == 0.0),
        _ => false,
    }
}

#[test]
fn each_keyword_can_be_broken() {
    use serde_json::json;
    let schema = json!({
        "$defs": {"name": {"type": "string"}},
        "type": "object", "required": ["n"], "additionalProperties": false,
        "properties": {
            "n": {"type": "integer", "minimum": 1, "maximum": 3},
            "x": {"type": ["number", "null"], "exclusiveMinimum": 0},
            "name": {"$ref": "#/$defs/name"},
            "list": {"type": "array", "minItems": 1, "items": {"enum": ["a", "b"]}},
            "day": {"type": "string", "format": "date"},
            "at": {"type": "string", "format": "date-time"},
            "code": {"pattern": "^[0-9]{2}$"},
            "one": {"const": 1},
            "any": {"anyOf": [{"type": "null"}, {"type": "boolean"}]},
            "either": {"oneOf": [{"type": "number"}, {"type": "integer"}]}
        }
    });
    let validator = validator_for(&schema).expect("all of it is understood");
    let good = json!({"n": 2.0, "x": null, "name": "a", "list": ["b"], "day": "2026-05-12",
        "at": "2026-05-12T17:30:00Z", "code": "12", "one": 1, "any": true, "either": 1.5});
    assert_eq!(validator.faults(&good), Vec::<String>::new());
    for (name, bad) in [
        ("n", json!(0)),
        ("n", json!(4)),
        ("n", json!(1.5)),
        ("n", json!("1")),
        ("x", json!(0)),
        ("x", json!(true)),
        ("name", json!(1)),
        ("list", json!([])),
        ("list", json!(["a", "c"])),
        ("day", json!("12.5.2026")),
        ("at", json!("2026-05-12")),
        ("code", json!("123")),
        ("one", json!(2)),
        ("any", json!("yes")),
        ("either", json!(1)),
        ("odd", json!(null)),
    ] {
        let mut document = good.clone();
        document[name] = bad;
        assert_eq!(validator.faults(&document).len(), 1, "{name}: {document}");
    }
    assert!(!validator.is_valid(&json!({"x": 1})), "n is missing");
    assert!(!validator.is_valid(&json!([])));
    for odd in [
        json!({"minLength": 1}),
        json!({"pattern": "["}),
        json!({"items": 3}),
        json!({"$ref": "#/nowhere"}),
    ] {
        assert!(validator_for(&odd).is_err(), "{odd}");
    }
}
