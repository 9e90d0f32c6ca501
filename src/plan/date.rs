//! A date as people write it: `2026-05-16`, `16.5.2026`, `May 16, 2026`, `Sat 16 May`.

use jiff::Unit;
use jiff::civil::{Date, DateDifference, Weekday};

use crate::plan::word::is_dash;

/// What is known where a text does not say it all.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Reading {
    /// Whether `12/05/2026` begins with the day; asked about where it is not known.
    pub day_first: Option<bool>,
    /// The day on which it is read, for `Sat 16 May`.
    pub today: Option<Date>,
}

/// Why a date is not read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Doubt {
    /// It is no date.
    None,
    /// Its weekday is another than it says.
    Weekday(Date),
    /// The day or the month may come first.
    Order(Date, Date),
    /// The year is missing; the nearest such date to the day of reading and the next nearest, where that is known.
    Year(Option<Date>, Option<Date>),
}

/// How many years a year of two digits may be away from the day of reading.
const SHORT_YEAR_AWAY: i16 = 2;
/// Days within which a session is planned or looked back on: a day on its weekday further away is not preferred.
const NEAR_DAYS: i32 = 183;
/// Within so many days of the day of reading a date without a year can mean that day only: the next is three times as far away.
const CLEAR_DAYS: i32 = 91;

/// Reads a date that can mean one day only.
pub(super) fn read(text: &str, reading: Reading) -> Result<Date, Doubt> {
    let dashes = text.replace(
        [
            '/', '.', ',', '\u{2010}', '\u{2011}', '\u{2013}', '\u{2212}',
        ],
        "-",
    );
    let mut parts: Vec<&str> = dashes
        .split(['-', ' '])
        .filter(|part| {
            !part.is_empty()
                && !part.eq_ignore_ascii_case("of")
                && !part.eq_ignore_ascii_case("the")
        })
        .collect();
    let said = parts.first().copied().and_then(weekday_of);
    if said.is_some() {
        parts.remove(0);
    }
    if let [a, b] = parts.as_slice() {
        return without_year(a, b, said, reading);
    }
    let dashed = text.contains(is_dash);
    let date = with_year(&parts, dashed, reading)?;
    match said {
        Some(weekday) if date.weekday() != weekday => Err(Doubt::Weekday(date)),
        _ => Ok(date),
    }
}

/// Whether a text is a date, however much of it is open.
pub(super) fn is_one(text: &str, reading: Reading) -> bool {
    !matches!(read(text, reading), Err(Doubt::None))
}

fn with_year(parts: &[&str], dashed: bool, reading: Reading) -> Result<Date, Doubt> {
    let &[first, second, third] = parts else {
        return Err(Doubt::None);
    };
    if first.len() == 4 && first.bytes().all(|b| b.is_ascii_digit()) {
        return civil(first, second, third).ok_or(Doubt::None);
    }
    if let Some(month) = month_of(second) {
        return civil(third, &month, first).ok_or(Doubt::None);
    }
    if let Some(month) = month_of(first) {
        return civil(third, &month, second).ok_or(Doubt::None);
    }
    // `16-5-26` may be reps that differ.
    let third = &short_year(third, reading)
        .filter(|_| !dashed)
        .unwrap_or_else(|| (*third).to_owned());
    match (civil(third, second, first), civil(third, first, second)) {
        (Some(date), None) | (None, Some(date)) => Ok(date),
        (Some(a), Some(b)) if a == b => Ok(a),
        (Some(day_first), Some(month_first)) => match reading.day_first {
            Some(true) => Ok(day_first),
            Some(false) => Ok(month_first),
            None => Err(Doubt::Order(day_first, month_first)),
        },
        (None, None) => Err(Doubt::None),
    }
}

/// The year of `16/5/26`, where it is near the day of reading: else the numbers are no date.
fn short_year(text: &str, reading: Reading) -> Option<String> {
    let short: i16 = text.parse().ok().filter(|_| text.len() == 2)?;
    let year = 2000 + short;
    let near = (reading.today?.year() - year).abs() <= SHORT_YEAR_AWAY;
    near.then(|| year.to_string())
}

/// `Sat 16 May`, `Sat 16/5`: the nearest year in which that day is a Saturday. Without a weekday the day must be near, else the year is
/// asked for, and two numbers are no date.
fn without_year(a: &str, b: &str, said: Option<Weekday>, reading: Reading) -> Result<Date, Doubt> {
    let number = |text: &str| text.parse::<u8>().is_ok();
    if let (Some(weekday), true, true) = (said, number(a), number(b)) {
        return in_figures(a, b, weekday, reading);
    }
    let in_year = |year: i16| {
        let year = year.to_string();
        match (month_of(a), month_of(b)) {
            (None, Some(month)) => civil(&year, &month, a),
            (Some(month), None) => civil(&year, &month, b),
            _ => None,
        }
    };
    // 2024 is a leap year: every day of a year is one of it.
    if in_year(2024).is_none() {
        return Err(Doubt::None);
    }
    let Some(today) = reading.today else {
        return Err(Doubt::Year(None, None));
    };
    let distance = |date: &Date| {
        let days = today.until(DateDifference::from(*date).largest(Unit::Day));
        days.map_or(i32::MAX, |span| span.get_days().abs())
    };
    // A day of the year falls on a weekday again after five years at the soonest.
    let mut dates: Vec<Date> = (today.year().saturating_sub(2)..=today.year().saturating_add(2))
        .filter_map(in_year)
        .filter(|date| said.is_none_or(|weekday| date.weekday() == weekday))
        .collect();
    dates.sort_by_key(distance);
    match (dates.first(), said) {
        (Some(date), Some(_)) => Ok(*date),
        (Some(date), None) if distance(date) <= CLEAR_DAYS => Ok(*date),
        (first, _) => Err(Doubt::Year(first.copied(), dates.get(1).copied())),
    }
}

/// `Mon 18/05`: the order that makes it that weekday in the nearest year; asked about where both orders do.
fn in_figures(a: &str, b: &str, weekday: Weekday, reading: Reading) -> Result<Date, Doubt> {
    let exists = |month, day| civil("2024", month, day).is_some();
    if !exists(b, a) && !exists(a, b) {
        return Err(Doubt::None);
    }
    let Some(today) = reading.today else {
        return Err(Doubt::Year(None, None));
    };
    let nearest = |month: &str, day: &str| {
        let year = today.year();
        (year.saturating_sub(2)..=year.saturating_add(2))
            .filter_map(|year| civil(&year.to_string(), month, day))
            .filter(|date| date.weekday() == weekday)
            .min_by_key(|date| {
                today
                    .until(*date)
                    .map_or(i32::MAX, |span| span.get_days().abs())
            })
    };
    let near = |date: &Date| {
        let days = today
            .until(*date)
            .map_or(i32::MAX, |span| span.get_days().abs());
        days <= NEAR_DAYS
    };
    let (day_first, month_first) = (nearest(b, a), nearest(a, b));
    let (said, other) = match reading.day_first {
        Some(true) => (day_first, month_first),
        Some(false) => (month_first, day_first),
        None => match (day_first, month_first) {
            (Some(one), Some(other)) if near(&other) && !near(&one) => (Some(other), Some(one)),
            (Some(one), other) => (Some(one), other),
            (None, other) => (other, None),
        },
    };
    let Some(said) = said else {
        return Err(Doubt::Year(None, None));
    };
    match other.filter(|other| *other != said) {
        // The order that was said makes it a day years away.
        Some(other) if reading.day_first.is_some() && near(&other) && !near(&said) => {
            Err(Doubt::Order(said, other))
        }
        Some(other) if reading.day_first.is_none() && near(&other) == near(&said) => {
            Err(Doubt::Order(said, other))
        }
        _ => Ok(said),
    }
}

fn civil(year: &str, month: &str, day: &str) -> Option<Date> {
    let year: i16 = year
        .parse()
        .ok()
        .filter(|year| (1900..2200).contains(year))?;
    let day = day.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    Date::new(year, month.parse().ok()?, day.parse().ok()?).ok()
}

fn month_of(text: &str) -> Option<String> {
    const MONTHS: [&str; 12] = [
        "january",
        "february",
        "march",
        "april",
        "may",
        "june",
        "july",
        "august",
        "september",
        "october",
        "november",
        "december",
    ];
    let text = text.to_lowercase();
    let index = MONTHS.iter().position(|month| begins(month, &text))?;
    Some((index + 1).to_string())
}

/// Three letters of a name or more.
fn begins(name: &str, text: &str) -> bool {
    text.len() >= 3 && name.starts_with(text)
}

const WEEKDAYS: [(&str, Weekday); 7] = [
    ("Monday", Weekday::Monday),
    ("Tuesday", Weekday::Tuesday),
    ("Wednesday", Weekday::Wednesday),
    ("Thursday", Weekday::Thursday),
    ("Friday", Weekday::Friday),
    ("Saturday", Weekday::Saturday),
    ("Sunday", Weekday::Sunday),
];

fn weekday_of(text: &str) -> Option<Weekday> {
    let text = text.to_lowercase();
    WEEKDAYS
        .into_iter()
        .find(|(name, _)| begins(&name.to_lowercase(), &text))
        .map(|(_, weekday)| weekday)
}

/// The name of the day of the week.
pub(super) fn weekday(date: Date) -> &'static str {
    WEEKDAYS
        .into_iter()
        .find(|(_, weekday)| *weekday == date.weekday())
        .map_or("day", |(name, _)| name)
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::{Doubt, Reading, read};

    #[test]
    fn a_date_is_read_where_it_can_mean_one_day_only() {
        let known = |text| read(text, Reading::default());
        let meant = Ok(date(2026, 5, 16));
        for text in [
            "2026-05-16",
            "16.5.2026",
            "5/16/2026",
            "May 16, 2026",
            "16 May 2026",
            "16th of May 2026",
            "Sat 16 May 2026",
            "Saturday, 16.5.2026",
        ] {
            assert_eq!(known(text), meant, "{text}");
        }
        assert_eq!(
            known("4/5/2026"),
            Err(Doubt::Order(date(2026, 5, 4), date(2026, 4, 5)))
        );
        assert_eq!(known("40/50/2026"), Err(Doubt::None));
        assert_eq!(
            known("Sun 16 May 2026"),
            Err(Doubt::Weekday(date(2026, 5, 16)))
        );
        assert_eq!(known("Sat 16 May"), Err(Doubt::Year(None, None)));
        assert_eq!(known("16 May"), Err(Doubt::Year(None, None)));
    }

    #[test]
    fn order_and_day_of_reading_settle_what_is_open() {
        let reading = Reading {
            day_first: Some(true),
            today: Some(date(2026, 4, 30)),
        };
        assert_eq!(read("4/5/2026", reading), Ok(date(2026, 5, 4)));
        assert_eq!(read("Sat 16 May", reading), Ok(date(2026, 5, 16)));
        // 16 May was a Friday in 2025 and is a Sunday in 2027.
        assert_eq!(read("Fri 16 May", reading), Ok(date(2025, 5, 16)));
        // Sixteen days away, and 349 a year before.
        for near in ["16 May", "16th May", "May 16th", "the 16th of May"] {
            assert_eq!(read(near, reading), Ok(date(2026, 5, 16)), "{near}");
        }
        assert_eq!(
            read("16 Dec", reading),
            Err(Doubt::Year(
                Some(date(2025, 12, 16)),
                Some(date(2026, 12, 16))
            ))
        );
        assert_eq!(read("31 Feb", reading), Err(Doubt::None));
    }

    #[test]
    fn a_day_near_the_day_of_reading_is_preferred_to_one_years_away() {
        let today = Some(date(2026, 5, 20));
        let reading = |day_first| Reading { day_first, today };
        let (may, december) = (date(2026, 5, 12), date(2028, 12, 5));
        assert_eq!(read("Tue 12/05", reading(None)), Ok(may));
        assert_eq!(read("Tue 12/05", reading(Some(true))), Ok(may));
        assert_eq!(
            read("Tue 12/05", reading(Some(false))),
            Err(Doubt::Order(december, may))
        );
        assert_eq!(read("Mon 4/5", reading(None)), Ok(date(2026, 5, 4)));
        assert_eq!(read("16/5/26", reading(None)), Ok(date(2026, 5, 16)));
        assert_eq!(read("16/5/26", Reading::default()), Err(Doubt::None));
        assert_eq!(read("10/20/30", reading(None)), Err(Doubt::None));
    }
}
