//! Rows of sessions: every format holds the same, and nothing in them runs.

use repledger::report::table::{Cell, Item, Of, Table, csv, json};
use repledger::session;
use repledger::settings::Settings;
use serde_json::Value;

use crate::support::made;
use crate::support::outcome::Outcome;
use crate::support::schema;

const PLAN: &str = "resistance \"runs, long\", 20 x 6 s, rest 24 s\n";

fn item() -> Outcome<Item> {
    let plan = repledger::plan::parse(PLAN).map_err(|mistakes| format!("{mistakes:?}"))?;
    let bytes = made::csv(6000, 10.0);
    let session = session::analyse(bytes.as_bytes(), Some(&plan), &Settings::default())?;
    Ok(Item::of_session("a.csv", &session))
}

#[test]
fn every_cell_is_of_the_type_of_its_column() -> Outcome {
    use repledger::report::table::Type;
    let items = [item()?];
    for of in Of::ALL {
        let table = Table::of(of, &items);
        for row in &table.rows {
            assert_eq!(row.len(), table.columns.len());
            for (cell, column) in row.iter().zip(&table.columns) {
                let fits = match cell {
                    Cell::Text(_) => column.kind == Type::Text,
                    Cell::Int(_) => column.kind == Type::Int,
                    Cell::Number(n) => column.kind == Type::Number && n.is_finite(),
                    Cell::Bool(_) => column.kind == Type::Bool,
                    Cell::Day(_) => column.kind == Type::Day,
                    Cell::Time(_) => column.kind == Type::Time,
                    Cell::Missing => true,
                };
                assert!(fits, "{of:?} {} {cell:?}", column.name);
            }
        }
    }
    assert_eq!(Table::of(Of::Sessions, &items).rows.len(), 1);
    assert_eq!(Table::of(Of::Reps, &items).rows.len(), 20);
    Ok(())
}

#[test]
fn the_document_is_as_its_schema_says() -> Outcome {
    let schema: Value = serde_json::from_str(&json::schema()?)?;
    let validator = schema::validator_for(&schema)?;
    let items = [item()?];
    for of in Of::ALL {
        let mut document: Value = serde_json::from_str(&json::render(&Table::of(of, &items))?)?;
        let errors: Vec<_> = validator.faults(&document);
        assert!(errors.is_empty(), "{of:?}: {errors:?}");
        // A schema that lets everything pass would prove nothing.
        let rows = document["rows"].as_array_mut().ok_or("no rows")?;
        rows.push(serde_json::json!({"odd": null}));
        assert!(!validator.is_valid(&document), "{of:?}");
    }
    Ok(())
}

#[test]
fn csv_and_json_hold_the_same() -> Outcome {
    let table = Table::of(Of::Efforts, &[item()?]);
    let csv = csv::render(&table, csv::Locale::Point);
    let names: Vec<&str> = csv.lines().next().unwrap_or_default().split(',').collect();
    let lines = json::render_lines(&table)?;
    assert!(!table.rows.is_empty());
    assert_eq!(csv.lines().count(), table.rows.len() + 1);
    for (fields, object) in csv.lines().skip(1).zip(lines.lines()) {
        let object: Value = serde_json::from_str(object)?;
        for (name, field) in names.iter().zip(fields.split(',')) {
            let value = &object[name];
            let same = match value {
                Value::Null => field.is_empty(),
                Value::String(text) => text == field,
                Value::Number(number) => field.parse() == Ok(number.as_f64().unwrap_or(f64::NAN)),
                Value::Bool(yes) => field.parse() == Ok(*yes),
                _ => false,
            };
            assert!(same, "{name}: {field:?} and {value}");
        }
    }
    Ok(())
}
