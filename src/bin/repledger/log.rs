//! Takes out of the diary what weeks, trends and bests are made of.

use anyhow::bail;
use jiff::civil::Date;
use repledger::diary::{Entry, Filter, MatchDay, Planned};
use repledger::progress::{self, IsoWeek, Log};
use repledger::units::SpeedUnit;

use crate::args::diary::Between;
use crate::args::progress::{From, Whose};
use crate::clock;
use crate::exit_status::WrongUsage;
use crate::printer::Printer;
use crate::settings;

/// What was taken out.
pub struct Loaded {
    entries: Vec<Entry>,
    matches: Vec<MatchDay>,
    planned: Vec<Planned>,
    /// Entries that hold the same hour.
    twice: Vec<[i64; 2]>,
    /// Whose: one athlete, or everybody in the diary.
    pub athletes: Vec<String>,
    /// The day it is looked at from.
    pub today: Date,
    /// In which unit people are told speeds.
    speeds: SpeedUnit,
}

impl Loaded {
    /// Keeps the sessions between two days, each where it is given.
    pub fn between(&mut self, &Between { since, until }: &Between) {
        let inside = |day: Date| since.is_none_or(|s| s <= day) && until.is_none_or(|u| day <= u);
        self.entries.retain(|entry| inside(entry.date));
    }

    /// Says which sessions from one week to another hold the same hour, which weeks then count twice.
    pub fn tell_twice(&self, from: IsoWeek, to: IsoWeek, printer: &mut Printer) {
        let inside = |entry: &&Entry| (from..=to).contains(&IsoWeek::of(entry.date));
        let entry = |id: i64| {
            self.entries
                .iter()
                .filter(inside)
                .find(|entry| entry.id == id)
        };
        for &[first, second] in &self.twice {
            if let (Some(_), Some(again)) = (entry(first), entry(second)) {
                printer.talk(format!(
                    "entries {first} and {second} hold the same hour of {}, and both count; `repledger diary remove {second}` takes one out",
                    again.date
                ));
            }
        }
    }

    /// Says where the entries are, when nothing was noted from one week to another.
    pub fn tell_empty(&self, from: IsoWeek, to: IsoWeek, printer: &mut Printer) {
        let inside = |day: Date| (from..=to).contains(&IsoWeek::of(day));
        let days = || self.entries.iter().map(|entry| entry.date);
        if days().any(inside) || self.matches.iter().any(|day| inside(day.date)) {
            return;
        }
        if let Some(last) = days().max() {
            printer.talk(format!(
                "nothing was noted in these weeks; the last entry is of {last}, and `--today {last}` looks from there"
            ));
        }
    }

    /// As the library wants it.
    pub fn log(&self) -> Log<'_> {
        Log {
            entries: &self.entries,
            matches: &self.matches,
            planned: &self.planned,
            speeds: self.speeds,
        }
    }
}

/// Reads the diary for one athlete or for everybody.
pub fn load(from: &From, whose: &Whose) -> anyhow::Result<Loaded> {
    let diary = from.diary.open()?;
    let today = from.today.unwrap_or_else(clock::today);
    let one = if whose.all {
        None
    } else {
        Some(chosen(diary.athletes()?, whose.athlete.as_deref())?)
    };
    let filter = Filter {
        athlete: one.as_deref(),
        ..Filter::default()
    };
    let mut loaded = Loaded {
        // As on a day that was named there is nothing of the days after it; as of now there is, should a clock be wrong.
        entries: diary.entries(&Filter {
            to: from.today,
            ..filter
        })?,
        matches: diary.match_days(&filter)?,
        planned: diary.planned(&filter)?,
        twice: diary.twice(&filter)?,
        athletes: Vec::new(),
        today,
        speeds: settings::speeds(&from.settings)?,
    };
    loaded.athletes = if let Some(one) = one {
        vec![one]
    } else {
        let names = progress::athletes(&loaded.log());
        names.into_iter().map(str::to_owned).collect()
    };
    Ok(loaded)
}

/// What is said of a name that the diary has in another spelling, since the two count as two athletes.
pub fn spelt_otherwise(known: &[String], name: &str) -> Option<String> {
    let alike = |other: &&String| *other != name && other.to_lowercase() == name.to_lowercase();
    let other = known.iter().find(alike)?;
    Some(format!(
        "{} and {} count as two athletes; `repledger diary edit ID --athlete NAME` brings an entry to the right one",
        told(other),
        told(name)
    ))
}

/// An athlete's name, also of one that has none.
pub fn told(name: &str) -> String {
    if name.is_empty() {
        "one without a name (--athlete \"\")".to_owned()
    } else {
        format!("{name:?}")
    }
}

/// The athlete that is meant: the one named, else the only one of the diary.
pub fn chosen(mut known: Vec<String>, named: Option<&str>) -> anyhow::Result<String> {
    let list = || {
        let names: Vec<String> = known.iter().take(12).map(|name| told(name)).collect();
        let more = if known.len() > names.len() {
            ", …"
        } else {
            ""
        };
        format!("{}{more}", names.join(", "))
    };
    match named {
        Some(name) if known.iter().any(|other| other == name) => Ok(name.to_owned()),
        Some(name) if known.is_empty() => {
            bail!("the diary is empty, so it holds nothing of {name:?}")
        }
        Some(name) => bail!("the diary holds nothing of {name:?}; it knows {}", list()),
        None if known.len() > 1 => bail!(WrongUsage(format!(
            "the diary holds several athletes, {}; name one with --athlete NAME, or take all with --all",
            list()
        ))),
        None => Ok(known.pop().unwrap_or_default()),
    }
}
