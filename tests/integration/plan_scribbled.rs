//! Plans as players write them: what can mean one thing only is read, what can mean two is asked about.

use proptest::prelude::*;
use repledger::plan::{self, Block, Category, Effort, FreeRest, Reading, Rest, Work};

use crate::support::scribbles::{means, offered, only_block};

#[test]
fn units_are_read_in_words() {
    for (written, tidy) in [
        ("10 mins", "10 min"),
        ("10 minutes", "10 min"),
        ("90 sec", "90 s"),
        ("90 secs", "90 s"),
        ("1\u{bd} min", "90 s"),
        ("1 \u{bd} min", "90 s"),
        ("1.5 min", "90 s"),
        ("1min30", "90 s"),
        ("for 12 min", "12 min"),
    ] {
        means(&format!("warm-up {written}"), &format!("warm-up {tidy}"));
    }
    for written in [
        "4 x 20 metres",
        "4x20 meters",
        "4 by 20m",
        "20 m x 4",
        "4 times 20 m",
        "4 reps of 20 m",
    ] {
        means(&format!("speed {written}"), "speed 4 x 20 m");
    }
    means("speed 10x20m at 24 kmh", "speed 10 x 20 m at 24 km/h");
    means("speed 5 x 40 yards", "speed 5 x 40 yd");
}

#[test]
fn sets_and_reps_are_read_in_words() {
    for written in [
        "3 sets of 8 x 10 s",
        "3 sets of 8 reps of 10 sec",
        "8 x 10 s x 3 sets",
        "3 sets, 8 x 10 s",
        "8 x 10 s, repeat 3 times",
        "three sets of 8 x 10 s",
    ] {
        means(&format!("resistance {written}"), "resistance 3 x 8 x 10 s");
    }
    means("strength 8 reps", "strength 1 x 8 reps");
    means("strength 8 times over 9 m", "strength 1 x 8 reps over 9 m");
    means("strength one set of 6", "strength 1 x 6 reps");
    means("strength 3 sets of 6", "strength 3 x 6 reps");
    means(
        "strength 5 m x 6 up and back",
        "strength 6 x 5 m there and back",
    );
    means(
        "strength 3 x 5 reps each side",
        "strength 3 x 5 reps each side",
    );
    assert_eq!(only_block("strength 3 x 5 reps each leg").reps(), 10);
    means(
        "game 5 min, repeat 3 times, 2 min off",
        "game 3 x 5 min, rest 2 min",
    );
}

#[test]
fn rests_are_read_in_words() {
    for written in [
        "rest 90 seconds",
        "rest for 90 seconds",
        "rest of 90 s",
        "90 s rest",
        "90 secs off",
        "90 s recovery",
        "recovery 90 s",
        "with 90 s rest",
        "90 s between reps",
        "90 s rest between each rep",
    ] {
        means(
            &format!("speed 5 x 40 m, {written}"),
            "speed 5 x 40 m, rest 90 s",
        );
    }
    for written in [
        "rest 2 min between sets",
        "2 min rest between sets",
        "2 mins off after each set",
        "between sets 2 min",
        "rest between sets: 2 min",
    ] {
        means(
            &format!("resistance 2 x 6 x 12 s, rest 25 s, {written}"),
            "resistance 2 x 6 x 12 s, rest 25 s, 2 min between sets",
        );
    }
    for written in [
        "walk back",
        "walking back",
        "rest walk back",
        "walk back recovery",
    ] {
        means(
            &format!("speed 5 x 40 m, {written}"),
            "speed 5 x 40 m, rest walk back",
        );
    }
    means(
        "speed 5 x 40 m, jog back recovery",
        "speed 5 x 40 m, rest jog back",
    );
    means("speed 5 x 40 m, full rest", "speed 5 x 40 m, rest full");
    let full = only_block("speed 5 x 40 m, full recovery");
    assert_eq!(
        (full.rest, full.free_rest),
        (Rest::WalkBack, FreeRest::Full)
    );
}

#[test]
fn work_and_rest_are_read_side_by_side() {
    for written in [
        "8 x 30 s on, 30 s off",
        "30 s on, 30 s off, 8 times",
        "30 s on 30 s off x 8",
        "8 reps, work 30 s, rest 30 s",
        "work 30 s rest 30 s repeat 8 times",
        "8 x 30 seconds on, 30 seconds rest",
    ] {
        means(
            &format!("resistance {written}"),
            "resistance 8 x 30 s, rest 30 s",
        );
    }
    let mistakes = plan::parse("resistance 30 s on, 30 s off").unwrap_err();
    assert_eq!(mistakes.len(), 1);
    assert!(
        mistakes[0].message.contains("how many times"),
        "{mistakes:?}"
    );
}

#[test]
fn a_rep_every_minute_rests_for_what_is_left() {
    let block = only_block("resistance 10 x 20 s every 60 s");
    assert_eq!((block.rest, block.every_s), (Rest::Timed(40.0), Some(60.0)));
    means(
        "resistance 10 x 20 s every minute",
        "resistance 10 x 20 s, every 60 s",
    );
    assert!(plan::parse("resistance 10 x 90 s every 60 s").is_err());
}

#[test]
fn how_hard_is_kept_in_words_and_owes_no_speed() {
    for (written, effort) in [
        ("max", Effort::FlatOut),
        ("flat out", Effort::FlatOut),
        ("at max", Effort::FlatOut),
        ("easy", Effort::Easy),
    ] {
        let block = only_block(&format!("speed 5 x 40 m {written}"));
        assert_eq!(
            (block.effort, block.target),
            (Some(effort), None),
            "{written}"
        );
    }
    means(
        "speed 5 x 40 m at 90 %, build up",
        "speed 5 x 40 m at 90%, build up",
    );
    let block = only_block("speed 5 x 40 m at 90 % of top speed, first rep build up");
    assert!(block.of_rep(0, 0).target.is_none());
    assert!(block.of_rep(0, 1).target.is_some() && block.of_rep(1, 0).target.is_some());
}

#[test]
fn words_behind_the_category_are_its_name() {
    for (written, tidy) in [
        (
            "game 4v4, 3 x 5 min, rest 2 min",
            "game \"4v4\", 3 x 5 min, rest 2 min",
        ),
        (
            "game 4 v 4 3 x 5 min, 2 min rest",
            "game \"4 v 4\", 3 x 5 min, rest 2 min",
        ),
        ("game 5-a-side 20 mins", "game \"5-a-side\", 20 min"),
        (
            "technical wall passes 8 min",
            "technical \"wall passes\", 8 min",
        ),
        (
            "technical: rondo 5 v 2, 8 min",
            "technical \"rondo 5 v 2\", 8 min",
        ),
        (
            "warm up easy jog and skips, 8 min",
            "warm-up \"easy jog and skips\", 8 min",
        ),
        ("cool down easy 6 min", "cool-down 6 min, easy"),
        (
            "speed flying starts, 5 x 30 m",
            "speed \"flying starts\", 5 x 30 m",
        ),
        (
            "speed build up runs 4 x 60 m",
            "speed \"build up runs\", 4 x 60 m",
        ),
    ] {
        means(written, tidy);
    }
}

#[test]
fn words_beside_a_dose_are_kept() {
    for (written, tidy) in [
        (
            "technical 8 min in pairs",
            "technical \"in pairs\", 8 min\n",
        ),
        ("technical 8 min (easy)", "technical 8 min, easy\n"),
        (
            "technical 8 min, stay low!",
            "technical 8 min  # stay low\n",
        ),
        (
            "speed 5 x 40 m, RPE 9/10 # hard",
            "speed 5 x 40 m  # RPE 9/10; hard\n",
        ),
    ] {
        assert_eq!(plan::tidy(written).as_deref(), Ok(tidy), "{written}");
    }
}

#[test]
fn reps_that_differ_have_their_own_work() {
    means(
        "speed 10-20-30-20-10 m, walk back",
        "speed 10-20-30-20-10 m, rest walk back",
    );
    means(
        "resistance 15/30/45/30/15 s, 30 s rest",
        "resistance 15-30-45-30-15 s, rest 30 s",
    );
    means(
        "resistance 2 x 1-2-3-2-1 min, rest 60 s, 3 min between sets",
        "resistance 2 x 1-2-3-2-1 min, rest 60 s, 3 min between sets",
    );
    means("speed 20-20-20 m", "speed 3 x 20 m");
    let block = only_block("speed 10-20-30-20-10 m, rest walk back");
    assert_eq!((block.sets(), block.reps()), (1, 5));
    assert_eq!(block.work_of(2), Some(Work::Distance(30.0)));
    assert_eq!(block.of_rep(0, 1).rep_distance_m(), Some(20.0));
    assert_eq!(block.rep_distance_m(), Some(18.0));
    // Two numbers could be a range, or work and rest.
    assert!(plan::parse("speed 4 x 10-20 m").is_err());
    assert!(plan::parse("resistance 8 x 30/30 s").is_err());
}

#[test]
fn rounds_are_their_blocks_several_times_over() {
    let text = "3 rounds of, 2 min between rounds:\n  resistance 4 x 10 s, rest 20 s, then 60 s\n\n  # a breath\n  strength 6 reps over 9 m\ncool down 5 min";
    let plan = plan::parse(text).unwrap_or_else(|mistakes| panic!("{mistakes:#?}"));
    assert_eq!(plan.blocks.len(), 7);
    let then: Vec<Option<f64>> = plan.blocks.iter().map(|block| block.then_s).collect();
    let (a, b) = (Some(60.0), Some(120.0));
    assert_eq!(then, [a, b, a, b, a, None, None]);
    let tidy = plan::tidy(text).unwrap();
    assert_eq!(
        tidy,
        "3 rounds of, 2 min between rounds\n  resistance 4 x 10 s, rest 20 s, then 60 s\n\n# a breath\n  strength 1 x 6 reps over 9 m\ncool-down 5 min\n"
    );
    assert_eq!(plan::parse(&tidy).as_ref(), Ok(&plan));
    for text in [
        "3 rounds of\nspeed 5 x 40 m",
        "speed 5 x 40 m\n3 rounds of",
        "2 rounds of\n  2 rounds of\n    speed 2 x 20 m",
    ] {
        assert_eq!(plan::parse(text).unwrap_err().len(), 1, "{text}");
    }
    assert_eq!(
        plan::parse("repeat 2 times:\n\tspeed 2 x 20 m\n")
            .unwrap()
            .blocks
            .len(),
        2
    );
}

#[test]
fn work_that_no_recording_shows_is_kept() {
    let block = only_block("gym legs, 40 min");
    assert_eq!(
        (block.category, block.is_recorded()),
        (Category::Gym, false)
    );
    means(
        "gym \"squats\", 4 x 8 reps, rest 2 min",
        "gym \"squats\", 4 x 8 reps, 2 min between sets",
    );
}

#[test]
fn a_rest_that_no_sane_session_has_is_asked_about_with_both_readings() {
    let mistakes = plan::parse("technical \"finishing\", 3 x 10 reps, rest 2 min").unwrap_err();
    assert_eq!(mistakes.len(), 1);
    assert_eq!(
        mistakes[0].lines,
        [
            "technical \"finishing\", 3 x 10 reps, 2 min between sets",
            "technical \"finishing\", 3 x 10 reps, rest 2 min between reps"
        ]
    );
    for line in &mistakes[0].lines {
        assert_eq!(only_block(line).to_string(), *line);
    }
    // A session of more than three hours is asked about where such a rest is a part of it.
    let long = "warm-up 60 min\nresistance 4 x 10 x 60 s, rest 3 min\n";
    let mistakes = plan::parse(long).unwrap_err();
    assert_eq!((mistakes.len(), mistakes[0].line), (1, 2));
    assert_eq!(
        mistakes[0].lines,
        [
            "resistance 4 x 10 x 60 s, 3 min between sets",
            "resistance 4 x 10 x 60 s, rest 3 min between reps"
        ]
    );
    let meant = long.replace("3 min", "3 min between reps");
    assert_eq!(plan::tidy(&meant).as_ref(), Ok(&meant));
    // A short rest, or one between sprints, is no question.
    only_block("strength 3 x 6 reps, rest 20 s");
    only_block("speed 2 x 5 reps over 30 m, rest 2 min");
    only_block("strength 10 reps, rest 2 min");
}

#[test]
fn the_line_is_rewritten_as_it_probably_was_meant() {
    for (written, meant) in [
        ("sprints 5 x 40 m, rset 2 min", "speed 5 x 40 m, rest 2 min"),
        (
            "strength 3 x 6 reps over 9 m their and back",
            "strength 3 x 6 reps over 9 m there and back",
        ),
        (
            "resistence 3 x 8 x 10 s, 60 s betwen sets",
            "resistance 3 x 8 x 10 s, 60 s between sets",
        ),
    ] {
        let mistakes = plan::parse(written).unwrap_err();
        assert_eq!(mistakes.last().unwrap().lines, [meant], "{written}");
        assert!(plan::parse(meant).is_ok(), "{meant}");
    }
}

/// Words that people write in plans, marks between them, and slips.
const SCRAPS: [&str; 106] = [
    "speed",
    "warm up",
    "cool down",
    "sprints",
    "shuttles",
    "5-a-side",
    "4v4",
    "gym",
    "stretch",
    "jog",
    "laps",
    "passes",
    "Sat 16 May 2026",
    "\n",
    "\n",
    "\n",
    "\n- ",
    "\n  ",
    "\n1. ",
    "*",
    "\u{2022}",
    "(",
    ")",
    ",",
    ",",
    ",",
    ":",
    "/",
    "->",
    "-",
    "\u{2013}",
    ".",
    "!",
    "#",
    "//",
    "'",
    "\"",
    "\u{201c}",
    "5",
    "8",
    "10",
    "20",
    "0",
    "1:30",
    "10-20-30",
    "4-6",
    "30/30",
    "-5",
    "s",
    "min",
    "mins",
    "m",
    "metres",
    "%",
    "@",
    "95",
    "x",
    "\u{d7}",
    "of",
    "over",
    "sets",
    "reps",
    "rest",
    "between rounds",
    "3 rounds of",
    "walk back",
    "there and back",
    "then",
    "on",
    "off",
    "each side",
    "with ball",
    "no",
    "rset",
    "title:",
    "five",
    "times",
    "8 times",
    "x 6",
    "6 reps",
    "twice",
    "HRmax",
    "of max HR",
    "bpm",
    "walk",
    "walk down",
    "jog home",
    "walk bak",
    "when ready",
    "as needed",
    "plenty of",
    "with bal",
    "without ball",
    "w/",
    "between each",
    "on the minute",
    "1:1",
    "= work",
    "10,20,30",
    "1/2",
    "1m30s",
    "half a minute",
    "4vs4+2",
    "16/5/26",
    "\u{1f3c3}",
    "\u{6f22}",
];

/// Such words in any order, with blanks between them or not.
fn scraps() -> impl Strategy<Value = String> {
    let words = prop::collection::vec((prop::sample::select(&SCRAPS[..]), any::<bool>()), 1..20);
    words.prop_map(|words| {
        let word = |(word, blank): (&str, bool)| format!("{word}{}", if blank { " " } else { "" });
        words.into_iter().map(word).collect()
    })
}

proptest! {
    #[test]
    fn whatever_is_scribbled_has_a_tidy_form_or_a_mistake(text in scraps()) {
        match plan::read_with(&text, Reading::default()) {
            Ok((plan, _)) => {
                let tidy = plan::tidy(&text).unwrap();
                // What was read as it can be meant is in the notation then.
                prop_assert_eq!(plan::read_with(&tidy, Reading::default()), Ok((plan, Vec::new())), "{}", tidy);
            }
            Err(mistakes) => {
                prop_assert!(!mistakes.is_empty());
                for mistake in mistakes {
                    prop_assert!(text.get(mistake.span.clone()).is_some());
                    // A line of rounds is none alone, and neither are words for the player.
                    let alone = |line: &&String| !line.contains(" rounds of") && !line.starts_with('#');
                    for line in mistake.lines.iter().filter(alone) {
                        prop_assert!(plan::parse(line).is_ok() || line.contains(": "), "{}", line);
                    }
                }
            }
        }
    }
}

/// A plan as it was scribbled, and its tidy form; a line that is asked about is `?` with the ready line.
type Whole = (&'static str, &'static str, &'static str);

/// Twelve plans of our own, each as another player or coach would type it.
const WHOLE: [Whole; 12] = [
    (
        "a youth player on his phone",
        "Sat 16 May\nWarmup 10 mins\n5 sprints of 40 metres, walk back\nShuttles 6x(10m there and back), rest 1 min\n5-a-side 20 mins\nStretch 5 min",
        "date: 2026-05-16\nwarm-up 10 min\nspeed \"sprints\", 5 x 40 m, rest walk back\nstrength \"Shuttles\", 6 x 10 m there and back, rest 60 s\ngame \"5-a-side\", 20 min\ngym \"Stretch\", 5 min\n",
    ),
    (
        "a Sunday league winger",
        "Tuesday night, by myself\n\n- Warm up - 10 mins easy jog\n- 4 x 30m sprints @95%, walk back\n- then 3 sets of 8 x 10 s intervals, 20s rest, 90s between sets\n- cool down 5 min 😅",
        "title: Tuesday night, by myself\n\nwarm-up \"jog\", 10 min, easy\nspeed \"sprints\", 4 x 30 m at 95%, rest walk back\nresistance \"intervals\", 3 x 8 x 10 s, rest 20 s, 90 s between sets\ncool-down 5 min\n",
    ),
    (
        "a coach's note",
        "U14 – WEEK 3\nName: Jo\nFocus: stay on your toes\n1. WARM UP: 12 MIN\n2. WALL PASSES, 8 MIN (both feet)\n3. SPEED: 5 × 30 M AT 95 %, FULL RECOVERY\n4. GAME 4v4, 3 x 5 min, 2 min rest\n5. COOL DOWN: 6 MIN",
        "title: U14 – WEEK 3\nathlete: Jo\n# Focus: stay on your toes\nwarm-up 12 min\ntechnical \"WALL PASSES\", 8 min  # both feet\nspeed 5 x 30 m at 95%, rest full\ngame \"4v4\", 3 x 5 min, rest 2 min\ncool-down 6 min\n",
    ),
    (
        "back after an injury",
        "Week 4, back to running\nWalk 5 min\nMobility 8 min\nResistance 6 x 1 min easy, 1 min rest (stop if it hurts)\nShuttles 4 x 10 m there and back, easy, 60 s rest\nwalk 5 min",
        "title: Week 4, back to running\nwarm-up \"Walk\", 5 min\ngym \"Mobility\", 8 min\nresistance 6 x 60 s, easy, rest 60 s  # stop if it hurts\nstrength \"Shuttles\", 4 x 10 m there and back, easy, rest 60 s\ncool-down \"walk\", 5 min\n",
    ),
    (
        "rounds with a list below",
        "Warm-up 10 min\n3 rounds of\n- 6 shuttles over 9 m\n- 4 x 20 m sprint, walk back\nrest 3 min between rounds\nCool down 5 mins",
        "warm-up 10 min\n3 rounds of, 3 min between rounds\n  strength \"shuttles\", 1 x 6 reps over 9 m\n  speed \"sprint\", 4 x 20 m, rest walk back\n\ncool-down 5 min\n",
    ),
    (
        "headings with the work below",
        "Warm up 10 min\nSprints:\n4 x 20 m, walk back\n3 x 40 m, walk back to start\n\nEndurance\n6 x 30 s, 30 s off\nHave fun!",
        "warm-up 10 min\n# Sprints:\nspeed 4 x 20 m, rest walk back\nspeed 3 x 40 m, rest walk back\n\n# Endurance\nresistance 6 x 30 s, rest 30 s\n# Have fun!\n",
    ),
    (
        "rests on lines of their own",
        "10 min warm up\nspeed 5 x 40 m at 95%\nwalk back\nrest 3 min\n2 sets of 6 x 12 sec conditioning, 25 sec rest\nrest 2 min between sets\n20 min game",
        "warm-up 10 min\nspeed 5 x 40 m at 95%, rest walk back, then 3 min\n\n\nresistance \"conditioning\", 2 x 6 x 12 s, rest 25 s, 2 min between sets\n\ngame 20 min\n",
    ),
    (
        "a keeper with quotes and brackets",
        "Warm up 8 mins\ntechnical ‘low shots’ 3 x 6 reps [20 s rest]\nstrength \u{201c}cone steps\u{201d}: 5 reps over 5 m there & back\nPress ups 3 x 10\nplank 2 x 45s, 30s rest",
        "warm-up 8 min\ntechnical \"low shots\", 3 x 6 reps, rest 20 s\nstrength \"cone steps\", 1 x 5 reps over 5 m there and back\ngym \"Press ups\", 3 x 10 reps\ngym \"plank\", 2 x 45 s, rest 30 s\n",
    ),
    (
        "laps and lists of numbers",
        "jog 5 min\nspeed 10/20/30/20/10 m, walk back\n1 set of 6, 20 s intervals, rest 40 s\n8 x 30s on/30s off tempo\n10 min passing",
        "warm-up \"jog\", 5 min\nspeed 10-20-30-20-10 m, rest walk back\nresistance \"intervals\", 6 x 20 s, rest 40 s\nresistance \"tempo\", 8 x 30 s, rest 30 s\ntechnical \"passing\", 10 min\n",
    ),
    (
        "one line to the next",
        "top speed 8.8 m/s\npitch 100 x 64 m\nmatch Sat 23 May\nwarm up for 10 minutes, then 2 min\nNext: six sprints over 30 m, jog back\nfinally a game 15 min, stay wide",
        "top speed: 8.8 m/s\npitch: 100 x 64 m\nmatch day: 2026-05-23\nwarm-up 10 min, then 2 min\nspeed \"sprints\", 6 x 30 m, rest jog back\ngame 15 min  # stay wide\n",
    ),
    (
        "laps that have no length",
        "Warmup 2 laps\nsprints 4 x 40 m walk back",
        "? warm-up \"2 laps\", 1 x 692 m | warm-up \"2 laps\", 1 x 800 m\nspeed \"sprints\", 4 x 40 m, rest walk back\n",
    ),
    (
        "a pyramid without its kind",
        "warm-up 10 min\n10-20-30-20-10 m, walk back\ncool down 5 min",
        "warm-up 10 min\n? speed 10-20-30-20-10 m, rest walk back | resistance 10-20-30-20-10 m, rest walk back\ncool-down 5 min\n",
    ),
];

#[test]
fn whole_plans_are_read_as_they_are_scribbled() {
    let reading = Reading {
        day_first: None,
        today: Some(jiff::civil::date(2026, 5, 12)),
    };
    let mut without = 0;
    for (who, text, expected) in WHOLE {
        let asked: Vec<(usize, Vec<&str>)> = (expected.lines().enumerate())
            .filter_map(|(index, line)| {
                Some((index, line.strip_prefix("? ")?.split(" | ").collect()))
            })
            .collect();
        match plan::read_with(text, reading) {
            Ok((plan, read_as)) => {
                assert!(asked.is_empty(), "{who}: nothing was asked");
                without += 1;
                let tidy = plan::tidy_with(text, reading).unwrap();
                assert_eq!(tidy, expected, "{who}");
                assert_eq!(plan::parse(&tidy).as_ref(), Ok(&plan), "{who}");
                // Each line that is not in the notation is said, with a line that is.
                assert!(!read_as.is_empty(), "{who}");
                for tidy in read_as.iter().filter_map(|one| one.tidy.as_ref()) {
                    let alone = [
                        tidy.clone(),
                        format!("{tidy}\nwarm-up 5 min"),
                        format!("{tidy}\n  warm-up 5 min"),
                    ];
                    assert!(
                        alone.iter().any(|text| plan::parse(text).is_ok()),
                        "{who}: {tidy}"
                    );
                }
            }
            Err(mistakes) => {
                assert_eq!(
                    (asked.len(), mistakes.len()),
                    (1, 1),
                    "{who}: {mistakes:#?}"
                );
                let (index, lines) = &asked[0];
                assert_eq!(mistakes[0].line as usize, index + 1, "{who}");
                assert_eq!(&mistakes[0].lines, lines, "{who}");
                // With any ready line in its place the plan is read.
                for line in lines {
                    let mut rows: Vec<&str> = text.lines().collect();
                    rows[*index] = line;
                    let plan = plan::tidy_with(&rows.join("\n"), reading);
                    let meant: Vec<&str> = (expected.lines().enumerate())
                        .map(|(at, row)| if at == *index { line } else { row })
                        .collect();
                    assert_eq!(plan, Ok(format!("{}\n", meant.join("\n"))), "{who}");
                }
            }
        }
    }
    assert_eq!(without, 10);
}

#[test]
fn several_doses_on_a_line_are_offered_line_by_line_and_as_a_set_whose_reps_differ() {
    assert_eq!(
        offered("Speed 3 x 20 m, 2 x 40 m, walk back"),
        [
            "speed 3 x 20 m, rest walk back\nspeed 2 x 40 m, rest walk back",
            "speed 20-20-20-40-40 m, rest walk back",
        ]
    );
    assert_eq!(
        offered("speed at 95%, 3 x 20 m and 2 x 40 m"),
        [
            "speed 3 x 20 m at 95%\nspeed 2 x 40 m at 95%",
            "speed 20-20-20-40-40 m at 95%"
        ]
    );
    // Each has a rest of its own: no set has two.
    assert_eq!(
        offered("sprints 3 x 20 m, rest 60 s, 2 x 40 m, rest 2 min"),
        ["speed \"sprints\", 3 x 20 m, rest 60 s\nspeed \"sprints\", 2 x 40 m, rest 2 min"]
    );
    // More reps than anybody writes one by one, and work of two kinds.
    assert_eq!(offered("resistance 10 x 30 s, 5 x 60 s").len(), 1);
    assert_eq!(offered("resistance 4 x 30 s, 3 x 200 m").len(), 1);
    // What kind of work it is, is asked in the same breath.
    assert_eq!(
        offered("5 x 5m, 5 x 10m").first().map(String::as_str),
        Some("speed 5 x 5 m\nspeed 5 x 10 m")
    );
    let text = "speed 3 x 20 m, 2 x 40 m\n";
    let shown = plan::mistake::render("a.plan", text, &plan::parse(text).unwrap_err(), false);
    assert!(
        shown.contains("did you mean:\nspeed 3 x 20 m\nspeed 2 x 40 m\n"),
        "each stands on a line of its own, ready to copy: {shown}"
    );
}

#[test]
fn a_few_m_of_a_warm_up_are_minutes() {
    means("warm up 10m", "warm-up 10 min");
    means("WU 10m", "warm-up 10 min");
    means("cool down 5 m easy", "cool-down 5 min, easy");
    means("game 5v5 20m", "game \"5v5\", 20 min");
    let (_, read_as) = plan::read_with("warm up 10m\n", Reading::default()).expect("a plan");
    assert_eq!(read_as.len(), 1);
    assert_eq!(read_as[0].tidy.as_deref(), Some("warm-up 10 min"));
    // A way that is one, or that is counted, stays one.
    for (text, tidy) in [
        ("warm-up 400 m", "warm-up 1 x 400 m"),
        ("warm-up 1 x 10 m", "warm-up 1 x 10 m"),
        ("warm-up 10 metres", "warm-up 1 x 10 m"),
        ("speed 10m", "speed 1 x 10 m"),
    ] {
        assert_eq!(only_block(text).to_string(), tidy, "{text}");
    }
}

#[test]
fn what_players_scribbled_is_read_or_asked_about() {
    means(
        "shuttles 6 x 12 m and back",
        "strength \"shuttles\", 6 x 12 m there and back",
    );
    means(
        "intervals 8 x 30 s, equal rest",
        "resistance \"intervals\", 8 x 30 s, rest 30 s",
    );
    means(
        "intervals 6x30s / 2min30 walk",
        "resistance \"intervals\", 6 x 30 s, rest 2:30",
    );
    means(
        "Max velocity: 4 x 30 m, full rest",
        "speed \"Max velocity\", 4 x 30 m, rest full",
    );
    means(
        "accelerations 5 x 15 m",
        "speed \"accelerations\", 5 x 15 m",
    );
    assert_eq!(
        offered("pyramid intervals 15/30/45/30/15 s, equal rest"),
        ["resistance \"pyramid intervals\", 15-30-45-30-15 s, rest 27 s"]
    );
    assert_eq!(
        offered("flying 30s x 4, full rest"),
        [
            "speed \"flying\", 4 x 30 m, rest full",
            "speed \"flying\", 4 x 30 s, rest full"
        ]
    );
    assert_eq!(
        offered("30 s on, 30 s off")[0],
        "resistance 8 x 30 s, rest 30 s"
    );
    let text = "3 rounds of\n  speed 2 x 20 m\n  30 s on, 30 s off\n";
    let mistakes = plan::parse(text).expect_err("a question");
    assert_eq!(mistakes[0].lines[0], "resistance 30 s, then 30 s");
    assert_eq!(
        offered("Core circuit 3 rounds: plank 45s, side plank 30s each side, 20 crunches"),
        [
            "3 rounds of\n  gym \"plank\", 45 s\n  gym \"side plank\", 1 x 30 s each side\n  gym \"crunches\", 1 x 20 reps"
        ]
    );
    means(
        "Finishing from crosses - 15 balls each side",
        "technical \"Finishing from crosses balls\", 1 x 15 reps each side",
    );
    assert_eq!(
        offered("dives 3 x 6 each side, 1 min rest")[0],
        "technical \"dives\", 3 x 6 reps each side, 60 s between sets"
    );
    assert!(!offered("high balls 10 reps").is_empty());
    assert!(!offered("shuttles 5-10-15 x 4, 60 s rest").is_empty());
    assert!(!offered("then 10 min easy").is_empty());
}

#[test]
fn what_stands_around_the_work_is_no_work() {
    let today = Some(jiff::civil::date(2026, 5, 20));
    let reading = Reading {
        today,
        day_first: None,
    };
    for (text, day) in [
        ("Mon 18/05\nspeed 5 x 40 m\n", 18),
        ("Tue 5/19\nspeed 5 x 40 m\n", 19),
        ("date: Wed 20.5.\nspeed 5 x 40 m\n", 20),
    ] {
        let (plan, _) = plan::read_with(text, reading).unwrap_or_else(|m| panic!("{text}: {m:#?}"));
        assert_eq!(
            plan.header.date,
            Some(jiff::civil::date(2026, 5, day)),
            "{text}"
        );
    }
    for text in [
        "Match day -2\nspeed 5 x 40 m\n",
        "Sprints\nMD-2\nspeed 5 x 40 m\n",
        "warm up 10 min\n- jog, skips, leg swings\nspeed 5 x 40 m\n",
        "warm up 10 min\n- easy laps\n- skips\nspeed 5 x 40 m\n",
    ] {
        let plan = plan::parse(text).unwrap_or_else(|m| panic!("{text}: {m:#?}"));
        assert_eq!(plan.blocks.last().map(Block::reps), Some(5), "{text}");
        assert_eq!(plan.header.match_day, None);
    }
}

/// Each is read as the line beside it, and `plan` lists how.
#[track_caller]
fn listed(pairs: &[(&str, &str)]) {
    for (written, tidy) in pairs {
        let (plan, read_as) = plan::read_with(written, Reading::default())
            .unwrap_or_else(|m| panic!("{written}: {m:#?}"));
        let lines: Vec<Option<&str>> = read_as.iter().map(|one| one.tidy.as_deref()).collect();
        assert_eq!(lines, [Some(*tidy)], "{written}");
        assert_eq!(
            plan::read_with(tidy, Reading::default()),
            Ok((plan, Vec::new())),
            "{written}"
        );
    }
}

#[test]
fn what_is_for_the_player_is_listed_and_no_speed_or_ball() {
    listed(&[
        (
            "resistance 4 x 4 min @ 85% HRmax, 3 min rest",
            "resistance 4 x 4 min, rest 3 min  # at 85% HRmax",
        ),
        (
            "resistance 4 x 4 min at 85-90% of max heart rate, 3 min rest",
            "resistance 4 x 4 min, rest 3 min  # at 85-90% of max heart rate",
        ),
        (
            "resistance 6 x 3 min at 100% MAS, 3 min rest",
            "resistance 6 x 3 min, rest 3 min  # at 100% MAS",
        ),
        (
            "resistance 30 min at 150 bpm",
            "resistance 30 min  # at 150 bpm",
        ),
        (
            "resistance 30 min, heart rate under 150",
            "resistance 30 min  # heart rate under 150",
        ),
        (
            "speed 6 x 30 m without ball",
            "speed 6 x 30 m  # without ball",
        ),
        ("speed 4 x 30 m, with balls", "speed with ball, 4 x 30 m"),
        (
            "Sprints 5x30m w/ 2 min rest",
            "speed \"Sprints\", 5 x 30 m, rest 2 min",
        ),
        (
            "Sprints 5x30m, stay low",
            "speed \"Sprints\", 5 x 30 m  # stay low",
        ),
    ]);
    assert_eq!(
        offered("resistance 4 x 4 min at 85% max"),
        [
            "resistance 4 x 4 min  # at 85% max",
            "resistance 4 x 4 min at 85% of top speed"
        ]
    );
    assert_eq!(
        offered("speed 5 x 30 m, with bal"),
        ["speed with ball, 5 x 30 m"]
    );
    // Four of nothing.
    assert_eq!(plan::parse("game 4v4 4 x").unwrap_err().len(), 1);
}

#[test]
fn rests_of_free_length_are_read_in_a_players_words() {
    listed(&[
        (
            "hill sprints 6 x 8s, walk down",
            "speed \"hill sprints\", 6 x 8 s, rest walk back",
        ),
        ("speed 6 x 30 m walk down", "speed 6 x 30 m, rest walk back"),
        (
            "speed 6 x 30 m, stroll back",
            "speed 6 x 30 m, rest walk back",
        ),
        ("speed 5 x 30 m, walk", "speed 5 x 30 m, rest walk back"),
        (
            "speed 5 x 30 m, walk to start",
            "speed 5 x 30 m, rest walk back",
        ),
        ("speed 5 x 30 m, jog home", "speed 5 x 30 m, rest jog back"),
        (
            "speed 6 x 30 m, walk 30 m back",
            "speed 6 x 30 m, rest walk back  # walk 30 m back",
        ),
        ("speed 6 x 30 m, go when ready", "speed 6 x 30 m, rest full"),
        (
            "5 x 30m sprints, rest as needed",
            "speed \"sprints\", 5 x 30 m, rest full",
        ),
        (
            "speed 6 x 30 m, rest till fresh",
            "speed 6 x 30 m, rest full",
        ),
        (
            "speed 6 x 30 m, plenty of rest",
            "speed 6 x 30 m, rest full",
        ),
        ("speed 6 x 30 m, full rests", "speed 6 x 30 m, rest full"),
        // How it is taken, where its length stands beside it.
        (
            "speed 6 x 30 m, rest 60 s, walk",
            "speed 6 x 30 m, rest 60 s  # walk",
        ),
    ]);
    assert_eq!(
        offered("speed 5 x 30 m, walk bak"),
        ["speed 5 x 30 m, rest walk back"]
    );
    for (written, way) in [
        ("resistance 6 x 2 min, jog", "jog back"),
        ("speed 6 x 30 m, walk around the cones", "walk back"),
    ] {
        let dose = written.split(',').next().unwrap();
        assert_eq!(
            offered(written),
            [format!("{dose}, rest {way}"), dose.to_owned()]
        );
    }
    // No rest where there is nothing to rest between, and work that follows work.
    means("warm-up 10 min, jog", "warm-up \"jog\", 10 min");
    means("technical 8 min, when ready", "technical 8 min");
    assert!(plan::parse("5 min walk then 10 min jog").is_err());
}

#[test]
fn a_count_is_read_behind_its_work() {
    listed(&[
        (
            "speed 30 m, 8 times, walk back",
            "speed 8 x 30 m, rest walk back",
        ),
        (
            "resistance 30 s 8 times, rest 30 s",
            "resistance 8 x 30 s, rest 30 s",
        ),
        ("sprint 20m 6 times", "speed \"sprint\", 6 x 20 m"),
        ("sprint 40 m, twice", "speed \"sprint\", 2 x 40 m"),
        (
            "strength 9 m there and back 8 times",
            "strength 8 x 9 m there and back",
        ),
        (
            "strength 9 m up and back x 6",
            "strength 6 x 9 m there and back",
        ),
        (
            "strength 10 m up and back, one set of 6",
            "strength 6 x 10 m there and back",
        ),
        (
            "strength 10 m up and back, 6 reps",
            "strength 6 x 10 m there and back",
        ),
        ("speed 30 m, x 6", "speed 6 x 30 m"),
        (
            "speed 30 m, 2 sets of 4, walk back, 2 min between",
            "speed 2 x 4 x 30 m, rest walk back, 2 min between sets",
        ),
        (
            "strength 2 x 5 up and back over 10 m, 1 min between sets",
            "strength 2 x 5 reps over 10 m there and back, 60 s between sets",
        ),
    ]);
    // Ten within the time, or ten of it?
    assert!(plan::parse("technical 2 min, 10 reps").is_err());
}

#[test]
fn other_words_for_counts_numbers_and_rests_are_read() {
    listed(&[
        (
            "6 sprints of 20 m with 90s rest between each",
            "speed \"sprints\", 6 x 20 m, rest 90 s",
        ),
        (
            "10 x 10 m sprints on the minute",
            "speed \"sprints\", 10 x 10 m, every 60 s",
        ),
        (
            "3 rounds of 10 s sprint, 20 s rest",
            "speed \"sprint\", 3 x 10 s, rest 20 s",
        ),
        (
            "speed 3 sets 4 reps 20 m, walk back, 3 min between sets",
            "speed 3 x 4 x 20 m, rest walk back, 3 min between sets",
        ),
        (
            "speed 2 sets: 4 x 20 m, walk back, 3 min between",
            "speed 2 x 4 x 20 m, rest walk back, 3 min between sets",
        ),
        (
            "speed 2 x 4 x 20 m, walk back, set rest 3 min",
            "speed 2 x 4 x 20 m, rest walk back, 3 min between sets",
        ),
        (
            "speed pyramid 10,20,30,20,10 m",
            "speed \"pyramid\", 10-20-30-20-10 m",
        ),
        ("speed 10 20 30 20 10 m", "speed 10-20-30-20-10 m"),
        ("resistance 1, 2, 3, 2, 1 min", "resistance 1-2-3-2-1 min"),
        (
            "speed 10 m, 20 m, 30 m, walk back",
            "speed 10-20-30 m, rest walk back",
        ),
        ("resistance 6 x 1m30s", "resistance 6 x 90 s"),
        ("resistance 6 x 1 1/2 min", "resistance 6 x 90 s"),
        ("resistance 6 x half a minute", "resistance 6 x 30 s"),
        ("resistance 2 miles", "resistance 1 x 3520 yd"),
        ("game 4vs4+2, 3 x 5 min", "game \"4v4+2\", 3 x 5 min"),
        ("game 4x4, 3 x 5 min", "game \"4v4\", 3 x 5 min"),
        (
            "resistance 6 x 30 s, rest = work",
            "resistance 6 x 30 s, rest 30 s",
        ),
        (
            "resistance 6 x 30 s, 1:1 rest",
            "resistance 6 x 30 s, rest 30 s",
        ),
        (
            "passing 2x5min, 1min between",
            "technical \"passing\", 2 x 5 min, rest 60 s",
        ),
        (
            "11-a-side 2 x 30 min, 10 min half-time",
            "game \"11-a-side\", 2 x 30 min, rest 10 min",
        ),
        (
            "SSG 4v4 6 x 2 min, 1 min",
            "game \"SSG 4v4\", 6 x 2 min, rest 60 s",
        ),
        ("resistance 8 x 30s/30s", "resistance 8 x 30 s, rest 30 s"),
        (
            "warm up: 10 min jog + stretches",
            "warm-up \"jog\", 10 min  # stretches",
        ),
    ]);
    assert_eq!(
        offered("speed 5 or 6 x 30 m"),
        ["speed 5 x 30 m", "speed 6 x 30 m"]
    );
    assert_eq!(
        offered("6 flying 20s"),
        ["speed \"flying\", 6 x 20 m", "speed \"flying\", 6 x 20 s"]
    );
    assert_eq!(offered("resistance 6 x 200 m, rest = work").len(), 1);
    assert_eq!(
        offered("work 40 s, rest 20 s, 6 rounds")[0],
        "resistance 6 x 40 s, rest 20 s"
    );
    assert_eq!(
        offered("2 sets of 10 seconds on 20 seconds rest 8 times, 2 min between sets")[0],
        "resistance 2 x 8 x 10 s, rest 20 s, 2 min between sets"
    );
    assert_eq!(offered("3 x 8 each leg")[0], "gym 3 x 8 reps each leg");
}

#[test]
fn two_numbers_with_a_slash_are_offered_as_work_and_rest() {
    for (written, line) in [
        ("30/30 x 10", "resistance 10 x 30 s, rest 30 s"),
        ("resistance 8 x 30/30", "resistance 8 x 30 s, rest 30 s"),
        ("8 mins of 15/15", "resistance 16 x 15 s, rest 15 s"),
        ("15/15 x 8 mins", "resistance 16 x 15 s, rest 15 s"),
        (
            "2 x 10 x 15/15",
            "resistance 2 x 10 x 15 s, rest 15 s between reps",
        ),
    ] {
        assert_eq!(offered(written), [line], "{written}");
    }
    // Beside a length they are a range, or reps that differ.
    assert_eq!(
        offered("speed 8 x 10/20 m"),
        ["speed 8 x 10 m", "speed 8 x 20 m"]
    );
}

#[test]
fn a_mistake_stands_at_its_cause() {
    for (text, at) in [
        ("5 x 30m sprints, rest foo", "foo"),
        ("6 sprints of 20 m, blah blah 5", "blah blah"),
        ("resistance 6 x 12 s, rest 2-3 min", "2-3"),
        ("resistance 8 x 30/30", "30/30"),
        ("speed 5 x 30 m, walk bak", "walk bak"),
    ] {
        let mistakes = plan::parse(text).unwrap_err();
        assert_eq!(mistakes.len(), 1, "{text}: {mistakes:#?}");
        assert_eq!(&text[mistakes[0].span.clone()], at, "{text}");
    }
    let mistakes = plan::parse("resistence 6 x 12 s, rest 25").unwrap_err();
    assert_eq!(
        mistakes.last().unwrap().lines,
        ["resistance 6 x 12 s, rest 25 s"]
    );
    assert!(mistakes[0].expected.as_ref().unwrap().contains("gym"));
    // Rounds with their list indented, up to what is no part of them.
    let text = "3 rounds of\nspeed 5 x 40 m, walk back\ngame 5 min\ncool-down 5 min";
    let ready = &offered(text)[0];
    assert_eq!(
        ready,
        "3 rounds of\n  speed 5 x 40 m, rest walk back\n  game 5 min"
    );
}

#[test]
fn what_stands_behind_a_date_is_kept_with_it() {
    let reading = Reading {
        today: Some(jiff::civil::date(2026, 5, 20)),
        day_first: None,
    };
    for (text, tidy) in [
        ("Mon 18/05 MD-2", "date: 2026-05-18  # MD-2"),
        (
            "Sat 16 May - winger work",
            "date: 2026-05-16  # winger work",
        ),
        ("16/5/26", "date: 2026-05-16"),
        ("Tue 12/05", "date: 2026-05-12"),
    ] {
        let text = format!("{text}\nspeed 5 x 40 m\n");
        let (_, read_as) =
            plan::read_with(&text, reading).unwrap_or_else(|m| panic!("{text}: {m:#?}"));
        assert_eq!(read_as[0].tidy.as_deref(), Some(tidy), "{text}");
        assert_eq!(
            plan::tidy_with(&text, reading),
            Ok(format!("{tidy}\nspeed 5 x 40 m\n"))
        );
    }
    let read = |text: &str| plan::read_with(&format!("{text}\nspeed 5 x 40 m\n"), reading);
    // A day without its year is one where the next such day is far away.
    for text in ["12th May", "May 12th", "the 12th of May", "date: 12th May"] {
        let (plan, _) = read(text).unwrap_or_else(|m| panic!("{text}: {m:#?}"));
        assert_eq!(
            plan.header.date,
            Some(jiff::civil::date(2026, 5, 12)),
            "{text}"
        );
    }
    assert_eq!(
        read("16 Nov - winger work").unwrap_err()[0].lines,
        ["date: 2026-11-16", "date: 2025-11-16"]
    );
}

#[test]
fn habits_of_different_players_are_read() {
    for (text, tidy) in [
        (
            "intervals 4 x 1,5 km",
            "resistance \"intervals\", 4 x 1500 m",
        ),
        (
            "1 min hard, 1 min easy x 10",
            "resistance 10 x 60 s, rest 60 s",
        ),
        (
            "1 min hard 1 min easy x 10",
            "resistance 10 x 60 s, rest 60 s",
        ),
        (
            "HIIT: 15s on/15s off x 12, 2 sets, 3 min between",
            "resistance \"HIIT\", 2 x 12 x 15 s, rest 15 s, 3 min between sets",
        ),
        (
            "sprints 30 sec flat out, 4 mins rest x 6",
            "speed \"sprints\", 6 x 30 s, flat out, rest 4 min",
        ),
        ("11v11 45 mins each half", "game \"11v11\", 2 x 45 min"),
        (
            "scatti 4 x 30 m, recupero 1 min",
            "speed \"scatti\", 4 x 30 m, rest 60 s",
        ),
        ("accel 10m x 8", "speed \"accel\", 8 x 10 m"),
        ("30 s sprint 30 s walk x 6", "speed 6 x 30 s, rest 30 s"),
        (
            "Shuttle runs - 6 lots of 20 yards, 30 secs rest between each",
            "strength \"Shuttle runs\", 6 x 20 yd, rest 30 s",
        ),
        (
            "4x1000m w/ 2min jog recovery",
            "resistance 4 x 1000 m, rest 2 min",
        ),
        ("1 km x 3, 3 min rest", "resistance 3 x 1000 m, rest 3 min"),
        (
            "sprints 6x30m @95% r=30s",
            "speed \"sprints\", 6 x 30 m at 95%, rest 30 s",
        ),
        (
            "sprints 5x(6x30m), 30s r, 3min R",
            "speed \"sprints\", 5 x 6 x 30 m, rest 30 s, 3 min between sets",
        ),
        ("2 halves of 20 mins", "game \"halves\", 2 x 20 min"),
        ("match 2 x 45 min", "game \"match\", 2 x 45 min"),
        ("Kick about 20 mins", "game \"kickabout\", 20 min"),
        (
            "8 hill sprints 15 secs walk back down",
            "speed \"hill sprints\", 8 x 15 s, rest walk back",
        ),
        ("Gassers: 4 x 50 m", "strength \"Gassers\", 4 x 50 m"),
        (
            "Scatti 10 x 20 m rec 40\"",
            "speed \"Scatti\", 10 x 20 m, rest 40 s",
        ),
        ("riscaldamento 15 min", "warm-up 15 min"),
        (
            "Torello 5 contro 2, 10 min",
            "technical \"Torello 5 v 2\", 10 min",
        ),
    ] {
        means(text, tidy);
    }
}

#[test]
fn habits_that_can_mean_two_things_are_asked_about() {
    for (text, lines) in [
        (
            "sprints 6 x 20 m, 1 min rest x 3 sets",
            &[
                "speed \"sprints\", 3 x 6 x 20 m, 60 s between sets",
                "speed \"sprints\", 3 x 6 x 20 m, rest 60 s between reps",
            ][..],
        ),
        (
            "6 x 20 m 1 min rest x 3 sets",
            &[
                "speed 3 x 6 x 20 m, 60 s between sets",
                "speed 3 x 6 x 20 m, rest 60 s between reps",
                "resistance 3 x 6 x 20 m, 60 s between sets",
            ],
        ),
        (
            "sprints 3 x (5 x 20m) 15s/2min",
            &["speed \"sprints\", 3 x 5 x 20 m, rest 15 s, 2 min between sets"],
        ),
        (
            "800 m, easy",
            &[
                "resistance 1 x 800 m, easy",
                "warm-up 1 x 800 m, easy",
                "cool-down 1 x 800 m, easy",
            ],
        ),
        (
            "game 4v4, 4 x",
            &[
                "game \"4v4\", 4 x 4 min",
                "game \"4v4\", 4 x 5 min",
                "game \"4v4\", 4 x 10 min",
            ],
        ),
        (
            "4v4 4 x",
            &[
                "game \"4v4\", 4 x 4 min",
                "game \"4v4\", 4 x 5 min",
                "game \"4v4\", 4 x 10 min",
            ],
        ),
        (
            "intervals 400s x 4, 90 sec rest",
            &[
                "resistance \"intervals\", 4 x 400 m, rest 90 s",
                "resistance \"intervals\", 4 x 6:40, rest 90 s",
            ],
        ),
        (
            "intervals 20 on 10 off x 8",
            &["resistance \"intervals\", 8 x 20 s, rest 10 s"],
        ),
    ] {
        assert_eq!(offered(text), lines, "{text}");
    }
}

/// How a rest is taken is kept as it was written, wherever it stands.
#[test]
fn how_a_rest_is_taken_is_kept_beside_it() {
    listed(&[
        (
            "resistance 4 x 4 min, 3 min jog between",
            "resistance 4 x 4 min, rest 3 min  # jog",
        ),
        (
            "resistance 3 x 4 x 30 s, rest 30 s, 3 min easy jog between sets",
            "resistance 3 x 4 x 30 s, rest 30 s, 3 min between sets  # easy jog",
        ),
        (
            "resistance 4 x 4 min, 2 min jog recovery",
            "resistance 4 x 4 min, rest 2 min  # jog",
        ),
        (
            "resistance 4 x 4 min, rest 2 min standing",
            "resistance 4 x 4 min, rest 2 min  # standing",
        ),
        (
            "sprints 6 x 30 m, walk 30 s between",
            "speed \"sprints\", 6 x 30 m, rest 30 s  # walk",
        ),
        (
            "resistance 8 x 30 s, 30 s easy",
            "resistance 8 x 30 s, rest 30 s  # easy",
        ),
        (
            "speed 6 x 30 m, full rest 2 min",
            "speed 6 x 30 m, rest 2 min  # full",
        ),
        (
            "speed 5 x 20 m, easy jog back",
            "speed 5 x 20 m, rest jog back  # easy",
        ),
        (
            "resistance 6 x 200 m, 200 m jog recovery",
            "resistance 6 x 200 m, rest jog back  # jog 200 m recovery",
        ),
        (
            "speed 5 x 20 m, every 30 s walk back",
            "speed 5 x 20 m, every 30 s  # walk back",
        ),
        (
            "speed 5 x 20 m, then 3 min stretching",
            "speed 5 x 20 m, then 3 min  # stretching",
        ),
        (
            "strength 4 x 10 m there and back, rest at least 30 s",
            "strength 4 x 10 m there and back, rest 30 s  # at least",
        ),
        (
            "game 4v4 3 x 5 min, 2 min active recovery between games",
            "game \"4v4\", 3 x 5 min, rest 2 min  # active",
        ),
        (
            "4v4 4 x 4 min w/ 2 min passive rest",
            "game \"4v4\", 4 x 4 min, rest 2 min  # passive",
        ),
        (
            "game 3 x 5 min no goalkeepers, 2 min drinks break",
            "game 3 x 5 min, rest 2 min  # no goalkeepers; drinks",
        ),
        (
            "repeated sprints 2 x 6 x 25 m, rest 20 s jog, 4 min passive between sets",
            "speed \"repeated sprints\", 2 x 6 x 25 m, rest 20 s, 4 min between sets  # jog; passive",
        ),
        (
            "speed 6 x 30 m standing start, rest 90 s",
            "speed \"standing start\", 6 x 30 m, rest 90 s",
        ),
        (
            "speed 6 x 30 m from lying, rest 90 s",
            "speed \"from lying\", 6 x 30 m, rest 90 s",
        ),
    ]);
}

#[test]
fn a_rest_on_a_line_of_its_own_keeps_its_words_and_one_between_sets_has_a_length() {
    means(
        "resistance 10 x 100 m, 30 s rest each",
        "resistance 10 x 100 m, rest 30 s",
    );
    // On a line of its own, of a block and of rounds.
    for (below, kept) in [
        (
            "resistance 3 x 4 x 30 s\n3 min easy jog between sets\n",
            "easy jog",
        ),
        (
            "3 rounds of\n  resistance 30 s\nwalk 2 min between rounds\n",
            "walk",
        ),
        (
            "3 rounds of, 2 min jog between rounds\n  resistance 30 s\n",
            "jog",
        ),
    ] {
        let (_, read_as) = plan::read_with(below, Reading::default())
            .unwrap_or_else(|m| panic!("{below}: {m:#?}"));
        let tidy = read_as[0].tidy.as_deref().unwrap_or_default();
        assert!(tidy.ends_with(&format!("  # {kept}")), "{tidy}");
    }
    assert_eq!(
        offered("resistance 3 x 30 s\nrest 2 min standing\n"),
        [
            "resistance 3 x 30 s, rest 2 min  # standing",
            "resistance 3 x 30 s, then 2 min  # standing",
        ]
    );
    // A rest between sets has a length.
    assert_eq!(
        offered("speed 3 x 6 x 30 m, walk back between sets"),
        ["speed 3 x 6 x 30 m, rest walk back"]
    );
    assert_eq!(
        offered("speed 5 x 20 m, then jog 3 min"),
        ["speed 5 x 20 m, then 3 min  # jog"]
    );
}

#[test]
fn work_for_a_time_ways_and_rows_of_moves_are_counted() {
    listed(&[
        (
            "resistance 2 min on 1 min off for 20 mins",
            "resistance 7 x 2 min, rest 60 s",
        ),
        (
            "resistance 10 min of 30 s on, 30 s off",
            "resistance 10 x 30 s, rest 30 s",
        ),
        (
            "Sprint 20m, jog 20m, walk 20m x 10",
            "speed \"Sprint\", 10 x 20 m, rest walk back  # jog 20 m, walk 20 m",
        ),
        (
            "sprint 40 m, walk 40 m, repeat 8 times",
            "speed \"sprint\", 8 x 40 m, rest walk back  # walk 40 m",
        ),
        ("4x1000m with 2 min", "resistance 4 x 1000 m, rest 2 min"),
    ]);
    assert_eq!(
        offered("resistance 2 min on, 1 min off for 10 min"),
        ["resistance 3 x 2 min, rest 60 s"]
    );
    assert_eq!(
        offered("Sprints 5 x 20, 5 x 30, 5 x 40"),
        ["speed \"Sprints\", 5 x 20 m\nspeed \"Sprints\", 5 x 30 m\nspeed \"Sprints\", 5 x 40 m"]
    );
    assert_eq!(
        offered("5-10-15 shuttles x 5"),
        [
            "strength \"5-10-15 shuttles\", 5 x 60 m",
            "strength \"5-10-15 shuttles\", 5 x 5-10-15 m there and back",
        ]
    );
    assert_eq!(
        offered("5-10-5 shuttles x 6")[0],
        "strength \"5-10-5 shuttles\", 6 x 20 m"
    );
    assert_eq!(
        offered("run the width of the pitch x 10")[0],
        "resistance \"run the width of the pitch\", 10 x 68 m"
    );
    assert_eq!(
        offered("sprint pitch length x 6, walk back"),
        ["speed \"sprint pitch length\", 6 x 105 m, rest walk back"]
    );
    // The pitch of the plan leaves nothing open.
    assert_eq!(
        only_block("pitch: 100 x 64 m\nsprint the width of the pitch x 10, walk back").to_string(),
        "speed \"sprint the width of the pitch\", 10 x 64 m, rest walk back"
    );
}

#[test]
fn numbers_that_are_no_amounts_are_words() {
    listed(&[
        (
            "sprint from goal line to 18 yard box x 6",
            "speed \"sprint from goal line to 18 yard box\", 1 x 6 reps",
        ),
        (
            "sprints to the 18 yard box and back x 8, rest 30 s",
            "speed \"sprints to the 18 yard box\", 1 x 8 reps there and back, rest 30 s",
        ),
        (
            "3 point start sprints 6 x 20 m",
            "speed \"3 point start sprints\", 6 x 20 m",
        ),
        (
            "two-touch rondo 3 x 4 min",
            "technical \"two-touch rondo\", 3 x 4 min",
        ),
        (
            "SSG 4v4 (30x20m), 4 x 3 min, 90 s rest",
            "game \"SSG 4v4 30 x 20 m\", 4 x 3 min, rest 90 s",
        ),
        (
            "passing in a 10x10 square, 8 min",
            "technical \"passing in a 10 x 10 square\", 8 min",
        ),
        (
            "game 3 teams of 5, 6 x 4 min",
            "game \"3 teams of 5\", 6 x 4 min",
        ),
        (
            "week 3 day 2 speed 6 x 30 m",
            "speed \"week 3 day 2\", 6 x 30 m",
        ),
        ("U15s game 2 x 20 min", "game \"U15s\", 2 x 20 min"),
        (
            "crossing and finishing 20 min (MD-2)",
            "technical \"crossing and finishing\", 20 min  # MD-2",
        ),
        (
            "RPE 7 intervals 4 x 4 min, rest 3 min",
            "resistance \"intervals\", 4 x 4 min, rest 3 min  # RPE 7",
        ),
        (
            "8x200m in 35 sec, rest 90 sec",
            "resistance 8 x 200 m, rest 90 s  # in 35 sec",
        ),
        (
            "5 x 1km @ 4:00/km, 2 min rest",
            "resistance 5 x 1000 m, rest 2 min  # at 4:00/km",
        ),
        (
            "deadlift 5x5 @ 100kg",
            "gym \"deadlift\", 5 x 5 reps  # at 100 kg",
        ),
    ]);
    // Eight runs of 20 m are no pitch, and ten of 10 m may be run.
    means(
        "1v1 8 x 20 m, rest 60 s",
        "game \"1v1\", 8 x 20 m, rest 60 s",
    );
    assert_eq!(only_block("speed 10 x 10 m").reps(), 10);
}

#[test]
fn a_time_beside_rest_is_the_rest_and_the_other_the_work() {
    // It was read as eight reps of 50 s with 10 s of rest.
    means("speed 10 s rest 50 s x 8", "speed 8 x 10 s, rest 50 s");
    means(
        "resistance 30 s rest, 8 x 10 s",
        "resistance 8 x 10 s, rest 30 s",
    );
    listed(&[
        (
            "sprint 10s rest 50s x 8",
            "speed \"sprint\", 8 x 10 s, rest 50 s",
        ),
        (
            "jog 1 min sprint 10 s x 8",
            "speed \"sprint\", 8 x 10 s, rest 60 s  # jog",
        ),
        (
            "sprint 40 m jog 60 m x 6",
            "speed \"sprint\", 6 x 40 m, rest jog back  # jog 60 m",
        ),
    ]);
    means(
        "speed 3x(3x30m) r2' R5'",
        "speed 3 x 3 x 30 m, rest 2 min, 5 min between sets",
    );
    listed(&[(
        "10 hill sprints 30 m walk down",
        "speed \"hill sprints\", 10 x 30 m, rest walk back",
    )]);
    // So many press-ups do not take a minute each.
    assert_eq!(
        offered("3 x 10 press ups, 60s"),
        ["gym \"press ups\", 3 x 10 reps, 60 s between sets"]
    );
    assert_eq!(
        offered("speed 5 x 30 m, rest 90 s then jog back"),
        ["speed 5 x 30 m, rest 90 s", "speed 5 x 30 m, rest jog back"]
    );
    assert_eq!(
        offered("speed 5 x 30 m\nrest 90 s then jog back"),
        ["speed 5 x 30 m, rest 90 s", "speed 5 x 30 m, rest jog back"]
    );
    assert_eq!(
        offered("10 x 20s (1:3)")[0],
        "resistance 10 x 20 s, rest 60 s"
    );
    assert_eq!(
        offered("10 x 1 min off 1 min")[0],
        "resistance 10 x 60 s, rest 60 s"
    );
    assert_eq!(
        offered("3 x (8 x 30s), r 30s, R 3min")[0],
        "resistance 3 x 8 x 30 s, rest 30 s, 3 min between sets"
    );
}

#[test]
fn a_recovery_run_is_work_and_a_rest_needs_a_block() {
    assert_eq!(
        offered("recovery run 20 min"),
        [
            "resistance \"recovery run\", 20 min",
            "cool-down \"recovery run\", 20 min"
        ]
    );
    // It was the rest of the block above.
    assert_eq!(offered("resistance 6 x 30 s\nrecovery run 20 min").len(), 2);
    let mistakes = plan::parse("rest 3 min").unwrap_err();
    assert_eq!(mistakes[0].message, "no block above has room for this rest");
}

#[test]
fn several_things_on_a_line_are_offered_a_line_each() {
    assert_eq!(
        offered("cool down jog 5 min walk 5 min"),
        [
            "cool-down \"jog\", 5 min\ncool-down \"walk\", 5 min",
            "cool-down \"jog 5 min walk 5 min\", 10 min",
        ]
    );
    assert_eq!(
        offered("gym 3 x 12 squats, 12 lunges each leg"),
        [
            "gym \"squats\", 3 x 12 reps\ngym \"lunges\", 1 x 12 reps each leg",
            "3 rounds of\n  gym \"squats\", 1 x 12 reps\n  gym \"lunges\", 1 x 12 reps each leg",
        ]
    );
    assert_eq!(
        offered("gym: squats 3x8 @ 80%, rdl 3x8, lunges 3x10 e/s"),
        [
            "gym \"squats\", 3 x 8 reps  # at 80%\ngym \"rdl\", 3 x 8 reps\ngym \"lunges\", 3 x 10 reps each side"
        ]
    );
    assert_eq!(
        offered("speed 4x30m rest 2min then 2x60m rest 3min"),
        ["speed 4 x 30 m, rest 2 min\nspeed 2 x 60 m, rest 3 min"]
    );
    assert_eq!(
        offered("possession 10 min, finishing 15 min, game 20 min"),
        ["game \"possession\", 10 min\ntechnical \"finishing\", 15 min\ngame 20 min"]
    );
    assert_eq!(
        offered("high knees 2 x 20 m, butt kicks 2 x 20 m"),
        ["warm-up \"high knees\", 2 x 20 m\nwarm-up \"butt kicks\", 2 x 20 m"]
    );
    // One rep of several moves is no two things.
    assert!(
        plan::parse("20 m sprint + 10 s hold x 5")
            .unwrap_err()
            .iter()
            .all(|mistake| mistake.lines.is_empty())
    );
}

#[test]
fn slips_and_brackets_are_offered_as_they_were_probably_meant() {
    for (written, meant) in [
        ("sprnits 6 x 30m", "speed \"sprints\", 6 x 30 m"),
        ("warm up 10 mnis", "warm-up 10 min"),
        (
            "8 x 20 m shuttles (40 m total), rest 40 s",
            "strength \"shuttles\", 8 x 20 m, rest 40 s  # 40 m total",
        ),
    ] {
        assert_eq!(offered(written), [meant], "{written}");
    }
    // Two slips are two mistakes, and one line.
    let mistakes = plan::parse("strenght 5 x 10 m there & bak").unwrap_err();
    assert_eq!(
        mistakes.last().unwrap().lines,
        ["strength 5 x 10 m there and back"]
    );
}

#[test]
fn counts_sides_and_ranges_are_read_in_more_orders() {
    listed(&[
        (
            "lateral shuffles 5m x 10 each way",
            "strength \"lateral shuffles\", 10 x 5 m each side",
        ),
        (
            "curved sprints 4 each side 25m",
            "speed \"curved sprints\", 4 x 25 m each side",
        ),
        (
            "volleys 3 sets of 10 per foot",
            "technical \"volleys\", 3 x 10 reps each side",
        ),
        (
            "calf raises 3x15 each",
            "gym \"calf raises\", 3 x 15 reps each side",
        ),
        (
            "acceleration 10m x 8 from 3 point start, 60s rest",
            "speed \"acceleration\", 8 x 10 m, rest 60 s  # from 3 point start",
        ),
        (
            "sprint 20 m then back x 10",
            "speed \"sprint\", 10 x 20 m there and back",
        ),
        ("friendly 90 mins", "game \"friendly\", 90 min"),
        (
            "row 500m x 4, rest 2 min",
            "gym \"row\", 4 x 500 m, rest 2 min",
        ),
    ]);
    assert_eq!(
        offered("reaction starts 8 x 5-10m, 45-60s rest")[..2],
        [
            "speed \"reaction starts\", 8 x 5 m, rest 45 s",
            "speed \"reaction starts\", 8 x 10 m, rest 60 s",
        ]
    );
    assert_eq!(
        offered("2 sets - 8 reps - 20m - 30s rest - 3mins between sets")[0],
        "speed 2 x 8 x 20 m, rest 30 s, 3 min between sets"
    );
    assert_eq!(
        offered("sets 3, reps 6, distance 20m, rest 30s")[1],
        "speed 3 x 6 x 20 m, rest 30 s between reps"
    );
    assert_eq!(
        offered("1 x 800, 2 x 400, 4 x 200")[0],
        "resistance 1 x 800 m\nresistance 2 x 400 m\nresistance 4 x 200 m"
    );
}
