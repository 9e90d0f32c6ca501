//! Turns places into metres about the middle of the trace.

use geo::{Distance, Geodesic, Point};

use crate::estimation::collected;
use crate::estimation::quantile::median;
use crate::geodesy::{Degrees, LocalFrame, short_way_deg};
use crate::trace::{Fix, Position};
use crate::track::{Draft, Tally};

/// A fix so far from the middle of the trace was made before the receiver knew where it was.
const FAR_M: f64 = 100_000.0;

/// One draft a fix, with positions in local metres, and where these lie; fixes far from all others are set aside.
pub(super) fn locate(fixes: &[Fix], tally: &mut Tally) -> (Vec<Draft>, Option<LocalFrame>) {
    let frame = middle(fixes).map(LocalFrame::new);
    let mut drafts = Vec::with_capacity(fixes.len());
    for (index, fix) in fixes.iter().enumerate() {
        let mut far = false;
        let position_m = match (fix.position, &frame) {
            (Some(Position::Local { x_m, y_m }), _) => Some([x_m, y_m]),
            (
                Some(Position::Geodetic {
                    latitude_deg,
                    longitude_deg,
                }),
                Some(frame),
            ) => {
                let place = Degrees {
                    latitude_deg,
                    longitude_deg,
                };
                far = is_far(place, frame.origin());
                let local = frame.to_local(place);
                (!far).then_some([local.x, local.y])
            }
            _ => None,
        };
        if far && fix.speed_m_s.is_none() {
            tally.add("more than 100 km from the rest", fix.line);
            continue;
        }
        drafts.push(Draft {
            time_s: fix.time_s,
            position_m,
            speed_m_s: fix.speed_m_s,
            heart_rate_bpm: fix.heart_rate_bpm,
            segment: fix.segment,
            fix: u32::try_from(index).unwrap_or(u32::MAX),
            line: fix.line,
        });
    }
    (drafts, frame)
}

/// Puts drafts in metres about their own middle; where that lies.
pub(super) fn relocate(fixes: &[Fix], drafts: &mut [Draft]) -> Option<LocalFrame> {
    let fix = |draft: &Draft| fixes.get(draft.fix as usize);
    let frame = LocalFrame::new(middle(drafts.iter().filter_map(fix))?);
    for draft in drafts {
        let place = fix(draft).and_then(|fix| degrees(fix.position));
        if let (Some(_), Some(place)) = (draft.position_m, place) {
            let local = frame.to_local(place);
            draft.position_m = Some([local.x, local.y]);
        }
    }
    Some(frame)
}

/// Whether two places lie more than [`FAR_M`] apart.
fn is_far(place: Degrees, middle: Degrees) -> bool {
    // A degree of latitude is over 110 km, so that near places need no geodesic.
    let near = (place.latitude_deg - middle.latitude_deg).abs() < 0.5
        && (place.longitude_deg - middle.longitude_deg).abs() < 0.5;
    let point = |p: Degrees| Point::new(p.longitude_deg, p.latitude_deg);
    !near && Geodesic.distance(point(place), point(middle)) > FAR_M
}

/// The median latitude and longitude of some fixes: one wild fix does not move it.
fn middle<'a, I>(fixes: I) -> Option<Degrees>
where
    I: IntoIterator<Item = &'a Fix>,
    I::IntoIter: Clone,
{
    let fixes = fixes.into_iter();
    let places = || fixes.clone().filter_map(|fix| degrees(fix.position));
    let reference_deg = places().next()?.longitude_deg;
    // Around 180 degrees longitudes jump; counted from the first fix they do not.
    let from_first = |longitude_deg: f64| short_way_deg(longitude_deg - reference_deg);
    let mut longitudes_deg =
        collected(places().map(|p| (from_first(p.longitude_deg), p.longitude_deg)));
    let half = longitudes_deg.len() / 2;
    let (_, longitude_deg, _) =
        longitudes_deg.select_nth_unstable_by(half, |a, b| a.0.total_cmp(&b.0));
    Some(Degrees {
        latitude_deg: median(collected(places().map(|p| p.latitude_deg)))?,
        longitude_deg: longitude_deg.1,
    })
}

/// A place on earth, where it is one.
fn degrees(position: Option<Position>) -> Option<Degrees> {
    match position {
        Some(Position::Geodetic {
            latitude_deg,
            longitude_deg,
        }) => Some(Degrees {
            latitude_deg,
            longitude_deg,
        }),
        _ => None,
    }
}
