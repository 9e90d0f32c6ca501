//! Rows as CSV (RFC 4180): a header, CRLF at the end of each line, quotes where they are needed.
//!
//! A text that a spreadsheet would run as a formula is written with an apostrophe before it, by which spreadsheets know text.
//! Numbers stay numbers, negative ones too.

use super::{Cell, Table};

/// How numbers and fields are parted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Locale {
    /// A point before decimals, a comma between fields: for programs.
    #[default]
    Point,
    /// A comma before decimals, a semicolon between fields, and a byte order mark: for spreadsheets of most of Europe.
    Comma,
}

impl Locale {
    fn separator(self) -> char {
        match self {
            Self::Point => ',',
            Self::Comma => ';',
        }
    }
}

/// Writes a table.
#[must_use]
pub fn render(table: &Table, locale: Locale) -> String {
    let mut text = String::new();
    if locale == Locale::Comma {
        text.push('\u{feff}');
    }
    line(
        &mut text,
        table.columns.iter().map(|c| field(&c.name, locale)),
        locale,
    );
    for row in &table.rows {
        line(
            &mut text,
            row.iter().map(|cell| written(cell, locale)),
            locale,
        );
    }
    text
}

fn line(text: &mut String, fields: impl Iterator<Item = String>, locale: Locale) {
    for (i, field) in fields.enumerate() {
        if i > 0 {
            text.push(locale.separator());
        }
        text.push_str(&field);
    }
    text.push_str("\r\n");
}

fn written(cell: &Cell, locale: Locale) -> String {
    match cell {
        Cell::Text(text) => field(&defused(text), locale),
        Cell::Int(number) => number.to_string(),
        Cell::Number(number) => match locale {
            Locale::Point => number.to_string(),
            Locale::Comma => number.to_string().replace('.', ","),
        },
        Cell::Bool(yes) => yes.to_string(),
        Cell::Day(day) => day.to_string(),
        Cell::Time(moment) => moment.to_string(),
        Cell::Missing => String::new(),
    }
}

/// The text as no spreadsheet takes it for a formula.
fn defused(text: &str) -> String {
    // Blanks before the sign do not stop every spreadsheet, and the wide forms of the signs are taken like the narrow ones.
    let runs = text.trim_start_matches([' ', '\u{a0}']).starts_with([
        '=', '+', '-', '@', '\t', '\r', '\n', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}',
    ]);
    if runs {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

/// A field, in quotes where it holds what would end it; an empty text too, since a field without anything is not known.
fn field(text: &str, locale: Locale) -> String {
    let odd = text.contains(['"', '\r', '\n', ',', ';', locale.separator()]);
    let blank = text.is_empty() || text.starts_with(' ') || text.ends_with(' ');
    if odd || blank {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::table::{Of, Table};

    fn table(cells: Vec<Cell>) -> Table {
        let columns = Of::Bands.columns().into_iter().take(cells.len()).collect();
        Table {
            of: Of::Bands,
            columns,
            rows: vec![cells],
        }
    }

    #[test]
    fn texts_that_would_run_are_defused_and_numbers_are_not() {
        for text in [
            "=1+1",
            "+1",
            "-1",
            "@SUM(A1)",
            "\t=1",
            "\r=1",
            " =1",
            "\u{ff1d}1",
        ] {
            let csv = render(&table(vec![Cell::Text(text.to_owned())]), Locale::Point);
            let field = csv
                .lines()
                .nth(1)
                .unwrap_or_default()
                .trim_start_matches('"');
            assert!(field.starts_with('\''), "{text:?} {csv:?}");
        }
        let csv = render(
            &table(vec![Cell::Number(-1.5), Cell::Int(-2)]),
            Locale::Point,
        );
        assert_eq!(csv, "source,entry\r\n-1.5,-2\r\n");
    }

    #[test]
    fn fields_are_quoted_as_the_standard_says() {
        let cells = ["a,b", "say \"yes\"", "two\nlines", ""].map(|t| Cell::Text(t.to_owned()));
        let csv = render(
            &table([cells.as_slice(), &[Cell::Missing]].concat()),
            Locale::Point,
        );
        let body = csv.split_once("\r\n").map(|(_, body)| body);
        assert_eq!(
            body,
            Some("\"a,b\",\"say \"\"yes\"\"\",\"two\nlines\",\"\",\r\n")
        );
    }

    #[test]
    fn a_comma_before_decimals_comes_with_semicolons_and_a_mark() {
        let csv = render(
            &table(vec![Cell::Number(1.25), Cell::Text("a;b".to_owned())]),
            Locale::Comma,
        );
        assert_eq!(csv, "\u{feff}source;entry\r\n1,25;\"a;b\"\r\n");
    }
}
