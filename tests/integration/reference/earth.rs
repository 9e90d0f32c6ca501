//! The local plane against geodesics on WGS 84.

use geographiclib_rs::{DirectGeodesic, Geodesic, InverseGeodesic};
use repledger::geodesy::{Degrees, LocalFrame};

/// The plane may be off by this much at 1 km, m.
const PLANE_M: f64 = 0.005;

/// From the test set `GeodTest` that accompanies Karney (2013), Algorithms for geodesics, J Geod 87:43,
/// 10.1007/s00190-012-0578-z, as kept in the crate geographiclib-rs 0.2.7 (`src/geodesic.rs`): latitude and longitude of
/// the start, azimuth there, latitude and longitude of the end, azimuth there (degrees), length (m).
#[rustfmt::skip]
const GEOD_TEST: [[f64; 7]; 20] = [
    [35.607_77, -139.448_15, 111.098_748_429, -11.174_91, -69.959_21, 129.289_270_889, 8_935_244.560_481_83],
    [55.524_54, 106.050_87, 22.020_059_88, 77.031_96, 197.182_34, 109.112_041_11, 4_105_086.171_392_44],
    [-21.978_56, 142.590_65, -32.444_568_764, 41.841_38, 98.566_35, -41.843_599_514, 8_394_328.894_657_671],
    [-66.990_28, 112.2363, 173.734_912_408, -12.706_31, 285.903_44, 2.512_956_62, 11_150_344.231_208_024],
    [-17.427_61, 173.342_68, -159.033_557_661, -15.847_84, 5.935_57, -20.787_484_651, 16_076_603.163_118_067],
    [32.849_94, 48.289_19, 150.492_927_788, -56.285_56, 202.291_32, 48.113_449_399, 16_727_068.943_816_446],
    [6.968_33, 52.741_23, 92.581_585_386, -7.396_75, 206.172_91, 90.721_692_165, 17_102_477.249_695_838],
    [-50.567_24, -16.304_85, -105.439_679_907, -33.565_71, -94.974_12, -47.348_547_835, 6_455_670.511_866_869],
    [-58.930_02, -8.907_75, 140.965_397_902, -8.911_04, 133.135_03, 19.255_429_433, 11_756_066.021_986_462],
    [-68.828_67, -74.283_91, 93.774_347_763, -50.630_05, -8.366_85, 34.655_640_854, 3_956_936.926_063_544],
    [-10.626_72, -32.0898, -86.426_713_286, 5.883, -134.316_81, -80.473_780_971, 11_470_869.386_456_3],
    [-21.762_21, 166.905_63, 29.319_421_206, 48.728_84, 213.976_27, 43.508_671_946, 9_098_627.398_655_491],
    [-19.799_38, -174.474_84, 71.167_275_78, -11.993_49, -154.351_09, 65.589_099_775, 2_319_004.860_116_938],
    [-11.958_87, -116.945_13, 92.712_619_83, 4.573_52, 7.165_01, 78.649_609_344, 13_834_722.580_140_137],
    [-87.853_31, 85.668_36, -65.120_313_04, 66.486_46, 16.099_21, -4.888_658_719, 17_286_615.314_714_464],
    [1.747_08, 128.320_11, -101.584_843_631, -11.166_17, 11.871_09, -86.325_793_296, 12_942_901.124_134_74],
    [-25.729_59, -144.907_58, -153.647_468_693, -57.705_81, -269.178_79, -48.343_983_158, 9_413_446.745_245_31],
    [-41.227_77, 122.328_75, 14.285_113_402, -7.572_91, 130.379_46, 10.805_303_085, 3_812_686.035_106_021],
    [11.013_07, 138.252_78, 79.436_826_227, 6.627_26, 247.059_81, 103.708_090_215, 11_911_190.819_018_408],
    [-29.471_24, 95.146_81, -163.779_130_441, -27.466_01, -69.159_55, -15.909_335_945, 13_487_015.838_114_549],
];

fn degrees(latitude_deg: f64, longitude_deg: f64) -> Degrees {
    Degrees {
        latitude_deg,
        longitude_deg,
    }
}

fn length_m(from: Degrees, to: Degrees) -> f64 {
    Geodesic::wgs84().inverse(
        from.latitude_deg,
        from.longitude_deg,
        to.latitude_deg,
        to.longitude_deg,
    )
}

/// The place so far from `start` along the geodesic that leaves it at this azimuth, clockwise from north.
fn along(start: Degrees, azimuth_deg: f64, distance_m: f64) -> Degrees {
    let (latitude_deg, longitude_deg) = Geodesic::wgs84().direct(
        start.latitude_deg,
        start.longitude_deg,
        azimuth_deg,
        distance_m,
    );
    degrees(latitude_deg, longitude_deg)
}

#[test]
fn the_yardstick_itself_gives_the_published_lengths() {
    for [lat1, lon1, _, lat2, lon2, _, published_m] in GEOD_TEST {
        let measured_m = length_m(degrees(lat1, lon1), degrees(lat2, lon2));
        assert!(
            (measured_m - published_m).abs() < 1e-6,
            "{measured_m} is not {published_m}"
        );
    }
}

#[test]
fn a_kilometre_along_each_published_geodesic_lies_where_the_plane_says() {
    let mut worst_m: f64 = 0.0;
    for [lat1, lon1, azimuth1, lat2, lon2, azimuth2, _] in GEOD_TEST {
        for (start, azimuth_deg) in [
            (degrees(lat1, lon1), azimuth1),
            (degrees(lat2, lon2), azimuth2),
        ] {
            let frame = LocalFrame::new(start);
            for distance_m in [1.0, 100.0, 500.0, 1000.0] {
                let place = frame.to_local(along(start, azimuth_deg, distance_m));
                let (east, north) = azimuth_deg.to_radians().sin_cos();
                let off_m = (place.x - distance_m * east).hypot(place.y - distance_m * north);
                assert!(
                    off_m < PLANE_M,
                    "{off_m} m off at {distance_m} m from {start:?}"
                );
                worst_m = worst_m.max(off_m);
            }
        }
    }
    // The curvature of the earth alone takes d^3 / 6 R^2 = 0.004 mm from 1 km, so a plane that is never off is not tested.
    assert!(worst_m > 1e-6, "the largest difference is {worst_m} m");
}

#[test]
fn distances_across_the_plane_are_those_on_the_earth() {
    for [latitude_deg, longitude_deg, azimuth_deg, ..] in GEOD_TEST {
        let origin = degrees(latitude_deg, longitude_deg);
        let frame = LocalFrame::new(origin);
        let a = along(origin, azimuth_deg, 500.0);
        let b = along(origin, azimuth_deg + 130.0, 500.0);
        let (p, q) = (frame.to_local(a), frame.to_local(b));
        let off_m = ((p.x - q.x).hypot(p.y - q.y) - length_m(a, b)).abs();
        assert!(off_m < PLANE_M, "{off_m} m off near {origin:?}");
    }
}

#[test]
fn a_short_line_of_a_few_metres() {
    // Karney (2013), the example of a short line: 4.944208 m, leaving at 77.04353 degrees.
    let frame = LocalFrame::new(degrees(-30.12345, 0.0));
    let end = frame.to_local(degrees(-30.12344, 0.00005));
    assert!((end.x.hypot(end.y) - 4.944_208).abs() < 1e-6, "{end:?}");
    assert!(
        (end.x.atan2(end.y).to_degrees() - 77.04353).abs() < 1e-5,
        "{end:?}"
    );
}

#[test]
fn a_degree_has_the_length_of_the_ellipsoid() {
    // Metres in 1 degree of latitude and of longitude, computed from the defining constants of WGS 84 (a = 6378137 m,
    // 1/f = 298.257223563): M = a (1 - e2) / (1 - e2 sin2)^1.5, N = a / sqrt(1 - e2 sin2), times pi / 180 and, for N, cos.
    let lengths = [
        (0.0, 110_574.276, 111_319.491),
        (15.0, 110_648.696, 107_550.489),
        (30.0, 110_852.442, 96_486.280),
        (45.0, 111_131.777, 78_846.835),
        (51.5, 111_257.834, 69_440.517),
        (60.0, 111_412.287, 55_800.002),
        (75.0, 111_618.384, 28_902.006),
    ];
    // The derivative at the origin, from a thousandth of a degree on both sides.
    let part_deg = 0.001;
    for (latitude_deg, latitude_m, longitude_m) in lengths {
        let frame = LocalFrame::new(degrees(latitude_deg, 11.0));
        let at = |north: f64, east: f64| frame.to_local(degrees(latitude_deg + north, 11.0 + east));
        let north = (at(part_deg, 0.0).y - at(-part_deg, 0.0).y) / (2.0 * part_deg);
        let east = (at(0.0, part_deg).x - at(0.0, -part_deg).x) / (2.0 * part_deg);
        assert!(
            (north - latitude_m).abs() < 0.002,
            "latitude {latitude_deg}: {north}"
        );
        assert!(
            (east - longitude_m).abs() < 0.002,
            "latitude {latitude_deg}: {east}"
        );
    }
}
