//! Rests: between reps, sets and blocks, and what happens in them beside resting.

use crate::plan::Block;
use crate::simulation::body::{Pace, Place};
use crate::simulation::departures::{At, Departure};
use crate::simulation::drill::{Drill, Form, planned_rest};
use crate::simulation::execute::Stage;
use crate::simulation::truth::UnplannedKind;

/// What happens in a rest beside resting.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Incidents {
    fetch_m: Option<f64>,
    sprint_m: Option<f64>,
    drink_s: Option<f64>,
}
impl Stage<'_> {
    /// The rest after a rep, and where the next one starts.
    pub(super) fn between_reps(&mut self, at: At, block: &Block, drill: &mut Drill, end_s: f64) {
        let planned = planned_rest(block).map(|s| self.kept(s, 0.05, 0.8) * self.rest_factor(at));
        if let (Some(length_s), Form::Metres(_) | Form::Seconds(_)) = (planned, drill.form) {
            let walk_s = self.body.distance_to(drill.start) / self.body.athlete.walk_m_s + 4.0;
            let jog_s = self.body.distance_to(drill.start) / self.body.athlete.jog_m_s + 5.0;
            let back = !self.world.manner().to_and_fro
                && (walk_s < length_s || (jog_s < length_s && self.rng.chance(0.35)));
            if !back {
                // Too far to go back, or not his way: the next rep runs the other way, from a little beyond where this one ended.
                let [x, y] = self.body.place();
                drill.line = [-drill.line[0], -drill.line[1]];
                drill.start = [x - 3.0 * drill.line[0], y - 3.0 * drill.line[1]];
            }
        }
        if matches!(drill.form, Form::LapMetres(_) | Form::LapSeconds(_)) {
            drill.start = self.body.place();
        }
        let pause_s = self.rng.range(1.0, 9.0);
        let incidents = self.incidents(at);
        let before_s = self.body.now_s() - end_s;
        self.rest(drill.start, planned, pause_s, incidents, before_s);
    }

    pub(super) fn rest_factor(&self, at: At) -> f64 {
        let factor = |d: &Departure| match *d {
            Departure::Rest { factor, .. } => Some(factor),
            _ => None,
        };
        self.departures.at(at).find_map(factor).unwrap_or(1.0)
    }

    pub(super) fn incidents(&self, at: At) -> Incidents {
        let mut all = Incidents::default();
        for departure in self.departures.at(at) {
            match *departure {
                Departure::Drink { longer_s, .. } => all.drink_s = Some(longer_s),
                Departure::FetchBall { away_m, .. } => all.fetch_m = Some(away_m),
                Departure::Sprint { metres, .. } => all.sprint_m = Some(metres),
                _ => {}
            }
        }
        all
    }

    pub(super) fn incidents_after_block(&self, index: usize, block: &Block) -> Incidents {
        self.incidents(At {
            block: index,
            set: block.sets(),
            rep: block.reps(),
        })
    }

    /// Rests until `planned` seconds after the end of work (which was `before_s` ago), or, without a plan, until back
    /// at the place and `pause_s` more.
    pub(super) fn rest(
        &mut self,
        back: Place,
        planned: Option<f64>,
        pause_s: f64,
        incidents: Incidents,
        before_s: f64,
    ) {
        let end_s = self.body.now_s() - before_s;
        let longer_s = incidents.drink_s.unwrap_or(0.0);
        let far = f64::INFINITY;
        let until = planned.map_or(far, |s| end_s + s + longer_s);
        let by = self.body.athlete.braking_m_s2 * self.rng.range(0.6, 1.0);
        let by = by * self.world.manner().braking;
        self.body.brake(by, self.body.athlete.walk_m_s, until);
        if let Some(away_m) = incidents.fetch_m {
            self.fetch(away_m);
        }
        if let Some(metres) = incidents.sprint_m {
            self.sprint(metres);
        }
        if incidents.drink_s.is_some() {
            let spot = self.near(self.rng.clone().range(4.0, 14.0));
            self.body.walk(spot, until);
            let drunk = self.body.now_s() + longer_s * 0.6;
            self.body.stand(drunk.min(until));
        }
        if self.world.habits.is_some() {
            let free = until.min(self.body.now_s() + pause_s);
            self.pass_on_the_way(back, free);
        }
        // Whoever is late jogs back, and if that is not enough starts late.
        let walk_s = self.body.distance_to(back) / self.body.athlete.walk_m_s + 1.0;
        if self.body.now_s() + walk_s > until {
            let jog = self.body.athlete.jog_m_s;
            self.body.go(back, jog, 0.7, 0.7, far);
            self.body
                .brake(2.0, 0.5, until.max(self.body.now_s() + 1.0));
        } else {
            self.body.walk(back, far);
        }
        let until = match (until == far, self.world.habits) {
            (false, _) => until,
            (true, None) => self.body.now_s() + pause_s,
            // The pause was passed before the way back.
            (true, Some(_)) => self.body.now_s() + pause_s.min(6.0),
        };
        self.pass(back, until);
    }

    /// The part of a rest before the way back, where there is time for it: some go back at once, some dawdle.
    fn pass_on_the_way(&mut self, back: Place, until_s: f64) {
        let walk_s = self.body.distance_to(back) / self.body.athlete.walk_m_s + 3.0;
        let left_s = until_s - self.body.now_s() - walk_s;
        if left_s > 6.0 && self.rng.chance(0.5) {
            let here = self.body.place();
            let until = self.body.now_s() + left_s * self.rng.range(0.2, 0.9);
            self.pass(here, until);
        }
    }

    /// A random place so far away, on the field.
    fn near(&mut self, away_m: f64) -> Place {
        let [x, y] = self.body.place();
        let angle = self.rng.range(0.0, std::f64::consts::TAU);
        [
            (x + away_m * angle.cos()).clamp(-3.0, self.field.length_m + 3.0),
            (y + away_m * angle.sin()).clamp(-3.0, self.field.width_m + 3.0),
        ]
    }

    fn fetch(&mut self, away_m: f64) {
        let home = self.body.place();
        let spot = self.near(away_m);
        let start_s = self.body.now_s();
        let jog = self.body.athlete.jog_m_s * self.rng.range(0.95, 1.4);
        let limit = start_s + 60.0;
        self.body.go(spot, jog, 0.8, 0.8, limit);
        self.body.brake(2.5, 0.4, limit);
        self.body.go(home, jog * 0.9, 0.8, 1.5, limit);
        self.extra
            .push((UnplannedKind::FetchBall, start_s, self.body.now_s()));
    }

    fn sprint(&mut self, metres: f64) {
        let wait = self.body.now_s() + self.rng.range(2.0, 8.0);
        self.body.stand(wait);
        let [x, y] = self.body.place();
        // Towards the middle, where there is room.
        let middle = [self.field.length_m / 2.0, self.field.width_m / 2.0];
        let (dx, dy) = (middle[0] - x, middle[1] - y);
        let far = dx.hypot(dy).max(0.1);
        let aim = [x + 500.0 * dx / far, y + 500.0 * dy / far];
        self.body.face(aim);
        let start_s = self.body.now_s();
        let pace = Pace::Towards {
            speed_m_s: self.body.athlete.top_speed_m_s * self.rng.range(0.9, 1.0),
            tau_s: self.body.athlete.tau_s,
        };
        self.body.straight(aim, pace, metres, start_s + 15.0);
        self.extra
            .push((UnplannedKind::Sprint, start_s, self.body.now_s()));
        self.body
            .brake(self.body.athlete.braking_m_s2, 1.0, start_s + 30.0);
    }
}
