//! [`repledger_fuzz::checks::gpx`].
#![no_main]

use repledger_fuzz::{checks, within_bounds};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| within_bounds(bytes, checks::gpx));
