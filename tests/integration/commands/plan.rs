//! `repledger plan`.

use serde_json::Value;

use crate::support::cli::Bench;
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
