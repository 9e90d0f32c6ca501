//! One test program; a file a module of `src/`, with the same name.

mod efforts;
mod figure;
mod plan;
mod reference;
mod settings;
mod simulation;
mod trace;
