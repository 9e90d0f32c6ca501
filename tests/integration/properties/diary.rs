//! What goes into the diary comes out of it, and weeks are the sums of their days.

use std::collections::BTreeSet;

use proptest::prelude::*;
use repledger::diary::{Activity, Diary, Entry, Filter, NewEntry};
use repledger::measured::Measured;
use repledger::progress::{IsoWeek, Log, week};
use repledger::units::SpeedUnit;

use crate::support::any::entry::{day, entry};

/// What an entry looks like when it comes back: blanks around words are no part of them, and blank words are none.
fn expected(new: &NewEntry, id: i64) -> Entry {
    let words = |text: &Option<String>| {
        let trimmed = text
            .as_deref()
            .map(str::trim)
            .filter(|text| !text.is_empty());
        trimmed.map(str::to_owned)
    };
    Entry {
        id,
        athlete: new.athlete.trim().to_owned(),
        date: new.date,
        activity: new.activity,
        title: words(&new.title),
        duration_s: new.duration_s,
        rpe: new.rpe,
        note: words(&new.note),
        recorded: new
            .recording
            .as_ref()
            .map(|recording| recording.summary.clone()),
    }
}

/// Sums of numbers in thousandths, added in another order: 20 entries of 2e4 m, 16 digits of each.
const ROUNDING: f64 = 1e-6;

#[track_caller]
fn near(a: f64, b: f64) -> Result<(), TestCaseError> {
    prop_assert!((a - b).abs() <= ROUNDING, "{} is not {}", a, b);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn what_was_added_comes_back(news in prop::collection::vec(entry(), 1..8)) {
        let mut diary = Diary::in_memory().expect("memory");
        let mut kept: Vec<Entry> = Vec::new();
        let mut hashes = BTreeSet::new();
        for new in &news {
            let hash = new.recording.as_ref().map(|recording| recording.source.sha256);
            let added = diary.add(new).expect("a sound entry");
            prop_assert_eq!(added.already_there, hash.is_some_and(|hash| !hashes.insert(hash)));
            if !added.already_there {
                kept.push(expected(new, added.id));
            }
        }
        for entry in &kept {
            prop_assert_eq!(&diary.entry(entry.id).expect("it was added"), entry);
        }
        kept.sort_by_key(|entry| (entry.date, entry.id));
        prop_assert_eq!(&diary.entries(&Filter::default()).expect("a sound diary"), &kept);
        let names: BTreeSet<&str> = kept.iter().map(|entry| entry.athlete.as_str()).collect();
        let told = diary.athletes().expect("a sound diary");
        prop_assert!(told.iter().map(String::as_str).eq(names.iter().copied()), "{:?}", told);
        for name in names {
            let own: Vec<Entry> = kept.iter().filter(|entry| entry.athlete == name).cloned().collect();
            let filter = Filter { athlete: Some(name), ..Filter::default() };
            prop_assert_eq!(diary.entries(&filter).expect("a sound diary"), own);
        }
    }

    /// The sums of a week are those of its days, and those of its entries added one by one.
    #[test]
    fn a_week_is_the_sum_of_its_days(news in prop::collection::vec(entry(), 0..20), today in day(), shown in day()) {
        let entries: Vec<Entry> = news
            .iter()
            .zip(1..)
            .map(|(new, id)| Entry { athlete: "Ana".to_owned(), ..expected(new, id) })
            .collect();
        let log = Log { entries: &entries, matches: &[], planned: &[], speeds: SpeedUnit::default() };
        let week = week(&log, "Ana", IsoWeek::of(shown), today);
        prop_assert_eq!(week.days.len(), 7);
        let days = || week.days.iter().map(|day| &day.totals);
        let all = &week.totals;
        prop_assert_eq!(all.sessions, days().map(|day| day.sessions).sum::<usize>());
        prop_assert_eq!(all.recorded, days().map(|day| day.recorded).sum::<usize>());
        prop_assert_eq!(all.rated, days().map(|day| day.rated).sum::<usize>());
        near(all.duration_s, days().map(|day| day.duration_s).sum())?;
        near(all.load.unwrap_or(0.0), days().filter_map(|day| day.load).sum())?;
        near(all.high_speed_m.unwrap_or(0.0), days().filter_map(|day| day.high_speed_m).sum())?;
        prop_assert_eq!(all.sprints.unwrap_or(0), days().filter_map(|day| day.sprints).sum::<usize>());
        let of = |pick: fn(&Measured) -> f64| move |day: &Option<Measured>| day.as_ref().map_or(0.0, pick);
        let distance = |pick: fn(&Measured) -> f64| days().map(|day| of(pick)(&day.distance_m)).sum::<f64>();
        near(of(|m| m.value)(&all.distance_m), distance(|m| m.value))?;
        if let Some(sum) = all.distance_m {
            // Errors of sessions are independent: their half-widths add as squares, never to more than their sum.
            prop_assert!(sum.low <= sum.value && sum.value <= sum.high);
            prop_assert!(sum.low >= distance(|m| m.low) - ROUNDING && sum.high <= distance(|m| m.high) + ROUNDING);
        }
        let counts = days().filter_map(|day| day.counts);
        prop_assert_eq!(all.counts.map_or(0, |c| c.done), counts.map(|c| c.done).sum::<usize>());

        let trained = week.days.iter().flat_map(|day| &day.entries).filter(|entry| entry.activity != Activity::Rest);
        near(all.high_speed_m.unwrap_or(0.0), trained.filter_map(|entry| entry.recorded.as_ref()).map(|r| r.fast_m[0]).sum())?;
        for day in &week.days {
            prop_assert!(day.entries.iter().all(|entry| entry.date == day.date));
        }
        let in_week = entries.iter().filter(|entry| IsoWeek::of(entry.date) == IsoWeek::of(shown)).count();
        prop_assert_eq!(week.days.iter().map(|day| day.entries.len()).sum::<usize>(), in_week);
    }
}
