//! JSON Schemas (draft 2020-12) of the documents, derived from the types that write them, so that the two cannot drift.
//!
//! A field's doc comment is its description; what it may hold beyond its type is its `schemars` attribute. Every document is closed: each
//! field is always there, and there is no other.

use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema};
use serde_json::{Value, json};

use super::parts::pretty;

/// The schema of a document, with the name and version that the document bears; pretty-printed and ended by a line feed.
pub(super) fn of<T: JsonSchema>(name: &str) -> Result<String, serde_json::Error> {
    let settings = SchemaSettings::draft2020_12()
        .for_serialize()
        .with_transform(RecursiveTransform(ours));
    let mut schema = settings.into_generator().into_root_schema_for::<T>();
    schema.insert(
        "$id".into(),
        json!(format!("urn:{}", name.replace('/', ":"))),
    );
    schema.insert("title".into(), json!(name));
    pretty(&schema)
}

/// What holds for all of our documents and is not said by a type of its own.
fn ours(schema: &mut Schema) {
    if schema.get("properties").is_some() {
        schema.insert("additionalProperties".into(), json!(false));
    }
    // How wide Rust keeps a number says nothing to a reader.
    if (schema.get("format").and_then(Value::as_str)).is_some_and(|f| !f.starts_with("date")) {
        schema.remove("format");
    }
    // A description is one paragraph, wherever the line of the source broke.
    if let Some(Value::String(text)) = schema.get_mut("description") {
        *text = text.replace('\n', " ");
    }
    // Words are listed without the null that a field may hold instead.
    let nullable = (schema.get("type").and_then(Value::as_array))
        .is_some_and(|types| types.contains(&json!("null")));
    if let Some(Value::Array(words)) = schema.get_mut("enum").filter(|_| nullable) {
        words.push(Value::Null);
    }
}
