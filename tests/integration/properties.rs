//! What holds of any recording, plan and diary, whatever is in it.
//!
//! The generators stand in `support/any`; a run draws new cases each time, `PROPTEST_CASES` and `PROPTEST_RNG_SEED` say
//! how many and which. What a property found has its own small test beside it.

mod diary;
mod matching;
mod same;
mod tables;
mod wild;
