//! Numbers with their units, and the bounds of what they may say.

use std::ops::{Range, RangeInclusive};

use super::{EXPECTED_DOSE, Phrases};
use crate::plan::amount::{self, LENGTH_M, SPEED_M_S, TIME_S};
use crate::plan::near::nearest;
use crate::plan::word::Kind;
use crate::units::{SpeedUnit, YARD_M};

pub(super) const EXPECTED_UNIT: &str = "a time (s, min, m:ss), a length (m, yd) or `reps`";

/// Numbers in words, from one on.
pub(in crate::plan) const NUMBERS: [&str; 12] = [
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
];

/// The unit behind a number, and what the number is then worth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Amount {
    Bare(f64),
    Time(f64),
    Length(f64),
    Speed(f64),
    Share(f64),
    Reps(f64),
    Sets(f64),
    /// A mistake that was reported.
    Unknown,
}

/// An amount with its place and the bytes of its number alone.
#[derive(Clone, Debug)]
pub(super) struct Item {
    pub amount: Amount,
    pub number: f64,
    pub span: Range<usize>,
    /// The numbers of a list with its unit, `10-20-10 m`; `amount` is the first of them.
    pub list: Vec<Amount>,
}

impl Phrases<'_> {
    /// Reads `100 x 64 m` to its end, in metres.
    pub(crate) fn two_lengths(&mut self) -> Option<(f64, f64)> {
        let items = self.items();
        let [first, second] = items.as_slice() else {
            return None;
        };
        let done = self.at == self.words.len();
        match (first.amount, second.amount) {
            (Amount::Length(a), Amount::Length(b)) if done => Some((a, b)),
            // The unit behind the second number is that of the first.
            (Amount::Bare(a), Amount::Length(b)) if done => {
                let yards = self.line.slice(&second.span).to_lowercase().contains('y');
                let unit_m = if yards { YARD_M } else { 1.0 };
                Some((amount::metres(a, unit_m), b))
            }
            _ => None,
        }
    }

    /// Reads one speed to the end.
    pub(crate) fn one_speed(&mut self) -> Option<f64> {
        let item = self.item()?;
        if !self.one_of_all(&item) {
            return None;
        }
        if let Amount::Bare(_) = item.amount {
            let end = item.span.end;
            self.wrong(end..end, "the unit of this speed is missing")
                .expected = Some("m/s, km/h or mph".to_owned());
        }
        let Amount::Speed(speed) = item.amount else {
            return None;
        };
        (self.at == self.words.len() && self.speed_in_bounds(speed, &item)).then_some(speed)
    }

    /// Numbers with `x`, or a word for it, between them.
    pub(super) fn items(&mut self) -> Vec<Item> {
        const WORDS: [&str; 6] = ["by", "of", "times", "lots", "mal", "à"];
        let mut items: Vec<Item> = Vec::new();
        while let Some(item) = self.item() {
            items.push(item);
            let from = self.at;
            let sign = self.kind() == Some(&Kind::Times);
            let word = self.letters(0);
            if sign {
                self.at += 1;
            } else if WORDS.contains(&word.as_str()) {
                self.at += 1;
                self.take(&["of"]);
            } else {
                break;
            }
            if self.kind_is_number() {
                continue;
            }
            if sign {
                let span = self
                    .words
                    .get(from)
                    .map_or(self.span(), |word| word.span.clone());
                self.wrong(span, "a number is missing behind this `x`")
                    .expected = Some(EXPECTED_DOSE.to_owned());
                if let Some(last) = items.last_mut() {
                    last.amount = Amount::Unknown;
                }
                self.skip();
            } else if let ("times", Some(last)) = (word.as_str(), items.last_mut())
                && let Amount::Bare(number) = last.amount
            {
                // `8 times`, with nothing behind it, are 8 reps.
                self.at = from + 1;
                last.amount = Amount::Reps(number);
            } else {
                self.at = from;
            }
            break;
        }
        items
    }

    /// A number in words, where it counts sets or reps: `one set of 6`. Elsewhere it may be part of a name.
    pub(super) fn number_word(&self) -> Option<f64> {
        const COUNTED: [&str; 7] = ["set", "sets", "rep", "reps", "times", "round", "rounds"];
        if !COUNTED.contains(&self.letters(1).as_str()) {
            return None;
        }
        let word = self.letters(0);
        let index = NUMBERS.iter().position(|name| *name == word)?;
        Some((index + 1) as f64)
    }

    /// One number with its unit.
    pub(super) fn item(&mut self) -> Option<Item> {
        let from = self.at;
        if let Some(number) = self.number_word() {
            self.at += 1;
            let amount = self.unit(number);
            return Some(Item {
                amount,
                number,
                span: self.since(from),
                list: Vec::new(),
            });
        }
        if let Some(Kind::List(numbers)) = self.kind() {
            let numbers = numbers.clone();
            return Some(self.list(from, &numbers));
        }
        let (number, clock) = match self.kind()? {
            Kind::Number(number) => (*number, false),
            Kind::Clock(seconds) => (*seconds, true),
            _ => return None,
        };
        self.at += 1;
        let amount = if clock {
            // `1:30 min` says the same twice.
            self.take(&["min"]);
            Amount::Time(amount::seconds(number, 1.0))
        } else {
            self.unit(number)
        };
        Some(Item {
            amount,
            number,
            span: self.since(from),
            list: Vec::new(),
        })
    }

    /// Several numbers with one unit behind them.
    fn list(&mut self, from: usize, numbers: &[f64]) -> Item {
        let mut list = Vec::with_capacity(numbers.len());
        for &number in numbers {
            self.at = from + 1;
            list.push(self.unit(number));
            if list.last() == Some(&Amount::Unknown) {
                break;
            }
        }
        Item {
            amount: list.first().copied().unwrap_or(Amount::Unknown),
            number: numbers.first().copied().unwrap_or(0.0),
            span: self.since(from),
            list,
        }
    }

    pub(super) fn unit(&mut self, number: f64) -> Amount {
        match self.kind() {
            Some(Kind::Percent) => {
                self.at += 1;
                return Amount::Share(amount::share(number));
            }
            Some(Kind::SecondSign) => {
                self.at += 1;
                return Amount::Time(amount::seconds(number, 1.0));
            }
            Some(Kind::MinuteSign) => {
                self.at += 1;
                return self.minutes(number);
            }
            Some(Kind::Letters) => {}
            _ => return Amount::Bare(number),
        }
        let word = self.letters(0);
        let Some(unit) = unit_of(&word) else {
            return self.unknown_unit(number, &word);
        };
        self.at += 1;
        let speed = |unit| Amount::Speed(amount::metres_per_second(number, unit));
        match unit {
            "s" => Amount::Time(amount::seconds(number, 1.0)),
            "min" => self.minutes(number),
            "m" => Amount::Length(amount::metres(number, 1.0)),
            "yd" => Amount::Length(amount::metres(number, YARD_M)),
            "m/s" => speed(SpeedUnit::MetresPerSecond),
            "km/h" => speed(SpeedUnit::KilometresPerHour),
            "mph" => speed(SpeedUnit::MilesPerHour),
            "reps" => Amount::Reps(number),
            _ => Amount::Sets(number),
        }
    }

    /// Minutes, and the seconds behind them: `1 min 30`, `1 min 30 s`, `1'30"`.
    pub(super) fn minutes(&mut self, minutes: f64) -> Amount {
        let whole = amount::seconds(minutes, 60.0);
        let Some(&Kind::Number(seconds)) = self.kind() else {
            return Amount::Time(whole);
        };
        let next = self.words.get(self.at + 1).map(|word| &word.kind);
        let unit = match next {
            Some(Kind::Letters) => {
                let word = self
                    .words
                    .get(self.at + 1)
                    .map(|word| self.line.slice(&word.span).to_lowercase())
                    .unwrap_or_default();
                match unit_of(&word) {
                    Some("s") => 2,
                    Some(_) => return Amount::Time(whole),
                    // `2 min 8 times`, `5 min 3 rounds`: a count of its own.
                    None if matches!(word.as_str(), "times" | "round" | "rounds") => {
                        return Amount::Time(whole);
                    }
                    None => 1,
                }
            }
            Some(Kind::SecondSign) => 2,
            Some(Kind::Times | Kind::Percent | Kind::MinuteSign | Kind::Colon) => {
                return Amount::Time(whole);
            }
            _ => 1,
        };
        if minutes.fract() != 0.0 || !(0.0..60.0).contains(&seconds) {
            return Amount::Time(whole);
        }
        self.at += unit;
        Amount::Time(amount::seconds(minutes * 60.0 + seconds, 1.0))
    }

    /// Letters behind a number that are no unit: a near miss, a wrong quantity, or the start of the next phrase.
    pub(super) fn unknown_unit(&mut self, number: f64, word: &str) -> Amount {
        const CONNECTED: [&str; 7] = ["by", "of", "times", "lots", "mal", "à", "and"];
        const BEHIND: [&str; 14] = [
            "over", "there", "at", "@", "rest", "then", "with", "between", "walk", "walkback",
            "on", "off", "round", "rounds",
        ];
        if CONNECTED.contains(&word) || BEHIND.contains(&word) || self.begins_phrase() {
            return Amount::Bare(number);
        }
        let span = self.span();
        let written = self.line.slice(&span).to_owned();
        self.at += 1;
        if is_hours(word) {
            let minutes = number * 60.0;
            let before = self.words.get(self.at.saturating_sub(2));
            let whole = before.map_or(span.start, |word| word.span.start)..span.end;
            let mistake = self.wrong(whole, "hours are not read");
            mistake.expected = Some("minutes, such as `75 min`".to_owned());
            if TIME_S.contains(&(minutes * 60.0)) {
                mistake.suggestion = Some(amount::time_text(amount::seconds(minutes, 60.0)));
            }
            return Amount::Unknown;
        }
        let units = [
            "min", "yd", "m/s", "km/h", "mph", "reps", "seconds", "minutes", "metres", "yards",
        ];
        let mistake = self.wrong(span, format!("`{written}` is no unit that is read"));
        mistake.suggestion = nearest(word, &units).map(str::to_owned);
        mistake.expected = Some(EXPECTED_UNIT.to_owned());
        Amount::Unknown
    }

    pub(super) fn speed_in_bounds(&mut self, speed: f64, item: &Item) -> bool {
        if SPEED_M_S.contains(&speed) {
            return true;
        }
        let written = self.line.slice(&item.span).to_owned();
        let number = item.number;
        let mistake = self.wrong(
            item.span.clone(),
            format!("`{written}` cannot be a running speed"),
        );
        mistake.expected = Some("0.5 to 13 m/s, 1.8 to 46.8 km/h or 1.2 to 29 mph".to_owned());
        let km_h = amount::metres_per_second(number, SpeedUnit::KilometresPerHour);
        if written.to_lowercase().contains("m/s") && SPEED_M_S.contains(&km_h) {
            mistake.suggestion = Some(format!("{number} km/h"));
        }
        false
    }

    /// The item as a time within bounds.
    pub(super) fn time_of(
        &mut self,
        item: &Item,
        bounds: &RangeInclusive<f64>,
        expected: &str,
    ) -> Option<f64> {
        match item.amount {
            Amount::Time(s) if bounds.contains(&s) => Some(s),
            Amount::Time(s) => {
                let written = self.line.slice(&item.span).to_owned();
                let why = if s < 0.0 {
                    "is less than nothing"
                } else if s < *bounds.start() {
                    "is no time"
                } else {
                    "is longer than a day"
                };
                self.wrong(item.span.clone(), format!("`{written}` {why}"))
                    .expected = Some(expected.to_owned());
                None
            }
            Amount::Unknown => None,
            Amount::Bare(_) => {
                let end = item.span.end;
                let mistake = self.wrong(end..end, "the unit of this time is missing");
                mistake.expected = Some(expected.to_owned());
                // Nobody rests so few seconds, or so many minutes.
                let unit = if item.number < 10.0 { "min" } else { "s" };
                mistake.suggestion = Some(unit.to_owned());
                None
            }
            _ => {
                let written = self.line.slice(&item.span).to_owned();
                self.wrong(item.span.clone(), format!("`{written}` is no time"))
                    .expected = Some(expected.to_owned());
                None
            }
        }
    }

    pub(super) fn length_of(&mut self, item: &Item, expected: &str) -> Option<f64> {
        let written = self.line.slice(&item.span).to_owned();
        match item.amount {
            Amount::Length(m) if LENGTH_M.contains(&m) => return Some(m),
            Amount::Unknown => return None,
            Amount::Length(m) => {
                let why = if m < 0.0 {
                    "is less than nothing"
                } else if m < *LENGTH_M.start() {
                    "is too short to run"
                } else {
                    "is too long to run"
                };
                self.wrong(item.span.clone(), format!("`{written}` {why}"))
            }
            Amount::Bare(_) => {
                let end = item.span.end;
                self.wrong(end..end, "the unit of this length is missing")
            }
            _ => self.wrong(item.span.clone(), format!("`{written}` is no length")),
        }
        .expected = Some(expected.to_owned());
        None
    }
}

/// Whether a word means hours, which the notation has in minutes.
pub(in crate::plan) fn is_hours(word: &str) -> bool {
    matches!(word, "h" | "hr" | "hrs" | "hour" | "hours")
}

/// The unit that a word means, in the spellings that people use.
pub(in crate::plan) fn unit_of(word: &str) -> Option<&'static str> {
    Some(match word {
        "s" | "sec" | "secs" | "second" | "seconds" => "s",
        "min" | "mins" | "minute" | "minutes" => "min",
        "m" | "mtr" | "mtrs" | "metre" | "metres" | "meter" | "meters" => "m",
        "yd" | "yds" | "yard" | "yards" => "yd",
        "m/s" | "mps" => "m/s",
        "km/h" | "kmh" | "kph" | "kmph" | "km/hr" => "km/h",
        "mph" | "mi/h" | "miles/h" => "mph",
        "rep" | "reps" | "repetition" | "repetitions" => "reps",
        "set" | "sets" => "sets",
        _ => return None,
    })
}
