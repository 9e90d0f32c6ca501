//! Fields of a thing and the columns that hold them, said once: what is written and what is read are made of it.

use rusqlite::{CachedStatement, Connection, Row, Statement};

use crate::diary::words::{self, REACHED, REST_VERDICTS, VERDICTS, Words};
use crate::diary::{Error, thousandths};
use crate::measured::Measured;
use crate::review::{Reached, RestVerdict, Verdict};

/// A table of things that belong to a block of an entry.
pub(super) struct Table<T: 'static> {
    /// Its name.
    pub name: &'static str,
    /// The order in which they are read.
    pub order: &'static str,
    /// What it holds beside the numbers of the entry and of the block.
    pub fields: &'static [Field<T>],
}

/// One field with its columns, which stand beside each other.
pub(super) struct Field<T> {
    pub columns: &'static [&'static str],
    /// Binds it to the parameters from a place on.
    pub bind: fn(&T, &mut Statement<'_>, usize) -> Result<(), Error>,
    /// Fills it from the columns from a place on, of the entry of a number.
    pub read: fn(&mut T, &Row<'_>, usize, i64) -> Result<(), Error>,
}

/// The field of this path, in these columns.
macro_rules! field {
    ($($part:ident).+ in $($column:literal),+) => {
        $crate::diary::columns::Field {
            columns: &[$($column),+],
            bind: |thing, statement, at| {
                $crate::diary::columns::Kept::bind(&thing.$($part).+, statement, at)
            },
            read: |thing, row, at, id| {
                thing.$($part).+ = $crate::diary::columns::Kept::read(row, at, id)?;
                Ok(())
            },
        }
    };
}
pub(super) use field;

impl<T: Default> Table<T> {
    /// What [`Self::insert`] runs.
    pub(super) fn inserting<'c>(
        &self,
        connection: &'c Connection,
    ) -> Result<CachedStatement<'c>, Error> {
        let columns = columns(self.fields);
        let sql = format!(
            "INSERT INTO {} (session_id, block, {}) VALUES (?, ?{})",
            self.name,
            columns.join(", "),
            ", ?".repeat(columns.len())
        );
        Ok(connection.prepare_cached(&sql)?)
    }

    /// Puts a thing into the table.
    pub(super) fn insert(
        &self,
        statement: &mut Statement<'_>,
        (id, block): (i64, usize),
        thing: &T,
    ) -> Result<(), Error> {
        statement.raw_bind_parameter(1, id)?;
        statement.raw_bind_parameter(2, thousandths::count(block))?;
        bind(self.fields, thing, statement, 3)?;
        statement.raw_execute()?;
        Ok(())
    }

    /// Those of a block.
    pub(super) fn read(
        &self,
        connection: &Connection,
        (id, block): (i64, usize),
    ) -> Result<Vec<T>, Error> {
        let mut statement = connection.prepare_cached(&format!(
            "SELECT {} FROM {} WHERE session_id = ? AND block = ? ORDER BY {}",
            columns(self.fields).join(", "),
            self.name,
            self.order
        ))?;
        let mut rows = statement.query([id, thousandths::count(block)])?;
        let mut things = Vec::new();
        while let Some(row) = rows.next()? {
            let mut thing = T::default();
            fill(self.fields, &mut thing, row, 0, id)?;
            things.push(thing);
        }
        Ok(things)
    }
}

/// The columns of all fields.
pub(super) fn columns<T>(fields: &[Field<T>]) -> Vec<&'static str> {
    let columns = fields.iter().flat_map(|field| field.columns);
    columns.copied().collect()
}

/// Binds all fields to the parameters from a place on.
pub(super) fn bind<T>(
    fields: &[Field<T>],
    thing: &T,
    statement: &mut Statement<'_>,
    mut at: usize,
) -> Result<(), Error> {
    for field in fields {
        (field.bind)(thing, statement, at)?;
        at += field.columns.len();
    }
    Ok(())
}

/// Fills all fields from the columns from a place on, of the entry of a number.
pub(super) fn fill<T>(
    fields: &[Field<T>],
    thing: &mut T,
    row: &Row<'_>,
    mut at: usize,
    id: i64,
) -> Result<(), Error> {
    for field in fields {
        (field.read)(thing, row, at, id)?;
        at += field.columns.len();
    }
    Ok(())
}

/// A value as columns hold it.
pub(super) trait Kept: Sized {
    /// Binds it to the parameters from a place on.
    fn bind(&self, statement: &mut Statement<'_>, at: usize) -> Result<(), Error>;
    /// Reads it from the columns from a place on, of the entry of a number.
    fn read(row: &Row<'_>, at: usize, id: i64) -> Result<Self, Error>;
}

/// A value in one column, by what is written of it and how it is read back.
macro_rules! kept {
    ($(#[$about:meta])* $type:ty: |$value:ident| $written:expr, |$row:ident, $at:ident, $id:ident| $read:expr) => {
        $(#[$about])*
        impl Kept for $type {
            fn bind(&self, statement: &mut Statement<'_>, at: usize) -> Result<(), Error> {
                let $value = self;
                Ok(statement.raw_bind_parameter(at, $written)?)
            }

            fn read($row: &Row<'_>, $at: usize, $id: i64) -> Result<Self, Error> {
                $read
            }
        }
    };
}

kept! {
    /// A count, from 1.
    usize: |count| thousandths::count(*count),
    |row, at, _id| Ok(usize::try_from(row.get::<_, i64>(at)?).unwrap_or(0))
}
kept! {
    /// A count, from 1, or 0 for none.
    Option<usize>: |count| count.map_or(0, thousandths::count),
    |row, at, id| Ok(Some(usize::read(row, at, id)?).filter(|count| *count > 0))
}
kept! {
    /// Whole thousandths.
    f64: |number| thousandths::of(*number),
    |row, at, _id| Ok(thousandths::back(row.get(at)?))
}
kept! {
    /// Whole thousandths.
    Option<f64>: |number| thousandths::of_some(*number),
    |row, at, _id| Ok(row.get::<_, Option<i64>>(at)?.map(thousandths::back))
}
kept! {
    Option<String>: |text| text,
    |row, at, _id| Ok(row.get(at)?)
}
kept! {
    Verdict: |verdict| words::word(&VERDICTS, *verdict),
    |row, at, id| of_word(&VERDICTS, row, at)?.ok_or(Error::Unreadable { id, field: "verdict" })
}
kept! {
    Option<Reached>: |reached| reached.map(|reached| words::word(&REACHED, reached)),
    |row, at, _id| Ok(of_word(&REACHED, row, at)?)
}
kept! {
    Option<RestVerdict>: |verdict| verdict.map(|verdict| words::word(&REST_VERDICTS, verdict)),
    |row, at, _id| Ok(of_word(&REST_VERDICTS, row, at)?)
}

/// Value, low and high in whole thousandths.
impl Kept for Option<Measured> {
    fn bind(&self, statement: &mut Statement<'_>, at: usize) -> Result<(), Error> {
        for (at, end) in (at..).zip(thousandths::of_measured(*self)) {
            statement.raw_bind_parameter(at, end)?;
        }
        Ok(())
    }

    fn read(row: &Row<'_>, at: usize, _: i64) -> Result<Self, Error> {
        Ok(thousandths::read(row, at)?)
    }
}

/// Two values, a column each.
impl<T: Kept> Kept for [T; 2] {
    fn bind(&self, statement: &mut Statement<'_>, at: usize) -> Result<(), Error> {
        let [first, second] = self;
        first.bind(statement, at)?;
        second.bind(statement, at + 1)
    }

    fn read(row: &Row<'_>, at: usize, id: i64) -> Result<Self, Error> {
        Ok([T::read(row, at, id)?, T::read(row, at + 1, id)?])
    }
}

/// Low and high in whole thousandths.
impl Kept for Option<[f64; 2]> {
    fn bind(&self, statement: &mut Statement<'_>, at: usize) -> Result<(), Error> {
        self.map(|[low, _]| low).bind(statement, at)?;
        self.map(|[_, high]| high).bind(statement, at + 1)
    }

    fn read(row: &Row<'_>, at: usize, id: i64) -> Result<Self, Error> {
        let (low, high) = (Kept::read(row, at, id)?, Kept::read(row, at + 1, id)?);
        Ok(Option::zip(low, high).map(|(low, high)| [low, high]))
    }
}

/// The value of the word in a column; none where it is empty or not known.
fn of_word<T: Copy, const N: usize>(
    words: &Words<T, N>,
    row: &Row<'_>,
    at: usize,
) -> rusqlite::Result<Option<T>> {
    let word: Option<String> = row.get(at)?;
    Ok(word.and_then(|word| words::value(words, &word)))
}
