//! Athletes beside each other, for people; for programs a squad is a list of weeks.

pub mod text;
