//! Dates and times without signs between their parts: `120526` and `173000.00` as NMEA 0183 writes them, `20260512T173000Z` as ISO 8601
//! does, and `120526173000` run together.

use crate::trace::{DateOrder, time};

/// `120526` as `12/05/26` for six digits alone, `20260512` as `2026-05-12` for eight.
pub(super) fn date(cell: &str) -> Option<String> {
    if cell.len() == 8 {
        return year_month_day(cell);
    }
    let [a, b, c] = pairs(cell)?;
    (cell.len() == 6).then(|| format!("{a}/{b}/{c}"))
}

/// `173000.00` as `17:30:00.00`.
pub(super) fn clock(cell: &str) -> Option<String> {
    let [a, b, c] = pairs(cell)?;
    let fraction = cell.get(6..)?;
    let digits = fraction.strip_prefix(['.', ',']).unwrap_or(fraction);
    let sound = digits.len() <= 9
        && digits.bytes().all(|b| b.is_ascii_digit())
        && (fraction.is_empty() || fraction.len() > digits.len() && !digits.is_empty());
    sound.then(|| format!("{a}:{b}:{c}{fraction}"))
}

/// `120526 173000` as `12/05/26 17:30:00`, `20260512T173000Z` as `2026-05-12 17:30:00Z`.
pub(super) fn date_time(cell: &str) -> Option<String> {
    let (day, time) = cell.split_once([' ', 'T', 't', '_'])?;
    let time = time.trim_start();
    let zone = time
        .find(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ','))
        .unwrap_or(time.len());
    let (time, zone) = time.split_at_checked(zone)?;
    Some(format!("{} {}{zone}", date(day)?, clock(time)?))
}

/// `20260512` as `2026-05-12`, where that is a day.
fn year_month_day(cell: &str) -> Option<String> {
    let written = format!("{}-{}-{}", cell.get(..4)?, cell.get(4..6)?, cell.get(6..8)?);
    time::date(&written, None).is_ok().then_some(written)
}

/// In which order day, month and year stand in twelve or fourteen digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Glued {
    Dmy,
    Mdy,
    Ymd,
}

impl Glued {
    pub(super) const ALL: [Self; 3] = [Self::Dmy, Self::Mdy, Self::Ymd];

    /// `120526173000.5` as `2026-05-12 17:30:00.5`, where that is a time of that order.
    pub(super) fn read(self, cell: &str) -> Option<String> {
        let whole = cell.split(['.', ',']).next()?;
        let length = whole.len().checked_sub(6)?;
        let (day, time) = cell.split_at_checked(length)?;
        let wide = match length {
            6 => 2,
            8 => 4,
            _ => return None,
        };
        let (month, date, year) = match self {
            Self::Ymd => (
                day.get(wide..wide + 2)?,
                day.get(wide + 2..)?,
                day.get(..wide)?,
            ),
            Self::Dmy => (day.get(2..4)?, day.get(..2)?, day.get(4..)?),
            Self::Mdy => (day.get(..2)?, day.get(2..4)?, day.get(4..)?),
        };
        let century = if wide == 2 { "20" } else { "" };
        let written = format!("{century}{year}-{month}-{date} {}", clock(time)?);
        time::date_time(&written, None).is_ok().then_some(written)
    }
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
        assert_eq!(date("20260512").as_deref(), Some("2026-05-12"));
        assert_eq!(
            date_time("20260512T173000.5Z").as_deref(),
            Some("2026-05-12 17:30:00.5Z")
        );
        assert_eq!(
            date_time("20260512T193000+0200").as_deref(),
            Some("2026-05-12 19:30:00+0200")
        );
        for cell in ["12526", "1205260", "12-526", "", "1é2345", "20261312"] {
            assert_eq!(date(cell), None, "{cell}");
        }
        for cell in ["1730", "1730001", "173000.", "173000.x"] {
            assert_eq!(clock(cell), None, "{cell}");
        }
    }

    #[test]
    fn glued_digits_are_read_in_each_order() {
        let read = |cell: &str| Glued::ALL.map(|order| order.read(cell));
        let some = |text: &str| Some(text.to_owned());
        assert_eq!(
            read("120526181230"),
            [
                some("2026-05-12 18:12:30"),
                some("2026-12-05 18:12:30"),
                some("2012-05-26 18:12:30")
            ]
        );
        assert_eq!(
            read("20260512181230.5"),
            [None, None, some("2026-05-12 18:12:30.5")]
        );
        assert_eq!(
            read("13052026181230"),
            [some("2026-05-13 18:12:30"), None, None]
        );
        for cell in [
            "978307200000",
            "1778693400000",
            "120526256199",
            "12052618123x",
            "",
        ] {
            assert_eq!(read(cell), [None, None, None], "{cell}");
        }
    }

    #[test]
    fn the_order_is_known_where_the_year_cannot_come_first() {
        assert_eq!(order("23/03/94"), Some(DateOrder::DayMonthYear));
        assert_eq!(order("12/05/26"), None);
        assert_eq!(order("05/13/26"), None);
    }
}
