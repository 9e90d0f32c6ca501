//! GPX, read by its bytes where it is ordinary and else with a pull reader, and written with the `gpx` crate.

mod document;
mod element;
mod packed;
mod pieces;
mod read;
mod scan;
mod write;

pub(super) use pieces::read_in_pieces;
pub(super) use read::read;
#[doc(hidden)]
pub use read::read_both_ways;
pub use write::write;
