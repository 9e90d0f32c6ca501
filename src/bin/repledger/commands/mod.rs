//! A file a command; each turns what was typed into one call of the library.

pub mod best;
pub mod compare;
pub mod diary;
pub mod drill;
pub mod help;
mod pictures;
pub mod pitch;
pub mod plan;
pub mod review;
pub mod settings;
pub mod simulate;
pub mod table;
pub mod week;
pub mod weeks;
