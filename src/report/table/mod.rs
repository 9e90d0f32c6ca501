//! Rows for spreadsheets and analysts: one row a thing, the same columns in every format.
//!
//! What is known of a session is an [`Item`], made of a reviewed recording or of an entry of the diary. [`Table::of`] lists the
//! things of one kind that the items hold; its columns are defined once, in the file of that kind, with name, unit, meaning, type
//! and decimals. The writers ([`csv`], [`json`], [`xlsx`]) add nothing to them. Numbers are rounded when a cell is made, so that all
//! formats hold the same values; what is not known is an empty cell or `null`, never 0.

mod bands;
mod block;
mod cell;
mod column;
mod efforts;
mod item;
mod reps;
mod rests;
mod sessions;
mod weeks;

pub mod csv;
pub mod json;
pub mod xlsx;

pub use cell::{Cell, Moment};
pub use column::{Column, Type};
pub use item::Item;

pub(super) use column::{Columns, FINE};

/// What a row is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Of {
    /// A session, recorded or noted.
    Sessions,
    /// A sprint, high-speed run, acceleration, deceleration or turn.
    Efforts,
    /// A rep of a plan.
    Reps,
    /// A rest that was planned or seen.
    Rests,
    /// A speed band of a session.
    Bands,
    /// A week of an athlete.
    Weeks,
}

impl Of {
    /// All of them, in the order of their sheets.
    pub const ALL: [Self; 6] = [
        Self::Sessions,
        Self::Efforts,
        Self::Reps,
        Self::Rests,
        Self::Bands,
        Self::Weeks,
    ];

    /// Its word, as it is typed and written.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Sessions => "sessions",
            Self::Efforts => "efforts",
            Self::Reps => "reps",
            Self::Rests => "rests",
            Self::Bands => "bands",
            Self::Weeks => "weeks",
        }
    }

    /// The columns of its table.
    #[must_use]
    fn columns(self) -> Vec<Column> {
        match self {
            Self::Sessions => sessions::columns().described(),
            Self::Efforts => efforts::columns().described(),
            Self::Reps => reps::columns().described(),
            Self::Rests => rests::columns().described(),
            Self::Bands => bands::columns().described(),
            Self::Weeks => weeks::columns().described(),
        }
    }
}

/// Rows of one kind under their columns.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// What a row is about.
    pub of: Of,
    /// What stands in the cells of each column.
    pub columns: Vec<Column>,
    /// The rows, each with a cell a column.
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// The table of the things of one kind, in the order of the items; weeks in their own.
    #[must_use]
    pub fn of(of: Of, items: &[Item]) -> Self {
        let rows = match of {
            Of::Sessions => rows(&sessions::columns(), items.iter().map(sessions::Row)),
            Of::Efforts => rows(&efforts::columns(), items.iter().flat_map(efforts::rows)),
            Of::Reps => rows(
                &reps::columns(),
                items.iter().flat_map(|item| block::rows(item, |b| &b.reps)),
            ),
            Of::Rests => rows(
                &rests::columns(),
                items
                    .iter()
                    .flat_map(|item| block::rows(item, |b| &b.rests)),
            ),
            Of::Bands => rows(&bands::columns(), items.iter().flat_map(bands::rows)),
            Of::Weeks => rows(&weeks::columns(), weeks::rows(items).into_iter()),
        };
        Self {
            of,
            columns: of.columns(),
            rows,
        }
    }
}

fn rows<R>(columns: &Columns<'_, R>, things: impl Iterator<Item = R>) -> Vec<Vec<Cell>> {
    things.map(|thing| columns.cells(&thing)).collect()
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn columns_have_names_of_their_own_that_end_in_their_unit() {
        for of in Of::ALL {
            let columns = of.columns();
            let names: BTreeSet<_> = columns.iter().map(|c| c.name.as_str()).collect();
            assert_eq!(names.len(), columns.len(), "{of:?}");
            for column in &columns {
                assert!(!column.meaning.is_empty(), "{}", column.name);
                let suffix = match column.unit {
                    Some("s") => "_s",
                    Some("m") => "_m",
                    Some("m/s") => "_m_s",
                    Some("m/s2") => "_m_s2",
                    Some("degrees") => "_deg",
                    Some("Hz") => "_hz",
                    Some("beats/min") => "_bpm",
                    Some("min x rating") | None => "",
                    Some(other) => panic!("{other}"),
                };
                assert!(column.name.ends_with(suffix), "{}", column.name);
            }
        }
    }

    #[test]
    fn nothing_gives_a_table_without_rows() {
        for of in Of::ALL {
            assert!(Table::of(of, &[]).rows.is_empty());
        }
    }
}
