//! Tables: CSV, TSV and their kin, in the dialects that spreadsheets and devices write.
//!
//! The header is the first line that names a time and a position or a speed; its words, and the delimiter at which most of them are
//! known, settle the layout. Lines before it are passed over. A row is a fix when one of its cells holds something.

mod angle;
mod clock;
mod compact;
mod head;
mod heading;
mod layout;
mod role;
mod rows;
mod sample;
mod scale;
mod unit;

use self::angle::{degrees, hemisphere};
use self::clock::Times;
use self::head::{Head, candidates, first, found, told};
use self::layout::Layout;
use self::role::Role;
use self::rows::{Row, Splitter, is_blank, lines};
use self::sample::Sample;
use self::unit::with_unit;
use crate::trace::candidate::{Candidate, Field, geodetic, local};
use crate::trace::collect::Collector;
use crate::trace::defect::Reason;
use crate::trace::error::excerpt;
use crate::trace::time::{self, Moment};
use crate::trace::{Clock, Defect, Error, Fix, Format, Options, Trace, number};

/// Nobody runs faster, m/s (Bolt's fastest 10 m of 2009 is 12.35): a column that does is likely in another unit.
const TOO_FAST_M_S: f64 = 13.0;

/// Reads the text of a table.
pub(in crate::trace) fn read(text: &str, options: &Options) -> Result<Trace, Error> {
    let head = match &options.columns {
        Some(columns) => told(text, columns)?,
        None => found(text)?,
    };
    Table {
        head,
        text,
        collector: Collector::default(),
        defects: Vec::new(),
        bad_time: None,
    }
    .read(options)
}

/// Whether `--columns` can be true of a table.
pub(in crate::trace) fn check(columns: &str) -> Result<(), Error> {
    Layout::of_option(columns).map(|_| ())
}

struct Table<'a> {
    head: Head,
    text: &'a str,
    collector: Collector,
    defects: Vec<Defect>,
    /// The first time that could not be read, as written.
    bad_time: Option<String>,
}

impl Table<'_> {
    fn read(mut self, options: &Options) -> Result<Trace, Error> {
        let sample = self.sample(options)?;
        let Some(mut times) = Times::settle(&self.head.layout, &sample, options.dates) else {
            return Err(Error::NoHeader {
                first: first(self.text),
            });
        };
        self.rows(&mut times);
        self.finish(&times)
    }

    /// Looks at the rows before reading them: what their times mean, and whether they have the header's cells.
    fn sample(&self, options: &Options) -> Result<Sample, Error> {
        /// Rows whose cells are counted.
        const COUNTED: usize = 200;
        let layout = &self.head.layout;
        let mut splitter = Splitter::at(self.head.delimiter);
        let mut sample = Sample::default();
        let mut counted = 0;
        let mut wide = 0;
        let mut first_wide = None;
        for line in candidates(self.text, self.head.first) {
            let Some(row) = splitter.split(line.text) else {
                continue;
            };
            if counted < COUNTED {
                counted += 1;
                let cells = row.used();
                if cells > layout.width {
                    wide += 1;
                    first_wide = first_wide.or(Some((line.number, cells)));
                }
            }
            let more = sample.look(layout, &row, line.number);
            if !more && counted >= COUNTED {
                break;
            }
        }
        if let Some((line, cells)) = first_wide
            && wide * 2 > counted
        {
            return Err(Error::Cells {
                line,
                cells,
                columns: layout.width,
            });
        }
        sample.check(layout, options.dates)?;
        Ok(sample)
    }

    fn rows(&mut self, times: &mut Times) {
        let header = self.head.header.as_ref().map(|(_, words)| words.as_str());
        let layout = &self.head.layout;
        let mut splitter = Splitter::at(self.head.delimiter);
        // Lines before the first that has a time: a header that --columns makes superfluous.
        let mut passed = 0;
        let mut passed_first = 0;
        let mut usual = 0;
        for line in candidates(self.text, self.head.first) {
            if header == Some(line.text) {
                // The header again: two tables in one file.
                self.collector.begin_segment();
                continue;
            }
            let Some(row) = splitter.split(line.text) else {
                self.collector.set_aside(Reason::LineTooLong, line.number);
                continue;
            };
            let used = row.used();
            if used == 0 {
                continue;
            }
            if !line.ended && row.len() < usual {
                self.collector.set_aside(Reason::CutOff, line.number);
                self.defects.push(Defect::at(
                    line.number,
                    "the file ends inside this row, which was left out",
                ));
                continue;
            }
            if used > layout.width {
                self.collector.set_aside(Reason::TooManyCells, line.number);
                continue;
            }
            let moment = times.read(&row);
            if moment == Err(Reason::BadTime) && self.bad_time.is_none() {
                let cells =
                    [Role::Date, Role::Time].map(|role| layout.get(role).map(|c| row.get(c.index)));
                let written: Vec<&str> = cells.into_iter().flatten().collect();
                self.bad_time = Some(excerpt(&written.join(" "), 40));
            }
            if header.is_none() && moment == Err(Reason::BadTime) && self.collector.met() == 0 {
                if passed == 0 {
                    passed_first = line.number;
                }
                passed += 1;
                continue;
            }
            usual = row.len();
            self.collector
                .take(&candidate(layout, &row, line.number, moment));
        }
        if passed > 0 && self.collector.met() == 0 {
            self.collector
                .set_aside_many(Reason::BadTime, passed, passed_first);
        } else if passed > 0 {
            self.defects
                .push(passed_over(passed, passed_first, "first row"));
        }
    }

    /// Whether the cells of the speed name its unit, which the header then need not.
    fn speed_has_unit(&self) -> bool {
        const LOOKED_AT: usize = 50;
        let Some(column) = self.head.layout.get(Role::Speed) else {
            return false;
        };
        let mut splitter = Splitter::at(self.head.delimiter);
        candidates(self.text, self.head.first)
            .take(LOOKED_AT)
            .any(|line| {
                let row = splitter.split(line.text);
                row.is_some_and(|row| with_unit(Role::Speed, row.get(column.index)).is_some())
            })
    }

    fn finish(mut self, times: &Times) -> Result<Trace, Error> {
        if let Some((header, _)) = self.head.header {
            let before = lines(self.text)
                .take_while(|line| line.number < header)
                .filter(|line| !line.text.trim().is_empty())
                .count();
            if before > 0 {
                self.defects.push(passed_over(before, 1, "header"));
            }
        }
        if self.collector.met() == 0 {
            return Err(Error::NoFixes);
        }
        let speed_has_unit = self.speed_has_unit();
        let collected = self.collector.finish()?;
        if collected.fixes.is_empty() {
            return Err(Error::NothingUsable {
                set_aside: collected.set_aside,
                time: self.bad_time,
            });
        }
        self.defects.extend(collected.defects);
        let line = self.head.header.map(|(line, _)| line);
        if let Some(message) = self.head.inferred {
            self.defects.push(Defect { line, message });
        }
        if let Some(message) = columns_not_read(&self.head.layout) {
            self.defects.push(Defect { line, message });
        }
        if let Some(message) =
            speed_without_unit(&self.head.layout, &collected.fixes).filter(|_| !speed_has_unit)
        {
            self.defects.push(Defect { line, message });
        }
        if times.guessed_milliseconds() && collected.clock == Clock::Elapsed {
            self.defects.push(Defect {
                line,
                message: "the times name no unit and are read as milliseconds, by their steps; if they are seconds, name \
                          the column \"time (s)\""
                    .to_owned(),
            });
        }
        Ok(Trace {
            fixes: collected.fixes,
            clock: collected.clock,
            offset: collected.offset,
            format: Format::Csv {
                delimiter: self.head.delimiter,
            },
            title: None,
            device: None,
            set_aside: collected.set_aside,
            defects: self.defects,
        })
    }
}

/// What to say about columns of the header that are not understood.
fn columns_not_read(layout: &Layout) -> Option<String> {
    /// Columns that are named before the others are only counted.
    const NAMED: usize = 4;
    let named: Vec<String> = layout
        .unread
        .iter()
        .take(NAMED)
        .map(|(at, name)| format!("{at}, \"{name}\""))
        .collect();
    let more = match layout.unread.len().saturating_sub(NAMED) {
        0 => String::new(),
        n => format!(", and {n} more"),
    };
    let word = if layout.unread.len() == 1 {
        "column"
    } else {
        "columns"
    };
    (!named.is_empty()).then(|| format!("not read: {word} {}{more}", named.join("; ")))
}

fn passed_over(count: usize, first: u64, before: &str) -> Defect {
    let lines = if count == 1 { "line" } else { "lines" };
    Defect::at(
        first,
        format!("{count} {lines} before the {before} passed over"),
    )
}

/// What to say about a speed column that names no unit.
fn speed_without_unit(layout: &Layout, fixes: &[Fix]) -> Option<String> {
    let column = layout.get(Role::Speed)?;
    if column.unit_named {
        return None;
    }
    let fastest = fixes
        .iter()
        .filter_map(|fix| fix.speed_m_s)
        .fold(0.0, f64::max);
    let doubt = if fastest > TOO_FAST_M_S {
        format!(
            ", although {fastest:.1} m/s is faster than anyone runs; if it is km/h, name the column \"speed (km/h)\""
        )
    } else {
        String::new()
    };
    Some(format!("the speed names no unit and is read as m/s{doubt}"))
}

/// The fix of a row, before it is judged.
fn candidate(layout: &Layout, row: &Row<'_>, line: u64, time: Result<Moment, Reason>) -> Candidate {
    let cell = |role: Role| layout.get(role).map(|column| row.get(column.index));
    let field = |role: Role| match layout.get(role) {
        Some(column) => value(role, row.get(column.index), column.factor),
        None => Field::Absent,
    };
    let unclear = |role: Role, side: Role| {
        cell(role).is_some_and(|written| unsigned(role, written, cell(side), o(layout, role, side)))
    };
    let angle = |role: Role, side: Role| {
        let o = o(layout, role, side);
        let beside = cell(side).and_then(|word| hemisphere(role, word, o));
        cell(role).map_or(Field::Absent, |written| degrees(role, written, beside, o))
    };
    let has = |a: Role, b: Role| layout.get(a).is_some() && layout.get(b).is_some();
    let position = if has(Role::Latitude, Role::Longitude) {
        if unclear(Role::Latitude, Role::LatitudeSide)
            || unclear(Role::Longitude, Role::LongitudeSide)
        {
            Err(Reason::BadHemisphere)
        } else {
            geodetic(
                angle(Role::Latitude, Role::LatitudeSide),
                angle(Role::Longitude, Role::LongitudeSide),
            )
        }
    } else if has(Role::X, Role::Y) {
        local(field(Role::X), field(Role::Y))
    } else {
        Ok(None)
    };
    Candidate {
        time,
        offset: cell(Role::Time).and_then(time::offset),
        position,
        speed_m_s: field(Role::Speed),
        course_deg: field(Role::Course),
        elevation_m: field(Role::Elevation),
        heart_rate_bpm: field(Role::HeartRate),
        cadence: field(Role::Cadence),
        hdop: field(Role::Hdop),
        satellites: field(Role::Satellites),
        ..Candidate::on(line)
    }
}

/// What an O stands for in these columns.
fn o(layout: &Layout, role: Role, side: Role) -> Option<f64> {
    let of = |role| layout.get(role).and_then(|column| column.o);
    of(side).or_else(|| of(role))
}

/// Whether an angle stands beside a hemisphere that is not understood. An angle with a minus or a letter of its own needs none.
fn unsigned(role: Role, cell: &str, side: Option<&str>, o: Option<f64>) -> bool {
    let Some(word) = side else { return false };
    let blank = is_blank(word);
    let own = cell.starts_with('-') || cell.contains(char::is_alphabetic);
    !is_blank(cell) && hemisphere(role, word, o).is_none() && !(blank && own)
}

fn value(role: Role, cell: &str, factor: f64) -> Field {
    if is_blank(cell) {
        return Field::Absent;
    }
    match number::parse(cell) {
        Some(value) => Field::Number(value).times(factor),
        // Its own unit goes before that of the column.
        None => with_unit(role, cell).map_or(Field::Bad, Field::Number),
    }
}
