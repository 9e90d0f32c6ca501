//! What can be wrong with a settings file or an override.

use std::fmt;

use crate::settings::Origin;

/// Where a setting was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Place {
    /// In the file of this name, on this line, from 1.
    File {
        /// As it was handed over.
        name: String,
        /// From 1.
        line: usize,
    },
    /// As `--set name=value`.
    CommandLine,
}

impl Place {
    /// The place as the origin of a value.
    pub(super) fn origin(&self) -> Origin {
        match self {
            Self::File { name, .. } => Origin::File(name.clone()),
            Self::CommandLine => Origin::CommandLine,
        }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File { name, line } => write!(f, "{name}, line {line}"),
            Self::CommandLine => f.write_str("--set"),
        }
    }
}

/// Why settings could not be put together.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Error {
    /// The file is not TOML.
    Syntax {
        /// Where the reader stopped.
        place: Place,
        /// What it says.
        message: String,
    },
    /// An override without `=`.
    NoValue {
        /// What was written.
        text: String,
    },
    /// There is no setting of this name.
    UnknownKey {
        /// Where it was written.
        place: Place,
        /// The name written.
        key: String,
        /// Names that were perhaps meant, the nearest first.
        nearest: Vec<&'static str>,
    },
    /// The same setting twice in one file.
    Twice {
        /// The second place.
        place: Place,
        /// Its name.
        key: &'static str,
    },
    /// A value that the setting does not take.
    Value {
        /// Where it was written.
        place: Place,
        /// The setting.
        key: &'static str,
        /// The value as written.
        given: String,
        /// What may stand there.
        expected: String,
    },
    /// Two neighbouring bands that do not increase.
    Bands {
        /// The setting that must be lower.
        lower: &'static str,
        /// Its value.
        low: String,
        /// The setting that must be higher.
        upper: &'static str,
        /// Its value.
        high: String,
    },
    /// The own set was chosen without a top speed.
    NoTopSpeed {
        /// Where the set was chosen.
        place: Place,
    },
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Syntax { place, message } => write!(f, "{place}: this is not TOML: {message}"),
            Self::NoValue { text } => write!(
                f,
                "--set {text}: expected name=value, such as sprint.from=7.2m/s"
            ),
            Self::UnknownKey {
                place,
                key,
                nearest,
            } => {
                write!(f, "{place}: there is no setting `{key}`")?;
                match nearest.as_slice() {
                    [] => f.write_str("; `repledger settings` lists all of them"),
                    [one] => write!(f, "; did you mean `{one}`?"),
                    several => write!(f, "; did you mean one of `{}`?", several.join("`, `")),
                }
            }
            Self::Twice { place, key } => write!(f, "{place}: `{key}` was already set above"),
            Self::Value {
                place,
                key,
                given,
                expected,
            } => write!(f, "{place}: `{key}` cannot be {given}; expected {expected}"),
            Self::Bands {
                lower,
                low,
                upper,
                high,
            } => write!(
                f,
                "the speed bands must increase, but `{lower}` is {low} and `{upper}` is {high}"
            ),
            Self::NoTopSpeed { place } => write!(
                f,
                "{place}: the set \"own\" needs the player's own top speed; give `athlete.top_speed`, such as 8.8 m/s"
            ),
        }
    }
}

impl std::error::Error for Error {}
