//! One test program; a file a module of `src/`, with the same name.

mod figure;
mod reference;
mod settings;
mod simulation;
