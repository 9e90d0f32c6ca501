//! The lines of a pitch.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::Size;
use crate::units::YARD_M;

/// One line, arc or mark, in metres from the centre mark: along the touchlines, and across them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Mark {
    /// A straight line.
    Line {
        /// One end.
        from_m: [f64; 2],
        /// The other.
        to_m: [f64; 2],
    },
    /// Part of a circle, or the whole.
    Arc {
        /// Its middle.
        centre_m: [f64; 2],
        /// Its radius.
        radius_m: f64,
        /// Where it begins, anticlockwise from the touchline's direction.
        from_rad: f64,
        /// How far it goes on, anticlockwise; a turn for a whole circle.
        sweep_rad: f64,
    },
    /// A mark on the ground.
    Spot {
        /// Its middle.
        at_m: [f64; 2],
    },
}

/// A mark with its name in the Laws of the Game.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Marking {
    /// Its name.
    pub name: &'static str,
    /// Its shape.
    pub mark: Mark,
}

/// What is marked on a pitch, m.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Table {
    /// Depth of the goal area, and how far it reaches beyond each post.
    goal_area: Option<f64>,
    /// Depth of the penalty area, and its whole width.
    penalty_area: Option<(f64, f64)>,
    penalty_mark: Option<f64>,
    /// Radius of the arc about the penalty mark.
    penalty_arc: Option<f64>,
    centre_circle: Option<f64>,
    corner_arc: f64,
}

/// Between the posts, m.
const GOAL_M: f64 = 7.32;

/// International Football Association Board, Laws of the Game, Law 1 (the field of play).
const LAW_1: Table = Table {
    goal_area: Some(5.5),
    penalty_area: Some((16.5, GOAL_M + 2.0 * 16.5)),
    penalty_mark: Some(11.0),
    penalty_arc: Some(9.15),
    centre_circle: Some(9.15),
    corner_arc: 1.0,
};
/// Guidance of the English association for nine a side (under 11 and 12), in yards.
const NINE_A_SIDE: Table = Table {
    goal_area: None,
    penalty_area: Some((13.0 * YARD_M, 32.0 * YARD_M)),
    penalty_mark: Some(9.0 * YARD_M),
    penalty_arc: None,
    centre_circle: Some(7.0 * YARD_M),
    corner_arc: 1.0,
};
/// The same for seven a side (under 9 and 10).
const SEVEN_A_SIDE: Table = Table {
    goal_area: None,
    penalty_area: Some((10.0 * YARD_M, 18.0 * YARD_M)),
    penalty_mark: None,
    penalty_arc: None,
    centre_circle: None,
    corner_arc: 1.0,
};
/// A small-sided area has its lines and a halfway line.
const AREA: Table = Table {
    goal_area: None,
    penalty_area: None,
    penalty_mark: None,
    penalty_arc: None,
    centre_circle: None,
    corner_arc: 0.0,
};
/// Shortest touchlines of these, m: nine a side plays on 73.2 m, eleven a side from 82.3 m on.
const ELEVEN_FROM_M: f64 = 78.0;
const NINE_FROM_M: f64 = 64.0;
const SEVEN_FROM_M: f64 = 48.0;
/// Narrowest goal line that holds the areas of a game and some way beside them, m.
const BESIDE_M: f64 = 1.0;

impl Table {
    /// What is marked on a pitch of this size: that of the largest game whose areas fit.
    fn of(size: Size) -> Self {
        let tables = [
            (ELEVEN_FROM_M, LAW_1),
            (NINE_FROM_M, NINE_A_SIDE),
            (SEVEN_FROM_M, SEVEN_A_SIDE),
        ];
        tables
            .into_iter()
            .find(|(from_m, table)| {
                let wide = table.penalty_area.map_or(0.0, |(_, width)| width);
                size.length_m >= *from_m && size.width_m >= wide + 2.0 * BESIDE_M
            })
            .map_or(AREA, |(_, table)| table)
    }
}

/// The lines of a pitch of this size.
///
/// # Definition
/// Those of Law 1 from a length of 78 m on, the only ones to scale at any legal size; those of nine and seven a side on
/// shorter pitches; on anything smaller, or too narrow for its areas, the outline and the halfway line of a small-sided
/// game. Lengths go to the outer edges of the lines.
///
/// # Units
/// m from the centre mark, along the touchlines and across them.
///
/// # Examples
/// ```
/// use repledger::pitch::{Mark, Size, markings};
///
/// let lines = markings(Size { length_m: 105.0, width_m: 68.0 });
/// let marks = lines.iter().filter(|m| m.name == "penalty mark");
/// let at: Vec<Mark> = marks.map(|m| m.mark).collect();
/// // 11 m from goal lines that lie 52.5 m out.
/// assert_eq!(at, [Mark::Spot { at_m: [-41.5, 0.0] }, Mark::Spot { at_m: [41.5, 0.0] }]);
/// ```
///
/// # References
/// IFAB, Laws of the Game, Law 1; sizes for youth from the English association's guidance, read in a second text.
#[must_use]
pub fn markings(size: Size) -> Vec<Marking> {
    let table = Table::of(size);
    let (half_length, half_width) = (size.length_m / 2.0, size.width_m / 2.0);
    let mut all = vec![
        line(
            "touchline",
            [-half_length, -half_width],
            [half_length, -half_width],
        ),
        line(
            "touchline",
            [-half_length, half_width],
            [half_length, half_width],
        ),
        line("halfway line", [0.0, -half_width], [0.0, half_width]),
        spot("centre mark", [0.0, 0.0]),
    ];
    if let Some(radius_m) = table.centre_circle {
        all.push(arc("centre circle", [0.0, 0.0], radius_m, (0.0, TAU)));
    }
    for side in [-1.0, 1.0] {
        let goal_line = side * half_length;
        all.push(line(
            "goal line",
            [goal_line, -half_width],
            [goal_line, half_width],
        ));
        if let Some(depth) = table.goal_area {
            let half = GOAL_M / 2.0 + depth;
            all.extend(area("goal area", goal_line, side, (depth, half)));
        }
        if let Some((depth, width)) = table.penalty_area {
            all.extend(area("penalty area", goal_line, side, (depth, width / 2.0)));
        }
        if let Some(out) = table.penalty_mark {
            all.push(spot("penalty mark", [goal_line - side * out, 0.0]));
        }
        if let (Some(radius_m), Some(mark), Some((depth, _))) =
            (table.penalty_arc, table.penalty_mark, table.penalty_area)
        {
            // Only what lies outside the penalty area.
            let half = ((depth - mark) / radius_m).acos();
            let towards = if side > 0.0 { PI } else { 0.0 };
            let centre_m = [goal_line - side * mark, 0.0];
            let span = (towards - half, 2.0 * half);
            all.push(arc("penalty arc", centre_m, radius_m, span));
        }
        if table.corner_arc > 0.0 {
            for across in [-1.0, 1.0] {
                let from_rad = match (side > 0.0, across > 0.0) {
                    (false, false) => 0.0,
                    (true, false) => FRAC_PI_2,
                    (true, true) => PI,
                    (false, true) => PI + FRAC_PI_2,
                };
                let corner = [goal_line, across * half_width];
                let span = (from_rad, FRAC_PI_2);
                all.push(arc("corner arc", corner, table.corner_arc, span));
            }
        }
    }
    all
}

/// The three lines of an area before a goal.
fn area(name: &'static str, goal_line: f64, side: f64, (depth, half): (f64, f64)) -> [Marking; 3] {
    let front = goal_line - side * depth;
    [
        line(name, [goal_line, -half], [front, -half]),
        line(name, [front, -half], [front, half]),
        line(name, [front, half], [goal_line, half]),
    ]
}

fn line(name: &'static str, from_m: [f64; 2], to_m: [f64; 2]) -> Marking {
    Marking {
        name,
        mark: Mark::Line { from_m, to_m },
    }
}

fn spot(name: &'static str, at_m: [f64; 2]) -> Marking {
    Marking {
        name,
        mark: Mark::Spot { at_m },
    }
}

fn arc(
    name: &'static str,
    centre_m: [f64; 2],
    radius_m: f64,
    (from_rad, sweep_rad): (f64, f64),
) -> Marking {
    Marking {
        name,
        mark: Mark::Arc {
            centre_m,
            radius_m,
            from_rad,
            sweep_rad,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn of(length_m: f64, width_m: f64) -> Vec<Marking> {
        markings(Size { length_m, width_m })
    }

    /// The points that bound a mark.
    fn points(mark: Mark) -> Vec<[f64; 2]> {
        match mark {
            Mark::Line { from_m, to_m } => vec![from_m, to_m],
            Mark::Spot { at_m } => vec![at_m],
            Mark::Arc {
                centre_m,
                radius_m,
                from_rad,
                sweep_rad,
            } => (0..=48)
                .map(|k| {
                    let angle = from_rad + sweep_rad * f64::from(k) / 48.0;
                    [
                        centre_m[0] + radius_m * angle.cos(),
                        centre_m[1] + radius_m * angle.sin(),
                    ]
                })
                .collect(),
        }
    }

    /// Extent of all marks of a name on the right half: nearest and farthest along, and farthest across.
    fn extent(all: &[Marking], name: &str) -> (f64, f64, f64) {
        let mut out = (f64::INFINITY, f64::NEG_INFINITY, 0.0_f64);
        for [x, y] in all
            .iter()
            .filter(|m| m.name == name)
            .flat_map(|m| points(m.mark))
            .filter(|[x, _]| *x > 1e-9)
        {
            out = (out.0.min(x), out.1.max(x), out.2.max(y.abs()));
        }
        out
    }

    /// IFAB, Law 1, on 105 x 68 m: the goal area reaches 5.5 m into the field and from each post (18.32 m wide), the penalty
    /// area 16.5 m (40.32 m); so they begin 24.84 m and 13.84 m from the touchline.
    #[test]
    fn the_areas_have_the_sizes_of_the_law() {
        let all = of(105.0, 68.0);
        for (name, depth, width, from_touchline) in [
            ("goal area", 5.5, 18.32, 24.84),
            ("penalty area", 16.5, 40.32, 13.84),
        ] {
            let (near, far, half) = extent(&all, name);
            assert!((far - 52.5).abs() < 1e-9 && (far - near - depth).abs() < 1e-9);
            assert!((2.0 * half - width).abs() < 1e-9, "{name}: {half}");
            assert!((34.0 - half - from_touchline).abs() < 1e-9);
        }
        assert_eq!(all.iter().filter(|m| m.name == "corner arc").count(), 4);
        assert_eq!(all.iter().filter(|m| m.name == "penalty mark").count(), 2);
    }

    /// Worked out from Law 1: half-chord sqrt(9.15^2 - 5.5^2) = 7.3125 m, half-angle 53.052 degrees, length 16.944 m, apex
    /// 20.15 m from the goal line.
    #[test]
    fn the_arc_before_the_penalty_area() {
        for length_m in [90.0, 105.0, 120.0] {
            let all = of(length_m, 68.0);
            let (near, far, half) = extent(&all, "penalty arc");
            assert!((length_m / 2.0 - near - 20.15).abs() < 1e-9, "{near}");
            assert!((length_m / 2.0 - far - 16.5).abs() < 1e-9, "{far}");
            assert!((half - 7.3125).abs() < 5e-5, "{half}");
            for marking in all.iter().filter(|m| m.name == "penalty arc") {
                let Mark::Arc {
                    radius_m,
                    sweep_rad,
                    ..
                } = marking.mark
                else {
                    panic!("an arc");
                };
                assert!(((sweep_rad / 2.0).to_degrees() - 53.052).abs() < 5e-4);
                assert!((radius_m * sweep_rad - 16.944).abs() < 5e-4);
            }
        }
    }

    #[test]
    fn circle_and_corners_have_the_radii_of_the_law() {
        let all = of(100.0, 64.0);
        let radius = |name: &str| {
            all.iter().find_map(|m| match m.mark {
                Mark::Arc { radius_m, .. } if m.name == name => Some(radius_m),
                _ => None,
            })
        };
        assert_eq!(radius("centre circle"), Some(9.15));
        assert_eq!(radius("corner arc"), Some(1.0));
    }

    /// Guidance of the English association, in yards: nine a side on 80 x 50 with an area of 32 x 13, mark at 9 and circle of
    /// 7; seven a side on 60 x 40 with an area of 18 x 10.
    #[test]
    fn youth_pitches_have_their_own_areas() {
        let nine = of(73.2, 45.7);
        let (near, far, half) = extent(&nine, "penalty area");
        assert!((far - near - 11.887).abs() < 1e-3 && (half - 14.630).abs() < 1e-3);
        assert!(
            nine.iter()
                .all(|m| m.name != "goal area" && m.name != "penalty arc")
        );
        let seven = of(54.9, 36.6);
        let (near, far, half) = extent(&seven, "penalty area");
        assert!((far - near - 9.144).abs() < 1e-3 && (half - 8.230).abs() < 1e-3);
        let five = of(36.6, 27.4);
        assert!(five.iter().all(|m| m.name != "penalty area"));
        assert!(five.iter().any(|m| m.name == "halfway line"));
    }

    proptest! {
        #[test]
        fn nothing_lies_outside_the_lines(length_m in 20.0_f64..120.0, share in 0.4_f64..1.0) {
            let width_m = length_m * share;
            for marking in of(length_m, width_m) {
                for [x, y] in points(marking.mark) {
                    prop_assert!(x.abs() <= length_m / 2.0 + 1e-9, "{marking:?}");
                    prop_assert!(y.abs() <= width_m / 2.0 + 1e-9, "{marking:?}");
                }
            }
        }
    }
}
