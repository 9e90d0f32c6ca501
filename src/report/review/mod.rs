//! A review for programs, and on one line of many. For people it is [`terminal`](super::terminal) and [`page`](super::page).

pub mod json;
pub mod summary;
