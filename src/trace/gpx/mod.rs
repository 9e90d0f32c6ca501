//! GPX, read with a pull reader and written with the `gpx` crate.

mod element;
mod read;
mod write;

pub(super) use read::read;
pub use write::write;
