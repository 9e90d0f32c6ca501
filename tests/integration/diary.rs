//! The diary as a library: what goes in comes out, twice is once, and files of others stand.

use std::fs;
use std::io::Write as _;
use std::path::Path;
use std::process::Command;

use jiff::civil::{Date, date};
use repledger::diary::{
    Activity, Change, Circumstances, Diary, Error, Filter, HeartLoad, HeartNumbers, MatchDay,
    NewEntry, Recorded, Source,
};
use repledger::efforts::Band;
use repledger::measured::Measured;
use repledger::motion::Witness;
use repledger::profile::Split;
use repledger::report::reason;
use repledger::review::Counts;
use repledger::session::{self, Session};
use repledger::settings::Settings;
use repledger::{diary, plan};

use crate::support::outcome::Outcome;

const DAY: Date = date(2026, 5, 12);

/// Sums that thousandths hold exactly.
fn sums(seed: u32) -> Recorded {
    let of = |value: f64| Measured::within(value, value - 0.125, value + 0.25);
    Recorded {
        distance_m: of(5000.5 + f64::from(seed)),
        top_speed_m_s: Some(of(8.5)),
        bands: vec![
            Band {
                name: "run".to_owned(),
                from_m_s: 4.0,
                to_m_s: Some(7.0),
                time_s: 300.25,
                distance_m: 1500.5,
                within: None,
            },
            Band {
                name: "sprint".to_owned(),
                from_m_s: 7.0,
                to_m_s: None,
                time_s: 20.0,
                distance_m: 150.0,
                within: None,
            },
        ],
        thresholds_m_s: [5.5, 7.0],
        fast_m: [600.5, 150.0],
        peaks_m_s: vec![of(6.0), of(7.5), of(8.5)],
        sprints: 2,
        counts: Some(Counts {
            planned: 6,
            done: 1,
            short: 1,
            slow: 1,
            missed: 2,
            unresolved: 1,
        }),
        rests: [3, 4],
        curve_top_m_s: None,
        splits: vec![Split {
            distance_m: 10.0,
            time_s: of(2.125),
        }],
        rate_hz: 10.0,
        speed_planned: false,
        heart: None,
    }
}

fn recorded(athlete: &str, day: Date, seed: u32) -> NewEntry {
    let mut sha256 = [0; 32];
    sha256[..4].copy_from_slice(&seed.to_be_bytes());
    NewEntry::note(athlete, day, Activity::Training, 3600.5).with_summary(sums(seed), sha256)
}

fn demo() -> Outcome<(Session, String)> {
    let text = fs::read_to_string("fixtures/plans/demo.plan")?;
    let plan = plan::parse(&text).map_err(|m| format!("{m:?}"))?;
    let bytes = fs::read("fixtures/traces/demo_1hz.gpx")?;
    let session = session::analyse(&bytes, Some(&plan), &Settings::default())?;
    Ok((session, text))
}

fn of_demo(athlete: &str) -> Outcome<NewEntry> {
    let (session, text) = demo()?;
    Ok(NewEntry::of(
        &session,
        Circumstances {
            athlete: athlete.to_owned(),
            date: DAY,
            rpe: Some(7.0),
            note: None,
            activity: Activity::Training,
            source: Source {
                sha256: [7; 32],
                ..Source::default()
            },
            plan: Some(text),
            settings: "sprint.from = 7.2 m/s\n".to_owned(),
            planned: None,
        },
        reason::text,
    ))
}

#[test]
fn sums_come_back_as_they_went_in() -> Outcome {
    let mut diary = Diary::in_memory()?;
    let mut entry = recorded(" Mika ", DAY, 1);
    entry.title = Some("Channel runs".to_owned());
    entry.rpe = Some(7.5);
    let added = diary.add(&entry)?;
    let entries = diary.entries(&Filter::default())?;
    assert_eq!(entries.len(), 1);
    let back = &entries[0];
    assert_eq!(back.id, added.id);
    assert_eq!((back.athlete.as_str(), back.date), ("Mika", DAY));
    assert_eq!((back.duration_s, back.rpe), (3600.5, Some(7.5)));
    assert_eq!(back.title.as_deref(), Some("Channel runs"));
    assert_eq!(back.recorded, Some(sums(1)));
    assert_eq!(diary.entry(added.id)?, *back);
    Ok(())
}

#[test]
fn a_session_is_kept_with_its_reps_and_rests_to_a_thousandth() -> Outcome {
    let (session, text) = demo()?;
    let mut diary = Diary::in_memory()?;
    let id = diary.add(&of_demo("Mika")?)?.id;
    let kept = diary.recording(id)?.ok_or("nothing recorded")?;
    let review = session.review.plan.as_ref().ok_or("no plan")?;
    assert_eq!(kept.plan.as_deref(), Some(text.as_str()));
    assert_eq!(kept.settings, "sprint.from = 7.2 m/s\n");
    assert_eq!(kept.summary.counts, Some(review.counts));
    assert_eq!(kept.blocks.len(), review.blocks.len());
    assert_eq!(kept.efforts.len(), session.efforts.list.len());
    let near = |a: f64, b: f64| (a - b).abs() <= 0.000_501;
    let totals = &session.review.totals;
    assert!(near(kept.summary.distance_m.value, totals.distance_m.value));
    // The bands from a threshold on are all that was run above it.
    let sprint = totals.bands.iter().find(|b| b.name == "sprint");
    assert!(near(
        kept.summary.fast_m[1],
        sprint.ok_or("no band")?.distance_m
    ));
    for (kept, truth) in kept.blocks.iter().zip(&review.blocks) {
        let reps: Vec<_> = truth.sets.iter().flat_map(|set| &set.reps).collect();
        assert_eq!(kept.reps.len(), reps.len());
        for (rep, truth) in kept.reps.iter().zip(reps) {
            let kept = &rep.review;
            assert_eq!(kept.verdict, truth.verdict);
            assert_eq!(rep.why, truth.why.as_ref().map(reason::text));
            assert_eq!(kept.reached, truth.reached);
            match (kept.distance_m, truth.distance_m) {
                (Some(kept), Some(truth)) => {
                    assert!(near(kept.low, truth.low) && near(kept.high, truth.high));
                }
                (kept, truth) => assert_eq!(kept, truth),
            }
        }
    }
    Ok(())
}

#[test]
fn the_same_recording_is_in_the_diary_once() -> Outcome {
    let mut diary = Diary::in_memory()?;
    let first = diary.add(&recorded("Mika", DAY, 1))?;
    let again = diary.add(&recorded("Noa", date(2026, 6, 1), 1))?;
    assert!(!first.already_there && again.already_there);
    assert_eq!(first.id, again.id);
    assert_eq!(diary.entries(&Filter::default())?.len(), 1);
    // Two notes of one day are two.
    for _ in 0..2 {
        diary.add(&NewEntry::note("Mika", DAY, Activity::Gym, 1800.0))?;
    }
    assert_eq!(diary.entries(&Filter::default())?.len(), 3);
    Ok(())
}

#[test]
fn a_filter_takes_athlete_and_days_with_both_ends() -> Outcome {
    let mut diary = Diary::in_memory()?;
    for (n, athlete) in [(1, "Mika"), (2, "Noa"), (3, "Mika")] {
        diary.add(&recorded(athlete, date(2026, 5, 10 + n), n as u32))?;
    }
    let days = |filter: &Filter<'_>| -> Outcome<Vec<i8>> {
        Ok(diary
            .entries(filter)?
            .iter()
            .map(|entry| entry.date.day())
            .collect())
    };
    let mika = Filter {
        athlete: Some("Mika"),
        ..Filter::default()
    };
    assert_eq!(days(&mika)?, [11, 13]);
    assert_eq!(
        days(&Filter {
            from: Some(date(2026, 5, 12)),
            to: Some(date(2026, 5, 13)),
            ..Filter::default()
        })?,
        [12, 13]
    );
    assert_eq!(
        days(&Filter {
            to: Some(date(2026, 5, 11)),
            ..mika
        })?,
        [11]
    );
    assert_eq!(diary.athletes()?, ["Mika", "Noa"]);
    Ok(())
}

#[test]
fn match_days_are_everybodys_or_ones_own() -> Outcome {
    let mut diary = Diary::in_memory()?;
    let day = |athlete: Option<&str>, label: Option<&str>| MatchDay {
        date: date(2026, 5, 16),
        athlete: athlete.map(str::to_owned),
        label: label.map(str::to_owned),
    };
    diary.add_match(&day(None, None))?;
    diary.add_match(&day(None, Some("Harbour side")))?;
    diary.add_match(&day(Some("Noa"), None))?;
    let of = |diary: &Diary, athlete| {
        let filter = Filter {
            athlete: Some(athlete),
            ..Filter::default()
        };
        diary.match_days(&filter).map(|days| days.len())
    };
    assert_eq!((of(&diary, "Mika")?, of(&diary, "Noa")?), (1, 2));
    let all = diary.match_days(&Filter::default())?;
    assert_eq!(all[0], day(None, Some("Harbour side")));
    assert!(diary.remove_match(date(2026, 5, 16), None)?);
    assert!(!diary.remove_match(date(2026, 5, 16), None)?);
    assert_eq!(of(&diary, "Mika")?, 0);
    Ok(())
}

#[test]
fn a_plan_is_done_by_an_entry_and_to_be_done_again_without_it() -> Outcome {
    let mut diary = Diary::in_memory()?;
    let plan = diary.add_plan("Mika", DAY, Some("Short"), "speed 5 x 40 m\n")?;
    let mut entry = recorded("Mika", DAY, 1);
    entry.planned = Some(plan);
    let id = diary.add(&entry)?.id;
    let done_by =
        |diary: &Diary| -> Result<_, Error> { Ok(diary.planned(&Filter::default())?[0].done_by) };
    assert_eq!(done_by(&diary)?, Some(id));
    diary.remove(id)?;
    assert_eq!(done_by(&diary)?, None);

    // An entry that names a plan that is not there is not added at all.
    entry.planned = Some(99);
    assert!(matches!(diary.add(&entry), Err(Error::NoPlan(99))));
    assert!(diary.entries(&Filter::default())?.is_empty());
    Ok(())
}

#[test]
fn a_change_changes_what_it_names_only() -> Outcome {
    let mut diary = Diary::in_memory()?;
    let mut entry = NewEntry::note("Mika", DAY, Activity::Team, 5400.0);
    entry.note = Some("wet".to_owned());
    entry.rpe = Some(5.0);
    let id = diary.add(&entry)?.id;
    diary.edit(
        id,
        &Change {
            rpe: Some(6.5),
            note: Some(String::new()),
            ..Change::default()
        },
    )?;
    let back = diary.entry(id)?;
    assert_eq!((back.rpe, back.note), (Some(6.5), None));
    assert_eq!((back.athlete.as_str(), back.duration_s), ("Mika", 5400.0));
    let too_much = Change {
        rpe: Some(11.0),
        ..Change::default()
    };
    assert!(matches!(
        diary.edit(id, &too_much),
        Err(Error::Value { .. })
    ));
    assert!(matches!(
        diary.edit(99, &Change::default()),
        Err(Error::NoEntry(99))
    ));
    // The time of a recording is what was recorded.
    let id = diary.add(&recorded("Mika", DAY, 1))?.id;
    let longer = Change {
        duration_s: Some(1.0),
        ..Change::default()
    };
    assert!(matches!(diary.edit(id, &longer), Err(Error::Value { .. })));
    Ok(())
}

#[test]
fn numbers_are_not_given_out_twice() -> Outcome {
    let mut diary = Diary::in_memory()?;
    let id = diary.add(&recorded("Mika", DAY, 1))?.id;
    diary.remove(id)?;
    assert!(matches!(diary.remove(id), Err(Error::NoEntry(_))));
    let again = diary.add(&recorded("Mika", DAY, 1))?;
    assert!(!again.already_there && again.id > id);
    Ok(())
}

#[test]
fn values_that_no_session_has_are_refused() -> Outcome {
    let mut diary = Diary::in_memory()?;
    for duration_s in [f64::NAN, -1.0, 1e9] {
        let entry = NewEntry::note("Mika", DAY, Activity::Gym, duration_s);
        assert!(matches!(diary.add(&entry), Err(Error::Value { .. })));
    }
    let mut entry = recorded("Mika", DAY, 1);
    if let Some(recording) = &mut entry.recording {
        recording.summary.distance_m.value = f64::NAN;
    }
    assert!(diary.add(&entry).is_err());
    assert!(diary.entries(&Filter::default())?.is_empty());
    Ok(())
}

#[test]
fn names_are_data() -> Outcome {
    let mut diary = Diary::in_memory()?;
    let name = "../../'; DROP TABLE session; -- \u{1b}[31m 王";
    diary.add(&NewEntry::note(name, DAY, Activity::Gym, 60.0))?;
    let filter = Filter {
        athlete: Some(name),
        ..Filter::default()
    };
    assert_eq!(diary.entries(&filter)?.len(), 1);
    assert_eq!(diary.athletes()?, [name]);
    Ok(())
}

#[test]
fn files_that_are_no_diary_are_refused_untouched() -> Outcome {
    let dir = tempfile::tempdir()?;
    let path = dir.path().join("other");
    let refused = |bytes: &[u8]| -> Outcome<Error> {
        fs::write(&path, bytes)?;
        let error = Diary::create(&path).err().ok_or("it was opened")?;
        assert_eq!(fs::read(&path)?, bytes);
        assert_eq!(fs::read_dir(dir.path())?.count(), 1, "something beside it");
        Ok(error)
    };
    assert!(matches!(refused(b"short")?, Error::NotADiary));
    assert!(matches!(refused(&[b'x'; 5000])?, Error::NotADiary));

    // A database of somebody else.
    let other = dir.path().join("made");
    let connection = rusqlite::Connection::open(&other)?;
    connection.execute_batch("CREATE TABLE mine (a); PRAGMA user_version = 1;")?;
    drop(connection);
    let bytes = fs::read(&other)?;
    fs::remove_file(&other)?;
    assert!(matches!(refused(&bytes)?, Error::NotADiary));

    // The same without a version.
    let connection = rusqlite::Connection::open(&other)?;
    connection.execute_batch("CREATE TABLE mine (a);")?;
    drop(connection);
    let bytes = fs::read(&other)?;
    fs::remove_file(&other)?;
    assert!(matches!(refused(&bytes)?, Error::NotADiary));
    assert!(matches!(
        Diary::open(&dir.path().join("nowhere")),
        Err(Error::NotThere)
    ));
    Ok(())
}

#[test]
fn a_newer_diary_is_refused_untouched() -> Outcome {
    let dir = tempfile::tempdir()?;
    let path = dir.path().join("diary.db");
    Diary::create(&path)?.add(&recorded("Mika", DAY, 1))?;
    rusqlite::Connection::open(&path)?.pragma_update(None, "user_version", 999)?;
    let before = fs::read(&path)?;
    let error = Diary::create(&path).err().ok_or("it was opened")?;
    assert!(matches!(error, Error::Newer { found: 999, .. }));
    assert!(error.to_string().contains("update repledger"), "{error}");
    assert_eq!(fs::read(&path)?, before);
    assert_eq!(fs::read_dir(dir.path())?.count(), 1);
    Ok(())
}

#[test]
fn a_diary_that_was_being_made_is_made() -> Outcome {
    let dir = tempfile::tempdir()?;
    let path = dir.path().join("diary.db");
    // As a program leaves it that was stopped right after its first step, or the one after it.
    fs::write(&path, b"")?;
    Diary::create(&path)?.add(&recorded("Mika", DAY, 1))?;
    let path = dir.path().join("second.db");
    rusqlite::Connection::open(&path)?.pragma_update(None, "journal_mode", "wal")?;
    Diary::create(&path)?.add(&recorded("Mika", DAY, 1))?;
    assert_eq!(Diary::open(&path)?.check()?.entries, 1);
    Ok(())
}

#[cfg(unix)]
#[test]
fn only_the_owner_may_read_a_diary() -> Outcome {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir()?;
    let path = dir.path().join("diary.db");
    let mut diary = Diary::create(&path)?;
    diary.add(&recorded("Mika", DAY, 1))?;
    let mut files = 0;
    for file in fs::read_dir(dir.path())? {
        // The log and its index as well, while the diary is open.
        assert_eq!(file?.metadata()?.permissions().mode() & 0o777, 0o600);
        files += 1;
    }
    assert!(files >= 2, "{files}");
    Ok(())
}

#[test]
fn damage_is_found() -> Outcome {
    let dir = tempfile::tempdir()?;
    let path = dir.path().join("diary.db");
    let mut diary = Diary::create(&path)?;
    for n in 0..200 {
        diary.add(&recorded("Mika", DAY, n))?;
    }
    assert_eq!(diary.check()?.faults, Vec::<String>::new());
    drop(diary);
    let mut bytes = fs::read(&path)?;
    let middle = bytes.len() / 2;
    bytes[middle..middle + 6000].fill(0xa5);
    fs::write(&path, &bytes)?;
    let found = Diary::open(&path).and_then(|diary| diary.check());
    assert!(
        found
            .as_ref()
            .map_or(true, |health| !health.faults.is_empty()),
        "{found:?}"
    );
    Ok(())
}

#[test]
fn a_copy_is_whole_and_leaves_the_diary_alone() -> Outcome {
    let dir = tempfile::tempdir()?;
    let mut diary = Diary::create(&dir.path().join("diary.db"))?;
    diary.add(&recorded("Mika", DAY, 1))?;
    let copy = dir.path().join("copy.db");
    diary.copy_to(&copy)?;
    diary.add(&recorded("Mika", DAY, 2))?;
    let copy = Diary::open(&copy)?;
    assert_eq!(copy.entries(&Filter::default())?.len(), 1);
    assert!(copy.check()?.faults.is_empty());
    Ok(())
}

#[test]
fn a_day_is_that_of_the_clock_with_its_offset() -> Outcome {
    use jiff::tz::Offset;
    use repledger::trace::Clock;
    let late = Clock::Utc("2026-05-12T23:30:00Z".parse()?);
    let day = |offset| diary::local_date(late, offset);
    assert_eq!(day(Offset::UTC), Some(DAY));
    assert_eq!(day(Offset::constant(2)), Some(date(2026, 5, 13)));
    let unknown = Clock::ZoneUnknown(DAY.at(23, 30, 0, 0));
    assert_eq!(diary::local_date(unknown, Offset::constant(2)), Some(DAY));
    assert_eq!(diary::local_date(Clock::Elapsed, Offset::UTC), None);
    Ok(())
}

/// What the program `sqlite3` says; `None` where there is no such program.
fn sqlite3(path: &Path, sql: &str) -> Outcome<Option<String>> {
    let ran = Command::new("sqlite3")
        .args(["-readonly", "-bail"])
        .arg(path)
        .arg(sql)
        .output();
    match ran {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            // The one word that a skipped test has.
            writeln!(
                std::io::stderr(),
                "skipped: there is no program sqlite3 here"
            )?;
            Ok(None)
        }
        Err(error) => Err(error.into()),
        Ok(ran) if ran.status.success() => Ok(Some(String::from_utf8(ran.stdout)?)),
        Ok(ran) => Err(String::from_utf8_lossy(&ran.stderr).into()),
    }
}

#[test]
fn the_views_answer_the_program_sqlite3() -> Outcome {
    let dir = tempfile::tempdir()?;
    let path = dir.path().join("diary.db");
    let mut diary = Diary::create(&path)?;
    let id = diary.add(&of_demo("Mika")?)?.id;
    let mut team = NewEntry::note("Mika", date(2026, 5, 17), Activity::Team, 5400.0);
    team.rpe = Some(6.0);
    diary.add(&team)?;
    diary.add(&NewEntry::note(
        "Mika",
        date(2026, 5, 18),
        Activity::Rest,
        0.0,
    ))?;
    let kept = diary.recording(id)?.ok_or("nothing recorded")?;
    drop(diary);

    let sums = &kept.summary;
    let reps: usize = kept.blocks.iter().map(|block| block.reps.len()).sum();
    let rests: usize = kept.blocks.iter().map(|block| block.rests.len()).sum();
    let top = sums.top_speed_m_s.ok_or("no top speed")?;
    for (sql, expected) in [
        ("SELECT count(*) FROM sessions", "3".to_owned()),
        ("SELECT count(*) FROM reps", reps.to_string()),
        ("SELECT count(*) FROM rests", rests.to_string()),
        ("SELECT count(*) FROM blocks", kept.blocks.len().to_string()),
        (
            "SELECT count(*) FROM efforts",
            kept.efforts.len().to_string(),
        ),
        ("SELECT count(*) FROM bands", sums.bands.len().to_string()),
        ("SELECT count(*) FROM splits", sums.splits.len().to_string()),
        (
            // Tuesday and Sunday are one week, Monday begins the next.
            "SELECT monday, entries, recorded, rated FROM weeks ORDER BY monday",
            "2026-05-11|2|1|2\n2026-05-18|1|0|0".to_owned(),
        ),
    ] {
        let Some(said) = sqlite3(&path, sql)? else {
            return Ok(());
        };
        assert_eq!(said.trim(), expected, "{sql}");
    }
    // 90 minutes of 6, and the session's of 7.
    let load = sqlite3(&path, "SELECT sum(load_rpe_min) FROM weeks")?.unwrap_or_default();
    let expected = 540.0 + 7.0 * recorded_min(&path)?;
    assert!(
        (load.trim().parse::<f64>()? - expected).abs() < 1e-6,
        "{load}"
    );
    let sql = "SELECT top_speed_m_s, top_speed_low_m_s, top_speed_high_m_s FROM sessions WHERE sprints > 0";
    let said = sqlite3(&path, sql)?.unwrap_or_default();
    assert_eq!(
        said.trim(),
        format!("{}|{}|{}", top.value, top.low, top.high)
    );
    let sql = "SELECT name FROM pragma_table_info('sessions') UNION SELECT name FROM pragma_table_info('weeks')";
    assert!(
        sqlite3(&path, sql)?
            .unwrap_or_default()
            .contains("distance_low_m")
    );
    Ok(())
}

/// How long the recorded session of the diary lasted.
fn recorded_min(path: &Path) -> Outcome<f64> {
    let entries = Diary::open(path)?.entries(&Filter::default())?;
    let entry = entries.iter().find(|entry| entry.recorded.is_some());
    Ok(entry.ok_or("nothing recorded")?.duration_s / 60.0)
}

#[test]
fn several_may_make_the_same_diary_at_once() -> Outcome {
    for _ in 0..40 {
        let dir = tempfile::tempdir()?;
        let path = dir.path().join("diary.db");
        let start = std::sync::Barrier::new(4);
        let outcomes: Vec<Result<(), Error>> = std::thread::scope(|scope| {
            let makers: Vec<_> = (0..4)
                .map(|n| {
                    let (path, start) = (&path, &start);
                    scope.spawn(move || {
                        start.wait();
                        Diary::create(path)?
                            .add(&recorded("Mika", DAY, n))
                            .map(|_| ())
                    })
                })
                .collect();
            makers
                .into_iter()
                .map(|maker| maker.join().unwrap_or(Err(Error::Locked)))
                .collect()
        });
        for outcome in outcomes {
            outcome?;
        }
        assert_eq!(Diary::open(&path)?.check()?.entries, 4);
    }
    Ok(())
}

/// What a recording of a watch shows of it.
fn witness(apart_s: f64) -> Witness {
    Witness {
        rate_hz: 1.0,
        position: Some([-1.0, 0.0, -0.5, -2.0, -4.0, -6.0, -8.0, -9.0, -9.5]),
        apart_s: Some(apart_s),
        ..Witness::default()
    }
}

#[test]
fn what_recordings_show_of_a_device_is_asked_by_its_name_and_not_of_themselves() -> Outcome {
    let mut diary = Diary::in_memory()?;
    for seed in 1..=30 {
        let mut entry = recorded("Mika", DAY, seed);
        let recording = entry.recording.as_mut().ok_or("no recording")?;
        recording.device = Some(
            if seed % 10 == 0 {
                "a phone"
            } else {
                " my watch "
            }
            .to_owned(),
        );
        recording.summary.rate_hz = 1.0;
        recording.witness = Some(witness(f64::from(seed) / 100.0));
        diary.add(&entry)?;
    }
    let all = diary.witnesses("my watch", i64::MAX, None)?;
    // The latest of 27, and no more than are worth asking.
    assert_eq!((all.len(), &all[0]), (20, &witness(0.29)));
    let earlier = diary.witnesses("my watch", 12, None)?;
    assert_eq!(earlier.len(), 11);
    let own = diary.recording(12)?.ok_or("no recording")?;
    assert_eq!(own.device.as_deref(), Some("my watch"));
    assert_eq!(own.witness, Some(witness(0.12)));
    let others = diary.witnesses("my watch", 12, Some(&own.source.sha256))?;
    assert_eq!((others.len(), &others[0]), (10, &witness(0.11)));
    assert_eq!(diary.witnesses("a watch", i64::MAX, None)?, []);
    Ok(())
}

/// A diary as the first version made it is brought up to date, and what was in it stays; the step itself stands in the sources
/// and is never changed.
#[test]
fn a_diary_of_the_first_version_is_brought_up_to_date() -> Outcome {
    let dir = tempfile::tempdir()?;
    let path = dir.path().join("diary.db");
    let connection = rusqlite::Connection::open(&path)?;
    connection.execute_batch(include_str!("../../src/diary/schema_1.sql"))?;
    connection.execute_batch(
        "INSERT INTO session VALUES (1, 'Mika', '2026-05-12', 'training', 'Old', 60000, 70, NULL);
         INSERT INTO recording VALUES (1, zeroblob(32), 'old.gpx', NULL, 5000000, 4900000, 5100000, 8000, 7900, 8100, 5500, 7000,
            0, 0, 0, 0, 0, NULL, NULL, NULL, 1000, NULL, '[]', '[]', '[]', NULL, '', '[null,null]', '0.1.0');
         PRAGMA application_id = 0x52504c44; PRAGMA user_version = 1;",
    )?;
    drop(connection);
    let mut diary = Diary::open(&path)?;
    let old = diary.recording(1)?.ok_or("no recording")?;
    assert_eq!((old.device, old.witness), (None, None));
    assert_eq!(old.summary.distance_m.value, 5000.0);
    let mut entry = recorded("Mika", DAY, 2);
    if let Some(recording) = &mut entry.recording {
        recording.device = Some("my watch".to_owned());
    }
    diary.add(&entry)?;
    drop(diary);
    let connection = rusqlite::Connection::open(&path)?;
    let sql = "SELECT group_concat(ifnull(device, '-') || ' ' || distance_m, ', ') FROM sessions";
    let told: String = connection.query_row(sql, [], |row| row.get(0))?;
    assert!(told.starts_with("- 5000.0, my watch "), "{told}");
    let sql = "SELECT device, recordings FROM devices";
    let told: (String, i64) =
        connection.query_row(sql, [], |row| Ok((row.get(0)?, row.get(1)?)))?;
    assert_eq!(told, ("my watch".to_owned(), 1));
    let version: i64 = connection.query_row("PRAGMA user_version", [], |row| row.get(0))?;
    assert_eq!(version, 4);
    Ok(())
}

/// As a diary of the second version has it: without the tables of the third step.
#[test]
fn a_diary_of_the_second_version_is_brought_up_to_date_whole() -> Outcome {
    let dir = tempfile::tempdir()?;
    let path = dir.path().join("d.db");
    let day = jiff::civil::date(2026, 5, 12);
    let id = Diary::create(&path)?
        .add(&NewEntry::note("Mika", day, Activity::Team, 5400.0))?
        .id;
    rusqlite::Connection::open(&path)?.execute_batch(
        "DROP VIEW recoveries; DROP VIEW block_heart_rates; DROP VIEW heart_rates; DROP TABLE block_heart; DROP TABLE heart;
         DROP TABLE athlete; ALTER TABLE recording DROP COLUMN fits; ALTER TABLE recording DROP COLUMN earlier_top_mm_s;
         ALTER TABLE recording DROP COLUMN earlier_top_low_mm_s; ALTER TABLE recording DROP COLUMN earlier_top_high_mm_s;
         ALTER TABLE recording DROP COLUMN earlier_top_date; PRAGMA user_version = 2;",
    )?;
    let mut diary = Diary::open(&path)?;
    assert_eq!(diary.entry(id)?.athlete, "Mika");
    let numbers = HeartNumbers {
        max_bpm: 196.0,
        rest_bpm: Some(52.0),
        load: HeartLoad::BanisterMen,
    };
    diary.set_heart("Mika", &numbers)?;
    assert_eq!(diary.hearts()?[0].numbers, Some(numbers));
    assert!(diary.check()?.faults.is_empty());
    Ok(())
}
