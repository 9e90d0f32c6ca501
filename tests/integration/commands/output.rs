//! `--out`: what is written, and what is left alone.

use crate::support::cli::Bench;
use crate::support::made;
use crate::support::outcome::Outcome;

#[test]
fn account_json_and_pictures_are_written_and_nothing_half() -> Outcome {
    let bench = Bench::with("a.gpx", made::gpx(600, 1.0))?;
    let ran = bench.run("review a.gpx --out deep/out")?;
    ran.done(&[]);
    let names = bench.names("deep/out")?;
    for name in [
        "account.txt",
        "review.json",
        "report.html",
        "speed.svg",
        "speed.png",
        "heatmap.svg",
        "heatmap.png",
    ] {
        assert!(names.iter().any(|n| n == name), "no {name} in {names:?}");
    }
    assert!(!names.iter().any(|n| n.contains(".part")), "{names:?}");
    assert_eq!(
        ran.err,
        format!("wrote {} files into 'deep/out'\n", names.len() - 1)
    );
    assert_eq!(bench.text("deep/out/account.txt")?, ran.out);
    for name in ["speed.png", "heatmap.png"] {
        let bytes = std::fs::read(bench.path(format!("deep/out/{name}")))?;
        assert!(bytes.starts_with(b"\x89PNG\r\n\x1a\n"), "{name}");
    }
    Ok(())
}

#[test]
fn with_a_plan_there_are_its_pictures_too() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(6000, 10.0))?;
    bench.file("a.plan", "resistance \"runs\", 20 x 6 s, rest 24 s\n")?;
    bench.run("review a.csv --plan a.plan --out out")?.done(&[]);
    let names = bench.names("out")?;
    for name in [
        "timeline.svg",
        "timeline.png",
        "reps.svg",
        "reps.png",
        "fade.svg",
        "fade.png",
    ] {
        assert!(names.iter().any(|n| n == name), "no {name} in {names:?}");
    }
    Ok(())
}

#[test]
fn our_own_files_are_replaced_without_asking() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(600, 10.0))?;
    bench.file("b.csv", made::csv(900, 10.0))?;
    bench.run("review a.csv --out out")?.done(&[]);
    let before = bench.text("out/review.json")?;
    bench.run("review b.csv --out out")?.done(&[]);
    assert_ne!(bench.text("out/review.json")?, before);
    Ok(())
}

#[test]
fn a_foreign_file_stands_and_then_nothing_is_written() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(600, 10.0))?;
    bench.file("out/speed.svg", "mine")?;
    let ran = bench.run("review a.csv --out out")?;
    ran.could_not(&["out/speed.svg", "--force", "nothing was written"]);
    assert_eq!(bench.names("out")?, ["speed.svg"]);
    assert_eq!(bench.text("out/speed.svg")?, "mine");

    bench.run("review a.csv --out out --force")?.done(&[]);
    assert!(bench.text("out/speed.svg")?.contains("<svg"));
    Ok(())
}

#[test]
fn our_file_that_was_changed_by_hand_stands() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(600, 10.0))?;
    bench.run("review a.csv --out out")?.done(&[]);
    bench.file("out/account.txt", "with my remarks")?;
    bench.file("b.csv", made::csv(900, 10.0))?;
    bench
        .run("review b.csv --out out")?
        .could_not(&["out/account.txt", "--force"]);
    assert_eq!(bench.text("out/account.txt")?, "with my remarks");
    Ok(())
}

#[test]
fn a_file_in_the_place_of_the_folder_is_an_error() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(600, 10.0))?;
    bench.file("out", "")?;
    bench
        .run("review a.csv --out out")?
        .could_not(&["'out'", "it is a file; name a folder"]);
    Ok(())
}

#[test]
fn a_recording_that_cannot_be_read_leaves_what_was_written_before() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(600, 10.0))?;
    bench.run("review a.csv --out out")?.done(&[]);
    let before = bench.text("out/account.txt")?;
    bench.file("bad.csv", "")?;
    bench
        .run("review bad.csv --out out")?
        .could_not(&["bad.csv"]);
    assert_eq!(bench.text("out/account.txt")?, before);
    Ok(())
}
