//! Reads a header line: `title: Winger, midweek`.

use std::fmt;
use std::ops::Range;

use jiff::civil::Date;

use crate::plan::amount;
use crate::plan::date::{self, Doubt, Reading};
use crate::plan::line::Line;
use crate::plan::near::nearest;
use crate::plan::phrase::{self, Phrases};
use crate::plan::word::{self, fault, is_double_quote};
use crate::plan::{Category, Header, Mistake, PitchSize};

/// The keys in the order in which they are written.
pub(super) const KEYS: [&str; 7] = [
    "title",
    "athlete",
    "date",
    "match day",
    "pitch",
    "top speed",
    "paced",
];

/// One header line.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Heading {
    Title(String),
    Athlete(String),
    Date(Date),
    MatchDay(Date),
    Pitch(PitchSize),
    TopSpeed(f64),
    PacedByCues,
}

/// A header line that was recognised, with what is wrong in it.
pub(super) struct Read {
    /// What it says; `None` where it cannot be read.
    pub heading: Option<Heading>,
    /// Which of [`KEYS`] it is, if it is one.
    pub key: Option<usize>,
    /// The bytes of the key.
    pub key_span: Range<usize>,
    /// Where the comment begins.
    pub comment: Option<usize>,
    pub mistakes: Vec<Mistake>,
}

/// Reads the line if it is a header line: words and a colon, and the words are no category.
pub(super) fn read(line: Line<'_>, reading: Reading) -> Option<Read> {
    let content = line.content();
    let colon = content.find([':', '：'])?;
    let before = content.get(..colon)?;
    let is_key = |c: char| {
        c.is_alphabetic()
            || c.is_whitespace()
            || "-_'’\u{2010}\u{2011}\u{2013}\u{feff}\u{200b}".contains(c)
    };
    if !before.chars().all(is_key) {
        return None;
    }
    let key_text = before.trim_matches(|c: char| !c.is_alphabetic());
    if key_text.is_empty() || phrase::begins_with_category(key_text) {
        return None;
    }
    let key_start = line.start + before.find(key_text)?;
    let key_span = key_start..key_start + key_text.len();
    let value_at = line.start + colon + content.get(colon..)?.chars().next()?.len_utf8();
    let plain = |text: &str| -> String {
        let letters = text.chars().filter(|c| c.is_alphabetic());
        letters.flat_map(char::to_lowercase).collect()
    };
    let key = KEYS.iter().position(|key| plain(key) == plain(key_text));
    let mut out = Read {
        heading: None,
        key,
        key_span,
        comment: None,
        mistakes: Vec::new(),
    };
    let Some(key) = key else {
        let mut words: Vec<&str> = KEYS.to_vec();
        words.extend(Category::ALL.iter().map(|category| category.word()));
        out.mistakes.push(
            line.mistake(
                out.key_span.clone(),
                format!("`{key_text}` is no header line"),
            )
            .expecting("title, athlete, date, match day, pitch, top speed or paced")
            .suggesting(nearest(&word::clean(key_text), &words)),
        );
        out.comment = line
            .slice(&(value_at..line.end))
            .find('#')
            .map(|at| value_at + at);
        return Some(out);
    };
    value(line, key, value_at, reading, &mut out);
    Some(out)
}

fn value(line: Line<'_>, key: usize, at: usize, reading: Reading, out: &mut Read) {
    let (text, span, comment) = raw_value(line, at);
    out.comment = comment;
    if text.is_empty() {
        let key_name = KEYS.get(key).copied().unwrap_or_default();
        out.mistakes.push(
            line.mistake(
                out.key_span.clone(),
                format!("nothing is written behind `{key_name}:`"),
            )
            .expecting(format!("{}, or no such line", example(key))),
        );
        return;
    }
    let unreadable = line.slice(&span).char_indices().find_map(|(at, c)| {
        let start = span.start + at;
        fault(c).map(|message| (start..start + c.len_utf8(), message))
    });
    if let Some((place, message)) = unreadable {
        out.mistakes.push(
            line.mistake(place, message)
                .expecting("plain text, saved as UTF-8"),
        );
        return;
    }
    out.heading = match key {
        0 => Some(Heading::Title(text)),
        1 => Some(Heading::Athlete(text)),
        2 | 3 => written_date(line, &text, span, key, reading, out).map(|date| match key {
            2 => Heading::Date(date),
            _ => Heading::MatchDay(date),
        }),
        4 => pitch(line, span, out).map(Heading::Pitch),
        5 => top_speed(line, span, out).map(Heading::TopSpeed),
        _ if text.eq_ignore_ascii_case("cues") || text.eq_ignore_ascii_case("by cues") => {
            Some(Heading::PacedByCues)
        }
        _ => {
            out.mistakes.push(
                line.mistake(span, format!("`{text}` paces no plan"))
                    .expecting("`paced: cues` where the sound track of `--cues` was played, or no such line"),
            );
            None
        }
    };
}

fn example(key: usize) -> &'static str {
    match key {
        0 => "a title",
        1 => "a name",
        4 => "a size such as `100 x 64 m`",
        5 => "a speed such as `8.8 m/s`",
        6 => "`cues`",
        _ => "a date such as `2026-05-16`",
    }
}

/// The value without its quotes, the bytes it stands on, and where a comment begins. Quotes protect a `#`.
fn raw_value(line: Line<'_>, at: usize) -> (String, Range<usize>, Option<usize>) {
    let raw = line.slice(&(at..line.end));
    let lead = raw.len() - raw.trim_start().len();
    let mut inside = raw.trim_start().chars();
    if inside.next().is_some_and(is_double_quote) {
        let inside = inside.as_str();
        if let Some(close) = inside.find(is_double_quote) {
            let mut tail = inside.get(close..).unwrap_or_default().chars();
            tail.next();
            let tail = tail.as_str();
            let name = word::clean(inside.get(..close).unwrap_or_default());
            let behind = tail.trim_start();
            if behind.is_empty() || behind.starts_with('#') {
                let end = line.end - tail.len();
                let comment = behind.starts_with('#').then_some(line.end - behind.len());
                return (name, at + lead..end, comment);
            }
        }
    }
    let comment = raw.find('#').map(|index| at + index);
    let value = line.slice(&(at..comment.unwrap_or(line.end)));
    let start = at + (value.len() - value.trim_start().len());
    let end = (at + value.trim_end().len()).max(start);
    (word::clean(value), start..end, comment)
}

/// The date on a line, or what is wrong with it.
fn written_date(
    line: Line<'_>,
    text: &str,
    span: Range<usize>,
    key: usize,
    reading: Reading,
    out: &mut Read,
) -> Option<Date> {
    let key = KEYS.get(key).copied().unwrap_or_default();
    let doubt = match date::read(text, reading) {
        Ok(date) => return Some(date),
        Err(doubt) => doubt,
    };
    let order = matches!(doubt, Doubt::Order(..));
    let (message, dates) = match doubt {
        Doubt::None => (format!("`{text}` is no date that can be read"), Vec::new()),
        Doubt::Weekday(date) => (format!("{date} is a {}", date::weekday(date)), Vec::new()),
        Doubt::Order(a, b) => (
            format!("`{text}` can be day first or month first"),
            vec![a, b],
        ),
        Doubt::Year(first, second) => (
            format!("`{text}` does not say the year"),
            first.into_iter().chain(second).collect(),
        ),
    };
    let mut mistake = line.mistake(span, message).expecting(if order {
        "year, month and day, or `--dates dmy` or `--dates mdy` once for all"
    } else {
        "year, month and day, such as `2026-05-16` or `16 May 2026`"
    });
    mistake.lines = dates.iter().map(|date| format!("{key}: {date}")).collect();
    out.mistakes.push(mistake);
    None
}

/// The value at `span` cut into words, ready to be read as phrases.
fn phrases<'a>(line: Line<'a>, span: &Range<usize>, out: &mut Read) -> Option<Phrases<'a>> {
    let value = Line {
        end: span.end,
        ..line
    };
    let cut = word::words(value, span.start);
    if !cut.mistakes.is_empty() {
        out.mistakes.extend(cut.mistakes);
        return None;
    }
    Some(Phrases::new(line, cut.list, false))
}

fn pitch(line: Line<'_>, span: Range<usize>, out: &mut Read) -> Option<PitchSize> {
    let mut phrases = phrases(line, &span, out)?;
    let sizes = phrases.two_lengths();
    out.mistakes.append(&mut phrases.mistakes);
    if !out.mistakes.is_empty() {
        return None;
    }
    let wrong = |message: &str| {
        line.mistake(span.clone(), message)
            .expecting("length and width, such as `100 x 64 m`")
    };
    match sizes {
        Some((length_m, width_m))
            if !(5.0..=200.0).contains(&length_m) || !(5.0..=200.0).contains(&width_m) =>
        {
            out.mistakes
                .push(wrong("a pitch measures between 5 and 200 m"));
        }
        Some((length_m, width_m)) if length_m < width_m => {
            let turned = PitchSize {
                length_m: width_m,
                width_m: length_m,
            };
            out.mistakes.push(
                wrong("the length comes first, and is no shorter than the width")
                    .suggesting(Some(turned.to_string())),
            );
        }
        Some((length_m, width_m)) => return Some(PitchSize { length_m, width_m }),
        None => out.mistakes.push(wrong("this is no size of a pitch")),
    }
    None
}

fn top_speed(line: Line<'_>, span: Range<usize>, out: &mut Read) -> Option<f64> {
    let mut phrases = phrases(line, &span, out)?;
    let speed = phrases.one_speed();
    out.mistakes.append(&mut phrases.mistakes);
    if speed.is_none() && out.mistakes.is_empty() {
        out.mistakes.push(
            line.mistake(span, "this is no speed")
                .expecting("a speed such as `8.8 m/s`, `31.7 km/h` or `19.7 mph`"),
        );
    }
    speed
}

impl Heading {
    /// Puts the value where it belongs.
    pub(crate) fn enter(self, header: &mut Header) {
        match self {
            Self::Title(title) => header.title = Some(title),
            Self::Athlete(athlete) => header.athlete = Some(athlete),
            Self::Date(date) => header.date = Some(date),
            Self::MatchDay(date) => header.match_day = Some(date),
            Self::Pitch(size) => header.pitch = Some(size),
            Self::TopSpeed(speed) => header.top_speed_m_s = Some(speed),
            Self::PacedByCues => header.paced_by_cues = true,
        }
    }

    /// The headings that make this header, in the usual order.
    pub(crate) fn all(header: &Header) -> Vec<Self> {
        [
            header.title.clone().map(Self::Title),
            header.athlete.clone().map(Self::Athlete),
            header.date.map(Self::Date),
            header.match_day.map(Self::MatchDay),
            header.pitch.map(Self::Pitch),
            header.top_speed_m_s.map(Self::TopSpeed),
            header.paced_by_cues.then_some(Self::PacedByCues),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

impl fmt::Display for Heading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Title(title) => write!(f, "title: {}", header_text(title)),
            Self::Athlete(athlete) => write!(f, "athlete: {}", header_text(athlete)),
            Self::Date(date) => write!(f, "date: {date}"),
            Self::MatchDay(date) => write!(f, "match day: {date}"),
            Self::Pitch(size) => write!(f, "pitch: {size}"),
            Self::TopSpeed(speed) => write!(f, "top speed: {}", amount::speed_text(*speed)),
            Self::PacedByCues => f.write_str("paced: cues"),
        }
    }
}

/// A title as it must stand in a file to be read back the same.
fn header_text(text: &str) -> String {
    let text = word::clean(text);
    if text.contains('#') {
        format!("\"{}\"", text.replace(is_double_quote, "'"))
    } else {
        text
    }
}

impl PitchSize {
    /// In which unit both sides come out even.
    fn parts(&self) -> [String; 2] {
        [
            amount::length_text(self.length_m),
            amount::length_text(self.width_m),
        ]
    }
}

impl fmt::Display for PitchSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [length, width] = self.parts();
        match (length.split_once(' '), width.split_once(' ')) {
            (Some((length, unit)), Some((width, same))) if unit == same => {
                write!(f, "{length} x {width} {unit}")
            }
            _ => write!(f, "{length} x {width}"),
        }
    }
}
