//! Notes: each kind through every form of the review, and what is shared of it without the place and the day.

use jiff::civil::date;
use repledger::note::{Note, Reveals};
use repledger::report::{self, note, page, terminal};
use repledger::session::Session;
use repledger::settings::Settings;
use serde_json::Value;

use crate::support::made;
use crate::support::outcome::Outcome;

/// One of each kind; [`each_kind_is_tried`] holds the list to be whole.
fn every() -> Vec<Note> {
    vec![
        Note::InFile {
            line: Some(7),
            message: "\"north bank;12\" is no latitude".to_owned(),
        },
        Note::InFile {
            line: None,
            message: "the columns have no heading".to_owned(),
        },
        Note::NoPositions,
        Note::SpeedFromPositions,
        Note::Irregular { apart_s: 3.25 },
        Note::Gaps {
            count: 2,
            lost_s: 31.0,
        },
        Note::NoZone,
        Note::OutOfOrder { fixes: 3 },
        Note::WholeSeconds,
        Note::WildSpeeds { count: 4 },
        Note::WildPositions { count: 5 },
        Note::SpeedDisagrees { factor: 3.6 },
        Note::Pauses {
            count: 6,
            total_s: 600.0,
        },
        Note::FewFixes {
            rate_hz: 1.0,
            least_hz: 5.0,
        },
        Note::NoTurns,
        Note::NoCurves,
        Note::NotThisPlan,
        Note::MuchNotInRecording,
        Note::OtherOrder { blocks: vec![2, 1] },
        Note::Unresolved {
            reps: 8,
            planned: 9,
        },
        Note::OtherDay {
            planned: date(2031, 3, 2),
            recorded: date(2031, 3, 9),
        },
        Note::NothingDone,
        Note::PitchElsewhere,
        Note::PitchWithoutPlace,
        Note::PitchOpen {
            off_m: 12.0,
            off_deg: 15.0,
        },
        Note::PitchTooSmall {
            outside: 0.4,
            length_m: 60.0,
            width_m: 40.0,
        },
    ]
}

fn session() -> Outcome<Session> {
    let bytes = made::gpx(120, 1.0);
    let mut session = repledger::session::analyse(bytes.as_bytes(), None, &Settings::default())?;
    session.review.notes = every();
    Ok(session)
}

/// The review in each form, as one line of words each.
fn forms(session: &Session) -> Outcome<[(&'static str, String); 4]> {
    let document: Value = serde_json::from_str(&report::review::json::render(session)?)?;
    let line: Value = serde_json::from_str(&report::review::json::line("a", session)?)?;
    let sentences = |of: &Value| -> String {
        let notes = of["notes"].as_array().into_iter().flatten();
        notes
            .filter_map(Value::as_str)
            .collect::<Vec<_>>()
            .join(" ")
    };
    let in_terminal = anstream::adapter::strip_str(&terminal::render(session)).to_string();
    let in_page = page::render(session, &[], &[])
        .replace("&quot;", "\"")
        .replace("&amp;", "&");
    let words = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    Ok([
        ("account", words(in_terminal)),
        ("JSON", sentences(&document)),
        ("line of JSON", sentences(&line["review"])),
        ("page", words(in_page)),
    ])
}

#[test]
fn each_kind_is_tried() {
    let mut codes: Vec<&str> = every().iter().map(note::code).collect();
    codes.dedup();
    let mut all = note::CODES.to_vec();
    codes.sort_unstable();
    all.sort_unstable();
    assert_eq!(codes, all);
    let mut texts: Vec<String> = every().iter().map(note::text).collect();
    texts.sort_unstable();
    texts.dedup();
    assert_eq!(texts.len(), every().len(), "two kinds read alike");
}

#[test]
fn every_kind_stands_in_every_form_but_for_what_it_reveals() -> Outcome {
    let hidden =
        |with_date| Ok::<_, Box<dyn std::error::Error>>(session()?.without_place(with_date));
    for (how, session, gone) in [
        ("whole", session()?, &[][..]),
        ("without place", hidden(true)?, &[Reveals::Place][..]),
        (
            "without place and day",
            hidden(false)?,
            &[Reveals::Place, Reveals::Day][..],
        ),
    ] {
        for (form, text) in forms(&session)? {
            for note in every() {
                let sentence = note::text(&note);
                assert_eq!(
                    text.contains(&sentence),
                    !gone.contains(&note.reveals()),
                    "{how}, {form}: {sentence}"
                );
            }
            // What the facts themselves would give away, however a sentence puts it.
            for (secret, kind) in [("north bank", Reveals::Place), ("2031-03-0", Reveals::Day)] {
                assert_eq!(
                    text.contains(secret),
                    !gone.contains(&kind),
                    "{how}, {form}"
                );
            }
        }
        let document: Value = serde_json::from_str(&report::review::json::render(&session)?)?;
        let codes: Vec<&str> = (session.review.notes.iter()).map(note::code).collect();
        assert_eq!(document["note_codes"], serde_json::json!(codes), "{how}");
    }
    Ok(())
}
