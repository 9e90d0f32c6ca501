//! Why a picture could not be made.

use std::fmt;

/// Why a picture could not be made.
#[derive(Debug)]
#[non_exhaustive]
pub enum Error {
    /// A chart could not be drawn.
    Drawing(String),
    /// The text given is no SVG.
    Svg(String),
    /// The picture would be empty, or too large.
    Size {
        /// Pixels across.
        width: f64,
        /// Pixels down.
        height: f64,
    },
    /// The PNG could not be encoded.
    Png(String),
}

impl Error {
    /// From the error of a drawing call.
    pub(super) fn drawing(error: impl fmt::Display) -> Self {
        Self::Drawing(error.to_string())
    }

    /// From the error of the PNG encoder.
    pub(super) fn png(error: impl fmt::Display) -> Self {
        Self::Png(error.to_string())
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Drawing(why) => write!(f, "a chart could not be drawn: {why}"),
            Self::Svg(why) => write!(f, "the picture is no valid SVG: {why}"),
            Self::Size { width, height } => {
                write!(f, "a picture of {width} by {height} pixels cannot be made")
            }
            Self::Png(why) => write!(f, "the PNG could not be encoded: {why}"),
        }
    }
}

impl std::error::Error for Error {}
