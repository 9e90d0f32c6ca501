//! Settings: precedence, named sets, messages, and the file that is printed and read back.

use proptest::prelude::*;
use repledger::motion::Method;
use repledger::settings::{
    Error, Kind, Origin, Place, SECTIONS, Set, Settings, Value, render, resolve,
};
use repledger::trace::DateOrder;

const FILE: &str = "club.toml";

fn overrides(texts: &[&str]) -> Vec<String> {
    texts.iter().map(|&text| text.to_owned()).collect()
}

fn in_file(text: &str) -> Result<Settings, Error> {
    resolve(Some((FILE, text)), &[]).map(|resolved| resolved.settings)
}

fn on_line(texts: &[&str]) -> Result<Settings, Error> {
    resolve(None, &overrides(texts)).map(|resolved| resolved.settings)
}

fn message(result: Result<Settings, Error>) -> String {
    result.expect_err("this should be refused").to_string()
}

#[test]
fn with_nothing_said_the_defaults_of_the_stages_hold() {
    let resolved = resolve(None, &[]).expect("nothing can be wrong");
    assert_eq!(resolved.settings, Settings::default());
    assert!(
        resolved
            .list
            .iter()
            .all(|setting| setting.origin == Origin::Default)
    );
}

#[test]
fn the_command_line_wins_over_the_file_and_the_file_over_the_set() {
    let file = "set = \"women\"\nsprint.from = 6.0\nrun.from = \"13 km/h\"\n";
    let resolved =
        resolve(Some((FILE, file)), &overrides(&["sprint.from=6.1m/s"])).expect("all is allowed");
    let bands = resolved.settings.efforts.bands;
    assert_eq!(
        (bands.run_m_s, bands.high_speed_m_s, bands.sprint_m_s),
        (13.0 / 3.6, 5.3, 6.1)
    );
    let origin = |name: &str| resolved.get(name).expect("it exists").origin.clone();
    assert_eq!(origin("sprint.from"), Origin::CommandLine);
    assert_eq!(origin("run.from"), Origin::File(FILE.to_owned()));
    assert_eq!(origin("high_speed_run.from"), Origin::Set(Set::Women));
    assert_eq!(origin("jog.from"), Origin::Default);
    // Of two overrides the later one counts, as for other options.
    assert_eq!(
        on_line(&["turn.from=60", "turn.from=45 deg"])
            .expect("allowed")
            .efforts
            .turn_deg,
        45.0
    );
}

#[test]
fn tables_and_dotted_names_are_the_same() {
    let dotted = in_file("sprint.from = 7.2\nsprint.lasting = \"900 ms\"\n");
    let table = in_file("\u{feff}[sprint]\r\nfrom = 7.2\r\nlasting = \"900 ms\"\r\n");
    assert_eq!(dotted, table);
    assert_eq!(dotted.expect("allowed").efforts.sprint_dwell_s, 0.9);
}

#[test]
fn the_own_set_takes_shares_of_the_top_speed() {
    let bands = on_line(&["set=own", "athlete.top_speed=8.8 m/s"])
        .expect("allowed")
        .efforts
        .bands;
    assert_eq!(
        (bands.run_m_s, bands.high_speed_m_s, bands.sprint_m_s),
        (3.96, 5.28, 7.04)
    );
    assert_eq!(
        message(in_file("\nset = \"own\"\n")),
        "club.toml, line 2: the set \"own\" needs the player's own top speed; give `athlete.top_speed`, such as 8.8 m/s"
    );
}

#[test]
fn every_stage_gets_its_settings() {
    let settings = on_line(&[
        "recording.dates=mdy",
        "recording.columns=time,lat,lon,speed:km/h,-",
        "recording.bridge=5s",
        "recording.max_speed=13",
        "smoothing.cutoff=1.5 Hz",
        "smoothing.method=butterworth",
        "sequence.sprints=3",
        "rep.done_from=90%",
        "rep.sure=95%",
        "rest.share=0.2",
        "rest.within=5",
        "rep.speed=90 %",
        "athlete.top_speed=32 km/h",
    ])
    .expect("all is allowed");
    assert_eq!(settings.trace.dates, Some(DateOrder::MonthDayYear));
    assert_eq!(
        settings.trace.columns.as_deref(),
        Some("time,lat,lon,speed:km/h,-")
    );
    assert_eq!(
        (settings.track.bridge_s, settings.track.max_speed_m_s),
        (5.0, 13.0)
    );
    assert_eq!(
        settings.motion.method,
        Method::Butterworth { cutoff_hz: 1.5 }
    );
    assert_eq!(settings.efforts.sequence_sprints, 3);
    let review = &settings.review;
    assert_eq!(
        (
            review.work_share,
            review.accuse,
            review.rest_share,
            review.rest_s,
            review.speed_share
        ),
        (0.9, 0.95, 0.2, 5.0, 0.9)
    );
    assert_eq!(review.top_speed_m_s, Some(32.0 / 3.6));

    let settings =
        on_line(&["smoothing.method=savitzky-golay", "smoothing.window=0.7"]).expect("allowed");
    assert_eq!(
        settings.motion.method,
        Method::SavitzkyGolay { window_s: 0.7 }
    );
    let closed = in_file("athlete.top_speed = 8.0\n")
        .expect("allowed")
        .review
        .top_speed_m_s;
    let opened = resolve(
        Some((FILE, "athlete.top_speed = 8.0\n")),
        &overrides(&["athlete.top_speed=none"]),
    );
    assert_eq!(
        (
            closed,
            opened.expect("allowed").settings.review.top_speed_m_s
        ),
        (Some(8.0), None)
    );
}

#[test]
fn mistakes_are_named_with_their_place_and_the_way_out() {
    let cases = [
        (
            "# mine\n[sprint]\nform = 7.2\n",
            "club.toml, line 3: there is no setting `sprint.form`; did you mean `sprint.from`?",
        ),
        (
            "sprint = 7.2\n",
            "club.toml, line 1: there is no setting `sprint`; did you mean one of `sprint.from`, `sprint.lasting`?",
        ),
        (
            "colour = \"red\"\n",
            "club.toml, line 1: there is no setting `colour`; `repledger settings` lists all of them",
        ),
        (
            "sprint.from = \"7 kg\"\n",
            "club.toml, line 1: `sprint.from` cannot be `7 kg`; expected a speed from 2.5 m/s to 12.5 m/s (m/s, km/h or mph; \
             a plain number is m/s)",
        ),
        (
            "\nrep.done_from = 85\n",
            "club.toml, line 2: `rep.done_from` cannot be `85`; expected a share from 10 % to 100 % (per cent; a plain number \
             is a fraction such as 0.85)",
        ),
        (
            "smoothing.method = \"median\"\n",
            "club.toml, line 1: `smoothing.method` cannot be `median`; expected \"kalman\", \"savitzky-golay\" or \
             \"butterworth\"",
        ),
        (
            "recording.dates = true\n",
            "club.toml, line 1: `recording.dates` cannot be `true`; expected \"dmy\" or \"mdy\", or \"none\"",
        ),
        (
            "turn.from = [90, 60]\n",
            "club.toml, line 1: `turn.from` cannot be `a list`; expected an angle from 20 deg to 180 deg (a plain number is \
             degrees)",
        ),
        (
            "sequence.sprints = 2.5\n",
            "club.toml, line 1: `sequence.sprints` cannot be `2.5`; expected a whole number from 2 to 100",
        ),
        (
            // A quoted name with a dot is the same setting.
            "sprint.from = 7\n\"sprint.from\" = 8\n",
            "club.toml, line 2: `sprint.from` was already set above",
        ),
        (
            "high_speed_run.from = 7.5\n",
            "the speed bands must increase, but `high_speed_run.from` is 7.5 m/s and `sprint.from` is 7 m/s",
        ),
    ];
    for (text, expected) in cases {
        assert_eq!(message(in_file(text)), expected);
    }
    assert_eq!(
        message(on_line(&["sprint.from"])),
        "--set sprint.from: expected name=value, such as sprint.from=7.2m/s"
    );
    assert_eq!(
        message(on_line(&["Sprint-From=7"])),
        "--set: there is no setting `Sprint-From`; did you mean `sprint.from`?"
    );
    let Err(Error::Syntax { place, .. }) = in_file("set = \"men\"\nsprint.from = 7.2 m/s\n") else {
        panic!("a unit outside quotes is not TOML");
    };
    assert_eq!(
        place,
        Place::File {
            name: FILE.to_owned(),
            line: 2
        }
    );
}

#[test]
fn numbers_that_are_none_and_nesting_without_end_are_refused() {
    for text in [
        "sprint.from = nan",
        "sprint.from = inf",
        "sprint.from = 1e400",
        "sprint.from = -7",
        "sprint.from = 0x7",
    ] {
        assert!(in_file(text).is_err(), "{text}");
    }
    let dotted = format!("{}b = 1", "a.".repeat(100_000));
    let listed = format!("a = {}{}", "[".repeat(100_000), "]".repeat(100_000));
    let tables = format!("a = {}", "{a=".repeat(100_000));
    let headed = format!("[{}b]", "a.".repeat(100_000));
    for text in [dotted, listed, tables, headed] {
        assert!(in_file(&text).is_err());
    }
}

#[test]
fn the_printed_settings_say_what_each_is_and_where_it_came_from() {
    let resolved = resolve(
        Some((FILE, "set = \"women\"\nturn.from = \"60 deg\"\n")),
        &overrides(&["athlete.top_speed=7.9"]),
    )
    .expect("allowed");
    let text = render(&resolved);
    for line in [
        "set = \"women\"  # file club.toml",
        "sprint.from = \"6.3 m/s\"  # set women",
        "turn.from = \"60 deg\"  # file club.toml",
        "athlete.top_speed = \"7.9 m/s\"  # command line",
        "smoothing.method = \"kalman\"  # default",
        "recording.dates = \"none\"  # default",
        "rest.share = \"15 %\"  # default",
        "sequence.sprints = 2  # default",
    ] {
        assert!(
            text.lines().any(|printed| printed == line),
            "missing: {line}\n{text}"
        );
    }
    assert!(
        text.lines().all(|line| line.chars().count() <= 101),
        "a line is too long:\n{text}"
    );
}

#[test]
fn a_file_name_cannot_break_out_of_its_comment() {
    let resolved =
        resolve(Some(("a\nsprint.from = 3", "sprint.from = 7.5\n")), &[]).expect("allowed");
    let again = in_file(&render(&resolved)).expect("it reads back");
    assert_eq!(again, resolved.settings);
}

#[test]
fn every_setting_is_described() {
    for key in SECTIONS.iter().flat_map(|section| section.keys) {
        assert!(key.about.ends_with('.'), "{key}: {}", key.about);
        assert!(
            !key.source.is_empty() && !key.source.ends_with('.'),
            "{key}: {}",
            key.source
        );
        let default = key.text(&key.default);
        let again = on_line(&[&format!("{key}={default}")]);
        assert_eq!(again, Ok(Settings::default()), "{key} = {default}");
    }
}

/// A value that a setting takes, from two random numbers.
fn some_value(kind: Kind, share: f64, pick: usize) -> Value {
    match kind {
        Kind::Speed(low, high)
        | Kind::Acceleration(low, high)
        | Kind::Time(low, high)
        | Kind::Frequency(low, high)
        | Kind::Angle(low, high)
        | Kind::Mass(low, high)
        | Kind::Length(low, high)
        | Kind::Temperature(low, high)
        | Kind::Pressure(low, high)
        | Kind::Share(low, high) => Value::Number(low + share * (high - low)),
        Kind::Count(low, high) => {
            Value::Number((f64::from(low) + share * f64::from(high - low)).round())
        }
        Kind::Choice(words) => Value::Text(words[pick % words.len()].into()),
        Kind::Text => Value::Text(format!("time,x,y \"{pick}\\").into()),
    }
}

proptest! {
    // Random bands seldom increase.
    #![proptest_config(ProptestConfig { max_global_rejects: 100_000, ..ProptestConfig::default() })]

    /// What is printed reads back to the same settings, whatever they are.
    #[test]
    fn print_and_read_back(seeds in prop::collection::vec((0.0..1.0_f64, 0_usize..9), 64)) {
        let keys: Vec<_> = SECTIONS.iter().flat_map(|section| section.keys).collect();
        let given: Vec<String> = keys
            .iter()
            .zip(&seeds)
            .filter(|(_, (_, pick))| *pick < 7)
            .map(|(key, (share, pick))| format!("{key}={}", key.text(&some_value(key.kind, *share, *pick))))
            .collect();
        let resolved = match resolve(None, &given) {
            Ok(resolved) => resolved,
            // These two are about several settings at once; they have their own tests.
            Err(Error::Bands { .. } | Error::NoTopSpeed { .. }) => return Err(TestCaseError::reject("no such settings")),
            Err(error) => return Err(TestCaseError::fail(error.to_string())),
        };
        let text = render(&resolved);
        let again = resolve(Some((FILE, &text)), &[]).map_err(|error| TestCaseError::fail(format!("{error}\n{text}")))?;
        prop_assert_eq!(&again.settings, &resolved.settings);
        prop_assert!(again.list.iter().all(|setting| setting.origin == Origin::File(FILE.to_owned())));
    }

    /// No text makes the reader panic.
    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,60}", name in "[a-z_.]{0,20}") {
        let _ = in_file(&text);
        let _ = on_line(&[&text]);
        let _ = on_line(&[&format!("{name}={text}")]);
        let _ = in_file(&format!("{name} = {text}"));
    }
}
