//! A spreadsheet of sessions that were not recorded, as a coach keeps it: date, athlete, what, minutes, RPE.
//!
//! [`read`] takes CSV or XLSX and gives the notes of the rows that could be read and the mistakes of those that could not, each with its
//! row. The first row names the columns, in any order and in small or capital letters; columns with other names are left aside. What
//! a row says is never guessed: a word that is no activity, a day that could be two, a number that is none are mistakes.

mod cells;
mod xlsx;

use std::fmt;

use jiff::civil::Date;

use crate::diary::{Activity, NewEntry};
use crate::limits::SHEET_ROWS;

/// What came of a spreadsheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// The rows that could be read, with their numbers as a spreadsheet counts them.
    pub rows: Vec<(usize, NewEntry)>,
    /// Those that could not, each with what is wrong first.
    pub mistakes: Vec<Mistake>,
}

/// What is wrong with a row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mistake {
    /// Its number, as a spreadsheet counts.
    pub row: usize,
    /// What was found and what is expected.
    pub text: String,
}

/// Why a spreadsheet cannot be read at all.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Error {
    /// It holds no row.
    Empty,
    /// A column is not there.
    NoColumn(&'static str),
    /// It is longer than any season.
    TooLong,
    /// The workbook is damaged, or something else.
    Workbook(&'static str),
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str(
                "it holds no row; the first names the columns: date, athlete, what, minutes, RPE",
            ),
            Self::NoColumn(name) => write!(
                f,
                "its first row names no column \"{name}\"; it must have date, what and minutes, and may have athlete, RPE, title and note"
            ),
            Self::TooLong => write!(
                f,
                "it has more than {SHEET_ROWS} rows; cut it into several files"
            ),
            Self::Workbook(why) => write!(
                f,
                "the workbook cannot be read: {why}; save it as CSV and try again"
            ),
        }
    }
}

impl std::error::Error for Error {}

/// A cell: what stands in it, or a day where the workbook says so.
#[derive(Clone, Debug, PartialEq)]
enum Cell {
    Text(String),
    Number(f64),
}

impl Cell {
    fn text(&self) -> String {
        match self {
            Self::Text(text) => text.trim().to_owned(),
            Self::Number(number) => number.to_string(),
        }
    }
}

/// Names of the columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Column {
    Date,
    Athlete,
    What,
    Minutes,
    Rpe,
    Title,
    Note,
}

impl Column {
    fn named(name: &str) -> Option<Self> {
        Some(match name.trim().to_lowercase().as_str() {
            "date" | "day" => Self::Date,
            "athlete" | "player" | "name" => Self::Athlete,
            "what" | "activity" | "session" => Self::What,
            "minutes" | "min" | "duration" => Self::Minutes,
            "rpe" => Self::Rpe,
            "title" | "against" => Self::Title,
            "note" | "notes" => Self::Note,
            _ => return None,
        })
    }
}

/// Reads a spreadsheet: a workbook by its first bytes, else CSV.
///
/// # Errors
/// When it is empty, too long, no workbook although it begins like one, or its first row lacks a column.
pub fn read(bytes: &[u8]) -> Result<Sheet, Error> {
    let rows = if bytes.starts_with(b"PK\x03\x04") {
        xlsx::rows(bytes)?
    } else {
        cells::rows(bytes)?
    };
    let mut rows = rows
        .into_iter()
        .filter(|(_, cells)| cells.iter().any(|cell| !cell.text().is_empty()));
    let (_, head) = rows.next().ok_or(Error::Empty)?;
    let columns: Vec<Option<Column>> = head
        .iter()
        .map(|cell| Column::named(&cell.text()))
        .collect();
    for (column, name) in [
        (Column::Date, "date"),
        (Column::What, "what"),
        (Column::Minutes, "minutes"),
    ] {
        if !columns.contains(&Some(column)) {
            return Err(Error::NoColumn(name));
        }
    }
    let mut sheet = Sheet::default();
    for (row, cells) in rows {
        let of = |wanted| {
            let at = columns.iter().position(|column| *column == Some(wanted))?;
            cells.get(at).filter(|cell| !cell.text().is_empty())
        };
        match entry(of) {
            Ok(entry) => sheet.rows.push((row, entry)),
            Err(text) => sheet.mistakes.push(Mistake { row, text }),
        }
    }
    Ok(sheet)
}

fn entry<'a>(of: impl Fn(Column) -> Option<&'a Cell>) -> Result<NewEntry, String> {
    let text = |column| of(column).map(Cell::text);
    let date = day(of(Column::Date))?;
    let what =
        text(Column::What).ok_or_else(|| format!("it does not say what was done; {}", words()))?;
    let activity = Activity::of_word(&what.to_lowercase())
        .ok_or_else(|| format!("\"{what}\" is no activity; {}", words()))?;
    let minutes = match number(of(Column::Minutes), "minutes")? {
        Some(minutes) if (0.0..=24.0 * 60.0).contains(&minutes) => minutes,
        Some(minutes) => {
            return Err(format!(
                "{minutes} minutes are none of a day; they go from 0 to 1440"
            ));
        }
        None if activity == Activity::Rest => 0.0,
        None => return Err("it does not say how many minutes".to_owned()),
    };
    let rpe = number(of(Column::Rpe), "RPE")?;
    if let Some(rpe) = rpe.filter(|rpe| !(0.0..=10.0).contains(rpe)) {
        return Err(format!("an RPE of {rpe} is none; it goes from 0 to 10"));
    }
    let mut entry = NewEntry::note(
        &text(Column::Athlete).unwrap_or_default(),
        date,
        activity,
        minutes * 60.0,
    );
    entry.rpe = rpe;
    entry.title = text(Column::Title);
    entry.note = text(Column::Note);
    Ok(entry)
}

fn words() -> String {
    let words: Vec<&str> = Activity::ALL
        .iter()
        .map(|activity| activity.word())
        .collect();
    format!("use one of {}", words.join(", "))
}

/// A day as 2026-05-12, or as a workbook counts days.
fn day(cell: Option<&Cell>) -> Result<Date, String> {
    match cell {
        None => Err("it has no date".to_owned()),
        Some(Cell::Number(serial)) => {
            // Days since 30 December 1899, which is right from March 1900 on (ECMA-376 part 1, 18.17.4.1).
            let days = jiff::Span::new().try_days(serial.floor() as i64);
            let found = days.and_then(|days| Date::constant(1899, 12, 30).checked_add(days));
            (found.ok())
                .filter(|_| (61.0..100_000.0).contains(serial))
                .ok_or_else(|| format!("{serial} is no day"))
        }
        Some(cell) => {
            let text = cell.text();
            let first = text.split(['T', ' ']).next().unwrap_or_default();
            first
                .parse()
                .map_err(|_| format!("\"{text}\" is no day; write it as 2026-05-12, so that day and month cannot be confused"))
        }
    }
}

fn number(cell: Option<&Cell>, what: &str) -> Result<Option<f64>, String> {
    match cell {
        None => Ok(None),
        Some(Cell::Number(number)) => Ok(Some(*number)),
        Some(cell) => {
            let text = cell.text();
            let number: Option<f64> = text.replace(',', ".").parse().ok();
            number
                .filter(|number| number.is_finite())
                .map(Some)
                .ok_or_else(|| format!("\"{text}\" are no {what}: it is no number"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn rows_become_notes_and_mistakes_name_their_row() {
        let text = "Date;Player;What;Minutes;RPE;Ground\n2026-03-02;Mika;team;75;5,5;A\n\n03/04/2026;Mika;team;75;5;A\n\
                    2026-03-05;Mika;swim;75;5;A\n2026-03-06;\"Ann; \"\"the wall\"\"\";rest;;;\n2026-03-07;Mika;gym;;5;\n\
                    2026-03-08;Mika;gym;40;11;\n2026-03-09;Mika;gym;lots;1;\n";
        let sheet = read(text.as_bytes()).unwrap_or_default();
        let found: Vec<_> = sheet
            .rows
            .iter()
            .map(|(row, e)| (*row, e.athlete.as_str(), e.date, e.rpe))
            .collect();
        assert_eq!(
            found,
            [
                (2, "Mika", date(2026, 3, 2), Some(5.5)),
                (6, "Ann; \"the wall\"", date(2026, 3, 6), None)
            ]
        );
        let wrong: Vec<usize> = sheet.mistakes.iter().map(|m| m.row).collect();
        assert_eq!(wrong, [4, 5, 7, 8, 9]);
        assert!(
            sheet.mistakes[0].text.contains("2026-05-12")
                && sheet.mistakes[1].text.contains("team, match")
        );
    }

    #[test]
    fn a_file_that_names_no_columns_is_an_error_with_the_way_out() {
        assert_eq!(read(b""), Err(Error::Empty));
        assert_eq!(
            read(b"date,what\n2026-03-02,team\n"),
            Err(Error::NoColumn("minutes"))
        );
        assert!(matches!(
            read(b"PK\x03\x04nonsense"),
            Err(Error::Workbook(_))
        ));
    }

    #[test]
    fn days_of_a_workbook_are_those_of_the_calendar() {
        // 2026-03-02 is day 46083 (the day count of 1900).
        assert_eq!(day(Some(&Cell::Number(46_083.0))), Ok(date(2026, 3, 2)));
        assert!(day(Some(&Cell::Number(5.0))).is_err());
    }
}
