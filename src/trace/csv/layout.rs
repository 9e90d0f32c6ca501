//! Where in a row everything stands.

use super::heading::{Column, heading};
use super::role::{ALL, ROLES, Role, TEMPO};
use super::unit::{Unit, normal, unit, unit_word, units};
use crate::trace::Error;
use crate::trace::error::excerpt;

/// Where in a row everything stands.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Layout {
    columns: [Option<Column>; ROLES],
    /// The columns known, as written.
    pub found: Vec<String>,
    /// The columns that are not read, with their place from 1.
    pub unread: Vec<(usize, String)>,
    /// Cells of the header.
    pub width: usize,
    /// The first column of position or speed whose unit is not known, as the error that it is if this is the header.
    pub doubt: Option<Error>,
}

impl Layout {
    fn empty() -> Self {
        Self {
            columns: [None; ROLES],
            found: Vec::new(),
            unread: Vec::new(),
            width: 0,
            doubt: None,
        }
    }

    pub(super) fn get(&self, role: Role) -> Option<Column> {
        self.columns.get(role as usize).copied().flatten()
    }

    /// The layout that a line gives as a header; its number is for messages.
    ///
    /// A line of prose may look like a header with an odd unit ("speed: fast"), so such a unit is no error yet. A column beside
    /// position and speed whose unit is not known is passed over.
    pub(super) fn of_header<'a>(cells: impl Iterator<Item = &'a str>, line: u64) -> Self {
        let mut layout = Self::empty();
        let mut sided = Vec::new();
        let mut doubtful = Vec::new();
        for (index, cell) in cells.enumerate() {
            if !cell.is_empty() {
                layout.width = index + 1;
            }
            let Some(heading) = heading(cell) else {
                if !cell.is_empty() {
                    layout.unread.push((index + 1, shortened(cell)));
                }
                continue;
            };
            layout.found.push(shortened(cell));
            if let Some(column) = heading.column(index) {
                if heading.sided {
                    sided.push((heading.role, column));
                } else {
                    layout.offer(heading.role, column);
                }
                if heading.doubtful {
                    doubtful.push((index, cell));
                }
            } else if heading.role.is_motion() && layout.doubt.is_none() {
                layout.doubt = Some(Error::Unit {
                    line: Some(line),
                    column: shortened(cell),
                    expected: units(heading.role),
                });
            }
        }
        for (role, column) in sided {
            let side = match role {
                Role::Latitude => Role::LatitudeSide,
                _ => Role::LongitudeSide,
            };
            let angle_known = layout.get(role).is_some();
            layout.offer(if angle_known { side } else { role }, column);
        }
        // A tempo that is not the time may be a speed, and is not passed over without a word.
        for (index, cell) in doubtful {
            if layout
                .get(Role::Time)
                .is_none_or(|time| time.index != index)
            {
                layout.leave_unread(index, cell);
            }
        }
        layout.with_date_as_time()
    }

    /// Names a column among those that are not read.
    pub(super) fn leave_unread(&mut self, index: usize, name: &str) {
        let at = self.unread.partition_point(|(place, _)| *place <= index);
        self.unread.insert(at, (index + 1, shortened(name)));
    }

    /// Takes a column whose cells tell what it is, whatever its name is.
    pub(super) fn take(&mut self, role: Role, index: usize) {
        self.unread.retain(|(place, _)| *place != index + 1);
        self.offer(
            role,
            Column {
                index,
                factor: 1.0,
                unit_named: false,
                utc: false,
                order: None,
                o: None,
                rank: 0,
            },
        );
    }

    /// Gives up a tempo as the time, in favour of the date that stands for it.
    pub(super) fn give_up_time(&mut self, name: &str) {
        if let Some(slot) = self.columns.get_mut(Role::Time as usize)
            && let Some(time) = slot.take()
        {
            self.leave_unread(time.index, name);
        }
        *self = self.clone().with_date_as_time();
    }

    /// The layout that `--columns` gives.
    pub(super) fn of_option(columns: &str) -> Result<Self, Error> {
        let mut layout = Self::empty();
        for (index, word) in columns.split([',', ';']).map(str::trim).enumerate() {
            layout.width = index + 1;
            if word.is_empty() || word == "-" {
                continue;
            }
            let heading = heading(word).ok_or_else(|| Error::Columns {
                word: shortened(word),
                problem: "is not known",
            })?;
            let column = heading.column(index).ok_or_else(|| Error::Unit {
                line: None,
                column: shortened(word),
                expected: units(heading.role),
            })?;
            if layout.get(heading.role).is_some() {
                return Err(Error::Columns {
                    word: shortened(word),
                    problem: "comes twice",
                });
            }
            layout.found.push(shortened(word));
            layout.offer(heading.role, column);
        }
        let layout = layout.with_date_as_time();
        match layout.missing() {
            None => Ok(layout),
            Some(_) => Err(Error::Columns {
                word: shortened(columns),
                problem: "lacks a time, or a position (lat and lon, or x and y) or speed",
            }),
        }
    }

    /// Takes the units from a line of their own below the header.
    pub(super) fn take_units<'a>(&mut self, cells: impl Iterator<Item = &'a str>) {
        for (index, cell) in cells.enumerate() {
            let tempo =
                |(place, name): &(usize, String)| *place == index + 1 && normal(name) == TEMPO;
            if self.unread.iter().any(tempo)
                && self.get(Role::Speed).is_none()
                && let Some(Unit::Factor(_)) = unit(Role::Speed, &unit_word(cell))
            {
                self.take(Role::Speed, index);
            }
            for (role, slot) in ALL.into_iter().zip(&mut self.columns) {
                if let Some(column) = slot
                    && column.index == index
                    && !column.unit_named
                    && let Some(Unit::Factor(factor)) = unit(role, &unit_word(cell))
                {
                    column.factor = factor;
                    column.unit_named = true;
                }
            }
        }
    }

    /// What a recording needs and this layout lacks.
    pub(super) fn missing(&self) -> Option<&'static str> {
        let has = |role| self.get(role).is_some();
        if !has(Role::Time) {
            Some("the time")
        } else if has(Role::Latitude) && has(Role::Longitude)
            || has(Role::X) && has(Role::Y)
            || has(Role::Speed)
        {
            None
        } else {
            Some("the position (latitude and longitude, or x and y) or the speed")
        }
    }

    fn offer(&mut self, role: Role, column: Column) {
        if let Some(slot) = self.columns.get_mut(role as usize)
            && slot.is_none_or(|before| before.rank < column.rank)
        {
            *slot = Some(column);
        }
    }

    /// A lone `date` column holds the time as well.
    fn with_date_as_time(mut self) -> Self {
        if self.get(Role::Time).is_none()
            && let Some(date) = self.get(Role::Date)
        {
            self.offer(Role::Time, date);
            if let Some(slot) = self.columns.get_mut(Role::Date as usize) {
                *slot = None;
            }
        }
        self
    }
}

fn shortened(cell: &str) -> String {
    excerpt(cell, 40)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_that_is_not_known_is_an_error() {
        let doubt = |cells: &[&'static str]| Layout::of_header(cells.iter().copied(), 3).doubt;
        assert!(matches!(
            doubt(&["time", "speed (furlong/h)"]),
            Some(Error::Unit { line: Some(3), column, .. }) if column == "speed (furlong/h)"
        ));
        assert!(doubt(&["time", "lat (rad)", "lon (rad)"]).is_some());
        assert!(doubt(&["time", "speed (m/s)", "altitude (fathoms)"]).is_none());
    }

    #[test]
    fn the_fullest_time_is_read() {
        let layout = Layout::of_header(
            ["elapsed (s)", "Time (UTC)", "timestamp", "speed"].into_iter(),
            1,
        );
        assert_eq!(layout.get(Role::Time).map(|c| c.index), Some(2));
    }

    #[test]
    fn columns_option() {
        let layout = Layout::of_option("time, lat,lon,speed:km/h,-").expect("known words");
        assert_eq!(layout.width, 5);
        assert_eq!(layout.get(Role::Speed).map(|c| c.index), Some(3));
        for (columns, word) in [
            ("time,lat,lon,sped", "sped"),
            ("time,speed,velocity", "velocity"),
            ("time,lat", "time,lat"),
            ("", ""),
        ] {
            assert!(
                matches!(Layout::of_option(columns), Err(Error::Columns { word: ref w, .. }) if w == word),
                "{columns}"
            );
        }
    }
}
