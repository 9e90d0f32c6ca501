//! Rows as JSON: `repledger/table/1`, one document with its columns; or NDJSON, one object a line and nothing else.

use serde::{Serialize, Serializer};
use serde_json::{Map, Value, json};

use super::super::parts::pretty;
use super::{Cell, Column, Of, Table, Type};

/// The name and version of the shape.
pub const NAME: &str = "repledger/table/1";

/// Writes the document: the columns with their meaning, and the rows as objects.
///
/// # Errors
/// Only where the writer itself fails.
pub fn render(table: &Table) -> Result<String, serde_json::Error> {
    let columns: Vec<Value> = table.columns.iter().map(column).collect();
    let head = json!(table.of.word());
    let mut text = format!("{{\n\"schema\": \"{NAME}\",\n\"table\": {head},\n\"columns\": [\n");
    lines(&mut text, &columns)?;
    text.push_str("],\n\"rows\": [\n");
    let rows: Vec<Object<'_>> = table.rows.iter().map(|row| Object(table, row)).collect();
    lines(&mut text, &rows)?;
    text.push_str("]\n}\n");
    Ok(text)
}

/// Writes an object a row, each on its line.
///
/// # Errors
/// Only where the writer itself fails.
pub fn render_lines(table: &Table) -> Result<String, serde_json::Error> {
    let mut text = String::new();
    for row in &table.rows {
        text += &serde_json::to_string(&Object(table, row))?;
        text.push('\n');
    }
    Ok(text)
}

/// The JSON Schema (draft 2020-12) of the document, with the rows of each table.
///
/// # Errors
/// Only where the writer itself fails.
pub fn schema() -> Result<String, serde_json::Error> {
    let tables: Vec<Value> = Of::ALL.into_iter().map(table_schema).collect();
    let document = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": NAME,
        "description": "Rows of one kind with their columns. A line of NDJSON is one of the rows. null is 'not known', never 0.",
        "oneOf": tables,
    });
    pretty(&document)
}

/// Values with a comma between, a line each, so that people can look at the file too.
fn lines(text: &mut String, values: &[impl Serialize]) -> Result<(), serde_json::Error> {
    for (i, value) in values.iter().enumerate() {
        *text += &serde_json::to_string(value)?;
        *text += if i + 1 < values.len() { ",\n" } else { "\n" };
    }
    Ok(())
}

fn column(column: &Column) -> Value {
    json!({
        "name": column.name,
        "type": word(column.kind),
        "unit": column.unit,
        "meaning": column.meaning,
    })
}

/// A row as an object, its fields in the order of the columns.
struct Object<'a>(&'a Table, &'a [Cell]);

impl Serialize for Object<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let names = self.0.columns.iter().map(|c| &c.name);
        serializer.collect_map(names.zip(self.1.iter().map(value)))
    }
}

fn value(cell: &Cell) -> Value {
    match cell {
        Cell::Text(text) => json!(text),
        Cell::Int(number) => json!(number),
        Cell::Number(number) => json!(number),
        Cell::Bool(yes) => json!(yes),
        Cell::Day(day) => json!(day.to_string()),
        Cell::Time(moment) => json!(moment.to_string()),
        Cell::Missing => Value::Null,
    }
}

/// The word for a type of cell.
pub(super) fn word(kind: Type) -> &'static str {
    match kind {
        Type::Text => "text",
        Type::Int => "count",
        Type::Number => "number",
        Type::Bool => "yes or no",
        Type::Day => "day",
        Type::Time => "time",
    }
}

fn table_schema(of: Of) -> Value {
    let columns = of.columns();
    let names: Vec<&str> = columns.iter().map(|c| c.name.as_str()).collect();
    let cells: Map<String, Value> = columns
        .iter()
        .map(|c| (c.name.clone(), cell_schema(c)))
        .collect();
    json!({
        "type": "object",
        "additionalProperties": false,
        "required": ["schema", "table", "columns", "rows"],
        "properties": {
            "schema": {"const": NAME},
            "table": {"const": of.word()},
            "columns": {
                "description": "In the order of the other formats.",
                "type": "array",
                "items": {
                    "type": "object",
                    "additionalProperties": false,
                    "required": ["name", "type", "unit", "meaning"],
                    "properties": {
                        "name": {"enum": names},
                        "type": {"enum": ["text", "count", "number", "yes or no", "day", "time"]},
                        "unit": {"type": ["string", "null"]},
                        "meaning": {"type": "string"},
                    },
                },
            },
            "rows": {
                "type": "array",
                "items": {
                    "type": "object",
                    "additionalProperties": false,
                    "required": names,
                    "properties": cells,
                },
            },
        },
    })
}

fn cell_schema(column: &Column) -> Value {
    let kind = match column.kind {
        Type::Text | Type::Day | Type::Time => "string",
        Type::Int => "integer",
        Type::Number => "number",
        Type::Bool => "boolean",
    };
    let mut schema = json!({"type": [kind, "null"], "description": column.meaning});
    match column.kind {
        Type::Day => schema["pattern"] = json!(r"^-?[0-9]{4,6}-[0-9]{2}-[0-9]{2}$"),
        // Without the Z where the recording has no zone.
        Type::Time => schema["pattern"] = json!(r"^-?[0-9]{4,6}-[0-9]{2}-[0-9]{2}T[0-9:.]{8,}Z?$"),
        _ => {}
    }
    schema
}
