//! A recording read, with what is known of its device and the ground, and held against the plan; as it may be shown.

use anyhow::{Context, anyhow};
use jiff::civil::Date;
use jiff::tz::Offset;
use repledger::diary;
use repledger::pitch::Ground;
use repledger::plan::Plan;
use repledger::session::{self, Session};
use repledger::settings::Resolved;
use repledger::trace::{self, Clock, Trace};

use crate::args::{self, Input};
use crate::files;
use crate::halt::Halt;
use crate::input::RECORDING;
use crate::joined;
use crate::known::{Known, Worn};
use crate::plans;
use crate::recording::{hash, hash_of_all};

/// What is the same for all recordings.
pub struct Reviewer<'a> {
    /// What was typed.
    pub typed: &'a args::Review,
    /// What the diary knows.
    pub known: &'a Known<'a>,
    /// What is known of the ground.
    pub ground: &'a Ground,
    /// The plan to hold against them.
    pub plan: Option<&'a Plan>,
    /// The settings.
    pub resolved: &'a Resolved,
    /// Whether to stop.
    pub halt: &'a Halt,
}

impl Reviewer<'_> {
    /// The session of a recording, as it may be shown.
    pub fn session(&self, file: &Input) -> anyhow::Result<Session> {
        let (recording, sha256) = self.recording(file, self.quote())?;
        self.reviewed(&file.name(), recording, sha256, self.plan)
    }

    /// The session of a recording whose bytes are at hand, under a name.
    pub fn session_of(
        &self,
        name: &str,
        bytes: anyhow::Result<Vec<u8>>,
    ) -> anyhow::Result<Session> {
        let (recording, sha256) = self.recording_of(name, bytes, self.quote())?;
        self.reviewed(name, recording, sha256, self.plan)
    }

    /// The session of a recording that was named, or came out of a folder that was: there, where no plan was named, the one of the
    /// same name beside it is held against it.
    pub fn session_in_folder(&self, file: &Input, named: &[Input]) -> anyhow::Result<Session> {
        let beside = match self.plan {
            None => files::plan_beside(file, named),
            Some(_) => None,
        };
        let own = beside
            .map(|file| plans::kept(&file, self.typed.reading.dates))
            .transpose()?;
        let name = file.name();
        let (recording, sha256) = self.recording(file, self.quote())?;
        let plan = self.plan.or(own.as_ref().map(|(_, plan)| plan));
        self.reviewed(&name, recording, sha256, plan)
    }

    /// The session of a recording that a line of somebody's named: what stands in it is not his to see unless it is one.
    pub fn session_of_named(&self, name: &str) -> anyhow::Result<Session> {
        let quote = Err(
            "it cannot be read as a recording; `repledger review` of that file alone says why, since that quotes it",
        );
        let (recording, sha256) = self.recording(&Input::File(name.into()), quote)?;
        self.reviewed(name, recording, sha256, self.plan)
    }

    /// The session of several recordings that were made after each other.
    pub fn joined(&self, named: &[Input]) -> anyhow::Result<Session> {
        let files = files::named(named)?;
        joined::within_bounds(&files)?;
        let mut hashes = Vec::new();
        let trace::Joined { trace, order } = joined::join(&files, |file| {
            let (trace, sha256) = self.recording(file, self.quote())?;
            hashes.extend(sha256);
            Ok(trace)
        })?;
        let hashes: Vec<_> = (order.iter())
            .filter_map(|&k| hashes.get(k).copied())
            .collect();
        let sha256 = self.known.asks().then(|| hash_of_all(&hashes));
        self.reviewed(&joined::name(&files), trace, sha256, self.plan)
    }

    /// Whether messages may quote a recording that whoever runs the program gave it, or what to say instead.
    fn quote(&self) -> Result<(), &'static str> {
        if self.typed.hide_place {
            Err("it cannot be read; why is told without --hide-place, since that quotes it")
        } else {
            Ok(())
        }
    }

    /// A recording, and its hash where a diary is asked. Where a message would quote it, `quote` may be what to say instead.
    fn recording(
        &self,
        file: &Input,
        quote: Result<(), &'static str>,
    ) -> anyhow::Result<(Trace, Option<[u8; 32]>)> {
        // A hash is that of the whole.
        let trace = (!self.known.asks()).then(|| file.recording_in_pieces());
        match trace.flatten() {
            Some(trace) => Ok((trace, None)),
            None => self.recording_of(&file.name(), file.read(RECORDING), quote),
        }
    }

    /// The same of the bytes of a recording.
    fn recording_of(
        &self,
        name: &str,
        bytes: anyhow::Result<Vec<u8>>,
        quote: Result<(), &'static str>,
    ) -> anyhow::Result<(Trace, Option<[u8; 32]>)> {
        // The bytes, most of what a review needs memory for, go as soon as they are read.
        let bytes = bytes?;
        let read = || {
            let content = trace::unpack(&bytes)?;
            let sha256 = self.known.asks().then(|| hash(content.bytes()));
            Ok((content.read(&self.resolved.settings.trace)?, sha256))
        };
        read()
            .map_err(|error: trace::Error| match quote {
                Err(instead) if error.quotes() => anyhow!(instead),
                _ => error.into(),
            })
            .with_context(|| name.to_owned())
    }

    fn reviewed(
        &self,
        name: &str,
        mut recording: Trace,
        sha256: Option<[u8; 32]>,
        plan: Option<&Plan>,
    ) -> anyhow::Result<Session> {
        let typed = self.typed;
        let settings = &self.resolved.settings;
        let of_plan = plan.and_then(|plan| plan.header.athlete.as_deref());
        let worn = Worn {
            athlete: typed.athlete.as_deref().or(of_plan),
            date: self.date(&recording, plan),
        };
        let settings = (self.known).settings(&mut recording, sha256.as_ref(), &worn, settings)?;
        let mut session = session::account_on(recording, plan, &settings, self.ground)
            .with_context(|| name.to_owned())?;
        if typed.athlete.is_some() {
            session.athlete.clone_from(&typed.athlete);
        }
        Ok(if typed.hide_place {
            session.without_place(typed.show_date)
        } else {
            session
        })
    }

    /// The day of a recording: that of its plan, else by the clock that its times are told in.
    fn date(&self, recording: &Trace, plan: Option<&Plan>) -> Option<Date> {
        let zone = &self.resolved.settings.zone;
        let offset = |time| {
            let named = zone.asked.as_ref().map(|zone| zone.to_offset(time));
            let usual = zone.usual.as_ref().map(|zone| zone.to_offset(time));
            named.or(recording.offset).or(usual).unwrap_or(Offset::UTC)
        };
        let of_plan = plan.and_then(|plan| plan.header.date);
        of_plan.or_else(|| match recording.first() {
            Clock::Utc(time) => diary::local_date(Clock::Utc(time), offset(time)),
            clock => diary::local_date(clock, Offset::UTC),
        })
    }
}
