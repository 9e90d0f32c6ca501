//! Numbers as they are typed; of what is none it is said what is meant.

use std::fmt::Display;
use std::ops::RangeInclusive;
use std::str::FromStr;

/// The number of an entry of the diary.
pub(super) fn entry(text: &str) -> Result<i64, String> {
    text.trim().parse().map_err(|_| {
        "an entry's number is meant, such as 12; `repledger diary list` shows them".to_owned()
    })
}

/// The number of a plan in the diary.
pub(super) fn plan(text: &str) -> Result<i64, String> {
    text.trim().parse().map_err(|_| {
        "a plan's number is meant, such as 3; `repledger diary plan` shows them".to_owned()
    })
}

/// A heart rate, beats a minute.
pub(super) fn heart_rate(text: &str) -> Result<f64, String> {
    text.trim()
        .parse()
        .map_err(|_| "beats a minute are meant, such as 196".to_owned())
}

/// Rating of perceived exertion, CR-10.
pub(super) fn rpe(text: &str) -> Result<f64, String> {
    text.trim()
        .replace(',', ".")
        .parse()
        .ok()
        .filter(|number| (0.0..=10.0).contains(number))
        .ok_or_else(|| "a number from 0 to 10 is meant, such as 7 or 7.5".to_owned())
}

/// A length in minutes, at most a day.
pub(super) fn minutes(text: &str) -> Result<f64, String> {
    const DAY_MIN: f64 = 24.0 * 60.0;
    text.trim()
        .replace(',', ".")
        .parse()
        .ok()
        .filter(|number| (0.0..=DAY_MIN).contains(number))
        .ok_or_else(|| "minutes are meant, such as 90, and at most 1440, a day".to_owned())
}

/// A whole number within bounds.
pub(super) fn whole<T>(bounds: RangeInclusive<T>) -> impl Fn(&str) -> Result<T, String> + Clone
where
    T: FromStr + PartialOrd + Display + Clone,
{
    move |text| {
        let (least, most) = (bounds.start(), bounds.end());
        (text.trim().parse().ok())
            .filter(|number| bounds.contains(number))
            .ok_or_else(|| format!("a whole number from {least} to {most} is meant"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exertion_and_minutes_have_bounds() {
        assert_eq!(rpe("7.5"), Ok(7.5));
        assert_eq!(rpe("7,5"), Ok(7.5));
        assert!(rpe("11").is_err() && rpe("NaN").is_err() && rpe("-1").is_err());
        assert_eq!(minutes("90"), Ok(90.0));
        assert!(minutes("1441").is_err() && minutes("x").is_err());
    }

    #[test]
    fn numbers_are_whole_and_within_bounds() {
        let last = whole::<u16>(1..=520);
        assert_eq!(last("12"), Ok(12));
        for wrong in ["0", "521", "1.5", "abc", "-3", "99999"] {
            assert_eq!(
                last(wrong),
                Err("a whole number from 1 to 520 is meant".to_owned()),
                "{wrong}"
            );
        }
    }

    #[test]
    fn who_names_no_entry_is_told_where_they_stand() {
        assert_eq!(entry("12"), Ok(12));
        for wrong in ["abc", "1.5", "", "99999999999999999999"] {
            assert!(entry(wrong).is_err_and(|told| told.contains("repledger diary list")));
        }
    }
}
