//! A season as a folder of linked pages: the squad, each athlete, each week around its match, each session.
//!
//! The pages need no server and load nothing: a link names a file of the same folder, the one style sheet stands in each page and is
//! named by its hash in the page's policy, and there is no script. [`Season`] is what they are made of; each page is a pure function of
//! it, so that one whose data did not change comes out the same to the byte and need not be written again.
//!
//! A session's page is made of what the diary keeps: efforts, reps and rests are there in full, so that a diary without recordings has
//! them, too. What only the recording holds, the speed over time and the maps, is on a second page behind it, the one that `review --out`
//! writes. That one takes a review, so that its name is a hash of what it is made of ([`Season::name_of_review`]): one that is there is
//! known to be the same without a look at the recording, and stands even when the recording has gone since.
//!
//! Who is meant by a page is said by its name and a hash of the athlete's, so that two names that differ in case, or hold what no file
//! name can, have pages of their own, and so that neither number nor order of sessions tells of other athletes.

mod athlete;
mod frame;
mod names;
mod review;
mod session;
mod squad;
mod week;

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::diary::{Entry, MatchDay, Recording};
use crate::figure;
use crate::plan;
use crate::progress::{self, Drill, IsoWeek, Log};
use crate::session::Session;
use crate::settings::Setting;

/// What the pages are made of.
#[derive(Clone, Copy, Debug)]
pub struct Season<'a> {
    /// Sessions, match days and plans.
    pub log: Log<'a>,
    /// The drills of the sessions.
    pub drills: &'a [Drill],
    /// The day it is looked at from.
    pub today: Date,
    /// For one athlete alone: his page is the first, and nobody else is in the log.
    pub alone: bool,
}

/// A page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Page {
    /// The name of its file.
    pub name: String,
    /// The document.
    pub html: String,
}

/// The page that is opened first.
pub const FIRST: &str = names::FIRST;

/// Whether a name is one that these pages have.
#[must_use]
pub fn is_page(name: &str) -> bool {
    names::is_page(name)
}

/// Whether a name is one that pages of reviews have.
#[must_use]
pub fn is_review(name: &str) -> bool {
    names::is_review(name)
}

impl<'a> Season<'a> {
    /// The page of a session, with what is kept of its recording; `review` names the file of its review, where there is one.
    #[must_use]
    pub fn session(
        &self,
        entry: &Entry,
        recording: Option<&Recording>,
        review: Option<&str>,
    ) -> Page {
        session::page(self, entry, recording, review)
    }

    /// The name of the page of a session's review: a hash of what the page is made of, `around` being what is not in the diary, as the
    /// zone that times are told in.
    #[must_use]
    pub fn name_of_review(&self, entry: &Entry, recording: &Recording, around: &[&str]) -> String {
        let alone = if self.alone { "alone" } else { "" };
        let around = [around, &[alone, env!("CARGO_PKG_VERSION")]].concat();
        names::review(entry, recording, &around)
    }

    /// The page of a session's review, under its name. What the diary calls the session and its athlete stands for what the recording
    /// and the plan say.
    ///
    /// # Errors
    /// Where a picture could not be drawn.
    pub fn review(
        &self,
        name: String,
        entry: &Entry,
        session: Session,
        settings: &[Setting],
    ) -> Result<Page, figure::Error> {
        review::page(self, name, entry, session, settings)
    }

    /// The week up to which weeks are shown, of one athlete or of all: today's, and after a season the last in which something was noted,
    /// so that tables do not begin with empty weeks.
    fn shown_until(&self, athlete: Option<&str>) -> IsoWeek {
        let noted = (self.log.entries.iter())
            .filter(|entry| athlete.is_none_or(|athlete| entry.athlete == athlete))
            .map(|entry| entry.date);
        let last = noted.filter(|date| *date <= self.today).max();
        IsoWeek::of(last.unwrap_or(self.today))
    }

    /// The weeks that have a page: those from the first to the last in which something was noted or planned, at most to the one after
    /// today's.
    #[must_use]
    pub fn weeks(&self) -> Vec<IsoWeek> {
        let now = IsoWeek::of(self.today);
        let last = now.later(1).unwrap_or(now);
        let noted = self.log.entries.iter().map(|entry| entry.date);
        let planned = self.log.planned.iter().map(|plan| plan.date);
        let weeks: BTreeSet<IsoWeek> = (noted.chain(planned).map(IsoWeek::of))
            .filter(|week| *week <= last)
            .chain([now])
            .collect();
        weeks.into_iter().collect()
    }

    /// The page of a week.
    #[must_use]
    pub fn week(&self, week: IsoWeek) -> Page {
        week::page(self, week)
    }

    /// Everybody who has a page.
    #[must_use]
    pub fn athletes(&self) -> Vec<&'a str> {
        progress::athletes(&self.log)
    }

    /// The page of an athlete.
    ///
    /// # Errors
    /// Where his weeks could not be drawn.
    pub fn athlete(&self, athlete: &str) -> Result<Page, figure::Error> {
        athlete::page(self, athlete)
    }

    /// The page of the squad; `None` for one alone, whose own page is the first.
    ///
    /// # Errors
    /// Where its weeks could not be drawn.
    pub fn squad(&self) -> Result<Option<Page>, figure::Error> {
        if self.alone {
            return Ok(None);
        }
        squad::page(self).map(Some)
    }

    /// The names of all pages but those of reviews.
    #[must_use]
    pub fn names(&self) -> BTreeSet<String> {
        let sessions = self.log.entries.iter().map(names::session);
        let weeks = self.weeks().into_iter().map(names::week);
        let athletes = self
            .athletes()
            .into_iter()
            .map(|athlete| self.of_athlete(athlete));
        let first = [FIRST.to_owned()];
        sessions.chain(weeks).chain(athletes).chain(first).collect()
    }

    /// Where the page of an athlete is.
    fn of_athlete(&self, athlete: &str) -> String {
        if self.alone {
            FIRST.to_owned()
        } else {
            names::athlete(athlete)
        }
    }
}

/// Takes out what may say where a session was: titles that the recording gave, titles of matches, other sides, and whatever was written
/// beside a session. Titles of plans stay, as days do; `plans` are the texts that recordings were held against.
pub fn hide_places(
    entries: &mut [Entry],
    matches: &mut [MatchDay],
    plans: &BTreeMap<i64, std::sync::Arc<str>>,
) {
    let mut titles: BTreeMap<&str, Option<String>> = BTreeMap::new();
    for entry in entries {
        let of_plan = plans.get(&entry.id).and_then(|text| {
            let title = titles
                .entry(text)
                .or_insert_with(|| plan::parse(text).ok().and_then(|plan| plan.header.title));
            title.clone()
        });
        entry.title = of_plan;
        entry.note = None;
    }
    for day in matches {
        day.label = None;
    }
}
