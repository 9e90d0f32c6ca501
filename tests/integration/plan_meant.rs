//! Lines of players, coaches and physios: what means one thing is read, and what was once read as something else no longer is.

use repledger::plan;

use crate::support::scribbles::{asked, offered, read};

#[test]
fn numbers_that_name_something_are_no_amounts() {
    read(&[
        ("11+ warm up 20 min", "warm-up \"11+\", 20 min"),
        (
            "5-10-5 pro agility x 6, 90s rest",
            "strength \"5-10-5 pro agility\", 1 x 6 reps, rest 90 s",
        ),
        (
            "cutting drills 45 deg x 8 each side",
            "strength \"cutting drills 45 deg\", 1 x 8 reps each side",
        ),
        (
            "figure 8 dribble 4 x 30 s",
            "technical \"figure 8 dribble\", 4 x 30 s",
        ),
    ]);
    asked(&[
        (
            "505 test 3 each leg",
            &["strength \"505 test\", 1 x 3 reps each leg"],
        ),
        ("30-15 IFT", &["resistance \"30-15 IFT\", 10 min"]),
        ("cooper test", &["resistance \"cooper test\", 12 min"]),
        (
            "5 x figure 8 runs at 70%",
            &[
                "resistance \"figure 8 runs\", 1 x 5 reps at 70%",
                "speed \"figure 8 runs\", 1 x 5 reps at 70%",
            ],
        ),
        (
            "run to the 18 and back x 6",
            &[
                "resistance \"run to the 18\", 1 x 6 reps there and back",
                "speed \"run to the 18\", 1 x 6 reps there and back",
            ],
        ),
        // They were three reps of eight boxes.
        (
            "plyos: 3 x 8 box jumps, 3 x 6 broad jumps",
            &["gym \"box jumps\", 3 x 8 reps  # plyos\ngym \"broad jumps\", 3 x 6 reps"],
        ),
    ]);
}

#[test]
fn counts_stand_where_players_put_them() {
    read(&[
        // It was ten sets of three.
        ("10 squats x 3", "gym \"squats\", 3 x 10 reps"),
        ("10 press ups x 3", "gym \"press ups\", 3 x 10 reps"),
        ("20 passes x 4", "technical \"passes\", 4 x 20 reps"),
        (
            "long passes 20 each foot x 2",
            "technical \"long passes\", 2 x 20 reps each side",
        ),
        ("bench 5-5-5", "gym \"bench\", 3 x 5 reps"),
        ("12-10-8-6 squats", "gym \"squats 12-10-8-6\", 1 x 36 reps"),
        (
            "5v5 x 4 games of 6 mins w 90 secs between",
            "game \"5v5\", 4 x 6 min, rest 90 s",
        ),
        (
            "T-drill x 4 each side 60 s rest",
            "strength \"T-drill\", 1 x 4 reps each side, rest 60 s",
        ),
        (
            "6x6 min conditioned games 1min rest",
            "game \"conditioned\", 6 x 6 min, rest 60 s",
        ),
        ("sprints x 6 @ 20 m", "speed \"sprints\", 6 x 20 m"),
        (
            "shuttle runs 6 x (20m out and back x 3), 30s rest",
            "strength \"shuttle runs\", 6 x 3 x 20 m there and back, 30 s between sets",
        ),
        (
            "MAS runs 15s on 15s off x 2 sets of 8 mins, 3 mins between",
            "resistance \"MAS runs\", 2 x 16 x 15 s, rest 15 s, 3 min between sets",
        ),
        (
            "1 min fast / 1 min slow 10 mins",
            "resistance 5 x 60 s, rest 60 s",
        ),
        ("sprints min 4 x 30 m", "speed \"sprints\", 4 x 30 m"),
        (
            "EMOM 8: 40 m sprint",
            "speed \"sprint\", 8 x 40 m, every 60 s",
        ),
        (
            "EMOM 12 min 5 squats",
            "gym \"squats\", 12 x 5 reps, every 60 s",
        ),
    ]);
}

#[test]
fn counts_that_may_be_of_several_things_are_asked_about() {
    asked(&[
        ("sprint 30 m x 4 x 2", &["speed \"sprint\", 2 x 4 x 30 m"]),
        (
            "10 s all out, 50 s walk x 10",
            &[
                "resistance 10 x 10 s, flat out, rest 50 s  # walk",
                "technical 10 x 10 s, flat out, rest 50 s  # walk",
            ],
        ),
        // It was eight times half an hour.
        (
            "30 min ball work",
            &[
                "technical \"ball work\", 30 min",
                "game \"ball work\", 30 min",
                "warm-up \"ball work\", 30 min",
            ],
        ),
        (
            "decel drills 10m run - stop x 8",
            &[
                "resistance \"decel drills run stop\", 8 x 10 m",
                "speed \"decel drills run stop\", 8 x 10 m",
            ],
        ),
        (
            "5 x 10m, 20m, 30m sprints",
            &[
                "speed \"sprints\", 5 x 10 m\nspeed \"sprints\", 5 x 20 m\nspeed \"sprints\", 5 x 30 m",
            ],
        ),
        (
            "10m, 20m sprints x 5",
            &["speed \"sprints\", 5 x 10 m\nspeed \"sprints\", 5 x 20 m"],
        ),
        (
            "wing sprints 2 x 6, walk back",
            &[
                "speed \"wing sprints\", 2 x 6 reps, rest walk back",
                "speed \"wing sprints\", 2 x 6 m, rest walk back",
            ],
        ),
        (
            "8 stations, 30 s on, 15 s off, 3 rounds",
            &[
                "gym 3 x 8 x 30 s, rest 15 s between reps",
                "resistance 3 x 8 x 30 s, rest 15 s between reps",
            ],
        ),
        (
            "20 x 20 m sprints in 4 min",
            &[
                "speed \"sprints\", 20 x 20 m, every 12 s",
                "speed \"sprints\", 20 x 20 m",
            ],
        ),
    ]);
}

#[test]
fn rests_are_known_by_what_stands_around_them() {
    read(&[
        (
            "RSA: 2 x 6 x 30 m, 20 s passive, 4 min between sets",
            "speed \"RSA\", 2 x 6 x 30 m, rest 20 s, 4 min between sets",
        ),
        (
            "200m repeats x 8, rest = 200m walk",
            "resistance \"repeats\", 8 x 200 m, rest walk back",
        ),
        (
            "Return to run: 1 min walk 1 min jog x 10",
            "resistance \"Return to run jog\", 10 x 60 s, rest 60 s",
        ),
        (
            "walk 4 min / jog 1 min x 6",
            "resistance \"jog\", 6 x 60 s, rest 4 min",
        ),
        (
            "jog 5 min walk 2 min x 3 sets",
            "resistance \"jog\", 3 x 5 min, rest 2 min",
        ),
        (
            "pool recovery session 30min",
            "gym \"pool recovery session\", 30 min",
        ),
        (
            "4 x 1 km at 4:30 min/km, 2 min rest",
            "resistance 4 x 1000 m, rest 2 min",
        ),
    ]);
    asked(&[
        // Eighty reps with two minutes between them.
        (
            "Shuttle 10 m x 20, 4 sets, 2 min rest",
            &[
                "strength \"Shuttle\", 4 x 20 x 10 m, 2 min between sets",
                "strength \"Shuttle\", 4 x 20 x 10 m, rest 2 min between reps",
            ],
        ),
        (
            "run 20 min at 5 min/km",
            &[
                "warm-up \"run\", 20 min  # at 5 min/km",
                "resistance \"run\", 20 min  # at 5 min/km",
            ],
        ),
        (
            "resistance work 40 rest 20 x 6",
            &["resistance 6 x 40 s, rest 20 s"],
        ),
        (
            "10 x 40 m sprint on the :30",
            &[
                "speed \"sprint\", 10 x 40 m, every 30 s",
                "speed \"sprint\", 10 x 40 m, every 60 s",
            ],
        ),
        (
            "flying 20s x 5, 20 m build up, full recovery",
            &[
                "speed \"flying\", 5 x 20 m, rest full  # 20 m build up",
                "speed \"flying\", 5 x 20 s, rest full  # 20 m build up",
            ],
        ),
    ]);
}

#[test]
fn ways_with_a_turn_are_asked_about() {
    asked(&[
        (
            "RSA 6 x 40m (20+20) 20 s rest",
            &[
                "speed \"RSA\", 6 x 20 m there and back, rest 20 s",
                "speed \"RSA\", 6 x 40 m, rest 20 s",
            ],
        ),
        (
            "sprint 50m (25 there, 25 back) x 5",
            &[
                "speed \"sprint\", 5 x 25 m there and back",
                "speed \"sprint\", 5 x 50 m",
            ],
        ),
        (
            "shuttles 5m, 10m, 15m, 20m x 3 reps",
            &[
                "strength \"5-10-15-20 shuttles\", 3 x 100 m",
                "strength \"5-10-15-20 shuttles\", 3 x 5-10-15-20 m there and back",
            ],
        ),
    ]);
    let doggies = offered("Doggies 5-10-15-20-25 x 4, 2 mins rest");
    assert_eq!(
        doggies[0],
        "strength \"5-10-15-20-25 Doggies\", 4 x 150 m, rest 2 min"
    );
    // The ways of a pitch have its size where the plan names it.
    means_on_a_pitch(
        "sprint length jog width x 6",
        "speed \"sprint\", 6 x 100 m, rest jog back",
    );
    assert_eq!(
        offered("sprint length jog width x 6"),
        ["speed \"sprint\", 6 x 105 m, rest jog back  # jog 68 m"]
    );
}

#[track_caller]
fn means_on_a_pitch(line: &str, tidy: &str) {
    let plan = plan::parse(&format!("pitch: 100 x 64 m\n{line}")).unwrap();
    assert_eq!(plan.blocks[0].to_string(), tidy);
}

#[test]
fn rounds_in_a_line_take_bare_times_as_rests() {
    asked(&[
        (
            "3 rounds: sprint 20 m, 30 s, jog 40 m",
            &[
                "3 rounds of\n  speed \"sprint\", 1 x 20 m, then 30 s\n  resistance \"jog\", 1 x 40 m",
            ],
        ),
        (
            "3 rounds: squats, 30 s, lunges, 40 s",
            &["3 rounds of\n  gym \"squats\", 30 s\n  gym \"lunges\", 40 s"],
        ),
        (
            "3 rounds (1 min each): squats, lunges, plank, 30 s rest",
            &[
                "3 rounds of\n  gym \"squats\", 60 s\n  gym \"lunges\", 60 s\n  gym \"plank\", 60 s, then 30 s",
            ],
        ),
        (
            "3 rounds: 1 min, 40 m sprint",
            &["3 rounds of, 60 s between rounds\n  speed \"sprint\", 1 x 40 m"],
        ),
        (
            "15 m sprint, 5 push ups, 15 m sprint, x 5",
            &[
                "5 rounds of\n  speed \"sprint\", 1 x 15 m\n  gym \"push ups\", 1 x 5 reps\n  speed \"sprint\", 1 x 15 m",
            ],
        ),
        (
            "1 lap jog, 1 lap fast x 3",
            &[
                "3 rounds of\n  resistance \"1 lap jog\", 1 x 346 m\n  resistance \"1 lap fast\", 1 x 346 m",
            ],
        ),
    ]);
}

#[test]
fn several_things_are_told_apart() {
    asked(&[
        (
            "activation 5 mins, mobility 5 mins",
            &["warm-up \"activation\", 5 min\ngym \"mobility\", 5 min"],
        ),
        (
            "technical passing 15 mins then 4v4 tournament 4 x 5 min",
            &["technical \"passing\", 15 min\ngame \"4v4 tournament\", 4 x 5 min"],
        ),
        (
            "warm up: jog 5 min, skips, heel flicks, strides 3 x 40 m",
            &["warm-up \"jog\", 5 min  # skips; heel flicks\nwarm-up \"strides\", 3 x 40 m"],
        ),
        (
            "match day -2, sharp: 4 x 15m",
            &[
                "speed \"sharp\", 4 x 15 m  # MD-2",
                "resistance \"sharp\", 4 x 15 m  # MD-2",
            ],
        ),
    ]);
}

#[test]
fn a_match_with_its_hour_is_no_date() {
    for line in ["match v Rovers 3pm", "Match vs Rovers 3pm"] {
        let mistakes = plan::parse(line).unwrap_err();
        assert_eq!(
            mistakes[0].message,
            "this match does not say how long it is"
        );
        assert_eq!(mistakes[0].lines.len(), 2, "{line}");
        for lines in &mistakes[0].lines {
            let read = plan::parse(&format!("{lines}\nwarm-up 10 min"));
            assert!(read.is_ok(), "{lines}: {read:?}");
        }
    }
}

#[test]
fn ways_too_long_to_add_are_no_ways() {
    for line in [
        "sprint 50 m (4000000000 there, 4000000000 back) x 5",
        "6 x 40 m (4000000000+4000000000)",
        "6 x 4000000000+4000000000 m",
        "shuttles 4000000000-4000000000-4000000000 x 4",
        "shuttles 3000000000-1000000000 x 4",
        "6 x 20 m, rest 4000000000.30",
    ] {
        assert!(plan::parse(line).is_err(), "{line}");
    }
}

#[test]
fn the_dose_of_a_match_day_is_no_place_around_it() {
    asked(&[(
        "match day - 4 x 30 m",
        &[
            "speed \"match day\", 4 x 30 m",
            "resistance \"match day\", 4 x 30 m",
        ],
    )]);
    read(&[
        ("match day - 2 x 45 min", "game \"match day\", 2 x 45 min"),
        ("matchday - 5 min warm up", "warm-up \"matchday\", 5 min"),
        (
            "match day -2 sprints 4 x 15 m",
            "speed \"sprints\", 4 x 15 m",
        ),
        (
            "match day - 2: sprints 4 x 15 m",
            "speed \"sprints\", 4 x 15 m",
        ),
    ]);
}

#[test]
fn a_clock_is_told_by_a_word_of_its_own() {
    read(&[
        ("gym squat :30 x 3", "gym \"squat\", 3 x 30 s"),
        ("speed sprints :10 x 30 m", "speed \"sprints\", 10 x 30 m"),
    ]);
    for line in ["station :45, planks x 3", "session :30"] {
        assert!(offered(line).is_empty(), "{line}");
    }
}

#[test]
fn what_is_active_is_rest_behind_a_dose_only() {
    read(&[(
        "RSA 6 x 30 m, 20 s active",
        "speed \"RSA\", 6 x 30 m, rest 20 s",
    )]);
    asked(&[(
        "30 s active, 20 s passive x 10",
        &[
            "resistance 10 x 30 s, rest 20 s",
            "technical 10 x 30 s, rest 20 s",
        ],
    )]);
}

#[test]
fn a_change_of_direction_is_work_beside_other_work() {
    read(&[
        (
            "technical: change of direction dribbling 10 min",
            "technical \"change of direction dribbling\", 10 min",
        ),
        (
            "warm up with change of direction 10 min",
            "warm-up \"with change of direction\", 10 min",
        ),
        (
            "change of direction sprints 6 x 10 m, 30 s rest",
            "strength \"change of direction sprints\", 6 x 10 m, rest 30 s",
        ),
    ]);
    asked(&[(
        "dribbling and change of direction 10 min",
        &[
            "technical \"dribbling and change of direction\", 10 min",
            "strength \"dribbling and change of direction\", 10 min",
        ],
    )]);
}

#[test]
fn rounds_take_doses_in_words() {
    asked(&[
        (
            "3 rounds: one minute plank, 20 crunches",
            &["3 rounds of\n  gym \"plank\", 60 s\n  gym \"crunches\", 1 x 20 reps"],
        ),
        (
            "3 rounds: one lap jog, 20 crunches",
            &[
                "3 rounds of\n  resistance \"one lap jog\", 1 x 346 m\n  gym \"crunches\", 1 x 20 reps",
            ],
        ),
    ]);
    // No round is none.
    for line in [
        "8 stations, 30 s on, 15 s off, 0 rounds",
        "circuit: 8 stations 40 s/20 s x 0",
    ] {
        assert!(offered(line).is_empty(), "{line}");
    }
}

#[test]
fn each_side_is_known_by_whatever_there_is_one_of() {
    read(&[
        (
            "T-drill x 4 per way 60 s rest",
            "strength \"T-drill\", 1 x 4 reps each side, rest 60 s",
        ),
        (
            "lunges 10 each arm x 3",
            "gym \"lunges\", 3 x 10 reps each side",
        ),
    ]);
    asked(&[(
        "passes 3 x 20 each foot 60 s",
        &[
            "technical \"passes\", 3 x 20 reps each side, 60 s between sets",
            "technical \"passes\", 3 x 20 reps each side, rest 60 s between reps",
        ],
    )]);
}

#[test]
fn a_pace_is_for_each_of_several_miles_too() {
    read(&[
        (
            "4 x 1 km at 4:30 min/kms, 2 min rest",
            "resistance 4 x 1000 m, rest 2 min",
        ),
        (
            "4 x 1 mile at 7:00/miles, 2 min rest",
            "resistance 4 x 1760 yd, rest 2 min",
        ),
    ]);
}
