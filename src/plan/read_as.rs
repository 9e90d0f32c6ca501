//! How a line was read that is not written in the notation.

/// A line that was read by what its words can mean only.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadAs {
    /// Line in the file, from 1.
    pub line: u32,
    /// What is written there.
    pub written: String,
    /// The line of the notation that says the same; `None` for words that ask for nothing, which are kept as a comment.
    pub tidy: Option<String>,
}
