//! Any recording: fixes in any order, at any place and speed, as no receiver would write them.

use std::fmt::Write as _;

use proptest::prelude::*;

/// What the places of a recording are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Frame {
    /// Latitude and longitude.
    Degrees,
    /// Metres of a local system.
    Metres,
    /// Speed alone.
    Speed,
}

/// One fix; what is `None` is an empty cell.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    pub time_s: f64,
    /// Latitude and longitude, or x and y.
    pub place: Option<[f64; 2]>,
    pub speed_m_s: Option<f64>,
}

/// A recording, to be written as a file.
#[derive(Clone, Debug)]
pub struct Wild {
    pub frame: Frame,
    pub rows: Vec<Row>,
}

/// Metres of a degree of latitude, roughly: wild places need no better.
const DEGREE_M: f64 = 111_111.0;

impl Wild {
    /// As a table with elapsed time.
    pub fn csv(&self) -> String {
        let mut text = String::from(match self.frame {
            Frame::Degrees => "elapsed (s),lat,lon,speed (m/s)\n",
            Frame::Metres => "elapsed (s),x (m),y (m),speed (m/s)\n",
            Frame::Speed => "elapsed (s),speed (m/s)\n",
        });
        let cell = |value: Option<f64>| value.map_or(String::new(), |v| v.to_string());
        for row in &self.rows {
            let _ = write!(text, "{}", row.time_s);
            if self.frame != Frame::Speed {
                let [a, b] = [0, 1].map(|k| cell(row.place.map(|place| place[k])));
                let _ = write!(text, ",{a},{b}");
            }
            let _ = writeln!(text, ",{}", cell(row.speed_m_s));
        }
        text
    }
}

/// What a stretch of fixes does.
#[derive(Clone, Debug)]
struct Stretch {
    fixes: usize,
    /// From the last fix of the stretch before to the first of this one, s.
    wait_s: f64,
    /// From fix to fix, s.
    every_s: f64,
    /// Where it begins; on from where he is when `None`.
    at: Option<[f64; 2]>,
    /// m/s along both axes.
    velocity_m_s: [f64; 2],
    /// How far places are thrown about, m.
    scatter_m: f64,
    speed: Speed,
    /// Whether places are left out.
    blind: bool,
}

#[derive(Clone, Copy, Debug)]
enum Speed {
    None,
    Own,
    Said(f64),
}

fn interval() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => prop::sample::select(vec![0.04, 0.1, 0.2, 1.0, 1.0, 5.0]),
        2 => 0.001..20.0_f64,
        1 => prop::sample::select(vec![0.0, 1e-9, 1e-6, -0.1, -1.0, -1e-9, 60.0]),
    ]
}

fn wait() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => Just(1.0),
        2 => 0.0..60.0_f64,
        2 => -100.0..100.0_f64,
        1 => prop::sample::select(vec![0.0, 10.0, 10.001, 1e4, -1e4, 86_400.0, -86_400.0, 1e6, 3e7, -3e7]),
    ]
}

fn speed() -> impl Strategy<Value = Speed> {
    let said = prop_oneof![
        3 => 0.0..12.0_f64,
        1 => -20.0..1000.0_f64,
        1 => prop::sample::select(vec![0.0, -0.0, -1.0, 1e-300, 1e12, 1e300]),
    ];
    prop_oneof![
        2 => Just(Speed::None),
        3 => Just(Speed::Own),
        2 => said.prop_map(Speed::Said),
    ]
}

fn place(frame: Frame) -> BoxedStrategy<Option<[f64; 2]>> {
    let wild = match frame {
        Frame::Degrees => prop_oneof![
            (-90.0..=90.0_f64, -180.0..=180.0_f64).prop_map(|(lat, lon)| [lat, lon]),
            prop::sample::select(vec![
                [90.0, 0.0],
                [-90.0, 179.0],
                [89.9999, -45.0],
                [0.0, 0.0],
                [50.0, 180.0],
                [50.0, -180.0],
                [50.0, 179.9999],
                [-33.0, -179.9999],
            ]),
            (49.99..50.01_f64, 7.99..8.01_f64).prop_map(|(lat, lon)| [lat, lon]),
        ]
        .boxed(),
        Frame::Metres | Frame::Speed => prop_oneof![
            (-100.0..100.0_f64, -100.0..100.0_f64).prop_map(|(x, y)| [x, y]),
            (-1e7..1e7_f64, -1e7..1e7_f64).prop_map(|(x, y)| [x, y]),
            prop::sample::select(vec![
                [0.0, 0.0],
                [1e6, -1e6],
                [1e15, 0.0],
                [1e300, 1e300],
                [1e-300, 0.0]
            ]),
        ]
        .boxed(),
    };
    prop_oneof![3 => Just(None), 1 => wild.prop_map(Some)].boxed()
}

fn stretch(frame: Frame, most: usize) -> impl Strategy<Value = Stretch> {
    let axis = || {
        prop_oneof![
            4 => -9.0..9.0_f64,
            2 => Just(0.0),
            1 => -1000.0..1000.0_f64,
        ]
    };
    let scatter = prop_oneof![3 => Just(0.0), 3 => 0.0..3.0_f64, 1 => 0.0..500.0_f64];
    (
        (1..=most, wait(), interval(), place(frame)),
        (
            [axis(), axis()],
            scatter,
            speed(),
            prop::bool::weighted(0.1),
        ),
    )
        .prop_map(
            |((fixes, wait_s, every_s, at), (velocity_m_s, scatter_m, speed, blind))| Stretch {
                fixes,
                wait_s,
                every_s,
                at,
                velocity_m_s,
                scatter_m,
                speed,
                blind,
            },
        )
}

/// Any recording of at most so many stretches of at most so many fixes.
pub fn wild(stretches: usize, most: usize) -> impl Strategy<Value = Wild> {
    prop::sample::select(vec![Frame::Degrees, Frame::Metres, Frame::Speed])
        .prop_flat_map(move |frame| {
            (
                Just(frame),
                prop::collection::vec(stretch(frame, most), 1..=stretches),
                any::<u64>(),
            )
        })
        .prop_map(|(frame, stretches, seed)| write(frame, &stretches, seed))
}

fn write(frame: Frame, stretches: &[Stretch], seed: u64) -> Wild {
    let mut chance = repledger::simulation::Rng::new(seed);
    let mut rows = Vec::new();
    let (mut time_s, mut place) = (
        0.0,
        match frame {
            Frame::Degrees => [50.0, 8.0],
            Frame::Metres | Frame::Speed => [0.0, 0.0],
        },
    );
    for stretch in stretches {
        time_s += stretch.wait_s;
        if let Some(at) = stretch.at {
            place = at;
        }
        for fix in 0..stretch.fixes {
            if fix > 0 {
                time_s += stretch.every_s;
                let way_m = stretch.velocity_m_s.map(|v| v * stretch.every_s);
                let [a, b] = match frame {
                    Frame::Degrees => way_m.map(|m| m / DEGREE_M),
                    Frame::Metres | Frame::Speed => way_m,
                };
                place = [place[0] + a, place[1] + b];
            }
            let thrown = place.map(|p| {
                let off_m = stretch.scatter_m * chance.normal();
                p + if frame == Frame::Degrees {
                    off_m / DEGREE_M
                } else {
                    off_m
                }
            });
            rows.push(Row {
                time_s,
                place: (!stretch.blind).then_some(thrown),
                speed_m_s: match stretch.speed {
                    Speed::None => None,
                    Speed::Own => Some(stretch.velocity_m_s[0].hypot(stretch.velocity_m_s[1])),
                    Speed::Said(v) => Some(v),
                },
            });
        }
    }
    Wild { frame, rows }
}
