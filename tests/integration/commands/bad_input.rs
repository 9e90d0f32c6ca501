//! Bad recordings: each ends with a message that names file, place and way out, or with an honest part of the account.

use serde_json::Value;

use crate::support::account::used_and_set_aside_make_all;
use crate::support::cli::{Bench, Ran};
use crate::support::made;
use crate::support::outcome::Outcome;

fn review(name: &str, content: impl AsRef<[u8]>) -> Outcome<Ran> {
    Bench::with(name, content)?.run(&format!("review {name}"))
}

/// The JSON of a review that must be given, with every fix accounted for and no wild number in it.
fn account(name: &str, content: impl AsRef<[u8]>) -> Outcome<Value> {
    let bench = Bench::with(name, content)?;
    bench.run(&format!("review {name}"))?.done(&["Recording"]);
    let ran = bench.run(&format!("review {name} --json"))?;
    ran.done(&[]);
    let document: Value = serde_json::from_str(&ran.out)?;
    used_and_set_aside_make_all(&document["recording"])?;
    // Nobody has run faster than 12.4 m/s; the interval may reach beyond.
    if let Some(top) = document["totals"]["top_speed_m_s"]["value"].as_f64() {
        assert!(top < 13.0, "{top}");
    }
    Ok(document)
}

fn distance_m(document: &Value) -> Outcome<f64> {
    let value = document["totals"]["distance_m"]["value"].as_f64();
    Ok(value.ok_or("no distance")?)
}

fn csv(rows: impl IntoIterator<Item = String>) -> String {
    let mut text = "time,x,y\n".to_owned();
    for row in rows {
        text += &row;
        text.push('\n');
    }
    text
}

#[test]
fn a_missing_file() -> Outcome {
    Bench::new()?
        .run("review nowhere.gpx")?
        .could_not(&["error: cannot read 'nowhere.gpx': there is no such file\n"]);
    Ok(())
}

#[test]
fn a_folder() -> Outcome {
    let bench = Bench::with("inside/a.gpx", "")?;
    let ran = bench.run("review inside")?;
    ran.could_not(&["error: inside/a.gpx", "empty", "not reviewed, 1 of 1"]);
    let ran = bench.run("review inside/a.gpx --plan inside")?;
    ran.could_not(&["error: cannot read 'inside': it is a folder; name the file inside it\n"]);
    Ok(())
}

#[test]
fn an_empty_file() -> Outcome {
    review("a.gpx", "")?.could_not(&["a.gpx", "empty"]);
    review("a.gpx", " \n\n")?.could_not(&["a.gpx", "empty"]);
    Ok(())
}

#[test]
fn a_binary_file() -> Outcome {
    let bytes: Vec<u8> = (0..=255).cycle().take(4096).collect();
    review("a.gpx", bytes)?.could_not(&["a.gpx", "not text", "export"]);
    Ok(())
}

#[test]
fn a_web_page_saved_as_gpx() -> Outcome {
    let page = "<!DOCTYPE html>\n<html><head><title>Sign in</title></head><body></body></html>";
    review("a.gpx", page)?.could_not(&["a.gpx", "web page", "again"]);
    Ok(())
}

#[test]
fn gpx_without_a_track() -> Outcome {
    let file = "<gpx version=\"1.1\"><wpt lat=\"50\" lon=\"8\"/></gpx>";
    review("a.gpx", file)?.could_not(&["a.gpx", "no track"]);
    Ok(())
}

#[test]
fn a_single_fix_is_no_motion() -> Outcome {
    review("a.gpx", made::gpx(1, 1.0))?.could_not(&["a.gpx", "fix"]);
    Ok(())
}

#[test]
fn two_fixes_give_two_fixes_worth() -> Outcome {
    let document = account("a.gpx", made::gpx(2, 1.0))?;
    assert_eq!(document["recording"]["used"], 2);
    assert_eq!(document["efforts"], Value::Array(Vec::new()));
    Ok(())
}

#[test]
fn all_fixes_at_one_instant_are_no_motion() -> Outcome {
    let rows = (0..300).map(|i| format!("5,{i},0"));
    review("a.csv", csv(rows))?.could_not(&["a.csv"]);
    Ok(())
}

#[test]
fn what_is_no_number_is_no_position() -> Outcome {
    let rows = (0..100).map(|i| format!("{i},NaN,inf"));
    review("a.csv", csv(rows))?.could_not(&["a.csv", "100", "line 2"]);
    sets_one_fix_aside("NaN")
}

#[test]
fn a_huge_number_is_no_position() -> Outcome {
    sets_one_fix_aside("1e308")
}

/// Of a hundred fixes one has this for its x, and all others are used.
#[track_caller]
fn sets_one_fix_aside(x: &str) -> Outcome {
    let rows = (0..100).map(|i| match i {
        50 => format!("{i},{x},0"),
        _ => format!("{i},{i},0"),
    });
    let document = account("a.csv", csv(rows))?;
    assert_eq!(document["recording"]["used"], 99);
    Ok(())
}

#[test]
fn latitude_91_is_not_on_earth() -> Outcome {
    let file = made::gpx(100, 1.0).replace("lat=\"50", "lat=\"91");
    review("a.gpx", file)?.could_not(&["a.gpx", "100", "line"]);
    Ok(())
}

#[test]
fn the_year_9999_is_no_time_of_a_recording() -> Outcome {
    let file = made::gpx(100, 1.0).replace("2026-", "9999-");
    review("a.gpx", file)?.could_not(&["a.gpx", "time"]);
    Ok(())
}

#[test]
fn times_running_backwards_are_put_in_order_and_said() -> Outcome {
    let rows = (0..3600).map(|i| format!("{},{i},0", 3600 - i));
    let document = account("a.csv", csv(rows))?;
    let distance = distance_m(&document)?;
    assert!((distance - 3599.0).abs() < 40.0, "{distance}");
    Ok(())
}

#[test]
fn a_gap_every_five_seconds_leaves_the_rest() -> Outcome {
    let rows = (0..3000)
        .filter(|i| i % 50 < 20)
        .map(|i| format!("{:.1},{:.2},0", f64::from(i) / 10.0, 0.3 * f64::from(i)));
    let document = account("a.csv", csv(rows))?;
    assert_eq!(document["recording"]["used"], 1200);
    Ok(())
}

#[test]
fn jumps_of_40_m_are_set_aside() -> Outcome {
    let rows = (0..600).map(|i| format!("{i},{},0", i + if i % 20 == 10 { 40 } else { 0 }));
    let document = account("a.csv", csv(rows))?;
    let distance = distance_m(&document)?;
    assert!((distance - 599.0).abs() < 30.0, "{distance}");
    Ok(())
}

#[test]
fn a_leap_of_a_kilometre_that_stays_is_a_break() -> Outcome {
    let rows = (0..3000).map(|i| format!("{i},{},0", i % 1000));
    let document = account("a.csv", csv(rows))?;
    let gaps = document["recording"]["gaps"].as_array().ok_or("no gaps")?;
    assert_eq!(gaps.len(), 2);
    let distance = distance_m(&document)?;
    assert!((distance - 2997.0).abs() < 30.0, "{distance}");
    Ok(())
}

#[test]
fn a_long_line_is_refused_within_bounds() -> Outcome {
    let line = "a".repeat(32 << 20);
    review("a.csv", &line)?.could_not(&["a.csv"]);
    let document = account(
        "a.csv",
        "time,x,y\n0,1,2\n1,2,2\n2,3,2\n3,".to_owned() + &line,
    )?;
    assert_eq!(document["recording"]["used"], 3);
    Ok(())
}

#[test]
fn a_nul_byte_costs_its_row_at_most() -> Outcome {
    let document = account("a.csv", "time,x,y\n1,0,0\n2,\0,0\n3,2,0\n4,3,0\n")?;
    assert_eq!(document["recording"]["fixes"], 4);
    Ok(())
}

#[test]
fn a_truncated_file_is_used_up_to_the_damage() -> Outcome {
    let whole = made::gpx(600, 1.0);
    let cut = whole.get(..whole.len() / 2).ok_or("not ASCII")?;
    let document = account("a.gpx", cut)?;
    let used = document["recording"]["used"].as_u64().ok_or("no count")?;
    assert!((290..=300).contains(&used), "{used}");
    assert!(
        document["notes"].to_string().contains("Line 30"),
        "{}",
        document["notes"]
    );
    Ok(())
}

#[test]
fn a_table_that_ends_inside_a_row_is_used_up_to_it() -> Outcome {
    let whole = made::csv(600, 1.0);
    let rows = whole.lines().count() / 2;
    let mut cut: String = (whole.lines().take(rows))
        .map(|line| line.to_owned() + "\n")
        .collect();
    cut.push_str("300.0,1");
    let document = account("a.csv", cut)?;
    assert_eq!(document["recording"]["set_aside"][0]["reason"], "cut off");
    assert!(
        document["notes"]
            .to_string()
            .contains("ends inside this row"),
        "{}",
        document["notes"]
    );
    Ok(())
}

#[test]
fn a_file_larger_than_the_bound_is_refused_unread() -> Outcome {
    let bench = Bench::with("huge.gpx", "")?;
    // A hole of 6 GB, which takes no room.
    std::fs::File::options()
        .write(true)
        .open(bench.path("huge.gpx"))?
        .set_len(6 << 30)?;
    let ran = bench.run("review huge.gpx")?;
    ran.could_not(&["error: cannot read 'huge.gpx': it is larger than 512 MB, the most that is read of a recording\n"]);
    Ok(())
}

#[test]
fn a_day_of_recording_is_a_day() -> Outcome {
    // Up and down a line of a kilometre at a walk.
    let rows = (0..86_400).map(|i: i32| format!("{i},{},0", (i % 2000 - 1000).abs()));
    let document = account("a.csv", csv(rows))?;
    assert_eq!(document["session"]["duration_s"], 86_399.0);
    Ok(())
}
