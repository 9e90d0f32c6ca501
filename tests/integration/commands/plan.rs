//! `repledger plan`.

use serde_json::Value;

use crate::support::cli::{Bench, Ran};
use crate::support::outcome::Outcome;

const PLAN: &str = "title: Short one\n\nspeed \"to halfway\", 5×40m at 95 %, rest walk back, then 3 min # flat out\n";

#[test]
fn a_plan_is_shown_on_one_screen() -> Outcome {
    let ran = Bench::with("a.plan", PLAN)?.run("plan a.plan")?;
    ran.done(&["Short one", "to halfway"]);
    assert_eq!(ran.err, "");
    Ok(())
}

#[test]
fn the_tidy_form_is_stable() -> Outcome {
    let bench = Bench::with("a.plan", PLAN)?;
    let tidy = bench.run("plan a.plan --tidy")?;
    tidy.done(&["speed \"to halfway\", 5 x 40 m at 95%, rest walk back, then 3 min"]);
    let again = bench.run_with_input("plan - --tidy", tidy.out.as_str())?;
    assert_eq!(again, tidy);
    Ok(())
}

#[test]
fn json_is_one_document() -> Outcome {
    let ran = Bench::with("a.plan", PLAN)?.run("plan a.plan --json")?;
    ran.done(&[]);
    let document: Value = serde_json::from_str(&ran.out)?;
    assert!(document.is_object());
    Ok(())
}

#[test]
fn a_card_is_written_beside_the_screen_and_spares_foreign_files() -> Outcome {
    let bench = Bench::with("a.plan", PLAN)?;
    let ran = bench.run("plan a.plan --card card.html")?;
    ran.done(&["to halfway"]);
    assert_eq!(ran.err, "wrote 'card.html'\n");
    assert!(bench.text("card.html")?.contains("to halfway"));

    bench.file("card.html", "mine")?;
    bench
        .run("plan a.plan --card card.html")?
        .could_not(&["card.html", "--force"]);
    assert_eq!(bench.text("card.html")?, "mine");
    bench.run("plan a.plan --card card.html --force")?.done(&[]);
    assert!(bench.text("card.html")?.contains("to halfway"));
    Ok(())
}

#[test]
fn every_mistake_is_shown_with_its_place() -> Outcome {
    let ran = Bench::with(
        "bad.plan",
        "speed 5 x 40 m\nresistence 8 x 10 s\nspeed 8 x 10 kg\n",
    )?
    .run("plan bad.plan")?;
    ran.could_not(&["bad.plan:2", "resistance", "bad.plan:3", "kg", "^"]);
    assert!(!ran.err.contains('\u{1b}'));
    Ok(())
}

#[test]
fn bad_files_are_refused() -> Outcome {
    let bench = Bench::with("empty.plan", "")?;
    bench.run("plan empty.plan")?.could_not(&["empty.plan"]);
    bench
        .run("plan nowhere.plan")?
        .could_not(&["'nowhere.plan'", "no such file"]);
    bench.run("plan .")?.could_not(&["'.'", "folder"]);
    bench.file("binary.plan", [0xff_u8, 0x00, 0x80, 0x0a].repeat(64))?;
    bench.run("plan binary.plan")?.could_not(&["binary.plan"]);
    bench.file("large.plan", "# filler\n".repeat(600_000))?;
    bench
        .run("plan large.plan")?
        .could_not(&["'large.plan'", "larger than 4 MB"]);
    Ok(())
}

#[test]
fn the_card_never_replaces_the_plan() -> Outcome {
    let bench = Bench::with("a.plan", PLAN)?;
    bench
        .run("plan a.plan --card a.plan --force")?
        .could_not(&["'a.plan' is the plan itself"]);
    assert_eq!(bench.text("a.plan")?, PLAN);
    Ok(())
}

#[test]
fn a_recording_given_as_a_plan_is_told_in_one_line() -> Outcome {
    let ran = Bench::with("a.gpx", "<?xml version=\"1.0\"?>\n<gpx/>\n")?.run("plan a.gpx")?;
    ran.could_not(&["a.gpx", "not a plan"]);
    assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
    Ok(())
}

#[test]
fn a_file_that_is_no_plan_is_named_in_one_line() -> Outcome {
    let table = "time,lat,lon,speed\n0,41.1,12.2,0.0\n1,41.1,12.2,0.5\n";
    let bench = Bench::with("a.png", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR")?;
    bench.file("a.csv", table)?;
    bench.file("a.rtf", "{\\rtf1\\ansi speed 5 x 40 m}\n")?;
    bench.file("a.gpx", "<?xml version=\"1.0\"?>\n<gpx/>\n")?;
    bench.file("a.html", "<!DOCTYPE html>\n<html></html>\n")?;
    bench.file("a.fit", b"\x0e\x10\x43\x08\x78\x06\0\0.FIT\0\0")?;
    bench.file("a.bin", b"\x01\x02\0\0\x05\x06")?;
    bench.file("b.tsv", "Block\tDose\tPause\nSpeed\t5 x 40 m\twalk back\n")?;
    bench.file("b.txt", "Block,Dose\nSpeed,5 x 40 m\n")?;
    bench.file(
        "b.md",
        "| Block | Dose |\n|---|---|\n| Speed | 5 x 40 m |\n",
    )?;
    for (file, what) in [
        ("a.png", "a picture"),
        ("a.csv", "a table"),
        ("a.rtf", "a document in RTF"),
        ("a.gpx", "a GPX recording"),
        ("a.html", "a web page"),
        ("a.fit", "a recording in FIT"),
        ("a.bin", "a binary file"),
        ("b.tsv", "a table"),
        ("b.txt", "a table"),
        ("b.md", "a table"),
    ] {
        let ran = bench.run(&format!("plan {file}"))?;
        ran.could_not(&[file, what, "not a plan"]);
        assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
    }
    bench.file("a.plan", PLAN)?;
    bench.file("b.plan", "speed 5 x 40 m\nresistence 8 x 10 s\n")?;
    for file in ["a.plan", "b.plan"] {
        let ran = bench.run(&format!("review {file}"))?;
        ran.could_not(&[file, "this is a plan, not a recording", "--plan"]);
        assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
    }
    // A table whose first column is a speed is none.
    bench.file("b.csv", "speed,time\n")?;
    let ran = bench.run("review b.csv")?;
    assert!(!ran.err.contains("plan"), "{}", ran.err);
    Ok(())
}

#[test]
fn a_new_plan_can_be_read_and_spares_what_is_there() -> Outcome {
    let bench = Bench::with("mine.plan", PLAN)?;
    let printed = bench.run("plan --new")?;
    printed.done(&["# A plan, one block a line", "cool-down"]);
    bench.run("plan --new new.plan")?.done(&[]);
    assert_eq!(bench.text("new.plan")?, printed.out);
    bench.run("plan new.plan")?.done(&["wall passes"]);
    bench
        .run("plan --new mine.plan")?
        .could_not(&["'mine.plan' is there already", "--edit"]);
    assert_eq!(bench.text("mine.plan")?, PLAN);
    bench.run("plan")?.wrong_usage(&["FILE"]);
    Ok(())
}

#[test]
fn a_sound_track_is_written_beside_the_screen() -> Outcome {
    let bench = Bench::with("a.plan", "resistance 3 x 6 s, rest 8 s\n")?;
    let ran = bench.run("plan a.plan --cues a.wav --lead 5min")?;
    ran.done(&["resistance"]);
    assert!(
        ran.err.contains("wrote 'a.wav'\n3 starts in 5:36"),
        "{}",
        ran.err
    );
    bench.run("plan a.plan --cues a.flac")?.done(&[]);
    bench
        .run("plan a.plan --cues a.mp3")?
        .could_not(&["'a.mp3'", ".wav", ".flac"]);
    bench
        .run("plan a.plan --cues a.wav --lead soon")?
        .wrong_usage(&["5min"]);
    bench.file("long.plan", "warm-up 5 h\n".replace("5 h", "300 min"))?;
    bench
        .run("plan long.plan --cues long.wav")?
        .could_not(&["long.plan", "5:00:12", "4:00:00"]);
    Ok(())
}

#[test]
fn dates_follow_the_order_that_is_said() -> Outcome {
    let bench = Bench::with("a.plan", "date: 12/05/2026\nspeed 5 x 40 m\n")?;
    bench
        .run("plan a.plan")?
        .could_not(&["date: 2026-05-12", "date: 2026-12-05", "--dates dmy"]);
    bench
        .run("plan a.plan --dates dmy --tidy")?
        .done(&["date: 2026-05-12"]);
    bench
        .run("plan a.plan --dates mdy --tidy")?
        .done(&["date: 2026-12-05"]);
    Ok(())
}

#[cfg(unix)]
#[test]
fn the_editor_is_opened_and_what_it_leaves_is_checked() -> Outcome {
    let bench = Bench::new()?;
    bench.file("right.sh", "echo 'speed 5 x 40 m' > \"$1\"\n")?;
    bench.file("wrong.sh", "echo 'speeed 5 x 40 m' > \"$1\"\n")?;
    let edit = |editor: &str| -> Outcome<Ran> {
        let mut command = bench.command()?;
        command
            .args(["plan", "--edit", "a.plan"])
            .env_remove("VISUAL");
        Ran::of(command.env("EDITOR", editor).output()?)
    };
    edit("sh right.sh")?.done(&["5 x 40 m"]);
    edit("sh wrong.sh")?.could_not(&["a.plan:1", "did you mean: speed 5 x 40 m"]);
    assert_eq!(bench.text("a.plan")?, "speeed 5 x 40 m\n");
    edit("")?.could_not(&["EDITOR=nano"]);
    let missing = edit("no-such-editor")?;
    assert_eq!(missing.status, Some(1), "{missing:?}");
    assert!(missing.err.contains("no-such-editor"), "{missing:?}");
    bench
        .run("plan --edit -")?
        .wrong_usage(&["--edit needs a file"]);
    Ok(())
}
