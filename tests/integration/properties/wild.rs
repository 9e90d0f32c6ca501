//! Fixes in any order, at any place and speed: a sound account, or an error that says why there is none.

use proptest::prelude::*;
use repledger::plan::{self, Plan};
use repledger::report::{self, terminal};
use repledger::session::{self, Error, Session};
use repledger::settings::Settings;
use repledger::track;

use crate::support::any;
use crate::support::sound::faults;

const PLAN: &str = "\
top speed: 8.5 m/s
warm-up 2 min
resistance 2 x 3 x 8 s, rest 15 s, 30 s between sets
speed 4 x 20 m at 95%, rest walk back
strength 2 x 4 reps over 6 m there and back, 20 s between sets
";

fn plan() -> Plan {
    plan::parse(PLAN).expect("the plan is written by the test")
}

/// Everything wrong with the account of a recording; nothing where it was refused with words.
fn wrong(csv: &str, plan: Option<&Plan>) -> Vec<String> {
    match session::analyse(csv.as_bytes(), plan, &Settings::default()) {
        Ok(session) => unsound(&session),
        Err(Error::Track(track::Error::OneInstant { .. } | track::Error::NoUsableFix { .. })) => {
            Vec::new()
        }
        Err(error) if error.to_string().is_empty() => vec!["an error without words".to_owned()],
        Err(_) => Vec::new(),
    }
}

fn unsound(session: &Session) -> Vec<String> {
    let mut faults = faults(
        &report::review::json::render(session)
            .and_then(|text| serde_json::from_str(&text))
            .expect("the document is JSON"),
    );
    if terminal::render(session).contains("NaN") {
        faults.push("the account says NaN".to_owned());
    }
    let bouts = &session.bouts;
    if bouts
        .list
        .windows(2)
        .any(|pair| pair[0].stop_s > pair[1].start_s)
    {
        faults.push("bouts overlap".to_owned());
    }
    if session
        .motion
        .samples
        .windows(2)
        .any(|pair| pair[0].time_s >= pair[1].time_s || pair[0].travel_m > pair[1].travel_m)
    {
        faults.push("time or way runs backwards".to_owned());
    }
    faults
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn any_few_fixes_give_a_sound_account(wild in any::fixes::wild(6, 40)) {
        let csv = wild.csv();
        prop_assert_eq!(wrong(&csv, Some(&plan())), Vec::<String>::new(), "{}", csv);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, max_shrink_iters: 200, ..ProptestConfig::default() })]

    #[test]
    fn any_thousands_of_fixes_give_a_sound_account(wild in any::fixes::wild(8, 900), planned in any::<bool>()) {
        let plan = planned.then(plan);
        prop_assert_eq!(wrong(&wild.csv(), plan.as_ref()), Vec::<String>::new());
    }
}
