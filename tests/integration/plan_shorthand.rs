//! Shorthand of players and coaches: laps, rounds in a row, tables of seconds, rests by other names.

use repledger::plan;

use crate::support::scribbles::{means, offered};

#[test]
fn laps_and_lengths_are_those_of_the_pitch() {
    let on = |line: &str| plan::tidy(&format!("pitch: 100 x 64 m\n{line}")).unwrap();
    let read = |line: &str| on(line).lines().nth(1).unwrap().to_owned();
    assert_eq!(
        read("6 laps of the pitch"),
        "warm-up \"6 laps of the pitch\", 1 x 1968 m"
    );
    assert_eq!(
        read("easy jog 2x around the pitch"),
        "warm-up \"jog\", 1 x 656 m, easy"
    );
    assert_eq!(
        read("intervals 4 x 2 laps of the pitch, rest 2 min"),
        "resistance \"intervals 2 laps of the pitch\", 4 x 656 m, rest 2 min"
    );
    assert_eq!(
        read("sprint 6 lengths of the pitch"),
        "speed \"sprint lengths of the pitch\", 6 x 100 m"
    );
    assert_eq!(
        read("sprint half pitch x 10"),
        "speed \"sprint half pitch\", 10 x 50 m"
    );
    // Without a pitch in the plan its length is asked about, and of what a lap is.
    assert_eq!(
        offered("warm up 4 laps easy"),
        [
            "warm-up \"4 laps\", 1 x 1384 m, easy",
            "warm-up \"4 laps\", 1 x 1600 m, easy"
        ]
    );
    assert_eq!(
        offered("2 rounds around the field, easy")
            .first()
            .map(String::as_str),
        Some("resistance \"2 rounds around the field\", 1 x 692 m, easy")
    );
    // A time or a game says how much; then they are words.
    means("warm up: two laps, 10 min", "warm-up \"two laps\", 10 min");
    means(
        "5v5 on half pitch 4 x 4 min",
        "game \"5v5 on half pitch\", 4 x 4 min",
    );
}

#[test]
fn a_row_that_is_done_several_times_is_offered_as_rounds() {
    let row = "5 rounds of\n  gym \"hurdle hops\", 1 x 4 reps\n  speed \"sprint\", 1 x 10 m";
    assert_eq!(offered("4 hurdle hops + 10 m sprint x 5"), [row]);
    assert_eq!(offered("5 x (4 hurdle hops + 10 m sprint)"), [row]);
    assert_eq!(
        offered("10 min rondo 8 min finishing"),
        [
            "technical \"rondo\", 10 min\ntechnical \"finishing\", 8 min",
            "technical \"10 min rondo 8 min finishing\", 18 min"
        ]
    );
    // A rest behind `then`, and one behind a bout, lies between two things.
    assert_eq!(
        offered("jogging 10', rest 2', sprints 5 x 20 m r 1'"),
        ["warm-up \"jogging\", 10 min, then 2 min\nspeed \"sprints\", 5 x 20 m, rest 60 s"]
    );
    assert_eq!(
        offered("5 x 20 m sprints, then 3 min rest, then 5 x 30 m sprints"),
        ["speed \"sprints\", 5 x 20 m, then 3 min\nspeed \"sprints\", 5 x 30 m"]
    );
    // Marks of a list are no seconds, and each thing has its own kind.
    assert_eq!(
        offered("1) warm up 10 min 2) rondo 10 min 3) game 20 min"),
        ["warm-up 10 min\ntechnical \"rondo\", 10 min\ngame 20 min"]
    );
    assert_eq!(
        offered("speed: 4x20 2x30 1x40"),
        [
            "speed 4 x 20 m\nspeed 2 x 30 m\nspeed 1 x 40 m",
            "speed 20-20-20-20-30-30-40 m"
        ]
    );
}

#[test]
fn what_is_done_again_is_asked_about_and_not_dropped() {
    for (line, rounds) in [
        ("x 2", "2 rounds of"),
        ("twice", "2 rounds of"),
        (
            "repeat twice with 3 min between",
            "2 rounds of, 3 min between rounds",
        ),
    ] {
        let text = format!("speed 5 x 20 m, rest 60 s\n{line}");
        let mistakes = plan::parse(&text).unwrap_err();
        assert_eq!(mistakes.len(), 1, "{line}");
        assert_eq!(
            mistakes[0].lines,
            [format!("{rounds}\n  speed 5 x 20 m, rest 60 s")]
        );
    }
    // Nor is a first line with a dose a title.
    assert_eq!(offered("stadium steps 5 times").len(), 3);
    assert!(plan::parse("ladder 10 20 30 40\nspeed 5 x 20 m").is_err());
}

#[test]
fn two_and_three_times_with_slashes_are_work_and_rests() {
    assert_eq!(offered("20\"/40\" x 8"), ["resistance 8 x 20 s, rest 40 s"]);
    for written in ["15/15 x 2 x 8 min", "15/15 2 x 8 min", "2 x 8 min of 15/15"] {
        assert_eq!(
            offered(written),
            ["resistance 2 x 16 x 15 s, rest 15 s between reps"],
            "{written}"
        );
    }
    assert_eq!(
        offered("MAS 15/15 2 x 6 min @ 110%"),
        ["resistance \"MAS\", 2 x 12 x 15 s, rest 15 s between reps  # at 110%"],
        "110 % of top speed is nobody's"
    );
    assert_eq!(
        offered("speed 3 x 5 x 20 m 15 s/2 min/4 min"),
        ["speed 3 x 5 x 20 m, rest 15 s, 2 min between sets, then 4 min"]
    );
    assert_eq!(
        offered("resistance 2 x 10 x 15\"/15\" r: 3'"),
        ["resistance 2 x 10 x 15 s, rest 15 s, 3 min between sets"]
    );
    assert_eq!(
        offered("resistance 2 x 400-300-200 m 1'/3'"),
        ["resistance 2 x 400-300-200 m, rest 60 s, 3 min between sets"]
    );
    assert_eq!(
        offered("3x800m 2min"),
        ["resistance 3 x 800 m, rest 2 min"],
        "without its comma"
    );
    means(
        "fartlek 20 min: 1 min fast 1 min slow",
        "resistance \"fartlek\", 10 x 60 s, rest 60 s",
    );
    assert_eq!(
        offered("speed 5 x 20 m x 3"),
        ["speed 3 x 5 x 20 m"],
        "a second count behind a dose"
    );
    assert_eq!(
        offered("tabata x 2"),
        ["resistance \"tabata\", 2 x 8 x 20 s, rest 10 s between reps"]
    );
}

#[test]
fn rests_and_sets_have_other_names() {
    for written in [
        "sprints 8 x 30 m pause 1 min",
        "sprints 8 x 30 m with pause of 1 minute",
        "sprints 8 x 30 m, break 60 sec",
        "sprints 8 x 30 m (rest: 60 s)",
        "sprints 8*30m p=60s",
        "sprints 8 x 30 m (p: 1')",
    ] {
        means(written, "speed \"sprints\", 8 x 30 m, rest 60 s");
    }
    for written in [
        "sprints 3 series of 6 x 30 m, 30 sec between repetitions and 3 min between series",
        "sprints, 3 sets: 6x30m r30s, SR 3 min",
        "sprints 3(6x30m) r 30s R 3min",
    ] {
        means(
            written,
            "speed \"sprints\", 3 x 6 x 30 m, rest 30 s, 3 min between sets",
        );
    }
    means(
        "sprint 8x 10y, rest 40 s",
        "speed \"sprint\", 8 x 10 yd, rest 40 s",
    );
    means(
        "6 sprints 20m each with 1 min rest",
        "speed \"sprints\", 6 x 20 m, rest 60 s",
    );
    means(
        "20 m sprint 6 times with walk back recovery",
        "speed \"sprint\", 6 x 20 m, rest walk back",
    );
    means(
        "6v6 6 min x 3 breaks 2 min",
        "game \"6v6\", 3 x 6 min, rest 2 min",
    );
    assert_eq!(
        offered("sprints 6x400 R1:30"),
        ["speed \"sprints\", 6 x 400 m, rest 90 s"]
    );
    assert_eq!(
        offered("step ups 3x12 each leg 60s"),
        ["gym \"step ups\", 3 x 12 reps each leg, 60 s between sets"],
        "and no minute of each"
    );
    assert_eq!(
        offered("intervals 6 x 800, 2 min"),
        ["resistance \"intervals\", 6 x 800 m, rest 2 min"]
    );
    assert_eq!(
        offered("speed 8 x 30 m rest 1 to 2 min"),
        ["speed 8 x 30 m, rest 60 s", "speed 8 x 30 m, rest 2 min"]
    );
}

#[test]
fn numbers_words_and_minutes_are_those_that_were_meant() {
    // In front of the length of a way it is reps that are counted.
    means(
        "strength 3 x 6 over 5 m there and back, 90 s between sets",
        "strength 3 x 6 reps over 5 m there and back, 90 s between sets",
    );
    assert_eq!(offered("speed 5 x fourty m"), ["speed 5 x 40 m"]);
    assert_eq!(offered("speed fourty m x 5"), ["speed 5 x 40 m"]);
    means("lunges 3x10/leg", "gym \"lunges\", 3 x 10 reps each leg");
    means("static stretch 10m", "gym \"static stretch\", 10 min");
    means("gym bear crawl 20 m", "gym \"bear crawl\", 1 x 20 m");
    means(
        "7 v 7 (60x40) 3 x 8 min",
        "game \"7 v 7 60 x 40\", 3 x 8 min",
    );
    means(
        "sprints 5 x 30m at 95 percent",
        "speed \"sprints\", 5 x 30 m at 95%",
    );
    means("flying 30 x 4", "speed \"flying\", 4 x 30 m");
    means(
        "sprint 20m every 20 s for 4 min",
        "speed \"sprint\", 12 x 20 m, every 20 s",
    );
    assert_eq!(
        offered("resistance 4on 3off x4"),
        ["resistance 4 x 4 min, rest 3 min"]
    );
    // What may not become a count: a weight, and an `x` with nothing behind it.
    for wrong in ["speed 8 x 10 kg", "speed 5 x"] {
        assert!(plan::parse(wrong).is_err(), "{wrong}");
    }
    means("T-test x 4", "strength \"T-test\", 1 x 4 reps");
    means("butt kicks 2 x 20 m", "warm-up \"butt kicks\", 2 x 20 m");
    means("shape work 20 min", "technical \"shape work\", 20 min");
    assert_eq!(
        offered("match 11v11 2x45"),
        ["game \"match 11v11\", 2 x 45 min"],
        "no date"
    );
    means("ten min easy jog", "warm-up \"jog\", 10 min, easy");
    means("weights 1h15", "gym \"weights\", 75 min");
}

#[test]
fn a_line_is_read_as_far_as_it_goes_and_its_end_asked_about() {
    let mistakes = plan::parse("15 min run with 5 accelerations").unwrap_err();
    assert_eq!(mistakes[0].message, "`5 accelerations` is not read");
    assert_eq!(
        mistakes[0].lines[0],
        "warm-up \"run\", 15 min  # 5 accelerations"
    );
    assert_eq!(
        offered("resisted sprints with band 4 x 10m each"),
        ["speed \"resisted sprints with band\", 4 x 10 m  # each"]
    );
    // A heading says the kind of what stands below it, also where that says it as well.
    let gym = plan::tidy("gym\nsquat 4x6\ncore 10 min").unwrap();
    assert_eq!(
        gym,
        "# gym\ngym \"squat\", 4 x 6 reps\ngym \"core\", 10 min\n"
    );
    // An end that is a dose, a rest or a phrase is no remark.
    for whole in ["W drill x 4 with ball", "20 m sprint + 10 s hold x 5"] {
        assert!(
            plan::parse(whole)
                .unwrap_err()
                .iter()
                .all(|mistake| mistake.lines.is_empty()),
            "{whole}"
        );
    }
}
