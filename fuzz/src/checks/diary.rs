//! Diaries, whatever stands in their cells, and whatever bytes stand in their files.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::sync::OnceLock;

use jiff::civil::{Date, date};
use repledger::diary::{Activity, Circumstances, Diary, Error, Filter, NewEntry, Source};
use repledger::diary::{Entry, MatchDay, Planned};
use repledger::progress::{self, IsoWeek, Log, Sort};
use repledger::report::table::{self, Item, Of, Table};
use repledger::report::{self, reason};
use repledger::settings::Settings;
use repledger::units::SpeedUnit;
use repledger::{plan, session};
use rusqlite::Connection;
use rusqlite::types::Value;

use super::output;

const DAY: Date = date(2026, 5, 12);
const PLAN: &str = "title: Three runs\nspeed 3 x 40 m at 80%, rest 20 s\ncool-down 1 min\n";
/// Most cells that one input changes.
const MOST_CELLS: usize = 64;

/// Changed cells of a diary, one a line: `table.column=value`. The value is a whole or a real number, `null`, `blob:` and bytes, or
/// any text; the tables hold it whatever its type, as those of a hostile file would.
pub fn diary(bytes: &[u8]) {
    in_a_file(whole(), |path| {
        let connection = Connection::open(path).expect("it is a diary");
        connection
            .execute_batch("PRAGMA synchronous = off; PRAGMA ignore_check_constraints = on;")
            .expect("it is a diary");
        for line in bytes.split(|&b| b == b'\n').take(MOST_CELLS) {
            change(&connection, line);
        }
        connection.close().expect("all is written");
        let mut diary = Diary::open(path).expect("it is a diary");
        read(&mut diary, bytes);
    });
}

/// The file of a diary with changed bytes: three of a place and one to put there, over and over. What begins as such a file does
/// is one itself.
pub fn diary_file(bytes: &[u8]) {
    let mut file = whole().to_vec();
    if bytes.starts_with(b"SQLite format 3\0") {
        file = bytes.to_vec();
    } else {
        for change in bytes.chunks_exact(4) {
            let at =
                usize::from(change[0]) | usize::from(change[1]) << 8 | usize::from(change[2]) << 16;
            let at = at % file.len();
            file[at] = change[3];
        }
    }
    in_a_file(&file, |path| match Diary::open(path) {
        Ok(mut diary) => read(&mut diary, &file),
        Err(error) => output::message(&error),
    });
}

fn in_a_file(bytes: &[u8], with: impl FnOnce(&Path)) {
    let folder = tempfile::tempdir().expect("there is a folder");
    let path = folder.path().join("a.diary");
    fs::write(&path, bytes).expect("there is room");
    with(&path);
}

/// The file of a diary with something in every table. Its tables take any type and NULL.
fn whole() -> &'static [u8] {
    static WHOLE: OnceLock<Vec<u8>> = OnceLock::new();
    WHOLE.get_or_init(|| {
        let folder = tempfile::tempdir().expect("there is a folder");
        let path = folder.path().join("whole.diary");
        fill(&mut Diary::create(&path).expect("there is room")).expect("it is a diary");
        loosen(&Connection::open(&path).expect("it is a diary")).expect("it is a diary");
        fs::read(&path).expect("it is there")
    })
}

fn fill(diary: &mut Diary) -> Result<(), Error> {
    let plan = plan::parse(PLAN).expect("it is a plan");
    let session = session::analyse(&runs(), Some(&plan), &Settings::default()).expect("runs");
    let circumstances = Circumstances {
        athlete: "Mika".to_owned(),
        date: DAY,
        rpe: Some(6.0),
        note: Some("windy".to_owned()),
        activity: Activity::Training,
        source: Source {
            trace: Some(vec![0x1f, 0x8b]),
            ..Source::default()
        },
        plan: Some(PLAN.to_owned()),
        settings: "sprint.from = 7 m/s".to_owned(),
        planned: None,
    };
    diary.add(&NewEntry::of(&session, circumstances, reason::text))?;
    diary.add(&NewEntry::note(
        "Mika",
        date(2026, 5, 14),
        Activity::Team,
        5400.0,
    ))?;
    diary.add_plan("Mika", date(2026, 5, 15), Some("Friday"), PLAN)?;
    diary.add_match(&MatchDay {
        date: date(2026, 5, 16),
        athlete: None,
        label: Some("away".to_owned()),
    })
}

/// Three runs of 6 s from a walk at 2 Hz, half a minute apart.
fn runs() -> Vec<u8> {
    let mut table = "time (s),x (m),y (m),speed (m/s)\n".to_owned();
    let mut x_m = 0.0;
    for tick in 0..200_i32 {
        let into_s = f64::from((tick + 40) % 60) / 2.0;
        let speed_m_s = if into_s < 6.0 {
            7.5 * (1.0 - (-into_s).exp())
        } else {
            1.0
        };
        x_m += speed_m_s / 2.0;
        // Writing to a string cannot fail.
        let _ = writeln!(table, "{},{x_m},0,{speed_m_s}", f64::from(tick) / 2.0);
    }
    table.into_bytes()
}

fn loosen(connection: &Connection) -> rusqlite::Result<()> {
    connection.execute_batch(
        "PRAGMA journal_mode = delete;
         DELETE FROM effort WHERE n > 6;
         DELETE FROM rep WHERE rep > 2;
         DELETE FROM rest WHERE rep > 2;
         PRAGMA writable_schema = on;
         UPDATE sqlite_schema SET sql = replace(replace(replace(sql, 'STRICT, ', ''), ' STRICT', ''), ' NOT NULL', '')
             WHERE type = 'table';
         PRAGMA writable_schema = reset;
         VACUUM;",
    )
}

/// Puts a value into a cell; a line that names none changes nothing.
fn change(connection: &Connection, line: &[u8]) {
    let Some(equals) = line.iter().position(|&b| b == b'=') else {
        return;
    };
    let (name, value) = (&line[..equals], &line[equals + 1..]);
    let named = |b: &u8| b.is_ascii_alphanumeric() || matches!(b, b'_' | b'.');
    let Some((table, column)) = std::str::from_utf8(name)
        .ok()
        .filter(|name| name.bytes().all(|b| named(&b)))
        .and_then(|name| name.split_once('.'))
    else {
        return;
    };
    let (value, kind) = typed(value);
    let sql = format!("UPDATE OR IGNORE \"{table}\" SET \"{column}\" = CAST(?1 AS {kind})");
    let sql = if kind.is_empty() {
        sql.replace("CAST(?1 AS )", "?1")
    } else {
        sql
    };
    if let Ok(mut statement) = connection.prepare_cached(&sql) {
        // There may be rules of the table that the value breaks.
        let _ = statement.execute([value]);
    }
}

/// The value, and the type that it is to be cast to.
fn typed(value: &[u8]) -> (Value, &'static str) {
    if let Some(blob) = value.strip_prefix(b"blob:") {
        return (Value::Blob(blob.to_vec()), "");
    }
    let text = std::str::from_utf8(value).unwrap_or_default();
    if text == "null" {
        (Value::Null, "")
    } else if let Ok(whole) = text.parse::<i64>() {
        (Value::Integer(whole), "")
    } else if let Ok(real) = text.parse::<f64>() {
        (Value::Real(real), "")
    } else {
        // Text of SQLite need not be UTF-8.
        (Value::Blob(value.to_vec()), "TEXT")
    }
}

/// Everything that is read of a diary: it comes or there is a message, and what is written of it holds.
fn read(diary: &mut Diary, input: &[u8]) {
    tell(diary.check());
    let all = Filter::default();
    let (Some(entries), Some(matches), Some(planned)) = (
        tell(diary.entries(&all)),
        tell(diary.match_days(&all)),
        tell(diary.planned(&all)),
    ) else {
        return;
    };
    output::json(&report::diary::json::list(&entries).expect("it can be written"));
    output::text(&report::diary::text::list(&entries), input);
    output::text(&report::diary::text::plans(&planned), input);
    output::text(&report::diary::text::match_days(&matches), input);
    let mut items = Vec::new();
    for entry in &entries {
        tell(diary.entry(entry.id));
        let Some(recording) = tell(diary.recording(entry.id)) else {
            continue;
        };
        let kept = tell(diary.trace(entry.id)).flatten().is_some();
        output::json(
            &report::diary::json::entry(entry, recording.as_ref(), kept)
                .expect("it can be written"),
        );
        output::text(
            &report::diary::text::show(entry, recording.as_ref(), kept, SpeedUnit::default()),
            input,
        );
        items.push(Item::of_entry(entry.clone(), recording));
    }
    for of in Of::ALL {
        let table = Table::of(of, &items);
        output::json(&table::json::render(&table).expect("it can be written"));
        output::text(
            &table::csv::render(&table, table::csv::Locale::Comma),
            input,
        );
    }
    progress(&entries, &matches, &planned, input);
    tell(diary.athletes());
    tell(diary.add(&NewEntry::note("Mika", DAY, Activity::Gym, 3600.0)));
}

/// Weeks and bests, looked at from a day in the week of the diary and from those that stand in it.
fn progress(entries: &[Entry], matches: &[MatchDay], planned: &[Planned], input: &[u8]) {
    let log = Log {
        entries,
        matches,
        planned,
        speeds: SpeedUnit::default(),
    };
    let last = entries.last().map_or(DAY, |entry| entry.date);
    for today in [DAY, last] {
        let week = IsoWeek::of(today);
        for athlete in progress::athletes(&log) {
            let of = progress::week(&log, athlete, week, today);
            output::text(&report::week::text::render(&of, true), input);
            output::json(&report::week::json::render(&[of]).expect("it can be written"));
            let trend = progress::trend(&log, athlete, 12, today);
            output::text(&report::weeks::text::render(&trend), input);
            output::json(&report::weeks::json::render(&[trend], today).expect("it can be written"));
            let best = progress::best(&log, athlete, today);
            let bests = [best];
            output::text(&report::best::text::render(&bests), input);
            output::json(&report::best::json::render(&bests).expect("it can be written"));
        }
        let rows = progress::squad(&log, (week, week), today, Sort::Distance);
        output::text(
            &report::squad::text::render(&rows, (week, week), today),
            input,
        );
    }
}

/// The value, or nothing where there is a message.
fn tell<T>(outcome: Result<T, Error>) -> Option<T> {
    outcome.inspect_err(output::message).ok()
}
