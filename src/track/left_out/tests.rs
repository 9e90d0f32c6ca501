use super::*;

/// A recording with a fix a second, made leg by leg.
#[derive(Clone, Default)]
struct Made {
    drafts: Vec<Draft>,
    at_m: [f64; 2],
}

impl Made {
    /// So many seconds at a speed, in a direction in degrees from the first axis.
    fn leg(mut self, seconds: usize, speed_m_s: f64, direction_deg: f64) -> Self {
        let (sin, cos) = direction_deg.to_radians().sin_cos();
        for _ in 0..seconds {
            self.at_m[0] += speed_m_s * cos;
            self.at_m[1] += speed_m_s * sin;
            self.drafts.push(Draft {
                time_s: self.drafts.len() as f64,
                position_m: Some(self.at_m),
                ..Draft::default()
            });
        }
        self
    }

    /// Twenty minutes on a pitch: runs of 60 m, sprints among them, and walking back.
    fn session(self) -> Self {
        (0..20).fold(self, |made, k| {
            let (seconds, speed) = if k % 4 == 0 { (7, 8.5) } else { (12, 5.0) };
            made.leg(seconds, speed, 0.0).leg(40, 1.5, 180.0)
        })
    }

    /// By car with a halt, or by bicycle.
    fn car(self, away_deg: f64) -> Self {
        self.leg(10, 0.0, 0.0)
            .leg(60, 13.0, away_deg)
            .leg(40, 0.0, 0.0)
            .leg(80, 12.0, away_deg + 40.0)
            .leg(10, 0.0, 0.0)
    }

    fn bicycle(self, away_deg: f64) -> Self {
        self.leg(10, 0.0, 0.0)
            .leg(240, 6.8, away_deg)
            .leg(10, 0.0, 0.0)
    }

    /// By bicycle at a leisurely speed, a little faster and slower in turn, with a halt at every other corner.
    fn slow_bicycle(self, away_deg: f64, speed_m_s: f64) -> Self {
        let ridden = (0..8).fold(self.leg(10, 0.0, 0.0), |made, k: u32| {
            let turn_deg = 12.0 * f64::from(k % 3) - 12.0;
            let made = made
                .leg(3, 0.5 * speed_m_s, away_deg + turn_deg)
                .leg(22, 1.06 * speed_m_s, away_deg + turn_deg)
                .leg(22, 0.97 * speed_m_s, away_deg + turn_deg)
                .leg(3, 0.4 * speed_m_s, away_deg + turn_deg);
            made.leg(if k.is_multiple_of(2) { 25 } else { 0 }, 0.0, 0.0)
        });
        ridden.leg(10, 0.0, 0.0)
    }

    /// What is left out: why, and from which second to which of the session.
    fn left_out(&self) -> Vec<(Reason, f64, f64)> {
        let found = find(&self.drafts);
        found
            .iter()
            .map(|(_, l)| (l.reason, l.start_s, l.end_s))
            .collect()
    }
}

const CAR_S: f64 = 200.0;
const BICYCLE_S: f64 = 260.0;

#[test]
fn a_session_of_sprints_and_laps_around_the_block_stays_whole() {
    let made = Made::default();
    assert!(made.clone().session().left_out().is_empty());
    // A jog of a kilometre there, a lap around the block at 5 m/s, and the best run over 400 m of a good runner.
    let jog = made.leg(360, 2.8, 90.0).session();
    let block = (0..4).fold(jog, |made, k| made.leg(60, 5.0, 90.0 * f64::from(k)));
    let hard = block.leg(55, 7.2, 45.0).session().leg(300, 3.2, 20.0);
    assert_eq!(hard.left_out(), []);
}

#[test]
fn the_way_there_and_home_by_car_is_left_out_to_the_second() {
    let both = Made::default().car(200.0).session();
    let start_s = both.drafts.len() as f64 - CAR_S;
    let found = both.car(20.0).left_out();
    assert_eq!(found.len(), 2, "{found:?}");
    let (reason, from_s, to_s) = found[0];
    assert_eq!(reason, Reason::OnTheWay);
    // He has arrived when the car stands, 10 s before the session.
    assert!((from_s + 190.0).abs() <= 2.0 && to_s == 0.0, "{found:?}");
    let (_, from_s, _) = found[1];
    assert!((from_s - (start_s + 20.0)).abs() <= 2.0, "{found:?}");
}

#[test]
fn a_bicycle_is_left_out_before_and_after_and_a_run_between_is_none() {
    let there = Made::default().bicycle(130.0).session();
    let home = there.clone().bicycle(-50.0);
    assert_eq!(home.left_out().len(), 2);
    let found = there.left_out();
    assert!(
        (found[0].2 - found[0].1 - BICYCLE_S).abs() < 15.0,
        "{found:?}"
    );
    // At 20 km/h, with a halt.
    let slow = Made::default()
        .leg(200, 5.6, 130.0)
        .leg(20, 0.0, 0.0)
        .leg(240, 5.6, 170.0)
        .leg(10, 0.0, 0.0)
        .session();
    assert_eq!(slow.left_out().len(), 1);
    // The same speed between two halves of a session, there and back, may be a runner's.
    let between = Made::default()
        .session()
        .leg(240, 6.8, 90.0)
        .leg(240, 6.8, -90.0)
        .session();
    assert_eq!(between.left_out(), []);
}

#[test]
fn a_slow_bicycle_with_halts_is_left_out_and_whoever_runs_so_far_is_not() {
    for speed_m_s in [5.2, 5.6, 6.5] {
        let there = Made::default().slow_bicycle(130.0, speed_m_s).session();
        let lasts_s = there.drafts.len() as f64 - Made::default().session().drafts.len() as f64;
        let found = there.left_out();
        assert_eq!(found.len(), 1, "{speed_m_s}");
        let (reason, from_s, to_s) = found[0];
        assert_eq!(reason, Reason::OnTheWay);
        assert!(
            (to_s - from_s - lasts_s).abs() < 35.0,
            "{found:?} {lasts_s}"
        );
        let home = there.slow_bicycle(-50.0, speed_m_s).left_out();
        assert_eq!(home.len(), 2, "{home:?}");
    }
    // A run of 1.5 km there at 3:55 the kilometre with waits at lights, and the same home.
    let run = |made: Made| made.slow_bicycle(130.0, 4.2);
    assert_eq!(run(run(Made::default()).session()).left_out(), []);
    // A fast kilometre away from the ground and back, in one piece or three.
    let hard = |made: Made, away_deg: f64| made.leg(65, 5.2, away_deg).leg(60, 0.0, 0.0);
    let made = Made::default().session();
    let made = (0..3).fold(made, |made, _| hard(hard(made, 90.0), -90.0));
    assert_eq!(made.left_out(), []);
    // Jogging between two fast stretches is no ride.
    let mixed = (0..5).fold(Made::default(), |made, _| {
        made.leg(50, 5.4, 130.0).leg(25, 3.0, 130.0)
    });
    assert_eq!(mixed.session().left_out(), []);
}

#[test]
fn a_drive_between_two_halves_is_left_out_and_parts_them() {
    let made = Made::default().session().car(90.0).car(-130.0).session();
    let found = made.left_out();
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(
        found[0].1 > 0.0 && found[0].2 - found[0].1 > 300.0,
        "{found:?}"
    );
}

#[test]
fn a_watch_forgotten_at_home_is_left_out_and_a_rest_is_not() {
    let walk = Made::default().session().leg(300, 1.4, 90.0);
    let found = walk.clone().leg(1800, 0.0, 0.0).left_out();
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].0, Reason::LyingStill);
    assert!(found[0].2 - found[0].1 > 1700.0);
    assert_eq!(walk.leg(600, 0.0, 0.0).left_out(), []);
    assert_eq!(Made::default().session().leg(1500, 0.0, 0.0).left_out(), []);
}

#[test]
fn an_hour_of_short_shuttles_with_long_rests_is_no_forgotten_watch() {
    let shuttles = (0..60).fold(Made::default().session(), |made, _| {
        made.leg(2, 3.0, 0.0).leg(2, 3.0, 180.0).leg(56, 0.0, 0.0)
    });
    assert_eq!(shuttles.left_out(), []);
}

#[test]
fn a_drive_home_and_an_hour_on_a_shelf_are_told_apart() {
    let made = Made::default().session().car(90.0).leg(3600, 0.0, 0.0);
    let found = made.left_out();
    let reasons: Vec<Reason> = found.iter().map(|f| f.0).collect();
    assert_eq!(reasons, [Reason::OnTheWay, Reason::LyingStill], "{found:?}");
    assert!((found[0].2 - found[1].1).abs() < 1e-9);
}

#[test]
fn without_a_session_nothing_is_left_out() {
    assert_eq!(Made::default().car(10.0).car(50.0).left_out(), []);
    assert_eq!(Made::default().leg(4000, 0.0, 0.0).left_out(), []);
    assert!(find(&[]).is_empty());
}

#[test]
fn a_leap_of_the_receiver_is_no_ride() {
    let mut made = Made::default().session();
    for draft in &mut made.drafts[400..430] {
        draft.position_m = draft.position_m.map(|p| [p[0] + 400.0, p[1]]);
    }
    assert_eq!(made.left_out(), []);
}
