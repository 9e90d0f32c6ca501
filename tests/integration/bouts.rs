//! Bouts in motions made by hand.

use proptest::prelude::*;
use repledger::bouts::{self, Bouts, Rules};

use crate::support::script::Script;

fn find(script: Script) -> Bouts {
    bouts::find(&script.motion(), &Rules::default())
}

/// Starts and ends are found to within the foot of a ramp of 4 m/s2.
const EDGE_S: f64 = 0.35;

#[test]
fn three_runs_are_three_bouts_with_their_edges() {
    let found = find(
        Script::new()
            .times(3, |s| s.stand(20.0).run(10.0, 5.0))
            .stand(20.0),
    );
    assert_eq!(found.list.len(), 3);
    // Each run takes 10 s and 1.25 s of braking from 5 m/s at 4 m/s2, after 20 s of standing.
    for (k, bout) in found.list.iter().enumerate() {
        let start_s = 20.0 + k as f64 * 31.25;
        assert!((bout.start_s - start_s).abs() < EDGE_S + 0.1, "{bout:?}");
        assert!((bout.run_s() - 10.0).abs() < EDGE_S, "{bout:?}");
        assert!((bout.peak_m_s - 5.0).abs() < 1e-9);
    }
}

#[test]
fn a_shuttle_is_one_bout_with_its_turns() {
    let script = Script::new()
        .stand(10.0)
        .times(6, |s| s.run(2.0, 4.0).turn())
        .stand(10.0);
    let found = find(script);
    let widest = found
        .candidates
        .iter()
        .max_by(|a, b| a.stop_run_s().total_cmp(&b.stop_run_s()))
        .and_then(|b| b.shape.clone());
    // Six ways have five turns between them; each is about 6 m up and 2 m of braking long.
    let shape = widest.expect("a bout with positions has a shape");
    assert_eq!(shape.reversals(), 5);
    assert!((6.0..9.0).contains(&shape.extent_m), "{shape:?}");
}

#[test]
fn nothing_is_found_in_nothing() {
    assert!(find(Script::new()).candidates.is_empty());
    assert!(find(Script::new().stand(600.0)).list.is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Bouts of the account come in order and do not overlap, whatever was run.
    #[test]
    fn bouts_of_the_account_do_not_overlap(
        runs in proptest::collection::vec((1.0_f64..30.0, 1.0_f64..9.0, 0.0_f64..40.0), 0..12)
    ) {
        let script = runs.iter().fold(Script::new().stand(5.0), |script, &(work_s, speed, rest_s)| {
            script.run(work_s, speed).stand(rest_s)
        });
        let found = find(script);
        for pair in found.list.windows(2) {
            prop_assert!(pair[0].stop_s <= pair[1].start_s);
        }
        for bout in &found.candidates {
            prop_assert!(bout.start_s <= bout.end_s && bout.end_s <= bout.stop_s);
        }
    }
}
