//! Holds a football training plan against a recording and says, with intervals, what was done.
//!
//! Data flows one way: bytes become a [`trace`], a trace is cleaned to a [`track`], a track is smoothed to [`motion`],
//! and what is found in the motion ([`efforts`], [`bouts`]) is held against a [`plan`] by [`review`];
//! [`profile`] says what the sprints show of the player.
//! [`session::analyse`] is the one place that puts these stages in order. No stage knows a path, a clock, a terminal
//! or the environment; the binary opens files and hands over bytes.
//!
//! Start from [`session::analyse`]: it takes the bytes of a recording, a plan ([`plan::parse`]) and [`settings::Settings`], and gives a
//! [`session::Session`], whose fields are what each stage found. [`report`] and [`figure`] write it down and draw it; [`diary::Diary`]
//! keeps it, and [`progress`] looks over what is kept; [`comparison`] holds sessions beside each other; [`simulation`] makes recordings
//! whose truth is known.
//!
//! Public is what the program and its tests use and what types of theirs are made of; the rest is the crate's own.

pub mod bouts;
pub mod comparison;
mod curve;
pub mod diary;
pub mod efforts;
mod estimation;
pub mod figure;
pub mod geodesy;
pub mod limits;
pub mod measured;
pub mod motion;
pub mod note;
pub mod pitch;
pub mod plan;
pub mod profile;
pub mod progress;
pub mod report;
pub mod review;
pub mod session;
pub mod settings;
pub mod simulation;
mod speed;
pub mod trace;
pub mod track;
pub mod units;

/// The examples of docs/library.md are run like those of the documentation.
#[cfg(doctest)]
#[doc = include_str!("../docs/library.md")]
struct Library;
