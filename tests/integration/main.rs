//! One test program; a file a module of `src/`, with the same name.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::unreachable,
    reason = "a test says by a panic that something does not hold"
)]

mod bouts;
mod commands;
mod comparison;
mod corpus;
mod diary;
mod drill;
mod efforts;
mod everyday;
// What these take for granted, from named pipes to namespaces, is Linux's.
#[cfg(target_os = "linux")]
mod faults;
mod figure;
mod grid;
mod limits;
mod motion;
mod notes;
mod plan;
mod plan_cues;
mod plan_jotted;
mod plan_meant;
mod plan_noted;
mod plan_on_the_pitch;
mod plan_open;
mod plan_scribbled;
mod plan_shorthand;
mod plan_worded;
mod profile;
mod progress;
mod properties;
mod reference;
mod report;
mod report_page;
mod review;
mod settings;
mod simulation;
mod support;
mod table;
mod trace;
mod track;
