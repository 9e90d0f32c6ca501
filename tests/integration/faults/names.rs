//! Odd names of files, and names of people and things that would be paths.

use std::ffi::OsStr;
use std::os::unix::ffi::OsStrExt;

use serde_json::Value;

use crate::support::cli::{Bench, Ran};
use crate::support::made;
use crate::support::outcome::Outcome;

/// Names that a file may have, all of them endings apart legal in Linux.
fn odd() -> Vec<Vec<u8>> {
    let mut names: Vec<Vec<u8>> = [
        &b"two words.csv"[..],
        b"line\nend.csv",
        b"-dash.csv",
        b"--out.csv",
        b"\xff\xfe.csv",
        b"\xff\xfd.csv",
        b"\x1b[31mred.csv",
        b"quote'\".csv",
        b"...csv",
        b"..csv",
        b"\xe2\x80\xaeright to left.csv",
    ]
    .into_iter()
    .map(Vec::from)
    .collect();
    names.push([b"n".repeat(251), b".csv".to_vec()].concat());
    names.push(b"m".repeat(255));
    names
}

/// A folder with a recording of each name, each of another length, so that each is another.
fn bench() -> Outcome<(Bench, Vec<Vec<u8>>)> {
    let bench = Bench::new()?;
    let names = odd();
    std::fs::create_dir(bench.path("all"))?;
    for (k, name) in (0..).zip(&names) {
        let path = bench.path("all").join(OsStr::from_bytes(name));
        std::fs::write(path, made::csv(60 + k, 1.0))?;
    }
    Ok((bench, names))
}

/// Runs the program with these words, then each name, inside the folder of the recordings.
fn run(bench: &Bench, words: &str, names: &[Vec<u8>]) -> Outcome<Ran> {
    let output = bench
        .program()
        .current_dir(bench.path("all"))
        .args(words.split_whitespace())
        .arg("--")
        .args(names.iter().map(|name| OsStr::from_bytes(name)))
        .output()?;
    Ran::of(output)
}

/// No byte of a name that a terminal would obey.
#[track_caller]
fn is_plain(text: &str) {
    assert!(!text.contains('\u{1b}'), "{text:?}");
}

#[test]
fn a_review_takes_any_name_and_stays_inside_its_folder() -> Outcome {
    let (bench, names) = bench()?;
    let ran = run(&bench, "review --out ../out", &names)?;
    ran.done(&["two words.csv", "-dash.csv"]);
    assert_eq!(ran.out.lines().count(), names.len() + 1, "{}", ran.out);
    is_plain(&ran.out);
    is_plain(&ran.err);
    assert_eq!(bench.names("out")?.len(), names.len());
    assert_eq!(bench.names(".")?, ["all", "out"]);
    for folder in bench.names("out")? {
        let account = bench.path("out").join(&folder).join("review.json");
        assert!(account.is_file(), "{folder:?}");
    }
    let ran = run(&bench, "review --json", &names)?;
    let told: Vec<Value> = ran
        .out
        .lines()
        .map(serde_json::from_str)
        .collect::<Result<_, _>>()?;
    assert_eq!(told.len(), names.len());
    for (line, name) in told.iter().zip(&names) {
        assert_eq!(line["name"], *String::from_utf8_lossy(name));
        assert!(line["review"].is_object(), "{line}");
    }
    // As a folder: those whose name ends as that of a recording does.
    let ran = bench.run("review all")?;
    ran.done(&[]);
    assert_eq!(ran.out.lines().count(), names.len(), "{}", ran.out);
    Ok(())
}

#[test]
fn what_cannot_be_read_is_named_on_one_line_without_what_a_terminal_obeys() -> Outcome {
    let (bench, names) = bench()?;
    for name in &names {
        std::fs::write(bench.path("all").join(OsStr::from_bytes(name)), "{}")?;
    }
    for words in ["review", "diary add --diary ../d.db", "table --of bands"] {
        let ran = run(&bench, words, &names)?;
        assert_eq!(ran.status, Some(1), "{ran:?}");
        is_plain(&ran.err);
        let errors = ran.err.lines().filter(|line| line.starts_with("error: "));
        assert_eq!(errors.count(), names.len(), "{}", ran.err);
        assert!(ran.err.contains("line?end.csv"), "{}", ran.err);
    }
    Ok(())
}

#[test]
fn diary_and_table_take_any_name() -> Outcome {
    let (bench, names) = bench()?;
    let add = "diary add --date 2026-05-12 --diary ../d.db";
    let ran = run(&bench, add, &names)?;
    ran.done(&[]);
    let added = |out: &str, word: &str| out.lines().filter(|l| l.starts_with(word)).count();
    assert_eq!(added(&ran.out, "added "), names.len(), "{}", ran.out);
    let again = run(&bench, add, &names)?;
    assert_eq!(again.out.lines().count(), names.len(), "{}", again.out);
    assert_eq!(added(&again.out, "already there "), names.len());
    is_plain(&again.out);
    bench
        .run("diary check --diary d.db")?
        .done(&[&format!("whole: {} entries", names.len())]);
    let ran = run(&bench, "table --of sessions --to ../t.json", &names)?;
    ran.done(&[]);
    let rows: Value = serde_json::from_str(&bench.text("t.json")?)?;
    assert_eq!(rows["rows"].as_array().map(Vec::len), Some(names.len()));
    Ok(())
}

#[test]
fn what_is_written_may_have_any_name_that_is_text() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(60, 1.0))?;
    for name in [
        "two words.csv".to_owned(),
        "line\nend.csv".to_owned(),
        "-dash.csv".to_owned(),
        "l".repeat(251) + ".csv",
    ] {
        // The second time it is known as ours, though its content is another.
        for of in ["bands", "sessions"] {
            let output = bench
                .program()
                .args(["table", "a.csv", "--of", of])
                .arg(format!("--to={name}"))
                .output()?;
            Ran::of(output)?.done(&[]);
        }
        assert!(bench.text(&name)?.contains("distance_m"));
    }
    let output = bench
        .program()
        .args(["table", "a.csv", "--of", "bands", "--to"])
        .arg(OsStr::from_bytes(b"\xff.csv"))
        .output()?;
    Ran::of(output)?.could_not(&["not UTF-8", "choose another"]);
    let output = bench
        .program()
        .args(["diary", "note", "gym", "--minutes", "5", "--diary"])
        .arg(OsStr::from_bytes(b"\xff.db"))
        .output()?;
    Ran::of(output)?.done(&["added 1"]);
    Ok(())
}

/// Names that would lead elsewhere if they were used as paths.
#[test]
fn names_of_people_and_things_lead_nowhere() -> Outcome {
    let long = "x/".repeat(3000);
    for name in ["../../x", "/etc/x", "..", "a\0b", "C:\\x", &long] {
        let bench = Bench::with(
            "one/two/in/a.gpx",
            made::gpx(300, 1.0).replace("Made evening", name),
        )?;
        bench.file(
            "one/two/in/a.plan",
            format!("title: {name}\nathlete: {name}\ndate: 2026-05-12\n\nspeed \"{name}\", 4 x 6 s, rest 24 s\n"),
        )?;
        let run = |line: &str| -> Outcome<Ran> {
            let output = bench
                .program()
                .current_dir(bench.path("one/two/in"))
                .args(line.split(' '))
                .output()?;
            Ran::of(output)
        };
        let mut written = Vec::new();
        for line in [
            "review a.gpx --out r",
            "review a.gpx --plan a.plan --out p",
            "plan a.plan --card c.html",
            "diary add a.gpx --plan a.plan --diary d.db",
            "diary plan a.plan --diary d.db",
            "weeks --all --diary d.db",
            "weeks --diary d.db --out w",
            "best --diary d.db --out b",
            "table --diary d.db --to t.xlsx",
            "compare a.gpx a.gpx --out m",
        ] {
            let ran = run(line)?;
            // A plan with such a name may be no plan; then it is said so.
            assert!(matches!(ran.status, Some(0 | 1)), "{line}: {ran:?}");
            assert!(!ran.err.contains("panicked"), "{line}: {ran:?}");
            written.extend(line.rsplit(' ').next().map(ToOwned::to_owned));
        }
        // Nothing but what was named, and nothing in the folders above.
        for there in bench.names("one/two/in")? {
            let known = ["a.gpx", "a.plan", ".repledger"].contains(&there.as_str())
                || there.starts_with("d.db")
                || written.contains(&there);
            assert!(known, "{there:?} after {name:?}");
        }
        assert_eq!(bench.names("")?, ["one"], "{name:?}");
        assert_eq!(bench.names("one")?, ["two"], "{name:?}");
        assert_eq!(bench.names("one/two")?, ["in"], "{name:?}");
        // What is kept under a name refuses such names.
        let output = bench
            .program()
            .args(["pitch", "show", "--pitches", "p"])
            .arg(name.replace('\0', "/"))
            .output()?;
        Ran::of(output)?.could_not(&[]);
    }
    Ok(())
}
