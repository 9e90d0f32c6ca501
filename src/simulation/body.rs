//! Movement in continuous time: one step every 10 ms, steered by speed and course.

use std::f64::consts::{PI, TAU};

use crate::simulation::athlete::Athlete;
use crate::simulation::rng::Rng;

/// Time between samples of the truth, s.
pub(crate) const STEP_S: f64 = 0.01;

/// Where and how fast the athlete truly is, step ripple included.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct State {
    /// First axis, m.
    pub x_m: f64,
    /// Second axis, m.
    pub y_m: f64,
    /// Velocity along the first axis, m/s.
    pub vx_m_s: f64,
    /// Velocity along the second axis, m/s.
    pub vy_m_s: f64,
}

/// What the athlete wants of his speed.
#[derive(Clone, Copy, Debug)]
pub(super) enum Pace {
    /// Towards a speed, exponentially with a time constant; slows down gently when above it.
    Towards { speed_m_s: f64, tau_s: f64 },
    /// Brake down to a speed.
    Brake { by_m_s2: f64, floor_m_s: f64 },
}

/// A place, m.
pub(super) type Place = [f64; 2];

/// The moving athlete and all samples so far.
#[derive(Debug)]
pub(super) struct Body {
    pub(super) states: Vec<State>,
    pub(super) athlete: Athlete,
    pub(super) rng: Rng,
    place: Place,
    course_rad: f64,
    speed_m_s: f64,
    phase_rad: f64,
    wander_rad: [f64; 2],
    /// Slow swell of the pace, in standard deviations, and its rate.
    swell: [f64; 2],
    /// How far the brake is on, 0 to 1: nobody brakes fully at once.
    brake: f64,
}

/// Longest that a single errand may take, s: a bound against paths that never arrive.
const ERRAND_S: f64 = 600.0;

impl Body {
    pub(super) fn new(athlete: Athlete, place: Place, rng: Rng) -> Self {
        Self {
            states: vec![State {
                x_m: place[0],
                y_m: place[1],
                ..State::default()
            }],
            athlete,
            rng,
            place,
            course_rad: 0.0,
            speed_m_s: 0.0,
            phase_rad: 0.0,
            wander_rad: [0.0; 2],
            swell: [0.0; 2],
            brake: 0.0,
        }
    }

    /// Time of the last sample, s.
    pub(super) fn now_s(&self) -> f64 {
        (self.states.len() - 1) as f64 * STEP_S
    }

    pub(super) fn place(&self) -> Place {
        self.place
    }

    /// Distance to a place, m.
    pub(super) fn distance_to(&self, to: Place) -> f64 {
        (to[0] - self.place[0]).hypot(to[1] - self.place[1])
    }

    fn bearing_to(&self, to: Place) -> f64 {
        (to[1] - self.place[1]).atan2(to[0] - self.place[0])
    }

    /// Makes ready to run towards a place: stops and turns there, unless already on the way.
    pub(super) fn face(&mut self, to: Place) {
        let off = wrap(self.bearing_to(to) - self.course_rad).abs();
        let rolling = off < 0.3 && self.speed_m_s < 2.0 && self.athlete.scatter > 0.0;
        if !rolling {
            self.brake(3.0, 0.0, f64::INFINITY);
            self.course_rad = self.bearing_to(to);
        }
    }

    /// One step of 10 ms.
    fn step(&mut self, pace: Pace, course_rad: f64, turn_rad_s: f64) {
        let before = self.speed_m_s;
        match pace {
            Pace::Towards { speed_m_s, tau_s } => {
                self.brake = 0.0;
                let share = -(-STEP_S / tau_s).exp_m1();
                let goal_m_s = speed_m_s * self.swell(speed_m_s);
                let change = (goal_m_s - before) * share;
                // Easing off is coasting, no braking.
                self.speed_m_s = before + change.max(-1.5 * STEP_S);
            }
            Pace::Brake { by_m_s2, floor_m_s } => {
                self.brake = (self.brake + STEP_S / 0.15).min(1.0);
                if before > floor_m_s {
                    self.speed_m_s = (before - by_m_s2 * self.brake * STEP_S).max(floor_m_s);
                }
            }
        }
        self.sway();
        let wanted = wrap(course_rad + self.wander_rad[0] - self.course_rad);
        let most = turn_rad_s * STEP_S;
        self.course_rad = wrap(self.course_rad + wanted.clamp(-most, most));
        let mean = f64::midpoint(before, self.speed_m_s);
        let ripple = 1.0 + self.ripple(mean);
        let (sin, cos) = self.course_rad.sin_cos();
        self.place[0] += cos * mean * ripple * STEP_S;
        self.place[1] += sin * mean * ripple * STEP_S;
        let now = self.speed_m_s * ripple;
        self.states.push(State {
            x_m: self.place[0],
            y_m: self.place[1],
            vx_m_s: cos * now,
            vy_m_s: sin * now,
        });
    }

    /// The ripple of the steps at 2.6 to 4.6 Hz, quicker when faster; none when nearly still.
    fn ripple(&mut self, speed_m_s: f64) -> f64 {
        let hz = 2.6 + 2.0 * (speed_m_s / 9.0).min(1.0);
        self.phase_rad = (self.phase_rad + TAU * hz * STEP_S) % TAU;
        self.athlete.ripple * self.phase_rad.sin() * (speed_m_s / 1.5).min(1.0)
    }

    /// The pace swells and ebbs over some seconds, 5 % when walking, less when faster, not at all when sprinting.
    fn swell(&mut self, speed_m_s: f64) -> f64 {
        if self.athlete.scatter <= 0.0 {
            return 1.0;
        }
        oscillate(&mut self.swell, 1.0, 2.0, &mut self.rng);
        1.0 + 0.05 * (1.0 - speed_m_s / 6.5).max(0.0) * self.swell[0]
    }

    /// The course sways smoothly about the line aimed at.
    fn sway(&mut self) {
        if self.athlete.wander_rad > 0.0 {
            oscillate(
                &mut self.wander_rad,
                self.athlete.wander_rad,
                0.6,
                &mut self.rng,
            );
        }
    }

    /// The fastest that the course may change at the speed now, rad/s: sideways acceleration is limited.
    fn turn_limit(&self) -> f64 {
        let sideways_m_s2 = 4.0;
        (sideways_m_s2 / self.speed_m_s.max(0.3)).min(6.0)
    }

    /// Runs towards a place until `time_s` on the clock, or until it is reached within `within_m`.
    pub(super) fn go(&mut self, to: Place, speed_m_s: f64, tau_s: f64, within_m: f64, time_s: f64) {
        let limit = time_s.min(self.now_s() + ERRAND_S);
        let line = self.bearing_to(to);
        while self.now_s() < limit {
            let left = [to[0] - self.place[0], to[1] - self.place[1]];
            let along = left[0] * line.cos() + left[1] * line.sin();
            let far = left[0].hypot(left[1]);
            if far <= within_m || (along <= 0.0 && far < 4.0) {
                break;
            }
            // Whoever turns sharply slows down, or he would circle about a near place.
            let off = wrap(self.bearing_to(to) - self.course_rad).abs();
            let pace = if off > 1.2 && self.speed_m_s > 1.2 {
                Pace::Brake {
                    by_m_s2: 3.0,
                    floor_m_s: 1.0,
                }
            } else {
                Pace::Towards { speed_m_s, tau_s }
            };
            self.step(pace, self.bearing_to(to), self.turn_limit());
        }
    }

    /// Runs straight for a place far off, for a distance and at most until a time; returns the distance run, m.
    pub(super) fn straight(&mut self, aim: Place, pace: Pace, distance_m: f64, time_s: f64) -> f64 {
        let from = self.place;
        let line = self.bearing_to(aim);
        let limit = time_s.min(self.now_s() + ERRAND_S);
        let mut along = 0.0;
        while along < distance_m && self.now_s() < limit {
            self.step(pace, self.bearing_to(aim), self.turn_limit());
            along = (self.place[0] - from[0]) * line.cos() + (self.place[1] - from[1]) * line.sin();
        }
        along
    }

    /// Brakes straight ahead until the speed is down at `floor_m_s`, at most until `time_s`.
    pub(super) fn brake(&mut self, by_m_s2: f64, floor_m_s: f64, time_s: f64) {
        let course = self.course_rad;
        while self.speed_m_s > floor_m_s + 1e-9 && self.now_s() < time_s {
            self.step(Pace::Brake { by_m_s2, floor_m_s }, course, 1.0);
        }
    }

    /// Runs round by way of corners, until a distance or a time; returns the number of the corner aimed at last.
    pub(super) fn lap(
        &mut self,
        corner: impl Fn(usize) -> Place,
        first: usize,
        pace: (f64, f64),
        distance_m: f64,
        time_s: f64,
    ) -> usize {
        let (mut number, mut run_m) = (first, 0.0);
        while run_m < distance_m && self.now_s() < time_s {
            let aim = corner(number);
            if self.distance_to(aim) < 1.5 + 0.9 * self.speed_m_s {
                number += 1;
                continue;
            }
            let course = self.bearing_to(aim);
            let bend = if wrap(course - self.course_rad).abs() > 0.5 {
                0.92
            } else {
                1.0
            };
            let towards = Pace::Towards {
                speed_m_s: pace.0 * bend,
                tau_s: pace.1,
            };
            self.step(towards, course, self.turn_limit());
            run_m += self.speed_m_s * STEP_S;
        }
        number
    }

    /// A leg of a shuttle: runs to a line and arrives there with `arrive_m_s`; gives up at `time_s`, still running.
    pub(super) fn leg(
        &mut self,
        to: Place,
        speed_m_s: f64,
        tau_s: f64,
        arrive_m_s: f64,
        time_s: f64,
    ) {
        let line = self.bearing_to(to);
        let by_m_s2 = self.athlete.braking_m_s2;
        let limit = time_s.min(self.now_s() + ERRAND_S);
        let mut braking = false;
        while self.now_s() < limit {
            let left = (to[0] - self.place[0]) * line.cos() + (to[1] - self.place[1]) * line.sin();
            let excess = self.speed_m_s * self.speed_m_s - arrive_m_s * arrive_m_s;
            // The brake takes 0.15 s to come on: half of that is run at full speed.
            braking = braking || excess / (2.0 * by_m_s2) + 0.075 * self.speed_m_s >= left;
            if left <= 0.02 || (braking && self.speed_m_s <= arrive_m_s + 1e-6) {
                break;
            }
            let pace = if braking {
                Pace::Brake {
                    by_m_s2,
                    floor_m_s: arrive_m_s,
                }
            } else {
                Pace::Towards { speed_m_s, tau_s }
            };
            self.step(pace, self.bearing_to(to), self.turn_limit());
        }
    }

    /// The turn at a line: half round on a small arc, at the speed carried in.
    pub(super) fn turn(&mut self, to: Place, time_s: f64) {
        let rate = PI / self.athlete.turn_s;
        let limit = time_s.min(self.now_s() + 2.0 * self.athlete.turn_s);
        let side = self.rng.either(0.5, 1.0, -1.0);
        let mut left = wrap(self.bearing_to(to) - self.course_rad);
        // Half a turn goes either way; after that the shorter one.
        if left.abs() > 2.6 && left.signum() != side {
            left += side * TAU;
        }
        let keep = Pace::Towards {
            speed_m_s: self.speed_m_s,
            tau_s: 1.0,
        };
        while left.abs() > 0.05 && self.now_s() < limit {
            let change = left.clamp(-rate * STEP_S, rate * STEP_S);
            self.step(keep, self.course_rad + change - self.wander_rad[0], rate);
            left -= change;
        }
    }

    /// Stands until `time_s`, shifting weight.
    pub(super) fn stand(&mut self, time_s: f64) {
        self.brake(2.0, 0.0, time_s);
        self.speed_m_s = if self.now_s() < time_s {
            0.0
        } else {
            self.speed_m_s
        };
        let home = self.place;
        let mut shift = [0.0_f64; 4];
        let still = self.athlete.wander_rad <= 0.0;
        while self.now_s() < time_s {
            if !still {
                for axis in 0..2 {
                    let (p, v) = (shift[axis], shift[axis + 2]);
                    // Sway of some 3 cm over about a second.
                    let v = v + STEP_S * (-p - 2.0 * v) + 0.06 * STEP_S.sqrt() * self.rng.normal();
                    shift[axis + 2] = v;
                    shift[axis] = p + STEP_S * v;
                }
            }
            self.place = [home[0] + shift[0], home[1] + shift[1]];
            self.states.push(State {
                x_m: self.place[0],
                y_m: self.place[1],
                vx_m_s: shift[2],
                vy_m_s: shift[3],
            });
        }
    }

    /// Walks to a place, at most until `time_s`.
    pub(super) fn walk(&mut self, to: Place, time_s: f64) {
        let pace = self.athlete.walk_m_s * (1.0 + 0.06 * self.rng.scatter());
        self.go(to, pace, 0.5, 0.4, time_s);
    }

    /// Passes the time until `time_s` near a place: stands, strolls a few metres, and is back there at the end.
    pub(super) fn idle(&mut self, near: Place, time_s: f64) {
        while self.now_s() < time_s {
            if self.distance_to(near) > 1.0 {
                self.walk(near, time_s - 1.2);
                self.stand((self.now_s() + 1.2).min(time_s));
            }
            let left = time_s - self.now_s();
            if left > 12.0 && self.rng.chance(0.5) {
                let angle = self.rng.range(-PI, PI);
                let far = self.rng.range(1.5, 4.0);
                let spot = [near[0] + far * angle.cos(), near[1] + far * angle.sin()];
                self.walk(spot, time_s);
                self.walk(near, time_s);
            } else {
                let pause = if left > 12.0 {
                    self.rng.range(3.0, 9.0)
                } else {
                    left
                };
                self.stand((self.now_s() + pause).min(time_s));
            }
        }
    }
}

/// One step of a smooth random process: a critically damped oscillator driven by noise, `[value, rate]`.
///
/// ## Formula
/// `x'' = -x/T^2 - 2x'/T + w`; with intensity `q` of the noise its stationary variance is `q T^3 / 4`.
fn oscillate(state: &mut [f64; 2], sd: f64, time_s: f64, rng: &mut Rng) {
    let q = 4.0 * sd * sd / (time_s * time_s * time_s);
    let pull = -state[0] / (time_s * time_s) - 2.0 * state[1] / time_s;
    state[1] += STEP_S * pull + (q * STEP_S).sqrt() * rng.normal();
    state[0] += STEP_S * state[1];
}

/// The same angle in -pi to pi.
fn wrap(angle_rad: f64) -> f64 {
    let turned = (angle_rad + PI).rem_euclid(TAU);
    turned - PI
}
