//! A request to stop: Ctrl-C (SIGINT), or the SIGTERM of whoever looks after the program.
//!
//! The program ends at once and takes its unfinished files away, unless the work at hand is on many things and has said that it
//! looks at [`Halt::asked`] between them: then it ends by itself, and only a second request ends it at once.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// Whether the program was asked to stop. All copies hear the same.
#[derive(Clone, Default)]
pub struct Halt {
    /// The number of the last signal; 0 while there was none.
    signal: Arc<AtomicUsize>,
    /// The work ends by itself.
    between: Arc<AtomicBool>,
}

impl Halt {
    /// Listens from now on. Where the system knows no signals, or refuses them, it ends the program as it likes.
    pub fn listen() -> Self {
        let halt = Self::default();
        #[cfg(unix)]
        let _ = unix::listen(&halt);
        halt
    }

    /// From now on a first request is only noted.
    pub fn between(&self) {
        self.between.store(true, Ordering::SeqCst);
    }

    /// The signal that asked to stop.
    pub fn asked(&self) -> Option<usize> {
        Some(self.signal.load(Ordering::SeqCst)).filter(|signal| *signal != 0)
    }
}

#[cfg(unix)]
mod unix {
    use std::io::{self, PipeReader, Read};
    use std::process;
    use std::sync::Arc;
    use std::sync::atomic::Ordering;
    use std::thread;
    use std::time::{Duration, Instant};

    use signal_hook::consts::{SIGINT, SIGTERM};
    use signal_hook::{flag, low_level::pipe};

    use super::Halt;
    use crate::exit_status;
    use crate::part;

    /// Some programs send one request twice, to the process and to its group.
    const ONE_REQUEST: Duration = Duration::from_millis(300);

    /// Each signal leaves its number, then wakes a thread through a pipe.
    pub fn listen(halt: &Halt) -> io::Result<()> {
        let (woken, wake) = io::pipe()?;
        for (signal, number) in [(SIGINT, 2), (SIGTERM, 15)] {
            flag::register_usize(signal, Arc::clone(&halt.signal), number)?;
            pipe::register(signal, wake.try_clone()?)?;
        }
        let halt = halt.clone();
        thread::spawn(move || answer(&halt, woken));
        Ok(())
    }

    fn answer(halt: &Halt, mut woken: PipeReader) {
        let mut noted: Option<Instant> = None;
        while woken.read_exact(&mut [0]).is_ok() {
            if noted.is_some_and(|at| at.elapsed() < ONE_REQUEST) {
                continue;
            }
            if noted.is_none() && halt.between.load(Ordering::SeqCst) {
                noted = Some(Instant::now());
                continue;
            }
            part::remove_all();
            let signal = halt.asked().unwrap_or_default();
            process::exit(exit_status::stopped(signal).into());
        }
    }
}
