//! One row a rep of a plan.

use crate::diary::Rep;
use crate::review::RepReview;

use super::super::rep::OfRep;
use super::super::words;
use super::block::Row;
use super::column::Columns;

impl OfRep for Row<'_, Rep> {
    fn rep(&self) -> &RepReview {
        &self.of.review
    }
}

pub(super) fn columns<'a>() -> Columns<'a, Row<'a, Rep>> {
    Columns::<Row<'a, Rep>>::new()
        .session()
        .block()
        .count("set", "the number of the set in the block, from 1", |r| {
            Some(r.of.set)
        })
        .count("rep", "the number of the rep in the set, from 1", |r| {
            Some(r.of.review.index)
        })
        .text("verdict", "done, short, slow, missed or unresolved", |r| {
            Some(words::verdict(r.of.review.verdict))
        })
        .text("why", "why, where it was not simply done", |r| {
            r.of.why.as_deref()
        })
        .time("start", "when its work began", |r| {
            r.item.moment(r.of.review.start_s)
        })
        .found()
}
