//! Pitches: files of corners, and those that are kept.

use repledger::geodesy::LocalFrame;
use repledger::pitch::{self, Kept};

use super::output;

/// Lines of corners or GeoJSON; and the same bytes as a pitch that was kept.
pub fn pitch(bytes: &[u8]) {
    match pitch::read_corners(bytes) {
        Ok(corners) => {
            let frame = LocalFrame::new(corners[0]);
            match pitch::from_corners(&corners, &frame) {
                Ok(found) => holds(&Kept::of("from corners".to_owned(), &found, &frame)),
                Err(error) => output::message(&error),
            }
        }
        Err(error) => output::message(&error),
    }
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    match Kept::parse(text) {
        Ok(kept) => holds(&kept),
        Err(error) => output::message(&error),
    }
}

/// What is kept comes back, lies where it is, and can be told better by another trace.
fn holds(kept: &Kept) {
    let text = kept.render().expect("it can be written");
    let again = Kept::parse(&text).unwrap_or_else(|error| panic!("{error}\n{text}"));
    assert_eq!((&again.name, again.size), (&kept.name, kept.size));
    assert_eq!(again.centre, kept.centre);
    assert!((again.turn_rad - kept.turn_rad).abs() < 1e-9);

    let under = (kept.in_session(&LocalFrame::new(kept.centre))).expect("it lies under itself");
    assert!(under.centre_m.iter().all(|m| m.abs() < 1e-6));
    for marking in pitch::markings(kept.size) {
        assert!(!format!("{marking:?}").contains("NaN"));
    }
    assert_eq!(kept.apart_m(kept), None);
    let both = kept.clone().with(kept);
    assert!(both.centre_sd_m <= kept.centre_sd_m && both.turn_sd_rad <= kept.turn_sd_rad);
    assert!(both.traces >= kept.traces);
    let both = both.render().expect("it can be written");
    assert!(Kept::parse(&both).is_ok(), "{both}");
}
