//! What the diary keeps of a review, as the review had it, so that both are told in the same words.

use super::marks::Facts;
use crate::diary::{Block, Entry, Recording};
use crate::efforts::Kind;
use crate::plan::{self, Plan};
use crate::review::mark::{self, Marks};
use crate::review::{self, BlockReview, Fits, PlanReview, SetReview, Tolerances, TopSpeed};
use crate::settings;
use crate::units::SpeedUnit;

/// The parts of a review that speeds are told by.
pub(super) struct Kept {
    planned: Option<(Plan, PlanReview)>,
    sprints: Option<Marks>,
    tolerances: Tolerances,
}

impl Kept {
    /// Of a recording. A plan or settings that this version cannot read any more count as none.
    pub(super) fn of(recording: &Recording) -> Self {
        let lines: Vec<String> = recording.settings.lines().map(str::to_owned).collect();
        let tolerances = settings::resolve(None, &lines).map(|resolved| resolved.settings.review);
        let tolerances = Tolerances {
            earlier_top: recording.earlier_top,
            ..tolerances.unwrap_or_default()
        };
        let best_m_s = recording.summary.top_speed_m_s;
        let plan = recording
            .plan
            .as_deref()
            .and_then(|text| plan::parse(text).ok());
        let planned = plan.and_then(|plan| {
            let review = PlanReview {
                blocks: recording.blocks.iter().map(block).collect(),
                unplanned: Vec::new(),
                fits: recording.fits.unwrap_or(Fits::Yes),
                counts: recording.summary.counts?,
                top_speed: review::top_speed(plan.header.top_speed_m_s, &tolerances, best_m_s),
            };
            (review.fits != Fits::No).then_some((plan, review))
        });
        let sprints = || {
            let sprints = (recording.efforts.iter()).filter(|e| e.kind == Kind::Sprint);
            let found = sprints.map(|e| (e.start_s, e.peak_speed_m_s));
            mark::sprints(found, best_m_s, &tolerances)
        };
        Self {
            sprints: if planned.is_some() { None } else { sprints() },
            planned,
            tolerances,
        }
    }

    /// The top speed that its reps, or its sprints, were held against.
    pub(super) fn top_speed(&self) -> Option<TopSpeed> {
        match &self.planned {
            Some((_, review)) => review.top_speed,
            None => self.sprints.as_ref()?.top_speed,
        }
    }

    /// What is said of its speeds rests on this.
    pub(super) fn facts(&self, entry: &Entry, speeds: SpeedUnit) -> Facts<'_> {
        Facts {
            planned: self.planned.as_ref().map(|(plan, review)| (plan, review)),
            sprints: self.sprints.clone(),
            earlier: self.tolerances.earlier_top,
            slow: None,
            day: Some(entry.date),
            speeds,
        }
    }
}

fn block(block: &Block) -> BlockReview {
    let sets = block.reps.chunk_by(|a, b| a.set == b.set);
    BlockReview {
        sets: sets
            .map(|reps| SetReview {
                index: reps.first().map_or(1, |rep| rep.set),
                rest_after_s: None,
                rest_after_planned_s: None,
                rest_after_verdict: None,
                reps_done: None,
                reps: reps.iter().map(|rep| rep.review.clone()).collect(),
                decrement_percent: None,
            })
            .collect(),
        ..block.review.clone()
    }
}
