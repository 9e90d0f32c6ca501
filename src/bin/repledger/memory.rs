//! Memory that was freed is kept for what comes next.

use std::hint::black_box;

/// A little less than the largest block by which the C library of Linux learns.
const LARGE: usize = 31 << 20;

/// Has the allocator keep what is freed. A review frees the recording's text before it needs as much for its smoothing; given back and
/// asked for again, that memory is cleared by the system page by page, which takes a sixth of the time.
///
/// The C library of Linux gives large blocks back at once, until one is freed: from then on it keeps those that are no larger. So it is
/// shown one, which nobody writes to and which therefore takes no memory. Elsewhere this does nothing.
pub fn keep_what_is_freed() {
    let mut shown: Vec<u8> = Vec::new();
    // Where there is no room for it, what follows says so better.
    let _ = shown.try_reserve_exact(LARGE);
    drop(black_box(shown));
}
