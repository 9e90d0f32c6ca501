//! One row a speed band of a session.

use crate::efforts::Band;

use super::column::{Columns, FINE};
use super::item::{Item, OfItem};

pub(super) struct Row<'a> {
    item: &'a Item,
    band: &'a Band,
}

impl OfItem for Row<'_> {
    fn item(&self) -> &Item {
        self.item
    }
}

pub(super) fn rows(item: &Item) -> impl Iterator<Item = Row<'_>> {
    let bands = item.recording.iter().flat_map(|r| &r.summary.bands);
    bands.map(move |band| Row { item, band })
}

pub(super) fn columns<'a>() -> Columns<'a, Row<'a>> {
    Columns::<Row<'a>>::new()
        .session()
        .text("band", "the band's name", |r| Some(&r.band.name))
        .number(
            "from_m_s",
            Some("m/s"),
            FINE,
            "lower edge, itself in the band",
            |r: &Row<'_>| Some(r.band.from_m_s),
        )
        .number(
            "to_m_s",
            Some("m/s"),
            FINE,
            "upper edge, itself in the next band; empty for the fastest",
            |r: &Row<'_>| r.band.to_m_s,
        )
        .number(
            "time_s",
            Some("s"),
            FINE,
            "time in the band",
            |r: &Row<'_>| Some(r.band.time_s),
        )
        .number(
            "distance_m",
            Some("m"),
            FINE,
            "distance in the band",
            |r: &Row<'_>| Some(r.band.distance_m),
        )
}
