//! Numbers with their units, and the bounds of what they may say.

use std::ops::{Range, RangeInclusive};

use super::{EXPECTED_DOSE, Phrases};
use crate::plan::amount::{self, LENGTH_M, SPEED_M_S, TIME_S};
use crate::plan::near::nearest;
use crate::plan::word::Kind;
use crate::units::{SpeedUnit, YARD_M};

pub(super) const EXPECTED_UNIT: &str = "a time (s, min, m:ss), a length (m, yd) or `reps`";

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
}

impl Phrases<'_> {
    /// Reads `100 x 64 m` to its end, in metres.
    pub fn two_lengths(&mut self) -> Option<(f64, f64)> {
        let (items, _) = self.items();
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
    pub fn one_speed(&mut self) -> Option<f64> {
        let item = self.item()?;
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

    /// Numbers with `x` between them, and the first odd word that stood for an `x`.
    pub(super) fn items(&mut self) -> (Vec<Item>, Option<String>) {
        const ODD: [&str; 6] = ["by", "of", "times", "lots", "mal", "à"];
        let mut items = Vec::new();
        let mut odd = None;
        while let Some(item) = self.item() {
            items.push(item);
            let from = self.at;
            if self.kind() == Some(&Kind::Times) {
                self.at += 1;
            } else if ODD.contains(&self.letters(0).as_str()) {
                odd.get_or_insert(self.letters(0));
                self.at += 1;
                self.take(&["of"]);
            } else {
                break;
            }
            if !self.kind_is_number() {
                if odd.is_none() {
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
                } else {
                    self.at = from;
                    odd = None;
                }
                break;
            }
        }
        (items, odd)
    }

    /// One number with its unit.
    pub(super) fn item(&mut self) -> Option<Item> {
        let from = self.at;
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
        })
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
        let known = match word.as_str() {
            "s" => Amount::Time(amount::seconds(number, 1.0)),
            "min" => {
                self.at += 1;
                return self.minutes(number);
            }
            "m" => Amount::Length(amount::metres(number, 1.0)),
            "yd" => Amount::Length(amount::metres(number, YARD_M)),
            "m/s" => Amount::Speed(amount::metres_per_second(
                number,
                SpeedUnit::MetresPerSecond,
            )),
            "km/h" => Amount::Speed(amount::metres_per_second(
                number,
                SpeedUnit::KilometresPerHour,
            )),
            "mph" => Amount::Speed(amount::metres_per_second(number, SpeedUnit::MilesPerHour)),
            "rep" | "reps" => Amount::Reps(number),
            "set" | "sets" => Amount::Sets(number),
            _ => return self.unknown_unit(number, &word),
        };
        self.at += 1;
        known
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
                match word.as_str() {
                    "s" => 2,
                    _ if unit_meant(&word).is_some() || is_unit(&word) => {
                        return Amount::Time(whole);
                    }
                    _ => 1,
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
        const NEXT: [&str; 16] = [
            "over", "there", "at", "rest", "then", "with", "between", "walk", "walkback", "by",
            "of", "times", "lots", "mal", "à", "x",
        ];
        if NEXT.contains(&word) {
            return Amount::Bare(number);
        }
        let span = self.span();
        let written = self.line.slice(&span).to_owned();
        self.at += 1;
        if let Some(unit) = unit_meant(word) {
            self.wrong(span, format!("`{written}` is no unit that is read"))
                .suggestion = Some(unit.to_owned());
            return Amount::Unknown;
        }
        if matches!(word, "h" | "hr" | "hrs" | "hour" | "hours") {
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
        let units = ["min", "yd", "m/s", "km/h", "mph", "reps"];
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
                self.wrong(end..end, "the unit of this time is missing")
                    .expected = Some(expected.to_owned());
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

fn is_unit(word: &str) -> bool {
    matches!(
        word,
        "s" | "min" | "m" | "yd" | "m/s" | "km/h" | "mph" | "rep" | "reps" | "set" | "sets"
    )
}

/// The unit that a common other spelling means; suggested, never taken.
fn unit_meant(word: &str) -> Option<&'static str> {
    Some(match word {
        "sec" | "secs" | "second" | "seconds" => "s",
        "mins" | "minute" | "minutes" => "min",
        "mtr" | "mtrs" | "metre" | "metres" | "meter" | "meters" => "m",
        "yds" | "yard" | "yards" => "yd",
        "mps" => "m/s",
        "kmh" | "kph" | "kmph" | "km/hr" => "km/h",
        "mi/h" | "miles/h" => "mph",
        "repetition" | "repetitions" => "reps",
        _ => return None,
    })
}
