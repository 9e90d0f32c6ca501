//! What lies around the plan in a recording: the way to the pitch and home, and drills that the plan does not know.

use crate::plan::Category;
use crate::simulation::body::{Pace, Place};
use crate::simulation::execute::Stage;
use crate::simulation::free;
use crate::simulation::truth::UnplannedKind;
use crate::simulation::way::{far_off, outside};
use crate::simulation::world::Ride;

impl Stage<'_> {
    /// From where the recording starts to the pitch, and what is done there before the plan.
    pub(super) fn arrive(&mut self) {
        let Some(habits) = self.world.habits else {
            return;
        };
        if let Some(ride) = habits.rides[0]
            && let Some(by) = self.car_park
        {
            self.ride(by, ride);
        }
        if habits.before_s > 0.0 {
            let until = self.body.now_s() + habits.before_s;
            let ready = self.body.now_s() + habits.before_s * self.rng.range(0.05, 0.4);
            self.body.idle(self.body.place(), ready);
            let spot = self.field.spot(&mut self.rng);
            self.go_by_foot(spot, until);
            self.pass(spot, until);
        }
        self.other_drill(0);
    }

    /// What is done after the plan, and the way home until the recording stops.
    pub(super) fn leave(&mut self) {
        let Some(habits) = self.world.habits else {
            return;
        };
        self.other_drill(2);
        if habits.after_s > 0.0 {
            let until = self.body.now_s() + habits.after_s;
            let talk = self.body.now_s() + habits.after_s * self.rng.range(0.0, 0.6);
            self.body.idle(self.body.place(), talk);
            let home = outside(self.field, habits.after_s, &mut self.rng);
            self.go_by_foot(home, until);
            self.body.idle(self.body.place(), until);
            if let Some(ride) = habits.rides[1] {
                self.ride(far_off(self.field, home, ride), ride);
            }
        }
    }

    /// Rides to a place by way of some bends and stops.
    fn ride(&mut self, to: Place, ride: Ride) {
        let (start_s, from) = (self.body.now_s(), self.body.place());
        let limit = start_s + 1.6 * ride.length_s;
        let across = [from[1] - to[1], to[0] - from[0]];
        let athlete = self.body.athlete;
        self.body.athlete.ripple = 0.0;
        for bend in 1..=4_u32 {
            let share = f64::from(bend) / 4.0;
            let aside = if bend < 4 {
                self.rng.range(-0.12, 0.12)
            } else {
                0.0
            };
            let aim = [
                from[0] + share * (to[0] - from[0]) + aside * across[0],
                from[1] + share * (to[1] - from[1]) + aside * across[1],
            ];
            while self.body.distance_to(aim) > 25.0 && self.body.now_s() < limit {
                let stretch = self.body.now_s() + self.rng.exponential(50.0).clamp(8.0, 180.0);
                let speed = ride.speed_m_s * self.rng.range(0.8, 1.15);
                let tau_s = if ride.bicycle { 3.0 } else { 5.0 };
                self.body.go(aim, speed, tau_s, 20.0, stretch.min(limit));
                let stops = if ride.bicycle { 0.15 } else { 0.4 };
                if self.rng.chance(stops) {
                    self.body.brake(2.0, 0.0, limit);
                    let green = self.body.now_s() + self.rng.exponential(15.0).min(60.0);
                    self.body.stand(green.min(limit));
                }
            }
        }
        self.body.brake(2.0, 0.0, limit + 20.0);
        self.body.athlete = athlete;
        self.rides.push((start_s, self.body.now_s()));
    }

    /// Walks, or now and then jogs slowly.
    fn go_by_foot(&mut self, to: Place, until_s: f64) {
        if self.rng.chance(0.25) {
            let slow = self.body.athlete.jog_m_s * self.rng.range(0.75, 1.0);
            self.body.go(to, slow, 0.9, 1.0, until_s);
            self.body.brake(1.5, 0.8, until_s);
        } else {
            self.body.walk(to, until_s);
        }
    }

    /// A drill that the plan does not know: before its blocks (0), between them (1) or after them (2).
    pub(super) fn other_drill(&mut self, when: usize) {
        let Some(habits) = self.world.habits else {
            return;
        };
        let length_s = habits.others_s.get(when).copied().unwrap_or(0.0);
        if length_s <= 0.0 {
            return;
        }
        let start_s = self.body.now_s();
        let until = start_s + length_s;
        let at = self.field.spot(&mut self.rng);
        self.body.walk(at, until);
        let category = match self.rng.whole(0, 3) {
            0 => Some(Category::Game),
            1 => Some(Category::Technical),
            2 => Some(Category::WarmUp),
            _ => None,
        };
        match category {
            Some(category) => self.play_until(category, at, until),
            None => self.runs(at, until),
        }
        self.extra
            .push((UnplannedKind::OtherDrill, start_s, self.body.now_s()));
        let pause = self.body.now_s() + self.rng.range(20.0, 120.0);
        self.body.brake(2.0, 1.0, pause);
        self.pass(self.body.place(), pause);
    }

    /// Runs to and fro with rests, as of shooting or passing in turns.
    fn runs(&mut self, at: Place, until_s: f64) {
        let metres = self.rng.range(10.0, 40.0);
        let angle = self.rng.range(0.0, std::f64::consts::TAU);
        let aim = [at[0] + 500.0 * angle.cos(), at[1] + 500.0 * angle.sin()];
        let share = self.rng.range(0.5, 0.95);
        let rest_s = self.rng.range(15.0, 60.0);
        while self.body.now_s() < until_s {
            self.body.face(aim);
            let pace = Pace::Towards {
                speed_m_s: self.body.athlete.top_speed_m_s * share * self.rng.range(0.9, 1.0),
                tau_s: self.body.athlete.tau_s,
            };
            self.body.straight(aim, pace, metres, until_s);
            self.body.brake(3.0, 1.0, until_s);
            let next = (self.body.now_s() + rest_s * self.rng.range(0.6, 1.4)).min(until_s);
            self.body.walk(at, next);
            self.body.idle(at, next);
        }
    }

    /// Passes the time near a place by the habits of this player, and is about there at the end.
    pub(super) fn pass(&mut self, near: Place, until_s: f64) {
        if let Some(habits) = self.world.habits {
            let rests = habits.rests;
            loop {
                let walk_s = self.body.distance_to(near) / self.body.athlete.walk_m_s + 6.0;
                let left_s = until_s - self.body.now_s() - walk_s;
                if left_s < 4.0 {
                    break;
                }
                let end = self.body.now_s() + left_s.min(self.rng.range(4.0, 25.0));
                let weights = [
                    rests.stand,
                    rests.walk,
                    rests.jog,
                    rests.juggle,
                    rests.fetch,
                ];
                match self.rng.weighted(&weights) {
                    1 => {
                        let spot = free::around(&mut self.rng, near, 2.0, 15.0);
                        self.body.walk(spot, end);
                    }
                    2 => {
                        let spot = free::around(&mut self.rng, near, 5.0, 20.0);
                        let jog = self.body.athlete.jog_m_s * self.rng.range(0.8, 1.1);
                        self.body.go(spot, jog, 0.8, 1.0, end);
                        self.body.brake(1.5, 0.8, end);
                    }
                    3 => free::juggle(&mut self.body, &mut self.rng, near, end),
                    4 => {
                        let spot = free::around(&mut self.rng, near, 8.0, 25.0);
                        let jog = self.body.athlete.jog_m_s * self.rng.range(0.9, 1.3);
                        self.body.go(spot, jog, 0.8, 1.0, end);
                        self.body.brake(2.0, 0.6, end);
                        self.body.walk(near, end);
                    }
                    _ => self.body.stand(end),
                }
            }
        }
        self.body.idle(near, until_s);
    }
}
