//! A zone as it is typed: by its name in the zone database, or by its offset.

use jiff::tz::{Offset, TimeZone};

/// `Europe/Rome`, `+02:00`, `-3`, `Z`.
pub(super) fn read(text: &str) -> Result<TimeZone, String> {
    match offset(text) {
        Some(offset) => Ok(TimeZone::fixed(offset)),
        None => {
            TimeZone::get(text).map_err(|_| "write it as Europe/Rome, +02:00 or -05:30".to_owned())
        }
    }
}

fn offset(text: &str) -> Option<Offset> {
    if text == "Z" || text == "z" {
        return Some(Offset::UTC);
    }
    let (sign, rest) = match text.split_at_checked(1)? {
        ("+", rest) => (1, rest),
        ("-", rest) => (-1, rest),
        _ => return None,
    };
    let (hours, minutes) = rest.split_once(':').unwrap_or((rest, "0"));
    let number = |text: &str, most: i32| {
        let number = text.parse::<i32>().ok()?;
        (text.len() <= 2 && (0..=most).contains(&number)).then_some(number)
    };
    let seconds = sign * (number(hours, 14)? * 3600 + number(minutes, 59)? * 60);
    Offset::from_seconds(seconds).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_zone_has_a_name_or_an_offset() {
        let seconds = |text| offset(text).map(Offset::seconds);
        assert_eq!(seconds("+02:00"), Some(7200));
        assert_eq!(seconds("-05:30"), Some(-19800));
        assert_eq!(seconds("+2"), Some(7200));
        assert_eq!(seconds("Z"), Some(0));
        for text in ["Europe/Rome", "UTC", "+02:00"] {
            assert!(read(text).is_ok(), "{text}");
        }
        for wrong in ["", "2", "+", "+25:00", "+1:60", "+1:-5", "Rome", "+é"] {
            assert!(read(wrong).is_err(), "{wrong}");
        }
    }
}
