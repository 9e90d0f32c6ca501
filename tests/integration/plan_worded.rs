//! Plans in the words of other players: other languages' units and rests, a timetable, numbers that are no amounts of the work.

use repledger::plan;

use crate::support::scribbles::{asked, offered, read};

/// The tidy form of a whole plan.
fn tidy(text: &str) -> String {
    plan::tidy(text).unwrap_or_else(|mistakes| panic!("{text}: {mistakes:#?}"))
}

#[test]
fn units_counts_and_rests_are_read_in_other_languages() {
    read(&[
        ("Einlaufen 10 Minuten", "warm-up 10 min"),
        (
            "Sprint 5 x 30 m, Pause 90 Sek",
            "speed \"Sprint\", 5 x 30 m, rest 90 s",
        ),
        (
            "Sprint 3 Serien 5 x 20 m, SP 3 min",
            "speed \"Sprint\", 3 x 5 x 20 m, 3 min between sets",
        ),
        (
            "Spiel 4 gegen 4, 4 x 4 min, 2 Min P",
            "game \"4 v 4\", 4 x 4 min, rest 2 min",
        ),
        (
            "sprint 2 x 6 x 30 m, récup 45 s, 3 min entre séries",
            "speed \"sprint\", 2 x 6 x 30 m, rest 45 s, 3 min between sets",
        ),
        (
            "sprints 2 blocks of 5 x 30m, 4 min between blocks",
            "speed \"sprints\", 2 x 5 x 30 m, 4 min between sets",
        ),
        ("Auslaufen 10 min", "cool-down 10 min"),
        ("échauffement 10 min", "warm-up 10 min"),
    ]);
}

#[test]
fn numbers_are_read_in_words_and_parts_of_an_hour() {
    read(&[
        (
            "ten 20 m sprints, 30 seconds rest",
            "speed \"sprints\", 10 x 20 m, rest 30 s",
        ),
        (
            "two sets of six 30 m sprints with 30 secs in between and 3 mins between sets",
            "speed \"sprints\", 2 x 6 x 30 m, rest 30 s, 3 min between sets",
        ),
        ("quarter of an hour technical", "technical 15 min"),
        ("game half an hour", "game 30 min"),
        ("4 quarters of 12 min", "game \"quarters\", 4 x 12 min"),
        ("game 45 min + 45 min", "game 2 x 45 min"),
        ("squat :30", "gym \"squat\", 30 s"),
        ("plank 3 x 45", "gym \"plank\", 3 x 45 s"),
        (
            "passing 3 stations x 5 min",
            "technical \"passing\", 3 x 5 min",
        ),
        ("sprints x 5 @ 90%", "speed \"sprints\", 1 x 5 reps at 90%"),
        (
            "lunges 3 x 10 e/leg",
            "gym \"lunges\", 3 x 10 reps each leg",
        ),
        // The first of the halves was the work, the other its rest.
        ("match day -2 x 45 min", "game \"match day\", 2 x 45 min"),
    ]);
    asked(&[
        (
            "plank 60",
            &["gym \"plank\", 60 s", "gym \"plank\", 1 x 60 reps"],
        ),
        ("plank 30/45/60", &["gym \"plank\", 30-45-60 s"]),
        ("warm up 10 - 15 min", &["warm-up 10 min", "warm-up 15 min"]),
        (
            "speed 6 x 30 m, rest 1 - 2 min",
            &["speed 6 x 30 m, rest 60 s", "speed 6 x 30 m, rest 2 min"],
        ),
        ("40-20 x 12", &["resistance 12 x 40 s, rest 20 s"]),
        (
            "VIFT 30-15 x 8 min",
            &["resistance \"VIFT\", 10 x 30 s, rest 15 s"],
        ),
        (
            "200s x 5, 2 mins",
            &[
                "resistance 5 x 200 m, rest 2 min",
                "resistance 5 x 3:20, rest 2 min",
            ],
        ),
        (
            "jog 1 walk 1 x 10",
            &["resistance \"jog\", 10 x 60 s, rest 60 s  # walk"],
        ),
        // A range still ascends.
        (
            "speed 6-8 x 60 m, walk back",
            &[
                "speed 6 x 60 m, rest walk back",
                "speed 8 x 60 m, rest walk back",
            ],
        ),
        ("speed 20-40-60, 60 s", &["speed 20-40-60 m, rest 60 s"]),
    ]);
}

#[test]
fn what_was_read_as_something_else_no_longer_is() {
    read(&[
        // Flat out.
        (
            "speed 6 x 30 m, rest 2 min max",
            "speed 6 x 30 m, rest 2 min",
        ),
        (
            "speed 6 x 30 m, rest 2 min, max",
            "speed 6 x 30 m, flat out, rest 2 min",
        ),
        // At 8% of top speed.
        (
            "hill sprints 6 x 40 m 8% gradient",
            "speed \"hill sprints\", 6 x 40 m",
        ),
        (
            "resistance 10 min at 12 km/h 1%",
            "resistance 10 min at 12 km/h",
        ),
        // A sprint of 15 m.
        ("head tennis 15m", "game \"head tennis\", 15 min"),
        ("Captains 11+ 20 min", "warm-up \"Captains 11+\", 20 min"),
        ("technical 1-2s 8 min", "technical \"1-2 s\", 8 min"),
        ("resistance run 25 min @ 5:30", "resistance \"run\", 25 min"),
        (
            "resistance 8 x 200 m 38 s, 60 s rest",
            "resistance 8 x 200 m, rest 60 s",
        ),
        (
            "max speed 4 x 40m @95%+, full recovery",
            "speed \"max speed\", 4 x 40 m at 95%, rest full",
        ),
        (
            "10 shots from 18 yards",
            "technical \"shots from 18 yards\", 1 x 10 reps",
        ),
    ]);
    asked(&[
        // Fifteen times two minutes.
        (
            "technical shooting 3 sets of 5, 2 min",
            &[
                "technical \"shooting\", 3 x 5 reps, 2 min between sets",
                "technical \"shooting\", 3 x 5 x 2 min",
            ],
        ),
        (
            "strength 505 x 4 each leg, 45s",
            &[
                "strength \"505\", 1 x 4 reps each leg, rest 45 s",
                "strength \"505\", 4 x 45 s each leg",
            ],
        ),
        (
            "halfway and back x 10",
            &[
                "strength \"halfway\", 1 x 10 reps there and back",
                "resistance \"halfway\", 1 x 10 reps there and back",
                "speed \"halfway\", 1 x 10 reps there and back",
            ],
        ),
        (
            "6 x 22 yards shuttle (there & back), 40 sec",
            &["strength \"shuttle\", 6 x 22 yd there and back, rest 40 s"],
        ),
        (
            "3/4 pace 8x50m walk back",
            &[
                "speed \"3/4 pace\", 8 x 50 m, rest walk back",
                "resistance \"3/4 pace\", 8 x 50 m, rest walk back",
            ],
        ),
        (
            "5 x [30 s easy, 20 s moderate, 10 s sprint]",
            &[
                "5 rounds of\n  resistance 30 s, easy\n  resistance \"moderate\", 20 s\n  speed \"sprint\", 10 s",
            ],
        ),
        (
            "full pitch x 6 at 75%",
            &[
                "resistance \"full pitch\", 6 x 105 m at 75%",
                "speed \"full pitch\", 6 x 105 m at 75%",
            ],
        ),
    ]);
    // It was a sprint of five minutes.
    assert_eq!(
        tidy("Speed endurance:\n6 x 150 m, 3 min walk\nthen 5 min jog"),
        "# Speed endurance:\nspeed 6 x 150 m, rest 3 min  # walk\ncool-down \"jog\", 5 min\n"
    );
}

#[test]
fn words_that_turn_a_line_are_not_read_over() {
    for line in [
        // All of them with the ball.
        "speed 6 x 30 m alternate with ball",
        // One of 20 m.
        "strength 20 m shuttle to exhaustion",
        // More shares than numbers.
        "full pitch x % %",
    ] {
        assert!(plan::parse(line).is_err(), "{line}");
    }
}

#[test]
fn counts_and_rests_stand_in_more_orders() {
    read(&[
        (
            "resistance 30 s on, 15 s off, 9 min",
            "resistance 12 x 30 s, rest 15 s",
        ),
        ("strength 6 x 30 s rest 1:1", "strength 6 x 30 s, rest 30 s"),
        ("resistance 6 x 30 s 1:2", "resistance 6 x 30 s, rest 60 s"),
    ]);
    asked(&[
        (
            "sprint 30 m | 6 reps | 2 min",
            &["speed \"sprint\", 6 x 30 m, rest 2 min"],
        ),
        (
            "speed 2 sets 5 x 20 m 90 s rest 4 min rest",
            &["speed 2 x 5 x 20 m, rest 90 s, 4 min between sets"],
        ),
        (
            "speed 20m sprints on 1 min x 6",
            &[
                "speed \"sprints\", 6 x 20 m, every 60 s",
                "speed \"sprints\", 6 x 20 m, rest 60 s",
            ],
        ),
        (
            "strength 10 m there and back x 5 x 3",
            &["strength 3 x 5 x 10 m there and back"],
        ),
        (
            "warmup 15, sprints 6x30, game 20",
            &["warm-up 15 min\nspeed \"sprints\", 6 x 30 m\ngame 20 min"],
        ),
    ]);
}

#[test]
fn rests_labels_and_lengths_have_lines_of_their_own() {
    assert_eq!(
        tidy("RSA 2 x 6 x 30 m\nRest between reps: 20 s\nRest between sets: 4 min"),
        "speed \"RSA\", 2 x 6 x 30 m, rest 20 s, 4 min between sets\n"
    );
    assert_eq!(
        tidy("Duration: 70 mins\nwarm-up 10 min\nblock 2\ngame 20 min"),
        "# Duration: 70 mins\nwarm-up 10 min\n# block 2\ngame 20 min\n"
    );
    assert_eq!(
        tidy("MD-3 / pitch 2\nwarm up 10 min"),
        "# MD-3 / pitch 2\nwarm-up 10 min\n"
    );
    // It was a rep of four.
    assert_eq!(
        tidy("4 x:\n  speed 30 m\n  speed 20 m\ngame 10 min"),
        "4 rounds of\n  speed 1 x 30 m\n  speed 1 x 20 m\ngame 10 min\n"
    );
    assert_eq!(
        offered("speed 5 x 30 m\nR: 60 s\ngame 20 min"),
        ["speed 5 x 30 m, rest 60 s", "speed 5 x 30 m, then 60 s"]
    );
    // Behind a block, a time alone may be a rest as well.
    assert_eq!(
        offered("speed 5 x 30 m, rest 60 s\n3 min\ngame 20 min")[..2],
        ["speed 5 x 30 m, rest 60 s, then 3 min", "technical 3 min"]
    );
    assert_eq!(
        tidy("Session: repeat sprints\nwarm-up 10 min"),
        "title: repeat sprints\nwarm-up 10 min\n"
    );
    let alone = plan::parse("récup 2 min").unwrap_err();
    assert_eq!(alone[0].message, "no block above has room for this rest");
}

#[test]
fn a_time_of_day_in_front_of_a_line_is_no_length() {
    let timetable = "18:00 warm up\n18:15 rondos\n18:25 speed 6 x 30 m, rest 2 min\n18:40 game 8v8\n19:10 end\n";
    let mistakes = plan::parse(timetable).unwrap_err();
    let said: Vec<(u32, &str, &[String])> = mistakes
        .iter()
        .map(|m| (m.line, m.message.as_str(), m.lines.as_slice()))
        .collect();
    assert_eq!(
        said,
        [
            (
                1,
                "`18:00` may be when this begins, or how long it takes",
                ["warm-up 15 min".to_owned(), "warm-up 18 min".to_owned()].as_slice()
            ),
            (
                2,
                "`18:15` may be when this begins, or how long it takes",
                [
                    "technical \"rondos\", 10 min".to_owned(),
                    "technical \"rondos\", 18:15".to_owned()
                ]
                .as_slice()
            ),
            (
                4,
                "`18:40` may be when this begins, or how long it takes",
                [
                    "game \"8v8\", 30 min".to_owned(),
                    "game \"8v8\", 18:40".to_owned()
                ]
                .as_slice()
            ),
        ]
    );
    assert_eq!(
        tidy(
            "18:00 warm up 12 min\n18:15 speed 6 x 30 m, rest 2 min\n18:40 meet in the dressing room"
        ),
        "warm-up 12 min  # 18:00\nspeed 6 x 30 m, rest 2 min  # 18:15\n# 18:40 meet in the dressing room\n"
    );
    // No later than the one before, they are lengths.
    assert_eq!(
        tidy("warm up 10:00\n10:00 technical\n8:00 cool down"),
        "warm-up 10 min\ntechnical 10 min\ncool-down 8 min\n"
    );
}

#[test]
fn hours_in_front_of_the_words_have_their_minutes() {
    read(&[
        ("1h30 warm up", "warm-up 90 min"),
        ("1h15 game", "game 75 min"),
        ("1h 15 game", "game 75 min"),
        ("2h05 game", "game 125 min"),
        ("1h15 cool down", "cool-down 75 min"),
        ("game 1h15", "game 75 min"),
    ]);
    assert!(plan::parse("1h 5 game").is_err());
}

/// What is offered for each line that is asked about.
fn offers(text: &str) -> Vec<(u32, Vec<String>)> {
    let mistakes = plan::parse(text).expect_err(text);
    mistakes.into_iter().map(|m| (m.line, m.lines)).collect()
}

#[test]
fn a_timetable_is_told_from_lengths() {
    let said = |line, lines: &[&str]| (line, lines.iter().map(|l| (*l).to_owned()).collect());
    assert_eq!(
        offers("17h30 warm up\n18h45 game"),
        [said(1, &["warm-up 75 min"]), said(2, &["game 20 min"])]
    );
    assert_eq!(
        offers("18:00: warm up\n18:15: rondo")[0],
        said(1, &["warm-up 15 min", "warm-up 18 min"])
    );
    assert_eq!(
        offers("17:30 warm up\n17:45 6x30m sprints\n18:15 game")[0],
        said(1, &["warm-up 15 min", "warm-up 17:30"])
    );
    assert_eq!(
        offers("6:30 pm warm up\n6:45 pm rondo 10 min"),
        [said(1, &["warm-up 15 min"])]
    );
    // Nobody trains so early: they are lengths.
    assert_eq!(
        tidy("5:00 jog\n10:00 rondo\n12:00 game"),
        "warm-up \"jog\", 5 min\ntechnical \"rondo\", 10 min\ngame 12 min\n"
    );
    assert_eq!(
        offers("1:00 jog\n2:00 run\nspeed 6x30m"),
        [said(
            2,
            &["resistance \"run\", 2 min", "cool-down \"run\", 2 min"]
        )]
    );
    // They were words for the player.
    assert_eq!(
        offers("6:00 jog\n8:00 hoops\nspeed 6x30m"),
        [
            said(
                1,
                &[
                    "warm-up \"jog\", 6 min",
                    "warm-up \"jog\", 120 min",
                    "# 6:00 jog"
                ]
            ),
            said(2, &["technical \"hoops\", 8 min", "# 8:00 hoops"]),
        ]
    );
}

#[test]
fn how_steep_and_how_fast_are_told_apart() {
    read(&[
        (
            "hill sprints 6x40m gradient 8%",
            "speed \"hill sprints\", 6 x 40 m",
        ),
        (
            "hill sprints 6x40m gradient of 8%",
            "speed \"hill sprints\", 6 x 40 m",
        ),
        (
            "hill sprints 6x40m incline 8%",
            "speed \"hill sprints\", 6 x 40 m",
        ),
        (
            "hill sprints 6x40m uphill 8%",
            "speed \"hill sprints\", 6 x 40 m",
        ),
        ("sprints 6x40m 8% uphill", "speed \"sprints\", 6 x 40 m"),
        (
            "sprints 6x30m max rest 60s",
            "speed \"sprints\", 6 x 30 m, rest 60 s",
        ),
        ("speed 6x30m, max rest 60s", "speed 6 x 30 m, rest 60 s"),
        (
            "speed 6x30m max, rest 60s",
            "speed 6 x 30 m, flat out, rest 60 s",
        ),
    ]);
    asked(&[
        (
            "hill sprints 6x40m at 8%",
            &[
                "speed \"hill sprints\", 6 x 40 m  # at 8% gradient",
                "speed \"hill sprints\", 6 x 40 m at 8%",
            ],
        ),
        (
            "hill sprints 6x40m (8%)",
            &[
                "speed \"hill sprints\", 6 x 40 m  # 8% gradient",
                "speed \"hill sprints\", 6 x 40 m at 8%",
            ],
        ),
        (
            "sprints 6x40m at 80-85-90-95%",
            &[
                "speed \"sprints\", 6 x 40 m at 80%  # 80-85-90-95%",
                "speed \"sprints\", 6 x 40 m at 95%  # 80-85-90-95%",
            ],
        ),
    ]);
}

#[test]
fn what_only_some_reps_are_done_as_is_not_that_of_all() {
    for line in [
        "sprints 6x30m last one flat out",
        "sprints 6x30m only the last two flat out",
        "sprints 6x30m at 90%, last flat out",
        "sprints 6x30m, flat out on the last two",
        "sprints 6x30m last one with ball",
        "sprints 6x30m half of them with ball",
        "sprints 6x30m, no walk back",
    ] {
        let mistakes = plan::parse(line).expect_err(line);
        assert!(
            mistakes.iter().all(|m| m.lines.is_empty()),
            "{line}: {mistakes:#?}"
        );
    }
    read(&[(
        "dribbling 6x30m first touch with ball",
        "technical \"dribbling first touch\", with ball, 6 x 30 m",
    )]);
}

#[test]
fn counts_in_words_are_read_or_asked_for() {
    read(&[
        ("a dozen 20m sprints", "speed \"sprints\", 12 x 20 m"),
        ("two dozen 10 m sprints", "speed \"sprints\", 24 x 10 m"),
        ("half a dozen 20 m sprints", "speed \"sprints\", 6 x 20 m"),
        ("sprints 30m thrice", "speed \"sprints\", 3 x 30 m"),
    ]);
    let few: &[&str] = &["speed \"sprints\", 4 x 30 m", "speed \"sprints\", 6 x 30 m"];
    asked(&[
        ("a few 30m sprints", few),
        ("several 30 m sprints", few),
        ("several sprints of 30 m", few),
        (
            "sprints less than 6x30m",
            &["speed \"sprints\", 5 x 30 m", "speed \"sprints\", 6 x 30 m"],
        ),
    ]);
}

#[test]
fn what_is_crossed_out_is_not_planned() {
    for line in [
        "instead of sprints 6x40m",
        "cancelled: sprints 6x40m",
        "OFF: sprints 6x40m",
        "~~sprints 6x40m~~",
    ] {
        let lines = &offers(line)[0].1;
        let kept = format!("# {line}");
        assert_eq!(
            *lines,
            [kept.as_str(), "speed \"sprints\", 6 x 40 m"],
            "{line}"
        );
    }
}
