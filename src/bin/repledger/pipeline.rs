//! Works on many things in parallel and tells what came of them in their order.

use std::collections::BTreeMap;
use std::iter::Enumerate;
use std::panic::{self, AssertUnwindSafe};
use std::sync::mpsc::{self, Receiver};
use std::sync::{Mutex, PoisonError};

use crate::halt::Halt;

/// How many results a thread may be ahead of what was told.
const AHEAD: usize = 4;

/// What is still to be done.
struct Source<I> {
    items: Enumerate<I>,
    /// One for each item that may be begun.
    permits: Receiver<()>,
}

/// Calls `work` for each item, on all threads of the pool, and `tell` for each result, on this one, in the order of the items.
///
/// A thread takes an item when it is done with the one before, so there are as many items under work as threads, however uneven
/// they are; of results, which wait for one that takes longer, there are [`AHEAD`] times as many at most. Items are fetched while
/// results are told: whoever waits for an answer before he sends the next item gets it.
///
/// Once there is a request to stop, no item is begun; those under work are finished and told.
///
/// # Errors
/// The first error of `tell`; then no further item is begun.
pub fn in_order<T, R: Send>(
    items: impl Iterator<Item = T> + Send,
    halt: &Halt,
    work: impl Fn(T) -> R + Sync,
    mut tell: impl FnMut(R) -> anyhow::Result<()>,
) -> anyhow::Result<()> {
    halt.between();
    let (permit, permits) = mpsc::channel();
    let source = Mutex::new(Source {
        items: items.enumerate(),
        permits,
    });
    rayon::in_place_scope(|scope| {
        // Moved in, so that threads that wait for a permit go on, and end, when this one is left early.
        let permit = permit;
        for _ in 0..AHEAD * rayon::current_num_threads() {
            let _ = permit.send(());
        }
        let (done, results) = mpsc::channel();
        let (source, work) = (&source, &work);
        scope.spawn_broadcast(move |_, _| {
            while let Some((place, item)) = next(source, halt) {
                let result = panic::catch_unwind(AssertUnwindSafe(|| work(item)));
                if done.send((place, result)).is_err() {
                    break;
                }
            }
        });
        let mut waiting = BTreeMap::new();
        let mut told = 0;
        for (place, result) in results {
            waiting.insert(place, result);
            while let Some(result) = waiting.remove(&told) {
                tell(result.unwrap_or_else(|fault| panic::resume_unwind(fault)))?;
                told += 1;
                let _ = permit.send(());
            }
        }
        Ok(())
    })
}

/// The next item with its place, unless no more are to be begun.
fn next<T>(source: &Mutex<Source<impl Iterator<Item = T>>>, halt: &Halt) -> Option<(usize, T)> {
    let mut source = source.lock().unwrap_or_else(PoisonError::into_inner);
    source.permits.recv().ok()?;
    if halt.asked().is_some() {
        return None;
    }
    source.items.next()
}
