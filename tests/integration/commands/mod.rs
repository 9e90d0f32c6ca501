//! The program as it is run: command line, exit status, what reaches standard output and standard error.

mod alike;
mod bad_input;
mod batch;
mod compare;
mod diary;
mod earlier_top;
mod help;
mod output;
mod pages;
mod pitch;
mod plan;
mod progress;
mod readme;
mod review;
mod schemas;
mod season;
mod settings;
mod simulate;
mod table;
mod units;
