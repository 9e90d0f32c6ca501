//! What is done for a recording in its turn: its entry goes into the diary, after it was reviewed where it had to wait for that.

use anyhow::{Context, anyhow};
use repledger::diary::{Circumstances, Filter, NewEntry, Planned, Source};
use repledger::plan;
use repledger::report::{self, reason, safe};
use repledger::session;

use super::adding::Adding;
use super::prepare::{Prepared, Recorded, Reviewed};
use crate::known::Worn;
use crate::log;

/// What is said of one file.
pub struct Told {
    pub words: Vec<String>,
    pub line: String,
}

impl Adding<'_> {
    /// Adds what became of a file; all before it are added.
    pub fn store(&self, name: &str, prepared: Prepared) -> anyhow::Result<Told> {
        let reviewed = match prepared {
            Prepared::AlreadyThere(id) => return self.already_there(name, id),
            Prepared::Recorded(recorded) => {
                // By itself, so that the diary is let go of before it is asked again.
                let found = self.diary().find(&recorded.sha256)?;
                if let Some(id) = found {
                    return self.already_there(name, id);
                }
                let planned = self.planned(recorded.date, recorded.plan.as_ref())?;
                // The threads of the usual pool may all wait for this one.
                let own = rayon::ThreadPoolBuilder::new().num_threads(1).build()?;
                own.install(|| self.review(name, *recorded, planned))?
            }
            Prepared::Reviewed(reviewed) => reviewed,
        };
        let added = self.diary_made()?.add(&reviewed.entry)?;
        if added.already_there {
            // An earlier file was the same, or another program was faster.
            return self.already_there(name, added.id);
        }
        let mut words = reviewed.words;
        words.extend(self.same_hour(added.id)?);
        words.extend(log::spelt_otherwise(
            &self.diary().athletes()?,
            &reviewed.entry.athlete,
        ));
        Ok(Told {
            words,
            line: format!(
                "added {}: {}\n",
                added.id,
                report::diary::text::in_brief(&self.diary().entry(added.id)?)
            ),
        })
    }

    /// Holds a recording against the plan that was named, else against that of the day.
    pub fn review(
        &self,
        name: &str,
        recorded: Recorded,
        planned: Option<Planned>,
    ) -> anyhow::Result<Reviewed> {
        let Recorded {
            sha256,
            mut trace,
            date,
            plan: own,
            path,
            packed,
            mut words,
        } = recorded;
        let (text, plan) = match (&own, &planned) {
            (Some((text, plan)), _) => (Some(text.clone()), Some(plan.clone())),
            (None, Some(planned)) => {
                let plan = plan::parse(&planned.text).map_err(|_| {
                    anyhow!(
                        "plan {} of the diary cannot be read any more; take it out, or add with --no-plan",
                        planned.id
                    )
                })?;
                words.push(format!(
                    "{name}: held against the plan {} that the diary holds for that day{} (--no-plan leaves it)",
                    planned.id,
                    planned.title.as_ref().map(|t| format!(", \"{t}\"")).unwrap_or_default()
                ));
                (Some(planned.text.clone()), Some(plan))
            }
            (None, None) => (None, None),
        };
        let athlete = self.athlete(own.as_ref());
        let worn = Worn {
            athlete: Some(&athlete),
            date: Some(date),
        };
        let settings = (self.known).settings(&mut trace, Some(&sha256), &worn, &self.settings)?;
        let session =
            session::account(trace, plan.as_ref(), &settings).with_context(|| name.to_owned())?;
        let about = &self.typed.about;
        let mut entry = NewEntry::of(
            &session,
            Circumstances {
                athlete,
                date,
                rpe: about.rpe,
                note: about.note.clone(),
                activity: self.typed.activity.into(),
                source: Source {
                    sha256,
                    path,
                    start: None,
                    trace: packed,
                },
                plan: text,
                settings: self.changed.clone(),
                planned: planned.map(|planned| planned.id),
            },
            reason::text,
        );
        if about.title.is_some() {
            entry.title.clone_from(&about.title);
        }
        Ok(Reviewed {
            entry: Box::new(entry),
            words,
        })
    }

    /// What is said of an entry that holds the same hour as one before it.
    fn same_hour(&self, id: i64) -> anyhow::Result<Option<String>> {
        let diary = self.diary();
        let entry = diary.entry(id)?;
        let pairs = diary.twice(&Filter {
            athlete: Some(&entry.athlete),
            from: entry.date.yesterday().ok(),
            to: entry.date.tomorrow().ok(),
        })?;
        let other = pairs.iter().find_map(|pair| match *pair {
            [other, new] | [new, other] if new == id => Some(other),
            _ => None,
        });
        let Some(other) = other else {
            return Ok(None);
        };
        Ok(Some(format!(
            "entry {id} holds the same hour as entry {other}, {}: weeks count both; `repledger diary remove {id}` or \
             `repledger diary remove {other}` takes one out",
            report::diary::text::in_brief(&diary.entry(other)?).trim()
        )))
    }

    fn already_there(&self, name: &str, id: i64) -> anyhow::Result<Told> {
        let entry = self.diary().entry(id)?;
        let named = self.typed.about.athlete.as_deref().map(str::trim);
        let words = (named.filter(|named| *named != entry.athlete))
            .map(|named| {
                format!(
                    "entry {id} is that of {}; `repledger diary edit {id} --athlete \"{}\"` changes that",
                    log::told(&entry.athlete),
                    safe(named)
                )
            })
            .into_iter()
            .collect();
        Ok(Told {
            words,
            line: format!(
                "already there {id}: {} holds the same recording as {}; nothing was changed\n",
                safe(name),
                report::diary::text::in_brief(&entry)
            ),
        })
    }
}
