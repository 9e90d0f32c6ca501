//! One test program; a file a module of `src/`, with the same name.

mod settings;
mod simulation;
