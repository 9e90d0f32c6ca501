//! What is the same for all recordings that are added, and what it says of one.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

use jiff::civil::Date;
use repledger::diary::{Diary, Filter, Planned};
use repledger::plan::Plan;
use repledger::settings::Settings;

use crate::args::diary::Add;
use crate::args::{DiaryFrom, Input};
use crate::files;
use crate::known::Known;
use crate::plans;

/// What is the same for all files.
pub struct Adding<'a> {
    pub typed: &'a Add,
    pub settings: Settings,
    pub changed: String,
    /// The plan that was named, with its text.
    pub plan: Option<(String, Plan)>,
    /// For one at a time.
    pub diary: &'a Mutex<Diary>,
    /// What the diary knows.
    pub known: Known<'a>,
    pub from: &'a DiaryFrom,
    /// Whether the diary is still to be made: none is left behind where nothing comes into it. Until then one in memory, which is as
    /// empty, stands in its place.
    pub to_make: AtomicBool,
}

impl Adding<'_> {
    /// The diary, for one at a time.
    pub fn diary(&self) -> MutexGuard<'_, Diary> {
        self.diary.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The diary to write into, made where there is none yet.
    pub fn diary_made(&self) -> anyhow::Result<MutexGuard<'_, Diary>> {
        let mut diary = self.diary();
        if self.to_make.load(Ordering::Relaxed) {
            *diary = self.from.create()?;
            self.to_make.store(false, Ordering::Relaxed);
        }
        Ok(diary)
    }

    /// Whose it is: as typed, else as the plan says, else nobody's name.
    pub fn athlete(&self, plan: Option<&(String, Plan)>) -> String {
        let of_plan = plan.and_then(|(_, plan)| plan.header.athlete.clone());
        let athlete = self.typed.about.athlete.clone().or(of_plan);
        athlete.unwrap_or_default().trim().to_owned()
    }

    /// The plan that was named, else that of the same name beside a recording in a folder.
    pub fn plan_of(
        &self,
        files: &[Input],
        words: &mut Vec<String>,
    ) -> anyhow::Result<Option<(String, Plan)>> {
        if self.plan.is_some() || self.typed.no_plan {
            return Ok(self.plan.clone());
        }
        let [file] = files else { return Ok(None) };
        let Some(beside) = files::plan_beside(file, &self.typed.traces) else {
            return Ok(None);
        };
        let kept = plans::kept(&beside, self.typed.reading.dates)?;
        words.push(format!(
            "{}: held against {}, which lies beside it (--no-plan leaves it)",
            file.name(),
            beside.name()
        ));
        Ok(Some(kept))
    }

    /// The plan of the diary that this recording does: that of the day, the first that is to be done; beside a plan that was named
    /// only the very same one.
    pub fn planned(
        &self,
        date: Date,
        plan: Option<&(String, Plan)>,
    ) -> anyhow::Result<Option<Planned>> {
        if self.typed.no_plan {
            return Ok(None);
        }
        let plans = self.diary().planned(&Filter {
            athlete: Some(&self.athlete(plan)),
            from: Some(date),
            to: Some(date),
        })?;
        Ok(plans.into_iter().find(|planned| {
            planned.done_by.is_none()
                && plan.is_none_or(|(text, _)| text.trim() == planned.text.trim())
        }))
    }
}
