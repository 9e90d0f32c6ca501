//! The cleaning on whole simulated recordings: every fix accounted for, jumps out, sprints in.

use repledger::simulation::{self, Kind, Mess};
use repledger::track::{self, Error, Rules};

#[test]
fn every_fix_is_used_or_set_aside_with_a_reason() {
    for kind in Kind::ALL {
        let trace = simulation::session(12, kind, Mess::Usual).trace();
        let track =
            track::clean(&trace, &Rules::default()).expect("a simulated recording is sound");
        let aside: usize = track.set_aside.iter().map(|s| s.count).sum();
        assert_eq!(track.points.len() + aside, track.fixes, "{kind:?}");
        assert_eq!(track.fixes, trace.fixes.len(), "{kind:?}");
        assert!(
            track.points.windows(2).all(|w| w[0].time_s < w[1].time_s),
            "{kind:?}"
        );
    }
}

/// Of the fixes that a phone displaced by more than 6 m for a few seconds, most are found; of the others hardly any are.
#[test]
fn jumps_are_told_from_running() {
    let (mut jumped, mut found, mut steady, mut wrong) = (0, 0, 0, 0);
    for seed in 40..52 {
        let session = simulation::plain_session(seed, Kind::Phone1, Mess::Usual);
        let trace = session.trace();
        let track =
            track::clean(&trace, &Rules::default()).expect("a simulated recording is sound");
        let mut used = vec![false; trace.fixes.len()];
        for point in track.points.iter().filter(|p| p.position_m().is_some()) {
            used[point.fix as usize] = true;
        }
        let mut last_s = f64::NEG_INFINITY;
        for (row, used) in session.recording.rows.iter().zip(used) {
            if row.time_s <= last_s {
                continue;
            }
            last_s = row.time_s;
            let place = session.truth.state_at(row.time_s);
            // The device's own filter trails the runner by up to about a second; drift adds a few metres.
            let allowed = 9.0 + 1.5 * place.vx_m_s.hypot(place.vy_m_s);
            let off_m = (row.x_m - place.x_m).hypot(row.y_m - place.y_m);
            if off_m > allowed + 6.0 {
                jumped += 1;
                found += i32::from(!used);
            } else if off_m < allowed {
                steady += 1;
                wrong += i32::from(!used);
            }
        }
    }
    assert!(jumped > 50, "only {jumped} jumped fixes to judge by");
    assert!(
        f64::from(found) > 0.9 * f64::from(jumped),
        "{found} of {jumped} found"
    );
    assert!(
        f64::from(wrong) < 0.01 * f64::from(steady),
        "{wrong} of {steady} wrongly set aside"
    );
}

#[test]
fn one_fix_and_one_instant_are_no_motion() {
    let mut trace = simulation::session(12, Kind::Watch1, Mess::Clean).trace();
    trace.fixes.truncate(1);
    assert_eq!(
        track::clean(&trace, &Rules::default()).unwrap_err(),
        Error::OneInstant { fixes: 1 }
    );
    trace.fixes.clear();
    assert!(matches!(
        track::clean(&trace, &Rules::default()),
        Err(Error::NoUsableFix { .. })
    ));
}
