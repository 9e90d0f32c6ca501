//! Plans as they are noted down for oneself: with times of day, several days, counts in front of everything.

use repledger::plan;

use crate::support::scribbles::{asked, read};

/// The tidy form of a whole plan.
#[track_caller]
fn tidy(text: &str) -> String {
    plan::tidy(text).unwrap_or_else(|mistakes| panic!("{text}: {mistakes:#?}"))
}

/// What is said of each line that is not read, and what is offered in its place.
#[track_caller]
fn told(text: &str) -> Vec<(u32, String, Vec<String>)> {
    let mistakes = plan::parse(text).expect_err(text);
    (mistakes.into_iter())
        .map(|mistake| (mistake.line, mistake.message, mistake.lines))
        .collect()
}

#[test]
fn a_time_of_day_with_its_end_is_how_long_it_takes() {
    assert_eq!(
        tidy("18:00 - 18:15 warm up\n18:15 - 18:30 rondo\n18:30-19:00 game"),
        "warm-up 15 min  # 18:00 - 18:15\n\
         technical \"rondo\", 15 min  # 18:15 - 18:30\n\
         game 30 min  # 18:30-19:00\n"
    );
    assert_eq!(
        tidy("9.30-9.45 warm up\n9.45-10.15 rondo"),
        "warm-up 15 min  # 9.30-9.45\ntechnical \"rondo\", 30 min  # 9.45-10.15\n"
    );
    read(&[
        ("18:00 to 18:15 warm up", "warm-up 15 min"),
        ("6-6:15pm warm up", "warm-up 15 min"),
        ("6pm - 6:15 warm up", "warm-up 15 min"),
        ("11.30-1pm gym", "gym 90 min"),
        ("11:45-12:15 gym", "gym 30 min"),
        ("12:45 - 1:15 game", "game 30 min"),
        // What says how much is no longer than that.
        ("18:00-18:30 sprints 6x30m", "speed \"sprints\", 6 x 30 m"),
    ]);
    // Both may be minutes as well.
    assert_eq!(
        told("9:00 - 10:00 warm up")[0].2,
        ["warm-up 60 min", "warm-up 9 min"]
    );
    // Words that say no kind are offered, not dropped.
    assert_eq!(told("18:00 - 18:15 keep-away")[0].2.len(), 4);
    for line in ["10-11 passes", "6-8 game", "1.30 - 2.00 min rest"] {
        assert!(plan::parse(line).is_err(), "{line}");
    }
}

#[test]
fn a_timetable_is_told_at_any_hour() {
    let offered = |text: &str| -> Vec<Vec<String>> {
        told(text).into_iter().map(|(_, _, lines)| lines).collect()
    };
    // Past noon the hours begin anew: it was a game of 75 s.
    assert_eq!(
        offered("12:45 warm up\n1:15 game"),
        [
            ["warm-up 30 min", "warm-up 12:45"],
            ["game 20 min", "game 75 s"]
        ]
    );
    // Early in the evening: they were read as lengths.
    assert_eq!(
        offered("5:30 warm up\n5:45 rondo\n6:15 game")[..2],
        [
            ["warm-up 15 min", "warm-up 5:30"],
            ["technical \"rondo\", 30 min", "technical \"rondo\", 5:45"]
        ]
    );
    // From the start of the session on.
    assert_eq!(
        offered("0:00 warm up\n0:15 rondo\n0:30 cool down 5 min"),
        [["warm-up 15 min"], ["technical \"rondo\", 15 min"]]
    );
    assert_eq!(offered("9am gym\n10am sprints 6x30m"), [["gym 60 min"]]);
    // Lengths still are.
    assert_eq!(
        tidy("15:00 technical\n5:00 cool down"),
        "technical 15 min\ncool-down 5 min\n"
    );
    // Nothing begins ten hours later.
    assert_eq!(
        tidy("10:00 warm up\n20:00 game"),
        "warm-up 10 min\ngame 20 min\n"
    );
}

#[test]
fn several_days_are_several_plans() {
    for (text, message) in [
        (
            "Mon: 5 x 40 m sprints\nWed: 10 min rondo",
            "`Wed` is another session than `Mon`; a plan is one",
        ),
        (
            "Day 1: sprints 6 x 30m\nDay 2: 20 min jog",
            "`Day 2` is another session than `Day 1`; a plan is one",
        ),
        (
            "AM: gym 40 min\nPM: speed 6 x 20 m, walk back",
            "`PM` is another session than `AM`; a plan is one",
        ),
    ] {
        let told = told(text);
        assert_eq!((told.len(), told[0].0), (1, 2), "{text}");
        assert_eq!(told[0].1, message);
    }
    for text in [
        "Week 3\nDay 2\nspeed 6 x 30 m",
        "Mon 18/05/2026\nspeed 6 x 30 m\nMonday again: same",
        "Sun cream!\nspeed 6 x 30 m",
    ] {
        assert!(
            plan::parse(text).is_ok(),
            "{text}: {:#?}",
            plan::parse(text)
        );
    }
}

#[test]
fn two_things_that_are_counted_are_no_sets_of_the_second() {
    // They were ten times twenty.
    asked(&[
        (
            "10 squats 20 lunges",
            &["gym \"squats\", 1 x 10 reps\ngym \"lunges\", 1 x 20 reps"],
        ),
        (
            "GK distribution 20 throws 20 kicks",
            &[
                "technical \"GK distribution throws\", 1 x 20 reps\ntechnical \"kicks\", 1 x 20 reps",
            ],
        ),
        (
            "10 press ups 10 squats",
            &["gym \"press ups\", 1 x 10 reps\ngym \"squats\", 1 x 10 reps"],
        ),
        (
            "squats 10 lunges 10",
            &[
                "gym \"squats\", 1 x 10 reps\ngym \"lunges\", 1 x 10 reps",
                "gym \"squats\", 10 min\ngym \"lunges\", 10 min",
            ],
        ),
        // Sets of so many sprints, or so far.
        (
            "10x10 sprints",
            &[
                "speed \"sprints\", 10 x 10 m",
                "speed \"sprints\", 10 x 10 reps",
            ],
        ),
        (
            "4x4 intervals",
            &[
                "resistance \"intervals\", 4 x 4 min",
                "resistance \"intervals\", 4 x 4 reps",
            ],
        ),
    ]);
    read(&[("2 x 6 sprints", "speed \"sprints\", 2 x 6 reps")]);
}

#[test]
fn what_belongs_together_is_read_together() {
    read(&[
        // The way back was a remark.
        (
            "10 x sprint to cone (15m) & back, 20 sec rest",
            "speed \"sprint to cone\", 10 x 15 m there and back, rest 20 s",
        ),
        (
            "3 lots of 5 x 20 m wee sprints, walk back, 2 mins between lots",
            "speed \"wee sprints\", 3 x 5 x 20 m, rest walk back, 2 min between sets",
        ),
        (
            "50-40-30-20-10 yds sprint, walk back each",
            "speed \"sprint\", 50-40-30-20-10 yd, rest walk back",
        ),
        (
            "plank 3 x 1:00, :30 rest",
            "gym \"plank\", 3 x 60 s, rest 30 s",
        ),
        ("recovery: swim 20 mins", "gym \"swim\", 20 min"),
        (
            "post match 10 min jog",
            "cool-down \"post match jog\", 10 min",
        ),
    ]);
    asked(&[
        // Each takes a minute, or is rested from.
        (
            "dribble box to box 4 x, 1 min",
            &[
                "technical \"dribble box-to-box\", 1 x 4 reps, rest 60 s",
                "technical \"dribble box-to-box\", 4 x 60 s",
            ],
        ),
        // It was how long each takes.
        (
            "box to box x 10, under 15 sec, 30 sec rest",
            &[
                "resistance \"box-to-box\", 1 x 10 reps, rest 30 s  # under 15 sec",
                "speed \"box-to-box\", 1 x 10 reps, rest 30 s  # under 15 sec",
            ],
        ),
        (
            "400 x 4 @ 75 secs, 90 off",
            &["resistance 4 x 400 m, rest 90 s  # at 75 secs"],
        ),
        (
            "sprints 20-40-60 rest 60 s",
            &["speed \"sprints\", 20-40-60 m, rest 60 s"],
        ),
        (
            "sprint 5-10-15-20 m x 2, walk back, 3 min",
            &[
                "speed \"sprint\", 2 x 5-10-15-20 m, rest walk back, 3 min between sets",
                "speed \"sprint\", 2 x 5-10-15-20 m, rest walk back, then 3 min",
            ],
        ),
        (
            "push ups 3 sets to failure",
            &[
                "gym \"push ups to failure\", 3 x 10 reps, flat out",
                "gym \"push ups to failure\", 3 x 30 s, flat out",
            ],
        ),
        (
            "fly 10s x 6",
            &["speed \"fly\", 6 x 10 m", "speed \"fly\", 6 x 10 s"],
        ),
        (
            "training match 2 x 30",
            &["game \"training match\", 2 x 30 min"],
        ),
        (
            "warm up lap x 2",
            &[
                "warm-up \"2 lap\", 1 x 692 m",
                "warm-up \"2 lap\", 1 x 800 m",
            ],
        ),
    ]);
}

#[test]
fn doses_stand_behind_each_other() {
    let each = "speed 5 x 10 m\nspeed 4 x 20 m\nspeed 3 x 30 m";
    for line in ["speed 5@10m 4@20m 3@30m", "speed 10m x5 20m x4 30m x3"] {
        assert_eq!(told(line)[0].2[0], each, "{line}");
    }
    asked(&[
        (
            "sprints 6 x 30 m or 8 x 20 m, walk back",
            &[
                "speed \"sprints\", 6 x 30 m, rest walk back",
                "speed \"sprints\", 8 x 20 m, rest walk back",
            ],
        ),
        (
            "10 mins warm up. 15 mins passing. 20 mins game.",
            &["warm-up 10 min\ntechnical \"passing\", 15 min\ngame 20 min"],
        ),
        (
            "resistance 30-20-10 s x 5, 3 sets, 2 min between sets",
            &["3 rounds of, 2 min between rounds\n  resistance 5 x 30-20-10 s"],
        ),
        (
            "30-20-10 x 5, 3 sets",
            &[
                "3 rounds of\n  speed 5 x 30-20-10 m",
                "3 rounds of\n  resistance 5 x 30-20-10 s",
                "3 rounds of\n  resistance 5 x 30-20-10 m",
            ],
        ),
    ]);
}

#[test]
fn a_line_of_a_known_kind_is_told_where_it_goes_wrong() {
    // It was said that `sprints` is no category.
    let said = |text: &str| told(text)[0].1.clone();
    assert_eq!(
        said("sprints 6 x 30 m 2 minutes rest walk back"),
        "`walk back`: this was said before on this line"
    );
    assert_eq!(
        said("sprint 30m 6x recovery 1.5 min"),
        "this line is understood only in parts"
    );
}
