//! `repledger pitch`, the pitch in a review, and reviews without a place.

use std::fmt::Write as _;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use serde_json::Value;

use crate::support::cli::Bench;
use crate::support::outcome::Outcome;

/// Where the made recordings are: open sea.
const LATITUDE: f64 = -30.0;
const LONGITUDE: f64 = -110.0;
/// Metres of a degree there, near enough for a pitch (WGS 84).
const NORTH_M: f64 = 110_852.0;
const EAST_M: f64 = 96_486.0;

/// Laps a metre inside the lines of 100 x 64 m, turned by 30 degrees, at 2.6 m/s, then ten minutes in its right half.
fn laps() -> String {
    let mut csv = String::from("time,lat,lon\n");
    let (sin, cos) = 30.0_f64.to_radians().sin_cos();
    let mut second = 0;
    let mut put = |along: f64, across: f64| {
        let (x, y) = (cos * along - sin * across, sin * along + cos * across);
        let (minute, rest) = (second / 60, second % 60);
        let (lat, lon) = (LATITUDE + y / NORTH_M, LONGITUDE + x / EAST_M);
        let _ = writeln!(
            csv,
            "2031-05-12T17:{minute:02}:{rest:02}Z,{lat:.7},{lon:.7}"
        );
        second += 1;
    };
    let (a, b) = (98.0, 62.0);
    let round = 2.0 * (a + b);
    for k in 0..360 {
        let way = (f64::from(k) * 2.6) % round;
        let (x, y) = if way < a {
            (way, 0.0)
        } else if way < a + b {
            (a, way - a)
        } else if way < 2.0 * a + b {
            (2.0 * a + b - way, b)
        } else {
            (0.0, round - way)
        };
        put(x - a / 2.0, y - b / 2.0);
    }
    for k in 0..600 {
        put(
            25.0 + 20.0 * (f64::from(k) / 12.0).sin(),
            10.0 * (f64::from(k) / 9.0).cos(),
        );
    }
    csv
}

fn bench() -> Outcome<Bench> {
    let bench = Bench::with("laps.csv", laps())?;
    bench.file(
        "laps.plan",
        "title: laps\npitch: 100 x 64 m\nwarm-up 6 min\ngame 10 min\n",
    )?;
    Ok(bench)
}

fn pitch(bench: &Bench, line: &str) -> Outcome<Value> {
    let ran = bench.run(line)?;
    ran.done(&[]);
    let document: Value = serde_json::from_str(&ran.out)?;
    Ok(document["pitch"].clone())
}

#[test]
fn the_plans_pitch_is_laid_under_laps() -> Outcome {
    let bench = bench()?;
    let found = pitch(
        &bench,
        "review laps.csv --plan laps.plan --json --pitches kept",
    )?;
    assert_eq!(found["source"], "fitted");
    let turn = &found["touchline_deg"];
    assert!(
        turn["low"].as_f64() < Some(30.0) && Some(30.0) < turn["high"].as_f64(),
        "{found}"
    );
    // Ten of sixteen minutes in the right half, and half of the laps.
    let right = found["halves"][1]["time_s"].as_f64().unwrap_or_default();
    let left = found["halves"][0]["time_s"].as_f64().unwrap_or_default();
    assert!(left + 300.0 < right, "{found}");
    let none = pitch(
        &bench,
        "review laps.csv --plan laps.plan --json --pitch off",
    )?;
    assert_eq!(none, Value::Null);
    Ok(())
}

#[test]
fn a_pitch_is_kept_used_and_forgotten() -> Outcome {
    let bench = bench()?;
    bench
        .run("pitch fit laps.csv --size 100x64 --keep riverside --pitches kept")?
        .done(&["riverside", "100.0 x 64.0 m"]);
    bench.run("pitch list --pitches kept")?.done(&["riverside"]);
    bench
        .run("pitch show riverside --pitches kept")?
        .done(&["one recording"]);
    // Without a plan the kept one lies under the session.
    let found = pitch(&bench, "review laps.csv --json --pitches kept")?;
    assert_eq!(
        (&found["source"], &found["name"]),
        (&"kept".into(), &"riverside".into())
    );
    // The same recording tells nothing new; another one does, and one from another field is refused.
    bench
        .run("pitch fit laps.csv --keep riverside --pitches kept")?
        .could_not(&["before", "no new recording"]);
    bench.file("again.csv", laps().replace("T17:", "T18:"))?;
    bench
        .run("pitch fit again.csv --keep riverside --pitches kept")?
        .done(&["2 recordings"]);
    bench.file(
        "south.csv",
        laps()
            .replace("Z,-30.", "Z,-31.")
            .replace("Z,-29.", "Z,-30."),
    )?;
    bench
        .run("pitch fit south.csv --size 100x64 --keep riverside --pitches kept")?
        .could_not(&["another pitch"]);
    // Without a size the laps tell it: run a metre inside the lines of 100 x 64 m, seen without a filter.
    bench
        .run("pitch fit laps.csv --pitches kept")?
        .done(&["size        99.8 x 64."]);
    bench.file("third.csv", laps().replace("T17:", "T19:"))?;
    bench
        .run("pitch fit third.csv --size 103x68 --keep riverside --pitches kept")?
        .could_not(&["riverside", "another name"]);
    bench
        .run("pitch forget riverside --pitches kept")?
        .done(&[]);
    bench
        .run("pitch show riverside --pitches kept")?
        .could_not(&["riverside", "pitch list"]);
    Ok(())
}

#[test]
fn corners_in_a_file_make_a_pitch() -> Outcome {
    let bench = bench()?;
    let (sin, cos) = 30.0_f64.to_radians().sin_cos();
    let mut text = String::from("# by the river\n");
    for [a, b] in [[-50.0, -32.0], [50.0, -32.0], [50.0, 32.0], [-50.0, 32.0]] {
        let (x, y) = (cos * a - sin * b, sin * a + cos * b);
        let _ = writeln!(
            text,
            "{:.7},{:.7}",
            LATITUDE + y / NORTH_M,
            LONGITUDE + x / EAST_M
        );
    }
    bench.file("corners.txt", &text)?;
    let found = pitch(&bench, "review laps.csv --json --pitch corners.txt")?;
    assert_eq!(found["source"], "corners");
    let length = found["length_m"].as_f64().unwrap_or_default();
    assert!((length - 100.0).abs() < 0.5, "{found}");
    bench.file(
        "three.txt",
        text.lines().take(4).collect::<Vec<_>>().join("\n"),
    )?;
    bench
        .run("review laps.csv --pitch three.txt")?
        .could_not(&["three.txt", "four corners"]);
    bench.file("odd.txt", "north,west\n")?;
    bench
        .run("review laps.csv --pitch odd.txt")?
        .could_not(&["odd.txt", "line 1"]);
    Ok(())
}

#[test]
fn what_is_wrong_names_the_way_out() -> Outcome {
    let bench = bench()?;
    bench
        .run("review laps.csv --pitch nowhere --pitches kept")?
        .could_not(&["nowhere", "pitch list"]);
    bench
        .run("pitch show ../laps --pitches kept")?
        .could_not(&["../laps", "no name"]);
    bench
        .run("pitch fit laps.csv --size 60x40 --pitches kept")?
        .could_not(&["outside", "--corners"]);
    bench
        .run("pitch fit laps.csv --size wide")?
        .wrong_usage(&["105x68"]);
    bench.file("kept/broken.toml", "length_m = 3\n")?;
    bench
        .run("review laps.csv --pitches kept")?
        .could_not(&["broken.toml", "forget"]);
    Ok(())
}

/// Nothing else in an output begins so: degrees south and west of here, the day, the name of the place.
#[track_caller]
fn tells_no_place(name: &str, text: &str) {
    for secret in [
        "-29.99",
        "-30.00",
        "-110.0",
        "-109.99",
        "2031-05",
        "May 2031",
        "riverside",
    ] {
        assert!(!text.contains(secret), "{secret} in {name}:\n{text}");
    }
}

/// Of many recordings too: summaries, lines of JSON, names of folders, and what is said of a file that cannot be read.
#[test]
fn a_hidden_place_is_in_no_output_of_many() -> Outcome {
    let bench = bench()?;
    bench
        .run("pitch fit laps.csv --size 100x64 --keep riverside --pitches kept")?
        .done(&[]);
    bench.file("riverside 2031-05-12.csv", laps())?;
    // Either number could be the latitude, so that it is refused with its first line.
    let head = "2031-05-12T17:00:00Z,-30.0001,-70.0001\n".repeat(9);
    bench.file("headless.csv", head)?;
    bench.file(
        "broken.gpx",
        "<gpx><trk><name>riverside</name><trkseg><trkpt lat=\"-30.0001\" lon=-110.0></gpx>",
    )?;
    bench.file(
        "dated.plan",
        format!("date: 2031-05-20\n{}", bench.text("laps.plan")?),
    )?;
    let content = STANDARD.encode(laps());
    let lines = format!("laps.csv\nheadless.csv\nbroken.gpx\nby hand\t{content}\n");
    let same = "--plan dated.plan --pitches kept";
    for line in [
        "review laps.csv headless.csv broken.gpx",
        "review laps.csv headless.csv broken.gpx --json",
        "review headless.csv",
        "review --ndjson",
    ] {
        let open = bench.run_with_input(&format!("{line} {same}"), lines.as_str())?;
        // Otherwise there was nothing to hide.
        assert!(
            ["2031-05", "-30.00", "riverside"]
                .iter()
                .any(|told| open.out.contains(told) || open.err.contains(told)),
            "{line}: {open:?}"
        );
        let ran = bench.run_with_input(&format!("{line} {same} --hide-place"), lines.as_str())?;
        assert_eq!(ran.status, Some(1), "{ran:?}");
        tells_no_place(line, &ran.out);
        tells_no_place(line, &ran.err);
    }
    let output = bench
        .command()?
        .args(["review", "laps.csv", "riverside 2031-05-12.csv"])
        .args(["--out", "many", "--hide-place", "--quiet"])
        .output()?;
    assert!(output.status.success(), "{output:?}");
    assert_eq!(bench.names("many")?, ["recording-1", "recording-2"]);
    for name in bench.names("many/recording-2")? {
        let bytes = std::fs::read(bench.path(format!("many/recording-2/{name}")))?;
        tells_no_place(&name, &String::from_utf8_lossy(&bytes));
    }
    Ok(())
}

/// Every file of a review, as text where it is text: neither the degrees of the place nor the day are in any of them.
#[test]
fn a_hidden_place_is_in_no_output() -> Outcome {
    let bench = bench()?;
    bench
        .run("pitch fit laps.csv --size 100x64 --keep riverside --pitches kept")?
        .done(&[]);
    let line = "review laps.csv --plan laps.plan --pitches kept --out shared --hide-place";
    let ran = bench.run(line)?;
    ran.done(&[]);
    let mut all = vec![("account".to_owned(), ran.out.into_bytes())];
    for name in bench.names("shared")? {
        all.push((
            name.clone(),
            std::fs::read(bench.path(format!("shared/{name}")))?,
        ));
    }
    assert!(all.len() > 8);
    for (name, bytes) in &all {
        tells_no_place(name, &String::from_utf8_lossy(bytes));
    }
    // The same review with its place holds the day, so that the test can fail.
    let open = bench.run("review laps.csv --plan laps.plan --pitches kept --json")?;
    assert!(open.out.contains("2031-05") && open.out.contains("riverside"));
    let dated = bench.run("review laps.csv --json --hide-place --show-date --pitches kept")?;
    assert!(dated.out.contains("2031-05") && !dated.out.contains("riverside"));
    Ok(())
}
