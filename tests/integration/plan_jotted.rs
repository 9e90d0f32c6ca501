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

#[test]
fn times_and_counts_stand_where_they_like() {
    read(&[
        (
            "hard 1 min easy 1 min 10 times",
            "resistance 10 x 60 s, rest 60 s",
        ),
        (
            "hard 1 min, easy 1 min x 10",
            "resistance 10 x 60 s, rest 60 s",
        ),
        (
            "5\u{fe0f}\u{20e3} x 30m sprints",
            "speed \"sprints\", 5 x 30 m",
        ),
        (
            "\u{1f501} x6: 30m sprint, walk back",
            "speed \"sprint\", 6 x 30 m, rest walk back",
        ),
        (
            "2x6x30m sprint, 20s rec, 4min between",
            "speed \"sprint\", 2 x 6 x 30 m, rest 20 s, 4 min between sets",
        ),
        (
            "6 x 30m sprint rest 1m30",
            "speed \"sprint\", 6 x 30 m, rest 90 s",
        ),
        (
            "sprint - jog - walk 20m each x 8",
            "speed \"sprint\", 8 x 20 m, rest walk back",
        ),
        (
            "sprints - 10 x 20m - 40s - x2 sets - 3min",
            "speed \"sprints\", 2 x 10 x 20 m, rest 40 s, 3 min between sets",
        ),
        ("x5 sprints 30m", "speed \"sprints\", 5 x 30 m"),
        (
            "30m x10 sprints every 45s",
            "speed \"sprints\", 10 x 30 m, every 45 s",
        ),
        (
            "easy 2 min hard 1 min x 5",
            "resistance 5 x 60 s, rest 2 min",
        ),
        ("10m fly w/ 20m run in x 5", "speed \"fly\", 5 x 10 m"),
    ]);
}

#[test]
fn counts_behind_their_work_are_asked_about() {
    asked(&[
        (
            "sprints 10 x 20m, 40s rest, 2 sets, 3min",
            &[
                "speed \"sprints\", 2 x 10 x 20 m, rest 40 s, 3 min between sets",
                "speed \"sprints\", 2 x 10 x 20 m, rest 40 s between reps, then 3 min",
            ],
        ),
        (
            "hard 2 easy 1 x 6",
            &["resistance 6 x 2 min, rest 60 s  # hard and easy"],
        ),
        (
            "30 m sprints 10x3",
            &[
                "speed \"sprints\", 3 x 10 x 30 m",
                "speed \"sprints\", 10 x 3 x 30 m",
            ],
        ),
        (
            "sprint 5m,10m,15m,20m x3 walk back",
            &[
                "speed \"sprint\", 3 x 5 m, rest walk back\nspeed \"sprint\", 3 x 10 m, rest walk back\n\
                 speed \"sprint\", 3 x 15 m, rest walk back\nspeed \"sprint\", 3 x 20 m, rest walk back",
                "speed \"sprint\", 3 x 5-10-15-20 m, rest walk back",
            ],
        ),
        (
            "half pitch sprints x8 on the minute",
            &["speed \"half pitch sprints\", 8 x 52.5 m, every 60 s"],
        ),
        (
            "20m out/back x 8 on 30",
            &[
                "speed 8 x 20 m there and back, every 30 s",
                "resistance 8 x 20 m there and back, every 30 s",
                "speed 8 x 20 m there and back, rest 30 s",
            ],
        ),
        (
            "10 20 30 20 10 sprints",
            &["speed \"sprints\", 10-20-30-20-10 m"],
        ),
        (
            "8 x 200m in 32, 90 sec",
            &["resistance 8 x 200 m, rest 90 s  # in 32"],
        ),
        (
            "2x{5x20m} r=20s R=3min",
            &[
                "speed 2 x 5 x 20 m, rest 20 s, 3 min between sets",
                "resistance 2 x 5 x 20 m, rest 20 s, 3 min between sets",
            ],
        ),
    ]);
    // Neither end of the range was offered.
    assert_eq!(
        offered("Sprint endurance 5 x 60m, 2-3 mins")[0],
        "speed \"Sprint endurance\", 5 x 60 m, rest 2 min"
    );
}

#[test]
fn the_ways_of_one_rep_make_it_together() {
    asked(&[
        (
            "8 x 40 m: 20 m acc + 20 m flying",
            &["speed \"20 m acc + 20 m flying\", 8 x 40 m"],
        ),
        (
            "10 x (10m sprint + 10m decel) 40s",
            &["speed \"10 m sprint + 10 m decel\", 10 x 20 m, rest 40 s"],
        ),
        (
            "sprint 15 m, back pedal 15 m x 6",
            &[
                "speed \"sprint 15 m + backpedal 15 m\", 6 x 15 m there and back",
                "speed \"sprint 15 m + backpedal 15 m\", 6 x 30 m",
            ],
        ),
        // It was counted, and its metres for the player.
        ("5*(10+20) m shuttles", &["strength \"shuttles\", 5 x 30 m"]),
        // The jog was to be a rest.
        (
            "1-1-1 min x 5 (jog/run/sprint)",
            &["resistance \"jog run sprint\", 5 x 3 min  # 1-1-1 min"],
        ),
    ]);
}

#[test]
fn tests_of_endurance_last_as_long_as_one_can() {
    asked(&[
        ("Yo yo test", &["resistance \"yo-yo test\", 10 min"]),
        ("30-15 test", &["resistance \"30-15 test\", 10 min"]),
        // It was one run of 20 m.
        (
            "20m shuttle run test",
            &["resistance \"20 m shuttle run test\", 10 min"],
        ),
    ]);
    read(&[(
        "Time trial 1 mile",
        "resistance \"Time trial\", 1 x 1760 yd",
    )]);
    assert!(
        offered("trial match 2 x 30 min")
            .iter()
            .all(|line| !line.contains("1 x"))
    );
    // It is no title of what stands below it.
    assert!(plan::parse("Yo yo test\n6 x 30 m sprints, walk back").is_err());
}

#[test]
fn parts_of_a_line_keep_what_is_said_of_them() {
    asked(&[
        // The hard lap was to warm up.
        (
            "2 laps easy, 1 lap hard, 1 lap easy",
            &[
                "warm-up \"2 laps\", 1 x 692 m, easy\nresistance \"1 lap hard\", 1 x 346 m\n\
                 cool-down \"1 lap\", 1 x 346 m, easy",
            ],
        ),
        // The second half was for the player.
        (
            "3 laps jog, stretch, 3 laps hard",
            &[
                "warm-up \"3 laps jog\", 1 x 1038 m  # stretch\nresistance \"3 laps hard\", 1 x 1038 m",
            ],
        ),
        // The rest was lost, and the name of the second.
        (
            "Sprints: 10m x6 / 20m x4, full rest",
            &["speed \"Sprints\", 6 x 10 m, rest full\nspeed \"Sprints\", 4 x 20 m, rest full"],
        ),
        (
            "20 min bike then 10 min stretch",
            &["gym \"bike\", 20 min\ngym \"stretch\", 10 min"],
        ),
        (
            "jog 5, sprints 10x20, jog 5",
            &["warm-up \"jog\", 5 min\nspeed \"sprints\", 10 x 20 m\ncool-down \"jog\", 5 min"],
        ),
        (
            "6 sprints 20m, walk back. 4 sprints 40m, walk back",
            &[
                "speed \"sprints\", 6 x 20 m, rest walk back\nspeed \"sprints\", 4 x 40 m, rest walk back",
            ],
        ),
        (
            "3 rounds: 10m, 20m, 30m sprints, 2 min between rounds",
            &[
                "3 rounds of, 2 min between rounds\n  speed 1 x 10 m\n  speed 1 x 20 m\n  speed \"sprints\", 1 x 30 m",
            ],
        ),
        (
            "core circuit 3 rounds 30s each: plank, side plank, v sits",
            &[
                "3 rounds of\n  gym \"plank\", 30 s\n  gym \"side plank\", 30 s\n  gym \"v sits\", 30 s",
            ],
        ),
    ]);
    for (line, first) in [
        (
            "2km in 8 mins then 1 km in 4",
            "resistance 1 x 2000 m  # in 8 mins\nresistance 1 x 1000 m  # in 4",
        ),
        (
            "6 x 60m @ 80%, 75 secs rest, then 4 x 30m flat out, walk back",
            "speed 6 x 60 m at 80%, rest 75 s\nspeed 4 x 30 m, flat out, rest walk back",
        ),
        (
            "wu 10 mins then 6x30m @ 90% w/b rec",
            "warm-up 10 min\nspeed 6 x 30 m at 90%, rest walk back",
        ),
        // Its end was to be the rest.
        (
            "35 min easy run, last 5 min hard",
            "warm-up \"run\", 35 min, easy  # last 5 min hard",
        ),
    ] {
        assert_eq!(offered(line)[0], first, "{line}");
    }
}

#[test]
fn a_share_above_top_speed_is_for_the_player() {
    for line in [
        "15/15 x 10 @ 110%",
        "15/15 @ 110% x 10",
        "10 x 15/15 @ 110%",
    ] {
        assert_eq!(
            offered(line),
            ["resistance 10 x 15 s, rest 15 s  # at 110%"],
            "{line}"
        );
    }
    asked(&[
        (
            "15/15 x 10 @ 110% MAS",
            &["resistance 10 x 15 s, rest 15 s  # at 110% MAS"],
        ),
        (
            "8 mins of 15/15 @ 110%",
            &["resistance 16 x 15 s, rest 15 s  # at 110%"],
        ),
        (
            "15/15 @ 110%",
            &["resistance 8 x 15 s, rest 15 s  # at 110%"],
        ),
        (
            "intermittent 15/15 2 x 6 min r 3 min",
            &["resistance \"intermittent\", 2 x 12 x 15 s, rest 15 s, 3 min between sets"],
        ),
    ]);
}

#[test]
fn words_say_what_kind_of_work_it_is() {
    read(&[
        (
            "push up start sprints 6x15m",
            "speed \"push up start sprints\", 6 x 15 m",
        ),
        (
            "arrowhead drill x 3 each side",
            "strength \"arrowhead drill\", 1 x 3 reps each side",
        ),
        // It was ten times ten of eight minutes.
        (
            "10x10 grid possession 8 min",
            "game \"10 x 10 grid possession\", 8 min",
        ),
        ("SAQ 15'", "strength \"SAQ\", 15 min"),
        // It was taken for a title.
        (
            "Ausdauerlauf 25 Minuten",
            "resistance \"Ausdauerlauf\", 25 min",
        ),
        ("Antritte 10 x 10 m", "speed \"Antritte\", 10 x 10 m"),
        ("partido 2 x 20 min", "game \"partido\", 2 x 20 min"),
        ("Recovery 20 min bike", "gym \"bike\", 20 min"),
        (
            "\u{26bd} passing in 2s 8 mins",
            "technical \"passing in twos\", 8 min",
        ),
    ]);
    asked(&[
        (
            "L-run 4 per side",
            &["strength \"L-run\", 1 x 4 reps each side"],
        ),
        // It was to be done with a ball, or in the gym.
        (
            "Goal line to halfway x 8, walk back",
            &[
                "speed \"half pitch\", 8 x 52.5 m, rest walk back",
                "resistance \"half pitch\", 8 x 52.5 m, rest walk back",
            ],
        ),
        (
            "6 x 1000 @ 4:00 w/ 2' jog",
            &["resistance 6 x 1000 m, rest 2 min  # at 4:00; jog"],
        ),
        (
            "MD+1 recovery jog 20 min",
            &[
                "resistance \"recovery jog\", 20 min  # MD+1",
                "cool-down \"recovery jog\", 20 min  # MD+1",
            ],
        ),
    ]);
    // It was a match date that could not be read.
    let first = offered("Match prep 20 min").remove(0);
    assert_eq!(first, "technical \"Match prep\", 20 min");
    assert_eq!(
        offered("jog 800m, 4x100m strides, jog 800m")[0],
        "warm-up \"jog\", 1 x 800 m\nwarm-up \"strides\", 4 x 100 m\ncool-down \"jog\", 1 x 800 m"
    );
}
