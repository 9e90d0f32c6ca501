//! Plans as players and coaches of any level jot them down: names that say how much, moves in one rep, signs and spellings.

use repledger::plan;

use crate::support::scribbles::{asked, offered, read};

#[test]
fn a_name_says_how_much() {
    asked(&[
        // It was one bout of four minutes.
        (
            "4 min tabata",
            &[
                "resistance \"tabata\", 8 x 20 s, rest 10 s",
                "resistance \"tabata\", 4 min",
            ],
        ),
        (
            "tabata 8 min",
            &[
                "resistance \"tabata\", 2 x 8 x 20 s, rest 10 s between reps",
                "resistance \"tabata\", 8 min",
            ],
        ),
        // It was three sprints a set.
        (
            "5-10-5 x 6",
            &[
                "strength \"5-10-5\", 1 x 6 reps",
                "speed 6 x 5-10-5 m",
                "resistance 6 x 5-10-5 m",
            ],
        ),
        // It was twenty times ten.
        (
            "Shooting 20 shots 10 each foot",
            &[
                "technical \"Shooting shots\", 1 x 10 reps each side",
                "technical \"Shooting shots\", 1 x 20 reps",
            ],
        ),
        (
            "power: 5 x 5 CMJ, 2 min",
            &["gym \"power CMJ\", 5 x 5 reps, 2 min between sets"],
        ),
    ]);
    // No sets of four minutes fill it.
    read(&[("tabata 5 min", "resistance \"tabata\", 5 min")]);
}

#[test]
fn the_moves_of_one_rep_are_no_sprints_each() {
    for line in [
        "sprint float sprint 20/20/20 m x 4",
        "sprint/float/sprint 20/20/20 x 4",
        "fly-float-fly 4 x 20-20-20 m",
    ] {
        let first = offered(line).remove(0);
        assert!(first.contains(", 4 x 60 m  # 20"), "{line}: {first}");
    }
    // All of these are sprints.
    read(&[("sprint 20/20/20 m x 4", "speed \"sprint\", 4 x 3 x 20 m")]);
    asked(&[
        (
            "200 m hard 200 m easy x 4",
            &["resistance \"hard\", 4 x 200 m, rest jog back  # 200 m easy"],
        ),
        (
            "1 lap hard 1 lap easy x 4",
            &[
                "resistance \"hard 1 lap\", 4 x 346 m, rest jog back  # 1 lap easy",
                "speed \"hard 1 lap\", 4 x 346 m, rest jog back  # 1 lap easy",
            ],
        ),
        (
            "4 x 1 lap hard, 1 lap walk",
            &[
                "resistance \"hard 1 lap\", 4 x 346 m, rest walk back  # 1 lap walk",
                "speed \"hard 1 lap\", 4 x 346 m, rest walk back  # 1 lap walk",
            ],
        ),
        // The way back was a rest of ten minutes.
        (
            "run 10 mins out, 10 mins back",
            &[
                "warm-up \"run\", 20 min  # 10 mins out 10 mins back",
                "resistance \"run\", 20 min  # 10 mins out 10 mins back",
                "resistance \"run\", 2 x 10 min  # 10 mins out 10 mins back",
            ],
        ),
        // It was one at 85 %.
        (
            "sprint 60 m at 85%,90%,95%,100%",
            &[
                "speed \"sprint\", 1 x 60 m at 85%\nspeed \"sprint\", 1 x 60 m at 90%\n\
               speed \"sprint\", 1 x 60 m at 95%\nspeed \"sprint\", 1 x 60 m at 100%",
            ],
        ),
    ]);
}

#[test]
fn parts_that_say_which_they_are_follow_each_other() {
    assert_eq!(
        offered("1st touch 10 min, 2nd touch 5 min")[0],
        "technical \"1st touch\", 10 min\ntechnical \"2nd touch\", 5 min"
    );
    // A way is run, and not in the gym.
    assert_eq!(
        offered("5 min mobility, 6x40m")[0],
        "gym \"mobility\", 5 min\nspeed 6 x 40 m"
    );
    asked(&[(
        "core: 3 rounds, 30s plank, 20 situps, 10 vups",
        &[
            "3 rounds of\n  gym \"plank\", 30 s\n  gym \"situps\", 1 x 20 reps\n  gym \"vups\", 1 x 10 reps",
        ],
    )]);
    assert_eq!(
        offered("3 sets:\n10 burpees\n20 m shuttle x 4\n30s plank\n90s rest"),
        [
            "3 rounds of\n  gym \"burpees\", 1 x 10 reps\n  strength \"shuttle\", 4 x 20 m\n  gym \"plank\", 30 s, then 90 s"
        ]
    );
}

#[test]
fn so_many_as_fill_a_time() {
    read(&[
        (
            "sprint 30 m every minute for 10",
            "speed \"sprint\", 10 x 30 m, every 60 s",
        ),
        (
            "sprint 30 m, every min for 10 mins",
            "speed \"sprint\", 10 x 30 m, every 60 s",
        ),
        (
            "shuttle run 25m there & back x 6 every 60s",
            "strength \"shuttle run\", 6 x 25 m there and back, every 60 s",
        ),
    ]);
    for line in [
        "20 s work 40 s rest, 12 min",
        "20s work, 40s rest, 12 min",
        "20 s work 40 s rest for 12 min",
    ] {
        assert_eq!(
            offered(line)[0],
            "resistance 12 x 20 s, rest 40 s",
            "{line}"
        );
    }
}

#[test]
fn work_and_rest_with_a_slash_have_their_sets() {
    let twice = "resistance 2 x 10 x 15 s, rest 15 s, 3 min between sets";
    for line in [
        "15/15 x 10, 2 sets, 3' rec",
        "15s/15s x 10, 2 sets, 3 min rec",
        "2 x 10 x 15/15, 3 min rest",
        "2 sets 10x15s/15s, 3 mins between",
    ] {
        assert_eq!(offered(line), [twice], "{line}");
    }
}

#[test]
fn signs_and_spellings_stand_for_words() {
    read(&[
        (
            "\u{1f3c3} sprints 8x30m \u{1f6b6} back",
            "speed \"sprints\", 8 x 30 m, rest walk back",
        ),
        (
            "- 6x20m sprints, walk bk",
            "speed \"sprints\", 6 x 20 m, rest walk back",
        ),
        (
            "x10 30m sprints, on the minute",
            "speed \"sprints\", 10 x 30 m, every 60 s",
        ),
        // It was a slip for sets.
        (
            "wall sits 3x45s 15s rest",
            "gym \"wall sits\", 3 x 45 s, rest 15 s",
        ),
        ("100 kick ups", "technical \"kick ups\", 1 x 100 reps"),
        (
            "3 x 3 min 3v3, 90 sec rest btw",
            "game \"3v3\", 3 x 3 min, rest 90 s",
        ),
    ]);
    asked(&[
        (
            "Box 2 box x8, 45s rec",
            &[
                "resistance \"box-to-box\", 1 x 8 reps, rest 45 s",
                "speed \"box-to-box\", 1 x 8 reps, rest 45 s",
            ],
        ),
        (
            "run 3km < 15 min",
            &[
                "warm-up \"run\", 1 x 3000 m  # under 15 min",
                "resistance \"run\", 1 x 3000 m  # under 15 min",
            ],
        ),
        (
            "jog round pitch x 3",
            &["warm-up \"jog 3 laps of the pitch\", 1 x 1038 m"],
        ),
        ("cool 5", &["cool-down 5 min"]),
        (
            "zig zag dribble 5x there n back",
            &[
                "strength \"zigzag dribble\", 1 x 5 reps there and back",
                "technical \"zigzag dribble\", 1 x 5 reps there and back",
            ],
        ),
    ]);
}

#[test]
fn nobody_jogs_for_an_hour() {
    let mistakes = plan::parse("3:00 jog\n4:00 run").expect_err("open");
    let first: Vec<&str> = mistakes
        .iter()
        .map(|wrong| wrong.lines[0].as_str())
        .collect();
    assert_eq!(
        first,
        ["warm-up \"jog\", 3 min", "resistance \"run\", 4 min"]
    );
}

#[test]
fn plans_of_any_level_are_read_as_they_are_meant() {
    read(&[
        (
            "hill sprints x10 (15 secs up, walk down)",
            "speed \"hill sprints\", 10 x 15 s, rest walk back",
        ),
        (
            "agility poles 6 reps 30 sec rest 2 sets",
            "strength \"agility poles\", 2 x 6 reps, rest 30 s",
        ),
        (
            "tempo 10 x 100yds @ 70% 30s rest",
            "resistance \"tempo\", 10 x 100 yd at 70%, rest 30 s",
        ),
        (
            "possession 4v4+3, 4 x 4min, 1min off",
            "game \"possession 4v4+3\", 4 x 4 min, rest 60 s",
        ),
        (
            "finishing - 3 lots of 8 mins w/ 2 mins rest",
            "technical \"finishing\", 3 x 8 min, rest 2 min",
        ),
        (
            "12 x 200m in 35-38s, 60s jog",
            "resistance 12 x 200 m, rest 60 s",
        ),
        ("match 2x20 mins", "game \"match\", 2 x 20 min"),
        (
            "20m sprint on whistle x 8, rest as needed",
            "speed \"sprint whistle\", 8 x 20 m, rest full",
        ),
        (
            "3 goals game - 4x6' (r 90'')",
            "game \"3 goals\", 4 x 6 min, rest 90 s",
        ),
        (
            "1000m x 3 @ 4:00/km, 2 min jog",
            "resistance 3 x 1000 m, rest 2 min",
        ),
        (
            "4 corners passing 4 min x 3 (1 min r)",
            "technical \"4 corners passing\", 3 x 4 min, rest 60 s",
        ),
    ]);
    for (line, first) in [
        (
            "RSA: 2x(6x30m, 20s rest), 4 min",
            "speed \"RSA\", 2 x 6 x 30 m, rest 20 s, 4 min between sets",
        ),
        (
            "6*40m sprint / 90\"",
            "speed \"sprint\", 6 x 40 m, rest 90 s",
        ),
        (
            "10 X 100 MTRS STRIDES, JOG BACK",
            "resistance \"STRIDES\", 10 x 100 m, rest jog back",
        ),
        (
            "cone drill: 8 x 9,5 m, Pause 30 s",
            "speed \"cone drill\", 8 x 9.5 m, rest 30 s",
        ),
        (
            "suicides x4 90s",
            "strength \"suicides\", 1 x 4 reps, rest 90 s",
        ),
        (
            "max sprint 30m 6x | 2-3min rest",
            "speed \"sprint\", 6 x 30 m, flat out, rest 2 min",
        ),
        (
            "curved runs 6x25m each way, 45s",
            "resistance \"curved runs\", 6 x 25 m each side, rest 45 s",
        ),
    ] {
        assert_eq!(offered(line)[0], first, "{line}");
    }
}
