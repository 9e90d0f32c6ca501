//! East and north metres in the plane that touches the ellipsoid at an origin.

use geo_types::Coord;

/// Semi-major axis of WGS 84, m (exact by definition).
const A_M: f64 = 6_378_137.0;
/// Flattening of WGS 84 (exact by definition).
const F: f64 = 1.0 / 298.257_223_563;
/// First eccentricity squared.
const E2: f64 = F * (2.0 - F);

/// Geodetic latitude and longitude on WGS 84.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Degrees {
    /// North positive.
    pub latitude_deg: f64,
    /// East positive.
    pub longitude_deg: f64,
}

/// The plane that touches the ellipsoid at an origin, with axes east and north.
///
/// # Definition
/// A place is turned into earth-centred coordinates and projected along the origin's normal. Within 1 km the plane
/// distance differs from the geodesic by less than 0.01 mm; heights are taken as the ellipsoid's.
///
/// # References
/// Hofmann-Wellenhof, Lichtenegger, Wasle (2008), GNSS, Springer, chapter 8 (from memory); checked against Karney
/// (2013), Algorithms for geodesics, J Geod 87:43, 10.1007/s00190-012-0578-z.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LocalFrame {
    origin: Degrees,
    sin_latitude: f64,
    cos_latitude: f64,
    /// Distance of the origin from the earth's axis, m.
    axis_m: f64,
    /// Height of the origin above the equator's plane, m.
    polar_m: f64,
}

impl LocalFrame {
    /// The frame that touches the ellipsoid at `origin`.
    #[must_use]
    pub fn new(origin: Degrees) -> Self {
        let (sin_latitude, cos_latitude) = origin.latitude_deg.to_radians().sin_cos();
        let normal_m = normal_radius_m(sin_latitude);
        Self {
            origin,
            sin_latitude,
            cos_latitude,
            axis_m: normal_m * cos_latitude,
            polar_m: normal_m * (1.0 - E2) * sin_latitude,
        }
    }

    /// The place where the plane touches.
    #[must_use]
    pub(crate) fn origin(&self) -> Degrees {
        self.origin
    }

    /// East (`x`) and north (`y`) of the origin, m.
    #[must_use]
    pub fn to_local(&self, place: Degrees) -> Coord<f64> {
        let (sin_lat, cos_lat) = place.latitude_deg.to_radians().sin_cos();
        // Longitudes meet at 180 degrees, so the difference is taken the short way round.
        let turn_deg = short_way_deg(place.longitude_deg - self.origin.longitude_deg);
        let (sin_turn, cos_turn) = turn_deg.to_radians().sin_cos();
        let normal_m = normal_radius_m(sin_lat);
        let axis_m = normal_m * cos_lat;
        let outward_m = axis_m * cos_turn - self.axis_m;
        let polar_m = normal_m * (1.0 - E2) * sin_lat - self.polar_m;
        Coord {
            x: axis_m * sin_turn,
            y: polar_m * self.cos_latitude - outward_m * self.sin_latitude,
        }
    }

    /// The place east and north of the origin, for distances of a few kilometres.
    ///
    /// The inverse of [`LocalFrame::to_local`] to better than 1 mm within 5 km, by three Newton steps on the ellipsoid's
    /// radii.
    #[must_use]
    pub(crate) fn to_degrees(self, local: Coord<f64>) -> Degrees {
        let mut place = self.origin;
        for _ in 0..3 {
            let here = self.to_local(place);
            let sin_lat = place.latitude_deg.to_radians().sin();
            let cos_lat = place.latitude_deg.to_radians().cos().max(1e-9);
            let normal_m = normal_radius_m(sin_lat);
            let meridian_m = normal_m * (1.0 - E2) / (1.0 - E2 * sin_lat * sin_lat);
            place.latitude_deg += ((local.y - here.y) / meridian_m).to_degrees();
            place.longitude_deg += ((local.x - here.x) / (normal_m * cos_lat)).to_degrees();
        }
        place.longitude_deg = short_way_deg(place.longitude_deg);
        place
    }
}

/// An angle within half a turn to either side.
pub(crate) fn short_way_deg(angle_deg: f64) -> f64 {
    let turned_deg = angle_deg + 540.0;
    // Nearly all lie there already, and then this is the same to the last bit.
    let within_deg = if (360.0..720.0).contains(&turned_deg) {
        turned_deg - 360.0
    } else {
        turned_deg.rem_euclid(360.0)
    };
    within_deg - 180.0
}

/// Radius of curvature in the prime vertical, m.
fn normal_radius_m(sin_latitude: f64) -> f64 {
    A_M / (1.0 - E2 * sin_latitude * sin_latitude).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_short_way_is_that_of_the_remainder() {
        for k in -4000..4000 {
            let angle_deg = f64::from(k) * 0.123_456_789;
            let plainly = (angle_deg + 540.0).rem_euclid(360.0) - 180.0;
            assert_eq!(short_way_deg(angle_deg).to_bits(), plainly.to_bits());
        }
        assert_eq!(short_way_deg(180.0), -180.0);
    }

    #[test]
    fn corner_of_a_pitch() {
        // The reference rectangle at 51.5 N: east 105 m, north 68 m (computed with the ellipsoid's radii there).
        let frame = LocalFrame::new(Degrees {
            latitude_deg: 51.5,
            longitude_deg: 0.0,
        });
        let corner = frame.to_local(Degrees {
            latitude_deg: 51.500_611_193,
            longitude_deg: 0.001_512_086,
        });
        assert!((corner.x - 105.0).abs() < 2e-3, "{corner:?}");
        assert!((corner.y - 68.0).abs() < 2e-3, "{corner:?}");
    }

    #[test]
    fn there_and_back_across_the_date_line() {
        let frame = LocalFrame::new(Degrees {
            latitude_deg: -17.0,
            longitude_deg: 179.999,
        });
        let local = Coord {
            x: 400.0,
            y: -250.0,
        };
        let place = frame.to_degrees(local);
        assert!(place.longitude_deg < 0.0);
        let again = frame.to_local(place);
        assert!((again.x - local.x).hypot(again.y - local.y) < 1e-4);
    }
}
