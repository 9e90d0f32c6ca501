//! A file a command; each turns what was typed into one call of the library.

pub mod diary;
pub mod plan;
pub mod review;
pub mod settings;
pub mod simulate;
