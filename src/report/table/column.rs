//! A column: what it is called, what it means, and how its cell is made of a thing.

use crate::measured::Measured;

use super::cell::{Cell, Moment};

/// What a column holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Name, with the unit at its end.
    pub name: String,
    /// Unit, for quantities.
    pub unit: Option<&'static str>,
    /// Meaning, in plain words.
    pub meaning: String,
    /// What its cells hold when they are not empty.
    pub kind: Type,
    /// Decimals of its numbers.
    pub decimals: u8,
}

/// Types of cells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Type {
    /// Words.
    Text,
    /// Whole numbers.
    Int,
    /// Quantities.
    Number,
    /// Yes or no.
    Bool,
    /// Days.
    Day,
    /// Moments.
    Time,
}

/// The columns of things of type `R`.
pub(crate) struct Columns<'c, R> {
    list: Vec<(Column, Make<'c, R>)>,
}

type Make<'c, R> = Box<dyn Fn(&R) -> Cell + 'c>;

/// Decimals of quantities in s, m, m/s, m/s2.
pub(crate) const FINE: u8 = 3;

impl<'c, R: 'c> Columns<'c, R> {
    pub(crate) fn new() -> Self {
        Self { list: Vec::new() }
    }

    /// A column of words.
    pub(crate) fn text(self, name: &str, meaning: &str, of: fn(&R) -> Option<&str>) -> Self {
        self.any(name, Type::Text, meaning, move |r| Cell::text(of(r)))
    }

    /// A column of counts.
    pub(crate) fn count(self, name: &str, meaning: &str, of: fn(&R) -> Option<usize>) -> Self {
        self.any(name, Type::Int, meaning, move |r| Cell::count(of(r)))
    }

    /// A column of yes and no.
    pub(crate) fn yes_no(self, name: &str, meaning: &str, of: fn(&R) -> bool) -> Self {
        self.any(name, Type::Bool, meaning, move |r| Cell::Bool(of(r)))
    }

    /// A column of moments.
    pub(crate) fn time(self, name: &str, meaning: &str, of: fn(&R) -> Option<Moment>) -> Self {
        self.any(name, Type::Time, meaning, move |r| {
            of(r).map_or(Cell::Missing, Cell::Time)
        })
    }

    /// A column of quantities.
    pub(crate) fn number(
        self,
        name: &str,
        unit: Option<&'static str>,
        decimals: u8,
        meaning: &str,
        of: impl Fn(&R) -> Option<f64> + 'c,
    ) -> Self {
        let mut columns = self.any(name, Type::Number, meaning, move |r| {
            Cell::number(of(r), i32::from(decimals))
        });
        if let Some((column, _)) = columns.list.last_mut() {
            column.unit = unit;
            column.decimals = decimals;
        }
        columns
    }

    /// Three columns: the value and both ends of its 95 % interval.
    pub(crate) fn measured(
        self,
        name: &str,
        unit: (&str, Option<&'static str>),
        decimals: u8,
        meaning: &str,
        of: fn(&R) -> Option<Measured>,
    ) -> Self {
        let (suffix, unit) = unit;
        let end = |which| format!("{which} end of the 95 % interval of {name}{suffix}");
        self.number(
            &format!("{name}{suffix}"),
            unit,
            decimals,
            meaning,
            move |r| of(r).map(|m| m.value),
        )
        .number(
            &format!("{name}_low{suffix}"),
            unit,
            decimals,
            &end("lower"),
            move |r| of(r).map(|m| m.low),
        )
        .number(
            &format!("{name}_high{suffix}"),
            unit,
            decimals,
            &end("upper"),
            move |r| of(r).map(|m| m.high),
        )
    }

    /// A column of anything.
    pub(crate) fn any(
        mut self,
        name: &str,
        kind: Type,
        meaning: &str,
        of: impl Fn(&R) -> Cell + 'c,
    ) -> Self {
        let column = Column {
            name: name.to_owned(),
            unit: None,
            meaning: meaning.to_owned(),
            kind,
            decimals: 0,
        };
        self.list.push((column, Box::new(of)));
        self
    }
}

impl<R> Columns<'_, R> {
    /// The columns alone.
    pub(crate) fn described(self) -> Vec<Column> {
        self.list.into_iter().map(|(column, _)| column).collect()
    }

    /// The row of a thing.
    pub(crate) fn cells(&self, thing: &R) -> Vec<Cell> {
        self.list.iter().map(|(_, make)| make(thing)).collect()
    }
}
