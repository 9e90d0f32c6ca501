//! One rep that stands alone: how it is meant, and whether it is broken off.

use crate::plan::{Block, Category, Dose};
use crate::simulation::body::Place;
use crate::simulation::departures::{At, Departure};
use crate::simulation::drill::{Drill, Form};
use crate::simulation::execute::Stage;
use crate::simulation::free;
use crate::simulation::work::Intent;

/// Departures that shape a single rep.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Shape {
    pub(super) cut: Option<f64>,
    pub(super) slow: Option<f64>,
}

impl Stage<'_> {
    pub(super) fn shape(&self, at: At) -> Shape {
        let mut shape = Shape::default();
        for departure in self.departures.at(at) {
            match *departure {
                Departure::Cut { share, .. } => shape.cut = Some(share),
                Departure::Slow { share, .. } => shape.slow = Some(share),
                _ => {}
            }
        }
        shape
    }

    /// Speed of this rep: the drill's, scattered, a little less with every rep.
    pub(super) fn pace(&mut self, at: At, block: &Block, drill: &Drill, slow: Option<f64>) -> f64 {
        let athlete = self.body.athlete;
        let total = (block.sets() * block.reps()).max(2) - 1;
        let gone = f64::from((at.set - 1) * block.reps() + at.rep - 1) / f64::from(total);
        let effort = 1.0 + athlete.scatter * self.rng.scatter() - athlete.fatigue * gone.min(1.0);
        let pace = match (drill.mark_m_s, slow) {
            (Some(mark), Some(share)) => mark * share / drill.reach,
            (None, Some(share)) => drill.pace_m_s * share,
            // Who has a speed to reach makes up for tired legs.
            (Some(mark), None) => (drill.pace_m_s * effort).max(mark * 1.02 / drill.reach),
            (None, None) => drill.pace_m_s * effort,
        };
        // Whatever is asked for: nobody outruns himself.
        pace.min(1.03 * athlete.top_speed_m_s)
    }

    /// Runs one rep; returns start, end and whether it was cut.
    pub(super) fn rep(&mut self, at: At, block: &Block, drill: &Drill) -> (f64, f64, bool) {
        let shape = self.shape(at);
        let habits = self.world.habits;
        let played = match (drill.form, &block.dose) {
            (Form::Free(category), &Dose::Continuous { duration_s }) => {
                let length_s = match habits {
                    Some(h) => duration_s * self.by_feel(h.block_sd),
                    None => self.human(duration_s, 0.03, 3.0),
                };
                Some((category, length_s))
            }
            (Form::FreeSeconds { category, seconds }, _) => {
                let length_s = match habits {
                    Some(h) => seconds * self.by_feel(h.feel_sd),
                    None => self.human(seconds, 0.02, 0.5),
                };
                Some((category, length_s))
            }
            _ => None,
        };
        if let Some((category, length_s)) = played {
            let start_s = self.body.now_s();
            let until_s = start_s + length_s * shape.cut.unwrap_or(1.0);
            self.play_until(category, drill.start, until_s);
            return (start_s, self.body.now_s(), shape.cut.is_some());
        }
        let measure = match drill.form {
            Form::Seconds(s) | Form::LapSeconds(s) | Form::TimedLegs { seconds: s, .. } => {
                match self.world.habits {
                    Some(h) => self.by_feel(h.feel_sd),
                    None => (self.human(s, 0.02, 0.25) / s).clamp(0.92, 1.1),
                }
            }
            _ => self.human(1.0, 0.008, 0.0),
        };
        let intent = Intent {
            pace_m_s: self.pace(at, block, drill, shape.slow),
            share: shape.cut.unwrap_or(1.0),
            measure,
        };
        self.step_about(drill);
        let (start_s, end_s) = self.alone(drill, intent);
        (start_s, end_s, shape.cut.is_some())
    }

    /// Some steps back from the line and forward again, of those who do not stand before they run.
    fn step_about(&mut self, drill: &Drill) {
        let often = self.world.manner().steps;
        if often > 0.0 && self.rng.chance(often) {
            let until_s = self.body.now_s() + self.rng.range(2.0, 6.0);
            let back = drill.along(-self.rng.range(0.5, 2.5));
            self.body.go(back, 1.2, 0.4, 0.3, until_s);
            self.body.walk(drill.start, until_s);
        }
    }

    /// Times the planned time, for one who goes by feel.
    fn by_feel(&mut self, sd: f64) -> f64 {
        (sd * self.rng.scatter())
            .exp()
            .clamp(SHORTEST_BY_FEEL, 1.35)
    }

    /// Moves as a block of play does, until a time.
    pub(super) fn play_until(&mut self, category: Category, at: Place, until_s: f64) {
        free::play(
            &mut self.body,
            &mut self.rng,
            self.field,
            (category, &self.world),
            at,
            until_s,
        );
    }

    /// Bouts of play that follow each other without rest; returns start and end of every one begun, s.
    pub(super) fn play_on(
        &mut self,
        category: Category,
        at: Place,
        seconds: f64,
        bouts: f64,
    ) -> Vec<(f64, f64)> {
        let start_s = self.body.now_s();
        let end_s = start_s + bouts * seconds;
        self.play_until(category, at, end_s);
        let begun = bouts.ceil() as u32;
        (0..begun)
            .map(|n| {
                let from = start_s + f64::from(n) * seconds;
                (from, (from + seconds).min(end_s))
            })
            .collect()
    }
}

/// Nobody who goes by feel stops earlier, as a share of the planned time.
const SHORTEST_BY_FEEL: f64 = 0.8;
