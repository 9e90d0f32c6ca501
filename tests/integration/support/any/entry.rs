//! Any entry of a diary.

use jiff::civil::{Date, date};
use proptest::option;
use proptest::prelude::*;
use repledger::diary::{Activity, NewEntry, Recorded};
use repledger::efforts::Band;
use repledger::measured::Measured;
use repledger::profile::Split;
use repledger::review::Counts;

/// Any text: of other scripts, with signs that mean something elsewhere, empty or blank.
pub fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => "\\PC{0,12}",
        2 => "[a-zA-Z ]{1,20}",
        1 => prop::sample::select(vec![
            "", " ", "'", "\"", "=1+1", "@x", "-", "a;b,c", "a\nb", "a\r\nb", "\t", "%", "_", "NULL", "O'Neil; DROP TABLE session",
            "\u{202e}abc", "e\u{301}", "\u{feff}", "null", "0", "true", "1e5", "2026-05-12",
        ]).prop_map(str::to_owned),
    ]
}

/// Days of three weeks: some of them share a week, and some a day.
pub fn day() -> impl Strategy<Value = Date> {
    (0..21_i64).prop_map(|n| {
        date(2026, 12, 21)
            .checked_add(jiff::ToSpan::days(n))
            .expect("a day")
    })
}

/// A quantity in whole thousandths, as the diary keeps it.
fn thousandths(most: u32) -> impl Strategy<Value = f64> {
    (0..=most).prop_map(|n| f64::from(n) / 1e3)
}

fn measured(most: u32) -> impl Strategy<Value = Measured> {
    [0..=most, 0..=most, 0..=most].prop_map(|mut n| {
        n.sort_unstable();
        let [low, value, high] = n.map(|n| f64::from(n) / 1e3);
        Measured { value, low, high }
    })
}

fn counts() -> impl Strategy<Value = Counts> {
    [0..50_usize, 0..9, 0..9, 0..9, 0..9].prop_map(|[done, short, slow, missed, unresolved]| {
        Counts {
            planned: done + short + slow + missed + unresolved,
            done,
            short,
            slow,
            missed,
            unresolved,
        }
    })
}

fn recorded() -> impl Strategy<Value = Recorded> {
    let bands = [
        thousandths(5_000_000),
        thousandths(5_000_000),
        thousandths(900_000),
        thousandths(900_000),
    ]
    .prop_map(|[slow_s, fast_s, slow_m, fast_m]| {
        let band = |name: &str, from_m_s, to_m_s, time_s, distance_m| Band {
            name: name.to_owned(),
            from_m_s,
            to_m_s,
            time_s,
            distance_m,
            within: None,
        };
        vec![
            band("slow", 0.0, Some(5.5), slow_s, slow_m),
            band("fast", 5.5, None, fast_s, fast_m),
        ]
    });
    let split = (1..5_u32, measured(9_000)).prop_map(|(tens, time_s)| Split {
        distance_m: f64::from(tens) * 10.0,
        time_s,
    });
    (
        (
            measured(20_000_000),
            option::of(measured(11_000)),
            bands,
            thousandths(5_000_000),
        ),
        (
            prop::collection::vec(measured(11_000), 0..5),
            0..60_usize,
            option::of(counts()),
        ),
        (
            0..20_usize,
            option::of(measured(11_000)),
            prop::collection::vec(split, 0..2),
        ),
    )
        .prop_map(
            |(
                (distance_m, top_speed_m_s, bands, fast_m),
                (peaks_m_s, sprints, counts),
                (judged, curve_top_m_s, splits),
            )| Recorded {
                distance_m,
                top_speed_m_s,
                bands,
                thresholds_m_s: [5.5, 7.0],
                fast_m: [fast_m, 0.0],
                peaks_m_s,
                sprints,
                counts,
                // Rests are kept of those that were judged, and judged only where there was a plan.
                rests: if counts.is_some() {
                    [judged / 2, judged]
                } else {
                    [0, 0]
                },
                curve_top_m_s,
                splits,
                rate_hz: 10.0,
                speed_planned: false,
                heart: None,
            },
        )
}

/// Any entry, without efforts and reps of its own.
pub fn entry() -> impl Strategy<Value = NewEntry> {
    (
        (text(), day(), prop::sample::select(&Activity::ALL[..])),
        (
            option::of(text()),
            thousandths(14_400_000),
            option::of(0..=100_u32),
            option::of(text()),
        ),
        option::of((recorded(), any::<[u8; 32]>())),
    )
        .prop_map(
            |((athlete, date, activity), (title, duration_s, tenths, note), recorded)| {
                let mut new = NewEntry::note(&athlete, date, activity, duration_s);
                new.title = title;
                new.rpe = tenths.map(|n| f64::from(n) / 10.0);
                new.note = note;
                match recorded {
                    Some((summary, sha256)) => new.with_summary(summary, sha256),
                    None => new,
                }
            },
        )
}
