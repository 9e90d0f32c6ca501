//! A planned block as the athlete understands it: where it is done, how far, how fast.

use crate::plan::{Block, Category, Dose, Plan, Rest, Target, Work};
use crate::simulation::body::Place;
use crate::simulation::rng::Rng;
use crate::simulation::world::World;

/// How a block is carried out.
#[derive(Clone, Copy, Debug)]
pub(super) struct Drill {
    /// Where a rep starts.
    pub(super) start: Place,
    /// Unit vector of the line that it runs along.
    pub(super) line: [f64; 2],
    /// Its shape.
    pub(super) form: Form,
    /// Speed that the run tends to, m/s.
    pub(super) pace_m_s: f64,
    /// Time constant of that, s.
    pub(super) tau_s: f64,
    /// The speed that the plan asks for, m/s.
    pub(super) mark_m_s: Option<f64>,
    /// Share of its final speed that a run reaches within the rep.
    pub(super) reach: f64,
}

/// The shape of a rep.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Form {
    /// A continuous bout of the category's own kind.
    Free(Category),
    /// Bouts of so many seconds of a game, of technical work, of warming up or cooling down.
    FreeSeconds { category: Category, seconds: f64 },
    /// Straight ahead for a distance.
    Metres(f64),
    /// Straight ahead (or round the pitch) for a time.
    Seconds(f64),
    /// Round the pitch for a distance.
    LapMetres(f64),
    /// Round the pitch for a time.
    LapSeconds(f64),
    /// So many legs between two lines, with a stop at the last.
    Legs { leg_m: f64, legs: u32 },
    /// Legs between two lines until the time is up.
    TimedLegs { leg_m: f64, seconds: f64 },
}

/// Width and length of the part of the pitch that is used, m.
#[derive(Clone, Copy, Debug)]
pub(super) struct Field {
    pub(super) length_m: f64,
    pub(super) width_m: f64,
}

impl Field {
    pub(super) fn of(plan: &Plan) -> Self {
        let size = plan.header.pitch;
        Self {
            length_m: size.map_or(100.0, |p| p.length_m.clamp(40.0, 120.0)),
            width_m: size.map_or(64.0, |p| p.width_m.clamp(25.0, 90.0)),
        }
    }

    /// The corner of the lap, counted on for ever.
    pub(super) fn corner(&self, number: usize) -> Place {
        let (l, w) = (self.length_m - 4.0, self.width_m - 4.0);
        match number % 4 {
            0 => [4.0, 4.0],
            1 => [l, 4.0],
            2 => [l, w],
            _ => [4.0, w],
        }
    }

    /// A random place on it.
    pub(super) fn spot(&self, rng: &mut Rng) -> Place {
        [
            rng.range(0.1, 0.9) * self.length_m,
            rng.range(0.1, 0.9) * self.width_m,
        ]
    }
}

/// The speed that a block asks for, m/s.
pub(super) fn mark(block: &Block, top_speed_m_s: f64) -> Option<f64> {
    block.target.map(|target| match target {
        Target::ShareOfTop(share) => share * top_speed_m_s,
        Target::Speed(speed) => speed,
    })
}

impl Drill {
    /// The drill of each rep of a set: one for all where they are alike, else one a rep, each with its own length, on one line on which
    /// the longest fits, and by the same choices.
    pub(super) fn of_reps(plan: &Plan, block: &Block, world: &World, rng: &mut Rng) -> Vec<Self> {
        let choices = rng.clone();
        let length = |rep: &usize| match block.work_of(*rep) {
            Some(Work::Duration(length) | Work::Distance(length)) => length,
            _ => 0.0,
        };
        let reps = 0..block.mixed.len();
        let longest = reps.clone().max_by(|a, b| length(a).total_cmp(&length(b)));
        let Some(longest) = longest else {
            return vec![Self::of(plan, block, world, rng)];
        };
        let place = Self::of(plan, &block.of_rep(1, longest), world, rng);
        reps.map(|rep| {
            Self::of(plan, &block.of_rep(1, rep), world, &mut choices.clone()).at(&place)
        })
        .collect()
    }

    /// The same rep from where another starts, along its line.
    pub(super) fn at(self, place: &Self) -> Self {
        Self {
            start: place.start,
            line: place.line,
            ..self
        }
    }

    pub(super) fn of(plan: &Plan, block: &Block, world: &World, rng: &mut Rng) -> Self {
        let field = Field::of(plan);
        let athlete = &world.athlete;
        let top = athlete.top_speed_m_s;
        let form = form(block, rng).paced(world.habits.map_or(1.0, |h| 1.0 + h.paced));
        let span = match form {
            Form::Metres(m) => m,
            Form::Seconds(s) => s * 0.7 * top,
            Form::Legs { leg_m, .. } | Form::TimedLegs { leg_m, .. } => leg_m,
            _ => 0.0,
        };
        // What does not fit on a straight is run round the pitch.
        let form = match form {
            Form::Metres(m) if span > field.length_m - 12.0 => Form::LapMetres(m),
            Form::Seconds(s) if span > field.length_m - 12.0 => Form::LapSeconds(s),
            other => other,
        };
        let along = rng.either(0.75, 0.0, std::f64::consts::FRAC_PI_2);
        let along = if span > field.width_m - 12.0 {
            0.0
        } else {
            along
        };
        let angle = along + rng.range(-0.05, 0.05);
        let forward = rng.chance(0.5);
        let line = if forward {
            [angle.cos(), angle.sin()]
        } else {
            [-angle.cos(), -angle.sin()]
        };
        let start = start(field, span, line, rng);
        let mark_m_s = mark(block, plan.header.top_speed_m_s.unwrap_or(top));
        let tau_s = athlete.tau_s;
        let mut pace_m_s = pace(block, form, top, rng);
        if athlete.scatter <= 0.0 && block.category == Category::Speed {
            pace_m_s = top;
        }
        if block.category != Category::Speed {
            pace_m_s *= world.manner().pace;
        }
        if block.with_ball {
            pace_m_s *= rng.range(0.84, 0.93);
        }
        let reach = reachable(form, mark_m_s.unwrap_or(pace_m_s), tau_s);
        if let Some(mark) = mark_m_s {
            // Fast enough that the mark is passed inside the rep, with a little in hand, whatever the usual pace.
            pace_m_s = mark * rng.range(1.03, 1.06) / reach;
            if block.category == Category::Speed {
                pace_m_s = pace_m_s.max(top * rng.range(0.98, 1.0));
            }
        }
        Self {
            start,
            line,
            form,
            pace_m_s,
            tau_s,
            mark_m_s,
            reach,
        }
    }

    /// The place so far along the line from the start, m.
    pub(super) fn along(&self, metres: f64) -> Place {
        [
            self.start[0] + metres * self.line[0],
            self.start[1] + metres * self.line[1],
        ]
    }

    /// About how long a rep takes, s.
    pub(super) fn usual_s(&self) -> f64 {
        match self.form {
            Form::Free(_) => 0.0,
            Form::Seconds(s)
            | Form::LapSeconds(s)
            | Form::TimedLegs { seconds: s, .. }
            | Form::FreeSeconds { seconds: s, .. } => s,
            Form::Metres(m) | Form::LapMetres(m) => m / self.pace_m_s + self.tau_s,
            Form::Legs { leg_m, legs } => f64::from(legs) * (leg_m / self.pace_m_s + 1.3),
        }
    }
}

impl Form {
    /// The same with its distances paced out by so many times their length.
    fn paced(self, factor: f64) -> Self {
        match self {
            Self::Metres(m) => Self::Metres(m * factor),
            Self::Legs { leg_m, legs } => Self::Legs {
                leg_m: leg_m * factor,
                legs,
            },
            Self::TimedLegs { leg_m, seconds } => Self::TimedLegs {
                leg_m: leg_m * factor,
                seconds,
            },
            other => other,
        }
    }
}

/// Whether such work has no line and no pace: bouts of it are played, not run.
fn is_free(category: Category) -> bool {
    matches!(
        category,
        Category::Game | Category::Technical | Category::WarmUp | Category::CoolDown
    )
}

/// Whether a rep of the block is played or passed, and not run.
pub(super) fn is_played(block: &Block) -> bool {
    match block.dose {
        Dose::Continuous { .. } => true,
        Dose::Reps { work, .. } => {
            matches!(work, Work::Duration(_)) && is_free(block.category) && block.over_m.is_none()
        }
    }
}

fn form(block: &Block, rng: &mut Rng) -> Form {
    let there_and_back = block.there_and_back;
    let runs_on = block.runs_on();
    let own_m = (rng.range(5.0, 10.0) * 2.0).round() / 2.0;
    match block.dose {
        Dose::Continuous { .. } => Form::Free(block.category),
        Dose::Reps {
            work: Work::Duration(seconds),
            ..
        } if is_played(block) => Form::FreeSeconds {
            category: block.category,
            seconds,
        },
        Dose::Reps { work, .. } => match (work, block.over_m) {
            (Work::Duration(seconds), Some(leg_m)) => Form::TimedLegs { leg_m, seconds },
            (Work::Duration(seconds), None) => Form::Seconds(seconds),
            (Work::Distance(metres), Some(leg_m)) if metres > 1.5 * leg_m => Form::Legs {
                leg_m,
                legs: (metres / leg_m).round().max(1.0) as u32,
            },
            (Work::Distance(metres), _) if there_and_back => Form::Legs {
                leg_m: metres,
                legs: 2,
            },
            (Work::Distance(metres), _) if runs_on && metres < 60.0 => Form::Legs {
                leg_m: metres,
                legs: 1,
            },
            (Work::Count, Some(leg_m)) if there_and_back => Form::Legs { leg_m, legs: 2 },
            (Work::Count, Some(metres)) if runs_on || metres <= 15.0 => Form::Legs {
                leg_m: metres,
                legs: 1,
            },
            (Work::Distance(metres), _) | (Work::Count, Some(metres)) => Form::Metres(metres),
            (Work::Count, None) => Form::Legs {
                leg_m: own_m,
                legs: 2,
            },
        },
    }
}

/// A place from which the line stays on the field.
fn start(field: Field, span_m: f64, line: [f64; 2], rng: &mut Rng) -> Place {
    let axis = |size: f64, along: f64, rng: &mut Rng| {
        let reach = span_m * along;
        let low = 4.0 - reach.min(0.0);
        let high = size - 4.0 - reach.max(0.0);
        if low < high {
            rng.range(low, high)
        } else {
            f64::midpoint(low, high)
        }
    };
    [
        axis(field.length_m, line[0], rng),
        axis(field.width_m, line[1], rng),
    ]
}

/// The pace that one chooses for such a block, m/s.
fn pace(block: &Block, form: Form, top_m_s: f64, rng: &mut Rng) -> f64 {
    match (block.category, form) {
        (Category::Speed, Form::Legs { .. } | Form::TimedLegs { .. }) => {
            rng.range(0.8, 0.98) * top_m_s
        }
        (Category::Speed, _) => rng.range(0.96, 1.0) * top_m_s,
        (_, Form::Legs { leg_m, .. } | Form::TimedLegs { leg_m, .. }) => {
            // Short lines leave no room for speed, and some do them slowly, with care.
            let brisk = rng.range(0.5, 0.8) * top_m_s;
            let slow = rng.range(2.2, 3.4);
            rng.either(0.75, brisk, slow).min(1.8 + 0.6 * leg_m)
        }
        (_, form) => {
            let usual_s = match form {
                Form::Seconds(s) | Form::LapSeconds(s) => s,
                Form::Metres(m) | Form::LapMetres(m) => m / (0.65 * top_m_s),
                _ => 60.0,
            };
            let share = if usual_s <= 15.0 {
                rng.range(0.62, 0.85)
            } else if usual_s <= 60.0 {
                rng.range(0.5, 0.68)
            } else {
                rng.range(0.38, 0.5)
            };
            share * top_m_s
        }
    }
}

/// The share of its final speed that a mono-exponential run to about `speed` reaches within the form.
fn reachable(form: Form, speed_m_s: f64, tau_s: f64) -> f64 {
    let metres = match form {
        Form::Metres(m) | Form::LapMetres(m) => m,
        Form::Seconds(s) | Form::LapSeconds(s) => return -(-0.95 * s / tau_s).exp_m1(),
        // About 60 % of a leg are left for speeding up.
        Form::Legs { leg_m, .. } | Form::TimedLegs { leg_m, .. } => 0.6 * leg_m,
        Form::Free(_) | Form::FreeSeconds { .. } => return 1.0,
    };
    let mut t = 0.0;
    while speed_m_s * (t + tau_s * (-t / tau_s).exp_m1()) < metres && t < 60.0 {
        t += 0.01;
    }
    (-(-t / tau_s).exp_m1()).max(0.3)
}

/// The rest that the plan asks for between reps, s; `None` when it leaves it free.
pub(super) fn planned_rest(block: &Block) -> Option<f64> {
    match block.rest {
        Rest::Timed(s) => Some(s),
        Rest::RunOn | Rest::WalkBack => None,
    }
}
