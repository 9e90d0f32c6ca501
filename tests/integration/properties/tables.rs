//! Rows of anything: the CSV, parsed by another reader, holds the values of the JSON.

use csv_core::{ReadRecordResult, Reader, ReaderBuilder};
use proptest::prelude::*;
use repledger::diary::Entry;
use repledger::plan;
use repledger::report::table::csv::{self, Locale};
use repledger::report::table::{Item, Of, Table, Type, json};
use repledger::session;
use repledger::settings::Settings;
use serde_json::Value;

use crate::support::any::entry::{entry, text};
use crate::support::any::moves::{Written, moves};

/// The records of a CSV file, by a reader that is not ours.
fn records(text: &str, delimiter: char) -> Vec<Vec<String>> {
    let mut reader: Reader = ReaderBuilder::new().delimiter(delimiter as u8).build();
    let (mut input, mut records) = (text.as_bytes(), Vec::new());
    let (mut output, mut ends) = (vec![0; text.len() + 1], vec![0; 4096]);
    loop {
        let (result, read, _, fields) = reader.read_record(input, &mut output, &mut ends);
        input = &input[read..];
        match result {
            ReadRecordResult::Record => {
                let starts = std::iter::once(0).chain(ends.iter().copied());
                let cells = starts.zip(&ends[..fields]).map(|(from, &to)| {
                    String::from_utf8(output[from..to].to_vec()).expect("cut between characters")
                });
                records.push(cells.collect());
            }
            ReadRecordResult::InputEmpty if !input.is_empty() => {}
            ReadRecordResult::InputEmpty | ReadRecordResult::End => {
                if matches!(result, ReadRecordResult::End) {
                    return records;
                }
            }
            other => panic!("{other:?}"),
        }
    }
}

/// What a cell of the CSV says, as the JSON would.
fn value(cell: &str, kind: Type, locale: Locale) -> Value {
    let number = || match locale {
        Locale::Point => cell.to_owned(),
        Locale::Comma => cell.replace(',', "."),
    };
    match kind {
        Type::Int => cell.parse::<i64>().map_or(Value::Null, Value::from),
        Type::Number => number().parse::<f64>().map_or(Value::Null, Value::from),
        Type::Bool => cell.parse::<bool>().map_or(Value::Null, Value::from),
        _ => Value::from(cell),
    }
}

/// Whether the text of a cell is that of the JSON, or that with the apostrophe before a formula.
fn says(cell: &Value, row: &Value) -> bool {
    match (cell, row) {
        (Value::String(cell), Value::String(row)) => {
            cell == row || cell.strip_prefix('\'') == Some(row)
        }
        // An empty cell is not known; so is an empty text, which the reader gives back without its quotes.
        (Value::String(cell), Value::Null) => cell.is_empty(),
        (Value::Number(cell), Value::Number(row)) => cell.as_f64() == row.as_f64(),
        _ => cell == row,
    }
}

fn check(items: &[Item]) -> Result<(), TestCaseError> {
    for of in Of::ALL {
        let table = Table::of(of, items);
        let lines = json::render_lines(&table).expect("JSON");
        let rows: Vec<Value> = lines
            .lines()
            .map(|line| serde_json::from_str(line).expect("JSON"))
            .collect();
        let document: Value =
            serde_json::from_str(&json::render(&table).expect("JSON")).expect("JSON");
        prop_assert_eq!(document["rows"].as_array().expect("rows"), &rows);
        for (locale, delimiter) in [(Locale::Point, ','), (Locale::Comma, ';')] {
            let text = csv::render(&table, locale);
            let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
            let records = records(text, delimiter);
            prop_assert_eq!(records.len(), rows.len() + 1, "{}", text);
            for (record, row) in records[1..].iter().zip(&rows) {
                prop_assert_eq!(record.len(), table.columns.len());
                for (cell, column) in record.iter().zip(&table.columns) {
                    let said = value(cell, column.kind, locale);
                    prop_assert!(
                        says(&said, &row[&column.name]),
                        "{:?} {}: {} is not {}",
                        of,
                        column.name,
                        said,
                        row[&column.name]
                    );
                }
            }
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn rows_of_any_entries(news in prop::collection::vec(entry(), 0..6)) {
        let items: Vec<Item> = news.into_iter().zip(1..).map(|(new, id)| {
            let entry = Entry {
                id,
                athlete: new.athlete,
                date: new.date,
                activity: new.activity,
                title: new.title,
                duration_s: new.duration_s,
                rpe: new.rpe,
                note: new.note,
                recorded: new.recording.as_ref().map(|recording| recording.summary.clone()),
            };
            Item::of_entry(entry, new.recording)
        }).collect();
        check(&items)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, max_shrink_iters: 50, ..ProptestConfig::default() })]

    #[test]
    fn rows_of_any_session(moves in moves(), source in text()) {
        let plan = plan::parse("speed \"a, b; =c\", 3 x 6 s, rest 20 s\n").expect("the plan is written by the test");
        let bytes = moves.bytes(&Written::default());
        let session = session::analyse(&bytes, Some(&plan), &Settings::default()).expect("a sound recording");
        check(&[Item::of_session(&source, &session)])?;
    }
}
