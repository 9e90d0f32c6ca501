//! Why a trace cannot become a track.

use std::fmt;

use crate::limits::RECORDED_H;
use crate::trace::SetAside;

/// Why a trace cannot become a track.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Error {
    /// Nothing remained after cleaning.
    NoUsableFix {
        /// What was set aside, and why.
        set_aside: Vec<SetAside>,
    },
    /// All fixes carry the same time, or only one fix remains.
    OneInstant {
        /// How many usable fixes there are.
        fixes: usize,
    },
    /// More hours than are smoothed at once.
    TooLong {
        /// How long it was recorded, without gaps, h.
        recorded_h: f64,
    },
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoUsableFix { set_aside } => {
                write!(f, "no usable fix in the recording")?;
                for (i, s) in set_aside.iter().enumerate() {
                    write!(
                        f,
                        "{}{} x {}",
                        if i == 0 { ": " } else { ", " },
                        s.count,
                        s.reason
                    )?;
                }
                Ok(())
            }
            Self::TooLong { recorded_h } => write!(
                f,
                "{recorded_h:.1} h were recorded, and at most {RECORDED_H} h are reviewed at once; cut the recording into sessions"
            ),
            Self::OneInstant { fixes: 1 } => {
                write!(
                    f,
                    "only one usable fix: motion needs at least two, at different times"
                )
            }
            Self::OneInstant { fixes } => {
                write!(
                    f,
                    "all {fixes} usable fixes carry the same time: check the time column of the recording"
                )
            }
        }
    }
}

impl std::error::Error for Error {}
