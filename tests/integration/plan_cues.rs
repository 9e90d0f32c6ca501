//! The sound track of a plan: its cues lie where the timetable says, and can be told apart in the file.

use repledger::plan::cues::{self, Kind, Track};
use repledger::plan::timetable::{Assumptions, timetable};
use repledger::plan::{self, Plan};

const TIMED: &str = "warm-up 6 min, then 60 s\nresistance 2 x 4 x 12 s, rest 25 s, 90 s between sets, then 2 min\nresistance 5 x 20 s, every 60 s, then 30 s\ncool-down 5 min\n";

fn read(text: &str) -> Plan {
    plan::parse(text).unwrap_or_else(|mistakes| panic!("{mistakes:?}"))
}

fn track(text: &str, lead_s: f64) -> Track {
    cues::track(&read(text), &Assumptions::default(), lead_s)
}

/// The samples of a WAV file of one channel and eight bits, between -1 and 1, and how many a second.
fn samples(wav: &[u8]) -> (Vec<f64>, f64) {
    let number = |at: usize| u32::from_le_bytes(wav[at..at + 4].try_into().unwrap());
    assert_eq!((&wav[..4], &wav[8..16]), (&b"RIFF"[..], &b"WAVEfmt "[..]));
    assert_eq!(number(4) as usize, wav.len() - 8);
    assert_eq!(&wav[36..40], b"data");
    let count = number(40) as usize;
    let values = wav[44..44 + count]
        .iter()
        .map(|v| (f64::from(*v) - 128.0) / 127.0);
    (values.collect(), f64::from(number(24)))
}

/// When sound begins after silence, s: a cue that says more than one beep is taken for as many.
fn onsets(samples: &[f64], rate_hz: f64) -> Vec<f64> {
    let quiet = (0.05 * rate_hz) as usize;
    let mut silent = quiet;
    let mut out = Vec::new();
    for (at, value) in samples.iter().enumerate() {
        if value.abs() < 0.02 {
            silent += 1;
            continue;
        }
        if silent >= quiet {
            out.push(at as f64 / rate_hz);
        }
        silent = 0;
    }
    out
}

/// How much of a pitch there is in a stretch (Goertzel 1958, Am Math Mon 65:34), as a share of its loudness.
fn share(stretch: &[f64], rate_hz: f64, pitch_hz: f64) -> f64 {
    let turn = std::f64::consts::TAU * pitch_hz / rate_hz;
    let (mut re, mut im, mut all) = (0.0, 0.0, 0.0);
    for (at, value) in stretch.iter().enumerate() {
        re += value * (turn * at as f64).cos();
        im += value * (turn * at as f64).sin();
        all += value * value;
    }
    2.0 * (re * re + im * im) / (all * stretch.len() as f64)
}

#[test]
fn starts_lie_where_the_timetable_puts_them() {
    let plan = read(TIMED);
    let usual = Assumptions::default();
    let table = timetable(&plan, &usual);
    let track = track(TIMED, 300.0);
    for (block, slot) in table.slots.iter().enumerate() {
        let first = track
            .starts
            .iter()
            .find(|start| start.block == block)
            .unwrap();
        assert!(
            (first.time_s - 300.0 - slot.start_s).abs() < 1e-9,
            "block {block}"
        );
    }
    // 2 x (4 x 12 + 3 x 25) + 90: the second set starts 123 + 90 s after the first.
    let of_block: Vec<f64> = (track.starts.iter().filter(|s| s.block == 1))
        .map(|s| s.time_s - 300.0 - table.slots[1].start_s)
        .collect();
    assert_eq!(
        of_block,
        [0.0, 37.0, 74.0, 111.0, 213.0, 250.0, 287.0, 324.0]
    );
    assert!((track.total_s - 300.0 - table.total_s - 2.0).abs() < 1e-9);
}

#[test]
fn cues_are_heard_where_they_are_to_within_10_ms() {
    let track = track(TIMED, 20.0);
    let (values, rate_hz) = samples(&cues::wav(&track));
    let heard = onsets(&values, rate_hz);
    for cue in &track.cues {
        let nearest = heard
            .iter()
            .map(|at| (at - cue.time_s).abs())
            .fold(f64::MAX, f64::min);
        assert!(nearest <= 0.010, "{cue:?}: {nearest} s");
    }
    // And nothing else is heard but the further beeps of a cue, within a second of its beginning.
    for at in heard {
        let since = track.cues.iter().map(|cue| at - cue.time_s);
        assert!(since.clone().any(|s| (-0.010..1.0).contains(&s)), "{at} s");
    }
}

#[test]
fn cues_are_told_apart_by_pitch_and_length() {
    let track = track(TIMED, 20.0);
    let (values, rate_hz) = samples(&cues::wav(&track));
    for kind in [
        Kind::Start,
        Kind::LastRep,
        Kind::End,
        Kind::Count,
        Kind::Half,
        Kind::BlockDone,
    ] {
        let cue = track
            .cues
            .iter()
            .find(|cue| cue.kind == kind)
            .unwrap_or_else(|| panic!("{kind:?}"));
        let pitch_hz = match kind {
            Kind::Start | Kind::LastRep => 880.0,
            Kind::Count | Kind::Half => 660.0,
            Kind::End | Kind::BlockDone => 440.0,
        };
        let from = (cue.time_s * rate_hz).ceil() as usize;
        let beep = &values[from..from + (0.1 * rate_hz) as usize];
        assert!(share(beep, rate_hz, pitch_hz) > 0.9, "{kind:?}");
    }
}

#[test]
fn what_has_no_end_on_a_clock_gets_a_start_and_a_window() {
    let track = track("speed 3 x 40 m, rest walk back", 10.0);
    let kinds: Vec<Kind> = track.cues.iter().map(|cue| cue.kind).collect();
    assert!(!kinds.contains(&Kind::End), "{kinds:?}");
    assert_eq!(track.starts.len(), 3);
    // 40 m take 5.8 s and the walk back 28.6 s: 10 and 45 s when half as much again is rounded up to 5 s.
    assert!((track.starts[1].time_s - track.starts[0].time_s - 55.0).abs() < 1e-9);
    assert_eq!(
        kinds.iter().filter(|kind| **kind == Kind::LastRep).count(),
        1
    );
}

#[test]
fn a_session_of_75_minutes_is_a_small_file() {
    let long =
        "warm-up 15 min\nresistance 4 x 10 x 30 s, rest 30 s, 3 min between sets\ncool-down 8 min";
    let track = track(long, 300.0);
    assert!(
        (track.total_s - 75.0 * 60.0).abs() < 240.0,
        "{}",
        track.total_s
    );
    for file in [cues::wav(&track), cues::flac(&track)] {
        assert!(file.len() < 10_000_000, "{}", file.len());
    }
}

#[test]
fn the_flac_holds_the_same_sound() -> Result<(), claxon::Error> {
    let track = track("resistance 3 x 6 s, rest 8 s", 5.0);
    let file = cues::flac(&track);
    let mut reader = claxon::FlacReader::new(file.as_slice())?;
    let info = reader.streaminfo();
    assert_eq!(
        (info.sample_rate, info.channels, info.bits_per_sample),
        (8_000, 1, 16)
    );
    let decoded: Result<Vec<i32>, _> = reader.samples().collect();
    let decoded: Vec<f64> = decoded?
        .into_iter()
        .map(|v| f64::from(v) / 32_767.0)
        .collect();
    let (plain, rate_hz) = samples(&cues::wav(&track));
    assert_eq!(
        (decoded.len(), info.samples),
        (plain.len(), Some(plain.len() as u64))
    );
    assert!((rate_hz - 8_000.0).abs() < f64::EPSILON);
    let apart = decoded.iter().zip(&plain).map(|(a, b)| (a - b).abs());
    assert!(apart.fold(0.0, f64::max) < 1.0 / 127.0);
    Ok(())
}

#[test]
fn no_plan_makes_a_sound_track_hang_or_panic() {
    for text in [
        "warm-up 0.1 s",
        "strength 1 x 1 reps",
        "resistance 100 x 100 x 1 s",
        "gym 40 min\nspeed 10-20-10 m",
    ] {
        let track = track(text, 0.0);
        assert!(
            track.cues.is_sorted_by(|a, b| a.time_s <= b.time_s),
            "{text}"
        );
        assert!(!cues::flac(&track).is_empty());
    }
}
