//! The program under interruption and in bad surroundings: signals, kills, full and read-only disks, company, odd names.

mod company;
mod disks;
mod kills;
mod names;
mod outside;
mod reading;
mod signals;
