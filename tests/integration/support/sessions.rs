//! Simulated sessions that several tests look at, each reviewed once.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use repledger::session::{self, Session};
use repledger::settings::Settings;
use repledger::simulation::{self, Kind, Mess};

type Sessions = BTreeMap<(u64, &'static str), Arc<OnceLock<Session>>>;

static REVIEWED: Mutex<Sessions> = Mutex::new(BTreeMap::new());

/// Whether tests may take their time: `LONG=1`, as for `.ci/run`.
pub fn long() -> bool {
    std::env::var_os("LONG").is_some_and(|word| !word.is_empty())
}

/// A session done as planned, held against its plan.
pub fn reviewed(seed: u64, kind: Kind) -> Session {
    let cell = REVIEWED
        .lock()
        .unwrap_or_else(PoisonError::into_inner)
        .entry((seed, kind.word()))
        .or_default()
        .clone();
    let review = || {
        let simulated = simulation::session(seed, kind, Mess::Clean);
        session::account(
            simulated.trace(),
            Some(&simulated.plan),
            &Settings::default(),
        )
        .expect("a simulated recording can be read")
    };
    cell.get_or_init(review).clone()
}
