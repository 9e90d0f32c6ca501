//! Dates and times without signs between their parts, as NMEA 0183 writes them: `120526` and `173000.00`.

use crate::trace::DateOrder;

/// `120526` as `12/05/26`, for six digits alone.
pub(super) fn date(cell: &str) -> Option<String> {
    let [a, b, c] = pairs(cell)?;
    (cell.len() == 6).then(|| format!("{a}/{b}/{c}"))
}

/// `173000.00` as `17:30:00.00`.
pub(super) fn clock(cell: &str) -> Option<String> {
    let [a, b, c] = pairs(cell)?;
    let fraction = cell.get(6..)?;
    let digits = fraction.strip_prefix('.').unwrap_or(fraction);
    let sound = digits.len() <= 9
        && digits.bytes().all(|b| b.is_ascii_digit())
        && (fraction.is_empty() || fraction.len() > digits.len() && !digits.is_empty());
    sound.then(|| format!("{a}:{b}:{c}{fraction}"))
}

/// `120526 173000` as `12/05/26 17:30:00`.
pub(super) fn date_time(cell: &str) -> Option<String> {
    let (day, time) = cell.split_once(' ')?;
    Some(format!("{} {}", date(day)?, clock(time.trim_start())?))
}

/// The order of such a date: the day comes first where the year could not, since the third part is no day of a month.
pub(super) fn order(date: &str) -> Option<DateOrder> {
    let mut parts = date.split(['/', ' ']).map(str::parse::<u32>);
    let (Some(Ok(a)), Some(Ok(b)), Some(Ok(c))) = (parts.next(), parts.next(), parts.next()) else {
        return None;
    };
    let day_first = (1..=31).contains(&a) && (1..=12).contains(&b);
    let year_first = (1..=12).contains(&b) && (1..=31).contains(&c);
    let month_first = (1..=12).contains(&a) && (1..=31).contains(&b);
    (day_first && !year_first && !month_first).then_some(DateOrder::DayMonthYear)
}

fn pairs(cell: &str) -> Option<[&str; 3]> {
    let digits = cell.get(..6)?.bytes().all(|b| b.is_ascii_digit());
    let pair = |at: usize| cell.get(at..at + 2);
    digits.then_some([pair(0)?, pair(2)?, pair(4)?])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_alone_are_parted() {
        assert_eq!(date("120526").as_deref(), Some("12/05/26"));
        assert_eq!(clock("173000.50").as_deref(), Some("17:30:00.50"));
        assert_eq!(
            date_time("120526 173000").as_deref(),
            Some("12/05/26 17:30:00")
        );
        for cell in ["12526", "1205260", "12-526", "", "1é2345"] {
            assert_eq!(date(cell), None, "{cell}");
        }
        for cell in ["1730", "1730001", "173000.", "173000.x"] {
            assert_eq!(clock(cell), None, "{cell}");
        }
    }

    #[test]
    fn the_order_is_known_where_the_year_cannot_come_first() {
        assert_eq!(order("23/03/94"), Some(DateOrder::DayMonthYear));
        assert_eq!(order("12/05/26"), None);
        assert_eq!(order("05/13/26"), None);
    }
}
