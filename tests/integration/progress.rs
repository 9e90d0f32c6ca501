//! Weeks, trends, bests and squads of a made season.

use jiff::civil::{Date, date};
use repledger::diary::Activity;
use repledger::figure;
use repledger::measured::Measured;
use repledger::progress::{
    IsoWeek, Outcome, Quantity, Sort, Totals, Verdict, best, remarks, squad, trend, week,
};
use repledger::report;
use serde_json::Value;

use crate::support::outcome::Outcome as Done;
use crate::support::schema;
use crate::support::season::{Season, recorded, season};

const TODAY: Date = date(2026, 5, 21);

fn this_week() -> IsoWeek {
    IsoWeek::of(TODAY)
}

#[track_caller]
fn fits(text: &str) {
    for line in text.lines() {
        assert!(
            unicode_width::UnicodeWidthStr::width(line) <= 80,
            "too wide: {line}"
        );
    }
    assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
}

#[test]
fn a_running_week_says_where_today_stands() {
    let season = season();
    let text = report::week::text::render(&week(&season.log(), "Ana", this_week(), TODAY), true);
    fits(&text);
    insta::assert_snapshot!("week-running", text);
}

#[test]
fn a_week_that_is_over_is_summed_up() {
    let season = season();
    let log = season.log();
    let past = IsoWeek {
        year: 2026,
        week: 20,
    };
    let text = report::week::text::render(&week(&log, "Ana", past, TODAY), true);
    fits(&text);
    insta::assert_snapshot!("week-over", text);
}

#[test]
fn weeks_after_each_other_mark_clear_changes() {
    let season = season();
    let text = report::weeks::text::render(&trend(&season.log(), "Ana", 12, TODAY));
    fits(&text);
    insta::assert_snapshot!("weeks", text);
}

#[test]
fn bests_tell_real_gains() {
    let season = season();
    let text = report::best::text::render(&[best(&season.log(), "Ana", TODAY)]);
    fits(&text);
    insta::assert_snapshot!("best", text);
}

#[test]
fn bests_of_several_begin_with_a_line_each_and_are_explained_once() {
    let season = season();
    let log = season.log();
    let one = best(&log, "Ana", TODAY);
    let text = report::best::text::render(&[one.clone(), one]);
    fits(&text);
    assert!(text.starts_with("athlete                   best top speed, m/s\nAna "));
    assert_eq!(text.matches("The best is the speed whose").count(), 1);
}

#[test]
fn a_squad_stands_in_the_order_asked_for() {
    let season = season();
    let last = IsoWeek {
        year: 2026,
        week: 20,
    };
    let from = IsoWeek {
        year: 2026,
        week: 10,
    };
    let rows = squad(&season.log(), (from, last), TODAY, Sort::Distance);
    let text = report::squad::text::render(&rows, (from, last), TODAY);
    fits(&text);
    insta::assert_snapshot!("squad", text);
}

#[test]
fn what_is_not_known_is_never_nought() {
    let mut season = Season::default();
    season.note("", TODAY, Activity::Team, 90.0, None);
    let log = season.log();
    let found = week(&log, "", this_week(), TODAY);
    assert_eq!(found.totals.sessions, 1);
    assert_eq!(found.totals.duration_s, 5400.0);
    for unknown in [
        found.totals.load,
        found.totals.high_speed_m,
        found.totals.sprint_m,
    ] {
        assert_eq!(unknown, None);
    }
    assert_eq!(
        (found.totals.near_maximal, found.totals.counts),
        (None, None)
    );
    let text = report::week::text::render(&found, true);
    fits(&text);
    let row = text
        .lines()
        .find(|line| line.contains("team training"))
        .unwrap_or_default();
    assert_eq!(
        row.split_whitespace().skip(5).collect::<Vec<_>>().join(" "),
        "90 – – – – – –",
        "{text}"
    );
}

#[test]
fn an_empty_diary_has_words_for_it() {
    let season = Season::default();
    let log = season.log();
    for text in [
        report::week::text::render(&week(&log, "Ana", this_week(), TODAY), true),
        report::weeks::text::render(&trend(&log, "Ana", 12, TODAY)),
        report::best::text::render(&[best(&log, "Ana", TODAY)]),
        report::squad::text::render(
            &squad(&log, (this_week(), this_week()), TODAY, Sort::Name),
            (this_week(), this_week()),
            TODAY,
        ),
    ] {
        assert!(!text.trim().is_empty());
        fits(&text);
    }
}

#[test]
fn foster_s_week_comes_out_of_seven_noted_days() {
    // Worked out from the definition of Foster (1998) with the sample deviation: sum 2390, monotony 1.1470, strain 2741.23.
    let mut season = Season::default();
    for (day, load) in (11_i8..).zip([480.0, 300.0, 0.0, 560.0, 240.0, 0.0, 810.0]) {
        if load > 0.0 {
            season.note(
                "Ana",
                date(2026, 5, day),
                Activity::Training,
                load / 5.0,
                Some(5.0),
            );
        }
    }
    let log = season.log();
    let past = IsoWeek {
        year: 2026,
        week: 20,
    };
    let found = week(&log, "Ana", past, TODAY).monotony.expect("all rated");
    assert!((found.sum - 2390.0).abs() < 1e-9);
    assert!((found.monotony.unwrap_or(0.0) - 1.1470).abs() < 5e-5);
    assert!((found.strain.unwrap_or(0.0) - 2741.23).abs() < 5e-3);
    // Before the week is over its days are not all known.
    assert_eq!(week(&log, "Ana", past, date(2026, 5, 17)).monotony, None);
}

#[test]
fn one_session_without_a_rating_leaves_monotony_open_and_load_a_least() {
    let mut season = Season::default();
    season.note(
        "Ana",
        date(2026, 5, 11),
        Activity::Training,
        60.0,
        Some(5.0),
    );
    season.note("Ana", date(2026, 5, 12), Activity::Training, 60.0, None);
    let log = season.log();
    let found = week(
        &log,
        "Ana",
        IsoWeek {
            year: 2026,
            week: 20,
        },
        TODAY,
    );
    assert_eq!((found.monotony, found.totals.load), (None, Some(300.0)));
    assert!(!found.totals.all_rated());
    assert!(report::week::text::render(&found, false).contains("1 session without RPE"));
}

#[test]
fn a_plan_is_answered_by_a_session_of_its_day_with_its_title_first() {
    let mut season = Season::default();
    let day = date(2026, 5, 19);
    for title in ["Morning", "Evening"] {
        season.plan("Ana", day, title, "speed 5 x 40 m\n");
    }
    let entry = season.note("Ana", day, Activity::Training, 40.0, None);
    entry.title = Some("Evening".to_owned());
    entry.recorded = Some(recorded(4000.0, [300.0, 50.0], (8.0, 0.1), (5, 5)));
    let log = season.log();
    let found = week(&log, "Ana", this_week(), TODAY);
    let done: Vec<bool> = found.days[1].planned.iter().map(|plan| plan.done).collect();
    assert_eq!(done, [false, true]);
    assert_eq!(found.open().count(), 1);
}

#[test]
fn distances_add_with_independent_errors_and_rest_is_no_session() {
    let mut season = Season::default();
    for day in [18, 19] {
        season
            .note("Ana", date(2026, 5, day), Activity::Training, 40.0, None)
            .recorded = Some(recorded(4000.0, [300.0, 50.0], (8.0, 0.1), (5, 5)));
    }
    season.note("Ana", date(2026, 5, 20), Activity::Rest, 0.0, None);
    let totals = Totals::of(&season.entries, Some(8.0));
    let distance = totals.distance_m.expect("recorded");
    let root = 2.0_f64.sqrt();
    assert_eq!(totals.sessions, 2);
    assert!((distance.low - (8000.0 - 30.0 * root)).abs() < 1e-9);
    assert!((distance.high - (8000.0 + 40.0 * root)).abs() < 1e-9);
    // 8.0 m/s is near-maximal for sure, 6.1 m/s is not.
    assert_eq!(
        (totals.near_maximal, totals.near_maximal_sure),
        (Some(2), Some(2))
    );
}

#[test]
fn a_step_is_clear_only_beyond_intervals_and_scatter() {
    let season = season();
    let log = season.log();
    let found = trend(&log, "Ana", 12, TODAY);
    // The tenth week brought 2500 m more than weeks that scatter by a few hundred.
    let jump = found.weeks[9].step(Quantity::Distance).expect("compared");
    assert_eq!(jump.verdict, Verdict::Up, "{jump:?}");
    assert!(jump.difference.low > 2000.0);
    for (at, row) in found.weeks.iter().enumerate().filter(|(at, _)| *at != 9) {
        if let Some(step) = row.step(Quantity::Distance) {
            assert_eq!(step.verdict, Verdict::NotClear, "week {at}: {step:?}");
        }
    }
    // The running week is compared with none.
    let last = found.weeks.last().expect("weeks");
    assert!(last.running && last.steps.is_empty());
}

#[test]
fn few_weeks_cannot_say_what_is_clear() {
    let season = season();
    let log = season.log();
    let early = date(2026, 4, 1);
    let found = trend(&log, "Ana", 12, early);
    let steps: Vec<_> = found.weeks.iter().flat_map(|row| &row.steps).collect();
    assert!(!steps.is_empty());
    assert!(
        steps
            .iter()
            .all(|step| step.verdict == Verdict::TooFewWeeks)
    );
    // The week of the first of April runs; before it lie four.
    assert_eq!(found.weeks.len(), 5);
}

#[test]
fn weeks_without_a_word_stand_between_the_others() {
    let mut season = Season::default();
    season.note("Ana", date(2026, 4, 28), Activity::Team, 90.0, Some(4.0));
    season.note("Ana", TODAY, Activity::Team, 90.0, Some(4.0));
    // What lies ahead of today is not looked at.
    season.note("Ana", date(2026, 6, 1), Activity::Team, 90.0, Some(4.0));
    let log = season.log();
    let found = trend(&log, "Ana", 12, TODAY);
    let sessions: Vec<usize> = found.weeks.iter().map(|row| row.totals.sessions).collect();
    assert_eq!(sessions, [1, 0, 0, 1]);
    assert_eq!(trend(&log, "Ana", 2, TODAY).weeks.len(), 2);
    assert_eq!(trend(&log, "Nobody", 12, TODAY).weeks.len(), 0);
}

/// With the scatter's own noise and nothing else, steps pass as clear about as rarely as is promised.
#[test]
fn scatter_alone_seldom_passes_as_clear() {
    let mut state = 7_u64;
    // Sums of twelve uniform numbers are near enough to a normal distribution.
    let mut normal = || {
        (0..12)
            .map(|_| {
                state = state
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add(1_442_695_040_888_963_407);
                (state >> 11) as f64 / (1_u64 << 53) as f64
            })
            .sum::<f64>()
            - 6.0
    };
    let (mut clear, mut all) = (0, 0);
    for athlete in 0..40 {
        let mut season = Season::default();
        for week in 0..20_i64 {
            let day = date(2026, 1, 5) + jiff::Span::new().days(7 * week);
            let name = format!("athlete {athlete}");
            season
                .note(&name, day, Activity::Training, 60.0, Some(5.0))
                .recorded = Some(recorded(
                20_000.0 + 1500.0 * normal(),
                [400.0, 60.0],
                (8.0, 0.2),
                (5, 5),
            ));
        }
        let log = season.log();
        let name = format!("athlete {athlete}");
        let found = trend(&log, &name, 60, date(2026, 12, 1));
        for step in found
            .weeks
            .iter()
            .filter_map(|row| row.step(Quantity::Distance))
        {
            all += 1;
            clear += usize::from(matches!(step.verdict, Verdict::Up | Verdict::Down));
        }
    }
    let share = f64::from(u32::try_from(clear).unwrap_or(0)) / f64::from(all);
    assert_eq!(all, 40 * 19);
    // 5 % by design; three standard deviations of a share of 760 are 2.4 %, more since neighbours share a week.
    assert!((0.02..0.08).contains(&share), "{share}");
}

#[test]
fn a_real_gain_needs_both_intervals() {
    let season = season();
    let found = best(&season.log(), "Ana", TODAY);
    // Two intervals of +- 0.12 tell 0.17 m/s.
    let gains: Vec<&_> = (found.history.iter())
        .filter(|p| matches!(p.outcome, Outcome::Gain { .. }))
        .collect();
    assert!(!gains.is_empty());
    for gain in gains {
        assert!(
            gain.change
                .is_some_and(|change| change.difference.low > 0.0)
        );
    }
    let smallest = found.smallest_gain_m_s.expect("recordings");
    assert!(
        (smallest - 0.12 * 2.0_f64.sqrt()).abs() < 1e-9,
        "{smallest}"
    );
    let top = found.top_speed_m_s.expect("recordings");
    assert_eq!(top.value, Measured::within(8.5, 8.38, 8.62));
    assert_eq!(top.date, date(2026, 5, 12));
}

#[test]
fn a_match_that_was_played_is_called_by_whom_it_was_against() {
    let mut season = Season::default();
    season.match_on(date(2026, 5, 16), "Rovers");
    season.note("Ana", date(2026, 5, 16), Activity::Match, 90.0, Some(7.0));
    let log = season.log();
    let of = IsoWeek {
        year: 2026,
        week: 20,
    };
    let text = report::week::text::render(&week(&log, "Ana", of, TODAY), false);
    assert!(text.contains("match: Rovers"), "{text}");
}

#[test]
fn big_days_close_to_the_match_draw_remarks_and_a_usual_week_none() {
    let told = |loads: [f64; 6]| -> Vec<String> {
        let mut season = Season::default();
        season.match_on(date(2026, 5, 16), "Rovers");
        for (day, load) in (11_i8..).zip(loads) {
            if load > 0.0 {
                let entry = season.note(
                    "Ana",
                    date(2026, 5, day),
                    Activity::Training,
                    load / 5.0,
                    Some(5.0),
                );
                entry.recorded = Some(recorded(4000.0, [300.0, 50.0], (8.0, 0.1), (5, 5)));
            }
        }
        let log = season.log();
        let found = week(
            &log,
            "Ana",
            IsoWeek {
                year: 2026,
                week: 20,
            },
            TODAY,
        );
        remarks(&found)
            .into_iter()
            .map(|remark| remark.text)
            // Every day of these has a run near top speed; that is remarked on by itself.
            .filter(|text| !text.contains("two days after each other"))
            .collect()
    };
    assert_eq!(
        told([300.0, 500.0, 450.0, 200.0, 150.0, 0.0]),
        Vec::<String>::new()
    );
    assert_eq!(
        told([0.0, 500.0, 450.0, 0.0, 400.0, 0.0]),
        ["MD-1 came to 80 % of the biggest day (load 400 against load 500)"]
    );
    assert_eq!(
        told([0.0, 200.0, 0.0, 600.0, 0.0, 0.0]),
        [
            "MD-2 was the biggest day of the week (load 600)",
            "the two days before the match came to load 600, the days before them to load 200"
        ]
    );
}

#[test]
fn a_week_without_a_fast_run_is_remarked_on() {
    let mut season = season();
    let monday = date(2026, 5, 18);
    season
        .entries
        .retain(|entry| entry.date >= monday || entry.date < date(2026, 5, 11));
    let log = season.log();
    let found = remarks(&week(&log, "Ana", this_week(), TODAY));
    assert!(
        found.iter().any(|r| r
            .text
            .contains("has reached 90 % of the own top speed for 16 days")),
        "{found:?}"
    );
    assert!(
        found
            .iter()
            .all(|r| !r.reason.is_empty() && !r.source.is_empty())
    );
}

#[test]
fn names_are_data() {
    let mut season = Season::default();
    let evil = "Eve\u{1b}[2J\u{202e}\n../../etc";
    season
        .note(evil, TODAY, Activity::Training, 60.0, Some(5.0))
        .title = Some("\u{1b}]0;x\u{7}plan".to_owned());
    let log = season.log();
    for text in [
        report::week::text::render(&week(&log, evil, this_week(), TODAY), false),
        report::weeks::text::render(&trend(&log, evil, 3, TODAY)),
        report::best::text::render(&[best(&log, evil, TODAY)]),
        report::squad::text::render(
            &squad(&log, (this_week(), this_week()), TODAY, Sort::Name),
            (this_week(), this_week()),
            TODAY,
        ),
    ] {
        assert!(
            text.chars().all(|c| c == '\n' || !c.is_control()),
            "{text:?}"
        );
        assert!(!text.contains('\u{202e}'), "{text:?}");
    }
}

#[track_caller]
fn keeps_to(schema: &str, document: &str) -> Done<Value> {
    let schema: Value = serde_json::from_str(schema)?;
    let document: Value = serde_json::from_str(document)?;
    let validator = schema::validator_for(&schema)?;
    let errors: Vec<String> = validator.faults(&document);
    assert!(errors.is_empty(), "{errors:?}");
    Ok(document)
}

#[test]
fn the_json_is_as_the_schemas_say() -> Done {
    let full = season();
    let mut sparse = Season::default();
    sparse.note("Ana", TODAY, Activity::Rest, 0.0, None);
    for season in [full, sparse, Season::default()] {
        let log = season.log();
        let past = IsoWeek {
            year: 2026,
            week: 20,
        };
        let weeks = [
            week(&log, "Ana", past, TODAY),
            week(&log, "Ana", this_week(), TODAY),
        ];
        let document = keeps_to(
            &report::week::json::schema()?,
            &report::week::json::render(&weeks)?,
        )?;
        assert_eq!(document["schema"], report::week::json::NAME);
        assert_eq!(document["athletes"][1]["days"][3]["date"], "2026-05-21");
        let trends = [trend(&log, "Ana", 12, TODAY)];
        let document = keeps_to(
            &report::weeks::json::schema()?,
            &report::weeks::json::render(&trends, TODAY)?,
        )?;
        assert_eq!(document["schema"], report::weeks::json::NAME);
        let document = keeps_to(
            &report::best::json::schema()?,
            &report::best::json::render(&[best(&log, "Ana", TODAY)])?,
        )?;
        assert_eq!(document["schema"], report::best::json::NAME);
    }
    Ok(())
}

#[test]
fn every_field_of_the_schemas_is_described() -> Done {
    fn described(node: &Value, place: &str) {
        if let Some(properties) = node.get("properties").and_then(Value::as_object) {
            for (name, property) in properties {
                let place = format!("{place}/{name}");
                assert!(property.get("description").is_some(), "{place}");
                described(property, &place);
            }
        }
        for inner in ["items", "anyOf", "$defs"] {
            match node.get(inner) {
                Some(Value::Array(nodes)) => nodes.iter().for_each(|node| described(node, place)),
                Some(Value::Object(nodes)) if inner == "$defs" => {
                    nodes.values().for_each(|node| described(node, place));
                }
                Some(node) => described(node, place),
                None => {}
            }
        }
    }
    for schema in [
        report::week::json::schema()?,
        report::weeks::json::schema()?,
        report::best::json::schema()?,
    ] {
        described(&serde_json::from_str(&schema)?, "");
    }
    Ok(())
}

#[test]
fn pictures_say_what_is_seen_with_units_rate_and_uncertainty() -> Done {
    let season = season();
    let log = season.log();
    let svg = figure::weeks(&trend(&log, "Ana", 12, TODAY), figure::Sheet::WIDE)?
        .ok_or("weeks were noted")?;
    for words in [
        "Ana: weeks 2026-W10 to 2026-W21",
        "top speed, m/s",
        "distance recorded, m",
        "10.0 Hz",
        "95 %",
        "+2,250",
        ">W19<",
    ] {
        assert!(svg.contains(words), "{words}");
    }
    let svg = figure::best(&best(&log, "Ana", TODAY))?.ok_or("runs were recorded")?;
    for words in [
        "Ana: best top speed 8.50 m/s, 12 May 2026",
        "10.0 Hz",
        "95 %",
        "within 0.17 m/s of the mark",
        "+0.18",
    ] {
        assert!(svg.contains(words), "{words}");
    }
    Ok(())
}

#[test]
fn pictures_are_absent_where_nothing_is_known_and_hold_awkward_seasons() -> Done {
    let mut season = Season::default();
    assert_eq!(
        figure::weeks(&trend(&season.log(), "Ana", 12, TODAY), figure::Sheet::WIDE)?,
        None
    );
    assert_eq!(figure::best(&best(&season.log(), "Ana", TODAY))?, None);
    // One note without a recording, then one recording on one day.
    season.note("<Ana> & \u{1b}[0m", TODAY, Activity::Team, 90.0, None);
    let svg = figure::weeks(
        &trend(&season.log(), "<Ana> & \u{1b}[0m", 12, TODAY),
        figure::Sheet::WIDE,
    )?
    .ok_or("noted")?;
    assert!(
        svg.contains("not known") && svg.contains("&lt;Ana&gt; &amp; "),
        "{svg}"
    );
    figure::png(&svg, 1.0)?;
    season
        .note("Ben", TODAY, Activity::Training, 50.0, None)
        .recorded = Some(recorded(4000.0, [300.0, 50.0], (8.0, 0.1), (5, 5)));
    let svg = figure::best(&best(&season.log(), "Ben", TODAY))?.ok_or("recorded")?;
    assert!(!svg.contains("NaN") && !svg.contains("inf"), "{svg}");
    figure::png(&svg, 1.0)?;
    Ok(())
}

/// The texts of the remarks on the week of 11 May of one who trains as given: day of May, minutes, RPE, top speed if recorded.
fn remarked(sessions: &[(i8, f64, f64, Option<f64>)], match_day: i8) -> Vec<String> {
    let mut season = Season::default();
    for back in 1..=4 {
        let day = date(2026, 5, 13) - jiff::Span::new().weeks(back);
        season.note("Ana", day, Activity::Team, 60.0, Some(5.0));
    }
    for &(day, minutes, rpe, top) in sessions {
        let entry = season.note(
            "Ana",
            date(2026, 5, day),
            Activity::Training,
            minutes,
            Some(rpe),
        );
        entry.recorded = top.map(|top| recorded(3000.0, [200.0, 20.0], (top, 0.1), (5, 5)));
    }
    season.match_on(date(2026, 5, match_day), "Rovers");
    let log = season.log();
    let of = IsoWeek {
        year: 2026,
        week: 20,
    };
    remarks(&week(&log, "Ana", of, TODAY))
        .into_iter()
        .map(|remark| remark.text)
        .collect()
}

#[test]
fn what_a_coach_would_remark_is_said_and_nothing_where_data_are_missing() {
    let says = |texts: &[String], part: &str| texts.iter().any(|text| text.contains(part));
    // The eve of the match on Saturday, and its own day.
    let eve = remarked(&[(12, 60.0, 5.0, None), (15, 40.0, 8.0, None)], 16);
    assert!(
        says(&eve, "on the day before the match were long or hard") || says(&eve, "MD-1"),
        "{eve:?}"
    );
    let beside = remarked(&[(12, 60.0, 5.0, None), (16, 45.0, 3.0, None)], 16);
    assert!(
        says(&beside, "45 min at an RPE of 3 on the day of the match"),
        "{beside:?}"
    );
    let light = remarked(&[(12, 60.0, 5.0, None), (16, 15.0, 2.0, None)], 16);
    assert!(!says(&light, "long or hard"), "{light:?}");
    // Two days in a row near the own top speed.
    let row = remarked(
        &[(12, 60.0, 5.0, Some(8.4)), (13, 60.0, 5.0, Some(8.3))],
        23,
    );
    assert!(
        says(
            &row,
            "near-maximal runs on two days after each other (1 and 1)"
        ),
        "{row:?}"
    );
    let apart = remarked(
        &[(12, 60.0, 5.0, Some(8.4)), (14, 60.0, 5.0, Some(8.3))],
        23,
    );
    assert!(!says(&apart, "after each other"), "{apart:?}");
    // Four weeks came to 300 each.
    let jump = remarked(&[(12, 60.0, 5.0, None), (13, 60.0, 5.0, None)], 23);
    assert!(
        says(
            &jump,
            "the week came to load 600, the 4 before it to load 300 in the mean and load 300 at the most"
        ),
        "{jump:?}"
    );
    let step = remarked(&[(12, 70.0, 5.0, None)], 23);
    assert!(!says(&step, "before it"), "{step:?}");
    // Nobody recorded anything: nothing is said of speed.
    assert!(!says(&jump, "top speed"), "{jump:?}");
}
