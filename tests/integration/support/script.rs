//! Motions made by hand, so that every start, end and length is known.

use repledger::motion::{Doubts, Motion, Sample, Signs, SpeedFrom};

const STEP_S: f64 = 0.1;
/// Speeding up and braking, m/s2.
const RAMP_M_S2: f64 = 4.0;

/// Standing, with runs on one line; written from start to end.
pub struct Script {
    samples: Vec<Sample>,
    x_m: f64,
    way: f64,
}

impl Script {
    pub fn new() -> Self {
        Self {
            samples: Vec::new(),
            x_m: 0.0,
            way: 1.0,
        }
    }

    /// Seconds so far.
    pub fn now_s(&self) -> f64 {
        self.samples.len() as f64 * STEP_S
    }

    fn step(&mut self, speed_m_s: f64, acceleration_m_s2: f64) {
        self.x_m += self.way * speed_m_s * STEP_S;
        let travel_m = self.samples.last().map_or(0.0, |s| s.travel_m);
        self.samples.push(Sample {
            time_s: self.now_s(),
            x_m: self.x_m,
            vx_m_s: self.way * speed_m_s,
            speed_m_s,
            acceleration_m_s2,
            position_sd_m: 0.1,
            speed_sd_m_s: 0.05,
            acceleration_sd_m_s2: 0.1,
            travel_m: travel_m + speed_m_s * STEP_S,
            ..Sample::default()
        });
    }

    /// Stands for so long.
    pub fn stand(mut self, seconds: f64) -> Self {
        for _ in 0..(seconds / STEP_S).round() as usize {
            self.step(0.0, 0.0);
        }
        self
    }

    /// Runs for so long from leaving rest to the first braking, then brakes to a stand.
    pub fn run(mut self, seconds: f64, speed_m_s: f64) -> Self {
        let mut v = 0.0;
        for _ in 0..(seconds / STEP_S).round() as usize {
            let next = f64::min(v + RAMP_M_S2 * STEP_S, speed_m_s);
            self.step(next, (next - v) / STEP_S);
            v = next;
        }
        while v > 0.0 {
            let next = f64::max(v - RAMP_M_S2 * STEP_S, 0.0);
            self.step(next, (next - v) / STEP_S);
            v = next;
        }
        self
    }

    /// The next run goes the other way.
    pub fn turn(mut self) -> Self {
        self.way = -self.way;
        self
    }

    /// Does something so many times.
    pub fn times(self, n: usize, what: impl Fn(Self) -> Self) -> Self {
        (0..n).fold(self, |script, _| what(script))
    }

    /// Loses the fixes between two times: what is known is the straight way across.
    pub fn lost(mut self, from_s: f64, to_s: f64) -> Self {
        let at = |time_s: f64| (time_s / STEP_S).round() as usize;
        let (from, to) = (at(from_s), at(to_s));
        let (start_m, end_m) = (self.samples[from].x_m, self.samples[to].x_m);
        let velocity_m_s = (end_m - start_m) / (to_s - from_s);
        for (k, sample) in self.samples[from..to].iter_mut().enumerate() {
            let share = k as f64 / (to - from) as f64;
            sample.x_m = start_m + share * (end_m - start_m);
            sample.vx_m_s = velocity_m_s;
            sample.speed_m_s = velocity_m_s.abs();
            sample.acceleration_m_s2 = 0.0;
            sample.bridged = true;
        }
        let mut travel_m = 0.0;
        for sample in &mut self.samples {
            travel_m += sample.speed_m_s * STEP_S;
            sample.travel_m = travel_m;
        }
        self
    }

    pub fn motion(self) -> Motion {
        Motion {
            runs: std::iter::once(0..self.samples.len())
                .filter(|run| !run.is_empty())
                .collect(),
            samples: self.samples,
            step_s: STEP_S,
            speed_from: SpeedFrom::Both,
            has_position: true,
            rate_hz: 10.0,
            irregular: false,
            signs: Signs::default(),
            doubts: Doubts::default(),
        }
    }
}
