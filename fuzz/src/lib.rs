//! Runs the checks on what the fuzzer makes up, and holds each to bounds of time and memory.

pub mod checks;

use std::time::Duration;

use cpu_time::ProcessTime;
use peak_alloc::PeakAlloc;

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

/// Time of the processor that an input may take; inputs have 64 kB at most (`-max_len` in `run`). What counts its coverage and
/// checks its sums is some ten times slower than a release build, which has 2 s.
const MOST_TIME: Duration = Duration::from_secs(20);
/// Memory that an input may take at one time, bytes.
const MOST_MEMORY: usize = 512 << 20;

/// Runs a check.
///
/// # Panics
/// Where the check does, and where it takes more time or memory than there is for it.
pub fn within_bounds(bytes: &[u8], check: fn(&[u8])) {
    MEMORY.reset_peak_usage();
    let before = MEMORY.current_usage();
    let began = ProcessTime::now();
    check(bytes);
    let took = began.elapsed();
    let memory = MEMORY.peak_usage().saturating_sub(before);
    assert!(
        took <= MOST_TIME,
        "{} bytes took {took:?}, more than {MOST_TIME:?}",
        bytes.len()
    );
    assert!(
        memory <= MOST_MEMORY,
        "{} bytes took {memory} bytes of memory, more than {MOST_MEMORY}",
        bytes.len()
    );
}
