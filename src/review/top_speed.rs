//! The top speed that shares of it refer to, of those that somebody knows.

use jiff::civil::Date;

use crate::measured::Measured;
use crate::review::Tolerances;

/// The top speed that `of_top_speed` and `at 95%` refer to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TopSpeed {
    /// m/s, with its interval (exact when given).
    pub speed_m_s: Measured,
    /// Who says so.
    pub source: TopSpeedSource,
}

impl TopSpeed {
    /// A share of it as a mark for runs, m/s. The best of the same session has no interval here: what it is wrong by, its own
    /// peaks are wrong by as well.
    #[must_use]
    pub(crate) fn mark(&self, share: f64) -> Measured {
        match self.source {
            TopSpeedSource::Session => exactly(share * self.speed_m_s.value),
            _ => self.speed_m_s.scaled(share),
        }
    }

    /// The share that a speed is of it, with the intervals of both.
    #[must_use]
    pub(crate) fn share(&self, speed_m_s: Measured) -> Measured {
        let (speed, top) = (speed_m_s, self.speed_m_s);
        let top_m_s = top.value.max(0.1);
        let share = speed.value / top_m_s;
        let relative = (speed.width() / speed.value.max(0.1)).hypot(top.width() / top_m_s) / 2.0;
        Measured::within(share, share * (1.0 - relative), share * (1.0 + relative)).at_least(0.0)
    }
}

/// Where a top speed comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TopSpeedSource {
    /// The plan's `top speed`.
    Plan,
    /// The settings.
    Settings,
    /// The athlete's best of an earlier day, as the diary knows it.
    Diary {
        /// When it was measured; `None` where days are not to be told.
        date: Option<Date>,
    },
    /// The best of this session.
    Session,
}

/// The best that an athlete ran on an earlier day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EarlierTop {
    /// m/s.
    pub speed_m_s: Measured,
    /// When it was measured; `None` where days are not to be told.
    pub date: Option<Date>,
}

/// What is known exactly.
pub(super) fn exactly(value: f64) -> Measured {
    Measured::within(value, value, value)
}

/// Of the plan's, the settings', the diary's and the best of this session the one that counts.
///
/// ## Definition
/// What the plan names, else what the settings name. Else, of the best of an earlier day and that of this session, the one whose
/// interval begins the higher, as bests are told: the higher value would be the worse receiver's.
///
/// ## Units
/// Speeds in m/s.
#[must_use]
pub(crate) fn top_speed(
    planned_m_s: Option<f64>,
    tolerances: &Tolerances,
    best_m_s: Option<Measured>,
) -> Option<TopSpeed> {
    let positive = |v: &f64| v.is_finite() && *v > 0.0;
    let named = |v: Option<f64>, source| {
        v.filter(positive).map(|v| TopSpeed {
            speed_m_s: exactly(v),
            source,
        })
    };
    let own = best_m_s
        .filter(|best| best.value > 0.0)
        .map(|speed_m_s| TopSpeed {
            speed_m_s,
            source: TopSpeedSource::Session,
        });
    let earlier = tolerances
        .earlier_top
        .filter(|top| top.speed_m_s.is_finite() && top.speed_m_s.value > 0.0)
        .filter(|top| own.is_none_or(|own| own.speed_m_s.low <= top.speed_m_s.low))
        .map(|top| TopSpeed {
            speed_m_s: top.speed_m_s,
            source: TopSpeedSource::Diary { date: top.date },
        });
    named(planned_m_s, TopSpeedSource::Plan)
        .or_else(|| named(tolerances.top_speed_m_s, TopSpeedSource::Settings))
        .or(earlier)
        .or(own)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::review::EarlierTop;
    use jiff::civil::date;

    #[test]
    fn who_names_it_wins_over_the_diary_and_the_diary_over_a_lower_session() {
        let day = Some(date(2026, 5, 12));
        let tolerances = |named, earlier: Option<f64>| Tolerances {
            top_speed_m_s: named,
            earlier_top: earlier.map(|v| EarlierTop {
                speed_m_s: Measured::within(v, v - 0.2, v + 0.2),
                date: day,
            }),
            ..Tolerances::default()
        };
        let best = Some(Measured::within(8.0, 7.9, 8.3));
        let source = |plan, named, earlier| {
            top_speed(plan, &tolerances(named, earlier), best)
                .map(|top| (top.source, top.speed_m_s.value))
        };
        let diary = TopSpeedSource::Diary { date: day };
        for (plan, named, earlier, wins) in [
            (Some(9.0), Some(8.8), Some(8.7), (TopSpeedSource::Plan, 9.0)),
            (None, Some(7.0), Some(8.7), (TopSpeedSource::Settings, 7.0)),
            (None, None, Some(8.7), (diary, 8.7)),
            // Its interval begins at 7.8, that of this session at 7.9.
            (None, None, Some(8.0), (TopSpeedSource::Session, 8.0)),
            (Some(0.0), None, None, (TopSpeedSource::Session, 8.0)),
        ] {
            assert_eq!(source(plan, named, earlier), Some(wins));
        }
        let unseen = top_speed(None, &tolerances(None, Some(8.7)), None);
        assert_eq!(unseen.map(|top| top.source), Some(diary));
        assert_eq!(top_speed(None, &tolerances(None, None), None), None);
    }

    #[test]
    fn an_interval_goes_with_the_share_except_where_the_runs_share_its_error() {
        let of_diary = TopSpeed {
            speed_m_s: Measured::within(8.0, 7.8, 8.4),
            source: TopSpeedSource::Diary { date: None },
        };
        let mark = of_diary.mark(0.5);
        assert_eq!([mark.low, mark.value, mark.high], [3.9, 4.0, 4.2]);
        let own = TopSpeed {
            source: TopSpeedSource::Session,
            ..of_diary
        };
        assert_eq!(own.mark(0.5), exactly(4.0));
    }
}
