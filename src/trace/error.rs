//! Why a file could not be read at all, and what to do about it.

use std::fmt;

use super::SetAside;

/// A file of which nothing can be used.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Error {
    /// No bytes, or nothing but blanks.
    Empty,
    /// Not text.
    Binary {
        /// What the first bytes look like, such as "a zip archive".
        looks_like: &'static str,
    },
    /// The compressed file gives no bytes.
    Gzip {
        /// What the unpacking met.
        message: String,
    },
    /// The compressed file expands to more than the bound.
    TooLarge {
        /// The bound, bytes.
        limit: u64,
    },
    /// More fixes than are read of one recording.
    TooManyFixes {
        /// The bound.
        limit: usize,
    },
    /// Text in an encoding that is not read.
    Encoding {
        /// The encoding.
        name: &'static str,
    },
    /// A web page.
    Html,
    /// JSON.
    Json,
    /// XML whose root is not `gpx`.
    OtherXml {
        /// The local name of the root element.
        root: String,
        /// Its line.
        line: u64,
    },
    /// A document type with declarations of its own, which could expand without bound.
    Declarations {
        /// Its line.
        line: u64,
    },
    /// Damage before the first fix.
    Damaged {
        /// Its line.
        line: u64,
        /// What was met.
        message: String,
    },
    /// GPX without a track.
    NoTrack {
        /// Routes in the file.
        routes: usize,
        /// Waypoints in the file.
        waypoints: usize,
    },
    /// A track without points, or a table without rows.
    NoFixes,
    /// Fixes, but none that can be used.
    NothingUsable {
        /// Why, by reason.
        set_aside: Vec<SetAside>,
        /// The first time of a table that could not be read, as written.
        time: Option<String>,
    },
    /// No line of the text names the columns.
    NoHeader {
        /// The first line of the file, shortened.
        first: String,
    },
    /// A header that lacks what a recording needs.
    MissingColumn {
        /// The header's line.
        line: u64,
        /// What is missing.
        missing: &'static str,
        /// The columns that were found, as written.
        found: Vec<String>,
    },
    /// A unit that is not known, or not one of that column's.
    Unit {
        /// The header's line, `None` for `--columns`.
        line: Option<u64>,
        /// The column as written.
        column: String,
        /// The units that would do.
        expected: &'static str,
    },
    /// A word of `--columns` that is not known, or one that comes twice.
    Columns {
        /// The word.
        word: String,
        /// What is wrong with it.
        problem: &'static str,
    },
    /// Rows with more cells than the header: most often decimal commas between commas.
    Cells {
        /// The first such line.
        line: u64,
        /// Its cells.
        cells: usize,
        /// The header's.
        columns: usize,
    },
    /// A line too long for a table.
    LineTooLong {
        /// The line.
        line: u64,
        /// The bound, bytes.
        limit: usize,
    },
    /// Day and month cannot be told apart.
    DateOrder {
        /// The line of the first such date.
        line: u64,
        /// The date as written.
        date: String,
    },
    /// A column of the letter O, which is east in some languages and west in others.
    Hemisphere {
        /// The header's line.
        line: u64,
        /// The column as written.
        column: String,
    },
    /// Date and time run together in digits that can be read in several orders, or not in the one that was told.
    GluedTime {
        /// The line of the first.
        line: u64,
        /// The digits as written.
        time: String,
        /// What they can mean.
        readings: Vec<String>,
    },
    /// A trace that the format to be written cannot hold.
    Write {
        /// Why.
        message: String,
    },
}

impl Error {
    /// Whether the message holds words of the file, which may say where or when it was recorded.
    #[must_use]
    pub fn quotes(&self) -> bool {
        matches!(
            self,
            Self::NoHeader { .. }
                | Self::OtherXml { .. }
                | Self::MissingColumn { .. }
                | Self::Unit { .. }
                | Self::Hemisphere { .. }
                | Self::Damaged { .. }
                | Self::DateOrder { .. }
                | Self::GluedTime { .. }
                | Self::NothingUsable { time: Some(_), .. }
        )
    }
}

impl fmt::Display for Error {
    #[allow(clippy::too_many_lines)] // One message a case; parting them would hide which is which.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("the file is empty; export the recording again"),
            Self::Binary { looks_like } => write!(
                f,
                "this is {looks_like}, not text; export the recording as GPX or CSV"
            ),
            Self::Gzip { message } => write!(
                f,
                "the gzip file cannot be unpacked ({message}); fetch it again, or unpack it first"
            ),
            Self::TooLarge { limit } => write!(
                f,
                "the packed file holds more than {} MB, the most that is unpacked of one of its size; cut the recording into \
                 sessions, or unpack it first",
                limit >> 20
            ),
            Self::TooManyFixes { limit } => write!(
                f,
                "the recording holds more than {limit} fixes, the most that are read; cut it into sessions"
            ),
            Self::Encoding { name } => {
                write!(f, "the text is in {name}; save it as UTF-8")
            }
            Self::Html => f.write_str(
                "this is a web page, not a recording (a sign-in page, perhaps); download the recording again",
            ),
            Self::Json => f.write_str("this is JSON; export the recording as GPX or CSV"),
            Self::OtherXml { root, line } => write!(
                f,
                "line {line}: the root element is <{root}>, not <gpx>; export the recording as GPX or CSV"
            ),
            Self::Declarations { line } => write!(
                f,
                "line {line}: the document type declares entities, which are refused; remove the <!DOCTYPE ...> and try again"
            ),
            Self::Damaged { line, message } => write!(
                f,
                "line {line}: {message}, and no fix stands before it; export the recording again"
            ),
            Self::NoTrack { routes, waypoints } => {
                f.write_str("the GPX file has no track")?;
                if let Some(only) = routes_and_waypoints(*routes, *waypoints) {
                    write!(f, " (only {only}, which carry no motion)")?;
                }
                f.write_str("; export the recorded track")
            }
            Self::NoFixes => {
                f.write_str("the recording holds no fixes; export it again")
            }
            Self::NothingUsable { set_aside, time } => nothing_usable(f, set_aside, time.as_deref()),
            Self::NoHeader { first } => write!(
                f,
                "no line names the columns of a recording (the file begins \"{first}\"); \
                 name them with --columns, such as --columns time,lat,lon,speed:km/h,-"
            ),
            Self::MissingColumn {
                line,
                missing,
                found,
            } => write!(
                f,
                "line {line}: the header has no column for {missing} (known: {}); \
                 rename the column, or name all with --columns",
                listed(found)
            ),
            Self::Unit {
                line,
                column,
                expected,
            } => {
                if let Some(line) = line {
                    write!(f, "line {line}: ")?;
                }
                write!(
                    f,
                    "the unit of the column \"{column}\" is not known; write {expected}"
                )
            }
            Self::Columns { word, problem } => write!(
                f,
                "--columns: \"{word}\" {problem}; known are time, date, lat, lon, x, y, speed, course, ele, hr, cad, hdop, \
                 sat and - for a column to skip, with a unit after a colon, such as speed:km/h"
            ),
            Self::Cells {
                line,
                cells,
                columns,
            } => write!(
                f,
                "line {line} has {cells} cells for {columns} columns; if numbers are written with decimal commas, export \
                 with semicolons or tabs between the columns"
            ),
            Self::LineTooLong { line, limit } => write!(
                f,
                "line {line} is longer than {limit} bytes, which no row of a table is; export the recording again as CSV or GPX"
            ),
            Self::DateOrder { line, date } => write!(
                f,
                "line {line}: the date {date} can be day first or month first; say which with --dates dmy or --dates mdy"
            ),
            Self::Hemisphere { line, column } => write!(
                f,
                "line {line}: the O in the column \"{column}\" is east in some languages and west in others; name it O/W \
                 (east and west) or E/O (est and ovest, ouest, oeste)"
            ),
            Self::GluedTime {
                line,
                time,
                readings,
            } => write!(
                f,
                "line {line}: the time {time} can be {}; say --dates dmy or --dates mdy, name the column ddmmyyhhmmss or \
                 yymmddhhmmss, or write it as 2026-05-12 18:12:30 or 20260512181230",
                readings.join(" or ")
            ),
            Self::Write { message } => f.write_str(message),
        }
    }
}

impl std::error::Error for Error {}

/// The first words of a list, which a hostile file makes long.
fn listed(words: &[String]) -> String {
    const MOST: usize = 12;
    match words.get(..MOST) {
        None if words.is_empty() => "none".to_owned(),
        None => words.join(", "),
        Some(first) => format!("{}, ...", first.join(", ")),
    }
}

/// The forms of time that a table may have, for a message.
const TIMES: &str = "2026-05-12T18:12:30Z, 2026-05-12 18:12:30, 12/05/2026 6:12:30 pm, 12 May 2026 18:12:30, 20260512T181230Z, \
                     18:12:30, and seconds from the start or since 1970";

fn nothing_usable(
    f: &mut fmt::Formatter<'_>,
    set_aside: &[SetAside],
    bad_time: Option<&str>,
) -> fmt::Result {
    let total: usize = set_aside.iter().map(|s| s.count).sum();
    if total == 1 {
        f.write_str("the one fix of the recording cannot be used: ")?;
    } else {
        write!(f, "none of the {total} fixes can be used: ")?;
    }
    for (i, entry) in set_aside.iter().enumerate() {
        if i > 0 {
            f.write_str(", ")?;
        }
        write!(f, "{} {}", entry.count, entry.reason)?;
        if let Some(line) = entry.first_line {
            write!(f, " (first on line {line})")?;
        }
    }
    if let Some(time) = bad_time {
        return write!(
            f,
            "; the first such time is \"{time}\", and what is read are {TIMES}"
        );
    }
    f.write_str("; a recording needs fixes with a time and a position or a speed, so export the recorded track with its times")
}

/// "1 route and 3 waypoints", `None` without either.
pub(super) fn routes_and_waypoints(routes: usize, waypoints: usize) -> Option<String> {
    let counted = |n: usize, noun: &str| match n {
        0 => None,
        1 => Some(format!("1 {noun}")),
        _ => Some(format!("{n} {noun}s")),
    };
    match (counted(routes, "route"), counted(waypoints, "waypoint")) {
        (Some(a), Some(b)) => Some(format!("{a} and {b}")),
        (a, b) => a.or(b),
    }
}

/// Words of the file for a message: shortened, and without control characters, which a terminal would obey.
pub(super) fn excerpt(text: &str, most: usize) -> String {
    text.chars()
        .filter(|c| !c.is_control())
        .take(most)
        .collect()
}
