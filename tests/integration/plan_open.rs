//! Lines that leave something open are asked about with each meaning ready to copy, and shorthand with one meaning is read.

use repledger::plan;

use crate::support::scribbles::{means, offered};

fn message(line: &str) -> String {
    let mistakes = plan::parse(line).unwrap_err();
    assert_eq!(mistakes.len(), 1, "{line}: {mistakes:#?}");
    for line in &mistakes[0].lines {
        assert!(plan::parse(line).is_ok(), "{line}");
    }
    mistakes[0].message.clone()
}

#[test]
fn as_many_as_one_can_is_no_amount() {
    assert_eq!(
        message("press ups 3 x max"),
        "`3 x max` does not say how much"
    );
    assert_eq!(
        offered("press ups 3 x max"),
        [
            "gym \"press ups\", 3 x 10 reps, flat out",
            "gym \"press ups\", 3 x 30 s, flat out"
        ]
    );
    assert_eq!(
        offered("plank 3 x max 60s rest"),
        [
            "gym \"plank\", 3 x 10 reps, flat out, 60 s between sets",
            "gym \"plank\", 3 x 30 s, flat out, rest 60 s",
        ]
    );
    for line in [
        "max press ups x 3",
        "pull ups to failure x 3",
        "dips AMRAP x 3",
    ] {
        assert!(message(line).contains("does not say how much"), "{line}");
    }
    assert_eq!(offered("3 x max").len(), 3);
}

#[test]
fn a_rep_of_thirty_kilometres_is_asked_about() {
    assert_eq!(
        offered("speed 3 x 30 k"),
        ["speed 3 x 30 m", "speed 3 x 30000 m"]
    );
    means(
        "tempo 4 x 1k, 90 s rest",
        "resistance \"tempo\", 4 x 1000 m, rest 90 s",
    );
}

#[test]
fn a_level_above_the_sets_is_rounds_or_more_sets() {
    assert_eq!(
        offered("speed 2 x 3 x 4 x 20 m"),
        ["2 rounds of\n  speed 3 x 4 x 20 m", "speed 6 x 4 x 20 m"]
    );
}

#[test]
fn several_speeds_are_a_line_each() {
    assert_eq!(
        offered("sprints 4 x 60 m @ 70/80/90/100%"),
        [
            "speed \"sprints\", 1 x 60 m at 70%\nspeed \"sprints\", 1 x 60 m at 80%\n\
          speed \"sprints\", 1 x 60 m at 90%\nspeed \"sprints\", 1 x 60 m at 100%"
        ]
    );
}

#[test]
fn shorthand_with_two_meanings_is_asked_about() {
    for (line, lines) in [
        (
            "accelerations 8 x 15 m, w/b",
            vec![
                "speed \"accelerations\", 8 x 15 m, rest walk back",
                "speed \"accelerations\", with ball, 8 x 15 m",
            ],
        ),
        (
            "sprint the diagonals x6 60s",
            vec![
                "speed \"sprint the diagonals\", 1 x 6 reps, rest 60 s",
                "speed \"sprint the diagonals\", 6 x 60 s",
            ],
        ),
        (
            "sprints 20 m x 10 on 30 s",
            vec![
                "speed \"sprints\", 10 x 20 m, every 30 s",
                "speed \"sprints\", 10 x 20 m, rest 30 s",
            ],
        ),
        (
            "shuttles 6 x 20+20m",
            vec![
                "strength \"shuttles\", 6 x 20 m there and back",
                "strength \"shuttles\", 6 x 40 m",
            ],
        ),
        (
            "sprints 2x(6x20m, 40s rest) 3'",
            vec![
                "speed \"sprints\", 2 x 6 x 20 m, rest 40 s, 3 min between sets",
                "speed \"sprints\", 2 x 6 x 20 m, rest 40 s between reps, then 3 min",
            ],
        ),
        (
            "gassers x 4, 90s",
            vec![
                "strength \"gassers\", 1 x 4 reps, rest 90 s",
                "strength \"gassers\", 4 x 90 s",
            ],
        ),
        (
            "3 x 10 squats L + R",
            vec![
                "gym \"squats\", 3 x 10 reps each side",
                "gym \"squats\", 3 x 10 reps",
            ],
        ),
        (
            "side shuffle 5m L/R x 6",
            vec![
                "strength \"side shuffle\", 6 x 5 m each side",
                "strength \"side shuffle\", 6 x 5 m",
            ],
        ),
        (
            "sprints 2 x 5 x 20m (30s/3')",
            vec!["speed \"sprints\", 2 x 5 x 20 m, rest 30 s, 3 min between sets"],
        ),
        (
            "3 rounds: 10 burpees, 20 squats",
            vec!["3 rounds of\n  gym \"burpees\", 1 x 10 reps\n  gym \"squats\", 1 x 20 reps"],
        ),
        (
            "intervals 30:30 x 12",
            vec!["resistance \"intervals\", 12 x 30 s, rest 30 s"],
        ),
        (
            "30m sprints (5) 45s rest",
            vec!["speed \"sprints\", 5 x 30 m, rest 45 s"],
        ),
        (
            "shooting 3x8 shots, 1 min",
            vec![
                "technical \"shooting shots\", 3 x 8 reps, 60 s between sets",
                "technical \"shooting shots\", 3 x 8 reps, rest 60 s between reps",
            ],
        ),
        (
            "intervals 10 x 200 m, 200 m jog",
            vec![
                "resistance \"intervals\", 10 x 200 m, rest jog back  # jog 200 m",
                "resistance \"intervals\", 10 x 200 m  # jog 200 m",
            ],
        ),
    ] {
        assert_eq!(offered(line), lines, "{line}");
    }
}

#[test]
fn a_rest_without_a_unit_is_asked_about_with_the_usual_one() {
    for (written, rest) in [
        ("r90", "90 s"),
        ("R2", "2 min"),
        ("R=2", "2 min"),
        ("rest 1m", "60 s"),
        ("rest 1.30", "90 s"),
        ("rest 1.30 min", "90 s"),
    ] {
        let line = format!("sprints 5x30m {written}");
        let meant = format!("speed \"sprints\", 5 x 30 m, rest {rest}");
        assert_eq!(offered(&line).first(), Some(&meant), "{line}");
    }
    // What the notation reads may have two meanings as well.
    assert_eq!(
        offered("speed 5 x 30 m, rest 1.30 min"),
        ["speed 5 x 30 m, rest 90 s", "speed 5 x 30 m, rest 78 s"]
    );
    means("warm-up 1.5 min", "warm-up 90 s");
    means("warm-up 2.75 min", "warm-up 2:45");
    means(
        "game \"1.30 min halves\", 5 min",
        "game \"1.30 min halves\", 5 min",
    );
}

#[test]
fn work_of_a_few_minutes_needs_no_unit_to_be_offered() {
    assert_eq!(
        offered("intervals 4x4"),
        ["resistance \"intervals\", 4 x 4 min"]
    );
    for line in ["intervals 10x1/1", "intervals 1' / 1' x 10"] {
        assert_eq!(
            offered(line),
            ["resistance \"intervals\", 10 x 60 s, rest 60 s"],
            "{line}"
        );
    }
}

#[test]
fn parts_that_are_open_are_offered_a_line_each() {
    let lines = offered("30 min easy + 6 x 80 m strides");
    assert_eq!(
        lines[0],
        "resistance 30 min, easy\nresistance \"strides\", 6 x 80 m"
    );
    assert_eq!(
        offered("10 min warm-up ➡️ 6x20m sprints ➡️ 5 min cool down"),
        ["warm-up 10 min\nspeed \"sprints\", 6 x 20 m\ncool-down 5 min"]
    );
}

#[test]
fn shorthand_with_one_meaning_is_read() {
    for (line, tidy) in [
        (
            "sprints 6x30m w/jb",
            "speed \"sprints\", 6 x 30 m, rest jog back",
        ),
        (
            "sprints 6x30m wbr",
            "speed \"sprints\", 6 x 30 m, rest walk back",
        ),
        (
            "sprints 6 x 30m, 30s / 2 sets / 3min",
            "speed \"sprints\", 2 x 6 x 30 m, rest 30 s, 3 min between sets",
        ),
        (
            "EMOM 10 min: 5 press ups",
            "gym \"press ups\", 10 x 5 reps, every 60 s",
        ),
        (
            "agility 3x w/ 3min rest",
            "strength \"agility\", 1 x 3 reps, rest 3 min",
        ),
        (
            "intervals 1' on 1' off 10x",
            "resistance \"intervals\", 10 x 60 s, rest 60 s",
        ),
        (
            "intervals 10 s on 50 s off 2 x 6",
            "resistance \"intervals\", 2 x 6 x 10 s, rest 50 s",
        ),
        ("planks 3x20s/side", "gym \"planks\", 3 x 20 s each side"),
        ("lunges 2x10 ea", "gym \"lunges\", 2 x 10 reps each side"),
        (
            "finishing: 10 shots R 10 shots L",
            "technical \"finishing shots\", 1 x 10 reps each side",
        ),
        (
            "sprints 10m-20m-30m-20m-10m walk back",
            "speed \"sprints\", 10-20-30-20-10 m, rest walk back",
        ),
        (
            "sprints 10 x 20m, 1 every 30s",
            "speed \"sprints\", 10 x 20 m, every 30 s",
        ),
        (
            "sprints 6 x 40 m, w/back",
            "speed \"sprints\", 6 x 40 m, rest walk back",
        ),
        (
            "sprints 30 m x 6 reps x 2 sets",
            "speed \"sprints\", 2 x 6 x 30 m",
        ),
        (
            "sprint 30m walk back (6 times)",
            "speed \"sprint\", 6 x 30 m, rest walk back",
        ),
        (
            "sprints 6 x 30 m/20 s x 2 sets 4 min",
            "speed \"sprints\", 2 x 6 x 30 m, rest 20 s, 4 min between sets",
        ),
        (
            "possession 3x5' 90\"",
            "game \"possession\", 3 x 5 min, rest 90 s",
        ),
        (
            "10m/20m/30m sprints, walk back",
            "speed \"sprints\", 10-20-30 m, rest walk back",
        ),
        ("wup 12min", "warm-up 12 min"),
        ("A-skips 3x20m", "warm-up \"A-skips\", 3 x 20 m"),
    ] {
        means(line, tidy);
    }
    assert_eq!(
        plan::tidy("6 x 30m sprints @ 9/10 effort 60s rest").unwrap(),
        "speed \"sprints\", 6 x 30 m, rest 60 s  # at RPE 9/10\n"
    );
    assert_eq!(
        plan::tidy("pitch: 100 x 64 m\nsprint 3/4 pitch x 6").unwrap(),
        "pitch: 100 x 64 m\nspeed \"sprint three-quarter pitch\", 6 x 75 m\n"
    );
}
