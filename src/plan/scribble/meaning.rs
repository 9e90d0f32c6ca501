//! What stands around a scribbled line, and what it can mean.

use super::again::Again;
use crate::plan::rounds::Rounds;
use crate::plan::{Block, Category, PitchSize};

/// The longest line that is shown again with its slips put right, bytes.
pub(super) const LONGEST_SHOWN: usize = 160;
/// Said where the notation's own mistake may say it better.
pub(in crate::plan) const NOT_UNDERSTOOD: &str = "this line is not understood";

/// What stands around a line.
#[derive(Clone, Copy, Debug, Default)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is one thing that is so around a line or is not"
)]
pub(in crate::plan) struct Around<'a> {
    /// The category that a line above said for those below it.
    pub carried: Option<Category>,
    /// No block comes before it.
    pub first: bool,
    /// No line with a number comes behind it.
    pub last: bool,
    /// The next line, where it has a number.
    pub next: Option<&'a str>,
    /// It belongs to the list of rounds.
    pub inside: bool,
    /// It is an item of a list below a block that is none, and tells what is done in it.
    pub beneath: bool,
    /// It is a part of a line.
    pub part: bool,
    /// The pitch that the plan names.
    pub pitch: Option<PitchSize>,
}

/// What a scribbled line means.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::plan) enum Scribble {
    /// A block, the words beside it, and whether its rest could be one between sets.
    Block {
        block: Box<Block>,
        remark: Option<String>,
        open_rest: bool,
    },
    /// `Sprints:`, above lines that do not say their kind.
    Heads(Category),
    /// `rest 3 min`, in the notation's words, for the block above, and the words beside it.
    Rest {
        said: String,
        remark: Option<String>,
    },
    /// `rest 90 s then jog back`: two rests, of which the block above can have one.
    EitherRest { message: String, rests: [String; 2] },
    /// `x 2`, for the block above.
    Again(Again),
    /// `rest 3 min between rounds`, for the rounds above.
    RoundsRest { rest_s: f64, remark: Option<String> },
    /// `circuit, 3 rounds:`
    Rounds {
        rounds: Rounds,
        remark: Option<String>,
    },
    /// Words that ask for nothing.
    Remark,
    /// It can mean several things, or lacks one.
    Ask {
        message: String,
        /// The words it is about, where it is not the whole line.
        written: Option<String>,
        lines: Vec<String>,
    },
}

impl Scribble {
    /// The lines of a block or of a question, each with more words kept beside it. `None` for all else, and where one is several lines.
    pub(super) fn lines_with(self, words: &str) -> Option<Vec<String>> {
        let lines = match self {
            Self::Block { block, remark, .. } => {
                let line = block.line_text(true);
                vec![match remark {
                    Some(remark) => format!("{line}  # {remark}"),
                    None => line,
                }]
            }
            Self::Ask { lines, .. } if lines.iter().all(|line| !line.contains('\n')) => lines,
            _ => return None,
        };
        if words.is_empty() {
            return Some(lines);
        }
        let with = |line: &String| match line.split_once("  # ") {
            Some((line, remark)) => format!("{line}  # {remark}; {words}"),
            None => format!("{line}  # {words}"),
        };
        Some(lines.iter().map(with).collect())
    }
}
