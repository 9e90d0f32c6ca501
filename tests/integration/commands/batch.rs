//! `repledger review` of many recordings.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use repledger::report;
use serde_json::Value;

use crate::support::cli::Bench;
use crate::support::made;
use crate::support::outcome::Outcome;
use crate::support::schema;

/// Three recordings in a folder, one of them bad, and one beside it.
fn bench() -> Outcome<Bench> {
    let bench = Bench::with("all/a.gpx", made::gpx(600, 5.0))?;
    bench.file("all/b.csv", made::csv(900, 5.0))?;
    bench.file("all/bad.gpx", "<gpx><trk>")?;
    bench.file("all/notes.txt", "no recording")?;
    bench.file("more/a.gpx", made::gpx(1200, 5.0))?;
    bench.file("runs.plan", "speed 2 x 6 s, rest 24 s\n")?;
    Ok(bench)
}

/// The lines of a document a line.
fn documents(text: &str) -> Outcome<Vec<Value>> {
    text.lines()
        .map(|line| Ok(serde_json::from_str(line)?))
        .collect()
}

#[test]
fn one_bad_file_does_not_stop_the_rest() -> Outcome {
    let ran = bench()?.run("review more/a.gpx all")?;
    assert_eq!(ran.status, Some(1), "{ran:?}");
    let lines: Vec<_> = ran.out.lines().collect();
    assert_eq!(lines.len(), 4, "{}", ran.out);
    assert!(lines[0].starts_with("recording"), "{}", ran.out);
    // In the order they were named, those of a folder by name.
    for (line, name) in lines[1..].iter().zip(["a.gpx", "a.gpx", "b.csv"]) {
        assert!(line.starts_with(name), "{}", ran.out);
        assert!(line.chars().count() <= 80, "{line}");
    }
    for told in [
        "error:",
        "not reviewed, 1 of 4",
        "bad.gpx",
        "4 of 4 to be reviewed",
    ] {
        assert!(ran.err.contains(told), "no {told:?} in {}", ran.err);
    }
    assert!(!ran.err.contains("notes.txt"), "{}", ran.err);
    Ok(())
}

#[test]
fn json_is_a_line_a_recording_in_their_order() -> Outcome {
    let bench = bench()?;
    let ran = bench.run("review all more/a.gpx --json")?;
    assert_eq!(ran.status, Some(1), "{ran:?}");
    let documents = documents(&ran.out)?;
    let names: Vec<_> = documents.iter().map(|d| d["name"].as_str()).collect();
    let folder = ["all/a.gpx", "all/b.csv", "all/bad.gpx", "more/a.gpx"];
    assert_eq!(names, folder.map(Some));
    assert_eq!(documents[2]["review"], Value::Null);
    assert!(documents[2]["error"].is_string(), "{}", documents[2]);
    let schema: Value = serde_json::from_str(&report::review::json::schema()?)?;
    for k in [0, 1, 3] {
        assert_eq!(documents[k]["error"], Value::Null);
        assert!(schema::is_valid(&schema, &documents[k]["review"]));
        // The same review as alone.
        let alone = bench.run(&format!("review {} --json", folder[k]))?;
        assert_eq!(
            documents[k]["review"],
            serde_json::from_str::<Value>(&alone.out)?
        );
    }
    Ok(())
}

#[test]
fn each_recording_is_written_into_a_folder_of_its_own() -> Outcome {
    let bench = bench()?;
    let ran = bench.run("review all more --plan runs.plan --out out")?;
    assert_eq!(ran.status, Some(1), "{ran:?}");
    assert_eq!(bench.names("out")?, ["a", "a-2", "b"]);
    for folder in ["a", "a-2", "b"] {
        let names = bench.names(&format!("out/{folder}"))?;
        for name in ["account.txt", "review.json", "speed.svg"] {
            assert!(names.iter().any(|n| n == name), "{names:?}");
        }
    }
    // A file that somebody changed stands, and the others are written again.
    bench.file("out/a/account.txt", "mine")?;
    let again = bench.run("review all/a.gpx more/a.gpx --out out")?;
    assert_eq!(again.status, Some(1), "{again:?}");
    assert!(again.err.contains("--force"), "{}", again.err);
    assert_eq!(bench.text("out/a/account.txt")?, "mine");
    Ok(())
}

#[test]
fn strict_asks_all_of_them() -> Outcome {
    let bench = bench()?;
    bench.file("long.plan", "speed 90 x 6 s, rest 24 s\n")?;
    let of = |plan: &str| {
        bench.run(&format!(
            "review all/a.gpx more/a.gpx --plan {plan} --strict"
        ))
    };
    assert_eq!(of("long.plan")?.status, Some(3));
    Ok(())
}

#[test]
fn names_and_contents_come_in_by_line_and_go_out_by_line() -> Outcome {
    let bench = bench()?;
    let content = STANDARD.encode(made::gpx(600, 5.0));
    let input = format!(
        "all/a.gpx\n\nby\thand.gpx\t{content}\r\nmissing.gpx\nodd\t%%%\nall/bad.gpx\nall/b.csv"
    );
    let ran = bench.run_with_input("review --ndjson", input)?;
    assert_eq!(ran.status, Some(1), "{ran:?}");
    let documents = documents(&ran.out)?;
    let names: Vec<_> = documents
        .iter()
        .filter_map(|d| d["name"].as_str())
        .collect();
    assert_eq!(
        names,
        [
            "all/a.gpx",
            "by\thand.gpx",
            "missing.gpx",
            "odd",
            "all/bad.gpx",
            "all/b.csv"
        ]
    );
    assert_eq!(documents[0]["review"], documents[1]["review"]);
    for (k, told) in [(2, "no such file"), (3, "base64"), (4, "bad.gpx")] {
        let error = documents[k]["error"].as_str().ok_or("no error")?;
        assert!(error.contains(told), "{error}");
    }
    assert_eq!(ran.err, "not reviewed: 3; their lines say why in `error`\n");
    Ok(())
}

#[test]
fn lines_of_others_show_nothing_of_files_that_are_no_recordings() -> Outcome {
    const SECRET: &str = "hunter2";
    let bench = bench()?;
    let files = [
        ("key", format!("{SECRET}\n")),
        ("key.xml", format!("<{SECRET}/>")),
        ("key.gpx", format!("<gpx><trk></{SECRET}>")),
        ("key.csv", format!("time,{SECRET}\n1,2\n")),
        ("unit.csv", format!("time (s),speed ({SECRET})\n1,2\n")),
        (
            "date.csv",
            format!("date,lat,lon,{SECRET}\n01/02/2026 10:00,48,11,1\n"),
        ),
    ];
    for (name, content) in &files {
        bench.file(name, content)?;
        let ran = bench.run_with_input("review --ndjson", format!("{name}\n"))?;
        let document = &documents(&ran.out)?[0];
        assert!(document["error"].is_string(), "{document}");
        let told = format!("{}{}", ran.out, ran.err);
        assert!(!told.contains(SECRET) && !told.contains("01/02"), "{told}");
        // Who sends the content knows it.
        let line = format!("{name}\t{}\n", STANDARD.encode(content));
        let ran = bench.run_with_input("review --ndjson --content-only", line)?;
        let known = ran.out.contains(SECRET) || ran.out.contains("01/02");
        assert!(known, "{}", ran.out);
    }
    Ok(())
}

#[test]
fn with_content_only_no_file_is_opened() -> Outcome {
    let bench = bench()?;
    let content = STANDARD.encode(made::gpx(600, 5.0));
    let input = format!("all/a.gpx\nhand.gpx\t{content}\nall/a.gpx\t\n");
    let ran = bench.run_with_input("review --ndjson --content-only", input)?;
    let documents = documents(&ran.out)?;
    let error = documents[0]["error"].as_str().ok_or("a file was opened")?;
    assert!(error.contains("--content-only"), "{error}");
    assert!(documents[1]["review"].is_object(), "{}", documents[1]);
    let error = documents[2]["error"].as_str().ok_or("a file was opened")?;
    assert!(error.contains("empty"), "{error}");
    bench
        .run("review all/a.gpx --content-only")?
        .wrong_usage(&["--content-only"]);
    Ok(())
}

#[test]
fn names_that_are_no_text_are_answered_too() -> Outcome {
    let ran = bench()?.run_with_input("review --ndjson", &b"\xff\xfe\nall/a.gpx\n"[..])?;
    let documents = documents(&ran.out)?;
    assert_eq!(documents[0]["name"], "line 1");
    assert!(documents[0]["error"].is_string() && documents[1]["review"].is_object());
    Ok(())
}

#[test]
fn what_makes_no_sense_is_refused() -> Outcome {
    let bench = bench()?;
    for line in [
        "review",
        "review all --ndjson",
        "review --ndjson --json",
        "review --ndjson --out o",
        "review --ndjson --plan -",
        "review - all/a.gpx -",
    ] {
        bench.run(line)?.wrong_usage(&[]);
    }
    bench.file("empty/notes.txt", "nothing")?;
    bench.run("review empty")?.could_not(&["empty", ".gpx"]);
    bench.run_with_input("review --ndjson", "")?.done(&[]);
    Ok(())
}
