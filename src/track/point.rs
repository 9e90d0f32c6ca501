//! A usable fix, in as little room as it takes: all stages hold on to them.

/// One usable fix in the local frame.
#[derive(Clone, Copy, Debug)]
pub struct Point {
    /// Seconds from the session's start.
    pub time_s: f64,
    /// Whether a gap or a pause lies between the point before and this one.
    pub after_gap: bool,
    /// Index into the fixes of the trace.
    pub fix: u32,
    // What is not known is NaN, which takes no room of its own.
    place_m: [f64; 2],
    own_m_s: f64,
    heart_bpm: f64,
}

impl Point {
    /// A fix with what it says of place and speed.
    pub(crate) fn new(time_s: f64, position_m: Option<[f64; 2]>, speed_m_s: Option<f64>) -> Self {
        Self {
            time_s,
            after_gap: false,
            fix: 0,
            place_m: position_m.unwrap_or([f64::NAN; 2]),
            own_m_s: speed_m_s.unwrap_or(f64::NAN),
            heart_bpm: f64::NAN,
        }
    }

    /// The same with a heart rate, beats a minute.
    pub(super) fn with_heart_rate(self, heart_rate_bpm: Option<f64>) -> Self {
        Self {
            heart_bpm: heart_rate_bpm.unwrap_or(f64::NAN),
            ..self
        }
    }

    /// East (or x) and north (or y), m; `None` where only speed was recorded.
    #[must_use]
    #[inline]
    pub fn position_m(&self) -> Option<[f64; 2]> {
        (!self.place_m[0].is_nan()).then_some(self.place_m)
    }

    /// The receiver's speed, m/s.
    #[must_use]
    #[inline]
    pub fn speed_m_s(&self) -> Option<f64> {
        (!self.own_m_s.is_nan()).then_some(self.own_m_s)
    }

    /// Heart rate, beats a minute.
    #[must_use]
    #[inline]
    pub fn heart_rate_bpm(&self) -> Option<f64> {
        (!self.heart_bpm.is_nan()).then_some(self.heart_bpm)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_known_comes_out_as_it_went_in() {
        let point = Point::new(1.0, Some([-0.0, 2.5]), None).with_heart_rate(Some(120.5));
        assert_eq!(point.position_m(), Some([-0.0, 2.5]));
        assert_eq!(point.speed_m_s(), None);
        assert_eq!(point.heart_rate_bpm(), Some(120.5));
        assert_eq!(Point::new(1.0, None, Some(3.0)).position_m(), None);
    }
}
