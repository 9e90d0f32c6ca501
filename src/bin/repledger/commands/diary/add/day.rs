//! On which day a recording was made.

use anyhow::{Context, bail};
use jiff::civil::Date;
use jiff::tz::Offset;
use repledger::diary;
use repledger::plan::Plan;
use repledger::trace::{Clock, Trace};

use super::adding::Adding;

impl Adding<'_> {
    /// The day that was typed, else that of the plan, else of the recording.
    pub fn date(
        &self,
        trace: &Trace,
        name: &str,
        plan: Option<&(String, Plan)>,
        words: &mut Vec<String>,
    ) -> anyhow::Result<Date> {
        let recorded = diary::local_date(trace.first(), self.offset(trace.first()));
        if let Some(date) = self.typed.about.date {
            let could_be = |offset| diary::local_date(trace.first(), offset) == Some(date);
            // Without a zone any clock on earth may be the athlete's.
            let zones = || (-12..=14).filter_map(|hours| Offset::from_hours(hours).ok());
            let fits =
                recorded == Some(date) || (self.typed.zone.is_none() && zones().any(could_be));
            if let Some(recorded) = recorded.filter(|_| !fits && !self.typed.force) {
                bail!(
                    "{name}: --date says {date}, the recording itself {recorded}; leave --date, or insist with --force"
                );
            }
            return Ok(date);
        }
        let of_plan = plan.and_then(|(_, plan)| plan.header.date);
        if let (Some(date), Some(recorded)) = (of_plan, recorded)
            && date != recorded
        {
            words.push(format!(
                "{name}: put on {date}, as its plan says, though it was recorded on {recorded}; --date says otherwise"
            ));
        }
        of_plan.or(recorded).with_context(|| {
            format!("{name}: it does not say on which day it was recorded; say so with --date")
        })
    }

    /// How far the clock of whoever adds it is from universal time at that moment.
    fn offset(&self, clock: Clock) -> Offset {
        match (&self.typed.zone, clock) {
            (Some(zone), Clock::Utc(time)) => zone.to_offset(time),
            _ => Offset::UTC,
        }
    }
}
