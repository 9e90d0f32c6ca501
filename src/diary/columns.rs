//! Fields of a thing and the columns that hold them, said once: what is written and what is read are made of it.

use rusqlite::{CachedStatement, Connection, Row, Statement, params_from_iter};

use crate::diary::words::{self, KINDS};
use crate::diary::{Error, thousandths};
use crate::efforts::Kind;
use crate::measured::Measured;
use crate::plan::Category;
use crate::review::{BlockVerdict, Fits, Reached, RestVerdict, Verdict};

/// A table of things that belong to an entry.
pub(super) struct Table<T: 'static> {
    /// Its name.
    pub name: &'static str,
    /// The columns that say whose a thing is: the entry, then what else its caller knows.
    pub keys: &'static [&'static str],
    /// The order in which they are read.
    pub order: &'static str,
    /// What it holds beside the keys.
    pub fields: &'static [Field<T>],
    /// A thing of which nothing was read yet.
    pub blank: fn() -> T,
}

/// One field with its columns, which stand beside each other.
pub(super) struct Field<T> {
    pub columns: &'static [&'static str],
    /// Binds it to the parameters from a place on.
    pub bind: fn(&T, &mut Statement<'_>, usize) -> Result<(), Error>,
    /// Fills it from the columns from a place on, of the entry of a number.
    pub read: fn(&mut T, &Row<'_>, usize, i64) -> Result<(), Error>,
}

/// The field of this path, in these columns; behind `or` the name by which it is missed where it must be there.
macro_rules! field {
    ($($part:ident).+ in $($column:literal),+ ; or $name:literal) => {
        $crate::diary::columns::Field {
            columns: &[$($column),+],
            bind: |thing, statement, at| {
                $crate::diary::columns::Kept::bind(&Some(thing.$($part).+), statement, at)
            },
            read: |thing, row, at, id| {
                let read: Option<_> = $crate::diary::columns::Kept::read(row, at, id)?;
                thing.$($part).+ = read.ok_or($crate::diary::Error::Unreadable { id, field: $name })?;
                Ok(())
            },
        }
    };
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

impl<T> Table<T> {
    /// What [`Self::insert`] runs.
    pub(super) fn inserting<'c>(
        &self,
        connection: &'c Connection,
    ) -> Result<CachedStatement<'c>, Error> {
        inserting(
            connection,
            self.name,
            self.keys.iter().copied().chain(columns(self.fields)),
        )
    }

    /// Puts a thing into the table.
    pub(super) fn insert(
        &self,
        statement: &mut Statement<'_>,
        keys: &[i64],
        thing: &T,
    ) -> Result<(), Error> {
        for (at, key) in (1..).zip(keys) {
            statement.raw_bind_parameter(at, key)?;
        }
        bind(self.fields, thing, statement, keys.len() + 1)?;
        statement.raw_execute()?;
        Ok(())
    }

    /// Those of an entry, or of what further keys say.
    pub(super) fn read(&self, connection: &Connection, keys: &[i64]) -> Result<Vec<T>, Error> {
        let id = keys.first().copied().unwrap_or_default();
        let given: Vec<&str> = (self.keys.iter().copied().take(keys.len())).collect();
        let mut statement = connection.prepare_cached(&format!(
            "SELECT {} FROM {} WHERE {} = ? ORDER BY {}",
            columns(self.fields).collect::<Vec<_>>().join(", "),
            self.name,
            given.join(" = ? AND "),
            self.order
        ))?;
        let mut rows = statement.query(params_from_iter(keys))?;
        let mut things = Vec::new();
        while let Some(row) = rows.next()? {
            let mut thing = (self.blank)();
            fill(self.fields, &mut thing, row, 0, id)?;
            things.push(thing);
        }
        Ok(things)
    }
}

/// What puts a row into these columns of a table.
pub(super) fn inserting<'c>(
    connection: &'c Connection,
    table: &str,
    columns: impl Iterator<Item = &'static str>,
) -> Result<CachedStatement<'c>, Error> {
    let columns: Vec<&str> = columns.collect();
    let (names, more) = (columns.join(", "), ", ?".repeat(columns.len() - 1));
    Ok(connection.prepare_cached(&format!("INSERT INTO {table} ({names}) VALUES (?{more})"))?)
}

/// The columns of all fields.
pub(super) fn columns<T>(fields: &[Field<T>]) -> impl Iterator<Item = &'static str> {
    fields
        .iter()
        .flat_map(|field| field.columns.iter().copied())
}

/// Binds all fields to the parameters from a place on; returns the place behind them.
pub(super) fn bind<T>(
    fields: &[Field<T>],
    thing: &T,
    statement: &mut Statement<'_>,
    mut at: usize,
) -> Result<usize, Error> {
    for field in fields {
        (field.bind)(thing, statement, at)?;
        at += field.columns.len();
    }
    Ok(at)
}

/// Fills all fields from the columns from a place on, of the entry of a number; returns the place behind them.
pub(super) fn fill<T>(
    fields: &[Field<T>],
    thing: &mut T,
    row: &Row<'_>,
    mut at: usize,
    id: i64,
) -> Result<usize, Error> {
    for field in fields {
        (field.read)(thing, row, at, id)?;
        at += field.columns.len();
    }
    Ok(at)
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
    String: |text| text,
    |row, at, _id| Ok(row.get(at)?)
}
kept! {
    bool: |whether| whether,
    |row, at, _id| Ok(row.get(at)?)
}
kept! {
    /// A hash.
    [u8; 32]: |hash| &hash[..],
    |row, at, _id| Ok(row.get(at)?)
}
kept! {
    /// The number of its kind, from 1.
    Option<Kind>: |kind| KINDS.iter().position(|k| Some(*k) == *kind).map(|k| thousandths::count(k) + 1),
    |row, at, id| {
        let number = usize::read(row, at, id)?;
        Ok(number.checked_sub(1).and_then(|k| KINDS.get(k)).copied())
    }
}
kept! {
    Option<Category>: |category| category.map(Category::word),
    |row, at, _id| {
        let word = row.get_ref(at)?.as_str().unwrap_or_default();
        Ok(Category::ALL.into_iter().find(|category| category.word() == word))
    }
}
/// What is one of a few, by its word; none where the column is empty or the word not known.
macro_rules! worded {
    ($($type:ty: $words:ident),+) => {
        $(kept! {
            Option<$type>: |value| value.map(|value| words::word(&words::$words, value)),
            |row, at, _id| {
                let word = row.get_ref(at)?.as_str_or_null().unwrap_or_default();
                Ok(word.and_then(|word| words::value(&words::$words, word)))
            }
        })+
    };
}
worded!(
    Verdict: VERDICTS,
    BlockVerdict: BLOCK_VERDICTS,
    Reached: REACHED,
    RestVerdict: REST_VERDICTS,
    Fits: FITS
);

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

/// A list in one column.
pub(super) fn bind_json(
    value: &impl serde::Serialize,
    statement: &mut Statement<'_>,
    at: usize,
) -> Result<(), Error> {
    Ok(statement.raw_bind_parameter(at, thousandths::json(value)?)?)
}

/// The list back; where it is none, the field by its name.
pub(super) fn read_json<T: serde::de::DeserializeOwned>(
    row: &Row<'_>,
    at: usize,
    id: i64,
    field: &'static str,
) -> Result<T, Error> {
    let unreadable = || Error::Unreadable { id, field };
    let text = row.get_ref(at)?.as_str().map_err(|_| unreadable())?;
    serde_json::from_str(text).map_err(|_| unreadable())
}
