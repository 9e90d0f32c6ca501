//! The place of a day in the week around a match: MD-4 to MD-1, MD, MD+1.

use std::collections::BTreeMap;
use std::fmt;

use jiff::civil::Date;

use crate::diary::{Activity, Entry};
use crate::progress::log::{Log, same_athlete};

/// Farthest day that still counts towards a match, or from one.
const FARTHEST: i32 = 7;
/// Days after a match that belong to it rather than to the next one.
const AFTER: i32 = 2;

/// A match of an athlete.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Match<'a> {
    /// Its day.
    pub date: Date,
    /// The other side, or whatever was written.
    pub label: Option<&'a str>,
}

/// The matches of an athlete by day.
#[derive(Clone, Debug, Default)]
pub(crate) struct MatchWeek<'a> {
    matches: BTreeMap<Date, Option<&'a str>>,
}

/// Where a day lies around a match.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// Days from the match: -1 is the day before it, 0 its own, 1 the day after.
    pub days: i32,
    /// The day of that match.
    pub match_date: Date,
}

impl<'a> MatchWeek<'a> {
    /// The matches of an athlete: the days set as match days, and those with a match in the diary.
    #[must_use]
    pub(crate) fn of(log: &Log<'a>, athlete: &str) -> Self {
        Self::from(
            log,
            log.entries.iter().filter(|e| e.athlete == athlete),
            athlete,
        )
    }

    /// The same where the athlete's entries are sorted out already.
    pub(super) fn from(
        log: &Log<'a>,
        entries: impl Iterator<Item = &'a Entry>,
        athlete: &str,
    ) -> Self {
        let mut matches: BTreeMap<Date, Option<&str>> = entries
            .filter(|entry| entry.activity == Activity::Match)
            .map(|entry| (entry.date, entry.title.as_deref()))
            .collect();
        for day in log.matches.iter().filter(|day| same_athlete(day, athlete)) {
            let label = matches.entry(day.date).or_default();
            *label = day.label.as_deref().or(*label);
        }
        Self { matches }
    }

    /// The match of a day.
    #[must_use]
    pub(crate) fn on(&self, date: Date) -> Option<Match<'a>> {
        self.matches.get(&date).map(|&label| Match { date, label })
    }

    /// The first match on a day or after it.
    #[must_use]
    pub(crate) fn next(&self, date: Date) -> Option<Match<'a>> {
        let (&date, &label) = self.matches.range(date..).next()?;
        Some(Match { date, label })
    }

    /// The place of a day.
    ///
    /// # Definition
    /// Two days after a match belong to it (MD+1, MD+2), unless the next match is as near or nearer. Every other day counts
    /// down to the next match, at most a week before it (MD-7); without one, up from the last, at most a week after.
    /// Farther days have no place.
    #[must_use]
    pub(crate) fn place(&self, date: Date) -> Option<Place> {
        let place = |of: Date| Place {
            days: days(of, date),
            match_date: of,
        };
        let next = self
            .next(date)
            .map(|m| place(m.date))
            .filter(|p| -p.days <= FARTHEST);
        let last = (self.matches.range(..date).next_back())
            .map(|(&of, _)| place(of))
            .filter(|p| p.days <= FARTHEST);
        match (last, next) {
            (Some(last), Some(next)) if last.days <= AFTER && last.days < -next.days => Some(last),
            (_, Some(next)) => Some(next),
            (last, None) => last,
        }
    }
}

/// Days from one date to another.
fn days(from: Date, to: Date) -> i32 {
    from.until(to).map_or(i32::MAX, |span| span.get_days())
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.days {
            0 => f.write_str("MD"),
            days => write!(f, "MD{days:+}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diary::MatchDay;
    use crate::units::SpeedUnit;
    use jiff::civil::date;

    fn places(matches: &[i8], days: std::ops::RangeInclusive<i8>) -> String {
        let matches: Vec<MatchDay> = matches
            .iter()
            .map(|&day| MatchDay {
                date: date(2026, 5, day),
                athlete: None,
                label: None,
            })
            .collect();
        let log = Log {
            entries: &[],
            matches: &matches,
            planned: &[],
            speeds: SpeedUnit::default(),
        };
        let week = MatchWeek::of(&log, "Ana");
        let words: Vec<String> = days
            .map(|day| {
                let place = week.place(date(2026, 5, day));
                place.map_or("–".to_owned(), |p| p.to_string())
            })
            .collect();
        words.join(" ")
    }

    #[test]
    fn a_week_between_two_matches_counts_down_after_two_days() {
        assert_eq!(
            places(&[9, 16], 9..=17),
            "MD MD+1 MD+2 MD-4 MD-3 MD-2 MD-1 MD MD+1"
        );
    }

    #[test]
    fn a_match_as_near_ahead_counts_more_than_the_one_behind() {
        assert_eq!(places(&[9, 11], 9..=11), "MD MD-1 MD");
        assert_eq!(places(&[9, 12], 9..=12), "MD MD+1 MD-1 MD");
        assert_eq!(places(&[9, 10], 8..=11), "MD-1 MD MD MD+1");
    }

    #[test]
    fn far_days_have_no_place() {
        assert_eq!(places(&[10], 2..=4), "– MD-7 MD-6");
        assert_eq!(
            places(&[10], 11..=18),
            "MD+1 MD+2 MD+3 MD+4 MD+5 MD+6 MD+7 –"
        );
        assert_eq!(places(&[], 2..=2), "–");
    }

    #[test]
    fn places_across_months_count_days() {
        let matches = [MatchDay {
            date: date(2026, 6, 2),
            athlete: Some("Ana".to_owned()),
            label: Some("Rovers".to_owned()),
        }];
        let log = Log {
            entries: &[],
            matches: &matches,
            planned: &[],
            speeds: SpeedUnit::default(),
        };
        let week = MatchWeek::of(&log, "Ana");
        assert_eq!(week.place(date(2026, 5, 30)).map(|p| p.days), Some(-3));
        assert_eq!(
            week.next(date(2026, 5, 1)).and_then(|m| m.label),
            Some("Rovers")
        );
        // Another's match is none of hers.
        assert_eq!(MatchWeek::of(&log, "Ben").place(date(2026, 6, 2)), None);
    }
}
