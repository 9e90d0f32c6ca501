//! `repledger schema`: each schema says of the documents what it said when it was written by hand, and refuses what is none.

use std::fmt::Write as _;

use serde_json::{Value, json};

use super::season;
use crate::support::cli::Bench;
use crate::support::outcome::Outcome;
use crate::support::schema::{self, Validator};
use crate::support::season as made;

const FIXTURES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures");
/// The day that the made season is looked at from.
const SEEN: &str = "--diary made.db --today 2026-05-21 --json";

/// Documents whose schemas are derived from the types that write them.
const DERIVED: [&str; 11] = [
    "review",
    "plan",
    "simulation",
    "comparison",
    "grid",
    "drills",
    "week",
    "weeks",
    "best",
    "diary",
    "entry",
];

/// Fields that hold one of a few words.
const WORDED: [&str; 17] = [
    "verdict",
    "rest_verdict",
    "rest_after_verdict",
    "kind",
    "category",
    "fits",
    "speed_from",
    "format",
    "reached",
    "activity",
    "state",
    "outcome",
    "judged",
    "judged_by",
    "known",
    "rest",
    "schema",
];

/// Commands that write a document of each kind: recordings of few and of many fixes, with and without a plan, diaries.
fn documents() -> Outcome<Vec<(&'static str, Value)>> {
    let bench = season::bench()?;
    made::keep(&made::season(), &bench.path("made.db"))?;
    let [gpx, csv, plan] = [
        "traces/demo_1hz.gpx",
        "traces/demo_10hz.csv",
        "plans/demo.plan",
    ]
    .map(|name| format!("{FIXTURES}/{name}"));
    let mut lines = vec![
        ("review", format!("review {gpx} --plan {plan} --json")),
        ("review", format!("review {csv} --plan {plan} --json")),
        (
            "review",
            format!(
                "review {csv} --json --set athlete.top_speed=8.8 --set athlete.mass=70 --set athlete.height=1.8 --set model.metabolic=always"
            ),
        ),
        ("plan", format!("plan {plan} --json")),
        (
            "simulation",
            format!("simulate {plan} --receiver watch1v --sessions 1 --json --trace try.gpx"),
        ),
        (
            "comparison",
            format!("compare {gpx} {csv} --plan {plan} --json"),
        ),
        ("diary", "diary list --diary d.db --json".to_owned()),
        ("diary", "diary list --diary made.db --json".to_owned()),
        ("entry", "diary show 1 --diary d.db --json".to_owned()),
        ("entry", "diary show 1 --diary made.db --json".to_owned()),
        ("week", format!("week --athlete Ana {SEEN}")),
        ("week", format!("week --all {SEEN}")),
        ("weeks", format!("weeks --all {SEEN}")),
        ("best", format!("best --all {SEEN}")),
    ];
    for of in ["top-speed", "reps-done", "minutes"] {
        lines.push(("grid", format!("weeks --all --of {of} {SEEN}")));
    }
    let mut runs = Vec::new();
    for (of, line) in lines {
        runs.push((of, bench.run(&line)?));
    }
    for drill in ["channel runs", "edge of the area to halfway"] {
        let words = ["drill", drill, "--all", "--diary", "d.db", "--json"];
        runs.push(("drills", bench.run_words(&words)?));
    }
    let written = runs.into_iter().map(|(of, ran)| {
        assert_eq!(ran.status, Some(0), "{of}: {}", ran.err);
        Ok((of, serde_json::from_str(&ran.out)?))
    });
    written.collect()
}

fn schema_of(what: &str) -> Outcome<Value> {
    let ran = Bench::new()?.run(&format!("schema {what}"))?;
    ran.done(&["https://json-schema.org/draft/2020-12/schema"]);
    Ok(serde_json::from_str(&ran.out)?)
}

#[test]
fn every_document_is_as_its_schema_says_and_nothing_else_is() -> Outcome {
    let mut seen = Vec::new();
    for (what, document) in documents()? {
        let schema = schema_of(what)?;
        let validator = schema::validator_for(&schema)?;
        assert_eq!(validator.faults(&document), Vec::<String>::new(), "{what}");
        assert_eq!(
            document["schema"], schema["title"],
            "the document names its schema"
        );
        let short = shortened(&document);
        let let_pass = changes(&short, &validator);
        assert_eq!(let_pass, Vec::<String>::new(), "{what} lets these pass");
        seen.push(what);
    }
    assert!(DERIVED.iter().all(|what| seen.contains(what)), "{seen:?}");
    Ok(())
}

/// A document with at most three items in a list: the others are like them, and a change is tried of each.
fn shortened(value: &Value) -> Value {
    match value {
        Value::Array(items) => items.iter().take(3).map(shortened).collect(),
        Value::Object(object) => object
            .iter()
            .map(|(name, value)| (name.clone(), shortened(value)))
            .collect(),
        other => other.clone(),
    }
}

/// Changes of a document that a schema should refuse and does not: of each object a field that is missing, and one too
/// many; of each value one of a wrong type; of each word one that is none of its field's.
fn changes(document: &Value, validator: &Validator<'_>) -> Vec<String> {
    let mut places = Vec::new();
    everywhere(document, "", &mut places);
    let mut pass = Vec::new();
    for place in places {
        let mut changed = document.clone();
        let Some(value) = changed.pointer_mut(&place) else {
            continue;
        };
        let original = value.clone();
        let mut tried = Vec::new();
        if let Value::Object(object) = &original {
            for name in object.keys() {
                let mut less = object.clone();
                less.remove(name);
                tried.push(Value::Object(less));
            }
            let mut more = object.clone();
            more.insert("unheard_of".to_owned(), Value::Null);
            tried.push(Value::Object(more));
        } else {
            tried.push(json!({"odd": 1}));
        }
        match &original {
            Value::String(_) | Value::Object(_) | Value::Array(_) => tried.push(json!(-7.5)),
            Value::Number(_) => tried.push(json!("7")),
            Value::Bool(_) => tried.push(json!("true")),
            Value::Null => tried.push(json!([{"odd": 1}])),
        }
        let name = place.rsplit('/').next().unwrap_or_default();
        if original.is_string() && WORDED.contains(&name) {
            tried.push(json!("unheard of"));
        }
        for wrong in tried {
            if let Some(value) = changed.pointer_mut(&place) {
                *value = wrong.clone();
            }
            if validator.is_valid(&changed) {
                pass.push(format!("{place}: {wrong}"));
            }
        }
    }
    pass
}

fn everywhere(value: &Value, place: &str, places: &mut Vec<String>) {
    places.push(place.to_owned());
    match value {
        Value::Object(object) => {
            for (name, value) in object {
                everywhere(value, &format!("{place}/{name}"), places);
            }
        }
        Value::Array(items) => {
            for (n, value) in items.iter().enumerate() {
                everywhere(value, &format!("{place}/{n}"), places);
            }
        }
        _ => {}
    }
}

/// What every field may hold, a line a field: a change of a type that changes what others read is a line here.
///
/// The lines were the same when the schemas were written by hand, but for the bound 0 of what cannot be negative.
#[test]
fn what_every_field_may_hold() -> Outcome {
    let mut text = String::new();
    for what in DERIVED {
        let schema = schema_of(what)?;
        held(&schema, &schema, what, &mut text);
    }
    insta::assert_snapshot!("schema-fields", text);
    Ok(())
}

/// Writes a line on what a schema lets be, and one on each part of it.
fn held(root: &Value, schema: &Value, place: &str, text: &mut String) {
    let mut all = vec![schema];
    let mut next = 0;
    // What a field may hold is said beside it, in what it refers to, and in what it may be either of.
    while let Some(one) = all.get(next).copied() {
        let referred = one.get("$ref").and_then(Value::as_str);
        all.extend(referred.and_then(|to| root.pointer(to.strip_prefix('#')?)));
        all.extend(
            one.get("anyOf")
                .and_then(Value::as_array)
                .into_iter()
                .flatten(),
        );
        next += 1;
    }
    let mut types: Vec<&str> = Vec::new();
    let mut bounds = String::new();
    for one in &all {
        let listed = one["type"].as_array().cloned();
        for kind in listed
            .iter()
            .flatten()
            .chain([&one["type"]])
            .filter_map(Value::as_str)
        {
            types.extend(
                [
                    "array", "boolean", "integer", "null", "number", "object", "string",
                ]
                .iter()
                .filter(|known| **known == kind),
            );
        }
        for bound in [
            "const",
            "enum",
            "minimum",
            "exclusiveMinimum",
            "maximum",
            "minItems",
            "format",
            "pattern",
        ] {
            if let Some(value) = one.get(bound) {
                // Writing to a text does not fail.
                let _ = write!(bounds, ", {bound} {value}");
            }
        }
    }
    let _ = writeln!(text, "{place}: {}{bounds}", types.join(" or "));
    for one in all {
        for (name, field) in one
            .get("properties")
            .and_then(Value::as_object)
            .into_iter()
            .flatten()
        {
            held(root, field, &format!("{place}/{name}"), text);
        }
        if let Some(items) = one.get("items") {
            held(root, items, &format!("{place}[]"), text);
        }
    }
}
