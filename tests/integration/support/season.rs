//! A made season of two athletes, as a diary would hold it; its numbers are ours.

use jiff::ToSpan;
use jiff::civil::{Date, date};
use repledger::diary::{Activity, Diary, Entry, MatchDay, NewEntry, Planned, Recorded};
use repledger::measured::Measured;
use repledger::profile::Split;
use repledger::progress::Log;
use repledger::review::Counts;
use repledger::units::SpeedUnit;

/// What a diary holds.
#[derive(Clone, Debug, Default)]
pub struct Season {
    pub entries: Vec<Entry>,
    pub matches: Vec<MatchDay>,
    pub planned: Vec<Planned>,
}

impl Season {
    /// As the weeks want it.
    pub fn log(&self) -> Log<'_> {
        Log {
            entries: &self.entries,
            matches: &self.matches,
            planned: &self.planned,
            speeds: SpeedUnit::default(),
        }
    }

    /// Adds a session without a recording and gives it back to be changed.
    pub fn note(
        &mut self,
        athlete: &str,
        date: Date,
        activity: Activity,
        minutes: f64,
        rpe: Option<f64>,
    ) -> &mut Entry {
        self.entries.push(Entry {
            id: 1 + i64::try_from(self.entries.len()).unwrap_or(i64::MAX - 1),
            athlete: athlete.to_owned(),
            date,
            activity,
            title: None,
            duration_s: minutes * 60.0,
            rpe,
            note: None,
            recorded: None,
        });
        self.entries.last_mut().expect("one was added")
    }

    pub fn match_on(&mut self, date: Date, label: &str) {
        self.matches.push(MatchDay {
            date,
            athlete: None,
            label: Some(label.to_owned()),
        });
    }

    pub fn plan(&mut self, athlete: &str, date: Date, title: &str, text: &str) {
        self.planned.push(Planned {
            id: 1 + i64::try_from(self.planned.len()).unwrap_or(i64::MAX - 1),
            athlete: athlete.to_owned(),
            date,
            title: Some(title.to_owned()),
            text: text.to_owned(),
            done_by: None,
        });
    }
}

/// A recording of so many metres with a top speed and its half-width.
pub fn recorded(
    distance_m: f64,
    fast_m: [f64; 2],
    top: (f64, f64),
    reps: (usize, usize),
) -> Recorded {
    let top_speed = Measured::within(top.0, top.0 - top.1, top.0 + top.1);
    Recorded {
        distance_m: Measured::within(distance_m, distance_m - 30.0, distance_m + 40.0),
        top_speed_m_s: Some(top_speed),
        bands: Vec::new(),
        thresholds_m_s: [5.5, 7.0],
        fast_m,
        peaks_m_s: vec![top_speed, Measured::within(6.1, 5.9, 6.3)],
        sprints: 1,
        counts: Some(Counts {
            planned: reps.1,
            done: reps.0,
            missed: reps.1 - reps.0,
            ..Counts::default()
        }),
        rests: [reps.0 / 2, reps.0 / 2 + 1],
        curve_top_m_s: Some(Measured::within(top.0 + 0.1, top.0 - 0.2, top.0 + 0.4)),
        splits: vec![
            Split {
                distance_m: 10.0,
                time_s: Measured::within(2.30 - 0.04 * (top.0 - 8.0), 2.2, 2.4),
            },
            Split {
                distance_m: 30.0,
                time_s: Measured::within(5.0 - 0.3 * (top.0 - 8.0), 4.5, 5.3 - 0.3 * (top.0 - 8.0)),
            },
        ],
        rate_hz: 10.0,
        speed_planned: false,
        heart: None,
    }
}

/// Twelve weeks from Monday 2 March 2026 on: Ana trains alone three times a week beside team and match, Ben less.
pub fn season() -> Season {
    let mut season = Season::default();
    let monday = date(2026, 3, 2);
    for week in 0..11_i32 {
        let day = |n: i64| monday + (i64::from(week) * 7 + n).days();
        // A small wave, and from the ninth week on clearly more.
        let wave = f64::from((week * 5) % 3 - 1);
        let more = if week >= 9 { 2500.0 } else { 0.0 };
        let top = 8.2 + 0.03 * f64::from(week);
        let mut train = |athlete: &str, n: i64, title: &str, metres: f64, rpe: f64, top: f64| {
            let entry = season.note(athlete, day(n), Activity::Training, 60.0, Some(rpe));
            entry.title = Some(title.to_owned());
            entry.recorded = Some(recorded(
                metres,
                [metres * 0.08, metres * 0.02],
                (top, 0.12),
                (28, 30),
            ));
            if let Some(recorded) = entry.recorded.as_mut().filter(|_| rpe == 7.0) {
                // Runs are no sprints from rest.
                recorded.curve_top_m_s = None;
                recorded.splits.clear();
            }
        };
        train(
            "Ana",
            0,
            "Runs and turns",
            5200.0 + 150.0 * wave + more,
            7.0,
            top - 0.4,
        );
        train(
            "Ana",
            1,
            "Forty metre sprints",
            4300.0 + 100.0 * wave,
            6.0,
            top,
        );
        if week % 2 == 0 {
            train(
                "Ben",
                1,
                "Forty metre sprints",
                4100.0 - 200.0 * wave,
                5.0,
                7.6,
            );
        }
        season.note("Ana", day(2), Activity::Team, 90.0, Some(5.0));
        season.note("Ana", day(3), Activity::Rest, 0.0, None);
        season.note("Ben", day(2), Activity::Team, 90.0, Some(6.0));
        season
            .note("Ana", day(5), Activity::Match, 95.0, Some(9.0))
            .title = Some("Rovers".to_owned());
        season.match_on(day(5), "Rovers");
    }
    // The week it is looked at from, Thursday 21 May: two days done, a hard plan for the eve.
    let entry = season.note(
        "Ana",
        date(2026, 5, 18),
        Activity::Training,
        70.0,
        Some(7.0),
    );
    entry.title = Some("Runs and turns".to_owned());
    entry.recorded = Some(recorded(5600.0, [450.0, 90.0], (7.3, 0.12), (26, 30)));
    season.note("Ana", date(2026, 5, 20), Activity::Gym, 45.0, None);
    season.match_on(date(2026, 5, 23), "Wanderers");
    season.plan(
        "Ana",
        date(2026, 5, 18),
        "Runs and turns",
        "resistance 6 x 12 s\n",
    );
    season.plan(
        "Ana",
        date(2026, 5, 19),
        "Forty metre sprints",
        "speed 5 x 40 m\n",
    );
    season.plan(
        "Ana",
        date(2026, 5, 21),
        "Wall passes",
        "technical 20 min\n",
    );
    season.plan(
        "Ana",
        date(2026, 5, 22),
        "Channel runs",
        "resistance 6 x 12 s\n",
    );
    season
}

/// Puts a season into a diary file.
pub fn keep(season: &Season, path: &std::path::Path) -> super::outcome::Outcome {
    let mut diary = Diary::create(path)?;
    for entry in &season.entries {
        let mut new = NewEntry::note(&entry.athlete, entry.date, entry.activity, entry.duration_s);
        new.title.clone_from(&entry.title);
        new.rpe = entry.rpe;
        if let Some(recorded) = &entry.recorded {
            let mut hash = [0; 32];
            hash[..8].copy_from_slice(&entry.id.to_le_bytes());
            new = new.with_summary(recorded.clone(), hash);
        }
        diary.add(&new)?;
    }
    for day in &season.matches {
        diary.add_match(day)?;
    }
    for plan in &season.planned {
        diary.add_plan(&plan.athlete, plan.date, plan.title.as_deref(), &plan.text)?;
    }
    Ok(())
}
