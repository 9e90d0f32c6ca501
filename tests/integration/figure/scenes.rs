//! Made sessions for the pictures: a plan, its execution with departures, and the motion that it gives.
//!
//! Everything is by hand and exact, so that a test knows what must be seen.

use repledger::efforts::{Effort, Efforts, Kind, Thresholds};
use repledger::figure::{Scene, Sheet};
use repledger::measured::Measured;
use repledger::motion::{Doubts, Motion, Sample, Signs, SpeedFrom};
use repledger::plan::{Block, Category, Dose, Header, Plan, Rest, Target, Work};
use repledger::profile::Fade;
use repledger::review::{
    BlockReview, BlockVerdict, Counts, Fits, PlanReview, RepReview, SetReview, TopSpeed,
    TopSpeedSource, Unplanned, Verdict,
};
use repledger::track::Gap;
use repledger::units::SpeedUnit;

/// All that a scene borrows from.
#[derive(Clone, Debug)]
pub struct Made {
    pub motion: Motion,
    pub gaps: Vec<Gap>,
    pub efforts: Efforts,
    pub thresholds: Thresholds,
    pub plan: Option<Plan>,
    pub review: Option<PlanReview>,
    pub fades: Vec<Fade>,
}

impl Made {
    pub fn scene(&self) -> Scene<'_> {
        Scene {
            title: Some("Winger, midweek"),
            motion: &self.motion,
            gaps: &self.gaps,
            left_out: &[],
            north_up: true,
            pitch: None,
            efforts: &self.efforts,
            thresholds: &self.thresholds,
            plan: self.plan.as_ref(),
            review: self.review.as_ref(),
            fades: &self.fades,
            sheet: Sheet::WIDE,
            speeds: SpeedUnit::default(),
        }
    }

    pub fn without_plan(mut self) -> Self {
        self.plan = None;
        self.review = None;
        self
    }

    /// A gap: samples between the two times removed, the runs cut there.
    pub fn with_gap(mut self, start_s: f64, end_s: f64) -> Self {
        let samples = &mut self.motion.samples;
        samples.retain(|s| s.time_s <= start_s || end_s <= s.time_s);
        let cut = samples.partition_point(|s| s.time_s <= start_s);
        self.motion.runs = vec![0..cut, cut..samples.len()];
        self.gaps.push(Gap {
            start_s,
            end_s,
            standing: 0.0,
        });
        self
    }
}

/// A motion without a sample.
pub fn empty() -> Made {
    Made {
        motion: Motion {
            samples: Vec::new(),
            runs: Vec::new(),
            step_s: 0.1,
            speed_from: SpeedFrom::Both,
            has_position: true,
            rate_hz: 10.0,
            irregular: false,
            signs: Signs::default(),
            doubts: Doubts::default(),
        },
        gaps: Vec::new(),
        efforts: Efforts {
            list: Vec::new(),
            counts: Vec::new(),
            sequences: Vec::new(),
            not_counted: None,
        },
        thresholds: Thresholds::default(),
        plan: None,
        review: None,
        fades: Vec::new(),
    }
}

fn block(category: Category, name: &str, dose: Dose, rest: Rest) -> Block {
    Block {
        name: (!name.is_empty()).then(|| name.to_owned()),
        rest,
        between_sets_s: Some(90.0),
        then_s: Some(120.0),
        ..Block::new(category, dose)
    }
}

/// Blocks that fill about `duration_s`.
fn blocks(duration_s: f64) -> Vec<Block> {
    let continuous = |category, name: &str, share: f64| {
        let duration_s = (duration_s * share / 30.0).floor().max(1.0) * 30.0;
        block(category, name, Dose::Continuous { duration_s }, Rest::RunOn)
    };
    let reps = |sets, reps, work| Dose::Reps { sets, reps, work };
    let mut speed = block(
        Category::Speed,
        "edge of the area to halfway",
        reps(1, 5, Work::Distance(40.0)),
        Rest::WalkBack,
    );
    speed.target = Some(Target::ShareOfTop(0.95));
    let mut list = vec![continuous(
        Category::WarmUp,
        "two laps and leg swings",
        0.12,
    )];
    let mut left_s = duration_s * 0.8;
    let candidates = [
        (speed.clone(), 420.0),
        (
            block(
                Category::Resistance,
                "channel runs",
                reps(2, 6, Work::Duration(12.0)),
                Rest::Timed(25.0),
            ),
            660.0,
        ),
        (
            continuous(Category::Technical, "wall passes", 0.1),
            duration_s * 0.1 + 120.0,
        ),
        (speed, 420.0),
        (
            block(
                Category::Resistance,
                "box to box",
                reps(3, 8, Work::Duration(10.0)),
                Rest::Timed(20.0),
            ),
            1080.0,
        ),
        (
            continuous(Category::Game, "small sides", 0.25),
            duration_s * 0.25 + 120.0,
        ),
        (
            block(
                Category::Resistance,
                "long runs",
                reps(4, 6, Work::Duration(15.0)),
                Rest::Timed(30.0),
            ),
            1500.0,
        ),
    ];
    for (candidate, takes_s) in candidates {
        if takes_s < left_s {
            left_s -= takes_s;
            list.push(candidate);
        }
    }
    list.push(continuous(Category::CoolDown, "", 0.08));
    list
}

/// A number in 0..1 that looks random and is the same on each machine.
fn noise(state: &mut u64) -> f64 {
    *state = state
        .wrapping_mul(6_364_136_223_846_793_005)
        .wrapping_add(1_442_695_040_888_963_407);
    (*state >> 11) as f64 / (1u64 << 53) as f64
}

/// What the athlete does over a stretch of time.
struct Stretch {
    start_s: f64,
    end_s: f64,
    pace: f64,
}

/// A session as it is made, rep by rep.
struct Script {
    now_s: f64,
    random: u64,
    stretches: Vec<Stretch>,
    counts: Counts,
}

impl Script {
    /// The next set, with what became of its reps.
    fn set(&mut self, block: &Block, index: usize) -> SetReview {
        let reps = (0..block.reps()).map(|rep| self.rep(block, rep)).collect();
        self.now_s += block.between_sets_s.unwrap_or(0.0) * 0.5;
        SetReview {
            index,
            rest_after_s: Some(Measured::normal(90.0, 0.4)),
            rest_after_planned_s: Some(90.0),
            rest_after_verdict: None,
            reps,
            decrement_percent: None,
            reps_done: None,
        }
    }

    /// The next rep, and the rest behind it.
    fn rep(&mut self, block: &Block, rep: u32) -> RepReview {
        self.counts.planned += 1;
        let number = self.counts.planned;
        let verdict = match (number % 7, number % 9) {
            _ if block.reps() == 1 => Verdict::Done,
            (0, _) => Verdict::Missed,
            (_, 0) => Verdict::Short,
            (3, _) if block.category == Category::Speed => Verdict::Slow,
            _ => Verdict::Done,
        };
        let mut review = rep_review(rep as usize + 1, verdict, block.work_s());
        match verdict {
            Verdict::Missed => self.counts.missed += 1,
            Verdict::Short => self.counts.short += 1,
            Verdict::Slow => self.counts.slow += 1,
            _ => self.counts.done += 1,
        }
        if verdict != Verdict::Missed {
            self.run(block, rep, &mut review);
        }
        self.now_s += match block.rest {
            Rest::Timed(s) => s + 3.0 * noise(&mut self.random),
            Rest::WalkBack => 45.0 + 20.0 * noise(&mut self.random),
            Rest::RunOn => 0.0,
        };
        review
    }

    /// Runs a rep and notes what is known of it.
    fn run(&mut self, block: &Block, rep: u32, review: &mut RepReview) {
        let share = if review.verdict == Verdict::Short {
            0.5
        } else {
            1.0
        };
        let work_s =
            share * block.work_s().unwrap_or(6.0) * (0.97 + 0.06 * noise(&mut self.random));
        let pace = match block.category {
            Category::WarmUp | Category::CoolDown | Category::Technical => 2.3,
            Category::Game => 3.0,
            Category::Speed if review.verdict == Verdict::Slow => 7.4,
            Category::Speed => 8.7 - 0.06 * f64::from(rep),
            _ => 6.4 - 0.1 * f64::from(rep),
        } + 0.3 * noise(&mut self.random);
        let end_s = self.now_s + work_s;
        self.stretches.push(Stretch {
            start_s: self.now_s,
            end_s,
            pace,
        });
        review.start_s = Some(self.now_s);
        review.end_s = Some(end_s);
        review.work_s = Some(Measured::normal(work_s, 0.2));
        review.peak_speed_m_s = Some(Measured::normal(pace, 0.08));
        review.of_top_speed = Some(Measured::normal(pace / 8.8, 0.01));
        review.distance_m = Some(Measured::normal(pace * work_s * 0.85, 0.4));
        self.now_s = end_s;
    }
}

/// A session of about `duration_s` with a plan and some departures from it: every seventh rep is left out, every
/// ninth cut off, and one run is not in the plan.
pub fn session(duration_s: f64, rate_hz: f64) -> Made {
    let plan = Plan {
        header: Header {
            title: Some("Winger, midweek".to_owned()),
            top_speed_m_s: Some(8.8),
            ..Header::default()
        },
        blocks: blocks(duration_s),
    };
    let mut script = Script {
        now_s: 0.05 * duration_s,
        random: 7,
        stretches: Vec::new(),
        counts: Counts::default(),
    };
    let mut reviews = Vec::new();
    for (i, block) in plan.blocks.iter().enumerate() {
        let sets = (1..=block.sets() as usize)
            .map(|set| script.set(block, set))
            .collect();
        script.now_s += block.then_s.unwrap_or(0.0) * 0.6;
        reviews.push(block_review(i + 1, block, sets));
    }
    let end_s = duration_s.max(script.now_s.min(1.2 * duration_s));
    let unplanned = Unplanned {
        start_s: 0.93 * duration_s,
        end_s: 0.93 * duration_s + 7.0,
        distance_m: Measured::normal(48.0, 1.0),
        peak_speed_m_s: Measured::normal(7.8, 0.1),
    };
    script.stretches.push(Stretch {
        start_s: unplanned.start_s,
        end_s: unplanned.end_s,
        pace: 7.9,
    });
    let motion = motion(&script.stretches, end_s, rate_hz, &mut script.random);
    let efforts = Efforts {
        list: sprints(&motion, &Thresholds::default()),
        counts: Vec::new(),
        sequences: Vec::new(),
        not_counted: None,
    };
    Made {
        motion,
        gaps: Vec::new(),
        efforts,
        thresholds: Thresholds::default(),
        fades: fades(&reviews),
        plan: Some(plan),
        review: Some(PlanReview {
            blocks: reviews,
            unplanned: vec![unplanned],
            fits: Fits::Yes,
            counts: script.counts,
            top_speed: Some(TopSpeed {
                speed_m_s: Measured::within(8.8, 8.8, 8.8),
                source: TopSpeedSource::Plan,
            }),
        }),
    }
}

/// A fade for each set of three and more reps: the first clear, the next not, and so on.
fn fades(blocks: &[BlockReview]) -> Vec<Fade> {
    let sets = blocks
        .iter()
        .flat_map(|b| b.sets.iter().map(move |s| (b.index, s)));
    sets.filter(|(_, set)| set.reps.len() > 2)
        .enumerate()
        .map(|(i, (block, set))| Fade {
            block,
            set: set.index,
            reps: set.reps.len(),
            slope_m_s: if i % 2 == 0 {
                Measured::within(-0.12, -0.17, -0.08)
            } else {
                Measured::within(-0.03, -0.09, 0.03)
            },
        })
        .collect()
}

fn rep_review(index: usize, verdict: Verdict, work_planned_s: Option<f64>) -> RepReview {
    RepReview {
        work_planned_s,
        ..RepReview::new(index, verdict)
    }
}

fn block_review(index: usize, block: &Block, sets: Vec<SetReview>) -> BlockReview {
    let all = || sets.iter().flat_map(|s: &SetReview| &s.reps);
    let done = all().all(|r| r.verdict == Verdict::Done);
    BlockReview {
        index,
        category: block.category,
        name: block.name.clone(),
        with_ball: block.with_ball,
        verdict: if done {
            BlockVerdict::Done
        } else {
            BlockVerdict::Short
        },
        start_s: all().find_map(|r| r.start_s),
        end_s: all().filter_map(|r| r.end_s).next_back(),
        reps_done: None,
        sets,
    }
}

/// Runs to and fro on a pitch of 100 x 64 m, walking between the stretches.
fn motion(stretches: &[Stretch], end_s: f64, rate_hz: f64, state: &mut u64) -> Motion {
    let step_s = 0.1;
    let mut samples: Vec<Sample> = Vec::new();
    let (mut x, mut y, mut course, mut speed, mut beats) = (20.0, 20.0, 0.4f64, 0.0f64, 95.0f64);
    let mut sway = 0.0f64;
    for i in 0..=(end_s / step_s) as usize {
        let time_s = i as f64 * step_s;
        let now = stretches
            .iter()
            .find(|s| s.start_s <= time_s && time_s < s.end_s);
        sway += (noise(state) - 0.5) * 0.06 - 0.01 * sway;
        let (goal, tau) = match now {
            Some(s) if s.end_s - s.start_s > 25.0 => {
                (s.pace + 1.6 * (time_s / 9.0).sin() + 3.0 * sway, 1.5)
            }
            Some(s) => (s.pace, 1.1),
            None => (1.1 + 1.5 * sway, 1.0),
        };
        let before = speed;
        speed = (speed + (goal.max(0.0) - speed) * step_s / tau).max(0.0);
        course += (noise(state) - 0.5) * 0.15;
        let towards = (50.0f64 - y).atan2(50.0 - x);
        if !(5.0..95.0).contains(&x) || !(5.0..59.0).contains(&y) {
            course = towards;
        }
        x += speed * course.cos() * step_s;
        y += speed * course.sin() * step_s;
        let aim = 100.0 + 12.0 * speed.min(7.5);
        beats += (aim - beats) * step_s / 35.0;
        samples.push(Sample {
            time_s,
            x_m: x,
            y_m: y,
            vx_m_s: speed * course.cos(),
            vy_m_s: speed * course.sin(),
            speed_m_s: speed,
            acceleration_m_s2: (speed - before) / step_s,
            position_sd_m: 0.6,
            speed_sd_m_s: 0.08 + 0.1 * (time_s / 40.0).sin().abs(),
            acceleration_sd_m_s2: 0.3,
            heart_rate_bpm: Some(beats as f32),
            bridged: false,
            ..Sample::default()
        });
    }
    let runs = std::iter::once(0..samples.len()).collect();
    Motion {
        samples,
        runs,
        step_s,
        speed_from: SpeedFrom::Both,
        has_position: true,
        rate_hz,
        irregular: false,
        signs: Signs::default(),
        doubts: Doubts::default(),
    }
}

/// Stretches at or above the sprint threshold for a second or longer.
fn sprints(motion: &Motion, thresholds: &Thresholds) -> Vec<Effort> {
    let fast = |s: &Sample| s.speed_m_s >= thresholds.bands.sprint_m_s;
    let mut first = 0;
    let mut list = Vec::new();
    for group in motion.samples.chunk_by(|a, b| fast(a) == fast(b)) {
        let window = first..first + group.len();
        first = window.end;
        if fast(&group[0]) && group.len() >= 10 {
            let peak = group.iter().map(|s| s.speed_m_s).fold(0.0, f64::max);
            list.push(Effort {
                kind: Kind::Sprint,
                window,
                start_s: group[0].time_s,
                end_s: group[group.len() - 1].time_s,
                distance_m: group.iter().map(|s| s.speed_m_s * 0.1).sum(),
                peak_speed_m_s: Measured::normal(peak, 0.08),
                peak_acceleration_m_s2: None,
                turn_deg: None,
                near_threshold: peak < 7.6,
                probability: 0.9,
            });
        }
    }
    list
}
