//! The whole of a review.

use repledger::plan;
use repledger::report::table::{Item, Of, Table, csv, json as table_json};
use repledger::report::{self, terminal};
use repledger::session::{self, Session};
use repledger::settings::Settings;

use super::output;

/// What parts a plan from the recording that is held against it, on a line of its own.
const PARTING: &[u8] = b"\n%%\n";

/// A recording, or a plan, a line `%%` and a recording.
pub fn review(bytes: &[u8]) {
    let parting = bytes.windows(PARTING.len()).position(|w| w == PARTING);
    let (plan, recording) = match parting {
        Some(at) => (
            plan::parse(&plan::decode(&bytes[..=at])).ok(),
            &bytes[at + PARTING.len()..],
        ),
        None => (None, bytes),
    };
    match session::analyse(recording, plan.as_ref(), &Settings::default()) {
        Ok(session) => holds(session, bytes),
        Err(error) => output::message(&error),
    }
}

fn holds(session: Session, input: &[u8]) {
    let track = &session.track;
    let set_aside: usize = track.set_aside.iter().map(|s| s.count).sum();
    assert_eq!(track.points.len() + set_aside, track.fixes);
    for sample in &session.motion.samples {
        let numbers = [
            sample.time_s,
            sample.x_m,
            sample.y_m,
            sample.vx_m_s,
            sample.vy_m_s,
            sample.speed_m_s,
            sample.acceleration_m_s2,
            sample.position_sd_m,
            sample.speed_sd_m_s,
            sample.acceleration_sd_m_s2,
            sample.travel_m,
        ];
        assert!(numbers.iter().all(|n| n.is_finite()), "{sample:?}");
        assert!(sample.speed_m_s >= 0.0 && sample.speed_sd_m_s >= 0.0);
    }
    let totals = &session.review.totals;
    for measured in totals.top_speed_m_s.iter().chain([&totals.distance_m]) {
        assert!(0.0 <= measured.low && measured.high.is_finite());
        assert!(measured.holds(measured.value), "{measured:?}");
    }
    if let Some(plan) = &session.review.plan {
        let counts = &plan.counts;
        let judged = counts.done + counts.short + counts.slow + counts.missed + counts.unresolved;
        assert_eq!(judged, counts.planned);
    }

    output::json(&report::review::json::render(&session).expect("it can be written"));
    output::text(&terminal::render(&session), input);
    let item = Item::of_session("a.gpx", &session);
    for of in Of::ALL {
        let table = Table::of(of, std::slice::from_ref(&item));
        output::json(&table_json::render(&table).expect("it can be written"));
        output::text(&csv::render(&table, csv::Locale::Point), input);
    }
    let hidden = session.without_place(false);
    assert!(hidden.track.frame.is_none());
    output::json(&report::review::json::render(&hidden).expect("it can be written"));
}
