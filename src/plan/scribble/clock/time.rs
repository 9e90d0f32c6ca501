//! A time of day as it is written: `18:15`, `17h30`, `9.45`, `6 pm`.

use crate::plan::word;

/// A time of day.
#[derive(Clone, Copy)]
pub(super) struct Time {
    hour: u32,
    /// `None` where the hour stands alone: `6pm`.
    pub minute: Option<u32>,
    /// The half of the day, where it says `am` or `pm`.
    pub half: Option<Half>,
}

/// The half of a day.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Half {
    Morning,
    Afternoon,
}

impl Time {
    /// The time that a text begins with, and what stands behind it.
    pub(super) fn read(text: &str) -> Option<(Self, &str)> {
        let after = text.trim_start_matches(|c: char| c.is_ascii_digit());
        let figures = text.get(..text.len() - after.len())?;
        let hour: u32 = figures.parse().ok().filter(|hour| *hour < 24)?;
        let minute = after.strip_prefix([':', '.', 'h']).and_then(|behind| {
            let minute: u32 = behind.get(..2)?.parse().ok()?;
            (minute < 60).then_some((minute, behind.get(2..)?))
        });
        let after = minute.map_or(after, |(_, behind)| behind);
        let half = half_of_the_day(after).filter(|_| hour <= 12);
        Some((
            Self {
                hour,
                minute: minute.map(|(minute, _)| minute),
                half: half.map(|(half, _)| half),
            },
            half.map_or(after, |(_, behind)| behind),
        ))
    }

    /// The time behind a dash or a word that leads to the end of another: ` - 18:15`, ` to 6pm`.
    pub(super) fn behind(text: &str) -> Option<(Self, &str)> {
        const LEADS: [&str; 3] = ["to ", "until ", "till "];
        let text = text.trim_start();
        let dash = text.chars().next().filter(|c| word::is_dash(*c));
        let lead = LEADS.iter().find_map(|lead| text.strip_prefix(lead));
        let tail = match dash {
            Some(dash) => text.get(dash.len_utf8()..)?,
            None => lead?,
        };
        let (time, after) = Self::read(tail.trim_start())?;
        // `18:00 - 5 v 2` and `18:00 - 6x30m` end at no time.
        let ends = time.minute.is_some() || time.half.is_some();
        ends.then_some((time, after))
    }

    /// Minutes of the day, in this half of it.
    pub(super) fn minutes(self, half: Option<Half>) -> u32 {
        let hour = match half {
            Some(half) if self.hour <= 12 => {
                self.hour % 12 + if half == Half::Afternoon { 12 } else { 0 }
            }
            _ => self.hour,
        };
        60 * hour + self.minute.unwrap_or(0)
    }

    /// The figures as minutes and seconds, s.
    pub(super) fn length_s(self) -> u32 {
        60 * self.hour + self.minute.unwrap_or(0)
    }
}

/// `pm` behind a time, and what stands behind it.
fn half_of_the_day(after: &str) -> Option<(Half, &str)> {
    let text = after.trim_start();
    let half = match text.get(..2)?.to_lowercase().as_str() {
        "am" => Half::Morning,
        "pm" => Half::Afternoon,
        _ => return None,
    };
    let behind = text.get(2..)?;
    (!behind.starts_with(char::is_alphanumeric)).then_some((half, behind))
}
