//! How a test ends.

/// What a test returns: any error fails it.
pub type Outcome<T = ()> = Result<T, Box<dyn std::error::Error>>;
