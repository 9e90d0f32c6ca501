//! Plans as coaches of all kinds scribble them at the side of the pitch: read where they mean one thing only, else offered with every word
//! and number that was written.

use repledger::plan::{self, Target};

use crate::support::scribbles::{asked, means, offered, only_block, read};

#[test]
fn no_share_of_top_speed_is_kept_up_for_minutes() {
    asked(&[
        (
            "resistance 4 x 4 min at 90%, rest 3 min",
            &[
                "resistance 4 x 4 min, rest 3 min  # at 90%",
                "resistance 4 x 4 min at 90% of top speed, rest 3 min",
            ],
        ),
        (
            "4x4min @90%",
            &[
                "resistance 4 x 4 min  # at 90%",
                "technical 4 x 4 min  # at 90%",
                "resistance 4 x 4 min at 90% of top speed",
            ],
        ),
        // So far takes two minutes at that.
        (
            "resistance 5 x 1000 m at 85%",
            &[
                "resistance 5 x 1000 m  # at 85%",
                "resistance 5 x 1000 m at 85% of top speed",
            ],
        ),
    ]);
    let told = plan::parse("resistance 4 x 4 min at 90%").unwrap_err();
    assert!(
        told[0]
            .message
            .starts_with("nobody keeps up 90% of top speed")
    );
    // What can be kept up so long is no question, and neither is what was said in full.
    means("resistance 30 min at 60%", "resistance 30 min at 60%");
    means("resistance 6 x 30 s at 95%", "resistance 6 x 30 s at 95%");
    means("speed 6 x 60 m at 95%", "speed 6 x 60 m at 95%");
    let sure = only_block("resistance 4 x 4 min at 90% of top speed");
    assert_eq!(sure.target, Some(Target::ShareOfTop(0.9)));
    assert_eq!(sure.to_string(), "resistance 4 x 4 min at 90% of top speed");
}

#[test]
fn numbers_of_one_thing_are_not_those_of_another() {
    asked(&[
        // It was one run of 20 m.
        (
            "20 m sprint in 3 x 6",
            &[
                "speed \"sprint\", 3 x 6 x 20 m",
                "speed \"sprint\", 6 x 3 x 20 m",
            ],
        ),
        // Ten sets of six.
        (
            "jog 10 then sprint 6 x 20",
            &["warm-up \"jog\", 10 min\nspeed \"sprint\", 6 x 20 m"],
        ),
        // Eight times 20 min.
        (
            "20 min circuit on 30 off 30",
            &[
                "resistance \"circuit\", 20 x 30 s, rest 30 s",
                "technical \"circuit\", 20 x 30 s, rest 30 s",
            ],
        ),
        (
            "quick feet ladder x 6, 10m sprint out",
            &[
                "strength \"quick feet ladder + 10 m sprint out\", 1 x 6 reps",
                "speed \"quick feet ladder + 10 m sprint out\", 6 x 10 m",
            ],
        ),
        (
            "6 x 20 m resisted + 4 x 20 m free",
            &[
                "speed \"resisted\", 6 x 20 m\nspeed \"free\", 4 x 20 m",
                "resistance \"resisted\", 6 x 20 m\nresistance \"free\", 4 x 20 m",
            ],
        ),
        (
            "defending 1v1 x 8, 30s",
            &[
                "game \"defending 1v1\", 1 x 8 reps, rest 30 s",
                "game \"defending 1v1\", 8 x 30 s",
            ],
        ),
        (
            "warm up 10m, sprints 6 x 20m, game 20m",
            &["warm-up 10 min\nspeed \"sprints\", 6 x 20 m\ngame 20 min"],
        ),
        // Of the games both had the name of the first, or none.
        (
            "2 x 4 min 3v3, 2 min, 2 x 4 min 5v5",
            &[
                "game \"3v3\", 2 x 4 min, then 2 min\ngame \"5v5\", 2 x 4 min",
                "game \"3v3\", 2 x 4 min, rest 2 min\ngame \"5v5\", 2 x 4 min, rest 2 min",
            ],
        ),
        (
            "plank 3x30s side plank 2x20s",
            &["gym \"plank\", 3 x 30 s\ngym \"side plank\", 2 x 20 s"],
        ),
        (
            "45 min half, 15 min HT, 45 min half",
            &["game \"half\", 45 min, then 15 min\ngame \"half\", 45 min"],
        ),
    ]);
    read(&[
        // How far the ball flies, nobody runs.
        (
            "long passing 30yds 20 reps",
            "technical \"long passing 30 yds\", 1 x 20 reps",
        ),
        (
            "shooting 18yd 15 shots each foot",
            "technical \"shooting 18 yd shots\", 1 x 15 reps each side",
        ),
        ("rondo 8' + 8' + 8'", "technical \"rondo\", 3 x 8 min"),
        ("rondos 4x2 10 min", "technical \"rondos 4v2\", 10 min"),
        (
            "pro agility 5-10-5 x 6 60s rest",
            "strength \"pro agility 5-10-5\", 1 x 6 reps, rest 60 s",
        ),
    ]);
}

#[test]
fn what_is_said_once_of_a_block_is_one_number() {
    // The first of them was taken without a word.
    for line in [
        "resistance 3 x 800 m, rest 3/2/1 min",
        "resistance 3 x 3 x 800 m, 60/90/120 s between sets",
        "resistance 3 x 800 m, then 1/2/3 min",
        "speed 3 x 30 m over 10/20/30 m",
        "top speed: 8/8.5/9 m/s\nspeed 3 x 30 m",
    ] {
        let told = plan::parse(line).unwrap_err();
        assert!(told[0].message.contains("are several"), "{line}: {told:#?}");
    }
    assert_eq!(
        offered("speed 3 x 30 m at 80/90/100%")[0],
        "speed 1 x 30 m at 80%\nspeed 1 x 30 m at 90%\nspeed 1 x 30 m at 100%"
    );
    assert_eq!(
        offered("1 x 1200, 2 x 800, 4 x 400, rest 3/2/1 min")[0],
        "resistance 1 x 1200 m, rest 3 min\nresistance 2 x 800 m, rest 2 min\nresistance 4 x 400 m, rest 60 s"
    );
}

#[test]
fn how_a_rest_is_taken_is_not_how_the_work_is_done() {
    // Sprints and hard runs were easy.
    read(&[
        (
            "speed 5 x 40 m, then 3 min easy",
            "speed 5 x 40 m, then 3 min",
        ),
        (
            "resistance 5 x 60 s, rest 2 min easy",
            "resistance 5 x 60 s, rest 2 min",
        ),
        (
            "resistance 5 x 60 s, rest 2 min, easy",
            "resistance 5 x 60 s, easy, rest 2 min",
        ),
    ]);
    assert_eq!(
        offered("5 x 1 min hard 2 min easy then 10 min easy")[0],
        "resistance 5 x 60 s, rest 2 min  # hard and easy\nresistance 10 min, easy"
    );
    assert_eq!(
        offered("6 x 200 m then 10 min easy jog")[0],
        "resistance 6 x 200 m\ncool-down \"jog\", 10 min, easy"
    );
    // Of the two speeds nothing was left.
    assert_eq!(
        offered("speed 5 x 30 m at 90% then 3 x 30 m at 100%"),
        ["speed 5 x 30 m at 90%\nspeed 3 x 30 m at 100%"]
    );
    let told = plan::parse("speed 2 x (3 x 20 m, 3 x 30 m)").unwrap_err();
    assert_eq!(
        told[0].lines,
        ["2 rounds of\n  speed 3 x 20 m\n  speed 3 x 30 m"]
    );
    means(
        "sprint 30 m 6 reps 3 sets",
        "speed \"sprint\", 3 x 6 x 30 m",
    );
}

#[test]
fn words_that_count_are_no_names() {
    // It was called `twice`.
    means("speed twice 6 x 30 m", "speed 2 x 6 x 30 m");
    assert_eq!(offered("speed 6 x 30 m twice"), ["speed 2 x 6 x 30 m"]);
    assert_eq!(offered("speed 6 x 30 m 2 times"), ["speed 2 x 6 x 30 m"]);
    assert_eq!(
        offered("long throw 15 each"),
        ["technical \"long throw\", 1 x 15 reps each side"]
    );
    means("game 3 periods 12 min", "game 3 x 12 min");
    // The rest was offered as 2:03, and all of them with a ball.
    for line in [
        "speed 6 x 30 m, rest 2 min after 3",
        "speed 6 x 30 m alternate with ball",
        "speed 6 x 30 m half with ball",
    ] {
        let told = plan::parse(line).unwrap_err();
        assert!(
            told.iter().all(|wrong| wrong.lines.is_empty()),
            "{line}: {told:#?}"
        );
    }
    asked(&[
        (
            "speed 6 x 30 m with and without ball",
            &["speed with ball, 6 x 30 m\nspeed 6 x 30 m"],
        ),
        (
            "strength 5-10-5 x 6",
            &["strength \"5-10-5\", 1 x 6 reps", "strength 6 x 5-10-5 m"],
        ),
    ]);
    means(
        "strength 4 cones 10 m apart x 6",
        "strength \"4 cones 10 m apart\", 1 x 6 reps",
    );
}

#[test]
fn laps_and_paces_are_done_in_turn() {
    let laps = offered("3 laps (1 easy 1 steady 1 hard)").remove(0);
    assert_eq!(
        laps,
        "warm-up \"1 lap\", 1 x 346 m, easy\nresistance \"1 lap steady\", 1 x 346 m\nresistance \"1 lap hard\", 1 x 346 m"
    );
    for (line, whole) in [
        ("easy 5, steady 10, hard 5", "easy 5, steady 10, hard 5"),
        (
            "5 min easy, 10 min steady, 5 min hard",
            "5 min easy, 10 min steady, 5 min hard",
        ),
    ] {
        asked(&[(
            line,
            &[
                "resistance 5 min, easy\nresistance \"steady\", 10 min\nresistance \"hard\", 5 min",
                &format!("resistance \"{whole}\", 20 min"),
            ],
        )]);
    }
    means(
        "pyramid 1-2-3-2-1 mins",
        "resistance \"pyramid\", 1-2-3-2-1 min",
    );
}

#[test]
fn ways_of_one_rep_are_its_name() {
    asked(&[
        (
            "6yd box - 18 - halfway shuttles",
            &["strength \"6 yd box - 18 - halfway shuttles\", 1 x 6 reps"],
        ),
        (
            "shuffle 5m L, 5m R, sprint 10m",
            &[
                "strength \"shuffle 5 m L + 5 m R + sprint 10 m\", 6 x 20 m",
                "speed \"shuffle 5 m L + 5 m R + sprint 10 m\", 6 x 20 m",
            ],
        ),
        (
            "backpedal 10m turn & sprint 20m x 6",
            &["speed \"backpedal 10 m + turn, sprint 20 m\", 6 x 30 m"],
        ),
        (
            "sprint ladder 10-20-30 m, walk back",
            &[
                "speed \"sprint ladder\", 10-20-30 m, rest walk back",
                "strength \"sprint ladder\", 10-20-30 m, rest walk back",
            ],
        ),
    ]);
    means(
        "6yd box - 18 - halfway shuttles x 4",
        "strength \"6 yd box - 18 - halfway shuttles\", 1 x 4 reps",
    );
    // The way back has no time of its own.
    let told = plan::parse("4 x (20m sprint, 20m jog back, 40m sprint)").unwrap_err();
    assert_eq!(
        told[0].lines,
        [
            "4 rounds of\n  speed \"sprint\", 1 x 20 m  # 20 m jog back\n  speed \"sprint\", 1 x 40 m"
        ]
    );
    assert_eq!(
        offered("up backs 10m x 8")[0],
        "speed 8 x 10 m there and back"
    );
    assert_eq!(
        offered("doggies 5/10/15/20/25 x 4, 2 min")[0],
        "strength \"5/10/15/20/25 doggies\", 4 x 150 m, rest 2 min"
    );
    let told = plan::parse("contrast: 3 x (3 squats + 20 m sprint)").unwrap_err();
    assert_eq!(
        told[0].lines,
        ["3 rounds of  # contrast\n  gym \"squats\", 1 x 3 reps\n  speed \"sprint\", 1 x 20 m"]
    );
    // What is called a steady, or has a unit in front of it, is no drill.
    assert!(plan::parse("decel drills 10m run - stop x 8").is_err());
}

#[test]
fn work_and_rest_are_read_in_a_coachs_letters() {
    for (line, first) in [
        ("w=5s r=25s", "resistance 8 x 5 s, rest 25 s"),
        ("10 x w=5s r=25s", "resistance 10 x 5 s, rest 25 s"),
        (
            "intermittent 10-20, 2 x 8 min",
            "resistance \"intermittent\", 2 x 16 x 10 s, rest 20 s between reps",
        ),
        ("15s/15s for 6 mins", "resistance 12 x 15 s, rest 15 s"),
        (
            "15:15 @ 110% x 10",
            "resistance 10 x 15 s, rest 15 s  # at 110%",
        ),
        (
            "14 x 100m, 14s on / 46s off",
            "speed 14 x 100 m, rest 46 s  # in 14 s",
        ),
        ("4x4 Norwegian", "resistance \"Norwegian\", 4 x 4 min"),
        (
            "recovery jog 15-20 min",
            "resistance \"recovery jog\", 15 min",
        ),
        (
            "press & cover 4 x 90s, 90s off",
            "resistance \"press and cover\", 4 x 90 s, rest 90 s",
        ),
        (
            "3 x 8 min (30/30)",
            "resistance 3 x 8 x 30 s, rest 30 s between reps",
        ),
        ("4 x 4' 1' R", "resistance 4 x 4 min, rest 60 s"),
        (
            "20/40/60/40/20 sprints, walk back",
            "speed \"sprints\", 20-40-60-40-20 m, rest walk back",
        ),
        ("tempo 20", "resistance \"tempo\", 20 min"),
        ("sprint 8", "speed \"sprint\", 1 x 8 m"),
        ("3 man weave x 8", "technical \"3 man weave\", 1 x 8 reps"),
    ] {
        assert_eq!(offered(line)[0], first, "{line}");
    }
    read(&[
        ("chase sprints x 8 20m", "speed \"chase sprints\", 8 x 20 m"),
        (
            "RDL 3 x 8 @ 70kg 2 min rest",
            "gym \"RDL\", 3 x 8 reps, 2 min between sets",
        ),
        (
            "up back through passing 10 mins",
            "technical \"up back through passing\", 10 min",
        ),
        (
            "2 sets of 5 x 40m sprints, 30s b/w reps, 3m b/w sets",
            "speed \"sprints\", 2 x 5 x 40 m, rest 30 s, 3 min between sets",
        ),
        ("jog 2 mi", "warm-up \"jog\", 1 x 3520 yd"),
        ("T test 3x", "strength \"T test\", 1 x 3 reps"),
        ("2x45 min + 10 HT", "game 2 x 45 min, rest 10 min"),
        ("Y drill x 6", "strength \"Y drill\", 1 x 6 reps"),
    ]);
}

#[test]
fn what_is_done_is_known_in_more_tongues() {
    read(&[
        (
            "jeu réduit 4c4 4 x 4 min",
            "game \"jeu réduit 4v4\", 4 x 4 min",
        ),
        ("étirements 10 min", "gym \"étirements\", 10 min"),
        (
            "conduite de balle 10 min",
            "technical \"conduite de balle\", 10 min",
        ),
        ("Torschuss 20 min", "technical \"Torschuss\", 20 min"),
        ("Fahrtspiel 25 min", "resistance \"Fahrtspiel\", 25 min"),
        (
            "velocidad 6 x 20 m, recuperación 1 min",
            "speed \"velocidad\", 6 x 20 m, rest 60 s",
        ),
        ("jogo reduzido 4x4 min", "game \"jogo reduzido\", 4 x 4 min"),
        ("inlopen 10 min", "warm-up 10 min"),
        ("uitlopen 5 min", "cool-down 5 min"),
    ]);
    assert_eq!(
        offered("course à pied 20 min"),
        [
            "warm-up \"course à pied\", 20 min",
            "resistance \"course à pied\", 20 min"
        ]
    );
}
