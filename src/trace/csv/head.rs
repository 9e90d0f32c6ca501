//! How a table is laid out: found in its header line, or told by the user.

use super::angle::{hemisphere, names_itself};
use super::layout::Layout;
use super::role::{Role, TEMPO};
use super::rows::{LINE, Line, Splitter, is_blank, lines};
use super::unit::{is_unit, normal};
use crate::trace::error::excerpt;
use crate::trace::{Error, number, time};

/// Delimiters, the likelier first where two would do.
const DELIMITERS: [char; 4] = [';', '\t', ',', '|'];
/// Lines looked at for a header.
const HEADER_WITHIN: usize = 200;

/// How the table is laid out.
pub(super) struct Head {
    pub layout: Layout,
    pub delimiter: char,
    /// The header's line, `None` for `--columns`.
    pub header: Option<(u64, String)>,
    /// The first line that can be a row.
    pub first: u64,
    /// How a table without a header was read, for a note.
    pub inferred: Option<String>,
}

/// The layout that the user gives.
pub(super) fn told(text: &str, columns: &str) -> Result<Head, Error> {
    let layout = Layout::of_option(columns)?;
    let fit = |delimiter: char| {
        let mut splitter = Splitter::at(delimiter);
        candidates(text, 1)
            .take(HEADER_WITHIN)
            .filter(|line| {
                splitter
                    .split(line.text)
                    .is_some_and(|row| row.len() == layout.width || row.used() == layout.width)
            })
            .count()
    };
    let mut best = (',', 0);
    for delimiter in DELIMITERS {
        let fits = fit(delimiter);
        if fits > best.1 {
            best = (delimiter, fits);
        }
    }
    Ok(Head {
        layout,
        delimiter: best.0,
        header: None,
        first: 1,
        inferred: None,
    })
}

/// The layout that a header line in the text gives.
pub(super) fn found(text: &str) -> Result<Head, Error> {
    let mut splitters = DELIMITERS.map(|d| (d, Splitter::at(d)));
    let mut nearest: Option<Layout> = None;
    let mut nearest_line = 0;
    // A header behind a comment sign counts only where there is no other.
    let written = || lines(text).filter(|line| !line.text.trim().is_empty());
    let plain = written().filter(|line| !line.is_no_row());
    let commented = written().filter(Line::is_no_row);
    let within = plain
        .take(HEADER_WITHIN)
        .chain(commented.take(HEADER_WITHIN));
    for line in within {
        if line.text.len() > LINE {
            return Err(Error::LineTooLong {
                line: line.number,
                limit: LINE,
            });
        }
        let Some((delimiter, layout)) = header(line, &mut splitters) else {
            continue;
        };
        if let Some(error) = &layout.doubt
            && layout.found.len() > 1
        {
            return Err(error.clone());
        }
        if layout.missing().is_none() {
            let mut head = Head {
                layout,
                delimiter,
                header: Some((line.number, line.text.to_owned())),
                first: line.number + 1,
                inferred: None,
            };
            head.take_units(text);
            head.settle_tempo(text);
            head.take_sides(text)?;
            return Ok(head);
        }
        if layout.found.len() > nearest.as_ref().map_or(1, |n| n.found.len()) {
            nearest = Some(layout);
            nearest_line = line.number;
        }
    }
    match nearest {
        Some(layout) => Err(Error::MissingColumn {
            line: nearest_line,
            missing: layout.missing().unwrap_or_default(),
            found: layout.found,
        }),
        None => inferred(text).ok_or_else(|| Error::NoHeader { first: first(text) }),
    }
}

/// The layout of a table without a header whose columns can mean one thing only: one of dates with their times, one latitude and one
/// longitude. That two plain numbers are latitude and longitude, and in which order, is sure where a hemisphere is named, or
/// where one of them is beyond 90 and so no latitude.
fn inferred(text: &str) -> Option<Head> {
    /// Rows that must agree.
    const ROWS: usize = 20;
    let (delimiter, width) = DELIMITERS.into_iter().find_map(|delimiter| {
        let mut splitter = Splitter::at(delimiter);
        let mut widths = candidates(text, 1)
            .take(ROWS)
            .map(|line| splitter.split(line.text).map(|row| row.len()));
        let width = widths.next()??;
        let more: Vec<Option<usize>> = widths.collect();
        let alike = !more.is_empty() && more.iter().all(|other| *other == Some(width));
        (width > 2 && alike).then_some((delimiter, width))
    })?;
    let mut splitter = Splitter::at(delimiter);
    let mut column_is = |index: usize, is: &dyn Fn(&str) -> bool| {
        candidates(text, 1).take(ROWS).all(|line| {
            let row = splitter.split(line.text);
            row.is_some_and(|row| is(row.get(index)))
        })
    };
    let of = |cell: &str| number::parse(cell).filter(|value| value.is_finite());
    let fine = |cell: &str| {
        cell.split(['.', ','])
            .nth(1)
            .is_some_and(|part| part.len() > 3)
    };
    let mut words = vec!["-"; width];
    let mut latitudes = Vec::new();
    for (index, word) in words.iter_mut().enumerate() {
        if column_is(index, &|cell| {
            !matches!(time::date_time(cell, None), Err(time::Fault::Form))
        }) {
            *word = "time";
        } else if column_is(index, &|cell| names_itself(Role::Latitude, cell)) {
            *word = "lat";
        } else if column_is(index, &|cell| names_itself(Role::Longitude, cell))
            || column_is(index, &|cell| {
                let beyond = |v: f64| v.abs() > 90.0 && v.abs() <= 180.0;
                fine(cell) && of(cell).is_some_and(beyond)
            })
        {
            *word = "lon";
        } else if column_is(index, &|cell| {
            fine(cell) && of(cell).is_some_and(|v| v.abs() <= 90.0)
        }) {
            latitudes.push(index);
        }
    }
    let count = |words: &[&str], role: &str| words.iter().filter(|word| **word == role).count();
    if count(&words, "lat") == 0
        && let [only] = latitudes.as_slice()
        && let Some(word) = words.get_mut(*only)
    {
        *word = "lat";
    }
    let sure = ["time", "lat", "lon"]
        .iter()
        .all(|role| count(&words, role) == 1);
    if !sure {
        return None;
    }
    let columns = words.join(",");
    let mut head = told(text, &columns).ok()?;
    head.inferred = Some(format!(
        "no line names the columns; they are read as {columns}, which is all that they can mean; --columns names others"
    ));
    Some(head)
}

/// What a line gives as a header, at the delimiter where most of its words are known.
fn header(line: Line<'_>, splitters: &mut [(char, Splitter)]) -> Option<(char, Layout)> {
    let mut best: Option<(char, Layout)> = None;
    for (delimiter, splitter) in splitters {
        let Some(row) = splitter.split(line.text) else {
            continue;
        };
        let layout = Layout::of_header(row.cells(), line.number);
        if layout.found.len() > best.as_ref().map_or(0, |(_, b)| b.found.len()) {
            best = Some((*delimiter, layout));
        }
    }
    best
}

/// The first words of a file, for a message.
pub(super) fn first(text: &str) -> String {
    let mut written = lines(text).map(|line| line.text.trim());
    let line = written.find(|line| !line.is_empty());
    excerpt(line.unwrap_or_default(), 60)
}

impl Head {
    /// Takes a line of units below the header, if there is one.
    fn take_units(&mut self, text: &str) {
        let mut splitter = Splitter::at(self.delimiter);
        let Some(line) = lines(text).find(|line| line.number == self.first) else {
            return;
        };
        let Some(row) = splitter.split(line.text) else {
            return;
        };
        let is_value = |cell: &str| {
            number::parse(cell).is_some()
                || time::clock(cell).is_ok()
                || time::date_time(cell, None) != Err(time::Fault::Form)
        };
        if row.cells().any(is_unit) && !row.cells().any(is_value) {
            self.layout.take_units(row.cells());
            self.first = line.number + 1;
        }
    }
}

impl Head {
    /// The first cells of a column that hold something.
    fn cells(&self, text: &str, index: usize) -> Vec<String> {
        /// Rows that are looked at.
        const ROWS: usize = 50;
        let mut splitter = Splitter::at(self.delimiter);
        candidates(text, self.first)
            .take(ROWS)
            .filter_map(|line| Some(splitter.split(line.text)?.get(index).to_owned()))
            .filter(|cell| !is_blank(cell))
            .collect()
    }

    /// A tempo of plain numbers beside dates with their times of day is no time.
    fn settle_tempo(&mut self, text: &str) {
        let named = |index: usize| {
            let header = self.header.as_ref().map_or("", |(_, words)| words);
            let mut splitter = Splitter::at(self.delimiter);
            splitter.split(header).map(|row| row.get(index).to_owned())
        };
        let (Some(time), Some(date)) = (self.layout.get(Role::Time), self.layout.get(Role::Date))
        else {
            return;
        };
        let name = named(time.index).unwrap_or_default();
        let all = |cells: Vec<String>, is: &dyn Fn(&str) -> bool| {
            !cells.is_empty() && cells.iter().all(|cell| is(cell))
        };
        if normal(&name) == TEMPO
            && all(self.cells(text, time.index), &|cell| {
                number::parse(cell).is_some()
            })
            && all(self.cells(text, date.index), &|cell| {
                time::date_time(cell, None) != Err(time::Fault::Form)
            })
        {
            self.layout.give_up_time(&name);
        }
    }

    /// Takes a column of letters behind an angle as its hemispheres, under whatever name. Passed over, it would turn west into east.
    fn take_sides(&mut self, text: &str) -> Result<(), Error> {
        for (angle, side) in [
            (Role::Latitude, Role::LatitudeSide),
            (Role::Longitude, Role::LongitudeSide),
        ] {
            let Some(column) = self.layout.get(angle) else {
                continue;
            };
            let Some((place, name)) = self
                .layout
                .unread
                .iter()
                .find(|(place, _)| *place == column.index + 2)
                .cloned()
            else {
                continue;
            };
            let index = place - 1;
            let words = self.cells(text, index);
            let signed = self
                .cells(text, column.index)
                .iter()
                .any(|cell| cell.starts_with('-') || cell.contains(char::is_alphabetic));
            if words.is_empty() || signed || self.layout.get(side).is_some() {
                continue;
            }
            if words
                .iter()
                .all(|word| hemisphere(angle, word, None).is_some())
            {
                self.layout.take(side, index);
            } else if words
                .iter()
                .all(|word| hemisphere(angle, word, Some(1.0)).is_some())
            {
                return Err(Error::Hemisphere {
                    line: self.header.as_ref().map_or(1, |(line, _)| *line),
                    column: name,
                });
            }
        }
        Ok(())
    }
}

/// The lines from `first` on that can be rows.
pub(super) fn candidates(text: &str, first: u64) -> impl Iterator<Item = Line<'_>> {
    lines(text).filter(move |line| line.number >= first && !line.is_no_row())
}
