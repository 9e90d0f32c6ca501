//! The command line of repledger.

fn main() {}
